package serve_test

import (
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type item struct {
	Label, Detail, FilterText, SortText string
	Documentation                       *struct{ Kind, Value string }
	TextEdit                            struct {
		Range   extent
		NewText string
	}
}

// Each case is a place that is being written, with the cursor, what is offered
// there, and the line after the first of it was taken.
func TestCompletion(t *testing.T) {
	c, uri, _ := garage(t)
	c.open(uri, six)
	sources := []string{"sheet", "handbook"}
	absences := []string{"unknown", "not given", "none", "illegible"}
	cases := []struct {
		name, old, new string
		labels         []string // all of them, or, behind "…", some
		after          string   // the line, the first offer taken
	}{
		{"keys, half written", "    inlet_duration: 231\n", "    inl|\n", []string{"exhaust_opens", "exhaust_closes", "inlet_duration", "exhaust_duration", "overlap", "inlet_lobe_centre", "exhaust_lobe_centre", "lobe_separation", "note"}, "    exhaust_opens: "},
		{"keys, nothing written", "  drive: camshaft\n", "  drive: camshaft\n  |\n", []string{"fixed", "fully_retarded", "range", "contact_gap", "plug_gap", "sparks_per_turn", "note"}, "  fixed: "},
		{"a key corrected", "  kind: coil", "  ki|nd: coil", []string{"…", "kind", "fixed"}, "  kind: coil"},
		{"keys of the file", "ignition:\n", "|\nignition:\n", []string{"note", "identify", "expansion", "lifts", "cams", "marks", "checks", "setting", "accepted"}, "note: "},
		{"a section opens", "ignition:\n", "iden|\nignition:\n", []string{"…", "identify"}, ""},
		{"keys in braces", "inlet: 20 thou, exhaust: 20 thou}", "inlet: 20 thou, | exhaust: 20 thou}", []string{"felt", "inlet_taken_up", "exhaust_taken_up", "note"}, ""},
		{"keys in braces not closed", "  advance: 35 BTDC", "  advance: {is: 35 BTDC, |", []string{"from", "note", "quote", "seen", "set_aside", "claims"}, "  advance: {is: 35 BTDC, from: "},
		{"keys of a claim", "{is: 48 ABDC, from: sheet line 3}", "{is: 48 ABDC, |}", []string{"from", "note", "quote", "seen", "set_aside"}, "        sheet: {is: 48 ABDC, from: }"},
		{"keys of seen", "{is: 48 ABDC, from: sheet line 3}", "{is: 48 ABDC, seen: {|}}", []string{"on", "by"}, "        sheet: {is: 48 ABDC, seen: {on: }}"},
		{"claims by source", "        handbook: {is: 45 ABDC", "        |: {is: 45 ABDC", []string{"handbook"}, "        handbook: {is: 45 ABDC, from: handbook p. 14, set_aside: stamp re-cut at overhaul}"},
		{"a choice", "cycle: four-stroke", "cycle: |", []string{"four-stroke", "two-stroke"}, "  cycle: four-stroke"},
		{"right behind the colon", "cycle: four-stroke", "cycle:|", []string{"four-stroke", "two-stroke"}, "  cycle: four-stroke"},
		{"a choice, half written", "kind: coil", "kind: c|o", []string{"magneto", "coil", "hot tube", "low tension", "compression"}, "  kind: magneto"},
		{"a choice in quotes", "kind: coil", `kind: "c|"`, []string{"magneto", "coil", "hot tube", "low tension", "compression"}, `  kind: "magneto"`},
		{"units", "stroke: 4 1/2 in", "stroke: 4 1/2 |", []string{"in", "thou", "mm"}, "  stroke: 4 1/2 in"},
		{"units, half written", "swept_volume: 2998 cc", "swept_volume: 2998 c|", []string{"cc", "cu in", "L"}, "  swept_volume: 2998 cc"},
		{"units, no space", "stroke: 4 1/2 in", "stroke: 4½|", []string{"in", "thou", "mm"}, "  stroke: 4½ in"},
		{"units, grown on to the number", "stroke: 4 1/2 in", "stroke: 114m|", []string{"in", "thou", "mm"}, "  stroke: 114in"},
		{"a dead centre", "inlet_opens: 3 BTDC", "inlet_opens: 3 B|", []string{"…", "BTDC", "ATDC", "BBDC", "ABDC", "mm BTDC piston", "teeth ATDC"}, "    inlet_opens: 3 BTDC"},
		{"a dead centre behind a unit", "inlet_opens: 3 BTDC", "inlet_opens: 10 mm |", []string{"BTDC piston", "ATDC piston", "BBDC piston", "ABDC piston", "BTDC rim", "ATDC rim", "BBDC rim", "ABDC rim"}, "    inlet_opens: 10 mm BTDC piston"},
		{"no figure", "stroke: 4 1/2 in", "stroke: |", absences, "  stroke: unknown"},
		{"no figure, in a claim", "{is: 48 ABDC, from", "{is: |, from", append([]string{"TDC", "BDC"}, absences...), ""},
		{"removed, in a variant", "inlet_opens: {is: 5 BTDC, from: sheet line 9}", "inlet_opens: |", append(append([]string{"TDC", "BDC"}, absences...), "removed"), ""},
		{"a direction", "  cylinders: 6", "  rotation: cl|", append([]string{"clockwise seen from timing end", "anticlockwise seen from timing end", "clockwise seen from flywheel end", "anticlockwise seen from flywheel end"}, absences...), ""},
		{"a source", "from: handbook p. 22", "from: |", sources, "  from: sheet"},
		{"a source, half written", "from: handbook p. 22", "from: hand|", sources, "  from: sheet"},
		{"a locator", "from: handbook p. 22", "from: handbook p|", nil, ""},
		{"what is copied", "grade: works}", "grade: works, copies: |}", sources, "  sheet: {type: document, title: Setting Sheet 4, grade: works, copies: sheet}"},
		{"a wheel of a train", "crankshaft > idler > camshaft", "crankshaft > |", []string{"camshaft", "idler"}, "    train: crankshaft > camshaft"},
		{"a wheel, half written", "crankshaft > idler > camshaft", "crankshaft > idler + ca|", []string{"camshaft"}, "    train: crankshaft > idler + camshaft"},
		{"wheels to describe", "idler: {teeth: 56}, ", "|, ", []string{"idler"}, ""},
		{"read at", "read_at: checking clearance", "read_at: |", []string{"checking clearance", "not given"}, "    read_at: checking clearance"},
		{"a drive", "drive: camshaft", "drive: |", []string{"camshaft"}, "  drive: camshaft"},
		{"sets of events", "  checking:\n    from: sheet line 3", "  che|\n    from: sheet line 3", []string{"checking"}, ""},
		{"sets of clearances", "clearances:\n", "clearances:\n  r|\n", []string{"running"}, "  running:"},
		{"a set that the base has", "        checking:\n          inlet_opens: {is", "        |\n          inlet_opens: {is", []string{"checking"}, ""},
		{"places to accept", "ignition:\n", "accepted:\n  |\nignition:\n", []string{"…", "size", "size.bore", "events.checking", "events.checking.inlet_duration"}, ""},
		{"rules to accept", "ignition:\n", "accepted:\n  size:\n    |\nignition:\n", []string{"…", "size/swept-volume", "events/overlap"}, ""},
		{"sections that a variant may change", "    change:\n", "    change:\n      |\n", []string{"identify", "layout", "size", "clearances", "expansion", "lifts", "cams", "drives", "marks", "ignition", "checks", "setting"}, ""},
		{"in a comment", "  kind: coil", "  kind: coil # c|", nil, ""},
		{"in a note", "title: Penhallow Six", "title: P|", nil, ""},
		{"in a text of several lines", "title: Penhallow Six", "title: |\nnote: >\n  some words\n", nil, ""},
		{"behind a bracket", "idler: {teeth: 56}, ", "idler: {teeth: 56} |", nil, ""},
		{"behind a quoted text", "kind: coil", `kind: "coil" |`, nil, ""},
		{"a key that there is not", "ignition:\n", "igniton:\n  | \nignition:\n", nil, ""},
	}
	for i, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			text, p := marked(t, with(t, k.old, k.new))
			c.change(uri, i+2, text)
			var items []item
			c.result("textDocument/completion", at(uri, p), &items)
			labels := []string{}
			for _, it := range items {
				labels = append(labels, it.Label)
			}
			if len(k.labels) > 0 && k.labels[0] == "…" {
				assert.Subset(t, labels, k.labels[1:])
			} else {
				assert.ElementsMatch(t, k.labels, labels)
			}
			if k.after != "" {
				require.NotEmpty(t, items)
				assert.Equal(t, k.after, taken(t, text, items[0]))
			}
		})
	}
}

