//go:build !js

package branch

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fourmarks.example/data/commits"
)

// Target is the branch that a merge is for, as it was when the merge began.
type Target struct {
	Branch string // in full; "" where a commit is checked out by itself
	Commit commits.Hash
	here   bool // it is what the work tree has checked out
}

// Name is what people call the target.
func (t Target) Name() string {
	if t.Branch == "" {
		return "HEAD"
	}
	return strings.TrimPrefix(t.Branch, "refs/heads/")
}

// Find returns the branch of a name, or what is checked out where the name is
// empty.
func Find(r *commits.Repository, name string) (Target, error) {
	head, commit, err := r.Head()
	if err != nil {
		return Target{}, err
	}
	t := Target{Branch: head, Commit: commit, here: !r.IsBare()}
	if name != "" && name != "HEAD" {
		if t.Branch, t.Commit, err = r.Branch(name); err != nil {
			return Target{}, err
		}
		t.here = t.here && t.Branch == head
	}
	if t.Commit == commits.None {
		return Target{}, fmt.Errorf("%s has no commit yet, so there is nothing to merge with", t.Name())
	}
	return t, nil
}

// Free returns why the target cannot be moved now, or nil.
func (t Target) Free(r *commits.Repository) error {
	if err := r.Writable(); err != nil {
		return err
	}
	var locks []string
	if t.Branch != "" {
		locks = append(locks, filepath.Join(r.CommonFolder(), filepath.FromSlash(t.Branch)+".lock"))
	}
	if t.here {
		if err := atRest(r.GitFolder()); err != nil {
			return err
		}
		locks = append(locks, filepath.Join(r.GitFolder(), "index.lock"), filepath.Join(r.GitFolder(), "HEAD.lock"))
	}
	for _, lock := range locks {
		if _, err := os.Lstat(lock); err == nil {
			return fmt.Errorf("another git command is at work here, or one was cut short: %s is there; wait for it, or remove that file if none is running", lock)
		}
	}
	if t.here || t.Branch == "" {
		return nil
	}
	return t.elsewhere(r)
}

// atRest returns what is going on in a work tree that has to be ended first.
func atRest(folder string) error {
	for _, work := range []struct{ file, what, end string }{
		{"MERGE_HEAD", "a merge", "git merge --continue or git merge --abort"},
		{"rebase-merge", "a rebase", "git rebase --continue or git rebase --abort"},
		{"rebase-apply", "a rebase", "git rebase --continue or git rebase --abort"},
		{"CHERRY_PICK_HEAD", "a cherry-pick", "git cherry-pick --continue or git cherry-pick --abort"},
		{"REVERT_HEAD", "a revert", "git revert --continue or git revert --abort"},
	} {
		if _, err := os.Lstat(filepath.Join(folder, work.file)); err == nil {
			return fmt.Errorf("%s is under way here; end it first with %s", work.what, work.end)
		}
	}
	return nil
}

// elsewhere returns an error where a work tree has the branch checked out, or is
// rebasing it: moving it would leave that work tree behind.
func (t Target) elsewhere(r *commits.Repository) error {
	folders := []string{r.CommonFolder()}
	linked, err := os.ReadDir(filepath.Join(r.CommonFolder(), "worktrees"))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("it cannot be seen which branches are checked out elsewhere: %w", err)
	}
	for _, d := range linked {
		folders = append(folders, filepath.Join(r.CommonFolder(), "worktrees", d.Name()))
	}
	for _, folder := range folders {
		for _, name := range []string{"HEAD", "rebase-merge/head-name", "rebase-apply/head-name"} {
			b, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
			is := strings.TrimPrefix(strings.TrimSpace(string(b)), "ref: ")
			if err != nil || is != t.Branch || folder == r.CommonFolder() && r.IsBare() {
				continue
			}
			return fmt.Errorf("the branch %s is checked out in another work tree (%s); merge there", t.Name(), workTree(r, folder))
		}
	}
	return nil
}

// workTree is the folder that a git folder keeps the state of.
func workTree(r *commits.Repository, folder string) string {
	b, err := os.ReadFile(filepath.Join(folder, "gitdir"))
	if err != nil {
		return filepath.Dir(folder)
	}
	return filepath.Dir(strings.TrimSpace(string(b)))
}
