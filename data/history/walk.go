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

// start returns the names under which the file is looked for at first: where it
// stands now, or where it would have stood.
func (w *walker) start(tree commits.Hash, file string) ([]string, error) {
	likely := filesOf(w.root, w.ids)
	if file != "" {
		likely = append([]string{path.Join(w.root, file)}, likely...)
	}
	var there []string
	for _, name := range likely {
		e, err := w.finder.find(tree, name)
		if err != nil {
			return nil, err
		}
		if e.IsFile() {
			there = append(there, name)
		}
	}
	if len(there) > 0 {
		return there, nil
	}
	return likely, nil
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
// in a commit or vanishes from it, its other name there is looked for too.
func (w *walker) moments(ctx context.Context, all []commits.Commit) ([]moment, error) {
	for {
		found, err := w.look(ctx, all)
		if err != nil {
			return nil, err
		}
		more := false
		for i := 0; i < len(found) && !more; i++ {
			if more, err = w.otherNames(found[i]); err != nil {
				return nil, err
			}
		}
		if !more {
			return found, nil
		}
	}
}

// look finds the moments under the names known so far.
func (w *walker) look(ctx context.Context, all []commits.Commit) ([]moment, error) {
	places, err := w.places(ctx, all)
	if err != nil {
		return nil, err
	}
	var found []moment
	for _, c := range all {
		m := moment{commit: c.Hash, author: c.Author, message: c.Message, cutOff: c.CutOff, at: places[c.Hash]}
		differs := len(c.Parents) == 0 && !m.at.isNowhere()
		for _, h := range c.Parents {
			p, known := places[h]
			if !known { // it is not among them
				if p, err = w.placeIn(h); err != nil {
					return nil, err
				}
				places[h] = p
			}
			m.parents = append(m.parents, p)
			differs = differs || p != m.at
		}
		if differs {
			found = append(found, m)
		}
	}
	return found, nil
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

// otherNames looks, where the file appears in a commit or vanishes from it, for the
// name that it has on the other side, and reports whether that was not known before.
func (w *walker) otherNames(m moment) (bool, error) {
	if len(m.parents) == 0 || slices.ContainsFunc(m.parents, func(p place) bool { return p.isNowhere() == m.at.isNowhere() }) {
		return false, nil
	}
	c, err := w.repository.Commit(m.commit)
	if err != nil {
		return false, err
	}
	more := false
	for i, h := range c.Parents {
		parent, err := w.repository.Commit(h)
		if err != nil {
			return false, err
		}
		there, away := parent.Tree, c.Tree
		if m.at.isNowhere() {
			there, away = away, there
		}
		names, err := w.names(there, away, m.at.path+m.parents[i].path)
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

// names lists the files of the engine that stand there and not in another folder:
// those under one of its ids, otherwise those that say so themselves.
func (w *walker) names(there, away commits.Hash, known string) ([]string, error) {
	var names []string
	for _, name := range filesOf(w.root, w.ids) {
		here, err := w.finder.find(there, name)
		if err != nil {
			return nil, err
		}
		other, err := w.finder.find(away, name)
		if err != nil {
			return nil, err
		}
		if here.IsFile() && other.IsNothing() {
			names = append(names, name)
		}
	}
	if len(names) > 0 {
		return names, nil
	}
	return w.namesWithin(there, away, known)
}

// namesWithin lists the files that say that they are of the engine. Most keep the
// last part of the name that is known, and only their folder is another: where
// such are found, the others are not read.
func (w *walker) namesWithin(there, away commits.Hash, known string) ([]string, error) {
	all, err := w.repository.Diff(there, away, "")
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(c commits.Change) bool {
		return !c.Is.IsNothing() || !c.Was.IsFile() || !slices.Contains(extensions, path.Ext(c.Path))
	})
	alike := slices.DeleteFunc(slices.Clone(all), func(c commits.Change) bool { return path.Base(c.Path) != path.Base(known) })
	for _, some := range [][]commits.Change{alike, all} {
		var names []string
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
			return names, nil
		}
	}
	return nil, nil
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
