package schema_test

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"

	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

func TestTidy(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"keys as the schema orders them": {
			in:   "title: T\nsize:\n  stroke: 4 in\n  bore: 3 in\n  from: sheet\nengine: a/b\nformat: 1\n",
			want: "format: 1\nengine: a/b\ntitle: T\nsize:\n  from: sheet\n  bore: 3 in\n  stroke: 4 in\n",
		},
		"a figure's own keys, in braces and below": {
			in: "format: 1\nsize:\n  bore: {note: n, from: s, is: 3 in}\n  stroke:\n    claims:\n      s: {seen: {by: A, on: 2020}, is: 4 in}\n    note: x\n",
			want: "format: 1\nsize:\n  bore: {is: 3 in, from: s, note: n}\n  stroke:\n    note: x\n    claims:\n" +
				"      s: {is: 4 in, seen: {on: 2020, by: A}}\n",
		},
		"groups keep the order of the file": {
			in:   "format: 1\nevents:\n  running: {overlap: 3}\n  checking: {overlap: 4, cylinder: 1}\n",
			want: "format: 1\nevents:\n  running: {overlap: 3}\n  checking: {cylinder: 1, overlap: 4}\n",
		},
		"a variant's change is ordered as the engine is": {
			in:   "format: 1\nvariants:\n  b:\n    change:\n      events: {checking: {overlap: 1, inlet_opens: 3 BTDC}}\n      size: {stroke: 1 in, bore: 2 in}\n    made: 1929\n",
			want: "format: 1\nvariants:\n  b:\n    made: 1929\n    change:\n      size: {bore: 2 in, stroke: 1 in}\n      events: {checking: {inlet_opens: 3 BTDC, overlap: 1}}\n",
		},
		"unknown keys stand last, in their order": {
			in:   "zeta: 1\nalpha: 2\nformat: 1\n",
			want: "format: 1\nzeta: 1\nalpha: 2\n",
		},
		"a source": {
			in:   "grade: maker\ntitle: Handbook\ntype: book\nnote: n\nrights: public domain\n",
			want: "type: book\ntitle: Handbook\ngrade: maker\nrights: public domain\nnote: n\n",
		},
		"moved ids": {
			in:   "b/old: {because: renamed, to: b/new}\na/old:\n  because: split\n  to:\n  - a/x\n  - a/y\n",
			want: "b/old: {to: b/new, because: renamed}\na/old:\n  to:\n    - a/x\n    - a/y\n  because: split\n",
		},
		"spacing, line ends, byte order mark, no final line end": {
			in:   "\ufeffformat:    1\r\ntitle :  T  \r\nsize:\r\n     bore:   .004\"  \r\n     stroke:  4 1/2 in",
			want: "format: 1\ntitle: T\nsize:\n  bore: .004\"\n  stroke: 4 1/2 in\n",
		},
		"quotes and prints stay": {
			in:   "format: 1\ntitle: 'it''s'\nmade: \"1926\"\nsize: {\"bore\": 010, 'stroke': \"1,5 mm\"}\n",
			want: "format: 1\ntitle: 'it''s'\nmade: \"1926\"\nsize: {\"bore\": 010, 'stroke': \"1,5 mm\"}\n",
		},
		"blank lines: one stays one, several become one, none at the ends of a section": {
			in:   "format: 1\n\n\n\nsize:\n\n  bore: 1 in\n\n  stroke: 2 in\n\n\n",
			want: "format: 1\n\nsize:\n  bore: 1 in\n\n  stroke: 2 in\n",
		},
		"comments stay with their line": {
			in: "# about this file\n\n# the title\ntitle: T   # said so\nsize:\n  # stroke, measured\n  stroke: 1 in\n" +
				"  bore: 2 in # bore\n             # goes on\n  # rod_centres: ?\nformat: 1\n# the end\n",
			want: "# about this file\n\nformat: 1\n# the title\ntitle: T  # said so\nsize:\n  bore: 2 in  # bore\n              # goes on\n" +
				"  # stroke, measured\n  stroke: 1 in\n  # rod_centres: ?\n# the end\n",
		},
		"braces with a comment get a line for each member": {
			in:   "format: 1\nsize: {bore: 1 in, # bore\n  stroke: 2 in}  # sizes\n",
			want: "format: 1\nsize:  # sizes\n  bore: 1 in  # bore\n  stroke: 2 in\n",
		},
		"braces that fit come onto one line": {
			in:   "format: 1\nsize: {\n  stroke: 2 in ,\n  bore: 1 in,\n  }\nlayout: {throws: [0,\n    240]}\n",
			want: "format: 1\nlayout: {throws: [0, 240]}\nsize: {bore: 1 in, stroke: 2 in}\n",
		},
		"braces too long for the line get a line for each member": {
			in: "format: 1\ncams: {inlet: {from: drawing, lift_at: tappet, profile: three-arc, base_radius: 0.500 in, table: {\"0\": 0 in, \"10\": 1 in}}}\n",
			want: "format: 1\ncams:\n  inlet:\n    from: drawing\n    lift_at: tappet\n    profile: three-arc\n    base_radius: 0.500 in\n" +
				"    table: {\"0\": 0 in, \"10\": 1 in}\n",
		},
		"texts of several lines keep their lines": {
			in:   "format: 1\nnote: read off\n     the casting\ntitle: \"a\n\n    b \\\n    c\"\nsize:\n    note: |\n        one\n          two\n\n        three\n    bore: 1 in\n",
			want: "format: 1\ntitle: \"a\n\n  b \\\n  c\"\nnote: read off\n  the casting\nsize:\n  bore: 1 in\n  note: |\n    one\n      two\n\n    three\n",
		},
		"blocks of text keep what follows their lines": {
			in:   "format: 1\nnote: |+\n  text\n\n\ntitle: >-\n  folded\n  on\nmade: |4\n      deep\n    less\nsize: {note: s}\n",
			want: "format: 1\ntitle: >-\n  folded\n  on\nmade: |2\n    deep\n  less\nnote: |+\n  text\n\n\nsize: {note: s}\n",
		},
		"a block of text that ends with the file": {
			in:   "format: 1\nnote: |\n  text",
			want: "format: 1\nnote: |-\n  text\n",
		},
		"a block of text swallows no comment": {
			in:   "format: 1\nsize:\n  note: |\n      text\n    # beneath\n\n  bore: 1 in\n",
			want: "format: 1\nsize:\n  bore: 1 in\n  # beneath\n  note: |\n    text\n",
		},
		"lists stand further in than their key": {
			in:   "format: 1\nsetting:\n  cautions:\n  - never backwards   # really\n  -   second\n",
			want: "format: 1\nsetting:\n  cautions:\n    - never backwards  # really\n    - second\n",
		},
		"a comment beneath an entry": {
			in:   "format: 1\nsize:\n  bore: 1 in\n    # beneath the bore\n\n  stroke: 2 in\n  from: s\n",
			want: "format: 1\nsize:\n  from: s\n  bore: 1 in\n    # beneath the bore\n\n  stroke: 2 in\n",
		},
		"a document mark goes": {
			in:   "--- # engine\nformat: 1\ntitle: T\n",
			want: "# engine\n\nformat: 1\ntitle: T\n",
		},
		"empty values stay empty": {
			in:   "format: 1\nsize:\nlayout: {cycle: , throws: []}\n",
			want: "format: 1\nlayout: {cycle: , throws: []}\nsize:\n",
		},
		"comments above the entry that comes first keep to it": {
			in:   "title: T\n\n# version\n\n# of the format\n\nformat: 1\n",
			want: "# version\n# of the format\nformat: 1\ntitle: T\n",
		},
		"JSON is left as it is": {
			in:   "{\"title\":\"T\",\n\"format\":1}",
			want: "{\"title\":\"T\",\n\"format\":1}",
		},
	} {
		t.Run(name, func(t *testing.T) {
			out, err := schema.Tidy([]byte(c.in))
			require.NoError(t, err)
			assert.Equal(t, c.want, string(out))
			again, err := schema.Tidy(out)
			require.NoError(t, err)
			assert.Equal(t, c.want, string(again), "tidying again changes nothing")
		})
	}
}

