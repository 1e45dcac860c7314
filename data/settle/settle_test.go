package settle_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/settle"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

const head = "format: 1\nengine: marlowe/four\ntitle: Marlowe Four\n"

func settled(source string, d settle.Decision) (*settle.Settlement, error) {
	return settle.Settle(schema.ReadFile("four.yaml", []byte(source)), d)
}

func keepA(because string) settle.Decision {
	return settle.Decision{Figure: "lifts.inlet", Keep: "a", Because: because}
}

// The reason goes where the claim's form has room for it, and nothing else moves.
func TestTheReasonIsPutIn(t *testing.T) {
	for name, c := range map[string]struct{ before, after string }{
		"in braces": {
			"lifts:\n  inlet:\n    claims:\n      a: {is: 8 mm}\n      b: {is: 9.5 mm,   from: b p. 2} # worn?\n",
			"lifts:\n  inlet:\n    claims:\n      a: {is: 8 mm}\n      b: {is: 9.5 mm,   from: b p. 2, set_aside: worn} # worn?\n"},
		"on lines": {
			"lifts:\n  inlet:\n    claims:\n      b:\n          is: 9.5 mm\n          note: x\n          # its end\n\n      a: {is: 8 mm}\n",
			"lifts:\n  inlet:\n    claims:\n      b:\n          is: 9.5 mm\n          note: x\n          set_aside: worn\n          # its end\n\n      a: {is: 8 mm}\n"},
		"a bare print": {
			"lifts:\n  inlet:\n    claims:\n      a: 8 mm\n      b: 9.5 mm  # so\n",
			"lifts:\n  inlet:\n    claims:\n      a: 8 mm\n      b: {is: 9.5 mm, set_aside: worn}  # so\n"},
		"a bare print that needs quotes in braces": {
			"layout:\n  throws:\n    claims:\n      a: 0, 180\n      b: 0, 90 # so\n      c: [0, 270]\n",
			"layout:\n  throws:\n    claims:\n      a: 0, 180\n      b: {is: \"0, 90\", set_aside: worn} # so\n      c: {is: [0, 270], set_aside: worn}\n"},
		"all in one line": {
			"lifts: {inlet: {claims: {a: 8 mm, b: {is: 9.5 mm, }, }}}\n",
			"lifts: {inlet: {claims: {a: 8 mm, b: {is: 9.5 mm, set_aside: worn, }, }}}\n"},
		"over several lines in braces": {
			"lifts:\n  inlet: {claims: {\n    a: 8 mm,\n    b: {is: 9.5 mm, # one\n      note: x # two\n    }}}\n",
			"lifts:\n  inlet: {claims: {\n    a: 8 mm,\n    b: {is: 9.5 mm, # one\n      note: x, set_aside: worn # two\n    }}}\n"},
		"the last line has no end": {
			"lifts:\n  inlet:\n    claims:\n      a: 8 mm\n      b:\n        is: 9.5 mm",
			"lifts:\n  inlet:\n    claims:\n      a: 8 mm\n      b:\n        is: 9.5 mm\n        set_aside: worn"},
		"lines that end as on Windows": {
			"lifts:\r\n  inlet:\r\n    claims:\r\n      a: 8 mm\r\n      b:\r\n        is: 9.5 mm\r\n",
			"lifts:\r\n  inlet:\r\n    claims:\r\n      a: 8 mm\r\n      b:\r\n        is: 9.5 mm\r\n        set_aside: worn\r\n"},
		"a witness stands": {
			"lifts: {inlet: {claims: {c: 8.0 mm, a: 8 mm, b: {is: 9.5 mm}}}}\n",
			"lifts: {inlet: {claims: {c: 8.0 mm, a: 8 mm, b: {is: 9.5 mm, set_aside: worn}}}}\n"},
		"of two that agree with it but not with one another the first stands": {
			"lifts: {inlet: {claims: {c: 7.6 mm, a: 8 mm, b: {is: 8.4 mm}}}}\n",
			"lifts: {inlet: {claims: {c: 7.6 mm, a: 8 mm, b: {is: 8.4 mm, set_aside: worn}}}}\n"},
		"words for an absence are left alone": {
			"lifts: {inlet: {claims: {c: not given, a: 8 mm, b: {is: 9.5 mm}}}}\n",
			"lifts: {inlet: {claims: {c: not given, a: 8 mm, b: {is: 9.5 mm, set_aside: worn}}}}\n"},
		"one was set aside before": {
			"lifts: {inlet: {claims: {c: {is: 7 mm, set_aside: bent}, a: 8 mm, b: {is: 9.5 mm}}}}\n",
			"lifts: {inlet: {claims: {c: {is: 7 mm, set_aside: bent}, a: 8 mm, b: {is: 9.5 mm, set_aside: worn}}}}\n"},
	} {
		t.Run(name, func(t *testing.T) {
			start := head
			if strings.Contains(c.before, "\r") {
				start = strings.ReplaceAll(head, "\n", "\r\n")
			}
			d := keepA("worn")
			if strings.HasPrefix(c.before, "layout:") {
				d.Figure = "throws"
			}
			s, err := settled(start+c.before, d)
			require.NoError(t, err)
			assert.Equal(t, start+c.after, string(s.After))
			require.NotEmpty(t, s.Lines)
			assert.Contains(t, strings.Split(string(s.After), "\n")[s.Lines[0]-1], "worn")
		})
	}
}

