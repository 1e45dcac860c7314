package serve_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

// An invented engine with a dataset around it: the handbook is in the register,
// the sheet in the file.
const (
	six = `format: 1
engine: penhallow/six
title: Penhallow Six
made: 1926-1931
layout:
  from: handbook p. 6
  cycle: four-stroke
  cylinders: 6
size:
  from: handbook p. 6
  bore: 2 15/16 in
  stroke: 4 1/2 in
  swept_volume: 2998 cc
  rod_centres: 9 in
clearances:
  checking: {from: sheet line 1, measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou}
events:
  checking:
    from: sheet line 3
    cylinder: 1
    read_at: checking clearance
    inlet_opens: 3 BTDC
    inlet_closes:
      claims:
        sheet: {is: 48 ABDC, from: sheet line 3}
        handbook: {is: 45 ABDC, from: handbook p. 14, set_aside: stamp re-cut at overhaul}
    inlet_duration: 231
drives:
  camshaft:
    from: sheet line 6
    train: crankshaft > idler > camshaft
    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 56}, camshaft: {teeth: 56}}
ignition:
  from: handbook p. 22
  kind: coil
  advance: 35 BTDC
  drive: camshaft
sources:
  sheet: {type: document, title: Setting Sheet 4, grade: works}
variants:
  series-2:
    title: second series
    made: 1929-1931
    change:
      events:
        checking:
          inlet_opens: {is: 5 BTDC, from: sheet line 9}
          inlet_duration: {is: 233, from: sheet line 9}
`
	handbook = "type: pamphlet\ntitle: Instruction Book\nissued: 1927\ngrade: maker\n"
)

// garage is a dataset with the engine of six, and an editor.
func garage(t testing.TB) (c *client, uri string, uris map[string]string) {
	uris = dataset(t, map[string]string{"engines/penhallow/six.yaml": six, "sources/handbook.yaml": handbook})
	c = connect(t)
	c.initialize(able)
	return c, uris["engines/penhallow/six.yaml"], uris
}

// with returns six with one part of it written otherwise.
func with(t testing.TB, old, new string) string {
	require.Equal(t, 1, strings.Count(six, old), "%q occurs once", old)
	return strings.Replace(six, old, new, 1)
}

// underlined is the text in a range, whose characters are units of UTF-16.
func underlined(text string, r extent) string {
	lines := strings.Split(text, "\n")
	offset := func(p position) int {
		units := 0
		for i, c := range lines[p.Line] {
			if units >= p.Character {
				return i
			}
			units += utf16Length(string(c))
		}
		return len(lines[p.Line])
	}
	start, end := offset(r.Start), offset(r.End)
	if r.Start.Line != r.End.Line {
		return lines[r.Start.Line][start:] + "…" + lines[r.End.Line][:end]
	}
	return lines[r.Start.Line][start:end]
}

func TestFindings(t *testing.T) {
	c, uri, _ := garage(t)
	assert.Empty(t, c.open(uri, six).Diagnostics, "nothing is wrong to begin with")
	cases := []struct {
		name, old, new         string
		code                   string
		severity               int
		underlined, message    string
		related, relatedIsLine string
	}{
		{"a slip", "inlet_duration: 231\n", "inlet_duration: 213\n", "events/inlet-duration", 1, "213", "must be", "3 BTDC", "    inlet_opens: 3 BTDC"},
		{"a key misspelt", "bore: 2", "boar: 2", "form/unknown-key", 1, "boar", "`bore`", "", ""},
		{"a unit of another quantity", "2998 cc", "2998 mm", "form/wrong-unit", 1, "2998 mm", "a length", "", ""},
		{"a source unknown", "  from: handbook p. 22", "  from: handbok p. 22", "sources/unknown", 1, "handbok p. 22", "no record", "", ""},
		{"behind characters of two units", "{is: 5 BTDC, from: sheet line 9}", "{note: 😀😀, is: 5 BTDS, from: sheet line 9}", "form/unread-figure", 1, "5 BTDS", "BTDS", "", ""},
		{"only in the variant", "inlet_duration: {is: 233", "inlet_duration: {is: 253", "events/inlet-duration", 1, "5 BTDC", "in variant series-2", "", ""},
		{"a line that cannot be read", "  kind: coil", "  kind coil", "form/unreadable", 1, "kind coil", "colon", "", ""},
		{"a note", "idler: {teeth: 56}", "idler: {teeth: 45}", "drives/marks-meet", 3, "crankshaft > idler > camshaft", "90 turns", "", ""},
		{"a warning", "  advance: 35 BTDC", "  advance: {is: 35 BTDC}\n  plug_gap: {is: 25 thou, from: handbook}", "sources/locator", 2, "handbook", "page", "", ""},
	}
	version := 1
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			version++
			text := with(t, k.old, k.new)
			found := c.change(uri, version, text).Diagnostics
			var d *diagnostic
			for i := range found {
				if found[i].Code == k.code {
					d = &found[i]
				}
			}
			require.NotNil(t, d, "%+v", found)
			assert.Equal(t, k.severity, d.Severity)
			assert.Equal(t, "fourmarks", d.Source)
			assert.Equal(t, k.underlined, underlined(text, d.Range))
			assert.Contains(t, d.Message, k.message)
			if k.relatedIsLine != "" {
				require.NotEmpty(t, d.RelatedInformation)
				assert.Contains(t, d.RelatedInformation[0].Message, k.related)
				assert.Equal(t, uri, d.RelatedInformation[0].Location.URI)
				assert.Equal(t, k.relatedIsLine, strings.Split(text, "\n")[d.RelatedInformation[0].Location.Range.Start.Line])
			}
		})
	}
}

