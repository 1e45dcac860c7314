package notation

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/schema/figure"
)

// Notation is a way to write a figure.
type Notation string

// The notations of crank positions and movements. Fraction is also one of
// lengths.
const (
	Degrees      Notation = "degrees"
	Minutes      Notation = "minutes"
	FromBTDC     Notation = "BTDC"
	FromATDC     Notation = "ATDC"
	FromBBDC     Notation = "BBDC"
	FromABDC     Notation = "ABDC"
	FromFiring   Notation = "firing TDC"
	Camshaft     Notation = "camshaft"
	AlongRim     Notation = "rim"
	StraightRule Notation = "straight rule"
	Piston       Notation = "piston"
	Teeth        Notation = "teeth"
	NearestTooth Notation = "nearest tooth"
	WheelSteps   Notation = "wheel teeth"
	Fraction     Notation = "fraction"

	everything Notation = "all"
	asPrinted  Notation = "as printed"
	inAngles   Notation = "in units of angle"
)

// Notations lists the notations of crank positions and movements.
func Notations() []Notation {
	return []Notation{Degrees, Minutes, FromBTDC, FromATDC, FromBBDC, FromABDC, FromFiring, Camshaft, AlongRim, StraightRule, Piston, Teeth, WheelSteps}
}

// Result is a figure in another notation.
type Result struct {
	Notation Notation
	// Printed is the figure with the digits that the prints justify. Where the
	// notation is one that sheets use, it can be read as a print again.
	Printed string
	// Allowed is the interval in words, or "exact" where Printed is all of it. It
	// is empty where Printed is an interval itself, a limit or the nearest of
	// something, and where Exactly says it.
	Allowed string
	// Exactly is the number in full where the conversion is exact and Printed has
	// it shortened.
	Exactly string
	// Rest is what the nearest tooth or fraction leaves out, "plus 1.00°" or "less
	// 3.6 thou": Printed and Rest together are the figure. It is empty where
	// nothing is left.
	Rest string
	// Value, Low and High are the same in numbers, in Unit, or in teeth where
	// that is One. Value is nil where nothing says which value of the interval it
	// is; a nil end is open. A negative end lies on the other side of the dead
	// centre that Printed names.
	Value, Low, High *big.Rat
	Unit             convert.Unit
	// Exact says that these numbers are free of rounding.
	Exact   bool
	Working []Step
}

// UnitName is the unit of the numbers in one word: the unit's symbol, or teeth.
func (r Result) UnitName() string {
	if r.Unit == convert.One {
		return string(Teeth)
	}
	return r.Unit.Symbol()
}

// Conversion is a figure with all that was made of it.
type Conversion struct {
	Figure  Figure
	Results []Result
	Used    []Used
	// Remarks are what a reader must know of the results.
	Remarks []string
	// Lacking says what more there could be, and which dimensions it needs. It
	// is filled only when everything was wanted.
	Lacking []*Missing
	// Caution is what goes with every figure by which an engine is set or turned.
	Caution string
}

// Caution is said wherever a conversion may be used to set or turn an engine.
const Caution = "When you set or turn an engine: by hand, plugs out, never by the starter, and stop at any resistance; " +
	"the maker's instructions come before this."

// Convert works out the notations wanted. An error is a [*Missing] where a
// dimension is not given; when everything is wanted, what is missing is listed
// instead.
func (f Figure) Convert(w Wanted, d Dimensions) (Conversion, error) {
	c := &converter{Figure: f, wanted: w, dims: d}
	c.readings()
	var results []Result
	var lacking []*Missing
	if len(w.notations) > 0 {
		for _, n := range w.notations {
			found, err := c.to(n)
			if err != nil {
				return Conversion{}, err
			}
			results = append(results, found...)
		}
	} else {
		var err error
		if results, lacking, err = c.all(); err != nil {
			return Conversion{}, err
		}
		if len(results) == 0 && len(lacking) > 0 {
			return Conversion{}, lacking[0]
		}
	}
	conversion := Conversion{Figure: f, Results: results, Used: c.used, Remarks: c.remarks, Lacking: lacking}
	if f.isCrank() || f.reading.Unit.Dimension() == convert.Length {
		conversion.Caution = Caution
	}
	return conversion, nil
}

