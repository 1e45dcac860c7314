//go:build !js

package store

import (
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"fourmarks.example/data/commits"
	"fourmarks.example/lint"
)

// ErrNoFiles is the error of a folder in which there was nothing of a dataset.
var ErrNoFiles = errors.New("held no engine or source files")

// OpenRevision returns the files that a folder held at a git revision, and with
// them, marked as context, the other source records and engines of the dataset
// it belonged to, as Open does for the folder as it is now. Names are the paths
// that the files would have in the folder as given. The folder need not exist
// any more. The revision is HEAD, a branch, a tag, a remote branch or a commit's
// hash or the start of it, with steps back such as ~2 after it.
func OpenRevision(folder, rev string) ([]lint.Input, error) {
	inputs, _, err := openRevision(folder, rev)
	return inputs, err
}

// openRevision returns with the files the hashes of their contents by name.
func openRevision(folder, rev string) ([]lint.Input, map[string]commits.Hash, error) {
	r, err := openAt(folder, rev)
	if err != nil {
		return nil, nil, err
	}
	at, err := r.repository.Relative(folder)
	if err != nil {
		return nil, nil, err
	}
	root, err := r.datasetAt(at)
	if err != nil {
		return nil, nil, err
	}
	start := root
	if start == noDataset {
		start = at
	}
	files, err := r.files(start)
	if err != nil {
		return nil, nil, err
	}
	var inputs []lint.Input
	hashes := make(map[string]commits.Hash, len(files))
	name := filepath.ToSlash(folder)
	for _, f := range files {
		in := lint.Input{Name: path.Join(name, fromTo(at, f.path)), Read: func() ([]byte, error) { return r.read(f) }}
		if root != noDataset {
			in.Kind, in.ID = lint.KindOf(fromTo(root, f.path))
		}
		if at != "." && !strings.HasPrefix(f.path, at+"/") {
			if in.ID == "" {
				continue
			}
			in.Context = true
		}
		inputs = append(inputs, in)
		hashes[in.Name] = f.hash
	}
	if !slices.ContainsFunc(inputs, func(in lint.Input) bool { return !in.Context }) {
		return nil, nil, fmt.Errorf("%s %w (.yaml or .json) at %s", folder, ErrNoFiles, rev)
	}
	slices.SortFunc(inputs, func(a, b lint.Input) int { return strings.Compare(a.Name, b.Name) })
	return inputs, hashes, nil
}

// revision is a state that a repository was in.
type revision struct {
	repository *commits.Repository
	tree       commits.Hash
}

// openAt returns the state at a revision of the repository that a path lies in.
func openAt(p, rev string) (revision, error) {
	r, err := commits.Open(p)
	if err != nil {
		return revision{}, err
	}
	h, err := r.Resolve(rev)
	if err != nil {
		return revision{}, err
	}
	c, err := r.Commit(h)
	return revision{repository: r, tree: c.Tree}, err
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
func (r revision) datasetAt(at string) (string, error) {
	for {
		entries, err := r.entries(at)
		if err != nil {
			return noDataset, err
		}
		for _, e := range entries {
			if e.Mode == commits.Folder && (e.Name == "engines" || e.Name == "sources") {
				return at, nil
			}
		}
		if at == "." {
			return noDataset, nil
		}
		at = path.Dir(at)
	}
}

// entries lists a folder of a revision; nothing when it was not there.
func (r revision) entries(folder string) ([]commits.Entry, error) {
	at, err := r.repository.At(r.tree, folder)
	if err != nil || at.Mode != commits.Folder {
		return nil, err
	}
	return r.repository.List(at.Hash)
}

// revisionFile is a data file of a revision.
type revisionFile struct {
	path string // from the top of the repository
	mode commits.Mode
	hash commits.Hash
}

// files lists the data files at and below a folder of a revision, those
// that are no part of a dataset aside.
func (r revision) files(folder string) ([]revisionFile, error) {
	entries, err := r.entries(folder)
	if err != nil {
		return nil, err
	}
	return r.below(folder, entries, nil)
}

func (r revision) below(folder string, entries []commits.Entry, files []revisionFile) ([]revisionFile, error) {
	for _, e := range entries {
		p := path.Join(folder, e.Name)
		switch {
		case isApart(e.Name), e.Mode == commits.Submodule:
		case e.Mode == commits.Folder:
			inner, err := r.repository.List(e.Hash)
			if err != nil {
				return nil, err
			}
			if files, err = r.below(p, inner, files); err != nil {
				return nil, err
			}
		case isData(e.Name):
			files = append(files, revisionFile{path: p, mode: e.Mode, hash: e.Hash})
		}
	}
	return files, nil
}

func (r revision) read(f revisionFile) ([]byte, error) {
	if f.mode == commits.Link {
		return nil, errors.New("this is a link, and links of a revision are not followed; put the file itself here")
	}
	return r.repository.Blob(f.hash, readLimit)
}
