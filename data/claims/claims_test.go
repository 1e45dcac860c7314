package claims_test

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

func of(kind lint.InputKind, source string) []claims.Claim {
	return claims.Of(kind, schema.ReadFile("x.yaml", []byte(source)))
}

// line writes a claim for comparison: where, key, print, source, what else.
func line(c claims.Claim) string {
	s := fmt.Sprintf("%s %s#%s = %q", c.Kind, c.Pointer, c.Key, c.Printed)
	if c.Source != "" {
		s += " [" + c.Citation() + "]"
	}
	for _, extra := range []struct {
		given bool
		text  string
	}{
		{c.Inherited, "inherited"}, {c.Empty, "empty"}, {c.Variant != "", "in " + c.Variant}, {c.Note != "", "note " + c.Note}, {c.Quote != "", "quote " + c.Quote},
		{c.SeenOn+c.SeenBy != "", "seen " + c.SeenOn + " by " + c.SeenBy}, {c.Aside, "set aside " + c.SetAside}, {len(c.Other) > 0, fmt.Sprint("other ", c.Other)},
	} {
		if extra.given {
			s += ", " + extra.text
		}
	}
	return s
}

func TestOfEngine(t *testing.T) {
	got := of(lint.EngineFile, `format: 1
engine: tolvane/heron
identify:
  from: handbook p. 3
  numbers: {from: TH1, to: TH9}
layout:
  from: handbook p. 4
  cylinders: 010
  throws: [0, 180]
  rotation: {is: clockwise, from: drawing-7}
  valve_gear: 'side valves'
clearances:
  running:
    inlet: 0.50 mm
    exhaust:
      claims:
        handbook: {is: .004", from: handbook p. 9, note: hot, quote: four, seen: {on: 2025, by: me}}
        handbook#cold: 5 thou
        stamp: {is: 6 thou, set_aside: re-cut}
events:
  running: {from: sheet, inlet_opens: , overlap: {note: no print}, odd: {key: 1}}
setting: {from: handbook p. 12, cautions: [mind, the gap]}
variants:
  late:
    title: late
    change:
      layout: {from: sheet-9, cylinders: {is: 6, from: sheet-7 p. 2}, rocker_ratio: removed}
      lifts: {from: sheet-8, inlet: 8 mm, exhaust: {is: 9 mm, wrong: {deep: [x]}}}
accepted:
  layout: {order/throws: as drawn}
`)
	var lines []string
	for _, c := range got {
		lines = append(lines, line(c))
	}
	assert.Equal(t, []string{
		`word /format# = "1"`,
		`word /engine# = "tolvane/heron"`,
		`from /identify/from# = "handbook p. 3" [handbook p. 3]`,
		`word /identify/numbers/from# = "TH1"`,
		`word /identify/numbers/to# = "TH9"`,
		`from /layout/from# = "handbook p. 4" [handbook p. 4]`,
		`print /layout/cylinders#handbook = "010" [handbook p. 4], inherited`,
		`print /layout/throws#handbook = "0, 180" [handbook p. 4], inherited`,
		`print /layout/rotation#drawing-7 = "clockwise" [drawing-7]`,
		`word /layout/valve_gear# = "side valves"`,
		`print /clearances/running/inlet# = "0.50 mm"`,
		`print /clearances/running/exhaust#handbook = ".004\"" [handbook p. 9], note hot, quote four, seen 2025 by me`,
		`print /clearances/running/exhaust#handbook#cold = "5 thou" [handbook]`,
		`print /clearances/running/exhaust#stamp = "6 thou" [stamp], set aside re-cut`,
		`from /events/running/from# = "sheet" [sheet]`,
		`print /events/running/inlet_opens#sheet = "" [sheet], inherited, empty`,
		`print /events/running/overlap#sheet = "" [sheet], inherited, empty, note no print`,
		`word /events/running/odd/key# = "1"`,
		`from /setting/from# = "handbook p. 12" [handbook p. 12]`,
		`word /setting/cautions#mind = "mind"`,
		`word /setting/cautions#the gap = "the gap"`,
		`word /variants/late/title# = "late", in late`,
		`from /variants/late/change/layout/from# = "sheet-9" [sheet-9], in late`,
		`print /variants/late/change/layout/cylinders#sheet-7 = "6" [sheet-7 p. 2], in late`,
		`print /variants/late/change/layout/rocker_ratio# = "removed", in late`,
		`from /variants/late/change/lifts/from# = "sheet-8" [sheet-8], in late`,
		`print /variants/late/change/lifts/inlet#sheet-8 = "8 mm" [sheet-8], inherited, in late`,
		`print /variants/late/change/lifts/exhaust#sheet-8 = "9 mm" [sheet-8], inherited, in late, other [{/wrong/deep/0 x}]`,
		`word /accepted/layout/order~1throws# = "as drawn"`,
	}, lines)
	assert.Equal(t, "layout.cylinders", got[slices.IndexFunc(got, func(c claims.Claim) bool { return c.Key == "sheet-7" })].Path)
}

func TestOfOtherFiles(t *testing.T) {
	got := of(lint.SourceFile, "title: Handbook\ngrade: maker\non: ''\n")
	require.Len(t, got, 3)
	assert.Equal(t, `word /title# = "Handbook"`, line(got[0]))
	got = of(lint.MovedFile, "a/b: {to: [c/d, c/e], because: split}\n")
	require.Len(t, got, 3)
	assert.Equal(t, `word /a~1b/to#c/e = "c/e"`, line(got[1]))
	assert.Empty(t, of(lint.EngineFile, ""))
	assert.Empty(t, of(lint.EngineFile, "{}"))
	assert.Len(t, of(lint.EngineFile, "just text"), 1)
}

