//go:build !js

package commits

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/filemode"
)

// Mode says what an entry of a folder is.
type Mode = filemode.FileMode

// The modes that git knows. A mode of 0 is that of nothing.
const (
	Folder     = filemode.Dir
	File       = filemode.Regular
	Executable = filemode.Executable
	Link       = filemode.Symlink
	Submodule  = filemode.Submodule
)

// Entry is one name in a folder, or nothing.
type Entry struct {
	Name string
	Mode Mode
	Hash Hash
}

// IsNothing reports whether there is no such entry.
func (e Entry) IsNothing() bool { return e.Mode == 0 }

// IsFile reports whether the entry is an ordinary file.
func (e Entry) IsFile() bool {
	return e.Mode == File || e.Mode == Executable || e.Mode == filemode.Deprecated
}

// treeLimit bounds what is read of one folder: some two hundred thousand names.
const treeLimit = 1 << 23

// List lists what is directly in a folder, in git's order. None is an empty
// folder.
func (r *Repository) List(tree Hash) ([]Entry, error) {
	c, err := r.cursor(tree)
	if err != nil {
		return nil, err
	}
	var entries []Entry
	for c.next() {
		entries = append(entries, c.entry())
	}
	return entries, c.err
}

// At returns what is at a path below a folder; nothing when nothing is. The
// path "." is the folder itself.
func (r *Repository) At(tree Hash, path string) (Entry, error) {
	at := Entry{Name: ".", Mode: Folder, Hash: tree}
	if path == "." || path == "" {
		return at, nil
	}
	for name := range strings.SplitSeq(path, "/") {
		if at.Mode != Folder {
			return Entry{}, nil
		}
		c, err := r.cursor(at.Hash)
		if err != nil {
			return Entry{}, err
		}
		at = Entry{}
		for at.IsNothing() && c.next() {
			if string(c.name) == name {
				at = c.entry()
			}
		}
		if c.err != nil {
			return Entry{}, c.err
		}
	}
	return at, nil
}

// cursor goes through a tree object as it is stored: mode, blank, name, a zero
// byte and the twenty bytes of the hash, for each entry.
type cursor struct {
	tree Hash
	rest []byte
	err  error

	name []byte
	mode Mode
	hash Hash
}

func (r *Repository) cursor(tree Hash) (*cursor, error) {
	if tree == None {
		return &cursor{}, nil
	}
	kind, b, err := r.object(tree, treeLimit)
	if err != nil {
		return nil, err
	}
	if kind != plumbing.TreeObject {
		return nil, fmt.Errorf("%s is a %s, not a folder", tree, kind)
	}
	return &cursor{tree: tree, rest: b}, nil
}

// next goes to the next entry; false after the last, or where the folder is damaged.
func (c *cursor) next() bool {
	if len(c.rest) == 0 || c.err != nil {
		c.name, c.mode = nil, 0
		return false
	}
	blank := bytes.IndexByte(c.rest, ' ')
	end := bytes.IndexByte(c.rest, 0)
	if blank < 1 || end < blank+2 || len(c.rest) < end+1+len(c.hash) {
		c.err = fmt.Errorf("the folder %s of the repository is damaged", c.tree)
		return false
	}
	c.mode = 0
	for _, digit := range c.rest[:blank] {
		if digit < '0' || digit > '7' {
			c.err = fmt.Errorf("the folder %s of the repository is damaged", c.tree)
			return false
		}
		c.mode = c.mode<<3 | Mode(digit-'0')
	}
	c.name = c.rest[blank+1 : end]
	copy(c.hash[:], c.rest[end+1:])
	c.rest = c.rest[end+1+len(c.hash):]
	return true
}

func (c *cursor) entry() Entry {
	return Entry{Name: string(c.name), Mode: c.mode, Hash: c.hash}
}

// compare orders the entries that two cursors stand on as git does: a folder as
// if a slash ended its name. A cursor past its end comes last.
func (c *cursor) compare(other *cursor) int {
	switch {
	case c.mode == 0 && other.mode == 0:
		return 0
	case c.mode == 0:
		return 1
	case other.mode == 0:
		return -1
	}
	return compareNames(c.name, c.mode, other.name, other.mode)
}

func compareNames(a []byte, aMode Mode, b []byte, bMode Mode) int {
	n := min(len(a), len(b))
	if order := bytes.Compare(a[:n], b[:n]); order != 0 {
		return order
	}
	return int(after(a, n, aMode)) - int(after(b, n, bMode))
}

// after is what stands after the first n bytes of a name.
func after(name []byte, n int, mode Mode) byte {
	switch {
	case n < len(name):
		return name[n]
	case mode == Folder:
		return '/'
	}
	return 0
}
