package history

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What becomes of claims is told, commit by commit.
func TestLifeOfAFigure(t *testing.T) {
	w := newWork(t)
	w.commit("nothing yet")
	w.set("inlet: 8 mm", "exhaust: 9 mm")
	w.set("inlet: 8.0 mm", "exhaust: 9 mm")
	w.set("inlet:   '8.0 mm' # only its form", "exhaust: 9 mm")
	w.set("inlet: {claims: {book: 8.0 mm, stamp: 9.0 mm}}", "exhaust: 9 mm")
	w.set("inlet: {claims: {book: 8.0 mm, stamp: {is: 9.0 mm, set_aside: worn}}}", "exhaust: 9 mm")
	w.set("inlet: {is: 8.0 mm, from: book p. 3}", "exhaust: 9 mm")
	w.Git("rm", "-q", file)
	w.commit("gone")
	assert.Equal(t, []string{
		"inlet: 8 mm: added " + file,
		"inlet: 8 mm: lifts.inlet added - > 8 mm [book]",
		"inlet: 8 mm: lifts.exhaust added - > 9 mm [book]",
		"inlet: 8.0 mm: lifts.inlet changed 8 mm [book] > 8.0 mm [book]",
		"inlet: {claims: {book: 8.0 mm, stamp: 9.0 mm}}: lifts.inlet added - > 9.0 mm [stamp] opened",
		"inlet: {claims: {book: 8.0 mm, stamp: {is: 9.0 mm, set_aside: worn}}}: lifts.inlet set aside 9.0 mm [stamp] > 9.0 mm [stamp] ended",
		"inlet: {is: 8.0 mm, from: book p. 3}: lifts.inlet sourced 8.0 mm [book] > 8.0 mm [book p. 3]",
		"inlet: {is: 8.0 mm, from: book p. 3}: lifts.inlet removed 9.0 mm [stamp] > -",
		"gone: removed " + file,
		"gone: lifts.inlet removed 8.0 mm [book p. 3] > -",
		"gone: lifts.exhaust removed 9 mm [book] > -",
	}, told(w.history("marlowe/four")))
}

func TestStepsSayWhoAndWhen(t *testing.T) {
	w := newWork(t)
	w.Write(file, engine("marlowe/four", "inlet: 8 mm"))
	w.Git("add", "-A")
	w.Git("commit", "-q", "--author=Another keeper <other@fourmarks.example>", "--date=2024-02-03T04:05:06+0530", "-m", "subject\n\nbody")
	s := w.history("marlowe/four").Steps[0]
	assert.Equal(t, []string{"Another keeper", "other@fourmarks.example", "2024-02-03T04:05:06+05:30", "subject", "subject\n\nbody\n"},
		[]string{s.Author, s.Email, s.When.Format("2006-01-02T15:04:05-07:00"), s.Subject(), s.Message})
	assert.Equal(t, w.Git("rev-parse", "HEAD"), s.Commit)
}

// At a merge a figure counts as set only if it is then as in none of the branches.
func TestMerges(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm", "exhaust: 9 mm", "note: x")
	w.Git("checkout", "-q", "-b", "side")
	w.set("inlet: 8.1 mm", "exhaust: 9 mm", "note: x")
	w.Git("checkout", "-q", "main")
	w.set("inlet: 8 mm", "exhaust: 9 mm", "note: x", "lift_at: valve")
	w.Git("merge", "-q", "--no-commit", "side")
	w.Write(file, engine("marlowe/four", "inlet: 8.1 mm", "exhaust: 9.9 mm", "note: x", "lift_at: valve"))
	w.commit("join")
	h := w.history("marlowe/four")
	last := h.Steps[len(h.Steps)-1]
	assert.True(t, last.Merge)
	assert.Equal(t, []string{"join: lifts.exhaust changed 9 mm [book] > 9.9 mm [book]"}, told(&History{Steps: h.Steps[len(h.Steps)-1:]}))

	w.Git("checkout", "-q", "-b", "clean", "HEAD~1")
	w.Git("merge", "-q", "--no-ff", "-m", "clean join", "side")
	for _, s := range w.history("marlowe/four").Steps {
		assert.NotEqual(t, "clean join", s.Subject(), "it says nothing that its parents do not")
	}
}

// A claim that one branch removed and the merge brought back is as on the other.
func TestAMergeThatTakesOneSide(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm", "exhaust: 9 mm")
	w.Git("checkout", "-q", "-b", "side")
	w.set("inlet: 8 mm", "note: exhaust taken out")
	w.Git("checkout", "-q", "main")
	w.set("inlet: 8 mm", "exhaust: 9 mm", "note: kept")
	w.Git("merge", "-q", "-s", "ours", "-m", "ours", "side")
	for _, s := range w.history("marlowe/four").Steps {
		assert.NotEqual(t, "ours", s.Subject())
	}
}

