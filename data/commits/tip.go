//go:build !js

package commits

import (
	"fmt"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/storer"
)

// Tip returns the hash that HEAD leads to, without reading the commit of that
// name: enough to tell whether anything was committed since. It is None in a
// repository without a commit yet.
func (r *Repository) Tip() (Hash, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	ref, err := storer.ResolveReference(r.storage, plumbing.HEAD)
	if err == plumbing.ErrReferenceNotFound {
		return None, nil
	}
	if err != nil {
		return None, fmt.Errorf("the repository of %s does not say what is checked out: %w", r.top, err)
	}
	return ref.Hash(), nil
}