func TestSuspectsAreNamed(t *testing.T) {
	c, uri, _ := garage(t)
	found := c.open(uri, with(t, "inlet_duration: 231\n", "inlet_duration: 213\n")).Diagnostics
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "The slip can be in one of these, the likeliest first:\nevents.checking.inlet_duration, printed 213: must be 230 to 232°; perhaps 231 (")
}

func TestAcceptedFindingsAreNotShown(t *testing.T) {
	c, uri, _ := garage(t)
	wrong := with(t, "inlet_duration: 231\n", "inlet_duration: 213\n")
	require.Len(t, c.open(uri, wrong).Diagnostics, 1)
	assert.Empty(t, c.change(uri, 2, wrong+"accepted:\n  events.checking: {events/inlet-duration: the sheet prints it}\n").Diagnostics)
	left := c.change(uri, 3, wrong+"accepted:\n  events.checking: {events/inlet-duration: \"\"}\n").Diagnostics
	require.Len(t, left, 2, "an acceptance without a reason keeps nothing, and is a finding itself")
}

// What is open in the editor counts, not what is on disk: also a source record,
// and one that has not been saved yet.
func TestOpenRecordsComeBeforeThoseOnDisk(t *testing.T) {
	c, uri, uris := garage(t)
	require.Empty(t, c.open(uri, six).Diagnostics)
	record := uris["sources/handbook.yaml"]
	require.Empty(t, c.open(record, handbook).Diagnostics)

	c.notify("textDocument/didChange", object{"textDocument": object{"uri": record, "version": 2}, "contentChanges": []object{{"text": "grade: maker\n"}}})
	noTitle := c.findings(uri, 1).Diagnostics
	require.NotEmpty(t, noTitle, "a record without a title is none, and whoever cites it is told at once")
	assert.Equal(t, "sources/unknown", noTitle[0].Code)

	c.notify("textDocument/didClose", object{"textDocument": object{"uri": record}})
	assert.Empty(t, c.findings(uri, 1).Diagnostics, "closed, the file on disk counts again")

	unsaved := strings.Replace(record, "handbook", "almanac", 1)
	cites := with(t, "  from: handbook p. 22", "  from: almanac p. 22")
	require.NotEmpty(t, c.change(uri, 2, cites).Diagnostics)
	c.notify("textDocument/didOpen", object{"textDocument": object{"uri": unsaved, "version": 1, "text": strings.Replace(handbook, "Instruction Book", "Almanac", 1)}})
	assert.Empty(t, c.findings(uri, 2).Diagnostics)
}

func TestFilesThatChangeOnDiskAreSeen(t *testing.T) {
	for _, notification := range []string{"textDocument/didSave", "workspace/didChangeWatchedFiles"} {
		c, uri, uris := garage(t)
		require.Empty(t, c.open(uri, six).Diagnostics)
		path := strings.TrimPrefix(uris["sources/handbook.yaml"], "file://")
		require.NoError(t, os.Remove(path))
		c.notify(notification, object{"textDocument": object{"uri": uri}})
		gone := c.findings(uri, 1).Diagnostics
		require.NotEmpty(t, gone, notification)
		assert.Equal(t, "sources/unknown", gone[0].Code)
		require.NoError(t, os.WriteFile(path, []byte(handbook), 0o644))
		c.notify(notification, object{"textDocument": object{"uri": uri}})
		assert.Empty(t, c.findings(uri, 1).Diagnostics, notification)
	}
}

// A closed document shows nothing, and the findings of the version before do not
// come after those of a later one.
func TestFindingsFollowTheDocument(t *testing.T) {
	c, uri, _ := garage(t)
	c.open(uri, six)
	for v := 2; v < 60; v++ {
		c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": v}, "contentChanges": []object{{"text": with(t, "231", fmt.Sprint(200+v))}}})
	}
	c.notify("textDocument/didClose", object{"textDocument": object{"uri": uri}})
	require.Nil(t, c.call("shutdown", nil).Error)
	last := 1
	for {
		s := received(t, c.shown)
		if s.Version == nil {
			assert.Empty(t, s.Diagnostics)
			break
		}
		assert.Greater(t, *s.Version, last)
		last = *s.Version
	}
	require.NoError(t, c.in.Close())
	c.wait()
	assert.Empty(t, c.shown, "nothing is shown of a closed document")
}

