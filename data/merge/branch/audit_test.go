//go:build !js

package branch_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/merge/branch"
)

// audited tells the faults of the merge that is checked out.
func audited(w *gittest.Work) []string {
	w.T.Helper()
	r := open(w)
	h, err := r.Resolve("HEAD")
	require.NoError(w.T, err)
	faults, err := branch.Audit(w.T.Context(), r, h)
	require.NoError(w.T, err)
	var said []string
	for _, f := range faults {
		said = append(said, string(f.What)+" "+f.Claim().Pointer)
	}
	return said
}

// A merge by lines can do these things and say nothing.
func TestAuditFindsWhatAMergeByLinesLost(t *testing.T) {
	cases := map[string]struct {
		ours, theirs, merged string
		want                 []string
	}{
		"as it follows": {with("3 BTDC", "4 BTDC"), with("48 ABDC", "49 ABDC"), with("3 BTDC", "4 BTDC", "48 ABDC", "49 ABDC"), nil},
		"re-sourced by the other side's section": {with("from: sheet\n", "from: handbook p. 9\n", "inlet_opens: 3 BTDC", "inlet_opens: {is: 3 BTDC, from: sheet}", "inlet_closes: 48 ABDC", "inlet_closes: {is: 48 ABDC, from: sheet}"),
			with("inlet_closes: 48 ABDC", "inlet_closes: 48 ABDC\n    exhaust_opens: 47 BBDC"),
			with("from: sheet\n", "from: handbook p. 9\n", "inlet_opens: 3 BTDC", "inlet_opens: {is: 3 BTDC, from: sheet}", "inlet_closes: 48 ABDC", "inlet_closes: {is: 48 ABDC, from: sheet}\n    exhaust_opens: 47 BBDC"),
			[]string{"from neither side /events/checking/exhaust_opens", "lost /events/checking/exhaust_opens"}},
		"ours for theirs":      {with("3 BTDC", "4 BTDC"), with("48 ABDC", "49 ABDC"), with("3 BTDC", "4 BTDC"), []string{"passed over /events/checking/inlet_closes"}},
		"a figure lost":        {with("3 BTDC", "4 BTDC"), with("48 ABDC", "49 ABDC"), with("3 BTDC", "4 BTDC", "    inlet_closes: 48 ABDC\n", ""), []string{"lost /events/checking/inlet_closes"}},
		"a figure back":        {with("    inlet_closes: 48 ABDC\n", ""), with("3 BTDC", "4 BTDC"), with("3 BTDC", "4 BTDC"), []string{"back again /events/checking/inlet_closes"}},
		"settled for one side": {with("48 ABDC", "50 ABDC"), with("48 ABDC", "49 ABDC"), with("48 ABDC", "50 ABDC"), nil},
		"the file lost":        {with("3 BTDC", "4 BTDC"), four, "", []string{"many"}},
		"settled otherwise":    {with("48 ABDC", "50 ABDC"), with("48 ABDC", "49 ABDC"), with("48 ABDC", "51 ABDC"), []string{"mixed /events/checking/inlet_closes"}},
		"something of its own": {with("3 BTDC", "4 BTDC"), with("48 ABDC", "49 ABDC"), with("3 BTDC", "4 BTDC", "48 ABDC", "49 ABDC", "engine: cold", "engine: cold\n    note: added"), []string{"from neither side /clearances/running/note"}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := parted(t, files{at: four}, files{at: c.ours, "x": "x"}, files{at: c.theirs})
			w.Git("merge", "-q", "--no-commit", "-s", "ours", "theirs")
			put(w, files{at: c.merged, "x": "x"})
			if c.merged == "" {
				w.Git("rm", "-q", "-f", at)
				w.Git("commit", "-q", "--amend", "-m", "x")
			}
			said := audited(w)
			if len(c.want) > 0 && c.want[0] == "many" {
				assert.Greater(t, len(said), 5)
				return
			}
			assert.Equal(t, c.want, said)
		})
	}
}

