package serve_test

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type edit struct {
	Range   extent
	NewText string
}

type action struct {
	Title, Kind string
	IsPreferred bool
	Diagnostics []diagnostic
	Edit        struct {
		Changes         map[string][]edit
		DocumentChanges []struct {
			TextDocument struct {
				URI     string
				Version int
			}
			Edits []edit
		}
	}
}

func lineOf(text string, line int) string { return strings.Split(text, "\n")[line] }

// applied makes edits of a text, all from its positions before.
func applied(text string, edits []edit) string {
	units := utf16.Encode([]rune(text))
	offset := func(p position) int {
		at := 0
		for line := 0; line < p.Line; at++ {
			if units[at] == '\n' {
				line++
			}
		}
		return at + p.Character
	}
	slices.SortFunc(edits, func(a, b edit) int { return offset(b.Range.Start) - offset(a.Range.Start) })
	for _, e := range edits {
		units = slices.Concat(units[:offset(e.Range.Start)], utf16.Encode([]rune(e.NewText)), units[offset(e.Range.End):])
	}
	return string(utf16.Decode(units))
}

// offered returns the actions where the cursor is.
func (c *client) offered(uri string, p position) []action {
	c.t.Helper()
	var actions []action
	c.result("textDocument/codeAction", object{"textDocument": object{"uri": uri}, "range": extent{p, p}, "context": object{"diagnostics": []object{}}}, &actions)
	return actions
}

func titled(t testing.TB, actions []action, part string) action {
	t.Helper()
	i := slices.IndexFunc(actions, func(a action) bool { return strings.Contains(a.Title, part) })
	require.GreaterOrEqual(t, i, 0, "%q is not among %+v", part, actions)
	return actions[i]
}

func codes(found []diagnostic) []string {
	all := []string{}
	for _, d := range found {
		all = append(all, d.Code)
	}
	return all
}

// Accepting puts an entry where it belongs, which the linter refuses until the
// reason is written; then the finding is gone.
func TestAccepting(t *testing.T) {
	slip := func(s string) string { return strings.Replace(s, "inlet_duration: 231\n", "inlet_duration: 213\n", 1) }
	const entry = "events.checking:\n    events/inlet-duration: \"\"\n"
	cases := []struct{ name, text, added string }{
		{"nothing accepted yet", slip(six), "accepted:\n  " + entry},
		{"no line end at the end", strings.TrimSuffix(slip(six), "\n"), "\naccepted:\n  " + entry},
		{"another accepted", slip(six) + "accepted:\n  size:\n    size/swept-volume: no\n", "  " + entry},
		{"another at the place", slip(six) + "accepted:\n  events.checking:\n    events/overlap: no\n", "    events/inlet-duration: \"\"\n"},
		{"in braces", slip(six) + "accepted: {size: {size/swept-volume: no}}\n", ", events.checking: {events/inlet-duration: \"\"}"},
		{"in braces at the place", slip(six) + "accepted:\n  events.checking: {events/overlap: no}\n", ", events/inlet-duration: \"\""},
		{"a comment at the end", slip(six) + "# that is all\n", "accepted:\n  " + entry},
		{"other line ends", strings.ReplaceAll(slip(six), "\n", "\r\n"), strings.ReplaceAll("accepted:\n  "+entry, "\n", "\r\n")},
	}
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			c, uri, _ := garage(t)
			before := c.open(uri, k.text).Diagnostics
			i := slices.IndexFunc(before, func(d diagnostic) bool { return d.Code == "events/inlet-duration" })
			require.GreaterOrEqual(t, i, 0, "%v", codes(before))
			a := titled(t, c.offered(uri, before[i].Range.Start), "accept this finding at events.checking")
			assert.Equal(t, "quickfix", a.Kind)
			assert.False(t, a.IsPreferred)
			require.Len(t, a.Diagnostics, 1)
			assert.Equal(t, before[i], a.Diagnostics[0])
			require.Len(t, a.Edit.DocumentChanges, 1)
			assert.Equal(t, 1, a.Edit.DocumentChanges[0].TextDocument.Version)
			edits := a.Edit.DocumentChanges[0].Edits
			require.Len(t, edits, 1)
			assert.Equal(t, k.added, edits[0].NewText)

			text := applied(k.text, edits)
			refused := codes(c.change(uri, 2, text).Diagnostics)
			assert.Contains(t, refused, "events/inlet-duration", "kept for no reason, it stands")
			assert.Contains(t, refused, "form/acceptance-reason")
			assert.NotContains(t, refused, "form/unreadable")
			reason := strings.Replace(text, `events/inlet-duration: ""`, `events/inlet-duration: "the sheet prints it"`, 1)
			after := codes(c.change(uri, 3, reason).Diagnostics)
			assert.NotContains(t, after, "events/inlet-duration")
			assert.NotContains(t, after, "form/acceptance-reason")
		})
	}
}

