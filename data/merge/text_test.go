package merge_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
)

// Three texts of which each side changed one figure.
const (
	before = head + "lifts:\n  from: handbook\n  inlet: 8 mm\n  exhaust: 8 mm\n"
	mine   = head + "lifts:\n  from: handbook\n  inlet: 9 mm\n  exhaust: 8 mm\n"
	other  = head + "lifts:\n  from: handbook\n  inlet: 8 mm\n  exhaust: 7 mm\n"
	both   = head + "lifts:\n  from: handbook\n  inlet: 9 mm\n  exhaust: 7 mm\n"
)

func crlf(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }

const bom = "\uFEFF"

// unended is a text without the end of its last line.
func unended(s string) string { return strings.TrimRight(s, "\r\n") }

func TestLineEndsAndMarks(t *testing.T) {
	mixed := func(s string) string { return strings.Replace(s, "lifts:\n", "lifts:\r\n", 1) }
	for name, c := range map[string]struct{ base, ours, theirs, want string }{
		"CRLF":                           {crlf(before), crlf(mine), crlf(other), crlf(both)},
		"CRLF on one side only":          {before, crlf(mine), other, crlf(both)},
		"CRLF left behind by one side":   {crlf(before), crlf(mine), other, both},
		"CR":                             {strings.ReplaceAll(before, "\n", "\r"), strings.ReplaceAll(mine, "\n", "\r"), strings.ReplaceAll(other, "\n", "\r"), strings.ReplaceAll(both, "\n", "\r")},
		"mixed line ends":                {mixed(before), mixed(mine), mixed(other), mixed(both)},
		"a byte order mark":              {bom + before, bom + mine, bom + other, bom + both},
		"a byte order mark taken away":   {bom + before, mine, bom + other, both},
		"no final line end":              {unended(before), unended(mine), unended(other), unended(both)},
		"a final line end on one side":   {unended(before), mine, unended(other), both},
		"no final line end, added to":    {unended(before), unended(before) + "\nmade: 1926", unended(other), unended(other) + "\nmade: 1926"},
		"byte order mark and CRLF":       {bom + crlf(before), bom + crlf(mine), bom + crlf(other), bom + crlf(both)},
		"a start of the document":        {"---\n" + before, "---\n" + mine, "---\n" + other, "---\n" + both},
		"comments at the start":          {"# a\n\n" + before, "# a\n# b\n\n" + mine, "# a\n\n" + other, "# a\n# b\n\n" + both},
		"comments at the start, of both": {before, "# b\n\n" + mine, "# a\n\n" + other, "# a\n# b\n\n" + both},
		"comments at the end, of both":   {before, mine + "# b\n", other + "# a\n", both + "# a\n# b\n"},
		"blank lines at the end":         {before + "\n\n", mine + "\n\n", other + "\n\n", both + "\n\n"},
	} {
		t.Run(name, func(t *testing.T) {
			for _, sides := range [][2]string{{c.ours, c.theirs}, {c.theirs, c.ours}} {
				r, err := engine(c.base, sides[0], sides[1])
				require.NoError(t, err)
				require.Empty(t, r.Conflicts)
				assert.Equal(t, c.want, string(r.Text))
			}
			for _, x := range []string{c.base, c.ours, c.theirs} {
				isFixedPoint(t, []byte(c.base), []byte(x))
			}
		})
	}
}

