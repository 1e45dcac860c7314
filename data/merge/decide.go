package merge

import (
	"slices"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema/text"
)

// node is a place of the result and where its content comes from.
type node struct {
	key  string
	path text.Path
	at   [3]*member // what each text has there; nil where nothing
	// from lists the sides that have the content decided on, where that is the
	// content of a side as a whole. Else kids or claims are set.
	from []side
	// kids are the members of a map, or of a list, that is merged by member.
	kids []*node
	// claims are those of a figure that is put together from several sides.
	claims []*claimNode
}

// claimNode is one claim of a figure that is put together.
type claimNode struct {
	key  string
	from []side
	at   [3]*claims.Claim
}

// merger holds the three texts and what has been found out.
type merger struct {
	kind lint.InputKind
	name string
	docs [3]*document // that of the base is nil when there is none
	open []claims.ID
	// union is set where theirs is no other version of the file but what somebody
	// adds to it. Nothing is known to have been there before, so nothing is taken out
	// and whatever differs is in conflict; the text stays as ours has it. Theirs
	// then stands in for the base, but only for how things are written.
	union  bool
	result Result
	merged *document // the result, read again
}

func newMerger(kind lint.InputKind, name string, b Base, mine, other []byte) (*merger, error) {
	m := &merger{kind: kind, name: name, open: b.Open}
	for s, source := range [][]byte{b.Text, mine, other} {
		if side(s) == base && len(source) == 0 {
			continue
		}
		d, err := readDocument(kind, name, side(s), source)
		if err != nil {
			return nil, err
		}
		m.docs[s] = d
	}
	return m, nil
}

func (m *merger) decideRoot() *node {
	n := &node{}
	for s, d := range m.docs {
		if d != nil {
			n.at[s] = d.rootMember()
		}
	}
	m.inside(n, m.isOpen(n, false))
	m.sourcelessOut(n)
	return n
}

// isOpen reports whether it is open what the base has at a place, or whether that
// is so already for what the place is in.
func (m *merger) isOpen(n *node, above bool) bool {
	return above || len(m.open) > 0 && slices.Contains(m.open, n.id())
}

// touchesOpen reports whether it is open what the base has at a place or at any
// place below it.
func (m *merger) touchesOpen(n *node, open bool) bool {
	pointer := n.path.String()
	return open || slices.ContainsFunc(m.open, func(id claims.ID) bool { return covers(pointer, id.Pointer) })
}

// id names the place as the claims there are named: an item of a list by its text.
func (n *node) id() claims.ID {
	id := claims.ID{Pointer: n.path.String()}
	for _, at := range n.at {
		if at != nil && at.isItem() && len(n.path) > 0 {
			id.Key = n.key
		}
	}
	return id
}

// decide settles what the result has at a place; nil when nothing.
func (m *merger) decide(n *node, open bool) *node {
	open = m.isOpen(n, open)
	b, o, t := m.before(n), n.at[ours], n.at[theirs]
	switch {
	case o == nil && t == nil:
		return nil
	case n.all((*member).isFigure):
		return m.figure(n, open)
	case o == nil || t == nil:
		return m.oneSided(n, open)
	case o.means() == t.means() && (!merged(o) || !merged(t) || o.raw() == t.raw()):
		n.from = []side{ours, theirs}
		return n
	case !m.touchesOpen(n, open) && b != nil && same(o, b):
		n.from = []side{theirs}
		return n
	case !m.touchesOpen(n, open) && b != nil && same(t, b):
		n.from = []side{ours}
		return n
	case o.holdsMap() && t.holdsMap(), o.holdsList() && t.holdsList():
		return m.asItWas(m.inside(n, open))
	case o.isFrom() && t.isFrom() && m.union:
		n.from = []side{ours}
		return n
	case o.isFrom() && t.isFrom():
		n.from = []side{lesser(o, t)}
		return n
	case merged(o) != merged(t) || o.holdsMap() != t.holdsMap():
		return m.conflict(n, Structure)
	case b == nil && !open:
		return m.conflict(n, Added)
	}
	return m.conflict(n, Edited)
}

// asItWas leaves a place to which nothing is added as ours has it, however the
// addition writes the same.
func (m *merger) asItWas(n *node) *node {
	if m.union && n != nil && sameClaims(n.within(ours), n.outcome()) == nil {
		n.from, n.kids = []side{ours}, nil
	}
	return n
}