func TestAcceptingInJSON(t *testing.T) {
	c := connect(t)
	c.initialize(able)
	uri := "file:///penhallow/six.json"
	const text = `{"format": 1, "engine": "a/b", "title": "B", "layout": {"cylinders": 4}, "size": {"bore": "3 in", "stroke": "4 in", "swept_volume": "131.1 cu in"}}`
	found := c.open(uri, text).Diagnostics
	i := slices.IndexFunc(found, func(d diagnostic) bool { return d.Code == "size/swept-volume" })
	require.GreaterOrEqual(t, i, 0, "%v", codes(found))
	edits := titled(t, c.offered(uri, found[i].Range.Start), "accept this finding at size").Edit.DocumentChanges[0].Edits
	assert.Equal(t, strings.TrimSuffix(text, "}")+`, "accepted": {"size": {"size/swept-volume": ""}}}`, applied(text, edits))
}

// What cannot be accepted is not offered to be.
func TestWhatIsMendedIsNotAccepted(t *testing.T) {
	c, uri, _ := garage(t)
	text, p := marked(t, with(t, "  bore: 2", "  bo|ar: 2"))
	require.Contains(t, codes(c.open(uri, text).Diagnostics), "form/unknown-key")
	for _, a := range c.offered(uri, p) {
		assert.NotContains(t, a.Title, "accept")
	}
}

func TestFixes(t *testing.T) {
	c, uri, _ := garage(t)
	untidy := with(t, "  kind: coil\n  advance: 35 BTDC\n", "  advance:   35 BTDC\n  kind: coil\n")
	found := c.open(uri, untidy).Diagnostics
	require.Equal(t, []string{"form/canonical"}, codes(found))
	a := titled(t, c.offered(uri, found[0].Range.Start), "canonical form")
	assert.True(t, a.IsPreferred)
	assert.Equal(t, six, applied(untidy, a.Edit.DocumentChanges[0].Edits))
}

func TestASourceWithoutARecord(t *testing.T) {
	c, uri, _ := garage(t)
	text, p := marked(t, with(t, "from: handbook p. 22", "from: hand|bok p. 22"))
	require.Contains(t, codes(c.open(uri, text).Diagnostics), "sources/unknown")
	offered := c.offered(uri, p)

	cite := applied(text, titled(t, offered, "cite handbook instead").Edit.DocumentChanges[0].Edits)
	assert.Equal(t, six, cite)

	record := applied(text, titled(t, offered, "write a record of handbok").Edit.DocumentChanges[0].Edits)
	assert.Contains(t, record, "grade: works}\n  handbok: {title: \"\", grade: \"\"}\nvariants:")
	refused := codes(c.change(uri, 2, record).Diagnostics)
	assert.Contains(t, refused, "form/violation", "the title and the grade are asked for")
	filled := strings.Replace(record, `{title: "", grade: ""}`, "{type: pamphlet, title: Hand Book, grade: maker}", 1)
	assert.Empty(t, c.change(uri, 3, filled).Diagnostics)
}

// The key of a claim is a citation too.
func TestAClaimWithoutARecord(t *testing.T) {
	c, uri, _ := garage(t)
	text, p := marked(t, with(t, "        handbook: {is: 45 ABDC, from: handbook p. 14, ", "        hand|bok#b: {is: 45 ABDC, "))
	c.open(uri, text)
	cite := applied(text, titled(t, c.offered(uri, p), "cite handbook instead").Edit.DocumentChanges[0].Edits)
	assert.Contains(t, cite, "        handbook#b: {is: 45 ABDC, ")
}

func TestActionsFitTheEditor(t *testing.T) {
	uris := dataset(t, map[string]string{"engines/penhallow/six.yaml": six, "sources/handbook.yaml": handbook})
	uri := uris["engines/penhallow/six.yaml"]
	text, p := marked(t, with(t, "from: handbook p. 22", "from: hand|bok p. 22"))

	older := connect(t)
	older.initialize(object{"textDocument": object{"codeAction": object{"codeActionLiteralSupport": object{}}}})
	older.open(uri, text)
	a := titled(t, older.offered(uri, p), "cite handbook instead")
	assert.Empty(t, a.Edit.DocumentChanges)
	assert.Equal(t, six, applied(text, a.Edit.Changes[uri]))

	oldest := connect(t)
	oldest.initialize(object{})
	oldest.open(uri, text)
	assert.Empty(t, oldest.offered(uri, p), "an editor that knows only commands is offered none")

	c := connect(t)
	c.initialize(able)
	c.open(uri, text)
	for only, some := range map[string]bool{"quickfix": true, "": true, "refactor": false, "source.organizeImports": false} {
		var actions []action
		c.result("textDocument/codeAction", object{"textDocument": object{"uri": uri}, "range": extent{p, p}, "context": object{"only": []string{only}}}, &actions)
		assert.Equal(t, some, len(actions) > 0, only)
	}
}
