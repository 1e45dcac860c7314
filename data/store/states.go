//go:build !js

package store

import (
	"fmt"

	"fourmarks.example/data/commits"
	"fourmarks.example/lint"
)

// States returns the files of a folder at a git revision, and at another or, if
// that is "", as they are now, for comparing the two. Files that are the same to
// the byte in both are marked as context; what contents have in common is told by
// their hashes, so that at two revisions only what differs has to be read.
func States(folder, from, to string) (before, after []lint.Input, err error) {
	before, was, err := openRevision(folder, from)
	if err != nil {
		return nil, nil, err
	}
	var is map[string]commits.Hash
	if to != "" {
		after, is, err = openRevision(folder, to)
	} else if after, err = Open(folder); err == nil {
		is = hashesOf(after)
	} else {
		err = fmt.Errorf("%w\nwith two revisions the folder need not be there", err)
	}
	if err != nil {
		return nil, nil, err
	}
	for _, inputs := range [][]lint.Input{before, after} {
		for i := range inputs {
			h, known := was[inputs[i].Name]
			inputs[i].Context = inputs[i].Context || known && h == is[inputs[i].Name]
		}
	}
	return before, after, nil
}

// hashesOf names the contents of files as git does; those that cannot be read
// have no name.
func hashesOf(inputs []lint.Input) map[string]commits.Hash {
	hashes := make(map[string]commits.Hash, len(inputs))
	for _, in := range inputs {
		if in.Context {
			continue
		}
		if b, err := in.Read(); err == nil {
			hashes[in.Name] = commits.BlobHash(b)
		}
	}
	return hashes
}