// before returns what the base says at a place.
func (m *merger) before(n *node) *member {
	if m.union {
		return nil
	}
	return n.at[base]
}

// all reports whether something holds of what each side has.
func (n *node) all(is func(*member) bool) bool {
	for _, m := range n.at {
		if m != nil && !is(m) {
			return false
		}
	}
	return true
}

// merged reports whether a member is merged by its own members.
func merged(m *member) bool { return m.holdsMap() || m.holdsList() }

// same reports whether two versions of a member say the same, and, where they have
// members of their own, also look the same: else those are gone through.
func same(a, b *member) bool {
	return a.means() == b.means() && (!merged(a) || !merged(b) || a.raw() == b.raw())
}

// lesser picks one of two sides by what they say, whichever is which.
func lesser(o, t *member) side {
	if t.value.Text < o.value.Text {
		return theirs
	}
	return ours
}

// oneSided settles a place where one side has nothing.
func (m *merger) oneSided(n *node, open bool) *node {
	has := ours
	if n.at[ours] == nil {
		has = theirs
	}
	b, is := m.before(n), n.at[has]
	switch {
	case m.touchesOpen(n, open):
		return m.conflict(n, Deleted)
	case b == nil:
		n.from = []side{has}
		return n
	case b.means() == is.means():
		return nil
	case is.isFrom():
		n.from = []side{has}
		return n
	case b.holdsSections() && is.holdsSections():
		return m.inside(n, open)
	}
	return m.conflict(n, Deleted)
}

// holdsSections reports whether a member is a map of maps, with nothing of its own
// that says what those are. What a side adds in one of them stands for itself, also
// where the other side took out all that was there.
func (m *member) holdsSections() bool {
	return m.holdsMap() && !slices.ContainsFunc(m.members(), func(k *member) bool { return !k.holdsMap() })
}

// inside settles the members of a map or list that both sides have.
func (m *merger) inside(n *node, open bool) *node {
	var members [3]map[string]*member
	var keys [3][]string
	for s, at := range n.at {
		if at == nil || !merged(at) {
			continue
		}
		members[s] = map[string]*member{}
		for _, k := range at.members() {
			members[s][k.key] = k
			keys[s] = append(keys[s], k.key)
		}
	}
	row := order(keys[base], keys[ours], keys[theirs])
	if m.union {
		slot, _ := m.docs[ours].slot(n.path)
		row = added(keys[ours], keys[theirs], slot.Keys)
	}
	for _, key := range row {
		kid := &node{key: key}
		for s := range n.at {
			kid.at[s] = members[s][key]
			if kid.at[s] != nil {
				kid.path = kid.at[s].path
			}
		}
		if kid = m.decide(kid, open); kid != nil {
			n.kids = append(n.kids, kid)
		}
	}
	if len(n.kids) == 0 && len(n.path) > 0 {
		return nil
	}
	return n
}

// conflict notes that a place cannot be merged, and leaves there what the side
// merged into has.
func (m *merger) conflict(n *node, kind ConflictKind) *node {
	all := [3][]claims.Claim{n.within(base), n.within(ours), n.within(theirs)}
	if m.union {
		all[base] = nil
	}
	m.note(n.id(), n.path, kind, all)
	if n.at[ours] == nil {
		return nil
	}
	kept := &node{key: n.key, path: n.path, from: []side{ours}}
	kept.at[ours] = n.at[ours]
	return kept
}

func (m *merger) note(id claims.ID, path text.Path, kind ConflictKind, all [3][]claims.Claim) {
	c := Conflict{ID: id, Kind: kind, Base: all[base], Ours: all[ours], Theirs: all[theirs]}
	c.Variant, c.Path = whereOf(path)
	m.result.Conflicts = append(m.result.Conflicts, c)
}

// within returns the claims and values that one text has at a place and below.
func (n *node) within(s side) []claims.Claim {
	if n.at[s] == nil {
		return nil
	}
	return n.at[s].of.within(n.path, n.at[s].value)
}

// whereOf splits the path within a file into the variant and the path within the
// engine.
func whereOf(path text.Path) (variant, within string) {
	if len(path) >= 2 && path[0] == "variants" {
		variant = path[1]
	}
	if len(path) >= 3 && isChange(path[:3]) {
		path = path[3:]
	}
	return variant, strings.Join(path, ".")
}
