package figure

import (
	"math/big"

	"fourmarks.example/convert"
)

// readings turns what was read into readings.
func (r *reader) readings() ([]Reading, *Error) {
	found := r.found[:r.count]
	for i := range found {
		if err := r.settleUnit(&found[i], i); err != nil {
			return nil, err
		}
	}
	share(found, &r.shared)
	out := make([]Reading, r.count)
	for i := range out {
		m := &found[i]
		if err := r.settle(m); err != nil {
			return nil, err
		}
		out[i] = Reading{
			Unit: m.unit, Measure: m.measure, Datum: m.datum, Mark: m.mark, Straight: m.straight, At: m.at,
			Approximate: m.approx, Stated: m.join == upTo || m.join == within || m.limit != noLimit,
			Form: m.first.form, Denominator: m.first.d, Span: m.span, Number: m.first.Span,
		}
		if err := r.value(m, &out[i], i > 0); err != nil {
			return nil, err
		}
		out[i].working, out[i].worked = out[i].Interval(), true
		for _, other := range out[:i] {
			if other.contradicts(out[i]) {
				return nil, r.fail(m.span.Start, m.span.End, "it holds two different figures in one unit").advise("give each as a claim of its own")
			}
		}
	}
	return out, nil
}

// contradicts reports whether two readings in the same unit differ. Readings in
// two units may differ by mistake, and the print is kept as it stands.
func (r Reading) contradicts(o Reading) bool {
	return r.Unit == o.Unit && r.Measure == o.Measure && r.Straight == o.Straight && (r.Datum != o.Datum || !r.meets(o))
}

// value works out the value of a reading and what the print justifies.
func (r *reader) value(m *measured, to *Reading, twin bool) *Error {
	if m.negative && r.kind == Vacuum && m.compared { // "< −60 kPa" is more than 60 kPa below the atmosphere
		m.limit = m.limit.turned()
	}
	switch m.join {
	case upTo:
		to.Lo, to.Hi = m.first.rat(), m.last.rat()
		to.Value = new(big.Rat).Add(to.Lo, to.Hi)
		to.Value.Quo(to.Value, big.NewRat(2, 1))
	case against:
		return r.ratio(m, to)
	case within:
		to.Value = m.first.rat()
		up, down := m.up.rat(), m.down.rat()
		if m.tolUnit != m.unit {
			factor := new(big.Rat).Quo(m.tolUnit.Factor(), m.unit.Factor())
			up.Mul(up, factor)
			down.Mul(down, factor)
		}
		to.Lo, to.Hi = down.Sub(to.Value, down), up.Add(to.Value, up)
	default:
		to.Value = m.first.rat()
		to.Lo, to.Hi = m.first.bounds(to.Value, r.classOf(m.first), m.unit, twin, m.approx)
	}
	if m.limit == noLimit {
		return nil
	}
	if m.join != alone {
		return r.fail(m.span.Start, m.span.End, "a limit and a range or tolerance stand together")
	}
	if !m.approx {
		to.Lo, to.Hi = to.Value, to.Value
	}
	if m.limit == atLeast {
		to.Hi = nil
	} else {
		to.Lo = nil
	}
	return nil
}

// classOf is the class of the kind, but for ratios: one of two whole numbers is
// exact, and so is a ratio of speeds in whole numbers, halves and quarters,
// since wheels have whole numbers of teeth.
func (r *reader) classOf(n number) class {
	switch {
	case r.kind == Ratio && n.pure, r.kind == SpeedRatio && (n.form != Decimal || 4*n.n%n.d == 0):
		return counted
	}
	return r.spec.class
}

// turned exchanges at least and at most.
func (l limit) turned() limit {
	return [...]limit{noLimit, atMost, atLeast}[l]
}

// ratio works out a : b. It is exact when both are whole numbers and it is one
// of speeds or the second is not 1. Otherwise a side printed as 1 is exact and
// the other is known to half its last place.
func (r *reader) ratio(m *measured, to *Reading) *Error {
	a, b := m.first, m.last
	exact := a.form == Whole && b.form == Whole && (b.n != 1 || r.kind == SpeedRatio)
	sides := [2]struct{ value, lo, hi *big.Rat }{}
	for i, n := range [...]number{a, b} {
		c := read
		if exact || i == 1 && n.isOne() || i == 0 && n.isOne() && !b.isOne() {
			c = counted
		}
		sides[i].value = n.rat()
		sides[i].lo, sides[i].hi = n.bounds(sides[i].value, c, convert.One, false, m.approx && !n.isOne())
	}
	if sides[1].lo.Sign() <= 0 {
		return r.fail(b.Start, b.End, "the second number of a ratio cannot be as small as 0")
	}
	to.Value = new(big.Rat).Quo(sides[0].value, sides[1].value)
	to.Lo = new(big.Rat).Quo(sides[0].lo, sides[1].hi)
	to.Hi = new(big.Rat).Quo(sides[0].hi, sides[1].lo)
	if m.limit != noLimit {
		return r.fail(m.span.Start, m.span.End, "a ratio has no limit")
	}
	return nil
}
