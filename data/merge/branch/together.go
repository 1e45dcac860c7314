//go:build !js

package branch

import (
	"path"
	"strings"

	"fourmarks.example/data/commits"
)

// together holds the files of a result to one another and adds the conflicts
// that no file has by itself.
func (m *merger) together(files []File, ours, theirs commits.Hash) error {
	at := map[string]*File{}
	for i := range files {
		f := &files[i]
		if f.Conflict == nil && f.Is.IsNothing() {
			continue
		}
		if other := at[f.Path]; other != nil {
			why := conflict("two files come to this path: one was moved here, and one was added or stayed")
			f.Conflict, other.Conflict = why, why
			f.Scattered, other.Scattered = true, true
			continue
		}
		at[f.Path] = f
	}
	for p, f := range at {
		for above := path.Dir(p); above != "."; above = path.Dir(above) {
			if other := at[above]; other != nil {
				why := conflict("%s is a file on one side and a folder on the other", above)
				f.Conflict, other.Conflict = why, why
			}
		}
	}
	sameButForCase(files)
	if err := m.sameID(files); err != nil {
		return err
	}
	return m.leftBehind(files, ours, theirs)
}

// sameButForCase finds two files that one side each added, and that some
// machines cannot tell apart.
func sameButForCase(files []File) {
	ours := map[string]*File{}
	for i := range files {
		if f := &files[i]; cameBy(f.Path, f.Ours, f.Base) {
			ours[strings.ToLower(f.Path)] = f
		}
	}
	for i := range files {
		f := &files[i]
		other := ours[strings.ToLower(f.Path)]
		if other == nil || other.Path == f.Path || !cameBy(f.Path, f.Theirs, f.Base) {
			continue
		}
		why := conflict("%s and %s differ only in the case of letters, which many machines cannot keep apart", other.Path, f.Path)
		f.Conflict, other.Conflict = why, why
	}
}

// cameBy reports whether a side brought a file to a path.
func cameBy(p string, side, base Version) bool {
	return !side.IsNothing() && side.Path == p && (base.IsNothing() || base.Path != p)
}

// sameID finds engines of one id that each side added at another path.
func (m *merger) sameID(files []File) error {
	ours, theirs := map[string]*File{}, map[string]*File{}
	for i := range files {
		f := &files[i]
		if !f.Base.IsNothing() || f.Ours.IsNothing() == f.Theirs.IsNothing() {
			continue
		}
		side, v := ours, f.Ours
		if v.IsNothing() {
			side, v = theirs, f.Theirs
		}
		id, err := m.id(f.Path, v.Entry)
		if err != nil {
			return err
		}
		if id != "" {
			side[id] = f
		}
	}
	for id, f := range ours {
		if other := theirs[id]; other != nil {
			why := conflict("both sides added the engine %s, ours in %s and theirs in %s", id, f.Path, other.Path)
			f.Conflict, other.Conflict = why, why
		}
	}
	return nil
}

// leftBehind finds files that one side added to a folder which the other moved
// away as a whole.
func (m *merger) leftBehind(files []File, ours, theirs commits.Hash) error {
	for i := range files {
		f := &files[i]
		if f.Conflict != nil || !f.Base.IsNothing() || f.Ours.IsNothing() == f.Theirs.IsNothing() {
			continue
		}
		mover, of := ours, func(f File) Version { return f.Ours }
		if f.Theirs.IsNothing() {
			mover, of = theirs, func(f File) Version { return f.Theirs }
		}
		folder := path.Dir(f.Path)
		to := movedTo(files, folder, of)
		if to == "" {
			continue
		}
		left, err := m.repository.At(mover, folder)
		if err != nil {
			return err
		}
		if left.IsNothing() {
			f.Conflict = conflict("one side added it to the folder %s, which the other moved to %s", folder, to)
		}
	}
	return nil
}

// movedTo returns the folder that a side moved a file of a folder to, under its
// own name; "" when it moved none.
func movedTo(files []File, folder string, of func(File) Version) string {
	for _, f := range files {
		side := of(f)
		if f.Base.IsNothing() || side.IsNothing() || path.Dir(f.Base.Path) != folder || side.Path == f.Base.Path {
			continue
		}
		if path.Base(side.Path) == path.Base(f.Base.Path) {
			return path.Dir(side.Path)
		}
	}
	return ""
}

// changed returns what differs from our side in the result, by path. A file in
// conflict stays as it is on our side.
func changed(files []File) map[string]commits.Entry {
	entries := map[string]commits.Entry{}
	for _, f := range files {
		if f.Conflict == nil && !f.Ours.IsNothing() && f.Ours.Path != f.Path {
			entries[f.Ours.Path] = commits.Entry{}
		}
	}
	for _, f := range files {
		if f.Conflict != nil || f.Ours.Path == f.Path && f.Is.Mode == f.Ours.Mode && f.Is.Hash == f.Ours.Hash {
			continue
		}
		entries[f.Path] = f.Is
	}
	return entries
}
