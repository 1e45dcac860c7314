//go:build !js

package commits

import (
	"container/heap"
	"iter"
	"slices"
)

// Walk goes through the commits that can be reached from some and not from
// others, each after all that came of it; where several may come next, the
// latest does. All of them are read before the first is given.
func (r *Repository) Walk(from []Hash, except ...Hash) iter.Seq2[Commit, error] {
	return func(yield func(Commit, error) bool) {
		known, err := r.reachable(from, except)
		if err != nil {
			yield(Commit{}, err)
			return
		}
		children := map[Hash]int{}
		for _, c := range known {
			for _, p := range c.Parents {
				children[p]++
			}
		}
		var ready latestFirst
		for h, c := range known {
			if children[h] == 0 {
				ready = append(ready, ordered(c))
			}
		}
		heap.Init(&ready)
		for len(ready) > 0 {
			c := known[heap.Pop(&ready).(node).hash]
			if !yield(c, nil) {
				return
			}
			for _, p := range c.Parents {
				children[p]--
				if next, ours := known[p]; ours && children[p] == 0 {
					heap.Push(&ready, ordered(next))
				}
			}
		}
	}
}

func ordered(c Commit) node { return node{hash: c.Hash, seconds: c.Committer.When.Unix()} }

// reachable reads all commits that can be reached from some and not from others.
func (r *Repository) reachable(from, except []Hash) (map[Hash]Commit, error) {
	var not map[Hash]Commit
	if len(except) > 0 {
		var err error
		if not, err = r.reachable(except, nil); err != nil {
			return nil, err
		}
	}
	known := map[Hash]Commit{}
	next := slices.Clone(from)
	for len(next) > 0 {
		h := next[len(next)-1]
		next = next[:len(next)-1]
		_, twice := known[h]
		if _, out := not[h]; out || twice {
			continue
		}
		c, err := r.Commit(h)
		if err != nil {
			return nil, err
		}
		known[h] = c
		next = append(next, c.Parents...)
	}
	return known, nil
}

// Changes lists at which files below a path a commit differs from each of its
// parents; a first commit differs from nothing. Where history is cut off, what
// came before is not known, and nothing is listed.
func (r *Repository) Changes(c Commit, path string) ([][]Change, error) {
	if c.CutOff {
		return nil, nil
	}
	if len(c.Parents) == 0 {
		changes, err := r.DiffAt(None, c.Tree, path)
		return [][]Change{changes}, err
	}
	all := make([][]Change, len(c.Parents))
	for i, p := range c.Parents {
		parent, err := r.Commit(p)
		if err != nil {
			return nil, err
		}
		if all[i], err = r.DiffAt(parent.Tree, c.Tree, path); err != nil {
			return nil, err
		}
	}
	return all, nil
}
