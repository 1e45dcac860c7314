package notation

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
	"fourmarks.example/schema/figure"
)

// form is how a number is printed: what follows it, in this order.
type form struct {
	unit    convert.Unit
	symbol  string // in place of the unit's own
	datum   crank.Datum
	measure string
}

// after is what follows the number.
func (f form) after() string {
	symbol := f.unit.Symbol()
	switch {
	case f.symbol != "":
		symbol = f.symbol
	case f.unit == convert.Degree && f.datum != 0:
		symbol = ""
	}
	gap := " "
	if symbol == "" || strings.HasPrefix(symbol, "°") {
		gap = ""
	}
	s := gap + symbol
	for _, word := range []string{name(f.datum), f.measure} {
		if word != "" {
			s += " " + word
		}
	}
	return s
}

// side is the side of the dead centre that the number counts on; empty for what
// has no sides.
func (f form) side() string {
	if f.measure == afterFiring || f.measure == beforeFiring {
		return f.measure
	}
	return name(f.datum)
}

// otherSide is the form of a number on the other side.
func (f form) otherSide() form {
	switch {
	case f.measure == afterFiring:
		f.measure = beforeFiring
	case f.datum != 0:
		f.datum = opposite(f.datum)
	}
	return f
}

const (
	afterFiring  = "after firing TDC"
	beforeFiring = "before firing TDC"
)

// name is a datum as it is printed; empty for a movement.
func name(d crank.Datum) string {
	if d == 0 {
		return ""
	}
	return d.String()
}

// result writes an amount as it would be printed.
func result(n Notation, a amount, f form, steps []Step) Result {
	r := Result{Notation: n, Printed: f.print(a), Value: a.value, Low: a.lo, High: a.hi, Unit: f.unit, Exact: a.exact, Working: steps}
	if a.value != nil {
		r.Allowed, r.Exactly = f.allowed(a), a.exactly()
		if a.isPoint() && r.Exactly != "" {
			r.Allowed = ""
		}
	}
	return r
}

// distances writes an amount in millimetres in the units wanted, each a result;
// in that of the dimension it comes from, own, when none is named.
func (c *converter) distances(n Notation, mm amount, own convert.Unit, f form, steps []Step) []Result {
	in := func(u convert.Unit) amount { return mm.scaled(new(big.Rat).Inv(u.Factor())) }
	f.unit = own
	if !c.wantsUnits() {
		return []Result{result(n, in(own), f, append(slices.Clone(steps), onARule(in(own), own)...))}
	}
	var results []Result
	for _, f.unit = range c.wanted.units {
		results = append(results, result(n, in(f.unit), f, append(slices.Clone(steps), unitSteps(in(own).value, own, f.unit)...)))
	}
	if c.wanted.parts > 0 {
		steps := append(slices.Clone(steps), unitSteps(in(own).value, own, convert.Inch)...)
		results = append(results, fraction(n, in(convert.Inch), c.wanted.parts, f, steps))
	}
	return results
}

// wantsUnits reports whether it was said in which units distances are wanted.
func (c *converter) wantsUnits() bool { return c.wanted.parts > 0 || len(c.wanted.units) > 0 }

// onARule says the same distance in the other system, and where it lies on a
// rule of inches.
func onARule(a amount, u convert.Unit) []Step {
	if a.value == nil {
		return nil
	}
	if u == convert.Millimetre {
		return []Step{say("That is " + form{unit: convert.Inch}.print(a.scaled(ratio(5, 127))) + ".")}
	}
	parts, err := convert.NearestFraction(a.value, workshopParts)
	if err != nil {
		return nil
	}
	return []Step{say(fmt.Sprintf("On a rule, to the nearest 1/%d in: %s in. That is %s.", workshopParts, parts, form{unit: convert.Millimetre}.print(a.scaled(convert.Inch.Factor()))))}
}

// fraction writes an amount in inches as the nearest fraction of a workshop rule
// with what is left over. Its value is the fraction.
func fraction(n Notation, inches amount, parts int, f form, steps []Step) Result {
	f.unit = convert.Inch
	if n == asPrinted {
		n = Fraction
	}
	r := result(n, inches, f, steps)
	nearest, err := convert.NearestFraction(inches.middle(), parts)
	if err != nil {
		return r
	}
	r.Value, r.Printed, r.Allowed, r.Exactly = nearest.Nearest, signed(nearest.String()+f.after()), "", ""
	_, rest, _ := strings.Cut(nearest.Describe(), " in ")
	r.Rest = strings.NewReplacer("+", "plus", minus, "less").Replace(rest)
	share := new(big.Rat).Mul(inches.middle(), ratio(int64(parts), 1))
	read := fmt.Sprintf("%s/%d", nearestWhole(share).Num(), parts)
	if plain := nearest.String(); plain != read {
		read += " in, or " + plain
	}
	r.Working = append(slices.Clone(steps),
		Step{"parts of an inch", fmt.Sprintf("%s × %d", exactNumber(inches.middle()), parts), exactNumber(share)},
		say("To the nearest whole number that is "+read+" in."))
	if r.Rest != "" {
		r.Working = append(r.Working, say("The figure is "+nearest.Describe()+"."))
	}
	return r
}

