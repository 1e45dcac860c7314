package history

import (
	"strings"

	"fourmarks.example/data/commits"
)

// finder finds files in folders of many commits. Most commits share most folders,
// so what was found in one is remembered.
type finder struct {
	repository *commits.Repository
	known      map[entryOf]commits.Entry
}

func newFinder(r *commits.Repository) finder {
	return finder{repository: r, known: map[entryOf]commits.Entry{}}
}

// entryOf is a name in a folder.
type entryOf struct {
	folder commits.Hash
	name   string
}

// find returns what is at a path below a folder; nothing when nothing is.
func (f *finder) find(tree commits.Hash, path string) (commits.Entry, error) {
	at := commits.Entry{Mode: commits.Folder, Hash: tree}
	for name := range strings.SplitSeq(path, "/") {
		if at.Mode != commits.Folder {
			return commits.Entry{}, nil
		}
		key := entryOf{at.Hash, name}
		next, known := f.known[key]
		if !known {
			var err error
			if next, err = f.repository.At(at.Hash, name); err != nil {
				return commits.Entry{}, err
			}
			f.known[key] = next
		}
		at = next
	}
	return at, nil
}

// first returns the first of some names under which a file is found.
func (f *finder) first(tree commits.Hash, paths []string) (place, error) {
	for _, p := range paths {
		e, err := f.find(tree, p)
		if err != nil {
			return place{}, err
		}
		if e.IsFile() {
			return place{path: p, blob: e.Hash}, nil
		}
	}
	return place{}, nil
}
