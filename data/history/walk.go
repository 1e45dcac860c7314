package history

import (
	"context"
	"path"
	"slices"

	"fourmarks.example/data/commits"
	"fourmarks.example/schema"
)

// place is where an engine's file stands in a commit; nowhere when it is zero.
type place struct {
	path string
	blob commits.Hash
}

func (p place) isNowhere() bool { return p == place{} }

// moment is a commit in which the file is not as in one or more of its parents.
type moment struct {
	commit  commits.Hash
	author  commits.Person
	message string
	cutOff  bool
	at      place
	parents []place
}

// walker finds the moments of one engine.
type walker struct {
	repository *commits.Repository
	finder     finder
	root       string   // of the dataset, in the repository
	ids        []string // that the engine has and had
	paths      []string // under which its file is looked for, the one it has first
}

// commits lists all that can be reached from one, each after all that came of it.
func (w *walker) commits(from commits.Hash) ([]commits.Commit, error) {
	var all []commits.Commit
	for c, err := range w.repository.Walk([]commits.Hash{from}) {
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

// moments finds those among some commits, in their order. Where the file appears
// in a commit under one name and vanishes under another, that one is looked for
// too.
func (w *walker) moments(ctx context.Context, all []commits.Commit) ([]moment, error) {
	for {
		found, appeared, err := w.look(ctx, all)
		if err != nil {
			return nil, err
		}
		more := false
		for _, m := range appeared {
			more, err = w.earlierNames(m)
			if err != nil {
				return nil, err
			}
			if more {
				break
			}
		}
		if !more {
			return found, nil
		}
	}
}

// look finds the moments under the names known so far, and those of them at
// which the file appears.
func (w *walker) look(ctx context.Context, all []commits.Commit) (found, appeared []moment, err error) {
	places, err := w.places(ctx, all)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range all {
		m := moment{commit: c.Hash, author: c.Author, message: c.Message, cutOff: c.CutOff, at: places[c.Hash]}
		isNew := !m.at.isNowhere()
		differs := isNew && len(c.Parents) == 0
		for _, h := range c.Parents {
			p, known := places[h]
			if !known { // it is not among them
				if p, err = w.placeIn(h); err != nil {
					return nil, nil, err
				}
				places[h] = p
			}
			m.parents = append(m.parents, p)
			differs = differs || p != m.at
			isNew = isNew && p.isNowhere()
		}
		if differs {
			found = append(found, m)
			if isNew && len(c.Parents) > 0 {
				appeared = append(appeared, m)
			}
		}
	}
	return found, appeared, nil
}

// places finds the file in each of some commits.
func (w *walker) places(ctx context.Context, all []commits.Commit) (map[commits.Hash]place, error) {
	found := make([]place, len(all))
	err := spread(ctx, w.repository, len(all), worthCommits, func(r *commits.Repository) func(int) error {
		f := newFinder(r)
		return func(i int) (err error) {
			found[i], err = f.first(all[i].Tree, w.paths)
			return err
		}
	})
	places := make(map[commits.Hash]place, len(all))
	for i, c := range all {
		places[c.Hash] = found[i]
	}
	return places, err
}

// placeIn finds the file in a commit.
func (w *walker) placeIn(h commits.Hash) (place, error) {
	c, err := w.repository.Commit(h)
	if err != nil {
		return place{}, err
	}
	return w.finder.first(c.Tree, w.paths)
}

// earlierNames looks, where the file appears, for what it was called in the
// parents of the commit, and reports whether that is a name not known before.
func (w *walker) earlierNames(m moment) (bool, error) {
	c, err := w.repository.Commit(m.commit)
	if err != nil {
		return false, err
	}
	more := false
	for _, h := range c.Parents {
		parent, err := w.repository.Commit(h)
		if err != nil {
			return false, err
		}
		names, err := w.vanished(parent.Tree, c.Tree, m.at.path)
		if err != nil {
			return false, err
		}
		for _, name := range names {
			if !slices.Contains(w.paths, name) {
				w.paths = append(w.paths, name)
				more = true
			}
		}
	}
	return more, nil
}

// vanished lists the files of the engine that one folder has and the next has
// not: those under one of its ids, otherwise those that say so themselves.
func (w *walker) vanished(was, is commits.Hash, appeared string) ([]string, error) {
	var names []string
	for _, name := range filesOf(w.root, w.ids) {
		e, err := w.finder.find(was, name)
		if err != nil {
			return nil, err
		}
		if e.IsFile() {
			names = append(names, name)
		}
	}
	if len(names) > 0 {
		return names, nil
	}
	all, err := w.repository.Diff(was, is, "")
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(c commits.Change) bool {
		return !c.Is.IsNothing() || !c.Was.IsFile() || !slices.Contains(extensions, path.Ext(c.Path))
	})
	alike := slices.DeleteFunc(slices.Clone(all), func(c commits.Change) bool { return path.Base(c.Path) != path.Base(appeared) })
	for _, some := range [][]commits.Change{alike, all} { // most keep their name and only their folder moves
		for _, c := range some {
			ours, err := w.isOurs(c.Was.Hash)
			if err != nil {
				return nil, err
			}
			if ours {
				names = append(names, c.Path)
			}
		}
		if len(names) > 0 {
			break
		}
	}
	return names, nil
}

// isOurs reports whether a file says that it is of the engine.
func (w *walker) isOurs(blob commits.Hash) (bool, error) {
	b, err := w.repository.Blob(blob, readLimit)
	if err != nil {
		return false, err
	}
	id := schema.ReadFile("", b).Doc.Root.Get("engine")
	return id != nil && slices.Contains(w.ids, id.Text), nil
}
