package relation

import (
	"math"
	"slices"

	"fourmarks.example/convert/interval"
)

// Expression is one side of a relation: variables and numbers joined by the
// operations of this file. Expressions are made per engine and hold scratch
// values while they are evaluated, so they are not shared between goroutines.
type Expression interface {
	// value computes the interval of the expression from the variables' domains,
	// and keeps it for narrow (the forward pass of HC4-revise).
	value(d domains) interval.Interval
	// narrow cuts the variables' domains to what the wanted interval of the
	// expression allows (the backward pass). It reports false when nothing is left.
	narrow(d domains, want interval.Interval) bool
	// write says the expression in words or numbers.
	write(w *writer, level int)
	// each visits the variables.
	each(visit func(*Variable))
}

// domains holds the interval of every variable of a network, by its index.
type domains []interval.Interval

// Precedence levels of written expressions.
const (
	levelSum = iota
	levelProduct
	levelAtom
)

// number is a constant; without a name it is written as its value.
type number struct {
	is   interval.Interval
	name string
}

// Number is a constant that is exact in binary, such as 180 or 2.5.
func Number(x float64) Expression { return number{is: interval.Point(x)} }

// Constant is a constant known within an interval, written by name: π.
func Constant(name string, is interval.Interval) Expression { return number{is, name} }

// Pi is π.
func Pi() Expression { return Constant("π", interval.Pi()) }

func (n number) value(domains) interval.Interval               { return n.is }
func (n number) narrow(_ domains, want interval.Interval) bool { return want.Meets(n.is) }
func (n number) each(func(*Variable))                          {}

func (n number) write(w *writer, _ int) {
	if n.name == "" {
		w.text(bounds(n.is))
		return
	}
	w.text(n.name)
}

func (v *Variable) value(d domains) interval.Interval { return d[v.index] }

func (v *Variable) narrow(d domains, want interval.Interval) bool {
	if v.whole {
		want = wholeWithin(want)
	}
	d[v.index] = d[v.index].Intersect(want)
	return !d[v.index].IsEmpty()
}

// wholeWithin returns the hull of the whole numbers in an interval. The bounds
// were rounded outward, so a whole number a hair outside is the one meant.
func wholeWithin(a interval.Interval) interval.Interval {
	const hair = 1e-9
	return interval.Of(math.Ceil(a.Lo-hair), math.Floor(a.Hi+hair))
}

func (v *Variable) write(w *writer, _ int)     { w.variable(v) }
func (v *Variable) each(visit func(*Variable)) { visit(v) }

// sum is a sum of terms, each added or taken away.
type sum struct {
	terms []Expression
	minus []bool
	is    []interval.Interval
	total interval.Interval
}

// Sum adds the terms.
func Sum(terms ...Expression) Expression {
	return &sum{terms: terms, minus: make([]bool, len(terms)), is: make([]interval.Interval, len(terms))}
}

// Difference takes b from a.
func Difference(a, b Expression) Expression {
	s := &sum{terms: []Expression{a}, minus: []bool{false}}
	if of, ok := a.(*sum); ok {
		s.terms, s.minus = slices.Clone(of.terms), slices.Clone(of.minus)
	}
	s.terms, s.minus = append(s.terms, b), append(s.minus, true)
	s.is = make([]interval.Interval, len(s.terms))
	return s
}

func (s *sum) signed(i int) interval.Interval {
	if s.minus[i] {
		return s.is[i].Neg()
	}
	return s.is[i]
}

func (s *sum) value(d domains) interval.Interval {
	total := interval.Point(0)
	for i, t := range s.terms {
		s.is[i] = t.value(d)
		total = total.Add(s.signed(i))
	}
	s.total = total
	return total
}

// Where all that an expression can be is wanted, narrowing it would change
// nothing: sum, product and function spare themselves the way back.

func (s *sum) narrow(d domains, want interval.Interval) bool {
	if s.total.Within(want) {
		return true
	}
	for i, t := range s.terms {
		rest := want
		for j := range s.terms {
			if j != i {
				rest = rest.Sub(s.signed(j))
			}
		}
		if s.minus[i] {
			rest = rest.Neg()
		}
		if !t.narrow(d, rest) {
			return false
		}
	}
	return true
}