// TestRefusals: what cannot be read in full is not merged, whichever text it is.
func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"a marker":                   {before + "<<<<<<< HEAD\n", "line 8 of %s is a marker of an unfinished merge; finish that merge first"},
		"a marker without a name":    {before + "=======\n", "line 8 of %s is a marker"},
		"a marker of the base":       {before + "||||||| 1f8fbc5\n", "line 8 of %s is a marker"},
		"a marker with CRLF":         {before + ">>>>>>>\r\n", "line 8 of %s is a marker"},
		"a marker within a text":     {before + "note: |\n  a\n=======\n", "line 10 of %s is a marker"},
		"a key twice":                {before + "title: Again\n", "line 8, column 1 of %s: "},
		"no YAML":                    {before + "made: {\n", "of %s: "},
		"an anchor":                  {before + "made: &a 1\n", "of %s: "},
		"bytes that are no text":     {before + "made: \xff\n", "of %s: "},
		"a text without keys":        {"Tolvane Heron\n", "%s holds no keys"},
		"a list":                     {"- a\n", "%s holds no keys"},
		"nothing but a comment":      {"# nothing\n", "of %s: "},
		"a character of control":     {before + "made: \x01\n", "of %s: "},
		"two documents":              {before + "---\n" + before, "of %s: "},
		"tabs in place of blanks":    {before + "size:\n\tbore: 3 in\n", "of %s: "},
		"a file beyond a mebibyte":   {before + "note: " + strings.Repeat("x", 1<<20) + "\n", "of %s: "},
		"collections beyond measure": {before + "note: " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\n", "of %s: "},
	} {
		t.Run(name, func(t *testing.T) {
			for i, side := range []string{"the base", "ours", "theirs"} {
				texts := [3]string{before, mine, other}
				texts[i] = c.text
				r, err := engine(texts[0], texts[1], texts[2])
				require.Error(t, err)
				assert.Nil(t, r)
				assert.ErrorContains(t, err, "engines/tolvane/heron.yaml: ")
				assert.ErrorContains(t, err, strings.ReplaceAll(c.says, "%s", side))
			}
		})
	}
	for _, side := range []int{1, 2} {
		texts := [3]string{before, mine, other}
		texts[side] = ""
		_, err := engine(texts[0], texts[1], texts[2])
		require.Error(t, err, "an empty file is not a merge's to make")
	}
}

// A row of equals signs as text is no marker where a text may hold one.
func TestWhatLooksLikeAMarker(t *testing.T) {
	r, err := engine(before, mine+"note: |\n  ========\n  =======\n", other)
	require.NoError(t, err)
	assert.Equal(t, both+"note: |\n  ========\n  =======\n", string(r.Text))
}

func TestOtherFiles(t *testing.T) {
	source := "title: Handbook\ngrade: maker\n"
	r, err := merge.Documents(lint.SourceFile, "sources/h.yaml", merge.Base{Text: []byte(source)}, []byte(source+"issued: 1927\n"), []byte("type: book\n"+source))
	require.NoError(t, err)
	assert.Equal(t, "type: book\n"+source+"issued: 1927\n", string(r.Text))

	moved := "a/b: {to: [c/d], because: split}\n"
	r, err = merge.Documents(lint.MovedFile, "moved.yaml", merge.Base{Text: []byte(moved)},
		[]byte("a/b: {to: [c/d, c/e], because: split}\n"), []byte("a/b: {to: [c/d, c/f], because: split}\nx/y: {to: x/z, because: renamed}\n"))
	require.NoError(t, err)
	assert.Equal(t, "a/b: {to: [c/d, c/e, c/f], because: split}\nx/y: {to: x/z, because: renamed}\n", string(r.Text))
}

func TestJSONStaysJSON(t *testing.T) {
	base := `{
  "format": 1, "engine": "a/b", "title": "T",
  "lifts": {
    "from": "handbook p. 3",
    "inlet": "8 mm"
  }
}
`
	ours := strings.Replace(base, `"handbook p. 3"`, `"sheet-4"`, 1)
	theirs := strings.Replace(base, `"8 mm"`, `"8 mm",`+"\n    \"exhaust\": \"9 mm\"", 1)
	for _, sides := range [][2]string{{ours, theirs}, {theirs, ours}} {
		r, err := engine(base, sides[0], sides[1])
		require.NoError(t, err)
		assert.JSONEq(t, `{"format": 1, "engine": "a/b", "title": "T",
			"lifts": {"from": "sheet-4", "inlet": "8 mm", "exhaust": {"is": "9 mm", "from": "handbook p. 3"}}}`, string(r.Text))
	}
}