// Other YAML files are none of the server's business.
func TestFilesOfOtherKinds(t *testing.T) {
	c, _, uris := garage(t)
	other := strings.Replace(uris["sources/handbook.yaml"], "sources/handbook.yaml", "compose.yaml", 1)
	assert.Empty(t, c.open(other, "services:\n  web: {image: x, from: y}\n").Diagnostics)
	for _, method := range []string{"hover", "completion", "definition", "documentSymbol", "formatting", "codeAction"} {
		r := c.call("textDocument/"+method, object{"textDocument": object{"uri": other}, "position": position{1, 9}, "range": extent{}, "context": object{}, "options": object{}})
		assert.Nil(t, r.Error, method)
		assert.Contains(t, []string{"null", "[]"}, string(r.Result), method)
	}
	assert.NotEmpty(t, c.open("untitled:Untitled-1", "engine: a/b\ntitle: B\nsize: {boar: 3 in}\n").Diagnostics, "but for one that says what it is")
}

// A file that has not been saved yet may cite the register of the workspace: the
// dataset that its folder is, or has in the folder data.
func TestAFileNotSavedYet(t *testing.T) {
	text := strings.Replace(six, "penhallow/six", "penhallow/seven", 1)
	for _, within := range []string{"", "data/"} {
		uris := dataset(t, map[string]string{within + "sources/handbook.yaml": handbook})
		c := connect(t)
		c.call("initialize", object{"rootUri": strings.TrimSuffix(uris[within+"sources/handbook.yaml"], "/"+within+"sources/handbook.yaml"), "capabilities": able})
		c.notify("initialized", object{})
		assert.Empty(t, c.open("untitled:Untitled-1", text).Diagnostics)
	}
	c := connect(t)
	c.initialize(able)
	assert.NotEmpty(t, c.open("untitled:Untitled-1", text).Diagnostics, "without a workspace there is no register")
}

func TestTheRecordOfMovedIDs(t *testing.T) {
	uris := dataset(t, map[string]string{"engines/penhallow/six.yaml": six, "moved.yaml": ""})
	c := connect(t)
	c.initialize(able)
	assert.Empty(t, c.open(uris["moved.yaml"], "penhallow/old: {to: penhallow/six, because: a better name}\n").Diagnostics)
	assert.NotEmpty(t, c.change(uris["moved.yaml"], 2, "penhallow/old: {to: penhallow/sixx, because: a better name}\n").Diagnostics)
}

// A document of 50 MB is refused in place, and the session goes on.
func TestADocumentThatIsTooLong(t *testing.T) {
	c, uri, _ := garage(t)
	long := six + "note: " + strings.Repeat("x", 50<<20) + "\n"
	found := c.open(uri, long).Diagnostics
	require.Len(t, found, 1)
	assert.Equal(t, "form/unreadable", found[0].Code)
	assert.Contains(t, found[0].Message, "the limit is 1048576")
	r := c.call("textDocument/completion", at(uri, position{1, 0}))
	require.Nil(t, r.Error)
	assert.Empty(t, c.change(uri, 2, six).Diagnostics)
}

// Beyond what is read at all the text is not known any more, and whoever edits
// is told so, until the whole text comes again.
func TestAMessageThatIsTooLong(t *testing.T) {
	c, uri, _ := garage(t)
	c.open(uri, six)
	const length = 65 << 20
	c.write(fmt.Sprintf("Content-Length: %d\r\n\r\n", length))
	c.write(strings.Repeat(" ", length))
	refused := received(t, c.calls)
	require.NotNil(t, refused.Error)
	assert.Equal(t, -32600, refused.Error.Code)
	lost := c.findings(uri, 1).Diagnostics
	require.Len(t, lost, 1)
	assert.Contains(t, lost[0].Message, "close it and open it again")
	assert.NotNil(t, c.call("textDocument/formatting", object{"textDocument": object{"uri": uri}, "options": object{}}).Error, "what is not known is not changed")
	assert.Empty(t, c.change(uri, 2, six).Diagnostics)
}

// The editor shows what `lint FILE` says, for every published engine.
func TestTheSameAsTheLinter(t *testing.T) {
	files, err := filepath.Glob("../../testdata/published/engines/*/*.yaml")
	require.NoError(t, err)
	require.Greater(t, len(files), 20)
	c := connect(t)
	c.initialize(able)
	for _, file := range files {
		inputs, err := store.Open(file)
		require.NoError(t, err)
		res, err := run.Lint(context.Background(), inputs, run.Options{Rules: rules.All()})
		require.NoError(t, err)
		var want []string
		for _, f := range res.Findings {
			want = append(want, fmt.Sprintf("%d %s %d", f.Line, f.Rule, map[lint.Level]int{lint.Error: 1, lint.Warning: 2, lint.Note: 3}[f.Level]))
		}
		b, err := os.ReadFile(file)
		require.NoError(t, err)
		abs, err := filepath.Abs(file)
		require.NoError(t, err)
		var got []string
		for _, d := range c.open(uriOf(abs), string(b)).Diagnostics {
			got = append(got, fmt.Sprintf("%d %s %d", d.Range.Start.Line+1, d.Code, d.Severity))
		}
		assert.Equal(t, want, got, file)
	}
}