func (s *sum) write(w *writer, level int) {
	w.grouped(level > levelSum, func() {
		for i, t := range s.terms {
			switch {
			case s.minus[i]:
				w.text(" − ")
			case i > 0:
				w.text(" + ")
			}
			t.write(w, levelProduct)
		}
	})
}

func (s *sum) each(visit func(*Variable)) {
	for _, t := range s.terms {
		t.each(visit)
	}
}

// product is a product of factors over a product of divisors.
type product struct {
	factors []Expression
	divide  []bool
	is      []interval.Interval
	total   interval.Interval
}

// Product multiplies the factors.
func Product(factors ...Expression) Expression {
	return &product{factors: factors, divide: make([]bool, len(factors)), is: make([]interval.Interval, len(factors))}
}

// Quotient divides a by b.
func Quotient(a, b Expression) Expression {
	return &product{factors: []Expression{a, b}, divide: []bool{false, true}, is: make([]interval.Interval, 2)}
}

func (p *product) value(d domains) interval.Interval {
	total := interval.Point(1)
	for i, f := range p.factors {
		p.is[i] = f.value(d)
		total = p.apply(total, i, p.divide[i])
	}
	p.total = total
	return total
}

func (p *product) apply(a interval.Interval, i int, divide bool) interval.Interval {
	if divide {
		return a.Div(p.is[i])
	}
	return a.Mul(p.is[i])
}

func (p *product) narrow(d domains, want interval.Interval) bool {
	if p.total.Within(want) {
		return true
	}
	for i, f := range p.factors {
		rest := want
		if p.divide[i] {
			// want = others / f, so f = others / want.
			rest = interval.Point(1)
		}
		for j := range p.factors {
			if j != i {
				rest = p.apply(rest, j, p.divide[j] == p.divide[i])
			}
		}
		if p.divide[i] {
			rest = rest.Div(want)
		}
		if !f.narrow(d, rest) {
			return false
		}
	}
	return true
}

func (p *product) write(w *writer, level int) {
	w.grouped(level > levelProduct, func() {
		for i, f := range p.factors {
			switch {
			case p.divide[i]:
				w.text(" / ")
			case i > 0:
				w.text(" × ")
			}
			f.write(w, levelAtom)
		}
	})
}

func (p *product) each(visit func(*Variable)) {
	for _, f := range p.factors {
		f.each(visit)
	}
}

// square is a square of something that is not negative.
type square struct{ of Expression }

// Square multiplies something that is not negative by itself.
func Square(of Expression) Expression { return square{of} }

func (s square) value(d domains) interval.Interval { return s.of.value(d).Sqr() }

func (s square) narrow(d domains, want interval.Interval) bool { return s.of.narrow(d, want.Sqrt()) }

func (s square) write(w *writer, _ int) {
	v, ok := s.of.(*Variable)
	w.grouped(ok && w.numbers != nil && v.Scale.Symbol() != "", func() { s.of.write(w, levelAtom) })
	w.text("²")
}

func (s square) each(visit func(*Variable)) { s.of.each(visit) }

// wave is the sine or cosine of an angle where it has one inverse.
type wave struct {
	name        string
	of          Expression
	ahead, back func(interval.Interval) interval.Interval
	where       interval.Interval
}

// Sin is the sine of an angle in degrees between −90 and 90.
func Sin(of Expression) Expression {
	return wave{"sin", of, interval.Interval.SinDeg, interval.Interval.AsinDeg, interval.Of(-90, 90)}
}

// Cos is the cosine of an angle in degrees between 0 and 90.
func Cos(of Expression) Expression {
	return wave{"cos", of, interval.Interval.CosDeg, interval.Interval.AcosDeg, interval.Of(0, 90)}
}

func (s wave) value(d domains) interval.Interval { return s.ahead(s.of.value(d).Intersect(s.where)) }

func (s wave) narrow(d domains, want interval.Interval) bool {
	return s.of.narrow(d, s.back(want.Intersect(s.ahead(s.where))).Intersect(s.where))
}

