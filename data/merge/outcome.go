package merge

import (
	"slices"

	"fourmarks.example/data/claims"
)

// outcome returns the claims and values that the result has at a place and below,
// as the side says them that they are taken from.
func (n *node) outcome() []claims.Claim {
	if len(n.from) > 0 {
		return n.within(n.from[0])
	}
	var all []claims.Claim
	for _, k := range n.claims {
		all = append(all, *k.at[k.from[0]])
	}
	for _, k := range n.kids {
		all = append(all, k.outcome()...)
	}
	return all
}

// sourcelessOut takes the source of a section out of the result where the section
// holds a claim that has no source: it would be given one that nobody named. The
// section's other claims have theirs written beside them.
func (m *merger) sourcelessOut(n *node) {
	for _, k := range n.kids {
		m.sourcelessOut(k)
	}
	if !slices.ContainsFunc(n.outcome(), sourceless) {
		return
	}
	n.kids = slices.DeleteFunc(n.kids, (*node).isFrom)
}

func sourceless(c claims.Claim) bool {
	return c.Kind == claims.Print && c.Source == "" && !isRemoval(&c)
}

// isFrom reports whether the place is the source of a section.
func (n *node) isFrom() bool {
	return len(n.from) > 0 && n.at[n.from[0]].isFrom()
}

// handsDown returns the source that holds for the members of a place, given that
// around it.
func (n *node) handsDown(from citation) citation {
	if isChange(n.path) {
		from = citation{}
	}
	for _, k := range n.kids {
		if k.isFrom() {
			return cite(k.at[k.from[0]].value.Text)
		}
	}
	return from
}