// taken is the line after an offer was taken.
func taken(t *testing.T, text string, it item) string {
	r := it.TextEdit.Range
	require.Equal(t, r.Start.Line, r.End.Line, "an offer changes one line")
	line := utf16.Encode([]rune(strings.Split(text, "\n")[r.Start.Line]))
	return string(utf16.Decode(line[:r.Start.Character])) + it.TextEdit.NewText + string(utf16.Decode(line[r.End.Character:]))
}

func TestCompletionExplains(t *testing.T) {
	c, uri, _ := garage(t)
	text, p := marked(t, with(t, "  kind: coil", "  |"))
	c.open(uri, text)
	var items []item
	c.result("textDocument/completion", at(uri, p), &items)
	for _, it := range items {
		if it.Label != "contact_gap" {
			continue
		}
		assert.Equal(t, "Contact gap", it.Detail)
		require.NotNil(t, it.Documentation)
		assert.Equal(t, "markdown", it.Documentation.Kind)
		assert.Contains(t, it.Documentation.Value, "Contact breaker gap.")
		assert.Contains(t, it.Documentation.Value, "12 thou")
		return
	}
	t.Fatal("contact_gap is not offered")
}

// In a file written as JSON keys stand in quotes.
func TestCompletionInJSON(t *testing.T) {
	c := connect(t)
	c.initialize(able)
	uri := "file:///penhallow/six.json"
	for i, text := range []string{
		`{"engine": "a/b", "title": "B", "size": {"bore": "3 in", "str|"}}`,
		`{"engine": "a/b", "title": "B", "size": {"bore": "3 in", |}}`,
	} {
		text, p := marked(t, text)
		c.open(uri, text)
		var items []item
		c.result("textDocument/completion", at(uri, p), &items)
		require.NotEmpty(t, items, i)
		for _, it := range items {
			if it.Label == "stroke" {
				assert.Equal(t, `{"engine": "a/b", "title": "B", "size": {"bore": "3 in", "stroke": }}`, taken(t, text, it))
			}
		}
	}
}

func TestCompletionInASource(t *testing.T) {
	c, _, uris := garage(t)
	uri := uris["sources/handbook.yaml"]
	text, p := marked(t, handbook+"|\n")
	c.open(uri, text)
	var items []item
	c.result("textDocument/completion", at(uri, p), &items)
	var labels []string
	for _, it := range items {
		labels = append(labels, it.Label)
	}
	assert.Contains(t, labels, "copies")
	assert.NotContains(t, labels, "title")
	text, p = marked(t, strings.Replace(handbook, "maker", "|", 1))
	c.change(uri, 2, text)
	c.result("textDocument/completion", at(uri, p), &items)
	assert.Equal(t, "works", items[0].Label)
}
