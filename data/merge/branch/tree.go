//go:build !js

package branch

import (
	"fmt"
	"maps"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge"
)

// Version is a file as one side has it, or nothing.
type Version struct {
	Path string
	commits.Entry
}

func (v Version) same(o Version) bool { return v.Mode == o.Mode && v.Hash == o.Hash }

// File is a file that at least one side changed.
type File struct {
	// Path is where it stands in the result.
	Path               string
	Base, Ours, Theirs Version
	// Is is what the merge comes to; nothing where the file is gone. It has no
	// meaning where there is a conflict.
	Is       commits.Entry
	Conflict *Conflict
	// Scattered says that the sides do not agree where it stands: each version
	// has its own path.
	Scattered bool
	// Figures is what the merge of an engine or source file came to; nil where
	// only one side changed it.
	Figures *merge.Result

	either [2]commits.Entry // the two texts that a conflict leaves, all else merged
}

// Conflict is why two changes of a file cannot both stand.
type Conflict struct{ Why string }

func conflict(format string, args ...any) *Conflict { return &Conflict{fmt.Sprintf(format, args...)} }

// view is a state of the repository: that of a commit, or one in which some
// files may be either of several, for the states it was merged from disagree
// about them.
type view struct {
	tree commits.Hash
	over map[string][]commits.Entry
}

// sides are the files that differ between a base and two sides, by path.
type sides struct {
	base, ours, theirs map[string][]commits.Entry
}

// differing lists what either side changed.
func (m *merger) differing(base, ours, theirs view) (sides, error) {
	s := sides{base: map[string][]commits.Entry{}, ours: map[string][]commits.Entry{}, theirs: map[string][]commits.Entry{}}
	for _, side := range []struct {
		view
		entries map[string][]commits.Entry
	}{{ours, s.ours}, {theirs, s.theirs}} {
		changes, err := m.repository.Diff(base.tree, side.tree, "")
		if err != nil {
			return s, err
		}
		for _, c := range changes {
			s.base[c.Path] = []commits.Entry{c.Was}
			side.entries[c.Path] = []commits.Entry{c.Is}
		}
	}
	for p := range joined(base.over, ours.over, theirs.over) {
		if s.base[p] != nil {
			continue
		}
		e, err := m.repository.At(base.tree, p)
		if err != nil {
			return s, err
		}
		if e.Mode == commits.Folder {
			e = commits.Entry{}
		}
		s.base[p] = []commits.Entry{e}
	}
	for p, e := range s.base {
		for _, entries := range []map[string][]commits.Entry{s.ours, s.theirs} {
			if entries[p] == nil {
				entries[p] = e
			}
		}
	}
	maps.Copy(s.ours, ours.over)
	maps.Copy(s.theirs, theirs.over)
	maps.Copy(s.base, base.over)
	return s, nil
}

func joined(all ...map[string][]commits.Entry) map[string]bool {
	keys := map[string]bool{}
	for _, m := range all {
		for k := range m {
			keys[k] = true
		}
	}
	return keys
}

// merged merges two commits whose common state is known, file by file.
func (m *merger) merged(base view, ours, theirs commits.Hash) ([]File, error) {
	s, err := m.differing(base, view{tree: ours}, view{tree: theirs})
	if err != nil {
		return nil, err
	}
	pairs, err := m.paired(s)
	if err != nil {
		return nil, err
	}
	files, err := m.each(pairs)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return files, m.together(files, ours, theirs)
}

// each merges files on all cores, for it is reading figures that takes the time.
func (m *merger) each(pairs []pair) ([]File, error) {
	files, errs := make([]File, len(pairs)), make([]error, len(pairs))
	var next atomic.Int64
	var cores sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(pairs)) {
		cores.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(pairs); i = int(next.Add(1)) - 1 {
				if errs[i] = m.ctx.Err(); errs[i] == nil {
					files[i], errs[i] = m.file(pairs[i])
				}
			}
		})
	}
	cores.Wait()
	return files, firstError(errs)
}

func firstError(errs []error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// pair is a file in the base, where it may be either of several, and on both
// sides, with the path that it comes to.
type pair struct {
	path         string
	bases        []Version
	ours, theirs Version
	clash        *Conflict // why it cannot come to one path
}

// file merges one file. Where the base may be either of several, only what
// comes out of each alike is taken.
func (m *merger) file(p pair) (File, error) {
	f := File{Path: p.path, Base: p.bases[0], Ours: p.ours, Theirs: p.theirs, Conflict: p.clash, Scattered: p.clash != nil}
	if f.Conflict != nil {
		return f, nil
	}
	for i, b := range p.bases {
		v, err := m.three(p.path, b, p.ours, p.theirs)
		if err != nil {
			return f, err
		}
		differ := i > 0 && (v.is.Hash != f.Is.Hash || v.is.Mode != f.Is.Mode)
		f.Is, f.Conflict, f.either = v.is, v.conflict, v.either
		if i == 0 || f.Conflict != nil {
			f.Figures = v.figures
		}
		if f.Conflict == nil && differ {
			f.either = [2]commits.Entry{p.ours.Entry, p.theirs.Entry}
			f.Conflict = conflict("the branches were merged into one another before, and settled this file differently each time")
		}
		if f.Conflict != nil {
			return f, nil
		}
	}
	return f, nil
}

// verdict is what a file merges to.
type verdict struct {
	is       commits.Entry
	conflict *Conflict
	figures  *merge.Result
	// either is, where there is a conflict, the file with that settled for one
	// side, and for the other.
	either [2]commits.Entry
}

// three merges one file with one base.
func (m *merger) three(path string, b, o, t Version) (verdict, error) {
	switch {
	case o.same(t), b.same(t):
		return verdict{is: o.Entry}, nil
	case b.same(o):
		return verdict{is: t.Entry}, nil
	}
	v := verdict{either: [2]commits.Entry{o.Entry, t.Entry}}
	switch {
	case o.IsNothing():
		v.conflict = conflict("it was removed on our side and changed on theirs")
	case t.IsNothing():
		v.conflict = conflict("it was changed on our side and removed on theirs")
	case !o.IsFile() || !t.IsFile():
		v.conflict = conflict("it is %s on our side and %s on theirs", kindOf(o.Entry), kindOf(t.Entry))
	case !b.IsNothing() && !b.IsFile():
		v.conflict = conflict("it was %s, and both sides put another file in its place", kindOf(b.Entry))
	}
	if v.conflict != nil {
		return v, nil
	}
	mode := o.Mode
	if mode == b.Mode {
		mode = t.Mode
	}
	if o.Mode != t.Mode && b.IsNothing() {
		v.conflict = conflict("both sides added it, one as a program that can be run and one not")
		return v, nil
	}
	v, err := m.contents(path, b, o, t)
	v.is.Mode, v.either[0].Mode, v.either[1].Mode = mode, mode, mode
	return v, err
}

func kindOf(e commits.Entry) string {
	switch e.Mode {
	case commits.Link:
		return "a link"
	case commits.Submodule:
		return "another repository"
	}
	return "a file"
}
