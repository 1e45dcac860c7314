package merge

import (
	"slices"

	"fourmarks.example/data/claims"
)

// figure settles the claims of a figure, each on its own.
func (m *merger) figure(n *node, open bool) *node {
	var have [3]map[string]*claims.Claim
	var keys [3][]string
	for s, at := range n.at {
		if at == nil || side(s) == base && m.union {
			continue
		}
		have[s] = map[string]*claims.Claim{}
		for _, c := range at.claims() {
			have[s][c.Key] = &c
			keys[s] = append(keys[s], c.Key)
		}
	}
	row := claimOrder(keys[base], keys[ours], keys[theirs])
	if m.union {
		row = added(keys[ours], keys[theirs], nil)
	}
	before := len(m.result.Conflicts)
	for _, key := range row {
		k := &claimNode{key: key}
		for s := range n.at {
			k.at[s] = have[s][key]
		}
		if m.claim(n, k, have, open) {
			n.claims = append(n.claims, k)
		}
	}
	kind := alone(n.claims)
	if len(m.result.Conflicts) > before && (takenAway(have[ours]) || takenAway(have[theirs])) {
		kind = Structure
	}
	if kind != "" {
		m.result.Conflicts = m.result.Conflicts[:before]
		return m.conflict(n, kind)
	}
	if len(n.claims) == 0 {
		return nil
	}
	if from := whole(n.claims, have); len(from) > 0 && !n.retouched() {
		n.from, n.claims = from, nil
	}
	return n
}

// retouched reports whether both sides have the figure as several claims and the
// one that is not followed has changed how they are written, comments included:
// then the claims are gone through.
func (n *node) retouched() bool {
	for _, s := range []side{ours, theirs} {
		if n.at[s] == nil || n.at[s].claimsMember() == nil {
			return false
		}
	}
	b := n.at[base]
	return n.at[ours].raw() != n.at[theirs].raw() && (b == nil || n.at[ours].raw() != b.raw() && n.at[theirs].raw() != b.raw())
}

// takenAway reports whether a side has a variant take the figure away.
func takenAway(have map[string]*claims.Claim) bool {
	c := have[""]
	return c != nil && isRemoval(c)
}

// claim settles one claim, and reports whether the result has it.
func (m *merger) claim(n *node, k *claimNode, have [3]map[string]*claims.Claim, open bool) bool {
	b, o, t := k.at[base], k.at[ours], k.at[theirs]
	id := claims.ID{Pointer: n.path.String(), Key: k.key}
	open = open || slices.Contains(m.open, id)
	switch {
	case o == nil && t == nil:
		return false
	case alike(o, t):
		k.from = []side{ours, theirs}
	case !open && alike(o, b):
		k.from = []side{theirs}
	case !open && alike(t, b):
		k.from = []side{ours}
	case !open && o == nil && resourced(have[base], have[ours]):
		k.from = []side{theirs}
	case !open && t == nil && resourced(have[base], have[theirs]):
		k.from = []side{ours}
	default:
		m.note(id, n.path, conflictOf(b, o, t), [3][]claims.Claim{one(b), one(o), one(t)})
		k.from = []side{ours}
	}
	return k.at[k.from[0]] != nil
}

// alike reports whether two versions of a claim say the same, or neither is there.
func alike(a, b *claims.Claim) bool {
	if a == nil || b == nil {
		return a == b
	}
	return says(a) == says(b)
}

// resourced reports whether a side has given the figure a claim under a source
// that the base does not have there. What it took out for that, it did not deny: it
// read the figure elsewhere.
func resourced(base, side map[string]*claims.Claim) bool {
	for key, c := range side {
		if base[key] == nil && !isRemoval(c) {
			return true
		}
	}
	return false
}

func conflictOf(b, o, t *claims.Claim) ConflictKind {
	switch {
	case o == nil || t == nil:
		return Deleted
	case b == nil:
		return Added
	case o.Aside != t.Aside:
		return SetAside
	}
	return Edited
}

func one(c *claims.Claim) []claims.Claim {
	if c == nil {
		return nil
	}
	return []claims.Claim{*c}
}

// alone returns the conflict that claims make of which one can only stand by
// itself: one without source, or the word that takes the figure away.
func alone(all []*claimNode) ConflictKind {
	if len(all) < 2 {
		return ""
	}
	for _, k := range all {
		switch c := k.at[k.from[0]]; {
		case isRemoval(c):
			return Structure
		case c.Key == "":
			return NoSource
		}
	}
	return ""
}

// whole returns the sides that have these claims and no others.
func whole(all []*claimNode, have [3]map[string]*claims.Claim) []side {
	var sides []side
	for _, s := range []side{ours, theirs} {
		is := len(have[s]) == len(all)
		for _, k := range all {
			is = is && alike(have[s][k.key], k.at[k.from[0]])
		}
		if is {
			sides = append(sides, s)
		}
	}
	return sides
}
