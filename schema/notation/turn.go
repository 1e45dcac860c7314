package notation

import (
	"fmt"
	"math"
	"math/big"
	"slices"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
)

// toDegrees is the figure in crank degrees from its own datum.
func (c *converter) toDegrees() ([]Result, error) {
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	return []Result{result(Degrees, p.degrees, form{unit: convert.Degree, datum: p.datum}, p.steps)}, nil
}

// toAngles is the figure in the units of angle wanted: turns, or minutes in all.
func (c *converter) toAngles() ([]Result, error) {
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	var results []Result
	for _, u := range c.wanted.angles {
		in := p.degrees.scaled(new(big.Rat).Inv(u.Factor()))
		steps := append(slices.Clone(p.steps), unitSteps(p.degrees.middle(), convert.Degree, u)...)
		results = append(results, result(Notation(u.Symbol()), in, form{unit: u, datum: p.datum}, steps))
	}
	return results, nil
}

// toDatum is the position in degrees from another datum, less than a turn.
func (c *converter) toDatum(n Notation) ([]Result, error) {
	if !c.isPosition() {
		return nil, senseless(fmt.Sprintf("%q is a movement and is counted from no dead centre", c.Text))
	}
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	if p.datum != datums[n] {
		if p, err = c.recount(p, datums[n]); err != nil {
			return nil, err
		}
	}
	return []Result{result(n, p.degrees, form{unit: convert.Degree, datum: p.datum}, p.steps)}, nil
}

// recount counts a position from another datum, from 0 up to a turn.
func (c *converter) recount(p position, to crank.Datum) (position, error) {
	between, steps, err := c.between(p.datum, to)
	if err != nil {
		return p, err
	}
	at := p.degrees.scaled(sign(p.datum)).plus(between).scaled(sign(to))
	turns := math.Floor(value(at) / 360)
	shift := ratio(-360*int64(turns), 1)
	at = at.linear(ratio(1, 1), shift)

	constant := new(big.Rat).Add(new(big.Rat).Mul(between.middle(), sign(to)), shift)
	numbers := fmt.Sprintf("%s + %s", exactNumber(constant), exactNumber(p.degrees.middle()))
	switch {
	case isAfter(p.datum) != isAfter(to):
		numbers = fmt.Sprintf("%s − %s", exactNumber(constant), exactNumber(p.degrees.middle()))
	case constant.Sign() < 0:
		numbers = fmt.Sprintf("%s − %s", exactNumber(p.degrees.middle()), exactNumber(new(big.Rat).Neg(constant)))
	}
	steps = append(append(p.steps, steps...), Step{"degrees " + to.String(), numbers, exactNumber(at.middle())})
	return position{degrees: at, datum: to, steps: steps}, nil
}

// between is how many degrees the dead centre of one datum comes after that of
// another.
func (c *converter) between(one, other crank.Datum) (amount, []Step, error) {
	if one.Top() == other.Top() {
		return exactly(new(big.Rat)), nil, nil
	}
	bottom := one
	if one.Top() {
		bottom = other
	}
	half, steps, err := c.afterTDC(bottom)
	if one.Top() {
		half = half.scaled(ratio(-1, 1))
	}
	return half, steps, err
}

// nearest counts a position from the dead centre nearest to it.
func (c *converter) nearest(p position) (position, error) {
	var best position
	for _, to := range []crank.Datum{crank.BTDC, crank.ATDC, crank.BBDC, crank.ABDC} {
		candidate := p
		if to != p.datum {
			var err error
			if candidate, err = c.recount(p, to); err != nil {
				return p, err
			}
		}
		if best.datum == 0 || value(candidate.degrees) < value(best.degrees) {
			best = candidate
		}
	}
	return best, nil
}

// sign is 1 for a datum that counts with the rotation, else −1.
func sign(d crank.Datum) *big.Rat {
	if isAfter(d) {
		return ratio(1, 1)
	}
	return ratio(-1, 1)
}

