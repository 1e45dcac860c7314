//go:build !js

package branch_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/merge/branch"
)

// simple is a repository whose branches changed a file each.
func simple(t *testing.T) *gittest.Work {
	return parted(t, files{"a": text, "b": text, "c": "c"}, files{"a": edited("one", "1"), "b": text, "c": "c"},
		files{"a": text, "b": edited("two", "2"), "c": "c", "n": "new"})
}

var simpleMerged = files{"a": edited("one", "1"), "b": edited("two", "2"), "c": "c", "n": "new"}

// What nobody has committed stays where it is not in the way, and stops the merge
// where it is.
func TestWhatIsNotCommitted(t *testing.T) {
	cases := map[string]struct {
		do    func(*gittest.Work)
		says  string // "" where the merge goes through
		stays func(*testing.T, *gittest.Work)
	}{
		"changed elsewhere":   {func(w *gittest.Work) { w.Write("c", "mine") }, "", func(t *testing.T, w *gittest.Work) { assert.Equal(t, "mine", w.Read("c")) }},
		"staged elsewhere":    {func(w *gittest.Work) { w.Write("c", "mine"); w.Git("add", "c") }, "", func(t *testing.T, w *gittest.Work) { assert.Equal(t, "M  c", w.Git("status", "--porcelain")) }},
		"new elsewhere":       {func(w *gittest.Work) { w.Write("z", "mine") }, "", func(t *testing.T, w *gittest.Work) { assert.Equal(t, "mine", w.Read("z")) }},
		"changed in the way":  {func(w *gittest.Work) { w.Write("b", "mine") }, "would be overwritten", nil},
		"staged in the way":   {func(w *gittest.Work) { w.Write("b", "mine"); w.Git("add", "b") }, "would be overwritten", nil},
		"new in the way":      {func(w *gittest.Work) { w.Write("n", "mine") }, "would be overwritten", nil},
		"ignored in the way":  {func(w *gittest.Work) { w.Write(".git/info/exclude", "n\n"); w.Write("n", "mine") }, "would be overwritten", nil},
		"a folder in the way": {func(w *gittest.Work) { w.Write("n/x", "mine") }, "would lose untracked files", nil},
		"removed in the way":  {func(w *gittest.Work) { w.Remove("b") }, "", nil},
		"options are set": {func(w *gittest.Work) {
			w.Git("config", "branch.main.mergeOptions", "--squash --no-commit")
			w.Git("config", "merge.ff", "false")
		}, "", nil},
		"autostash is set": {func(w *gittest.Work) { w.Git("config", "merge.autoStash", "true"); w.Write("b", "mine") }, "would be overwritten", nil},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := simple(t)
			c.do(w)
			before := w.State()
			_, err := merge(w, "theirs", "")
			if c.says == "" {
				require.NoError(t, err)
				assert.Equal(t, "new", w.Read("n"))
				if c.stays != nil {
					c.stays(t, w)
				}
				return
			}
			require.ErrorContains(t, err, c.says)
			assert.NotContains(t, err.Error(), "\n", "one sentence")
			assert.Equal(t, before, w.State())
		})
	}
}

// What stands in the way of laying out conflicts stops it before anything changes.
func TestWhatIsNotCommittedAndConflicts(t *testing.T) {
	cases := map[string]struct {
		do   func(*gittest.Work)
		says string
	}{
		"changed elsewhere":  {func(w *gittest.Work) { w.Write("c", "mine") }, ""},
		"staged elsewhere":   {func(w *gittest.Work) { w.Write("c", "mine"); w.Git("add", "c") }, "changes are staged (c)"},
		"changed in the way": {func(w *gittest.Work) { w.Write("b", "mine") }, "b has changes that are not committed"},
		"in a conflict":      {func(w *gittest.Work) { w.Write("a", "mine") }, "a has changes that are not committed"},
		"new in the way":     {func(w *gittest.Work) { w.Write("n", "mine") }, "n is in the way"},
		"ignored in the way": {func(w *gittest.Work) { w.Write(".git/info/exclude", "n\n"); w.Write("n", "mine") }, "n is in the way"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := parted(t, files{"a": text, "b": text, "c": "c"}, files{"a": edited("one", "1"), "b": text, "c": "c"},
				files{"a": edited("one", "I"), "b": edited("two", "2"), "c": "c", "n": "new"})
			c.do(w)
			before := w.State()
			m, err := plan(w, "theirs")
			require.NoError(t, err)
			err = m.Leave(t.Context(), "Merge theirs\n")
			if c.says != "" {
				require.ErrorContains(t, err, c.says)
				assert.Equal(t, before, w.State())
				return
			}
			require.NoError(t, err)
			assert.Equal(t, edited("two", "2"), w.Read("b"))
			assert.Contains(t, w.Read("a"), "<<<<<<< main\n1\n||||||| before\none\n=======\nI\n>>>>>>> theirs\n")
			w.Git("merge", "--abort")
			assert.Equal(t, before, w.State())
		})
	}
}

