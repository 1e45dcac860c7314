package history

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"slices"

	"fourmarks.example/data/commits"
)

// Dataset is a dataset in a git repository.
type Dataset struct {
	repository *commits.Repository
	root       string // its folder within the repository
	head       commits.Hash
}

// Open opens the dataset in a folder, as it is in the commit that is checked out.
// The folder itself need not exist.
func Open(folder string) (*Dataset, error) {
	r, err := commits.Open(folder)
	if err != nil {
		return nil, err
	}
	d := &Dataset{repository: r}
	if d.root, err = r.Relative(folder); err == nil {
		d.head, err = r.Tip()
	}
	if err == nil && d.head == commits.None {
		err = errors.New("the repository has no commit yet")
	}
	if err != nil {
		return nil, errors.Join(err, r.Close())
	}
	return d, nil
}

// Close lets go of the repository.
func (d *Dataset) Close() error { return d.repository.Close() }

// Of tells the history of the engine with an id, one that it had among them. The
// file, as a path within the dataset, is where it stands now if its id does not
// say so; otherwise "".
//
// What was found is kept below the repository's common folder, in
// fourmarks/history. Those files may be deleted at any time; they are made anew
// when they are missing, damaged, of another version of this program, or of a
// history that has been rewritten since, and done without where they cannot be
// written. An id that no
// commit knows is an [*UnknownEngine].
func (d *Dataset) Of(ctx context.Context, id, file string) (*History, error) {
	kept := d.indexFile(id)
	x := readIndex(kept)
	cut, err := d.cutOff()
	if err != nil {
		return nil, err
	}
	if x == nil || x.head != d.head || x.cutOff != cut {
		if x, err = d.extend(ctx, x, id, file, cut); err != nil {
			return nil, err
		}
	}
	known := len(x.archive.versions)
	steps, err := x.steps(ctx, d.repository)
	if err != nil {
		return nil, err
	}
	if len(steps) == 0 {
		return nil, &UnknownEngine{ID: id}
	}
	if x.fresh || len(x.archive.versions) > known {
		x.write(kept)
	}
	return &History{Engine: x.ids[0], Was: append([]string{}, x.ids[1:]...), Now: append([]string{}, x.now...), Steps: steps}, nil
}

// UnknownEngine is the error for an id that no commit knows.
type UnknownEngine struct{ ID string }

func (e *UnknownEngine) Error() string { return fmt.Sprintf("no commit here knows an engine %q", e.ID) }

// extend brings what is known up to the commit that is checked out: by the
// commits since, where the history that is known is still part of it and nothing
// new has to be looked for in it; otherwise from the start.
func (d *Dataset) extend(ctx context.Context, old *index, id, file, cut string) (*index, error) {
	head, err := d.repository.Commit(d.head)
	if err != nil {
		return nil, err
	}
	ids, now, err := d.ids(head.Tree, id)
	if err != nil {
		return nil, err
	}
	w := &walker{repository: d.repository, root: d.root, ids: ids, finder: newFinder(d.repository)}
	all, err := w.commits(d.head)
	if err != nil {
		return nil, err
	}
	x := &index{head: d.head, cutOff: cut, now: now, archive: newArchive(), fresh: true}
	if old != nil {
		x.archive = old.archive
	}
	err = x.follow(ctx, w, all, old, file)
	if err == nil && id != ids[0] && !x.passes(filesOf(d.root, []string{id})) { // what took its place was there already
		w.ids, x.now = []string{id}, ids[:1]
		err = x.follow(ctx, w, all, old, "")
	}
	return x, err
}

// follow finds the moments of the engine that a walker is after.
func (x *index) follow(ctx context.Context, w *walker, all []commits.Commit, old *index, file string) (err error) {
	x.ids = w.ids
	if w.paths, err = w.start(all[0].Tree, file); err != nil {
		return err
	}
	if old != nil && old.cutOff == x.cutOff && slices.Equal(old.ids, x.ids) {
		if done, err := x.carryOn(ctx, w, all, old); done || err != nil {
			return err
		}
	}
	x.moments, err = w.moments(ctx, all)
	x.paths = w.paths
	return err
}

// passes reports whether the engine ever stood in one of some files.
func (x *index) passes(files []string) bool {
	return slices.ContainsFunc(x.moments, func(m moment) bool {
		return slices.ContainsFunc(append([]place{m.at}, m.parents...), func(p place) bool { return slices.Contains(files, p.path) })
	})
}

// cutOff tells where a shallow clone is cut off from where it was at another time;
// "" for a whole one.
func (d *Dataset) cutOff() (string, error) {
	cut, err := d.repository.Shallow()
	if err != nil || len(cut) == 0 {
		return "", err
	}
	at := slices.SortedFunc(maps.Keys(cut), func(a, b commits.Hash) int { return bytes.Compare(a[:], b[:]) })
	sum := sha256.New()
	for _, h := range at {
		sum.Write(h[:])
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// carryOn adds to what was known the moments of the commits since. It reports
// false where the history that was known is no part of what there is now, or
// where a name of the file has to be looked for that was not looked for then.
func (x *index) carryOn(ctx context.Context, w *walker, all []commits.Commit, old *index) (bool, error) {
	since, ok := since(all, old.head)
	if !ok {
		return false, nil
	}
	w.paths = union(w.paths, old.paths)
	found, err := w.moments(ctx, since)
	if err != nil || len(w.paths) > len(old.paths) {
		return false, err
	}
	order := make(map[commits.Hash]int, len(all))
	for i, c := range all {
		order[c.Hash] = i
	}
	x.moments, x.paths = append(found, old.moments...), w.paths
	slices.SortFunc(x.moments, func(a, b moment) int { return order[a.commit] - order[b.commit] })
	return true, nil
}

// since returns those of some commits that cannot be reached from one of them;
// false when that is not among them.
func since(all []commits.Commit, from commits.Hash) ([]commits.Commit, bool) {
	reached := map[commits.Hash]bool{from: true}
	known := false
	var since []commits.Commit
	for _, c := range all { // each comes after all that came of it
		known = known || c.Hash == from
		if !reached[c.Hash] {
			since = append(since, c)
			continue
		}
		for _, p := range c.Parents {
			reached[p] = true
		}
	}
	return since, known
}

// union is the one list with what the other has besides.
func union(a, b []string) []string {
	all := slices.Clone(a)
	for _, s := range b {
		if !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	return all
}
