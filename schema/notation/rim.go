package notation

import (
	"fmt"
	"math"
	"strconv"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
)

// ruleDivision is the finest that a straight rule is read to, in millimetres:
// 1/64 in. Common practice, no source.
const ruleDivision = 25.4 / 64

// rimWords say how a rim distance is measured, after its datum.
func rimWords(straight bool) string {
	if straight {
		return "rim by straight rule"
	}
	return "rim"
}

// rim returns the rim that distances are measured on.
func (c *converter) rim(forWhat string) (measure, crank.Rim, crank.RimInterval, error) {
	m, err := c.measure(RimDiameter, forWhat)
	if err != nil {
		return m, crank.Rim{}, crank.RimInterval{}, err
	}
	return m, crank.Rim{Diameter: double(m.value)}, crank.RimInterval{Diameter: m.is}, nil
}

// fromRim turns a printed rim distance into degrees.
func (c *converter) fromRim() (amount, []Step, error) {
	diameter, rim, over, err := c.rim(fmt.Sprintf("%q in degrees", c.Text))
	if err != nil {
		return amount{}, nil, err
	}
	mm, err := c.given(convert.Millimetre)
	if err != nil {
		return amount{}, nil, err
	}
	unit := diameter.unit
	steps := c.inUnit(unit)
	distance, d := measure{value: mm.middle()}.in(unit), diameter.in(unit)
	longest, what := math.Pi*d, "circumference"
	if c.reading.Straight {
		longest, what = d, "diameter"
	}
	if math.Abs(distance) > longest {
		return amount{}, nil, fmt.Errorf("%q is longer than the %s of the rim, %s %s", c.Text, what, number(longest), unit)
	}
	turned, turnedOver := rim.Angle, over.Angle
	if c.reading.Straight {
		turned, turnedOver = rim.ChordAngle, over.ChordAngle
	}
	degrees, err := mm.rising(turned, turnedOver)
	if err != nil {
		return amount{}, nil, fmt.Errorf("%q on a rim of %s %s: %w", c.Text, number(d), unit, err)
	}
	if c.reading.Straight {
		return degrees, append(steps, Step{"degrees", "2 × arcsin(straight distance ÷ diameter)",
			fmt.Sprintf("2 × arcsin(%s ÷ %s)", number(distance), number(d)), number(value(degrees))}), nil
	}
	return degrees, append(steps, Step{"degrees", "360 × distance along the rim ÷ (π × diameter)",
		fmt.Sprintf("360 × %s ÷ (%s × %s)", number(distance), number(math.Pi), number(d)), number(value(degrees))}), nil
}

// value is the number that a working goes on with.
func value(a amount) float64 { return double(a.middle()) }

// toRim is the distance along the rim and by straight rule.
func (c *converter) toRim() ([]Result, error) {
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	diameter, rim, over, err := c.rim("a distance along the rim")
	if err != nil {
		return nil, err
	}
	if far(p.degrees, 360) {
		return nil, senseless(fmt.Sprintf("%q is more than once round the rim", c.Text))
	}
	along, err := p.degrees.rising(rim.Distance, over.Distance)
	if err != nil {
		return nil, err
	}
	d, unit := diameter.in(diameter.unit), diameter.unit
	length := math.Pi * d * value(p.degrees) / 360
	steps := append(p.steps, Step{"along the rim", "π × diameter × degrees ÷ 360",
		fmt.Sprintf("%s × %s × %s ÷ 360", number(math.Pi), number(d), number(value(p.degrees))), number(length) + " " + unit.Symbol()})
	results := c.distances(AlongRim, along, unit, form{datum: p.datum, measure: rimWords(false)}, steps)
	if c.reading.Straight || far(p.degrees, 180) {
		return results, nil
	}
	straight, err := c.toStraight()
	return append(results, straight...), err
}

// toStraight is the distance between the marks as a straight rule measures it.
func (c *converter) toStraight() ([]Result, error) {
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	diameter, rim, over, err := c.rim("a distance by straight rule")
	if err != nil {
		return nil, err
	}
	if far(p.degrees, 180) {
		return nil, senseless(fmt.Sprintf("%q is more than half way round the rim, where a straight rule measures the wrong way", c.Text))
	}
	straight, err := p.degrees.rising(rim.Chord, over.Chord)
	if err != nil {
		return nil, err
	}
	d, degrees, unit := diameter.in(diameter.unit), value(p.degrees), diameter.unit
	along, across := math.Pi*d*degrees/360, d*math.Sin(degrees/2*math.Pi/180)
	steps := append(p.steps,
		Step{"straight distance", "diameter × sin(degrees ÷ 2)", fmt.Sprintf("%s × sin(%s° ÷ 2)", number(d), number(degrees)), number(across) + " " + unit.Symbol()},
		compare(along, across, unit))
	return c.distances(StraightRule, straight, unit, form{datum: p.datum, measure: rimWords(true)}, steps), nil
}

// compare says how far the distances along the rim and by straight rule differ,
// and whether a rule can tell.
func compare(along, across float64, unit convert.Unit) Step {
	difference := math.Abs(along - across)
	said := fmt.Sprintf("Along the rim it is %s %s, longer by %s %s", number(along), unit, roughly(difference), unit)
	if difference*double(unit.Factor()) < ruleDivision {
		return say(said + ": a rule, read to 1/64 in, cannot tell the two apart.")
	}
	return say(said + ": a tape or a strip of paper laid round the rim measures that, a straight rule this.")
}

// roughly writes a number with two significant digits.
func roughly(x float64) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64)
	if err != nil {
		return number(x)
	}
	return number(short)
}

// far reports whether an amount of degrees reaches beyond a limit on either side.
func far(degrees amount, limit int64) bool {
	return degrees.hi != nil && degrees.hi.Cmp(ratio(limit, 1)) > 0 || degrees.lo != nil && degrees.lo.Cmp(ratio(-limit, 1)) < 0 || degrees.middle().Cmp(ratio(limit, 1)) > 0
}
