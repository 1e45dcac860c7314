package notation

import (
	"fmt"
	"math/big"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
	"fourmarks.example/schema/figure"
)

// position is a crank figure in degrees, with the steps that led there.
type position struct {
	degrees amount
	datum   crank.Datum // 0 for a movement
	steps   []Step
}

// datums are the datums that notations are counted from.
var datums = map[Notation]crank.Datum{FromBTDC: crank.BTDC, FromATDC: crank.ATDC, FromBBDC: crank.BBDC, FromABDC: crank.ABDC}

// opposite is the datum on the other side of the same dead centre.
func opposite(d crank.Datum) crank.Datum {
	switch d {
	case crank.BTDC:
		return crank.ATDC
	case crank.ATDC:
		return crank.BTDC
	case crank.BBDC:
		return crank.ABDC
	}
	return crank.BBDC
}

// isAfter reports whether a datum counts with the rotation.
func isAfter(d crank.Datum) bool { return d == crank.ATDC || d == crank.ABDC }

// deadCentreOf is the dead centre that a datum counts from, in words.
func deadCentreOf(d crank.Datum) string {
	if d.Top() {
		return "TDC"
	}
	return "BDC"
}

// datum is the datum that the print counts from. A dead centre alone is a datum
// with either side; where the print leaves the side of a distance open, the event
// may tell it: no engine closes its inlet before BDC or opens its exhaust after.
func (c *converter) datum() (crank.Datum, error) {
	if !c.isPosition() {
		return 0, nil
	}
	switch c.reading.Datum {
	case figure.BTDC:
		return crank.BTDC, nil
	case figure.ATDC:
		return crank.ATDC, nil
	case figure.BBDC:
		return crank.BBDC, nil
	case figure.ABDC:
		return crank.ABDC, nil
	}
	top, event := c.reading.Datum == figure.TDC, c.dims.event()
	switch {
	case c.reading.Value.Sign() == 0 && top:
		return crank.ATDC, nil
	case c.reading.Value.Sign() == 0:
		return crank.ABDC, nil
	case !top && event == crank.InletCloses:
		c.useWord(Event)
		return crank.ABDC, nil
	case !top && event == crank.ExhaustOpens:
		c.useWord(Event)
		return crank.BBDC, nil
	case !top && event == 0:
		return 0, fmt.Errorf("%q does not say on which side of BDC: write before or after, or give --event inlet_closes or --event exhaust_opens", c.Text)
	}
	return 0, fmt.Errorf("%q does not say on which side of %v: write before or after", c.Text, c.reading.Datum)
}

// given is the print as an amount in a unit of its own quantity. The unit is One
// for teeth.
func (c *converter) given(u convert.Unit) (amount, error) {
	value, lo, hi, err := c.reading.In(u)
	if err != nil {
		return amount{}, fmt.Errorf("%q: %w", c.Text, err)
	}
	return amount{value: value, lo: lo, hi: hi, exact: true}, nil
}

// degrees turns the print into degrees from its own datum.
func (c *converter) degrees() (position, error) {
	datum, err := c.datum()
	if err != nil {
		return position{}, err
	}
	p := position{datum: datum, steps: c.written()}
	var more []Step
	switch c.reading.Measure {
	case figure.Rim:
		p.degrees, more, err = c.fromRim()
	case figure.PistonTravel:
		p.degrees, more, err = c.fromPiston(datum)
	case figure.Teeth:
		p.degrees, more, err = c.fromTeeth()
	default:
		p.degrees, err = c.given(convert.Degree)
		more = c.inUnit(convert.Degree)
	}
	p.steps = append(p.steps, more...)
	if err == nil && datum != 0 && p.degrees.middle().Sign() < 0 {
		// A piston's dead centre, counted from that of the crank beside it.
		p.degrees, p.datum = p.degrees.scaled(ratio(-1, 1)), opposite(datum)
		p.steps = append(p.steps, say(fmt.Sprintf("That lies on the other side of the dead centre: %s %v.", number(value(p.degrees)), p.datum)))
	}
	if d := p.degrees; err == nil && d.value == nil && d.lo != nil && d.hi != nil {
		p.steps = append(p.steps, Step{"middle of all that prints and rods allow", fmt.Sprintf("(%s + %s) ÷ 2", number(double(d.lo)), number(double(d.hi))), number(value(d))})
	}
	return p, err
}

// written is the working that turns a printed fraction, minutes or range into
// one decimal number. The other forms need none.
func (c *converter) written() []Step {
	r := c.reading
	text := c.Text[r.Number.Start:r.Number.End]
	value := exactNumber(r.Value)
	whole := new(big.Int).Quo(r.Value.Num(), r.Value.Denom())
	rest := new(big.Rat).Sub(r.Value, new(big.Rat).SetInt(whole))
	switch {
	case c.isRange():
		return []Step{{"middle of the range", fmt.Sprintf("(%s + %s) ÷ 2", exactNumber(r.Lo), exactNumber(r.Hi)), value}}
	case r.Value.IsInt() || r.Value.Sign() < 0:
		return nil
	case r.Form == figure.Fraction:
		parts := new(big.Rat).Mul(rest, ratio(r.Denominator, 1))
		return []Step{{text, plus(whole, exactNumber(parts)+" ÷ "+fmt.Sprint(r.Denominator)), value}}
	case r.Form == figure.Minutes:
		minutes := new(big.Rat).Mul(rest, ratio(60, 1))
		return []Step{{text, plus(whole, exactNumber(minutes)+" ÷ 60"), value}}
	}
	return nil
}

// isRange reports whether two ends are printed, so that the value is their middle.
func (c *converter) isRange() bool {
	r := c.reading
	if !r.Stated || r.Lo == nil || r.Hi == nil || r.Lo.Cmp(r.Value) == 0 {
		return false
	}
	first, err := figure.Read(figure.Angle, c.Text[r.Number.Start:r.Number.End])
	return err == nil && first.Readings[0].Value.Cmp(r.Lo) == 0
}

// plus writes a whole number and a part of one as a sum.
func plus(whole *big.Int, part string) string {
	if whole.Sign() == 0 {
		return part
	}
	return whole.String() + " + " + part
}
