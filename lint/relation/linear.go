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
	of     int // its number among the terms of the network
	factor float64
}

// terms numbers the terms of a network's linear forms.
type terms struct{ of []Expression }

func (t *terms) number(e Expression) int {
	if i := slices.Index(t.of, e); i >= 0 {
		return i
	}
	t.of = append(t.of, e)
	return len(t.of) - 1
}

// linear is Σ factor · term + constant, known to be zero.
type linear struct {
	terms    []term
	constant interval.Interval
	from     []*Relation
}

// take adds factor · e to the form. Expressions that are not linear become terms.
func (l *linear) take(all *terms, e Expression, factor float64) {
	switch e := e.(type) {
	case number:
		l.constant = l.constant.Add(e.is.Mul(interval.Point(factor)))
		return
	case *sum:
		for i, t := range e.terms {
			if e.minus[i] {
				l.take(all, t, -factor)
			} else {
				l.take(all, t, factor)
			}
		}
		return
	case *product:
		if rest, by, ok := e.multiple(); ok {
			l.take(all, rest, factor*by)
			return
		}
	}
	l.add(all.number(e), factor)
}

// add adds factor times a term.
func (l *linear) add(of int, factor float64) {
	for i := range l.terms {
		if l.terms[i].of == of {
			l.terms[i].factor += factor
			return
		}
	}
	l.terms = append(l.terms, term{of, factor})
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
func (r *Relation) form(all *terms) (linear, bool) {
	l := linear{constant: interval.Point(0), from: []*Relation{r}}
	l.take(all, r.Left, 1)
	l.take(all, r.Right, -1)
	l.drop()
	return l, !r.AtMost && len(l.terms) > 1
}

// drop removes terms that came to nothing.
func (l *linear) drop() {
	l.terms = slices.DeleteFunc(l.terms, func(t term) bool { return t.factor == 0 })
}

// mask has a bit for each term, shared by those whose numbers are 64 apart.
func (l *linear) mask() (m uint64) {
	for _, t := range l.terms {
		m |= 1 << (t.of % 64)
	}
	return m
}

func (l *linear) factorOf(of int) float64 {
	for _, t := range l.terms {
		if t.of == of {
			return t.factor
		}
	}
	return 0
}

// without combines two forms so that a term drops out; false when they do not
// share it or the combination would not be exact.
func (l *linear) without(of int, other *linear) (linear, bool) {
	a, b := l.factorOf(of), other.factorOf(of)
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

// impliedBy returns the relations that follow from two or more of those given: a
// term that is not printed and that relations share is eliminated between them,
// and so is each of two terms that two relations share.
func (n *Network) impliedBy(use []*Relation) []*Relation {
	var all terms
	var forms []linear
	for _, r := range use {
		if l, ok := r.form(&all); ok {
			forms = append(forms, l)
		}
	}
	given := len(forms)
	for i := 1; i < len(forms) && len(forms)-given < mostImplied; i++ {
		for j := range i {
			if forms[i].mask()&forms[j].mask() == 0 { // nothing shared
				continue
			}
			for _, of := range worthless(&all, &forms[i], &forms[j], i < given) {
				c, ok := forms[i].without(of, &forms[j])
				if ok && len(c.from) <= deepest && !isAmong(&c, forms) {
					forms = append(forms, c)
				}
			}
		}
	}
	var follow []*Relation
	for i := range forms[given:] {
		follow = append(follow, forms[given+i].relation(&all))
	}
	return follow
}

func isAmong(c *linear, forms []linear) bool {
	for i := range forms {
		if c.same(&forms[i]) {
			return true
		}
	}
	return false
}

// worthless are the shared terms of two forms that are worth eliminating: those
// that nothing prints, and, between sums of figures as they were given, all of
// them where there are several.
func worthless(all *terms, a, b *linear, given bool) []int {
	var shared, unprinted []int
	for _, t := range a.terms {
		if b.factorOf(t.of) == 0 {
			continue
		}
		shared = append(shared, t.of)
		if v, ok := all.of[t.of].(*Variable); ok && !v.IsPrinted() {
			unprinted = append(unprinted, t.of)
		}
	}
	if given && len(shared) > 1 && a.plain(all) && b.plain(all) {
		return shared
	}
	return unprinted
}

// plain reports whether a form is a sum of figures alone.
func (l *linear) plain(all *terms) bool {
	for _, t := range l.terms {
		if _, ok := all.of[t.of].(*Variable); !ok {
			return false
		}
	}
	return true
}

// same reports whether two forms say the same of the same terms.
func (l *linear) same(o *linear) bool {
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
func (l *linear) relation(all *terms) *Relation {
	s := &weighted{terms: make([]Expression, len(l.terms)), factors: make([]float64, len(l.terms)), is: make([]interval.Interval, len(l.terms))}
	for i, t := range l.terms {
		s.terms[i], s.factors[i] = all.of[t.of], t.factor
	}
	r := &Relation{Rule: l.from[0].Rule, Where: l.from[0].Where, Left: s, Right: number{is: l.constant.Neg()}, from: l.from}
	r.gather()
	return r
}

// weighted is a sum of terms, each times an exact factor.
type weighted struct {
	terms   []Expression
	factors []float64
	is      []interval.Interval
	total   interval.Interval
}

func (s *weighted) value(d domains) interval.Interval {
	total := interval.Point(0)
	for i, t := range s.terms {
		s.is[i] = t.value(d).Mul(interval.Point(s.factors[i]))
		total = total.Add(s.is[i])
	}
	s.total = total
	return total
}

func (s *weighted) narrow(d domains, want interval.Interval) bool {
	if s.total.Within(want) {
		return true
	}
	for i, t := range s.terms {
		rest := want
		for j := range s.terms {
			if j != i {
				rest = rest.Sub(s.is[j])
			}
		}
		if !t.narrow(d, rest.Div(interval.Point(s.factors[i]))) {
			return false
		}
	}
	return true
}

func (s *weighted) write(w *writer, level int) {
	w.grouped(level > levelSum, func() {
		for i, t := range s.terms {
			switch {
			case s.factors[i] < 0:
				w.text(" − ")
			case i > 0:
				w.text(" + ")
			}
			if by := abs(s.factors[i]); by != 1 {
				w.text(plain(by) + " × ")
			}
			t.write(w, levelProduct)
		}
	})
}

func (s *weighted) each(visit func(*Variable)) {
	for _, t := range s.terms {
		t.each(visit)
	}
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// withImplied returns relations together with what follows from them alone. What
// follows is worked out once, for the first and largest set asked about.
func (n *Network) withImplied(use []*Relation) []*Relation {
	if n.follows == nil {
		n.follows = append([]*Relation{}, n.impliedBy(use)...)
		return slices.Concat(use, n.follows)
	}
	all := slices.Clone(use)
	for _, r := range n.follows {
		if !slices.ContainsFunc(r.from, func(f *Relation) bool { return !slices.Contains(use, f) }) {
			all = append(all, r)
		}
	}
	return all
}
