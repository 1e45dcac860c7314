package relation

import (
	"math"
	"math/big"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// Scale is how a quantity's values are shown.
type Scale struct {
	// Unit is the unit they are shown in.
	Unit convert.Unit
	// Datum is the datum that positions are shown from, counted the way the print
	// counts them; NoDatum for quantities that have none.
	Datum figure.Datum

	working binding // what the network counts
}

// Shown returns an interval of working values in the unit of the scale.
func (s Scale) Shown(a interval.Interval) interval.Interval {
	return s.inUnit(binding{s.working.measure, s.Datum}.count(a, s.working.datum))
}

// inUnit returns an interval in the unit of the scale, counted as the network counts.
func (s Scale) inUnit(a interval.Interval) interval.Interval {
	if dimension := s.Unit.Dimension(); dimension == convert.Pitch || dimension == convert.Temperature {
		return a // shown in the working unit: see Symbol
	}
	if s.Unit == s.Unit.Dimension().Base() {
		return a
	}
	return a.Div(s.Unit.Interval(one, one))
}

var one = big.NewRat(1, 1)

// Symbol follows a shown number: "mm", "° ABDC".
func (s Scale) Symbol() string {
	return strings.TrimSpace(s.symbol() + " " + s.Datum.String())
}

// symbol is that of the unit alone.
func (s Scale) symbol() string {
	if dimension := s.Unit.Dimension(); dimension == convert.Pitch || dimension == convert.Temperature {
		return dimension.Base().Symbol()
	}
	return s.Unit.Symbol()
}

// binding says which readings of a print speak of a variable: those with the
// measure, counted from the datum. Angles are counted over from any dead centre,
// distances from the other side of their own.
type binding struct {
	measure figure.Measure
	datum   figure.Datum
}

func (b binding) speaks(r figure.Reading) bool {
	return r.Measure == b.measure && (b.datum == figure.NoDatum || r.Datum == figure.NoDatum || b.measure == figure.CrankAngle || isTop(b.datum) == isTop(r.Datum))
}

func isTop(d figure.Datum) bool    { return d == figure.BTDC || d == figure.ATDC || d == figure.TDC }
func isBefore(d figure.Datum) bool { return d == figure.BTDC || d == figure.BBDC }

// printed returns the interval that a print allows for the variable, and
// whether it speaks of it at all. Two readings of one print (inches and
// millimetres) must both hold; where they cannot, either may.
func (b binding) printed(p figure.Printed) (interval.Interval, bool) {
	all, spoke := interval.Empty(), false
	for i := range p.Readings {
		r := &p.Readings[i]
		if !b.speaks(*r) {
			continue
		}
		is := b.count(r.Interval(), r.Datum)
		switch {
		case !spoke:
			all = is
		case all.Meets(is):
			all = all.Intersect(is)
		default:
			all = all.Hull(is)
		}
		spoke = true
	}
	return all, spoke
}

// count turns a position counted from another datum into one counted from that
// of the binding: a distance on the other side of its dead centre is negative.
func (b binding) count(is interval.Interval, from figure.Datum) interval.Interval {
	switch {
	case b.datum == figure.NoDatum || from == figure.NoDatum:
		return is
	case b.measure == figure.CrankAngle:
		return b.datum.Recount(is, from)
	case isBefore(b.datum) != isBefore(from):
		return is.Neg()
	}
	return is
}

// limits are what a quantity of a kind can be at all.
func limits(kind figure.Kind) interval.Interval {
	switch kind {
	case figure.Angle, figure.Position, figure.RimPosition, figure.Temperature, figure.TemperatureRise, figure.Altitude, figure.Vacuum:
		return interval.Whole()
	}
	return interval.Of(0, math.Inf(1))
}

// Measure is what a position or movement is counted by in the network.
func (v *Variable) Measure() figure.Measure { return v.bind.measure }

// Quantity returns the variable for the figure at a path, printed or not. The
// title is its name in workings; the kind fixes unit and limits.
func (n *Network) Quantity(path, title string, kind figure.Kind) *Variable {
	return n.variable(path, path, title, kind, binding{})
}

// Angle returns the variable for a position as an angle from a datum: the angle
// before it for BTDC and BBDC, after it for ATDC and ABDC; negative on the other
// side of the dead centre. Readings in piston travel, rim or teeth do not speak
// of it.
func (n *Network) Angle(path, title string, datum figure.Datum) *Variable {
	return n.variable(path, path, title, figure.Position, binding{measure: figure.CrankAngle, datum: datum})
}

// Distance returns the variable for a position as a distance from a dead centre
// in the given measure: piston travel, rim or teeth; negative on the other side
// of the dead centre. A movement is from no datum, and never negative.
func (n *Network) Distance(path, title string, measure figure.Measure, datum figure.Datum) *Variable {
	v := n.variable(path+" "+measure.String(), path, title, figure.Position, binding{measure: measure, datum: datum})
	if datum == figure.NoDatum {
		v.Limits = interval.Of(0, math.Inf(1))
	}
	return v
}

// Hidden returns the variable for a quantity that no file prints.
func (n *Network) Hidden(path, title string, unit convert.Unit, limits interval.Interval) *Variable {
	if v, ok := n.byPath[path]; ok {
		return v
	}
	return n.keep(path, &Variable{Path: path, Title: title, Printed: interval.Whole(), Limits: limits, Scale: Scale{Unit: unit}})
}

func (n *Network) keep(key string, v *Variable) *Variable {
	v.index = len(n.variables)
	n.variables = append(n.variables, v)
	n.byPath[key] = v
	return v
}

func (n *Network) variable(key, path, title string, kind figure.Kind, b binding) *Variable {
	if v, ok := n.byPath[key]; ok {
		return v
	}
	v := &Variable{Path: path, Title: title, bind: b, whole: kind == figure.Count, Printed: interval.Whole(), Limits: limits(kind)}
	v.Scale = Scale{Unit: unitOf(kind, b), Datum: b.datum, working: b}
	f := n.Engine.Figure(path)
	if is, ok := b.standing(f); ok {
		v.Figure, v.Printed, v.claim = f, is, b.first(f)
		v.scaleLike(v.claim)
	}
	return n.keep(key, v)
}

// scaleLike shows the variable as a claim prints it.
func (v *Variable) scaleLike(c *schema.Claim) {
	r, ok := v.bind.reading(c.Printed)
	if !ok {
		return
	}
	v.Scale.Unit = r.Unit
	if r.Datum != figure.NoDatum && v.bind.datum != figure.NoDatum {
		v.Scale.Datum = r.Datum
	}
}

// unitOf is the unit of a quantity that is not printed.
func unitOf(kind figure.Kind, b binding) convert.Unit {
	switch b.measure {
	case figure.PistonTravel, figure.Rim:
		return convert.Millimetre
	case figure.Teeth:
		return convert.One
	}
	return kind.Unit()
}

// standing returns the hull of what the standing claims of a figure allow: a
// disputed figure may be any of them.
func (b binding) standing(f *schema.Figure) (interval.Interval, bool) {
	all, spoke := interval.Empty(), false
	for c := range f.Standing() {
		if is, ok := b.printed(c.Printed); ok {
			all, spoke = all.Hull(is), true
		}
	}
	return all, spoke
}

// Allowed returns what the standing claims of a figure allow in the readings of
// a measure, angles counted from the datum: a disputed figure may be any of
// them. It is false when no reading speaks.
func Allowed(f *schema.Figure, measure figure.Measure, datum figure.Datum) (interval.Interval, bool) {
	return binding{measure: measure, datum: datum}.standing(f)
}

// Follow lets one claim speak for its figure alone, whatever the others say.
func (n *Network) Follow(f *schema.Figure, c schema.Claim) {
	n.checked = false
	for _, v := range n.variables {
		if v.Path != f.Path {
			continue
		}
		v.Figure, v.Printed = nil, interval.Whole()
		if is, ok := v.bind.printed(c.Printed); ok {
			v.Figure, v.Printed, v.claim = f, is, &c
		}
	}
}

// first returns the first standing claim that speaks of the variable.
func (b binding) first(f *schema.Figure) *schema.Claim {
	for c := range f.Standing() {
		if _, ok := b.reading(c.Printed); ok {
			return c
		}
	}
	return &schema.Claim{}
}

// reading returns the first reading of a print that speaks of the variable.
func (b binding) reading(p figure.Printed) (figure.Reading, bool) {
	for _, r := range p.Readings {
		if b.speaks(r) {
			return r, true
		}
	}
	return figure.Reading{}, false
}