// TestEmptiedFromBothSides: a section of which each side takes out a part is gone, and
// not left empty, which the format does not allow.
func TestEmptiedFromBothSides(t *testing.T) {
	r, err := engine(head+"identify:\n  numbers: {from: TH1, to: TH9}\n", head+"identify:\n  numbers: {from: TH1}\n", head+"identify:\n  numbers: {to: TH9}\n")
	require.NoError(t, err)
	assert.Equal(t, head, string(r.Text))
	assert.Len(t, r.Removed, 2)
}

// A file of empty braces says nothing, and a merge of two says no more.
func TestEmptyBraces(t *testing.T) {
	for _, c := range [][4]string{
		{"", "{}", "title: T\n", "title: T\n"}, {"", "{}", "{title: T}\n", "{title: T}\n"},
		{"{}", "{title: T}", "{made: 1926}", "{made: 1926, title: T}"}, {"{a: 1}", "{}", "{}", "{}"}, {"", "{}", "{}\n", "{}\n"},
	} {
		for _, sides := range [][2]string{{c[1], c[2]}, {c[2], c[1]}} {
			r, err := engine(c[0], sides[0], sides[1])
			require.NoError(t, err, "%q", c)
			require.Empty(t, r.Conflicts)
			assert.Equal(t, c[3], string(r.Text), "%q", c)
		}
	}
}

// TestOpenBase: where several last common versions were merged and conflicted, what
// was there before is open, and only what both sides agree on is merged there.
func TestOpenBase(t *testing.T) {
	older := head + "lifts: {from: handbook, inlet: 7 mm, exhaust: 8 mm}\n"
	one := head + "lifts: {from: handbook, inlet: 8 mm, exhaust: 8 mm}\n"
	two := head + "lifts: {from: handbook, inlet: 9 mm, exhaust: 8 mm}\n"
	virtual, err := engine(older, one, two)
	require.NoError(t, err)
	require.Len(t, virtual.Conflicts, 1)
	base := virtual.Base()
	assert.Equal(t, []claims.ID{{Pointer: "/lifts/inlet", Key: "handbook"}}, base.Open)

	merged := func(ours, theirs string) *merge.Result {
		r, err := merge.Documents(lint.EngineFile, "x.yaml", base, []byte(ours), []byte(theirs))
		require.NoError(t, err)
		return r
	}
	assert.Empty(t, merged(one, one).Conflicts, "both settled it alike")
	assert.Len(t, merged(one, two).Conflicts, 1, "each kept its own")
	assert.Len(t, merged(one, strings.Replace(one, "inlet: 8 mm, ", "", 1)).Conflicts, 1, "one kept, one took out")
	edited := merged(one, strings.Replace(one, "exhaust: 8 mm", "exhaust: 6 mm", 1))
	assert.Empty(t, edited.Conflicts)
	assert.Contains(t, string(edited.Text), "exhaust: 6 mm", "all else has a base")
}

func TestOpenBaseOfASection(t *testing.T) {
	base := merge.Base{Text: []byte(before), Open: []claims.ID{{Pointer: "/lifts"}}}
	r, err := merge.Documents(lint.EngineFile, "x.yaml", base, []byte(mine), []byte(other))
	require.NoError(t, err)
	assert.Equal(t, "/lifts/inlet handbook: edited two ways\n/lifts/exhaust handbook: edited two ways\n", reverseLines(conflictLines(r)))
	r, err = merge.Documents(lint.EngineFile, "x.yaml", base, []byte(head), []byte(before))
	require.NoError(t, err)
	assert.Equal(t, "/lifts: deleted and edited\n", conflictLines(r))
}

// reverseLines turns the order of lines.
func reverseLines(s string) string {
	lines := strings.SplitAfter(strings.TrimSuffix(s, "\n"), "\n")
	out := ""
	for i := len(lines) - 1; i >= 0; i-- {
		out += strings.TrimSuffix(lines[i], "\n") + "\n"
	}
	return out
}