// Given is the print itself as a result: what it allows, in its own unit.
func (f Figure) Given() Result {
	r := f.reading
	is := f.ownForm()
	g := result(asPrinted, amount{value: r.Value, lo: r.Lo, hi: r.Hi, exact: true}, is, nil)
	g.Printed, g.Exactly = f.Text, ""
	if f.isCounted() { // how closely depends on the wheel
		g.Allowed = ""
	}
	return g
}

// ownForm is how the print's own number is printed.
func (f Figure) ownForm() form {
	is := form{unit: f.reading.Unit}
	switch f.reading.Datum {
	case figure.BTDC:
		is.datum = crank.BTDC
	case figure.ATDC, figure.TDC:
		is.datum = crank.ATDC
	case figure.BBDC:
		is.datum = crank.BBDC
	case figure.ABDC, figure.BDC:
		is.datum = crank.ABDC
	}
	switch f.reading.Measure {
	case figure.PistonTravel:
		is.measure = "piston"
	case figure.Rim:
		is.measure = rimWords(f.reading.Straight)
	case figure.Teeth:
		is.symbol = "teeth"
	}
	return is
}

// exchanged writes a figure as it stands in other units.
func (c *converter) exchanged(units []convert.Unit, parts int) ([]Result, error) {
	r := c.reading
	if r.Measure == figure.Teeth {
		return nil, senseless(fmt.Sprintf("%q is counted in teeth: teeth have no unit; ask for degrees, rim or piston, and the unit beside it", c.Text))
	}
	datum, err := c.datum()
	if err != nil {
		return nil, err
	}
	f := c.ownForm()
	f.datum = datum
	var results []Result
	for _, u := range units {
		a, err := c.given(u)
		if err != nil {
			return nil, fmt.Errorf("%w; ask for rim or piston beside %s", err, u.Symbol())
		}
		f.unit = u
		results = append(results, result(Notation(u.Symbol()), a, f, append(c.written(), c.inUnit(u)...)))
	}
	if parts > 0 {
		inches, err := c.given(convert.Inch)
		if err != nil {
			return nil, fmt.Errorf("%w; ask for rim or piston beside the fraction", err)
		}
		results = append(results, fraction(asPrinted, inches, parts, f, append(c.written(), c.inUnit(convert.Inch)...)))
	}
	return results, nil
}

// benchUnits are the units that a figure is wanted in on a bench, and the parts
// of an inch that a rule has.
func (c *converter) benchUnits() (units []convert.Unit, parts int) {
	own := c.reading.Unit
	list := bench[own.Dimension()]
	switch own {
	case convert.Foot, convert.Yard, convert.Mile, convert.Metre:
		list = []convert.Unit{convert.Metre, convert.Foot}
	case convert.Inch, convert.Millimetre, convert.Centimetre, convert.Thou, convert.Micrometre:
		if c.reading.Form != figure.Fraction && c.isOnARule() {
			parts = workshopParts
		}
	}
	return slices.DeleteFunc(slices.Clone(list), func(u convert.Unit) bool { return u == own }), parts
}

// isOnARule reports whether a length is at least the finest division of a rule:
// smaller ones are gaps, for feelers.
func (c *converter) isOnARule() bool {
	inches, err := convert.Exchange(c.reading.Value, c.reading.Unit, convert.Inch)
	return err == nil && inches.Cmp(ratio(1, workshopParts)) >= 0
}

// bench lists the units of each quantity that gauges, tools and sheets use.
var bench = map[convert.Dimension][]convert.Unit{
	convert.Length:          {convert.Millimetre, convert.Inch, convert.Thou},
	convert.Volume:          {convert.CubicCentimetre, convert.Litre, convert.CubicInch},
	convert.Pressure:        {convert.Kilopascal, convert.Bar, convert.PoundPerSquareInch, convert.KilogramPerSquareCentimetre, convert.InchOfMercury, convert.MillimetreOfMercury},
	convert.Power:           {convert.Kilowatt, convert.Horsepower, convert.MetricHorsepower},
	convert.Speed:           {convert.RevPerMinute, convert.RevPerSecond},
	convert.LinearSpeed:     {convert.MetrePerSecond, convert.FootPerMinute, convert.FootPerSecond},
	convert.Temperature:     {convert.Celsius, convert.Fahrenheit, convert.Kelvin},
	convert.TemperatureRise: {convert.CelsiusDegree, convert.FahrenheitDegree},
	convert.Pitch:           {convert.Module, convert.DiametralPitch},
	convert.Expansion:       {convert.PerCelsius, convert.PerFahrenheit},
}