func TestTidyRefuses(t *testing.T) {
	for name, c := range map[string]struct{ in, want string }{
		"a key twice":     {"format: 1\ntitle: a\ntitle: b\n", "line 3, column 1: the key `title`"},
		"an anchor":       {"format: &x 1\n", "line 1, column 9: anchors are not used"},
		"an empty file":   {"", "the file is empty"},
		"only comments":   {"# nothing\n", "the file is empty"},
		"a list":          {"- a\n", "holds no keys"},
		"a text":          {"words\n", "holds no keys"},
		"not text at all": {strings.Repeat("\x00\x01", 64), "not a text file"},
		"too long":        {"format: 1\nnote: " + strings.Repeat("x", 1<<20) + "\n", "the limit is 1048576"},
		"too deep":        {"format: " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\n", "more than 32 levels"},
	} {
		t.Run(name, func(t *testing.T) {
			out, err := schema.Tidy([]byte(c.in))
			require.ErrorContains(t, err, c.want)
			assert.Nil(t, out)
		})
	}
}

// Wherever the JSON Schema lists the keys of a figure, it lists them
// in the order that Tidy writes.
func TestFiguresKeysStandAsInTheSchema(t *testing.T) {
	want := "is from note quote seen set_aside claims"
	found := 0
	lists := regexp.MustCompile(`(?s)"properties": \{\s*"is": .*?"additionalProperties": false`)
	for _, list := range lists.FindAllString(string(schema.EngineSchema()), -1) {
		found++
		at := -1
		for _, key := range strings.Fields(want) {
			here := strings.Index(list, `"`+key+`": {`)
			if here < 0 {
				require.Equal(t, "claims", key)
				continue
			}
			require.Greater(t, here, at, "%s in %s", key, list)
			at = here
		}
	}
	require.Greater(t, found, 25, "every kind of figure")
}

// writer writes engine files the way many hands do: keys in any order, any
// indentation and spacing, braces or none, comments and blank lines anywhere.
// Every comment names the place it belongs to.
type writer struct {
	t *rapid.T
	b strings.Builder
	// comments are the names of all places that got one.
	comments []string
}

func (w *writer) flip(label string) bool { return rapid.IntRange(0, 3).Draw(w.t, label) == 0 }

func (w *writer) spaces(label string, most int) string {
	return strings.Repeat(" ", rapid.IntRange(0, most).Draw(w.t, label))
}

// tree is a map in the order it is to be written; a value is a string, which
// stands as it is, or a tree.
type tree []branch

type branch struct {
	key   string
	value any
}

var someSections = []branch{
	{"engine", "penhallow/light-six"}, {"title", "'Penhallow Light Six'"}, {"made", "1926-1931"},
	{"note", "\"two\n   lines, \\\"quoted\\\"\""},
	{"identify", tree{{"from", "handbook p. 2"}, {"numbers", tree{{"from", "LS1001"}, {"to", "LS4750"}, {"found", "on the crankcase"}}}, {"also_called", "The Light Six"}}},
	{"layout", tree{{"from", "handbook p. 6"}, {"cylinders", "6"}, {"throws", "[0, 240,120 , 120, 240, 0]"}, {"firing_order", "1-4-2-6-3-5"}, {"rotation", "clockwise seen from timing end"}}},
	{"size", tree{{"from", "handbook p. 6"}, {"bore", "2 15/16 in"}, {"stroke", tree{{"is", "4½ in"}, {"from", "sheet"}, {"note", "measured"}}},
		{"swept_volume", tree{{"note", "two sources"}, {"claims", tree{{"handbook", tree{{"is", "2998 cc"}}}, {"sheet#b", tree{{"is", "3000 cc"}, {"set_aside", "rounded"}}}}}}}}},
	{"clearances", tree{{"running", tree{{"inlet", "4 thou"}, {"exhaust", ".006\""}, {"note", "|\n"}}}, {"checking", tree{{"inlet", "'0,45 mm'"}, {"engine", "cold"}}}}},
	{"events", tree{{"checking", tree{{"from", "sheet"}, {"inlet_opens", "3 BTDC"}, {"inlet_closes", "48 ABDC"}, {"overlap", "13"}}}, {"running", tree{{"inlet_opens", "12°30' BTDC"}}}}},
	{"cams", tree{{"inlet", tree{{"profile", "three-arc"}, {"table", tree{{"\"0\"", "0 in"}, {"\"10\"", "0.004 in"}}}}}}},
	{"setting", tree{{"turn_by", "flywheel"}, {"cautions", "[never backwards, 'mind the mark']"}}},
	{"sources", tree{{"sheet", tree{{"title", "Setting sheet"}, {"grade", "works"}, {"issued", "1928"}}}}},
	{"accepted", tree{{"events.checking", tree{{"events/overlap", "both sheets print it"}}}}},
	{"stranger", "unknown keys are kept"},
}

func (w *writer) file() string {
	sections := rapid.Permutation(someSections).Draw(w.t, "sections")
	sections = append(sections[:rapid.IntRange(1, len(sections)).Draw(w.t, "how many")], branch{"format", "1"})
	if w.flip("mark") {
		w.b.WriteString("\ufeff")
	}
	w.tree(sections, "", 0)
	s := w.b.String()
	if w.flip("CRLF") {
		s = strings.ReplaceAll(s, "\n", "\r\n")
	}
	if w.flip("no end") {
		s = strings.TrimRight(s, "\r\n")
	}
	return s
}

func (w *writer) tree(of tree, path string, indent int) {
	for i, b := range rapid.Permutation([]branch(of)).Draw(w.t, "order") {
		below := path + "/" + strings.ReplaceAll(strings.Trim(b.key, `"`), "/", "~1")
		margin := strings.Repeat(" ", indent)
		if w.flip("blank") {
			w.b.WriteString(w.spaces("blanks", 2) + "\n")
		}
		// A comment that a blank line parts from the first entry is the file's own.
		if w.flip("above") && (path != "" || i > 0) {
			w.b.WriteString(margin + w.comment(below) + w.spaces("trailing", 2) + "\n")
			if w.flip("blank below") {
				w.b.WriteString("\n")
			}
		}
		w.b.WriteString(margin + b.key + w.spaces("before colon", 1) + ":")
		switch v := b.value.(type) {
		case string:
			w.scalar(v, indent)
			w.beside(below)
		case tree:
			if w.flip("braces") {
				w.b.WriteString(" " + w.spaces("gap", 3))
				w.braces(v)
				w.beside(below)
				continue
			}
			w.beside(below)
			w.tree(v, below, indent+rapid.IntRange(1, 5).Draw(w.t, "step"))
		}
	}
}

func (w *writer) scalar(v string, indent int) {
	w.b.WriteString(" " + w.spaces("gap", 3))
	if v == "|\n" {
		w.b.WriteString("|\n" + strings.Repeat(" ", indent+3) + "text\n" + strings.Repeat(" ", indent+5) + blockEnd)
		return
	}
	w.b.WriteString(strings.ReplaceAll(v, "\n", "\n"+strings.Repeat(" ", indent+2)))
}

// beside ends a line, with a comment at times. Behind a block of text whatever
// follows would be more of it.
func (w *writer) beside(path string) {
	if strings.HasSuffix(w.b.String(), blockEnd) {
		w.b.WriteString("\n")
		return
	}
	if w.flip("beside") {
		w.b.WriteString(" " + w.spaces("before comment", 3) + w.comment(path))
	}
	w.b.WriteString(w.spaces("trailing", 2) + "\n")
}

const blockEnd = "deeper"

func (w *writer) comment(path string) string {
	w.comments = append(w.comments, path)
	return "# of " + path
}

func (w *writer) braces(of tree) {
	w.b.WriteString("{" + w.spaces("in", 1))
	for i, b := range rapid.Permutation([]branch(of)).Draw(w.t, "order") {
		if i > 0 {
			w.b.WriteString("," + w.spaces("comma", 2))
		}
		w.b.WriteString(b.key + ": ")
		switch v := b.value.(type) {
		case tree:
			w.braces(v)
		case string:
			if v == "|\n" || strings.Contains(v, "\n") {
				v = "text"
			}
			w.b.WriteString(v)
		}
	}
	w.b.WriteString("}")
}

// plain reads a file by a YAML library that shares nothing with ours.
func plain(t require.TestingT, source []byte) any {
	var v any
	require.NoError(t, yaml.Unmarshal(bytes.TrimPrefix(source, []byte("\ufeff")), &v), "%s", source)
	return v
}

// owners lists the comments of a text that name a place, and the places that
// they are attached to.
func owners(source []byte) (named, attached []string) {
	d := text.Parse(source, text.DefaultLimits())
	d.Walk(func(path text.Path, n *text.Node) bool {
		for i := range n.Entries {
			e := &n.Entries[i]
			a := d.Attached(e)
			for _, c := range slices.Concat(a.Above, a.Beside, a.Inside, a.Below) {
				words := strings.TrimSpace(string(source[c.Span.Start:c.Span.End]))
				named = append(named, strings.TrimPrefix(words, "# of "))
				attached = append(attached, append(path, e.Key.Text).String())
			}
		}
		return true
	})
	return named, attached
}

func TestTidyKeepsEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &writer{t: t}
		in := []byte(w.file())
		out, err := schema.Tidy(in)
		require.NoError(t, err, "%s", in)

		again, err := schema.Tidy(out)
		require.NoError(t, err)
		require.Equal(t, string(out), string(again), "tidying again changes nothing")

		require.Equal(t, plain(t, in), plain(t, out), "another reader sees the same values")
		require.Equal(t, decoded(in), decoded(out), "the decoder sees the same figures")

		named, attached := owners(out)
		require.Equal(t, named, attached, "comments stay with their entry:\n%s", out)
		require.ElementsMatch(t, w.comments, named, "every comment is kept")

		require.NotContains(t, string(out), "\r")
		require.False(t, bytes.HasPrefix(out, []byte("\ufeff")))
		require.True(t, bytes.HasSuffix(out, []byte("\n")) && !bytes.HasSuffix(out, []byte("\n\n")))
		for _, line := range strings.Split(string(out), "\n") {
			require.Equal(t, strings.TrimRight(line, " \t"), line, "no blanks at the end of a line")
		}
	})
}

