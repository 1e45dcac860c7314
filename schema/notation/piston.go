package notation

import (
	"fmt"
	"math"
	"math/big"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/schema/figure"
)

// linkage is what is known of crank, rod and cylinder axis.
type linkage struct {
	unit   convert.Unit // of the working
	stroke measure
	rods   []measure // the rod, or the shortest and the longest where it is not known
	offset measure
	over   crank.LinkageInterval
	// ofCrank says that degrees are counted from the crank's dead centres, not
	// the piston's. It makes a difference with an offset only.
	ofCrank bool
}

// linkage returns the dimensions that piston travel rests on.
func (c *converter) linkage(forWhat string) (linkage, error) {
	stroke, err := c.measure(Stroke, forWhat)
	if err != nil {
		return linkage{}, err
	}
	l := linkage{unit: stroke.unit, stroke: stroke, over: crank.LinkageInterval{Stroke: stroke.is}}
	if l.rods, l.over.Rod, err = c.rods(stroke); err != nil {
		return l, err
	}
	l.offset = measure{value: new(big.Rat)}
	if c.dims.given(Offset) {
		if l.offset, err = c.measure(Offset, forWhat); err != nil {
			return l, err
		}
	}
	if l.offset.value.Sign() > 0 {
		l.over.Offset = l.offset.is
	}
	if !l.isOffset() {
		return l, l.turns()
	}
	if !c.dims.given(DeadCentre) {
		return l, &Missing{For: "a figure of an offset cylinder", AnyOf: []Name{DeadCentre}}
	}
	c.use(DeadCentre, c.dims[DeadCentre])
	l.ofCrank = c.dims[DeadCentre].Text == crankshaft
	return l, l.turns()
}

// rods returns the rod, or the range that it may lie in.
func (c *converter) rods(stroke measure) ([]measure, interval.Interval, error) {
	if c.dims.given(Rod) {
		rod, err := c.measure(Rod, "piston travel")
		return []measure{rod}, rod.is, err
	}
	is := crank.UnknownRod(stroke.is)
	nominal := crank.UnknownRod(interval.FromRat(stroke.value, stroke.value))
	unknown := Dimension{From: "common practice, no source", InsteadOf: c.dims[Rod].InsteadOf}
	unknown.Text = "not given: 1.4 to 2.5 strokes"
	c.use(Rod, unknown)
	c.remark("The rod is not given. Rods are from 1.4 to 2.5 strokes long (common practice, no source), and the result is the range that this allows; a rod length narrows it.")
	return []measure{{value: rational(nominal.Lo)}, {value: rational(nominal.Hi)}}, is, nil
}

// turns refuses a rod that is too short for the stroke in words of a person.
func (l linkage) turns() error {
	if _, err := l.over.Part(interval.Point(0), crank.ATDC); err != nil {
		return fmt.Errorf("with this stroke, rod and offset the crank cannot turn: the rod must be longer than half the stroke and the offset together")
	}
	return nil
}

func (l linkage) isOffset() bool { return l.over.Offset != interval.Point(0) }

// point is the linkage of the printed values, or nil when the rod is not known.
func (l linkage) point() *crank.Linkage {
	if len(l.rods) != 1 {
		return nil
	}
	return &crank.Linkage{Stroke: double(l.stroke.value), Rod: double(l.rods[0].value), Offset: double(l.offset.value)}
}

// late is by how many degrees a dead centre of the piston comes after that of
// the crank, when degrees are counted from the piston's; else zero.
func (l linkage) late(d crank.Datum) (amount, error) {
	if l.ofCrank || !l.isOffset() {
		return exactly(new(big.Rat)), nil
	}
	after := crank.ATDC
	if !d.Top() {
		after = crank.ABDC
	}
	var point func(float64) (float64, error)
	if p := l.point(); p != nil {
		point = func(x float64) (float64, error) { return p.ToCrank(x, after) }
	}
	return exactly(new(big.Rat)).rising(point, func(is interval.Interval) (interval.Interval, error) { return l.over.ToCrank(is, after) })
}

// toPistons turns degrees from the dead centres that the figure is counted from
// into degrees from the piston's.
func (l linkage) toPistons(degrees amount, d crank.Datum) (amount, error) {
	if !l.ofCrank {
		return degrees, nil
	}
	return l.shifted(degrees, d, crank.Linkage.FromCrank, crank.LinkageInterval.FromCrank)
}

// fromPistons undoes toPistons.
func (l linkage) fromPistons(degrees amount, d crank.Datum) (amount, error) {
	if !l.ofCrank {
		return degrees, nil
	}
	return l.shifted(degrees, d, crank.Linkage.ToCrank, crank.LinkageInterval.ToCrank)
}

func (l linkage) shifted(degrees amount, d crank.Datum, shift func(crank.Linkage, float64, crank.Datum) (float64, error), over func(crank.LinkageInterval, interval.Interval, crank.Datum) (interval.Interval, error)) (amount, error) {
	var point func(float64) (float64, error)
	if p := l.point(); p != nil {
		point = func(x float64) (float64, error) { return shift(*p, x, d) }
	}
	return degrees.rising(point, func(is interval.Interval) (interval.Interval, error) { return over(l.over, is, d) })
}