// afterTDC is how many degrees the dead centre of a datum comes after TDC: 0 or
// 180, but for the dead centres of an offset cylinder's piston.
func (c *converter) afterTDC(d crank.Datum) (amount, []Step, error) {
	if d.Top() {
		return exactly(new(big.Rat)), nil, nil
	}
	half := exactly(ratio(180, 1))
	if !c.dims.given(Offset) {
		return half, nil, nil
	}
	l, err := c.linkage("counting from the other dead centre of an offset cylinder")
	if err != nil {
		return half, nil, err
	}
	top, err := l.late(crank.ATDC)
	if err != nil {
		return half, nil, err
	}
	bottom, err := l.late(crank.ABDC)
	if err != nil {
		return half, nil, err
	}
	if l.ofCrank || !l.isOffset() {
		return half, nil, nil
	}
	after := half.plus(bottom.plus(top.scaled(ratio(-1, 1))))
	return after, append(l.lateSteps(crank.ATDC, crank.ABDC), Step{"BDC of the piston after its TDC", "180 + lateness at BDC − lateness at TDC",
		fmt.Sprintf("180 + %s − %s", exactNumber(bottom.middle()), exactNumber(top.middle())), exactNumber(after.middle())}), nil
}

// isTwoStroke reports whether there is no camshaft at half speed.
func (c *converter) isTwoStroke() bool { return c.dims[Cycle].Text == twoStroke }

// toCamshaft is the figure in degrees of the camshaft, at half speed.
func (c *converter) toCamshaft() ([]Result, error) {
	if c.isTwoStroke() {
		return nil, senseless("a two-stroke has no camshaft at half speed")
	}
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	half := p.degrees.scaled(ratio(1, 2))
	steps := append(p.steps, Step{"camshaft degrees", "crank degrees ÷ 2", exactNumber(p.degrees.middle()) + " ÷ 2", exactNumber(half.middle())})
	return []Result{result(Camshaft, half, form{unit: convert.Degree, symbol: "camshaft degrees", datum: p.datum}, steps)}, nil
}

// strokes are those of the four-stroke cycle, from firing TDC on.
var strokes = [...]string{"power", "exhaust", "induction", "compression"}

// toFiring is the position on the whole cycle, from firing TDC. Of the two dead
// centres that a datum can mean, the event tells which.
func (c *converter) toFiring() ([]Result, error) {
	switch {
	case !c.isPosition():
		return nil, senseless(fmt.Sprintf("%q is a movement and is counted from no dead centre", c.Text))
	case c.isTwoStroke():
		return nil, senseless("every TDC of a two-stroke is one of firing; ask for ATDC")
	case !c.dims.given(Event):
		return nil, &Missing{For: "counting from firing TDC", AnyOf: []Name{Event}}
	}
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	c.useWord(Event)
	event, angle := c.dims.event(), value(p.degrees)
	at, err := event.At(angle, p.datum)
	if err == nil {
		_, err = event.AtInterval(p.degrees.closed(), p.datum)
	}
	if err != nil {
		return nil, fmt.Errorf("%q lies about half a turn from where %v belongs, so that either of two dead centres could be meant", c.Text, event)
	}
	half, steps, err := c.afterTDC(p.datum)
	if err != nil {
		return nil, err
	}
	// The event counts with dead centres half a turn apart: how many of those lie
	// before the one that is meant, and of them how many whole turns.
	halves := math.Round((at - double(sign(p.datum))*angle) / 180)
	start := half.linear(ratio(1, 1), ratio(360*int64(math.Floor(halves/2)), 1))
	after := p.degrees.scaled(sign(p.datum)).plus(start)
	operator := "+"
	if !isAfter(p.datum) {
		operator = "−"
	}
	steps = append(append(p.steps, steps...),
		say(fmt.Sprintf("The %s that %v belongs to comes %s.", deadCentreOf(p.datum), event, fromFiring(start))),
		Step{"degrees after firing TDC", fmt.Sprintf("%s %s %s", exactNumber(start.middle()), operator, exactNumber(p.degrees.middle())), exactNumber(after.middle())})
	stroke := strokes[int(math.Floor(math.Mod(value(after)+720, 720)/180))]
	steps = append(steps, say("That is on the "+stroke+" stroke."))
	return []Result{result(FromFiring, after, form{unit: convert.Degree, measure: afterFiring}, steps)}, nil
}

// fromFiring says where a dead centre lies on the cycle.
func fromFiring(start amount) string {
	switch at := start.middle(); at.Sign() {
	case 0:
		return "at firing"
	case -1:
		return exactNumber(new(big.Rat).Neg(at)) + " degrees before firing TDC"
	default:
		return exactNumber(at) + " degrees after firing TDC"
	}
}