// decoded is all that the decoder makes of an engine file, without places.
func decoded(source []byte) []string {
	e, problems := schema.DecodeEngine(schema.ReadFile("x.yaml", source))
	var all []string
	for _, f := range e.Figures() {
		for _, c := range f.Claims {
			all = append(all, fmt.Sprintf("%s %s %q %q %q %q %+v", f.Path, c.Key, c.Printed.Text, c.From.String(), c.Note.Text, c.SetAside.Text, c.Printed.Readings))
		}
	}
	for _, a := range e.Accepted {
		all = append(all, a.Path+" "+a.Rule+" "+a.Reason)
	}
	for _, p := range problems {
		all = append(all, p.Message)
	}
	slices.Sort(all)
	return all
}

func FuzzTidy(f *testing.F) {
	f.Add([]byte("title: T # x\n\n# y\nformat: 1\nsize: {bore: 1 in,\n stroke: 2 in}\n"))
	f.Add([]byte("a: |+\n  x\n\nb:\n- - 1\n  - 2\n-\n  # c\n  d: e\n"))
	f.Add([]byte("--- # c\n\"k\" : >2-\n    x\n   y\n# d\n'z': \"a \\\n   b\"\n"))
	f.Add([]byte("\ufeffa:\r\n   # in\r\n   v\r\nb: [ # c\r\n ]\r\n"))
	f.Fuzz(func(t *testing.T, in []byte) {
		before := bytes.Clone(in)
		out, err := schema.Tidy(in)
		assert.Equal(t, before, in, "the source is not touched")
		if err != nil {
			return
		}
		again, err := schema.Tidy(out)
		require.NoError(t, err, "%q", out)
		require.Equal(t, string(out), string(again))
		if doc := text.Parse(in, text.DefaultLimits()); !doc.Root.Flow {
			require.Equal(t, doc.Value(), text.Parse(out, text.DefaultLimits()).Value())
		}
	})
}

