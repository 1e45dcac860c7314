// Package relation holds the arithmetic between the figures of an engine:
// relations written once as expressions, and from them the check that all
// prints can hold together, the figures that are not printed, the figures that
// could be the slip, and the working that a reader can redo on paper.
//
// The method is interval constraint propagation, forward and backward over the
// expression trees (HC4-revise: Benhamou, Goualard, Granvilliers and Puget,
// Revising hull and box consistency, ICLP 1999). A figure is a suspect when all
// relations hold again once it is freed: consistency-based diagnosis (Reiter, A
// theory of diagnosis from first principles, Artificial Intelligence 32, 1987).
//
// Which relations there are is said where the rules are (package lint/rules).
package relation

import (
	"math"
	"slices"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
)

// Variable is a quantity of an engine: printed, or only computed.
type Variable struct {
	// Path names the quantity as the figure's path does, whether printed or not.
	Path string
	// Title is the quantity in the words of a working: "inlet opens".
	Title string
	// Figure is the print; nil when there is none.
	Figure *schema.Figure
	// Printed is what the standing claims allow, Limits what is possible at all.
	Printed, Limits interval.Interval
	// Scale is how values are shown: in the unit of the print, where there is one.
	Scale Scale

	claim *schema.Claim // the claim whose print a working shows
	index int
	whole bool // a count
	bind  binding
}

// IsPrinted reports whether a standing print says anything of the quantity.
func (v *Variable) IsPrinted() bool { return v.Figure != nil }

// Text is the print that a working shows; "" when there is none.
func (v *Variable) Text() string {
	if v.claim == nil {
		return ""
	}
	return v.claim.Printed.Text
}

// start is the domain of the variable before any relation is used.
func (v *Variable) start() interval.Interval { return v.Printed.Intersect(v.Limits) }

// Relation is an equation or inequality between two expressions, that belongs
// to a rule.
type Relation struct {
	// Rule is the rule that speaks of it, Where the section it is about.
	Rule, Where string
	Left, Right Expression
	// AtMost makes it Left ≤ Right instead of Left = Right.
	AtMost bool
	// Loose relations hold for a sound engine by custom rather than by
	// arithmetic: they are checked on their own and used for nothing else.
	Loose bool

	variables []*Variable
	bounded   bool        // a part of it has bounds of its own
	from      []*Relation // those it follows from, when it is implied
}

// Variables returns the quantities in the relation, in the order written.
func (r *Relation) Variables() []*Variable { return r.variables }

// Network is the relations of one engine over its quantities.
type Network struct {
	Engine    *schema.Engine
	variables []*Variable
	byPath    map[string]*Variable
	relations []*Relation
	follows   []*Relation // implied by the relations; nil until asked for
	conflicts []Conflict  // what Check found, once checked
	checked   bool
	once      map[any]any // see Once
	rule      string
}

// NewNetwork returns a network without relations over an engine's figures.
func NewNetwork(e *schema.Engine) *Network {
	return &Network{Engine: e, byPath: map[string]*Variable{}}
}

// Once works out something about the engine that several rules need, the first
// time it is asked for under a key.
func (n *Network) Once(key any, work func() any) any {
	if is, known := n.once[key]; known {
		return is
	}
	if n.once == nil {
		n.once = map[any]any{}
	}
	is := work()
	n.once[key] = is
	return is
}

// For names the rule that the relations added from now on belong to.
func (n *Network) For(rule string) { n.rule = rule }

// Equal adds the relation left = right. Relations of which no two variables are
// printed say nothing alone and are kept for what they may derive.
func (n *Network) Equal(where string, left, right Expression) *Relation {
	return n.add(&Relation{Rule: n.rule, Where: where, Left: left, Right: right})
}

// AtMost adds the relation left ≤ right.
func (n *Network) AtMost(where string, left, right Expression) *Relation {
	return n.add(&Relation{Rule: n.rule, Where: where, Left: left, Right: right, AtMost: true})
}

func (n *Network) add(r *Relation) *Relation {
	r.gather()
	n.relations, n.follows, n.checked = append(n.relations, r), nil, false
	return r
}

// gather lists the quantities of the relation.
func (r *Relation) gather() {
	visit := func(v *Variable) {
		if !slices.Contains(r.variables, v) {
			r.variables = append(r.variables, v)
		}
	}
	r.Left.each(visit)
	r.Right.each(visit)
	r.bounded = isBounded(r.Left) || isBounded(r.Right)
}

// Relations returns the relations in the order they were added.
func (n *Network) Relations() []*Relation { return n.relations }

// Variables returns the quantities in the order they were first used.
func (n *Network) Variables() []*Variable { return n.variables }

// Variable returns the quantity of that path, if the network has it.
func (n *Network) Variable(path string) (*Variable, bool) {
	v, ok := n.byPath[path]
	return v, ok
}

// start returns the domains before any relation is used.
func (n *Network) start() domains {
	d := make(domains, len(n.variables))
	for i, v := range n.variables {
		d[i] = v.start()
	}
	return d
}

