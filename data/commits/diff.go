//go:build !js

package commits

// Change is a path at which two folders differ: what was there, and what is.
type Change struct {
	Path    string
	Was, Is Entry
}

// Diff lists the files at which two folders differ, in git's order, each with
// its path below prefix. Folders are entered only where their hashes differ, and
// one that came or went is listed file by file. None is an empty folder.
func (r *Repository) Diff(was, is Hash, prefix string) ([]Change, error) {
	d := differ{repository: r}
	if prefix != "" && prefix != "." {
		prefix += "/"
	} else {
		prefix = ""
	}
	err := d.folders(was, is, prefix)
	return d.changes, err
}

// DiffAt is Diff of what is at a path in two folders.
func (r *Repository) DiffAt(was, is Hash, path string) ([]Change, error) {
	var hashes [2]Hash
	for i, tree := range []Hash{was, is} {
		at, err := r.At(tree, path)
		if err != nil {
			return nil, err
		}
		if at.Mode == Folder {
			hashes[i] = at.Hash
		}
	}
	return r.Diff(hashes[0], hashes[1], path)
}

type differ struct {
	repository *Repository
	changes    []Change
}

func (d *differ) folders(was, is Hash, prefix string) error {
	if was == is {
		return nil
	}
	a, err := d.repository.cursor(was)
	if err != nil {
		return err
	}
	b, err := d.repository.cursor(is)
	if err != nil {
		return err
	}
	a.next()
	b.next()
	for a.mode != 0 || b.mode != 0 {
		order := a.compare(b)
		if order != 0 || a.mode != b.mode || a.hash != b.hash {
			if err := d.entries(a, b, order, prefix); err != nil {
				return err
			}
		}
		if order <= 0 {
			a.next()
		}
		if order >= 0 {
			b.next()
		}
	}
	if a.err != nil {
		return a.err
	}
	return b.err
}

// entries adds how the entries that two cursors stand on differ, or the one
// that comes first where they are of different names.
func (d *differ) entries(a, b *cursor, order int, prefix string) error {
	var was, is Entry
	if order <= 0 {
		was = a.entry()
	}
	if order >= 0 {
		is = b.entry()
	}
	name := was.Name + is.Name
	if order == 0 {
		name = was.Name
	}
	if was.Mode != Folder && is.Mode != Folder {
		d.changes = append(d.changes, Change{Path: prefix + name, Was: was, Is: is})
		return nil
	}
	return d.folders(was.Hash, is.Hash, prefix+name+"/")
}
