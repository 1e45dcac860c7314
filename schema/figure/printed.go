package figure

import (
	"math/big"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
)

// Printed is a figure as its source prints it.
type Printed struct {
	Text    string
	Kind    Kind
	Absence Absence
	// Legible is what can be read of an illegible figure: "37 ?/4".
	Legible string
	// Readings are the values of the print: one, or one for each unit it is
	// printed in. Empty for an absence and for kinds without a value.
	Readings []Reading
	// List is the values of a list, one reading each.
	List []Reading
	// Order is the cylinders of a firing order, as labelled.
	Order []string
	// Direction is set for directions of rotation.
	Direction Rotation
}

// String returns the print, unchanged.
func (p Printed) String() string { return p.Text }

// Absence says why there is no figure; it is empty when there is one.
type Absence string

// The reasons for there being no figure, each the word that a file has for it.
const (
	Unknown   Absence = "unknown"   // looked for and not found
	NotGiven  Absence = "not given" // the source does not say
	None      Absence = "none"      // this engine has no such thing
	Illegible Absence = "illegible" // printed, and cannot be read in full
)

// Reading is one value of a print, in the unit it is printed in. Its numbers may
// share memory and are not to be changed.
type Reading struct {
	// Value is the printed number, the middle of a printed range, or zero for
	// "nil" and for a dead centre alone.
	Value *big.Rat
	// Lo and Hi are what the print justifies. A nil bound is open.
	Lo, Hi *big.Rat
	Unit   convert.Unit

	// Measure says what a crank position or movement is measured by.
	Measure Measure
	// Datum is the dead centre it is counted from. TDC or BDC with a value
	// other than zero is a distance whose side the print leaves open.
	Datum Datum
	// Mark says that it is counted from a mark of that dead centre.
	Mark bool
	// Straight says that a rim distance is taken across by a straight rule.
	Straight bool
	// At is where a lift or clearance is measured, where the print says so.
	At Place

	Approximate bool
	// Stated says that the print itself gives the interval: a tolerance, a
	// range or a limit.
	Stated bool
	Form   Form
	// Denominator tells the last printed place: 1 for whole numbers, 10 for
	// one decimal, 16 for sixteenths, 60 for minutes of arc.
	Denominator int64

	// Span is where the reading stands in the text, Number its first number.
	Span, Number Span

	// working is what Interval returns, worked out once while the print is read.
	working interval.Interval
	worked  bool
}

// Span is a range of bytes of the text.
type Span struct{ Start, End int }

// Measure is what a crank position or movement is measured by.
type Measure uint8

// The measures. Only positions and movements have one.
const (
	NoMeasure Measure = iota
	CrankAngle
	PistonTravel
	Rim
	Teeth // of the flywheel's ring gear
)

// String names the measure in words.
func (m Measure) String() string {
	return [...]string{"", "crank angle", "piston travel", "rim distance", "teeth"}[m]
}

// Datum is the dead centre that a position is counted from, and the side.
type Datum uint8

// The datums.
const (
	NoDatum Datum = iota
	BTDC
	ATDC
	BBDC
	ABDC
	TDC
	BDC
)

// String returns the short form of the trade.
func (d Datum) String() string {
	return [...]string{"", "BTDC", "ATDC", "BBDC", "ABDC", "TDC", "BDC"}[d]
}

// Place is where on the valve gear a lift or clearance is measured.
type Place uint8

// The places.
const (
	NoPlace Place = iota
	AtValve
	AtTappet
)

// String names the place as a file does.
func (p Place) String() string { return [...]string{"", "valve", "tappet"}[p] }

// Form is how a number is printed.
type Form uint8

// The forms.
const (
	Whole    Form = iota
	Decimal       // 48.5
	Fraction      // 13/16, 2 15/16, 52½
	Minutes       // 48° 30', with or without seconds
	Word          // nil, TDC, sea level
)

// Rotation is a direction of rotation.
type Rotation struct {
	Sense Sense
	// From is the end it is seen from; empty when the print does not say.
	From string
}

// Sense is a sense of rotation.
type Sense uint8

// The senses.
const (
	NoSense Sense = iota
	Clockwise
	Anticlockwise
)

// String returns the word of the trade.
func (s Sense) String() string { return [...]string{"", "clockwise", "anticlockwise"}[s] }

// Interval returns the reading in working units: degrees, millimetres, cubic
// centimetres, kilopascals, kilowatts, revolutions a minute, metres a second,
// degrees Celsius, millimetres of module, or a plain number. It is the
// narrowest interval of doubles that holds all that the print justifies, and
// empty for a diametral pitch that may be zero or less.
func (r Reading) Interval() interval.Interval {
	if r.worked {
		return r.working
	}
	return r.Unit.Interval(r.Lo, r.Hi)
}

// In returns value and bounds in another unit, exactly; a nil bound is open.
func (r Reading) In(u convert.Unit) (value, lo, hi *big.Rat, err error) {
	if value, err = convert.Exchange(r.Value, r.Unit, u); err != nil {
		return nil, nil, nil, err
	}
	lo, hi, err = convert.ExchangeBounds(r.Lo, r.Hi, r.Unit, u)
	return value, lo, hi, err
}

// Print returns the value in another unit with the digits that the interval
// justifies, without the unit's symbol.
func (r Reading) Print(u convert.Unit) (string, error) {
	value, lo, hi, err := r.In(u)
	if err != nil {
		return "", err
	}
	return convert.Decimal(value, lo, hi), nil
}

// Disagreement returns the first two readings of the print that cannot both be
// right: the same quantity, by the same measure, in intervals that do not meet.
func (p Printed) Disagreement() (one, other Reading, found bool) {
	for i, a := range p.Readings {
		for _, b := range p.Readings[i+1:] {
			if !a.sameQuantity(b) || a.meets(b) {
				continue
			}
			return a, b, true
		}
	}
	return Reading{}, Reading{}, false
}

// sameQuantity reports whether two readings can be held against one another
// without knowing the engine.
func (r Reading) sameQuantity(o Reading) bool {
	return r.Unit.Dimension() == o.Unit.Dimension() && r.Measure == o.Measure && r.Straight == o.Straight && r.Datum == o.Datum
}

// meets compares exactly, in r's unit.
func (r Reading) meets(o Reading) bool {
	_, lo, hi, err := o.In(r.Unit)
	if err != nil {
		return false
	}
	below := func(a, b *big.Rat) bool { return a != nil && b != nil && a.Cmp(b) < 0 }
	return !below(hi, r.Lo) && !below(r.Hi, lo)
}