func TestJSONStaysJSON(t *testing.T) {
	source := `{"format": 1, "engine": "marlowe/four", "title": "T", "lifts": {"inlet": {"claims": {"a": "8 mm", "b": {"is": "9.5 mm"}, "c": "9.7 mm"}}}}`
	s, err := settled(source, keepA(`so "worn"`))
	require.NoError(t, err)
	assert.Equal(t, `{"format": 1, "engine": "marlowe/four", "title": "T", "lifts": {"inlet": {"claims": {"a": "8 mm", "b": {"is": "9.5 mm", "set_aside": "so \"worn\""}, "c": {"is": "9.7 mm", "set_aside": "so \"worn\""}}}}}`, string(s.After))
}

const variants = head + `lifts:
  inlet: {claims: {a: 8 mm, b: 9.5 mm}}
  exhaust: {is: 8 mm, from: a}
events:
  one: {overlap: {claims: {a: 8, b: 10}}}
  two: {overlap: {claims: {a: 8, b: 8}}}
variants:
  early: {title: early}
  late: {change: {lifts: {inlet: {claims: {a: 5 mm, b: 6.5 mm}}}}}
`

func TestVariants(t *testing.T) {
	s, err := settled(variants, keepA("worn"))
	require.NoError(t, err)
	assert.Equal(t, []string{"early"}, s.Inherits)
	assert.Contains(t, string(s.After), "{a: 8 mm, b: {is: 9.5 mm, set_aside: worn}}")
	assert.Contains(t, string(s.After), "{a: 5 mm, b: 6.5 mm}")

	own := keepA("worn")
	own.Variant = "late"
	s, err = settled(variants, own)
	require.NoError(t, err)
	assert.Contains(t, string(s.After), "{a: 5 mm, b: {is: 6.5 mm, set_aside: worn}}")
	assert.Contains(t, string(s.After), "{a: 8 mm, b: 9.5 mm}")
}

func TestFiguresAreFoundByTheirEnds(t *testing.T) {
	for figure, path := range map[string]string{"inlet": "lifts.inlet", "overlap": "events.one.overlap", "one.overlap": "events.one.overlap"} {
		s, err := settled(variants, settle.Decision{Figure: figure, Keep: "b", Because: "x"})
		require.NoError(t, err, figure)
		assert.Equal(t, path, s.Figure.Path)
	}
}