// What is laid out is settled and committed as any merge of git's is.
func TestLaidOutConflictsAreSettledByGit(t *testing.T) {
	w := parted(t, files{"a": text, "b": text}, files{"a": edited("one", "1"), "b": text}, files{"a": edited("one", "I"), "b": edited("two", "2")})
	m, err := plan(w, "theirs")
	require.NoError(t, err)
	require.NoError(t, m.Leave(t.Context(), "Merge of theirs\n"))
	w.Write("a", edited("one", "first"))
	w.Git("add", "a")
	w.Git("commit", "-q", "--no-edit")
	assert.Equal(t, "Merge of theirs", w.Git("log", "-1", "--format=%s"))
	assert.Len(t, strings.Fields(w.Git("log", "-1", "--format=%P")), 2)
	holds(w, files{"a": edited("one", "first"), "b": edited("two", "2")})
}

func TestEveryFormOfRepositoryIsMerged(t *testing.T) {
	beside := func(w *gittest.Work, args ...string) *gittest.Work {
		dir := filepath.Join(t.TempDir(), "it")
		w.Git(append(args, dir)...)
		return w.At(dir)
	}
	forms := map[string]func(*gittest.Work) *gittest.Work{
		"linked work tree": func(w *gittest.Work) *gittest.Work { return beside(w, "worktree", "add", "-q", "-b", "ours") },
		"detached":         func(w *gittest.Work) *gittest.Work { w.Git("checkout", "-q", "--detach"); return w },
		"alternates": func(w *gittest.Work) *gittest.Work {
			c := beside(w, "clone", "-q", "--shared", w.Dir)
			c.Git("branch", "theirs", "origin/theirs")
			return c
		},
		"split index":       func(w *gittest.Work) *gittest.Work { w.Git("update-index", "--split-index"); return w },
		"index of form 4":   func(w *gittest.Work) *gittest.Work { w.Git("update-index", "--index-version", "4"); return w },
		"packed":            func(w *gittest.Work) *gittest.Work { w.Git("gc", "-q"); return w },
		"packed references": func(w *gittest.Work) *gittest.Work { w.Git("pack-refs", "--all"); return w },
		"submodule": func(w *gittest.Work) *gittest.Work {
			above := gittest.New(t)
			above.Git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", w.Dir, "under")
			under := above.At(filepath.Join(above.Dir, "under"))
			under.Git("branch", "theirs", "origin/theirs")
			return under
		},
		"with a submodule": func(w *gittest.Work) *gittest.Work {
			other := gittest.New(t)
			put(other, files{"q": "q"})
			w.Git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", other.Dir, "under")
			w.Commit()
			return w
		},
	}
	for form, of := range forms {
		t.Run(form, func(t *testing.T) {
			w := of(simple(t))
			_, err := merge(w, "theirs", "")
			require.NoError(t, err)
			for name, text := range simpleMerged {
				assert.Equal(t, text, w.Read(name), name)
			}
			assert.Empty(t, w.Git("status", "--porcelain"))
			w.Sound()
		})
	}
}