// travel is piston travel from the dead centre of d, negative on the other side
// of it, so that it rises with the degrees.
func (l linkage) travel(degrees amount, d crank.Datum) (amount, error) {
	var point func(float64) (float64, error)
	if p := l.point(); p != nil {
		point = func(x float64) (float64, error) {
			travel, err := p.Travel(x, d)
			return math.Copysign(travel, x), err
		}
	}
	return degrees.rising(point, signedOver(func(is interval.Interval, after bool) (interval.Interval, error) {
		if !after {
			is = is.Neg()
		}
		return l.over.Travel(is, d)
	}))
}

// angle undoes travel.
func (l linkage) angle(travel amount, d crank.Datum) (amount, error) {
	on := func(after bool) crank.Datum {
		if after {
			return d
		}
		return opposite(d)
	}
	var point func(float64) (float64, error)
	if p := l.point(); p != nil {
		point = func(x float64) (float64, error) {
			degrees, err := p.Angle(math.Abs(x), on(x >= 0))
			return math.Copysign(degrees, x), err
		}
	}
	return travel.rising(point, signedOver(func(is interval.Interval, after bool) (interval.Interval, error) { return l.over.Angle(is, on(after)) }))
}

// signedOver carries an interval that may reach over zero through a function of
// magnitudes: what is below zero is given to it without its sign, and the result
// gets the sign back. At zero the function is zero.
func signedOver(f func(is interval.Interval, after bool) (interval.Interval, error)) func(interval.Interval) (interval.Interval, error) {
	return func(is interval.Interval) (interval.Interval, error) {
		result := interval.Empty()
		if part := is.Intersect(interval.Of(0, math.Inf(1))); !part.IsEmpty() {
			r, err := f(part, true)
			if err != nil {
				return r, err
			}
			result = r
		}
		if part := is.Intersect(interval.Of(math.Inf(-1), 0)); is.Lo < 0 && !part.IsEmpty() {
			r, err := f(part.Neg(), false)
			if err != nil {
				return r, err
			}
			result = result.Hull(r.Neg())
		}
		return result, nil
	}
}

// fromPiston turns printed piston travel into degrees.
func (c *converter) fromPiston(d crank.Datum) (amount, []Step, error) {
	if d == 0 {
		return amount{}, nil, senseless(fmt.Sprintf("%q names no dead centre, and how far the crank turns for a piston travel depends on where it stands; add BTDC, ATDC, BBDC or ABDC", c.Text))
	}
	l, err := c.linkage(fmt.Sprintf("%q in degrees", c.Text))
	if err != nil {
		return amount{}, nil, err
	}
	mm, err := c.given(convert.Millimetre)
	if err != nil {
		return amount{}, nil, err
	}
	if mm.middle().Cmp(rational(l.stroke.is.Hi)) > 0 {
		return amount{}, nil, fmt.Errorf("%q is longer than the stroke, %s", c.Text, c.dims[Stroke].Text)
	}
	degrees, err := l.angle(mm, d)
	if err == nil {
		degrees, err = l.fromPistons(degrees, d)
	}
	if err != nil {
		return amount{}, nil, err
	}
	return degrees, append(c.inUnit(l.unit), l.angleSteps(measure{value: mm.middle()}.in(l.unit), d)...), nil
}

// toPiston is the piston travel from the dead centre that the figure is counted
// from, or from the other where it lies beyond.
func (c *converter) toPiston() ([]Result, error) {
	switch {
	case !c.isPosition():
		return nil, senseless(fmt.Sprintf("%q is a movement, and how far the piston goes with it depends on where the crank stands; piston travel needs a position, such as 52 ABDC", c.Text))
	case c.reading.Measure == figure.PistonTravel && c.wantsUnits():
		return c.exchanged(c.wanted.units, c.wanted.parts)
	case c.reading.Measure == figure.PistonTravel:
		return c.exchanged(c.benchUnits())
	}
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	l, err := c.linkage("piston travel")
	if err != nil {
		return nil, err
	}
	pistons, err := l.toPistons(p.degrees, p.datum)
	if err != nil {
		return nil, err
	}
	beyond, err := l.beyond(pistons)
	if err != nil {
		return nil, err
	}
	if beyond {
		if p, err = c.nearest(p); err != nil {
			return nil, err
		}
		if pistons, err = l.toPistons(p.degrees, p.datum); err != nil {
			return nil, err
		}
	}
	travel, err := l.travel(pistons, p.datum)
	if err != nil {
		return nil, err
	}
	steps, datum := append(p.steps, l.travelSteps(value(p.degrees), p.datum)...), p.datum
	if travel.middle().Sign() < 0 { // the crank's dead centre, counted from that of the piston beside it
		travel, datum = travel.scaled(ratio(-1, 1)), opposite(datum)
		steps = append(steps, say(fmt.Sprintf("The piston is then still on the other side of its dead centre, %v.", datum)))
	}
	return c.distances(Piston, travel, l.unit, form{datum: datum, measure: "piston"}, steps), nil
}

// beyond reports whether degrees may reach past the other dead centre of the
// piston. With an offset that is less than half a turn away on one side.
func (l linkage) beyond(degrees amount) (bool, error) {
	top, err := l.over.ToCrank(interval.Point(0), crank.ATDC)
	if err != nil {
		return false, err
	}
	bottom, err := l.over.ToCrank(interval.Point(0), crank.ABDC)
	if err != nil {
		return false, err
	}
	return far(degrees, int64(math.Floor(180-bottom.Sub(top).Hi))), nil
}