// What our own merge comes to has no faults, with moved engines too.
func TestAuditOfAMergeByFigures(t *testing.T) {
	const to = "data/engines/marlowe/four-litre.yaml"
	moved := with("engine: marlowe/four", "engine: marlowe/four-litre", "inlet: 4 thou", "inlet: 5 thou")
	record := "marlowe/four: {to: marlowe/four-litre, because: of its plate}\n"
	w := parted(t, files{at: four}, files{to: moved, "data/moved.yaml": record}, files{at: with("exhaust: 6 thou", "exhaust: 7 thou")})
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	assert.Empty(t, audited(w))

	_, err = branch.Audit(t.Context(), open(w), mustResolve(w, "theirs"))
	assert.ErrorContains(t, err, "joins 1 histories")
}

// The contract of git's merge drivers, version by version.
func TestDriver(t *testing.T) {
	marked := "<<<<<<< ours\n    inlet_closes: 49 ABDC\n||||||| before\n    inlet_closes: 48 ABDC\n=======\n    inlet_closes: 50 ABDC\n>>>>>>> theirs\n"
	cases := map[string]struct {
		base, ours, theirs, path string
		want, says               string // the text; why it is not final
	}{
		"by figures":    {four, with("inlet: 4 thou", "inlet: 5 thou"), with("exhaust: 6 thou", "exhaust: 7 thou"), at, with("inlet: 4 thou", "inlet: 5 thou", "exhaust: 6 thou", "exhaust: 7 thou"), ""},
		"both added it": {"", four, four, at, four, ""},
		"a conflict":    {four, with("inlet: 4 thou", "inlet: 5 thou", "48 ABDC", "49 ABDC"), with("exhaust: 6 thou", "exhaust: 7 thou", "48 ABDC", "50 ABDC"), at, with("inlet: 4 thou", "inlet: 5 thou", "exhaust: 6 thou", "exhaust: 7 thou", "    inlet_closes: 48 ABDC\n", marked), "events.checking.inlet_closes"},
		"markers in the base": {with("    inlet_closes: 48 ABDC\n", marked), with("3 BTDC", "4 BTDC"), with("3 BTDC", "4 BTDC"), at, with("3 BTDC", "4 BTDC"),
			"it cannot be merged by its figures"},
		"a key twice":    {four, with("inlet: 4 thou", "inlet: 5 thou"), with("title: Marlowe Four", "title: Marlowe Four\ntitle: Twice"), at, with("inlet: 4 thou", "inlet: 5 thou", "title: Marlowe Four", "title: Marlowe Four\ntitle: Twice"), "it cannot be merged by its figures"},
		"another file":   {text, edited("one", "1"), edited("five", "5"), "docs/a.txt", "1\ntwo\nthree\nfour\n5\n", ""},
		"another's line": {text, edited("one", "1"), edited("one", "I"), "docs/a.txt", "<<<<<<< ours\n1\n||||||| before\none\n=======\nI\n>>>>>>> theirs\ntwo\nthree\nfour\nfive\n", "both sides changed the same lines"},
		"an empty side":  {four, "", with("48 ABDC", "50 ABDC"), at, "<<<<<<< ours\n||||||| before\n" + four + "=======\n" + with("48 ABDC", "50 ABDC") + ">>>>>>> theirs\n", "it cannot be merged by its figures"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			var names [3]string
			for i, text := range []string{c.base, c.ours, c.theirs} {
				names[i] = filepath.Join(dir, []string{"base", "ours", "theirs"}[i])
				require.NoError(t, os.WriteFile(names[i], []byte(text), 0o640))
			}
			err := branch.Driver(names[0], names[1], names[2], c.path, 7)
			if c.says == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, c.says)
			}
			got, err := os.ReadFile(names[1])
			require.NoError(t, err)
			assert.Equal(t, c.want, string(got))
			left, err := os.ReadDir(dir)
			require.NoError(t, err)
			assert.Len(t, left, 3, "no temporary file is left")
		})
	}
	assert.ErrorContains(t, branch.Driver("none", "none", "none", at, 7), "cannot be read")
}