// TestSpans checks that the bytes of a claim are those of the file.
func TestSpans(t *testing.T) {
	source := "format: 1\nlifts: {inlet: {is: 8 mm, from: a}, exhaust: \"9 mm\"}\n"
	got := of(lint.EngineFile, source)
	cut := func(s text.Span) string { return source[s.Start:s.End] }
	assert.Equal(t, "{is: 8 mm, from: a}", cut(got[1].Span))
	assert.Equal(t, "8 mm", cut(got[1].PrintSpan))
	assert.Equal(t, `"9 mm"`, cut(got[2].Span))
}

// TestSame: how a claim is written does not count, what it says does.
func TestSame(t *testing.T) {
	first := func(source string) *claims.Claim {
		all := of(lint.EngineFile, source)
		i := slices.IndexFunc(all, func(c claims.Claim) bool { return c.Kind == claims.Print })
		return &all[i]
	}
	a := first("lifts: {from: h p. 1, inlet: 8 mm}")
	for source, want := range map[string]bool{
		"lifts:\n  inlet: {is: '8 mm', from: h p. 1} # so":          true,
		"lifts: {inlet: {claims: {h: {from: h p. 1, is: 8 mm}}}}":   true,
		"lifts: {from: h p. 1, inlet: 8.0 mm}":                      false,
		"lifts: {from: h p. 2, inlet: 8 mm}":                        false,
		"lifts: {from: h p. 1, inlet: {is: 8 mm, note: x}}":         false,
		"lifts: {from: h p. 1, inlet: {is: 8 mm, set_aside: ''}}":   false,
		"lifts: {from: h p. 1, inlet: {is: 8 mm, other: ''}}":       false,
		"lifts: {from: h p. 1, exhaust: 8 mm}":                      false,
		"lifts: {inlet: {claims: {h#2: {from: h p. 1, is: 8 mm}}}}": false,
	} {
		assert.Equal(t, want, claims.Same(a, first(source)), source)
	}
}

// examples yields every file of the demo dataset.
func examples(t *testing.T, visit func(kind lint.InputKind, f *schema.File)) {
	count := 0
	require.NoError(t, fs.WalkDir(data.Files, ".", func(p string, d fs.DirEntry, err error) error {
		require.NoError(t, err)
		if d.IsDir() || path.Ext(p) != ".yaml" {
			return nil
		}
		kind := lint.EngineFile
		switch {
		case strings.HasPrefix(p, "sources/"):
			kind = lint.SourceFile
		case p == "moved.yaml":
			kind = lint.MovedFile
		}
		b, err := fs.ReadFile(data.Files, p)
		require.NoError(t, err)
		visit(kind, schema.ReadFile(p, b))
		count++
		return nil
	}))
	require.Greater(t, count, 30)
}

// TestAgreesWithTheDecoder holds the claims to what the decoder reads on its own
// way, sources above all.
func TestAgreesWithTheDecoder(t *testing.T) {
	examples(t, func(kind lint.InputKind, f *schema.File) {
		if kind != lint.EngineFile {
			return
		}
		e, problems := schema.DecodeEngine(f)
		require.Empty(t, problems, f.Name)
		got := map[text.Span]string{}
		for _, c := range claims.Of(kind, f) {
			if c.Kind == claims.Print && c.Printed != "removed" {
				got[c.PrintSpan] = fmt.Sprintf("%s: %s [%s] %q %q %q %q %q", c.Path, c.Printed, c.Citation(), c.Note, c.Quote, c.SeenOn, c.SeenBy, c.SetAside)
			}
		}
		want := map[text.Span]string{}
		for _, one := range e.All() {
			for _, fig := range one.Figures() {
				for _, c := range fig.Claims {
					want[c.At.Node.Span] = fmt.Sprintf("%s: %s [%s] %q %q %q %q %q", fig.Path, c.Printed.Text, c.From, c.Note.Text, c.Quote.Text, c.SeenOn.Text, c.SeenBy.Text, c.SetAside.Text)
				}
			}
		}
		assert.Equal(t, want, got, f.Name)
	})
}

// TestNothingIsMissing counts the values of the demo dataset by walking the text,
// and finds each in the claims, all under different names.
func TestNothingIsMissing(t *testing.T) {
	examples(t, func(kind lint.InputKind, f *schema.File) {
		in, out := map[string]int{}, map[string]int{}
		f.Doc.Walk(func(_ text.Path, n *text.Node) bool {
			if n.Kind == text.Scalar {
				in[n.Text]++
			}
			return true
		})
		ids := map[claims.ID]bool{}
		for _, c := range claims.Of(kind, f) {
			assert.False(t, ids[c.ID], "%s: %v stands for two claims", f.Name, c.ID)
			ids[c.ID] = true
			out[c.Printed]++
			for _, s := range []string{c.Note, c.Quote, c.SeenOn, c.SeenBy, c.SetAside} {
				if s != "" {
					out[s]++
				}
			}
			if c.Kind == claims.Print && c.Source != "" && !c.Inherited && in[c.Citation()] > out[c.Citation()] {
				out[c.Citation()]++
			}
		}
		for s, n := range in {
			assert.GreaterOrEqual(t, out[s]+strings.Count(strings.Join(lists(out), ", "), s), n, "%s: %q", f.Name, s)
		}
	})
}

// lists returns the prints that are lists.
func lists(printed map[string]int) []string {
	var all []string
	for s := range printed {
		if strings.Contains(s, ", ") {
			all = append(all, s)
		}
	}
	return all
}
