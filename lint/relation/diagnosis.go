package relation

import (
	"cmp"
	"slices"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
)

// Conflict is a set of relations that the prints cannot all satisfy, with the
// figures that could alone be the slip.
type Conflict struct {
	// Broken are the relations that fail: each alone, or, when Joint, only together.
	Broken []*Relation
	Joint  bool
	// Suspects are the figures any one of which, freed, lets all relations of
	// the conflict hold again; the most likely first.
	Suspects []Suspect
}

// Decided reports whether the prints tell which figure is the slip: only one can
// be, an ordinary slip makes one likelier than all others, or two changed places.
func (c Conflict) Decided() bool {
	switch len(c.Suspects) {
	case 0:
		return false
	case 1:
		return true
	}
	first := c.Suspects[0]
	return first.Slip == interchanged || first.Ordinary && first.weight > c.Suspects[1].weight
}

// Suspect is a figure that may be the slip.
type Suspect struct {
	Variable *Variable
	// MustBe is what the figure would have to be, in working units.
	MustBe interval.Interval
	// Slip says how the print may have come about and Likely what was meant;
	// both empty when no ordinary slip explains it.
	Slip, Likely string

	// Ordinary says that the slip is one that everybody makes, and not a digit
	// wrong for no reason that can be seen.
	Ordinary bool

	weight float64 // of the slips that explain it
}

// Shown returns what the figure would have to be in the unit it is printed in.
func (s Suspect) Shown() (is interval.Interval, unit string) {
	return s.Variable.Scale.Shown(s.MustBe), s.Variable.Scale.Symbol()
}

// Sound reports whether all relations that arithmetic makes hold can hold at
// once, as far as propagation can tell.
func (n *Network) Sound() bool { return n.sound(n.constraining()) }

func (n *Network) sound(use []*Relation) bool {
	return n.propagate(n.start(), n.withImplied(use)) == nil
}

// Contradicts reports whether a figure stands in a relation that cannot hold.
func (n *Network) Contradicts(f *schema.Figure) bool {
	use := n.constraining()
	if n.sound(use) {
		return false
	}
	of := func(r *Relation) bool {
		return slices.ContainsFunc(r.variables, func(v *Variable) bool { return v.Figure == f })
	}
	alone, rest := n.brokenAlone(use)
	if slices.ContainsFunc(alone, of) {
		return true
	}
	return slices.ContainsFunc(n.core(rest, nil), of)
}

// Check returns the conflicts between the prints: none when all relations can
// hold at once as far as propagation can tell.
func (n *Network) Check() []Conflict {
	if !n.checked {
		n.conflicts, n.checked = n.check(), true
	}
	return n.conflicts
}

func (n *Network) check() []Conflict {
	var conflicts []Conflict
	sound := n.constraining()
	if !n.sound(sound) {
		conflicts, sound = n.contradictions(sound)
	}
	for _, r := range n.relations {
		if r.Loose && !r.revise(n.start()) {
			conflicts = append(conflicts, n.conflict([]*Relation{r}, sound, false))
		}
	}
	return conflicts
}

// contradictions returns the conflicts between relations that cannot all hold,
// and the relations that are left. Relations that fail by themselves come
// first; those that fail only together count when the figures already suspected
// do not explain them too.
func (n *Network) contradictions(strict []*Relation) (conflicts []Conflict, sound []*Relation) {
	alone, sound := n.brokenAlone(strict)
	var suspected []*Variable
	conflicts, alone = n.interchanges(alone, sound)
	for _, c := range conflicts {
		suspected = append(suspected, c.Suspects[0].Variable, c.Suspects[1].Variable)
	}
	for _, group := range n.group(alone, sound) {
		c := n.conflict(group, sound, false)
		conflicts = append(conflicts, c)
		if len(c.Suspects) > 0 {
			suspected = append(suspected, c.Suspects[0].Variable)
		}
	}
	for range len(strict) {
		core := n.core(sound, suspected)
		if core == nil {
			break
		}
		conflicts = append(conflicts, n.conflict(core, without(sound, core), true))
		sound = without(sound, core[:1])
	}
	return conflicts, sound
}

