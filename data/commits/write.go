//go:build !js

package commits

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
)

// WriteBlob stores a content.
func (r *Repository) WriteBlob(b []byte) (Hash, error) { return r.write(plumbing.BlobObject, b) }

// WriteTree stores a folder. Its entries may come in any order; a name that git
// would not allow is refused.
func (r *Repository) WriteTree(entries []Entry) (Hash, error) {
	entries = slices.Clone(entries)
	slices.SortFunc(entries, func(a, b Entry) int {
		return compareNames([]byte(a.Name), a.Mode, []byte(b.Name), b.Mode)
	})
	var b bytes.Buffer
	names := map[string]bool{}
	for _, e := range entries {
		switch {
		case e.Name == "", e.Name == ".", e.Name == "..", strings.EqualFold(e.Name, ".git"), strings.ContainsAny(e.Name, "/\x00"):
			return None, fmt.Errorf("a folder cannot hold the name %q", e.Name)
		case names[e.Name]:
			return None, fmt.Errorf("a folder cannot hold the name %q twice", e.Name)
		case e.IsNothing() || e.Hash == None:
			return None, fmt.Errorf("there is nothing to be stored as %q", e.Name)
		}
		names[e.Name] = true
		fmt.Fprintf(&b, "%o %s\x00", uint32(e.Mode), e.Name)
		b.Write(e.Hash[:])
	}
	return r.write(plumbing.TreeObject, b.Bytes())
}

// WriteChanged stores a folder with other entries at some paths below it, none
// where an entry is nothing. A folder that holds nothing any more goes.
func (r *Repository) WriteChanged(tree Hash, changed map[string]Entry) (Hash, error) {
	here, below := map[string]Entry{}, map[string]map[string]Entry{}
	for p, e := range changed {
		name, rest, deeper := strings.Cut(p, "/")
		if !deeper {
			e.Name = name
			here[name] = e
			continue
		}
		if below[name] == nil {
			below[name] = map[string]Entry{}
		}
		below[name][rest] = e
	}
	old, err := r.List(tree)
	if err != nil {
		return None, err
	}
	var entries []Entry
	folders := map[string]Hash{}
	for _, e := range old {
		if e.Mode == Folder && below[e.Name] != nil {
			folders[e.Name] = e.Hash
		} else if _, other := here[e.Name]; !other {
			entries = append(entries, e)
		}
	}
	for _, e := range here {
		if !e.IsNothing() {
			entries = append(entries, e)
		}
	}
	for name, inner := range below {
		h, err := r.WriteChanged(folders[name], inner)
		if err != nil {
			return None, err
		}
		if h != None {
			entries = append(entries, Entry{Name: name, Mode: Folder, Hash: h})
		}
	}
	if len(entries) == 0 {
		return None, nil
	}
	return r.WriteTree(entries)
}

// WriteCommit stores a commit with the tree, parents, persons and message given.
func (r *Repository) WriteCommit(c Commit) (Hash, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "tree %s\n", c.Tree)
	for _, p := range c.Parents {
		fmt.Fprintf(&b, "parent %s\n", p)
	}
	fmt.Fprintf(&b, "author %s\ncommitter %s\n\n", c.Author, c.Committer)
	b.WriteString(strings.ReplaceAll(c.Message, "\x00", ""))
	return r.write(plumbing.CommitObject, b.Bytes())
}

// String is the person as git stores one: what would end a name early is left
// out of it.
func (p Person) String() string {
	inert := func(s string) string {
		return strings.TrimSpace(strings.Map(func(c rune) rune {
			if c < ' ' || strings.ContainsRune("<>", c) {
				return -1
			}
			return c
		}, s))
	}
	return fmt.Sprintf("%s <%s> %d %s", inert(p.Name), inert(p.Email), p.When.Unix(), zone(p.When))
}

func zone(t time.Time) string { return t.Format("-0700") }

// write stores an object that is not yet there.
func (r *Repository) write(kind plumbing.ObjectType, b []byte) (Hash, error) {
	if err := r.Writable(); err != nil {
		return None, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	o := &plumbing.MemoryObject{}
	o.SetType(kind)
	if _, err := o.Write(b); err != nil {
		return None, err
	}
	h := o.Hash()
	if r.storage.HasEncodedObject(h) == nil {
		return h, nil
	}
	if _, err := r.storage.SetEncodedObject(o); err != nil {
		return None, fmt.Errorf("nothing can be stored in the repository of %s: %w", r.top, err)
	}
	return h, nil
}
