package notation

import (
	"fmt"
	"math/big"
	"slices"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
)

// measure is a dimension with its number: lengths in millimetres, angles in
// degrees, teeth.
type measure struct {
	value *big.Rat
	is    interval.Interval
	// unit is that of the print, inch or millimetre for lengths.
	unit convert.Unit
}

// in is the number in the unit that a working is written in.
func (m measure) in(u convert.Unit) float64 {
	x := new(big.Rat).Quo(m.value, u.Factor())
	return double(x)
}

// measure returns a dimension that a notation cannot do without, and keeps note
// that it was used.
func (c *converter) measure(name Name, forWhat string) (measure, error) {
	if !c.dims.given(name) {
		return measure{}, &Missing{For: forWhat, AnyOf: []Name{name}}
	}
	d := c.dims[name]
	r := d.Readings[0]
	value, _, _, err := r.In(r.Unit.Dimension().Base())
	if err != nil {
		return measure{}, fmt.Errorf("the %s of %q: %w", name.words(), d.Text, err)
	}
	m := measure{value: value, is: r.Interval(), unit: workshopUnit(r.Unit)}
	if !m.is.IsFinite() || name != Offset && m.is.Lo <= 0 {
		return measure{}, fmt.Errorf("the %s of %q cannot be: it must be a plain number greater than zero, and not a limit", name.words(), d.Text)
	}
	if r.Approximate {
		c.remark("The %s is only given approximately, which makes the result wide.", name.words())
	}
	if one, other, found := d.Disagreement(); found {
		c.remark("The print of the %s, %q, says two things that cannot both be right (%s and %s); the first is used.", name.words(), d.Text, d.Text[one.Span.Start:one.Span.End], d.Text[other.Span.Start:other.Span.End])
	}
	c.use(name, d)
	return m, nil
}

func (c *converter) use(name Name, d Dimension) {
	if !slices.ContainsFunc(c.used, func(u Used) bool { return u.What == name }) {
		c.used = append(c.used, Used{What: name, Dimension: d})
	}
}

// useWord keeps note that a dimension that is a word was used, if it is given.
func (c *converter) useWord(name Name) {
	if c.dims.given(name) {
		c.use(name, c.dims[name])
	}
}

// count returns a number of teeth that a notation cannot do without.
func (c *converter) count(name Name, forWhat string) (int, error) {
	m, err := c.measure(name, forWhat)
	if err != nil {
		return 0, err
	}
	if !m.value.IsInt() || m.value.Cmp(ratio(mostTeeth, 1)) > 0 {
		return 0, fmt.Errorf("%s %s: it must be a whole number up to %d", m.value.RatString(), name.words(), mostTeeth)
	}
	return int(m.value.Num().Int64()), nil
}

const mostTeeth = 10000

// workshopUnit is the inch for inches and their kin, the millimetre for metric
// lengths, and the unit itself for anything else.
func workshopUnit(u convert.Unit) convert.Unit {
	switch u {
	case convert.Inch, convert.Thou, convert.Foot, convert.Yard, convert.Mile:
		return convert.Inch
	case convert.Millimetre, convert.Centimetre, convert.Metre, convert.Micrometre:
		return convert.Millimetre
	}
	return u
}
