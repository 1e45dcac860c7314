//go:build !js

package branch

import (
	"slices"

	"fourmarks.example/data/commits"
)

// base returns the state that two commits have in common; found is false when
// their histories never met. Where they met in several places, those are merged
// with one another first. That merge is held as data: a file about which they
// disagree is either of what it can be, and only what comes out alike whichever
// it is will be taken.
func (m *merger) base(merged []commits.Hash, other commits.Hash) (v view, found bool, err error) {
	bases, err := m.repository.BasesOfMerged(merged, other)
	if err != nil || len(bases) == 0 {
		return view{}, false, err
	}
	if v.tree, err = m.tree(bases[0]); err != nil {
		return view{}, false, err
	}
	for i, next := range bases[1:] {
		below, _, err := m.base(bases[:i+1], next)
		if err != nil {
			return view{}, false, err
		}
		tree, err := m.tree(next)
		if err != nil {
			return view{}, false, err
		}
		if v, err = m.either(below, v, view{tree: tree}); err != nil {
			return view{}, false, err
		}
	}
	return v, true, nil
}

func (m *merger) tree(h commits.Hash) (commits.Hash, error) {
	c, err := m.repository.Commit(h)
	return c.Tree, err
}

// mostEither bounds how many forms of one file are followed. Beyond them the
// first ones stand for the rest, and as no side has all of these, the file ends
// as a conflict.
const mostEither = 8

// either merges two states into one in which a file may be either of several.
func (m *merger) either(base, ours, theirs view) (view, error) {
	s, err := m.differing(base, ours, theirs)
	if err != nil {
		return view{}, err
	}
	merged := view{tree: ours.tree, over: map[string][]commits.Entry{}}
	for p, bases := range s.base {
		var forms []commits.Entry
		for _, b := range bases {
			for _, o := range s.ours[p] {
				for _, t := range s.theirs[p] {
					v, err := m.three(p, Version{p, b}, Version{p, o}, Version{p, t})
					if err != nil {
						return view{}, err
					}
					if v.conflict == nil {
						forms = withForm(forms, v.is)
						continue
					}
					forms = withForm(withForm(forms, v.either[0]), v.either[1])
				}
			}
		}
		merged.over[p] = forms
	}
	return merged, nil
}

func withForm(forms []commits.Entry, e commits.Entry) []commits.Entry {
	same := func(o commits.Entry) bool { return o.Mode == e.Mode && o.Hash == e.Hash }
	if len(forms) == mostEither || slices.ContainsFunc(forms, same) {
		return forms
	}
	return append(forms, e)
}