// brokenAlone splits relations into those that fail by themselves and the rest.
func (n *Network) brokenAlone(all []*Relation) (broken, sound []*Relation) {
	d := n.start()
	trial := make(domains, len(d))
	for _, r := range all {
		copy(trial, d)
		if r.revise(trial) {
			sound = append(sound, r)
		} else {
			broken = append(broken, r)
		}
	}
	return broken, sound
}

// group gathers broken relations that one figure can explain: the figure that
// explains most comes first, then the figure that explains most of the rest.
func (n *Network) group(broken, sound []*Relation) [][]*Relation {
	var groups [][]*Relation
	for len(broken) > 0 {
		best := broken[:1]
		for _, v := range n.variables {
			if !v.IsPrinted() {
				continue
			}
			explained := n.explainedBy(v, broken, sound)
			if len(explained) > len(best) {
				best = explained
			}
		}
		groups = append(groups, best)
		broken = without(broken, best)
	}
	return groups
}

// explainedBy returns the broken relations that v takes part in, when freeing v
// lets all of them and the sound relations hold at once.
func (n *Network) explainedBy(v *Variable, broken, sound []*Relation) []*Relation {
	var of []*Relation
	for _, r := range broken {
		if slices.Contains(r.variables, v) {
			of = append(of, r)
		}
	}
	if len(of) == 0 {
		return nil
	}
	if n.freed(v, of, sound) == nil {
		return nil
	}
	return of
}

// freed returns what is left of all domains when the print of v is ignored and
// the relations hold, or what its figure prints of other quantities besides; nil
// when they cannot hold even so.
func (n *Network) freed(v *Variable, broken, sound []*Relation) domains {
	use := n.withImplied(slices.Concat(broken, sound))
	d := n.startWithout(v)
	if n.propagate(d, use) == nil {
		return d
	}
	twins := n.twins(v)
	if len(twins) == 0 {
		return nil
	}
	d = n.startWithout(append(twins, v)...)
	if n.propagate(d, use) != nil {
		return nil
	}
	return d
}

// twins are the other quantities that the figure of a variable prints.
func (n *Network) twins(v *Variable) []*Variable {
	var all []*Variable
	for _, o := range n.variables {
		if o != v && o.Figure == v.Figure {
			all = append(all, o)
		}
	}
	return all
}

// startWithout returns the domains before any relation is used, as if the
// prints of some variables were not there.
func (n *Network) startWithout(free ...*Variable) domains {
	d := n.start()
	for _, v := range free {
		d[v.index] = v.Limits
	}
	return d
}

// core returns a smallest set of relations that fail only together, with some
// variables freed, or nil. Each relation is left out in turn and stays out when
// the rest still fails.
func (n *Network) core(use []*Relation, free []*Variable) []*Relation {
	fails := func(rest []*Relation) bool { return n.propagate(n.startWithout(free...), n.withImplied(rest)) != nil }
	if !fails(use) {
		return nil
	}
	core := slices.Clone(use)
	for _, r := range use {
		if rest := without(core, []*Relation{r}); fails(rest) {
			core = rest
		}
	}
	return core
}

// conflict finds the suspects of a set of broken relations.
func (n *Network) conflict(broken, sound []*Relation, joint bool) Conflict {
	c := Conflict{Broken: broken, Joint: joint}
	seen := map[*Variable]bool{}
	for _, r := range broken {
		for _, v := range r.variables {
			if seen[v] || !v.IsPrinted() {
				continue
			}
			seen[v] = true
			d := n.freed(v, broken, sound)
			if d == nil || v.Printed.Within(d[v.index]) {
				continue
			}
			s := Suspect{Variable: v, MustBe: d[v.index]}
			s.Slip, s.Likely, s.Ordinary, s.weight = v.likelySlip(s.MustBe, n.twins(v), d)
			c.Suspects = append(c.Suspects, s)
		}
	}
	c.Suspects = Ranked(c.Suspects)
	return c
}

// Ranked returns suspects in the order of how likely they are, the likeliest
// first; of two as likely, the one named first.
func Ranked(all []Suspect) []Suspect {
	return slices.SortedStableFunc(slices.Values(all), func(a, b Suspect) int { return cmp.Compare(b.weight, a.weight) })
}

// without returns the relations of all that are not in some.
func without(all, some []*Relation) []*Relation {
	out := make([]*Relation, 0, len(all))
	for _, r := range all {
		if !slices.Contains(some, r) {
			out = append(out, r)
		}
	}
	return out
}
