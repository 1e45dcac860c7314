//go:build !js

package commits

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/storer"
	"github.com/go-git/go-git/v5/storage/filesystem"
	"github.com/go-git/go-git/v5/storage/filesystem/dotgit"
)

// revisionForm is a name and the steps back from it.
var revisionForm = regexp.MustCompile(`^([^~^:@{}\s]+|@)((?:[~^][0-9]*)*)$`)

var revisionStep = regexp.MustCompile(`[~^][0-9]*`)

// Resolve returns the commit that a revision names: HEAD, a branch, a tag, a
// remote branch, or a commit's hash or the start of it, with steps back such as
// ~2 or ^2 after it. A name that could mean two commits is refused.
func (r *Repository) Resolve(rev string) (Hash, error) {
	parts := revisionForm.FindStringSubmatch(rev)
	if parts == nil {
		return None, fmt.Errorf("%q is no revision of a form known here: name a branch, a tag, a remote branch or a commit, or HEAD, with ~n after it for the nth before", rev)
	}
	h, err := r.named(parts[1])
	if err != nil {
		return None, err
	}
	for _, step := range revisionStep.FindAllString(parts[2], -1) {
		if h, err = r.back(h, step); err != nil {
			return None, fmt.Errorf("%s: %w", rev, err)
		}
	}
	return h, nil
}

// named returns the commit of a name without steps.
func (r *Repository) named(name string) (Hash, error) {
	switch {
	case name == "HEAD" || name == "@":
		h, found, err := r.reference("HEAD")
		if err == nil && !found {
			err = errors.New("the repository has no commit yet")
		}
		return h, err
	case plumbing.IsHash(name):
		return r.peeled(plumbing.NewHash(name))
	}
	h, found, err := r.referred(name)
	if err != nil || found {
		return h, err
	}
	if h, found, err = r.abbreviated(name); err != nil || found {
		return h, err
	}
	return None, fmt.Errorf("there is no branch, tag or commit %q here%s", name, r.cutOff())
}

// referred looks for a name among the references.
func (r *Repository) referred(name string) (Hash, bool, error) {
	places := []string{"refs/" + name, "refs/tags/" + name, "refs/heads/" + name, "refs/remotes/" + name, "refs/remotes/" + name + "/HEAD"}
	if strings.HasPrefix(name, "refs/") {
		places = []string{name}
	}
	var found []string
	var commits []Hash
	for _, place := range places {
		h, ok, err := r.reference(place)
		if err != nil {
			return None, false, err
		}
		if ok {
			found = append(found, place)
			commits = append(commits, h)
		}
	}
	switch {
	case len(found) == 0:
		return None, false, nil
	case slices.ContainsFunc(commits, func(h Hash) bool { return h != commits[0] }):
		return None, false, fmt.Errorf("%q can mean any of %s; write the one in full", name, strings.Join(found, ", "))
	}
	return commits[0], true, nil
}

// reference returns the commit that a reference leads to.
func (r *Repository) reference(name string) (Hash, bool, error) {
	ref, err := storer.ResolveReference(r.storage, plumbing.ReferenceName(name))
	if err != nil || ref == nil { // go-git refuses names that cannot be references
		return None, false, nil
	}
	h, err := r.peeled(ref.Hash())
	return h, err == nil, err
}

// shortest is how much of a hash must be given.
const shortest = 4

// abbreviated looks for the one commit whose hash starts so.
func (r *Repository) abbreviated(start string) (Hash, bool, error) {
	start = strings.ToLower(start)
	if len(start) < shortest || len(start) > 40 {
		return None, false, nil
	}
	whole, err := hex.DecodeString(start[:len(start)&^1])
	if err != nil || strings.Trim(start, "0123456789abcdef") != "" {
		return None, false, nil
	}
	candidates, err := r.startingWith(whole)
	if err != nil {
		return None, false, fmt.Errorf("the repository cannot be read: %w", err)
	}
	var commits []Hash
	for _, h := range candidates {
		if !strings.HasPrefix(h.String(), start) {
			continue
		}
		if c, err := r.peeled(h); err == nil && !slices.Contains(commits, c) { // trees and blobs are not meant
			commits = append(commits, c)
		}
	}
	switch len(commits) {
	case 0:
		return None, false, nil
	case 1:
		return commits[0], true, nil
	}
	slices.SortFunc(commits, func(a, b Hash) int { return bytes.Compare(a[:], b[:]) })
	return None, false, fmt.Errorf("%q is the start of several commits: %s, %s…; write more of it", start, commits[0], commits[1])
}

// startingWith returns the objects whose hashes start so, those of repositories
// that this one borrows from among them.
func (r *Repository) startingWith(start []byte) ([]Hash, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	found, err := r.storage.HashesWithPrefix(start)
	if err != nil {
		return nil, err
	}
	lenders, err := dotgit.NewWithOptions(r.storage.Filesystem(), dotgit.Options{AlternatesFS: r.all}).Alternates()
	if errors.Is(err, fs.ErrNotExist) {
		return found, nil
	}
	for _, lender := range lenders {
		more, err := filesystem.NewObjectStorage(lender, newCache()).HashesWithPrefix(start)
		if err != nil {
			return nil, err
		}
		found = append(found, more...)
	}
	return found, err
}

// back takes one step back from a commit: ~n by first parents, ^n to the nth parent.
func (r *Repository) back(h Hash, step string) (Hash, error) {
	n := 1
	if len(step) > 1 {
		var err error
		if n, err = strconv.Atoi(step[1:]); err != nil {
			return None, fmt.Errorf("%s is no number of commits", step[1:])
		}
	}
	if step[0] == '^' {
		if n == 0 {
			return h, nil
		}
		return r.parent(h, n)
	}
	for range n {
		var err error
		if h, err = r.parent(h, 1); err != nil {
			return None, err
		}
	}
	return h, nil
}

func (r *Repository) parent(h Hash, n int) (Hash, error) {
	c, err := r.Commit(h)
	switch {
	case err != nil:
		return None, err
	case c.CutOff:
		return None, fmt.Errorf("the history here ends at %s, for the clone is shallow; fetch the rest first (git fetch --unshallow)", Short(h))
	case len(c.Parents) == 0:
		return None, fmt.Errorf("%s is the first commit; there is none before it", Short(h))
	case n > len(c.Parents):
		return None, fmt.Errorf("%s has no parent number %d", Short(h), n)
	}
	return c.Parents[n-1], nil
}

// Short is as much of a hash as tells it from others.
func Short(h Hash) string { return h.String()[:10] }

// cutOff adds, in a shallow clone, that what is missing may only not be fetched.
func (r *Repository) cutOff() string {
	if cut, err := r.Shallow(); err != nil || len(cut) == 0 {
		return ""
	}
	return "; the clone is shallow, so it may have to be fetched first"
}