// The difference between the two is what a clean file costs once it is read.
func BenchmarkTidyClean(b *testing.B) {
	source := []byte(cleanEngine())
	b.SetBytes(int64(len(source)))
	for b.Loop() {
		if _, err := schema.Tidy(source); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadClean(b *testing.B) {
	source := []byte(cleanEngine())
	b.SetBytes(int64(len(source)))
	for b.Loop() {
		if f := schema.ReadFile("x.yaml", source); len(f.Doc.Problems) > 0 {
			b.Fatal(f.Doc.Problems)
		}
	}
}

// cleanEngine is an engine file of about 4 KB in canonical form.
func cleanEngine() string {
	var b strings.Builder
	b.WriteString("format: 1\nengine: penhallow/light-six\ntitle: Penhallow Light Six\nmade: 1926-1931\n\nevents:\n")
	for i := range 13 {
		fmt.Fprintf(&b, "  set-%d:\n    from: sheet p. %d\n    read_at: checking clearance\n", i, i)
		for _, key := range []string{"inlet_opens: 3 BTDC", "inlet_closes: 48 ABDC", "exhaust_opens: 47 BBDC", "exhaust_closes: 10 ATDC",
			"inlet_duration: {is: 231, from: sheet p. 2, note: worked out}", "exhaust_duration: 237", "overlap: 13"} {
			b.WriteString("    " + key + "\n")
		}
		b.WriteString("\n")
	}
	b.WriteString("sources:\n  sheet: {type: document, title: Setting sheet, issued: 1928, grade: works}\n")
	return b.String()
}