// In a sparse work tree the files that are not there stay away, and are merged.
func TestASparseWorkTree(t *testing.T) {
	w := parted(t, files{"d/a": text, "e/b": text}, files{"d/a": edited("one", "1"), "e/b": text}, files{"d/a": text, "e/b": edited("two", "2")})
	w.Git("sparse-checkout", "set", "--no-cone", "/d/")
	if w.Read("e/b") != "" {
		t.Fatal("the work tree is not sparse")
	}
	_, err := merge(w, "theirs", "")
	if err != nil { // git keeps its sparse settings in a config of the work tree
		assert.ErrorContains(t, err, "extensions.worktreeConfig")
		w.Git("config", "--unset", "extensions.worktreeConfig")
		w.Git("config", "core.sparseCheckout", "true")
		_, err = merge(w, "theirs", "")
	}
	require.NoError(t, err)
	assert.Equal(t, edited("two", "2"), w.Git("show", "HEAD:e/b")+"\n")
	assert.Empty(t, w.Read("e/b"))
	assert.Empty(t, w.Git("status", "--porcelain"))
}

// In a bare repository, and for a branch that nobody has checked out, only the
// reference moves.
func TestABranchThatIsCheckedOutNowhere(t *testing.T) {
	w := simple(t)
	w.Git("branch", "ours")
	w.Write("c", "mine")
	dir := filepath.Join(t.TempDir(), "it")
	w.Git("clone", "-q", "--bare", w.Dir, dir)
	for _, at := range []*gittest.Work{w, w.At(dir)} {
		main := at.Git("rev-parse", "main")
		_, err := merge(at, "theirs", "ours")
		require.NoError(t, err)
		assert.Equal(t, edited("two", "2"), at.Git("show", "ours:b")+"\n")
		assert.Equal(t, main, at.Git("rev-parse", "main"))
		at.Sound()
	}
	assert.Contains(t, w.Git("reflog", "ours"), "merge theirs")
	assert.Equal(t, " M c", w.Git("status", "--porcelain"))
	_, err := merge(w.At(dir), "theirs", "")
	require.NoError(t, err, "what a bare repository has for HEAD")
}

func TestABranchThatIsCheckedOutElsewhere(t *testing.T) {
	w := simple(t)
	dir := filepath.Join(t.TempDir(), "it")
	w.Git("worktree", "add", "-q", "-b", "ours", dir)
	before := w.State()
	_, err := merge(w, "theirs", "ours")
	assert.ErrorContains(t, err, "the branch ours is checked out in another work tree ("+dir+"); merge there")
	_, err = merge(w.At(dir), "theirs", "main")
	assert.ErrorContains(t, err, "the branch main is checked out in another work tree ("+w.Dir+"); merge there")
	assert.Equal(t, before, w.State())
}

// What is under way, and locks that others hold, are respected.
func TestLocksAndWorkUnderWay(t *testing.T) {
	cases := map[string]struct {
		file, says string
	}{
		"the index is locked":  {"index.lock", "another git command is at work here"},
		"the branch is locked": {"refs/heads/main.lock", "another git command is at work here"},
		"HEAD is locked":       {"HEAD.lock", "another git command is at work here"},
		"a merge":              {"MERGE_HEAD", "a merge is under way here; end it first with git merge --continue or git merge --abort"},
		"a rebase":             {"rebase-merge", "a rebase is under way here"},
		"a cherry-pick":        {"CHERRY_PICK_HEAD", "a cherry-pick is under way here"},
		"a revert":             {"REVERT_HEAD", "a revert is under way here"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			w := simple(t)
			w.Write(".git/"+c.file, w.Head()+"\n")
			before := w.State()
			_, err := merge(w, "theirs", "")
			require.ErrorContains(t, err, c.says)
			assert.Equal(t, before, w.State())
			m, err := plan(w, "theirs")
			require.NoError(t, err)
			assert.ErrorContains(t, m.Leave(t.Context(), "m"), c.says)
			assert.Equal(t, before, w.State())
		})
	}
}

// A branch that moves while it is merged into is not moved back.
func TestTheBranchMovesDuringTheMerge(t *testing.T) {
	for name, move := range map[string]func(*gittest.Work){
		"on":      func(w *gittest.Work) { w.Write("z", "z"); w.Commit() },
		"back":    func(w *gittest.Work) { w.Git("reset", "-q", "--hard", "HEAD~1") },
		"another": func(w *gittest.Work) { w.Git("checkout", "-q", "-b", "other") },
	} {
		t.Run(name, func(t *testing.T) {
			w := simple(t)
			r := open(w)
			target, err := branch.Find(r, "")
			require.NoError(t, err)
			m, err := branch.Plan(t.Context(), r, target, "theirs")
			require.NoError(t, err)
			h, err := m.Store("m")
			require.NoError(t, err)
			move(w)
			before := w.State()
			assert.ErrorContains(t, branch.Publish(t.Context(), r, target, h, "m"), "moved in the meantime, so nothing was changed")
			assert.Equal(t, before, w.State())
		})
	}
}