// converter is one conversion on its way.
type converter struct {
	Figure
	wanted  Wanted
	dims    Dimensions
	used    []Used
	remarks []string
}

// readings remarks on what a print says besides the reading that is converted.
func (c *converter) readings() {
	if one, other, found := c.Disagreement(); found {
		c.remark("The print says two things that cannot both be right: %s and %s. The first is converted.", c.textOf(one), c.textOf(other))
		return
	}
	for _, r := range c.Readings[1:] {
		if r.Measure != c.reading.Measure {
			c.remark("The print says it in two ways; %s is converted.", c.textOf(c.reading))
		}
	}
}

func (c *converter) textOf(r figure.Reading) string {
	return strings.TrimSpace(c.Text[r.Span.Start:r.Span.End])
}

func (c *converter) remark(format string, args ...any) {
	if r := fmt.Sprintf(format, args...); !slices.Contains(c.remarks, r) {
		c.remarks = append(c.remarks, r)
	}
}

// to works out one notation; some have more than one result.
func (c *converter) to(n Notation) ([]Result, error) {
	switch n {
	case asPrinted:
		return c.exchanged(c.wanted.units, c.wanted.parts)
	case inAngles:
		return c.toAngles()
	case Piston:
		return c.toPiston()
	case AlongRim:
		return c.toRim()
	case StraightRule:
		return c.toStraight()
	case Teeth:
		return c.toTeeth()
	case WheelSteps:
		return c.toWheelTeeth()
	case Camshaft:
		return c.toCamshaft()
	case FromFiring:
		return c.toFiring()
	case Minutes:
		return c.toMinutes()
	case FromBTDC, FromATDC, FromBBDC, FromABDC:
		return c.toDatum(n)
	}
	return c.toDegrees()
}

// all works out everything that the dimensions allow and that says something
// new. What needs a dimension that is not given is listed.
func (c *converter) all() ([]Result, []*Missing, error) {
	var results []Result
	var lacking []*Missing
	for _, n := range c.worthwhile() {
		found, err := c.to(n)
		var missing *Missing
		switch {
		case errors.As(err, &missing):
			lacking = append(lacking, missing)
		case errors.As(err, new(senseless)):
		case err != nil:
			return nil, nil, err
		default:
			results = append(results, found...)
		}
	}
	if !c.isAngle() && c.reading.Measure != figure.Teeth {
		found, err := c.exchanged(c.benchUnits())
		if err != nil {
			return nil, nil, err
		}
		results = append(results, found...)
	}
	return results, compact(lacking), nil
}

// senseless is the error of a notation that a figure cannot be written in,
// whatever the dimensions.
type senseless string

func (s senseless) Error() string { return string(s) }

// compact drops what is listed twice.
func compact(all []*Missing) []*Missing {
	var kept []*Missing
	for _, m := range all {
		if !slices.ContainsFunc(kept, func(k *Missing) bool { return k.For == m.For && slices.Equal(k.AnyOf, m.AnyOf) }) {
			kept = append(kept, m)
		}
	}
	return kept
}

// worthwhile lists the notations of a crank figure that say more than the print.
func (c *converter) worthwhile() []Notation {
	if !c.isCrank() {
		return nil
	}
	var list []Notation
	for _, n := range Notations() {
		if c.saysMore(n) {
			list = append(list, n)
		}
	}
	return list
}

func (c *converter) saysMore(n Notation) bool {
	own := c.reading.Measure
	switch n {
	case Degrees:
		return !c.isAngle()
	case Minutes:
		return c.isAngle() && !c.reading.Value.IsInt() && c.reading.Form != figure.Minutes
	case FromBTDC, FromATDC, FromBBDC, FromABDC:
		// Its own datum is Degrees; the one on the other side of the same dead
		// centre is a turn less that.
		datum, err := c.datum()
		return c.isPosition() && err == nil && datum.Top() != datums[n].Top()
	case FromFiring:
		return c.isPosition() && c.dims.given(Event)
	case Piston:
		return c.isPosition() && own != figure.PistonTravel
	case AlongRim:
		return own != figure.Rim || c.reading.Straight
	case StraightRule:
		return own == figure.Rim && !c.reading.Straight
	case Teeth:
		return own != figure.Teeth || c.isWheelStep()
	case WheelSteps:
		return !c.isPosition() && !c.isWheelStep()
	}
	return true
}
