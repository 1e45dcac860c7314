package merge_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/merge"
	"fourmarks.example/schema"
)

// said is what the decoder reads of a file: every claim by variant, path and
// source id, with its print, source and remarks. It is not how the merge reads a
// file.
func said(t require.TestingT, source []byte) map[string]string {
	if len(source) == 0 {
		return nil
	}
	e, problems := schema.DecodeEngine(schema.ReadFile("x", source))
	for _, p := range problems {
		require.NotEqual(t, schema.Unreadable, p.Kind, "%s\n%s", p.Message, source)
	}
	all := map[string]string{}
	for _, one := range e.All() {
		for _, r := range one.Removed() {
			all[strings.TrimSpace(one.Variant+" "+r.Path)] = "removed"
		}
		for _, f := range one.Figures() {
			for _, c := range f.Claims {
				if one.Variant != "" && !f.Changed {
					continue
				}
				key := c.Key
				if key == "" {
					key = c.From.Source
				}
				all[strings.TrimSpace(one.Variant+" "+f.Path+" "+key)] = fmt.Sprintf("%s [%s] %s %t %s", c.Printed.Text, c.From, c.Note.Text, c.SetAside.Given(), c.SetAside.Text)
			}
		}
	}
	return all
}

// inConflict lists the claims of all conflicts, as said does.
func inConflict(r *merge.Result) map[string]bool {
	all := map[string]bool{}
	for _, c := range r.Conflicts {
		for _, side := range [][]string{claimNames(c.Base), claimNames(c.Ours), claimNames(c.Theirs)} {
			for _, name := range side {
				all[name] = true
			}
		}
	}
	return all
}

func claimNames(all []claims.Claim) []string {
	var names []string
	for _, c := range all {
		if c.Kind == claims.Print {
			names = append(names, strings.TrimSpace(c.Variant+" "+c.Path+" "+c.Key))
		}
	}
	return names
}

func always([]string) bool { return true }

// checkNothingLost: every claim of either side is in the result or in a conflict,
// but for what the base has, one side took out, and the other left as it was; and
// nothing is in the result that neither side has.
func checkNothingLost(t require.TestingT, b, o, x []byte, r *merge.Result) {
	base, ours, theirs, result, torn := said(t, b), said(t, o), said(t, x), said(t, r.Text), inConflict(r)
	for _, sides := range [][2]map[string]string{{ours, theirs}, {theirs, ours}} {
		for at, claim := range sides[0] {
			other, otherHas := sides[1][at]
			switch {
			case result[at] == claim || torn[at]:
			case base[at] == claim && !otherHas: // taken out by the other side
			case base[at] == claim && result[at] == other: // changed by the other side
			default:
				require.Fail(t, "a claim is lost", "%s: %s\nbase\n%s\nours\n%s\ntheirs\n%s\nresult\n%s", at, claim, b, o, x, r.Text)
			}
		}
	}
	for at, claim := range result {
		if ours[at] != claim && theirs[at] != claim {
			require.Fail(t, "a claim appears", "%s: %s\nbase\n%s\nours\n%s\ntheirs\n%s\nresult\n%s", at, claim, b, o, x, r.Text)
		}
	}
}

func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := drawEngine(t)
		b := []byte(base.text())
		o, x := []byte(base.edited(t, 5, always).text()), []byte(base.edited(t, 5, always).text())
		if chance(t, 10) {
			b = nil
		} else {
			isFixedPoint(t, b, o)
		}
		r, err := merge2(b, o, x)
		require.NoError(t, err, "base\n%s\nours\n%s\ntheirs\n%s", b, o, x)
		checkNothingLost(t, b, o, x, r)
		swapped, err := merge2(b, x, o)
		require.NoError(t, err)
		require.Equal(t, conflictLines(r), conflictLines(swapped))
		if len(r.Conflicts) == 0 {
			require.Equal(t, string(r.Text), string(swapped.Text), "base\n%s\nours\n%s\ntheirs\n%s", b, o, x)
			again, err := merge2(b, r.Text, x)
			require.NoError(t, err)
			require.Empty(t, again.Conflicts)
			require.Equal(t, tidy(t, r.Text), tidy(t, again.Text), "merged twice: base\n%s\nours\n%s\ntheirs\n%s", b, o, x)
		}
	})
}

// TestDisjointChangesSucceed lets one side change some sections and the other the
// rest.
func TestDisjointChangesSucceed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := drawEngine(t)
		mine := func(path []string) bool { return path[0] < "j" }
		other := func(path []string) bool { return !mine(path) }
		o, x := base.edited(t, 8, mine), base.edited(t, 8, other)
		r, err := merge2([]byte(base.text()), []byte(o.text()), []byte(x.text()))
		require.NoError(t, err)
		require.Empty(t, r.Conflicts)
		checkNothingLost(t, []byte(base.text()), []byte(o.text()), []byte(x.text()), r)
	})
}

// TestAnyOrder merges three versions of one base in every order.
func TestAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := drawEngine(t)
		b := []byte(base.text())
		var versions [3][]byte
		for i := range versions {
			versions[i] = []byte(base.edited(t, 3, always).text())
		}
		for i := range versions {
			r, err := merge2(b, versions[i], versions[(i+1)%3])
			require.NoError(t, err)
			if len(r.Conflicts) > 0 {
				return
			}
		}
		first := ""
		for _, order := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 2, 0}, {1, 0, 2}, {2, 0, 1}, {2, 1, 0}} {
			r, err := merge2(b, versions[order[0]], versions[order[1]])
			require.NoError(t, err)
			r, err = merge2(b, r.Text, versions[order[2]])
			require.NoError(t, err)
			require.Empty(t, r.Conflicts)
			got := tidy(t, r.Text)
			if first == "" {
				first = got
			}
			require.Equal(t, first, got, "%v\nbase\n%s\n0\n%s\n1\n%s\n2\n%s", order, b, versions[0], versions[1], versions[2])
		}
	})
}

func merge2(b, o, x []byte) (*merge.Result, error) { return engine(string(b), string(o), string(x)) }

func tidy(t require.TestingT, source []byte) string {
	out, err := schema.Tidy(source)
	require.NoError(t, err)
	return string(out)
}