// Of two merges at once the second is told so, and nothing of the first is lost.
func TestTwoMergesAtOnce(t *testing.T) {
	w := simple(t)
	w.Git("checkout", "-q", "-b", "others", "HEAD~1")
	w.Write("o", "o")
	w.Commit()
	w.Git("checkout", "-q", "main")
	var errs []error
	done := make(chan error)
	for _, rev := range []string{"theirs", "others"} {
		go func() {
			_, err := merge(w, rev, "")
			done <- err
		}()
	}
	for range 2 {
		errs = append(errs, <-done)
	}
	assert.Contains(t, errs, error(nil), "one of them went through")
	for _, rev := range []string{"theirs", "others"} {
		_, err := merge(w, rev, "")
		require.NoError(t, err)
	}
	holds(w, files{"a": edited("one", "1"), "b": edited("two", "2"), "c": "c", "n": "new", "o": "o"})
	w.Sound()
}

// Packing anew while a merge reads takes nothing from it.
func TestPackingDuringAMerge(t *testing.T) {
	w := simple(t)
	r := open(w)
	target, err := branch.Find(r, "")
	require.NoError(t, err)
	w.Git("gc", "-q", "--prune=now")
	m, err := branch.Plan(t.Context(), r, target, "theirs")
	require.NoError(t, err)
	w.Git("repack", "-q", "-a", "-d", "-f")
	h, err := m.Store("m")
	require.NoError(t, err)
	require.NoError(t, branch.Publish(t.Context(), r, target, h, "m"))
	holds(w, simpleMerged)
}

func TestRepositoriesThatAreNotMerged(t *testing.T) {
	w := simple(t)
	w.Git("config", "uploadpack.allowFilter", "true")
	beside := func(args ...string) *gittest.Work {
		dir := filepath.Join(t.TempDir(), "it")
		w.Git(append(args, "file://"+w.Dir, dir)...)
		return w.At(dir)
	}
	partial := beside("clone", "-q", "--filter=blob:none")
	before := partial.State()
	_, err := merge(partial, "origin/theirs", "")
	assert.ErrorContains(t, err, "is a partial clone")
	assert.Equal(t, before, partial.State())

	shallow := beside("clone", "-q", "--depth=1", "--no-single-branch")
	before = shallow.State()
	_, err = merge(shallow, "origin/theirs", "")
	assert.ErrorContains(t, err, "the clone is shallow; fetch the rest first")
	assert.Equal(t, before, shallow.State())

	empty := gittest.New(t)
	_, err = branch.Find(open(empty), "")
	assert.ErrorContains(t, err, "main has no commit yet")
}

// Without the git program nothing is written, and what cannot be done is said.
func TestWithoutGit(t *testing.T) {
	w := simple(t)
	before := w.State()
	path := os.Getenv("PATH")
	t.Setenv("PATH", t.TempDir())
	m, err := plan(w, "theirs")
	require.NoError(t, err, "planning needs no git")
	assert.Empty(t, m.Conflicts())
	_, err = m.Store("m")
	assert.ErrorContains(t, err, "the git program is not installed")
	t.Setenv("PATH", path)
	assert.Equal(t, before, w.State())
}

// A cancelled merge changes nothing.
func TestACancelledMerge(t *testing.T) {
	w := simple(t)
	before := w.State()
	r := open(w)
	target, err := branch.Find(r, "")
	require.NoError(t, err)
	ctx, cancel := cancelled(t)
	defer cancel()
	_, err = branch.Plan(ctx, r, target, "theirs")
	require.Error(t, err)
	assert.Error(t, branch.Publish(ctx, r, target, commits.None, "m"))
	assert.Equal(t, before, w.State())
}