// revise narrows the domains by one relation; false when it cannot hold.
func (r *Relation) revise(d domains) bool {
	left, right := r.Left.value(d), r.Right.value(d)
	if left.IsEmpty() || right.IsEmpty() {
		return false
	}
	if r.AtMost {
		left = left.Intersect(interval.Of(math.Inf(-1), right.Hi))
		if left.IsEmpty() {
			return false
		}
		right = right.Intersect(interval.Of(left.Lo, math.Inf(1)))
		return r.Left.narrow(d, left) && r.Right.narrow(d, right)
	}
	both := left.Intersect(right)
	return !both.IsEmpty() && r.Left.narrow(d, both) && r.Right.narrow(d, both)
}

const (
	// worthwhile is the least part of a domain's width by which a pass must
	// narrow it for the relations around it to be revised again.
	worthwhile = 1e-6
	// mostRounds bounds the passes over all relations.
	mostRounds = 60
)

// propagate narrows the domains until nothing worthwhile changes. It returns
// the first relation that cannot hold, or nil. A relation is revised again only
// when a variable in it was narrowed since.
func (n *Network) propagate(d domains, use []*Relation) *Relation {
	narrowedIn := make([]int, len(n.variables)) // the round in which a variable was last narrowed
	before := make([]interval.Interval, 0, 8)
	for round := 1; round <= mostRounds; round++ {
		moved := false
		for _, r := range use {
			if round > 1 && !r.touched(narrowedIn, round) {
				continue
			}
			before = before[:0]
			for _, v := range r.variables {
				before = append(before, d[v.index])
			}
			if !r.revise(d) {
				return r
			}
			for i, v := range r.variables {
				if narrowed(before[i], d[v.index]) {
					narrowedIn[v.index] = round
					moved = true
				}
			}
		}
		if !moved {
			return nil
		}
	}
	return nil
}

// touched reports whether a variable of the relation was narrowed in this round
// or the one before.
func (r *Relation) touched(narrowedIn []int, round int) bool {
	for _, v := range r.variables {
		if narrowedIn[v.index] >= round-1 {
			return true
		}
	}
	return false
}

// narrowed reports whether a domain shrank by a worthwhile part.
func narrowed(before, after interval.Interval) bool {
	if before == after {
		return false
	}
	if !before.IsFinite() {
		return true
	}
	return before.Width()-after.Width() > worthwhile*math.Max(before.Width(), 1e-9)
}

// strict relations are those that arithmetic makes hold.
func (n *Network) strict() []*Relation {
	var out []*Relation
	for _, r := range n.relations {
		if !r.Loose {
			out = append(out, r)
		}
	}
	return out
}

// constraining returns the strict relations that can be broken at all. One with
// a quantity that nothing prints, that has no limits, and that stands in no other
// relation holds whatever the prints say, unless it bounds a part of its own;
// without it, others may be such in turn.
func (n *Network) constraining() []*Relation {
	use := n.strict()
	stands := make([]int, len(n.variables)) // in how many relations each variable stands
	for _, r := range use {
		for _, v := range r.variables {
			stands[v.index]++
		}
	}
	free := func(v *Variable) bool {
		return !v.IsPrinted() && stands[v.index] == 1 && v.Limits == interval.Whole()
	}
	for {
		kept := use[:0:0]
		for _, r := range use {
			if r.bounded || !slices.ContainsFunc(r.variables, free) {
				kept = append(kept, r)
				continue
			}
			for _, v := range r.variables {
				stands[v.index]--
			}
		}
		if len(kept) == len(use) {
			return use
		}
		use = kept
	}
}

// Derived is a quantity that is not printed, with what the prints make of it.
type Derived struct {
	Variable *Variable
	Value    interval.Interval
	// By is the relation that bounds it most closely.
	By *Relation
}

// Derive computes every quantity that is not printed and that the prints bound
// on both sides. When the prints contradict one another the relations that
// cannot hold are left aside.
func (n *Network) Derive() []Derived {
	d := n.start()
	by := make([]*Relation, len(n.variables))
	strict := n.strict()
	n.deriveBy(d, by, strict)
	n.deriveBy(d, by, slices.Concat(strict, n.impliedBy(strict)))
	var out []Derived
	for i, v := range n.variables {
		if !v.IsPrinted() && by[i] != nil && v.isBoundedBy(d[i]) {
			out = append(out, Derived{Variable: v, Value: d[i], By: by[i]})
		}
	}
	return out
}

// isBoundedBy reports whether an interval says more on both sides than the limits
// of the quantity do.
func (v *Variable) isBoundedBy(is interval.Interval) bool {
	return is.IsFinite() && is.Hi < v.Limits.Hi && (v.Limits.Lo == 0 || is.Lo > v.Limits.Lo)
}

// deriveBy narrows the domains by the relations, leaving aside those that cannot
// hold, and notes for each variable the relation that narrowed it last.
func (n *Network) deriveBy(d domains, by []*Relation, use []*Relation) {
	trial := make(domains, len(d))
	for range mostRounds {
		moved := false
		for _, r := range use {
			copy(trial, d)
			if !r.revise(trial) {
				continue
			}
			for _, v := range r.variables {
				if narrowed(d[v.index], trial[v.index]) {
					by[v.index] = r
					moved = true
				}
			}
			copy(d, trial)
		}
		if !moved {
			return
		}
	}
}