func TestAnOctopus(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	for _, branch := range []string{"a", "b"} {
		w.Git("checkout", "-q", "-b", branch, "main")
		w.Write("data/engines/marlowe/"+branch+".yaml", engine("marlowe/"+branch, "inlet: 1 mm"))
		w.commit(branch)
	}
	w.Git("checkout", "-q", "main")
	w.Write("other", "x")
	w.commit("other")
	w.Git("merge", "-q", "--no-commit", "a", "b")
	w.Write(file, engine("marlowe/four", "inlet: 7 mm"))
	w.commit("octopus")
	assert.Len(t, strings.Fields(w.Git("log", "-1", "--format=%P")), 3)
	assert.Equal(t, []string{"inlet: 8 mm: added " + file, "inlet: 8 mm: lifts.inlet added - > 8 mm [book]", "octopus: lifts.inlet changed 8 mm [book] > 7 mm [book]"}, told(w.history("marlowe/four")))
	assert.Equal(t, []string{"a: added data/engines/marlowe/a.yaml", "a: lifts.inlet added - > 1 mm [book]"}, told(w.history("marlowe/a")))
}

// The same change picked on two branches is told for each: both set it.
func TestCherryPicksOnBothSides(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Git("checkout", "-q", "-b", "side")
	picked := w.set("inlet: 8.1 mm")
	w.Git("checkout", "-q", "main")
	w.Write("other", "x")
	w.commit("other")
	w.Git("cherry-pick", picked)
	w.Git("merge", "-q", "--no-ff", "-m", "join", "side")
	assert.Equal(t, []string{
		"inlet: 8 mm: added " + file, "inlet: 8 mm: lifts.inlet added - > 8 mm [book]",
		"inlet: 8.1 mm: lifts.inlet changed 8 mm [book] > 8.1 mm [book]", "inlet: 8.1 mm: lifts.inlet changed 8 mm [book] > 8.1 mm [book]",
	}, told(w.history("marlowe/four")))
}

func TestARevertedMerge(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Git("checkout", "-q", "-b", "side")
	w.set("inlet: 8.1 mm")
	w.Git("checkout", "-q", "main")
	w.Write("other", "x")
	w.commit("other")
	w.Git("merge", "-q", "--no-ff", "-m", "join", "side")
	w.Git("revert", "--no-edit", "-m", "1", "HEAD")
	got := told(w.history("marlowe/four"))
	assert.Equal(t, `Revert "join": lifts.inlet changed 8.1 mm [book] > 8 mm [book]`, got[len(got)-1])
	assert.Len(t, got, 4)
}

// However wrong the clocks are, what came first is told first.
func TestClockSkew(t *testing.T) {
	w := newWork(t)
	for i, year := range []string{"2031", "1999", "2020", "1971"} {
		w.Write(file, engine("marlowe/four", "inlet: "+string(rune('1'+i))+" mm"))
		w.Git("add", "-A")
		t.Setenv("GIT_AUTHOR_DATE", year+"-01-01T00:00:00Z")
		t.Setenv("GIT_COMMITTER_DATE", year+"-01-01T00:00:00Z")
		w.Git("commit", "-q", "-m", year)
	}
	var order []string
	for _, s := range w.history("marlowe/four").Steps {
		order = append(order, s.Subject())
	}
	assert.Equal(t, []string{"2031", "1999", "2020", "1971"}, order)
}

// A file that cannot be read does not hide what came before and after.
func TestAVersionThatCannotBeRead(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Write(file, "engine: marlowe/four\nlifts: {inlet: 8 mm\n<<<<<<< HEAD\n")
	w.commit("broken")
	w.set("inlet: 8 mm", "exhaust: 9 mm")
	h := w.history("marlowe/four")
	require.Len(t, h.Steps, 3)
	assert.Contains(t, h.Steps[1].Unread, "line ")
	got := told(h)
	assert.Equal(t, "inlet: 8 mm: lifts.exhaust added - > 9 mm [book]", got[len(got)-1])
}

