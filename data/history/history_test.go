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

// An engine is followed through the names of its file and through its ids.
func TestRenames(t *testing.T) {
	for name, c := range map[string]struct {
		rename func(w *work)
		id     string
		want   []string
	}{
		"another id, recorded": {func(w *work) {
			w.Git("rm", "-q", file)
			w.Write("data/engines/marlowe/ten.yaml", engine("marlowe/ten", "inlet: 8 mm"))
			w.Write("data/moved.yaml", "marlowe/four: {to: marlowe/ten, because: its real name}\n")
		}, "marlowe/ten", []string{"renamed: moved from " + file + " to data/engines/marlowe/ten.yaml"}},
		"and rewritten at once": {func(w *work) {
			w.Git("rm", "-q", file)
			w.Write("data/engines/marlowe/ten.yaml", "# all of it new\nengine: marlowe/ten\nlifts: {inlet: {is: 9 mm, from: sheet}}\n")
			w.Write("data/moved.yaml", "marlowe/four: {to: marlowe/ten, because: its real name}\n")
		}, "marlowe/ten", []string{"renamed: moved from " + file + " to data/engines/marlowe/ten.yaml", "renamed: lifts.inlet changed 8 mm [book] > 9 mm [sheet]"}},
		"another case": {func(w *work) {
			w.Git("rm", "-q", file)
			w.Write("data/engines/Marlowe/Four.yaml", engine("marlowe/four", "inlet: 8 mm"))
		}, "marlowe/four", []string{"renamed: moved from " + file + " to data/engines/Marlowe/Four.yaml"}},
		"another extension": {func(w *work) { w.Git("mv", file, "data/engines/marlowe/four.yml") }, "marlowe/four",
			[]string{"renamed: moved from " + file + " to data/engines/marlowe/four.yml"}},
		"by way of a third id": {func(w *work) {
			w.Git("mv", file, "data/engines/marlowe/two.yaml")
			w.Write("data/moved.yaml", "marlowe/four: {to: marlowe/three, because: x}\nmarlowe/three: {to: marlowe/two, because: y}\n")
		}, "marlowe/four", []string{"renamed: moved from " + file + " to data/engines/marlowe/two.yaml"}},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWork(t)
			w.set("inlet: 8 mm")
			c.rename(w)
			w.commit("renamed")
			assert.Equal(t, append([]string{"inlet: 8 mm: added " + file, "inlet: 8 mm: lifts.inlet added - > 8 mm [book]"}, c.want...), told(w.history(c.id)))
		})
	}
}

// Only an ordinary file holds an engine, and how it may be run says nothing of it.
func TestLinksFoldersAndModes(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	require.NoError(t, os.Chmod(filepath.Join(w.Dir, filepath.FromSlash(file)), 0o755))
	w.commit("executable")
	w.Remove(file)
	require.NoError(t, os.Symlink("six.yaml", filepath.Join(w.Dir, filepath.FromSlash(file))))
	w.commit("link")
	w.Remove(file)
	w.Write(file+"/inner.yaml", "engine: a/b\n")
	w.commit("folder")
	w.Remove(file)
	w.set("inlet: 9 mm")
	assert.Equal(t, []string{
		"inlet: 8 mm: added " + file, "inlet: 8 mm: lifts.inlet added - > 8 mm [book]",
		"link: removed " + file, "link: lifts.inlet removed 8 mm [book] > -",
		"inlet: 9 mm: added " + file, "inlet: 9 mm: lifts.inlet added - > 9 mm [book]",
	}, told(w.history("marlowe/four")))
}

// A dataset that moved within its repository takes its history along.
func TestTheFolderOfTheDatasetMoves(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Write("data/engines/marlowe/six.yaml", engine("marlowe/six", "inlet: 6 mm"))
	w.commit("six")
	w.Git("mv", "data", "figures")
	w.commit("moved")
	h, err := historyIn(filepath.Join(w.Dir, "figures"), "marlowe/four")
	require.NoError(t, err)
	assert.Equal(t, []string{"inlet: 8 mm: added " + file, "inlet: 8 mm: lifts.inlet added - > 8 mm [book]", "moved: moved from " + file + " to figures/engines/marlowe/four.yaml"}, told(h))
}

// A rename on one branch and an edit under the old name on another meet.
func TestARenameAgainstAnEdit(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Git("checkout", "-q", "-b", "side")
	w.set("inlet: 8.1 mm")
	w.Git("checkout", "-q", "main")
	w.Git("mv", file, "data/engines/marlowe/ten.yaml")
	w.Write("data/moved.yaml", "marlowe/four: {to: marlowe/ten, because: x}\n")
	w.commit("renamed")
	w.Git("merge", "-q", "-m", "join", "side")
	got := told(w.history("marlowe/ten"))
	assert.Contains(t, got, "inlet: 8.1 mm: lifts.inlet changed 8 mm [book] > 8.1 mm [book]")
	assert.Contains(t, got, "renamed: moved from "+file+" to data/engines/marlowe/ten.yaml")
	assert.Contains(t, got, "inlet: 8 mm: added "+file)
	assert.Len(t, got, 4, "the merge itself sets nothing: %s", strings.Join(got, "\n"))
}

// An entry that was split keeps the history of what it was.
func TestASplitEntry(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Git("rm", "-q", file)
	w.Write("data/engines/marlowe/a.yaml", engine("marlowe/a", "inlet: 8 mm"))
	w.Write("data/engines/marlowe/b.yaml", engine("marlowe/b", "inlet: 9 mm"))
	w.Write("data/moved.yaml", "marlowe/four: {to: [marlowe/a, marlowe/b], because: two engines}\n")
	w.commit("split")
	assert.Contains(t, told(w.history("marlowe/b")), "split: lifts.inlet changed 8 mm [book] > 9 mm [book]")
	h := w.history("marlowe/four")
	assert.Contains(t, told(h), "split: removed "+file)
	assert.Equal(t, []string{"marlowe/a", "marlowe/b"}, h.Now)
}

// An entry that was merged into one that was there keeps its own history, and the
// other does not take it for its own.
func TestAMergedEntry(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Write("data/engines/marlowe/ten.yaml", engine("marlowe/ten", "inlet: 9 mm"))
	w.commit("ten")
	w.Git("rm", "-q", file)
	w.Write("data/moved.yaml", "marlowe/four: {to: marlowe/ten, because: the same engine}\n")
	w.commit("merged")
	for range 2 { // read anew, and from what was kept
		h := w.history("marlowe/four")
		assert.Equal(t, "marlowe/four", h.Engine)
		assert.Equal(t, []string{"marlowe/ten"}, h.Now)
		assert.Equal(t, []string{"inlet: 8 mm: added " + file, "inlet: 8 mm: lifts.inlet added - > 8 mm [book]", "merged: removed " + file, "merged: lifts.inlet removed 8 mm [book] > -"}, told(h))
	}
	assert.Equal(t, []string{"ten: added data/engines/marlowe/ten.yaml", "ten: lifts.inlet added - > 9 mm [book]"}, told(w.history("marlowe/ten")))
	w.commit("another commit")
	assert.Len(t, w.history("marlowe/four").Steps, 2)
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
