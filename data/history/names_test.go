package history

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
