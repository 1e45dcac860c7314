package figure

import "fourmarks.example/convert"

// settle checks that a reading is complete for its kind, and fills in what the
// kind lets a print leave out.
func (r *reader) settle(m *measured) *Error {
	if m.between && m.join != upTo {
		return r.fail(m.span.Start, m.span.End, "after between, one of the two ends is missing")
	}
	if r.spec.event {
		return r.settleEvent(m)
	}
	if r.kind == Count {
		teeth := m.measure == Teeth
		m.measure = NoMeasure
		for _, n := range [...]number{m.first, m.last} {
			if n.form == Decimal || n.form == Fraction && !teeth {
				return r.fail(n.Start, n.End, "it is not a whole number")
			}
		}
	}
	return nil
}

// settleUnit gives the i-th reading its unit where the print leaves it out.
func (r *reader) settleUnit(m *measured, i int) *Error {
	switch {
	case m.hasUnit && m.measure == Teeth && r.spec.event:
		return r.fail(m.span.Start, m.span.End, "it is measured in %s and in teeth", m.unit.Name()).advise("put the second figure in brackets")
	case m.hasUnit:
		return nil
	case i > 0 && r.found[0].hasUnit && r.sameAgain(m):
		m.unit, m.hasUnit = r.found[0].unit, true
		return nil
	case r.spec.event && m.measure == Teeth:
		return nil
	case m.first.form == Word:
		m.unit = r.spec.zero
		return nil
	case r.spec.ofAngle() && m.measure != PistonTravel && m.measure != Rim:
		m.unit = convert.Degree
		return nil
	case r.spec.bare && !r.spec.event:
		m.unit = r.kind.Unit()
		return nil
	}
	return r.fail(m.first.Start, m.first.End, "%s has no unit", r.whole[m.first.Start:m.first.End])
}

// sameAgain reports whether a bare number beside a figure is the same figure
// in the same unit, printed in another form: 7/16 in (0.4375).
func (r *reader) sameAgain(m *measured) bool {
	a := &r.found[0]
	if m.join != alone || a.join != alone {
		return false
	}
	lo, hi := m.first.bounds(m.first.rat(), read, a.unit, false, false)
	value := a.first.rat()
	return lo.Cmp(value) <= 0 && value.Cmp(hi) <= 0
}

// beyondTurn reports whether an angle in degrees is more than a turn.
func (m *measured) beyondTurn() bool {
	return m.first.n > 360*m.first.d && (!m.hasUnit || m.unit == convert.Degree)
}

// settleEvent settles what a position or movement is measured by and counted
// from.
func (r *reader) settleEvent(m *measured) *Error {
	distance := m.unit.Dimension() == convert.Length
	switch {
	case m.measure == Teeth:
	case !distance && m.measure == PistonTravel:
		return r.fail(m.span.Start, m.span.End, "piston travel is a length, not an angle")
	case !distance:
		m.measure = CrankAngle
	case m.measure == NoMeasure && (r.kind == RimPosition || m.mark):
		m.measure = Rim
	case m.measure == NoMeasure:
		return r.fail(m.span.Start, m.span.End, "it does not say what the length is measured along").advise("add `piston` or `rim`")
	}
	switch {
	case r.spec.from == absent && m.datum != NoDatum:
		return r.fail(m.span.Start, m.span.End, "a movement is from no dead centre")
	case r.spec.from == required && m.measure == CrankAngle && m.beyondTurn():
		return r.fail(m.first.Start, m.first.End, "a crank position is no more than a turn from a dead centre")
	case r.spec.from == required && m.datum == NoDatum && m.first.n != 0:
		return r.fail(m.span.Start, m.span.End, "the dead centre is missing").advise("add BTDC, ATDC, BBDC or ABDC")
	}
	return nil
}