func TestAShallowCloneSaysWhereItIsCutOff(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.set("inlet: 8.1 mm")
	w.set("inlet: 8.2 mm")
	dir := filepath.Join(t.TempDir(), "it")
	w.Git("clone", "-q", "--depth=2", "file://"+w.Dir, dir)
	h, err := historyIn(filepath.Join(dir, "data"), "marlowe/four")
	require.NoError(t, err)
	require.Len(t, h.Steps, 2)
	assert.True(t, h.Steps[0].CutOff)
	assert.Equal(t, []string{"inlet: 8.1 mm: lifts.inlet unchanged 8.1 mm [book] > 8.1 mm [book]", "inlet: 8.2 mm: lifts.inlet changed 8.1 mm [book] > 8.2 mm [book]"}, told(h))

	clone := &work{w.At(dir)}
	clone.Git("fetch", "-q", "--unshallow")
	assert.Equal(t, told(w.history("marlowe/four")), told(clone.history("marlowe/four")), "what was kept of the cut history is not used for the whole")
}

// A clone that is cut off further back than it was is read anew.
func TestAShallowCloneThatIsDeepened(t *testing.T) {
	w := newWork(t)
	for _, lift := range []string{"8", "8.1", "8.2", "8.3"} {
		w.set("inlet: " + lift + " mm")
	}
	dir := filepath.Join(t.TempDir(), "it")
	w.Git("clone", "-q", "--depth=1", "file://"+w.Dir, dir)
	clone := &work{w.At(dir)}
	for steps := 1; steps < 4; steps++ {
		h := clone.history("marlowe/four")
		assert.Len(t, h.Steps, steps)
		assert.True(t, h.Steps[0].CutOff)
		clone.Git("fetch", "-q", "--deepen=1")
	}
}

func TestLinkedBareAndDetached(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.set("inlet: 8.1 mm")
	want := told(w.history("marlowe/four"))
	beside := filepath.Join(t.TempDir(), "linked")
	w.Git("worktree", "add", "-q", "--detach", beside)
	bare := filepath.Join(t.TempDir(), "bare")
	w.Git("clone", "-q", "--bare", w.Dir, bare)
	for _, dir := range []string{beside, bare} {
		h, err := historyIn(filepath.Join(dir, "data"), "marlowe/four")
		require.NoError(t, err)
		assert.Equal(t, want, told(h), dir)
	}
	kept, err := os.ReadDir(filepath.Join(w.Dir, ".git", "fourmarks", "history"))
	require.NoError(t, err)
	assert.Len(t, kept, 1, "linked work trees share what is kept")
}

func TestErrors(t *testing.T) {
	_, err := Open(t.TempDir())
	assert.ErrorContains(t, err, "is in no git repository")
	w := newWork(t)
	_, err = Open(filepath.Join(w.Dir, "data"))
	assert.ErrorContains(t, err, "no commit yet")
	w.set("inlet: 8 mm")
	_, err = historyIn(filepath.Join(w.Dir, "data"), "marlowe/six")
	var unknown *UnknownEngine
	assert.ErrorAs(t, err, &unknown)
	_, statErr := os.Stat(filepath.Join(w.Dir, ".git", "fourmarks"))
	assert.ErrorIs(t, statErr, os.ErrNotExist, "nothing is kept of what is not there")

	w.Write("data/moved.yaml", "a/b: {to: c/d, because: x}\nc/d: {to: a/b, because: x}\n")
	w.commit("round")
	_, err = historyIn(filepath.Join(w.Dir, "data"), "a/b")
	assert.ErrorContains(t, err, "in a circle")

	d, err := Open(filepath.Join(w.Dir, "data"))
	require.NoError(t, err)
	defer d.Close()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = d.Of(ctx, "marlowe/four", "")
	assert.ErrorIs(t, err, context.Canceled)
}

func TestOnly(t *testing.T) {
	w := newWork(t)
	w.Write(file, engine("marlowe/four", "inlet: 8 mm", "exhaust: 9 mm")+"variants: {late: {change: {lifts: {inlet: {is: 7 mm, from: sheet}}}}}\n")
	w.commit("one")
	w.Write(file, engine("marlowe/four", "inlet: 8 mm", "exhaust: 9.1 mm")+"variants: {late: {change: {lifts: {inlet: {is: 7 mm, from: sheet}}}}}\n")
	w.commit("two")
	for _, c := range []struct {
		figure, variant string
		want            int // figures in all steps
	}{{"inlet", "", 2}, {"lifts", "", 4}, {"lifts.exhaust", "", 2}, {"inlet", "late", 1}, {"", "late", 1}} {
		h := w.history("marlowe/four")
		require.NoError(t, h.Only(c.figure, c.variant))
		n := 0
		for _, s := range h.Steps {
			n += len(s.Figures)
		}
		assert.Equal(t, c.want, n, "%+v", c)
	}
	assert.ErrorContains(t, w.history("marlowe/four").Only("inlett", ""), `has no figure "inlett"; near to it: inlet`)
	assert.ErrorContains(t, w.history("marlowe/four").Only("inlet", "early"), "marlowe/four early has no figure")
}