func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		source string
		d      settle.Decision
		says   string
	}{
		"no reason":           {variants, keepA(" \n "), "say why the other claims are not followed"},
		"no claim named":      {variants, settle.Decision{Figure: "inlet", Because: "x"}, "say which claim is followed from now on, with --keep: a, b"},
		"no such claim":       {head + "lifts: {inlet: {claims: {setting-sheet: 8 mm, stamp: 9.5 mm}}}", settle.Decision{Figure: "inlet", Keep: "seting-sheet", Because: "x"}, `has no claim "seting-sheet"; did you mean`},
		"one claim only":      {variants, settle.Decision{Figure: "exhaust", Keep: "a", Because: "x"}, "lifts.exhaust has one claim only, 8 mm [a]"},
		"they agree":          {variants, settle.Decision{Figure: "two.overlap", Keep: "a", Because: "x"}, "do not disagree"},
		"no such figure":      {variants, settle.Decision{Figure: "inlett", Keep: "a", Because: "x"}, "near to it: inlet"},
		"nothing like it":     {variants, settle.Decision{Figure: "zzzzzzzzzzzzzzz", Keep: "a", Because: "x"}, "fourmarks show marlowe/four lists those it has"},
		"several figures":     {head + "events: {one: {overlap: 3}, two: {overlap: 4}}", settle.Decision{Figure: "overlap", Keep: "a", Because: "x"}, "can be any of events.one.overlap, events.two.overlap"},
		"no such variant":     {variants, settle.Decision{Variant: "lat", Figure: "inlet", Keep: "a", Because: "x"}, "it has: early, late"},
		"no variants":         {head, settle.Decision{Variant: "late", Figure: "inlet", Keep: "a", Because: "x"}, "marlowe/four has no variants"},
		"only inherited":      {variants, settle.Decision{Variant: "early", Figure: "inlet", Keep: "a", Because: "x"}, "early has lifts.inlet from the base; settle it there"},
		"set aside itself":    {head + "lifts: {inlet: {claims: {a: {is: 8 mm, set_aside: bent}, b: 9.5 mm}}}", keepA("x"), "a is set aside (bent); to follow it again take `set_aside:` out of line 4"},
		"gives no figure":     {head + "lifts: {inlet: {claims: {a: unknown, b: 9.5 mm, c: 8 mm}}}", keepA("x"), "a gives no figure (unknown)"},
		"the file is broken":  {head + "lifts: {inlet: {claims: {a: 8 mm, b: 9.5 mm}}\n", keepA("x"), "four.yaml, line 4: "},
		"a reason unfit":      {variants, keepA("a\x1bb"), "cannot be written into four.yaml"},
		"lines that are text": {head + "lifts:\n  inlet:\n    claims:\n      a: 8 mm\n      b:\n        is: 9.5 mm\n        note: |+\n          kept\n\n\n", keepA("x"), ""},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := settled(c.source, c.d)
			if c.says == "" {
				require.NoError(t, err)
				assert.Contains(t, string(s.After), "kept\n\n\n        set_aside: x\n")
				return
			}
			assert.ErrorContains(t, err, c.says)
		})
	}
}

// Whatever the forms, the reason and the layout: the figure is settled, the bytes
// of the file stand in the new text in their order, and only the reason is more.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		b.WriteString(head + "lifts:\n  inlet:\n    claims:\n")
		indent := strings.Repeat(" ", rapid.IntRange(6, 9).Draw(t, "indent"))
		n := rapid.IntRange(2, 5).Draw(t, "claims")
		for i := range n {
			note := text.Spell(rapid.StringOf(rapid.RuneFrom([]rune("ab ,:#'\"{}é"))).Draw(t, "note")+".", true)
			form := rapid.SampledFrom([]string{
				"INk: N0 mm\n", "INk: {is: N0 mm, note: NOTE} # c\n", "INk:\nIN  is: 'N0 mm' # c\nIN  note: NOTE\n\n", "IN# above\nINk: {\nIN is: N0 mm # c\nIN }\n",
			}).Draw(t, "form")
			b.WriteString(strings.NewReplacer("INk", indent+fmt.Sprintf("k%d", i+1), "IN", indent, "NOTE", note, "N", strconv.Itoa(i+1)).Replace(form))
		}
		source := b.String()
		because := rapid.StringMatching(`[a-z][a-z ,:#'"{}é]{0,20}[a-z]`).Draw(t, "because")
		s, err := settled(source, settle.Decision{Figure: "inlet", Keep: fmt.Sprintf("k%d", rapid.IntRange(1, n).Draw(t, "keep")), Because: because})
		require.NoError(t, err, source)
		require.Len(t, s.Aside, n-1)
		rest := string(s.After)
		for _, r := range source {
			i := strings.IndexRune(rest, r)
			require.GreaterOrEqual(t, i, 0, "%q is lost", r)
			rest = rest[i+len(string(r)):]
		}
		_, err = settled(string(s.After), settle.Decision{Figure: "inlet", Keep: s.Kept.Key, Because: because})
		require.ErrorContains(t, err, "do not disagree")
	})
}
