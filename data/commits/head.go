//go:build !js

package commits

import (
	"errors"
	"fmt"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
)

// Head returns the commit that is checked out, and the branch it is on, in full
// (refs/heads/main); no branch when it is checked out by itself. A repository
// without a commit yet has a branch and no commit.
func (r *Repository) Head() (branch string, commit Hash, err error) {
	r.mu.Lock()
	ref, err := r.storage.Reference(plumbing.HEAD)
	r.mu.Unlock()
	if err != nil {
		return "", None, fmt.Errorf("the repository of %s does not say what is checked out: %w", r.top, err)
	}
	if ref.Type() == plumbing.SymbolicReference {
		branch = ref.Target().String()
	}
	commit, _, err = r.reference("HEAD")
	return branch, commit, err
}

// Branch returns the whole name of a branch of this repository, and its commit.
func (r *Repository) Branch(name string) (branch string, commit Hash, err error) {
	branch = name
	if !strings.HasPrefix(name, "refs/heads/") {
		branch = "refs/heads/" + name
	}
	commit, found, err := r.reference(branch)
	if err == nil && !found {
		err = errors.New("there is no branch " + name + " here")
	}
	return branch, commit, err
}
