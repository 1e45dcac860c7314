package relation

import (
	"slices"

	"fourmarks.example/convert/interval"
)

// Propagation takes one relation at a time, so it cannot use two of them on two
// figures that both hold: a duration and a lobe centre together give opening
// and closing, each alone gives neither. For relations that are sums, the
// combinations in which such a shared term drops out are added as relations of
// their own (Gaussian elimination); they are implied, and a conflict in one of
// them is a conflict of those it was made from.

// term is one term of a linear form: a variable, or any expression that is not
// linear itself and is taken whole.
type term struct {
	of     Expression
	factor float64
}

// linear is Σ factor · term + constant, known to be zero.
type linear struct {
	terms    []term
	constant interval.Interval
	from     []*Relation
}

// add adds factor · e to the form. Expressions that are not linear become terms.
func (l *linear) add(e Expression, factor float64) {
	switch e := e.(type) {
	case number:
		l.constant = l.constant.Add(e.is.Mul(interval.Point(factor)))
		return
	case *sum:
		for i, t := range e.terms {
			if e.minus[i] {
				l.add(t, -factor)
			} else {
				l.add(t, factor)
			}
		}
		return
	case *product:
		if rest, by, ok := e.multiple(); ok {
			l.add(rest, factor*by)
			return
		}
	}
	for i := range l.terms {
		if l.terms[i].of == e {
			l.terms[i].factor += factor
			return
		}
	}
	l.terms = append(l.terms, term{e, factor})
}

// multiple reads a product of one expression and exact numbers.
func (p *product) multiple() (rest Expression, by float64, ok bool) {
	by = 1
	for i, f := range p.factors {
		n, isNumber := f.(number)
		switch {
		case isNumber && n.is.Lo == n.is.Hi && !p.divide[i]:
			by *= n.is.Lo
		case isNumber && n.is.Lo == n.is.Hi && n.is.Lo != 0 && isPowerOfTwo(n.is.Lo):
			by /= n.is.Lo
		case rest != nil || p.divide[i]:
			return nil, 0, false
		default:
			rest = f
		}
	}
	return rest, by, rest != nil
}

// isPowerOfTwo reports whether dividing by x is exact.
func isPowerOfTwo(x float64) bool {
	for x > 1 {
		x /= 2
	}
	return x == 1
}

// form is an equation as a linear form; false for one of fewer than two terms.
func (r *Relation) form() (linear, bool) {
	l := linear{constant: interval.Point(0), from: []*Relation{r}}
	l.add(r.Left, 1)
	l.add(r.Right, -1)
	l.drop()
	return l, !r.AtMost && len(l.terms) > 1
}

// drop removes terms that came to nothing.
func (l *linear) drop() {
	l.terms = slices.DeleteFunc(l.terms, func(t term) bool { return t.factor == 0 })
}

func (l linear) factorOf(e Expression) float64 {
	for _, t := range l.terms {
		if t.of == e {
			return t.factor
		}
	}
	return 0
}

// without combines two forms so that a term drops out; false when they do not
// share it or the combination would not be exact.
func (l linear) without(e Expression, other linear) (linear, bool) {
	a, b := l.factorOf(e), other.factorOf(e)
	if a == 0 || b == 0 {
		return linear{}, false
	}
	by := b / a
	if by*a != b {
		return linear{}, false
	}
	c := linear{constant: other.constant.Sub(l.constant.Mul(interval.Point(by))), from: union(l.from, other.from)}
	c.terms = slices.Clone(other.terms)
	for _, t := range l.terms {
		c.add(t.of, -by*t.factor)
	}
	c.drop()
	return c, len(c.terms) > 0
}

func union(a, b []*Relation) []*Relation {
	all := slices.Clone(a)
	for _, r := range b {
		if !slices.Contains(all, r) {
			all = append(all, r)
		}
	}
	return all
}

// mostImplied bounds the implied relations of one network, and deepest the
// relations that one is made from.
const (
	mostImplied = 48
	deepest     = 4
)

// implied returns the relations that follow from two or more of those given: a
// term that is not printed and that relations share is eliminated between them,
// and so is each of two terms that two relations share.
func (n *Network) impliedBy(use []*Relation) []*Relation {
	var forms []linear
	for _, r := range use {
		if l, ok := r.form(); ok {
			forms = append(forms, l)
		}
	}
	given := len(forms)
	for i := 1; i < len(forms) && len(forms)-given < mostImplied; i++ {
		for j := range i {
			for _, e := range worthless(forms[i], forms[j]) {
				c, ok := forms[i].without(e, forms[j])
				if ok && len(c.from) <= deepest && !slices.ContainsFunc(forms, c.same) {
					forms = append(forms, c)
				}
			}
		}
	}
	var all []*Relation
	for _, l := range forms[given:] {
		all = append(all, l.relation())
	}
	return all
}

// worthless are the shared terms of two forms that are worth eliminating: those
// that nothing prints, and all of them where there are several.
func worthless(a, b linear) []Expression {
	var shared, unprinted []Expression
	for _, t := range a.terms {
		if b.factorOf(t.of) == 0 {
			continue
		}
		shared = append(shared, t.of)
		if v, ok := t.of.(*Variable); ok && !v.IsPrinted() {
			unprinted = append(unprinted, t.of)
		}
	}
	if len(shared) > 1 {
		return shared
	}
	return unprinted
}

// same reports whether two forms say the same of the same terms.
func (l linear) same(o linear) bool {
	if len(l.terms) != len(o.terms) {
		return false
	}
	by := 0.0
	for _, t := range l.terms {
		f := o.factorOf(t.of)
		switch {
		case f == 0:
			return false
		case by == 0:
			by = f / t.factor
		case f != by*t.factor:
			return false
		}
	}
	return true
}

// relation writes a form as an equation.
func (l linear) relation() *Relation {
	s := &sum{}
	for _, t := range l.terms {
		var e Expression = t.of
		if t.factor != 1 && t.factor != -1 {
			e = Product(Number(abs(t.factor)), t.of)
		}
		s.terms, s.minus = append(s.terms, e), append(s.minus, t.factor < 0)
	}
	s.is = make([]interval.Interval, len(s.terms))
	r := &Relation{Rule: l.from[0].Rule, Where: l.from[0].Where, Left: s, Right: number{l.constant.Neg(), bounds(l.constant.Neg())}, from: l.from}
	r.gather()
	return r
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// withImplied returns relations together with what follows from them alone.
func (n *Network) withImplied(use []*Relation) []*Relation {
	all := slices.Clone(use)
	for _, r := range n.implied() {
		if !slices.ContainsFunc(r.from, func(f *Relation) bool { return !slices.Contains(use, f) }) {
			all = append(all, r)
		}
	}
	return all
}

// implied returns what follows from all relations that arithmetic makes hold.
func (n *Network) implied() []*Relation {
	if n.follows == nil {
		n.follows = n.impliedBy(n.strict())
		if n.follows == nil {
			n.follows = []*Relation{}
		}
	}
	return n.follows
}
