package changes_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

func said(source string) []claims.Claim {
	return claims.Of(lint.EngineFile, schema.ReadFile("x.yaml", []byte(source)))
}

// line writes a change for comparison.
func line(c changes.Change) string {
	one := func(c *claims.Claim) string {
		if c == nil {
			return "-"
		}
		return fmt.Sprintf("%s [%s]", c.Printed, c.Citation())
	}
	return fmt.Sprintf("%s %s: %s > %s", c.Claim().Pointer, c.What(), one(c.Before), one(c.After))
}

func TestBetween(t *testing.T) {
	for name, c := range map[string]struct {
		before, after string
		want          []string
	}{
		"nothing": {"lifts: {from: a, inlet: 8 mm}", "lifts:\n  from: a # so\n  inlet: '8 mm'\n", nil},
		"another print": {"lifts: {from: a, inlet: 8 mm}", "lifts: {from: a, inlet: 8.0 mm}",
			[]string{"/lifts/inlet changed: 8 mm [a] > 8.0 mm [a]"}},
		"another source of a single print": {"lifts: {inlet: {is: 8 mm, from: a}}", "lifts: {inlet: {is: 8 mm, from: b}}",
			[]string{"/lifts/inlet sourced: 8 mm [a] > 8 mm [b]"}},
		"another place in the source": {"lifts: {inlet: {is: 8 mm, from: a p. 1}}", "lifts: {inlet: {is: 8 mm, from: a p. 2}}",
			[]string{"/lifts/inlet sourced: 8 mm [a p. 1] > 8 mm [a p. 2]"}},
		"both": {"lifts: {inlet: {is: 8 mm, from: a}}", "lifts: {inlet: {is: 9 mm, from: b}}",
			[]string{"/lifts/inlet changed: 8 mm [a] > 9 mm [b]"}},
		"a second claim": {"lifts: {inlet: {is: 8 mm, from: a}}", "lifts: {inlet: {claims: {b: 9 mm, a: 8 mm}}}",
			[]string{"/lifts/inlet added: - > 9 mm [b]"}},
		"a claim less": {"lifts: {inlet: {claims: {b: 9 mm, a: 8 mm}}}", "lifts: {inlet: {is: 8 mm, from: a}}",
			[]string{"/lifts/inlet removed: 9 mm [b] > -"}},
		"one of several replaced": {"lifts: {inlet: {claims: {b: 9 mm, a: 8 mm}}}", "lifts: {inlet: {claims: {c: 9 mm, a: 8 mm}}}",
			[]string{"/lifts/inlet added: - > 9 mm [c]", "/lifts/inlet removed: 9 mm [b] > -"}},
		"set aside": {"lifts: {inlet: {claims: {b: 9 mm, a: 8 mm}}}", "lifts: {inlet: {claims: {b: {is: 9 mm, set_aside: worn}, a: 8 mm}}}",
			[]string{"/lifts/inlet set aside: 9 mm [b] > 9 mm [b]"}},
		"restored": {"lifts: {inlet: {claims: {b: {is: 9 mm, set_aside: worn}, a: 8 mm}}}", "lifts: {inlet: {claims: {b: 9 mm, a: 8 mm}}}",
			[]string{"/lifts/inlet restored: 9 mm [b] > 9 mm [b]"}},
		"a remark": {"lifts: {inlet: {is: 8 mm, from: a}}", "lifts: {inlet: {is: 8 mm, from: a, note: warm}}",
			[]string{"/lifts/inlet remarked: 8 mm [a] > 8 mm [a]"}},
		"a section's source, seen in its prints": {"lifts: {from: a, inlet: 8 mm}", "lifts: {from: b, inlet: 8 mm}",
			[]string{"/lifts/from changed: a [a] > b [b]", "/lifts/inlet sourced: 8 mm [a] > 8 mm [b]"}},
		"what is gone comes last": {"lifts: {inlet: 8 mm, exhaust: 9 mm}\ntitle: A", "title: B",
			[]string{"/title changed: A [] > B []", "/lifts/inlet removed: 8 mm [] > -", "/lifts/exhaust removed: 9 mm [] > -"}},
		"a key written twice": {"lifts: {inlet: 8 mm, inlet: 9 mm}", "lifts: {inlet: 7 mm, inlet: 9 mm}",
			[]string{"/lifts/inlet changed: 8 mm [] > 7 mm []"}},
		"a variant": {"lifts: {inlet: 8 mm}", "lifts: {inlet: 8 mm}\nvariants: {late: {change: {lifts: {inlet: {is: 9 mm, from: b}}}}}",
			[]string{"/variants/late/change/lifts/inlet added: - > 9 mm [b]"}},
	} {
		t.Run(name, func(t *testing.T) {
			var got []string
			for _, c := range changes.Between(said(c.before), said(c.after)) {
				got = append(got, line(c))
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// engineText draws an engine with a few figures, each in any of its forms.
func engineText(t *rapid.T, label string) string {
	print := rapid.SampledFrom([]string{"8 mm", "8.0 mm", "9 mm", "unknown"})
	source := rapid.SampledFrom([]string{"a", "a p. 1", "b", "c p. 3"})
	var b strings.Builder
	b.WriteString("title: " + rapid.SampledFrom([]string{"A", "B"}).Draw(t, label) + "\nlifts:\n  from: a\n")
	for _, key := range []string{"inlet", "exhaust"} {
		switch rapid.IntRange(0, 3).Draw(t, label+key) {
		case 1:
			fmt.Fprintf(&b, "  %s: %s\n", key, print.Draw(t, label+key))
		case 2:
			fmt.Fprintf(&b, "  %s: {is: %s, from: %s}\n", key, print.Draw(t, label+key), source.Draw(t, label+key))
		case 3:
			fmt.Fprintf(&b, "  %s: {claims: {", key)
			for _, s := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"a", "b", "c", "a#2"}), 1, 4, rapid.ID[string]).Draw(t, label+key) {
				fmt.Fprintf(&b, "%s: {is: %s, set_aside: %s}, ", s, print.Draw(t, label+key), rapid.SampledFrom([]string{"x", "y"}).Draw(t, label+key))
			}
			b.WriteString("}}\n")
		}
	}
	return b.String()
}

// TestBetweenLosesNothing: made to what was said, the changes give what is said;
// and of a file and itself there are none.
func TestBetweenLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before, after := said(engineText(t, "before")), said(engineText(t, "after"))
		require.Empty(t, changes.Between(before, before))
		made := map[claims.ID]claims.Claim{}
		for _, c := range before {
			made[c.ID] = c
		}
		for _, c := range changes.Between(before, after) {
			if c.Before != nil {
				require.Contains(t, made, c.Before.ID)
				delete(made, c.Before.ID)
			}
			if c.After != nil {
				made[c.After.ID] = *c.After
			}
		}
		require.Len(t, made, len(after))
		for _, c := range after {
			is := made[c.ID]
			require.True(t, claims.Same(&c, &is), "%v", c.ID)
		}
	})
}
