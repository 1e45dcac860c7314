//go:build !js

package branch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/rogpeppe/go-internal/lockedfile"

	"fourmarks.example/data/commits"
)

// Commit stores a commit whose tree is that of the target with other files at
// some paths, made of contents that are in the repository. Nothing refers to it
// yet. It is git that writes it, with the name, the encoding and the signature
// that it is set to.
func Commit(ctx context.Context, r *commits.Repository, t Target, changed map[string]commits.Entry, parents []commits.Hash, message string) (commits.Hash, error) {
	tree, err := t.tree(r, changed)
	if err != nil {
		return commits.None, err
	}
	args := []string{"commit-tree", tree.String(), "-p", t.Commit.String()}
	for _, p := range parents {
		args = append(args, "-p", p.String())
	}
	if signed, err := run(ctx, r, nil, "config", "--type=bool", "commit.gpgSign"); err == nil && strings.TrimSpace(string(signed)) == "true" {
		args = append(args, "-S")
	}
	step("commit")
	out, err := run(ctx, r, []byte(message), args...)
	if err != nil {
		return commits.None, err
	}
	return r.Resolve(strings.TrimSpace(string(out)))
}

func (t Target) tree(r *commits.Repository, changed map[string]commits.Entry) (commits.Hash, error) {
	c, err := r.Commit(t.Commit)
	if err != nil {
		return commits.None, err
	}
	step("tree")
	return r.WriteChanged(c.Tree, changed)
}

// Publish moves the target to a commit that came of it. What is checked out
// moves with it; changes that nobody has committed stay, and where they are in
// the way nothing is moved.
func Publish(ctx context.Context, r *commits.Repository, t Target, commit commits.Hash, reason string) error {
	if err := t.Free(r); err != nil {
		return err
	}
	unlock, err := alone(r)
	if err != nil {
		return err
	}
	defer unlock()
	name := t.Branch
	if t.here {
		name = ""
	}
	now, err := Find(r, name)
	if err != nil {
		return err
	}
	if now != t {
		return fmt.Errorf("%s moved in the meantime, so nothing was changed; run the merge again", t.Name())
	}
	step("publish")
	if t.here {
		_, err = run(ctx, r, nil, "-c", "submodule.recurse=false", "merge", "-q", "--ff-only", "--no-overwrite-ignore", "--no-autostash", "--no-squash", commit.String())
	} else {
		_, err = run(ctx, r, nil, "update-ref", "-m", reason, t.Branch, commit.String(), t.Commit.String())
	}
	if err != nil {
		return fmt.Errorf("%s was left as it is: %w", t.Name(), err)
	}
	step("published")
	if now, err := Find(r, name); err != nil || now.Commit != commit {
		return errors.Join(fmt.Errorf("git did not move %s to %s; git merge --ff-only %[2]s does, where nothing stands against it", t.Name(), commit), err)
	}
	return nil
}

// alone waits until no other merge of this program moves a branch of the
// repository. git itself looks where a branch is before it locks the index: of two
// at once the second could leave an index that is not of the branch.
func alone(r *commits.Repository) (unlock func(), err error) {
	folder := filepath.Join(r.CommonFolder(), "fourmarks")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return nil, fmt.Errorf("nothing was changed: %w", err)
	}
	unlock, err = lockedfile.MutexAt(filepath.Join(folder, "merge.lock")).Lock()
	if err != nil {
		return nil, fmt.Errorf("nothing was changed: %w", err)
	}
	return unlock, nil
}

// Undo is the command that takes the target back to where it was before a merge,
// while nobody else has it.
func (t Target) Undo() string {
	if t.here {
		return "git reset --keep " + commits.Short(t.Commit)
	}
	return "git branch -f " + t.Name() + " " + commits.Short(t.Commit)
}
