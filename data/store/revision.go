//go:build !js

package store

import (
	"bytes"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"

	"fourmarks.example/lint"
)

// OpenRevision returns the files that a folder held at a git revision, and with
// them, marked as context, the other source records and engines of the dataset
// it belonged to, as Open does for the folder as it is now. Names are the paths
// that the files would have in the folder as given. The folder need not exist
// any more. The revision is HEAD, a branch, a tag, a remote branch or a commit's
// hash or the start of it, with steps back such as ~2 after it.
func OpenRevision(folder, rev string) ([]lint.Input, error) {
	r, err := openRepository(folder)
	if err != nil {
		return nil, err
	}
	at, err := r.relative(folder)
	if err != nil {
		return nil, err
	}
	tree, err := r.tree(rev)
	if err != nil {
		return nil, err
	}
	root, err := r.datasetAt(tree, at)
	if err != nil {
		return nil, err
	}
	start := root
	if start == noDataset {
		start = at
	}
	files, err := r.files(tree, start)
	if err != nil {
		return nil, err
	}
	var inputs []lint.Input
	name := filepath.ToSlash(folder)
	for _, f := range files {
		in := lint.Input{Name: path.Join(name, fromTo(at, f.path)), Read: func() ([]byte, error) { return r.read(f) }}
		if root != noDataset {
			in.Kind, in.ID = classify(fromTo(root, f.path))
		}
		if at != "." && !strings.HasPrefix(f.path, at+"/") {
			if in.ID == "" {
				continue
			}
			in.Context = true
		}
		inputs = append(inputs, in)
	}
	if !slices.ContainsFunc(inputs, func(in lint.Input) bool { return !in.Context }) {
		return nil, fmt.Errorf("%s held no engine or source files (.yaml or .json) at %s", folder, rev)
	}
	slices.SortFunc(inputs, func(a, b lint.Input) int { return strings.Compare(a.Name, b.Name) })
	return inputs, nil
}

// fromTo is the way from a folder of the repository to a file of it.
func fromTo(folder, file string) string {
	rel, err := filepath.Rel(filepath.FromSlash(folder), filepath.FromSlash(file))
	if err != nil {
		return file // only a path that is not relative to the top has no way
	}
	return filepath.ToSlash(rel)
}

// noDataset stands for a root that was not found.
const noDataset = ""

// datasetAt returns the root of the dataset that a folder lay in: the nearest
// above it, or itself, that held engines/ or sources/.
func (r *repository) datasetAt(tree plumbing.Hash, at string) (string, error) {
	for {
		entries, err := r.entries(tree, at)
		if err != nil {
			return noDataset, err
		}
		for _, e := range entries {
			if e.mode == filemode.Dir && (e.name == "engines" || e.name == "sources") {
				return at, nil
			}
		}
		if at == "." {
			return noDataset, nil
		}
		at = path.Dir(at)
	}
}

// tree returns the tree of a revision.
func (r *repository) tree(rev string) (plumbing.Hash, error) {
	commit, err := r.commit(rev)
	if err != nil {
		return plumbing.ZeroHash, err
	}
	_, b, err := r.object(commit, headerLimit)
	if err != nil {
		return plumbing.ZeroHash, err
	}
	trees := headers(b, "tree")
	if len(trees) != 1 {
		return plumbing.ZeroHash, fmt.Errorf("the commit %s has no tree", commit)
	}
	return trees[0], nil
}

// entry is one name in a folder of a revision.
type entry struct {
	name string
	mode filemode.FileMode
	hash plumbing.Hash
}

// treeLimit bounds what is read of one folder: some two hundred thousand names.
const treeLimit = 1 << 23

// entries lists a folder of a revision; nothing when it was not there.
func (r *repository) entries(tree plumbing.Hash, folder string) ([]entry, error) {
	if folder != "." {
		for name := range strings.SplitSeq(folder, "/") {
			entries, err := r.list(tree)
			if err != nil {
				return nil, err
			}
			i := slices.IndexFunc(entries, func(e entry) bool { return e.name == name && e.mode == filemode.Dir })
			if i < 0 {
				return nil, nil
			}
			tree = entries[i].hash
		}
	}
	return r.list(tree)
}

// list reads a tree object as it is stored: mode, blank, name, a zero byte and
// the twenty bytes of the hash, for each entry.
func (r *repository) list(tree plumbing.Hash) ([]entry, error) {
	kind, b, err := r.object(tree, treeLimit)
	if err != nil {
		return nil, err
	}
	if kind != plumbing.TreeObject {
		return nil, fmt.Errorf("%s is a %s, not a folder", tree, kind)
	}
	var entries []entry
	for len(b) > 0 {
		head, rest, ended := bytes.Cut(b, []byte{0})
		octal, name, named := bytes.Cut(head, []byte{' '})
		mode, err := filemode.New(string(octal))
		if !ended || !named || err != nil || len(rest) < len(plumbing.ZeroHash) {
			return nil, fmt.Errorf("the folder %s of the repository is damaged", tree)
		}
		entries = append(entries, entry{name: string(name), mode: mode, hash: plumbing.Hash(rest[:len(plumbing.ZeroHash)])})
		b = rest[len(plumbing.ZeroHash):]
	}
	return entries, nil
}

// revisionFile is a data file of a revision.
type revisionFile struct {
	path string // from the top of the repository
	mode filemode.FileMode
	hash plumbing.Hash
}

// files lists the data files at and below a folder of a revision, those with a
// dot before their name aside.
func (r *repository) files(tree plumbing.Hash, folder string) ([]revisionFile, error) {
	entries, err := r.entries(tree, folder)
	if err != nil {
		return nil, err
	}
	return r.below(folder, entries, nil)
}

func (r *repository) below(folder string, entries []entry, files []revisionFile) ([]revisionFile, error) {
	for _, e := range entries {
		p := path.Join(folder, e.name)
		switch {
		case strings.HasPrefix(e.name, "."), e.mode == filemode.Submodule:
		case e.mode == filemode.Dir:
			inner, err := r.list(e.hash)
			if err != nil {
				return nil, err
			}
			if files, err = r.below(p, inner, files); err != nil {
				return nil, err
			}
		case isData(e.name):
			files = append(files, revisionFile{path: p, mode: e.mode, hash: e.hash})
		}
	}
	return files, nil
}

func (r *repository) read(f revisionFile) ([]byte, error) {
	if f.mode == filemode.Symlink {
		return nil, errors.New("this is a link, and links of a revision are not followed; put the file itself here")
	}
	_, b, err := r.object(f.hash, readLimit)
	return b, err
}