func (s wave) write(w *writer, _ int) {
	w.text(s.name + " ")
	s.of.write(w, levelAtom)
}

func (s wave) each(visit func(*Variable)) { s.of.each(visit) }

// scaled is an expression in other units: the factor is no part of the working.
type scaled struct {
	of     Expression
	factor interval.Interval
}

// Scaled multiplies an expression by a factor that only turns units into one
// another (cubic millimetres into cubic centimetres). Workings leave it out:
// they show every number with its unit.
func Scaled(of Expression, factor interval.Interval) Expression { return scaled{of, factor} }

func (s scaled) value(d domains) interval.Interval { return s.of.value(d).Mul(s.factor) }

func (s scaled) narrow(d domains, want interval.Interval) bool {
	return s.of.narrow(d, want.Div(s.factor))
}

func (s scaled) write(w *writer, level int) { s.of.write(w, level) }

func (s scaled) each(visit func(*Variable)) { s.of.each(visit) }

// bounded is an expression that lies within bounds of its own.
type bounded struct {
	of Expression
	is interval.Interval
}

// Within is an expression whose value is known to lie between two bounds. Workings
// leave the bounds out.
func Within(bounds interval.Interval, of Expression) Expression { return bounded{of, bounds} }

// isBounded reports whether a part of an expression has bounds of its own, so
// that not every value of the whole can be had from it.
func isBounded(e Expression) bool {
	switch e := e.(type) {
	case bounded:
		return true
	case *sum:
		return slices.ContainsFunc(e.terms, isBounded)
	case *product:
		return slices.ContainsFunc(e.factors, isBounded)
	case *function:
		return slices.ContainsFunc(e.of, isBounded)
	case wave:
		return isBounded(e.of)
	case scaled:
		return isBounded(e.of)
	case square:
		return isBounded(e.of)
	}
	return false
}

func (b bounded) value(d domains) interval.Interval { return b.of.value(d).Intersect(b.is) }

func (b bounded) narrow(d domains, want interval.Interval) bool {
	return b.of.narrow(d, want.Intersect(b.is))
}

func (b bounded) write(w *writer, level int) { b.of.write(w, level) }

func (b bounded) each(visit func(*Variable)) { b.of.each(visit) }

// function is a relation of mechanics computed elsewhere, with its inverses.
type function struct {
	name string
	of   []Expression
	is   []interval.Interval
	all  interval.Interval // what forward made of it last
	// forward computes the result from the arguments.
	forward func(args []interval.Interval) interval.Interval
	// inverse narrows argument i, given the result wanted and the other
	// arguments; nil, or a whole line returned, where nothing can be said.
	inverse func(i int, want interval.Interval, args []interval.Interval) interval.Interval
}

// Function is a relation of mechanics: forward computes it over intervals,
// inverse(i, …) returns what argument i may be for a wanted result (the whole
// line where nothing can be said). The name is how a working shows it.
func Function(name string, forward func([]interval.Interval) interval.Interval,
	inverse func(int, interval.Interval, []interval.Interval) interval.Interval, of ...Expression) Expression {
	return &function{name: name, of: of, is: make([]interval.Interval, len(of)), forward: forward, inverse: inverse}
}

func (f *function) value(d domains) interval.Interval {
	for i, a := range f.of {
		f.is[i] = a.value(d)
		if f.is[i].IsEmpty() {
			return interval.Empty()
		}
	}
	f.all = f.forward(f.is)
	return f.all
}

func (f *function) narrow(d domains, want interval.Interval) bool {
	if f.inverse == nil || f.all.Within(want) {
		return true
	}
	for i, a := range f.of {
		if !a.narrow(d, f.inverse(i, want, f.is)) {
			return false
		}
	}
	return true
}

func (f *function) write(w *writer, _ int) {
	w.text(f.name)
	w.text("(")
	for i, a := range f.of {
		if i > 0 {
			w.text(", ")
		}
		a.write(w, levelSum)
	}
	w.text(")")
}

func (f *function) each(visit func(*Variable)) {
	for _, a := range f.of {
		a.each(visit)
	}
}
