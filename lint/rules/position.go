package rules

import (
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// recounted is an angle counted from one datum as an expression counted from
// another: 48 ABDC is 180 + 48 ATDC, 3 BTDC is −3 ATDC.
func recounted(angle relation.Expression, from, to figure.Datum) relation.Expression {
	sameWay := isBefore(from) == isBefore(to)
	switch sameEnd := isTop(from) == isTop(to); {
	case sameEnd && sameWay:
		return angle
	case sameEnd:
		return relation.Difference(relation.Number(0), angle)
	case sameWay:
		return relation.Sum(degrees180, angle)
	}
	return relation.Difference(degrees180, angle)
}

// halfTurn is how far a position lies from its dead centre at most, either way.
var halfTurn = interval.Of(-180, 180)

func isTop(d figure.Datum) bool    { return d == figure.BTDC || d == figure.ATDC || d == figure.TDC }
func isBefore(d figure.Datum) bool { return d == figure.BTDC || d == figure.BBDC }

// crankDatum is a datum of a print for package crank; a bare dead centre counts
// after it.
func crankDatum(d figure.Datum) crank.Datum {
	switch d {
	case figure.BTDC:
		return crank.BTDC
	case figure.BBDC:
		return crank.BBDC
	case figure.ABDC, figure.BDC:
		return crank.ABDC
	}
	return crank.ATDC
}

// relateNotations ties what one print says in degrees, piston travel, rim
// distance and teeth to one another and to the angle of the position.
func relateNotations(n *relation.Network, where, path, title string, datum figure.Datum) {
	angle := n.Angle(path, title, datum)
	f := n.Engine.Figure(path)
	for _, measure := range []figure.Measure{figure.PistonTravel, figure.Rim, figure.Teeth} {
		r, ok := oneWay(f, measure)
		if !ok {
			continue
		}
		distance := n.Distance(path, title+", "+measure.String(), measure, r.Datum)
		from := recounted(angle, datum, r.Datum)
		switch measure {
		case figure.PistonTravel:
			n.Equal(where, distance, pistonTravel(n, from, crankDatum(r.Datum)))
		case figure.Rim:
			if part, ok := markedRim(n.Engine); ok {
				printed, _ := crankAngle(f, r.Datum)
				n.Equal(where, distance, rimDistance(n, part, from, measuredBy(n.Engine, part, r, printed)))
			}
		case figure.Teeth:
			if part, ok := markedRing(n.Engine); ok {
				n.Equal(where, distance, ringTeeth(n, part, from))
			}
		}
	}
}

// oneWay returns the first standing reading of a measure. It is false when
// there is none, and when claims count from different dead centres or measure in
// different ways, for then they are not one distance.
func oneWay(f *schema.Figure, measure figure.Measure) (first figure.Reading, ok bool) {
	for c := range f.Standing() {
		for _, r := range c.Printed.Readings {
			switch {
			case r.Measure != measure:
			case !ok:
				first, ok = r, true
			case r.Datum != first.Datum || r.Straight != first.Straight:
				return first, false
			}
		}
	}
	return first, ok
}

// pistonTravel is the travel of the piston from the dead centre that an angle
// is counted from, negative on the other side of it. Where the rod is not given, any rod that an engine of the
// stroke may have is allowed.
func pistonTravel(n *relation.Network, angle relation.Expression, datum crank.Datum) relation.Expression {
	stroke := n.Quantity("size.stroke", "stroke", figure.NominalLength)
	rod := n.Quantity("size.rod_centres", "rod centres", figure.NominalLength)
	linkage := func(args []interval.Interval) linkage {
		stroke, rod := args[1], args[2]
		if !rod.IsFinite() {
			rod = crank.UnknownRod(stroke)
		}
		return linkageWith(n.Engine, stroke, rod)
	}
	orAnything := func(is interval.Interval, err error) interval.Interval {
		if err != nil {
			return interval.Whole()
		}
		return is
	}
	anyRod := func(want interval.Interval, args []interval.Interval) interval.Interval {
		if !rod.IsPrinted() || args[2].IsFinite() {
			return interval.Whole() // a rod that is not given is no figure to be wrong
		}
		return shave(crank.UnknownRod(args[1]), func(rod interval.Interval) bool {
			travel, err := linkageWith(n.Engine, args[1], rod).position(args[0], datum)
			return err != nil || travel.Meets(want)
		})
	}
	return relation.Function("piston travel",
		func(args []interval.Interval) interval.Interval {
			return orAnything(linkage(args).position(args[0], datum))
		},
		func(i int, want interval.Interval, args []interval.Interval) interval.Interval {
			switch {
			case i == 2:
				return anyRod(want, args)
			case i != 0 || !want.IsFinite():
				return interval.Whole()
			}
			return orAnything(linkage(args).angleAt(want, datum))
		}, relation.Within(halfTurn, angle), stroke, rod)
}

// shave cuts off the ends of a range as far as they do not fit, in steps of a
// hundredth of it.
func shave(all interval.Interval, fits func(interval.Interval) bool) interval.Interval {
	if !all.IsFinite() {
		return interval.Whole()
	}
	const steps = 100
	end := func(i int) float64 { return all.Lo + float64(all.Width()*(float64(i)/steps)) }
	left := interval.Empty()
	for i := range steps {
		if part := interval.Of(end(i), end(i+1)); fits(part) {
			left = left.Hull(part)
		}
	}
	return left
}

// way is how a rim distance was measured.
type way int

const (
	eitherWay way = iota // the print does not say, and may be of either
	alongRim
	straightAcross // with a straight rule from mark to mark
)

// The rims and ring gears that engines have, in millimetres and in teeth, with
// room on both sides (common practice, no source).
var rims, rings = interval.Of(10, 5000), interval.Of(10, 500)

// rimDistance is the distance on a marked part's rim that an angle spans.
func rimDistance(n *relation.Network, part string, angle relation.Expression, measured way) relation.Expression {
	diameter := n.Quantity("marks."+part+".rim_diameter", "rim diameter", figure.NominalLength)
	diameter.Limits = rims
	angle = turnedWith(n.Engine, part, relation.Within(halfTurn, angle))
	switch measured {
	case straightAcross:
		return relation.Product(diameter, relation.Sin(relation.Quotient(angle, relation.Number(2))))
	case alongRim:
		return relation.Quotient(relation.Product(relation.Pi(), diameter, angle), relation.Number(360))
	}
	return relation.Function("along the rim or straight across", distanceEitherWay, spannedEitherWay, angle, diameter)
}

// distanceEitherWay is the distance that an angle spans on a rim of a diameter.
func distanceEitherWay(args []interval.Interval) interval.Interval {
	rim := crank.RimInterval{Diameter: args[1]}
	along, err := rim.Distance(args[0])
	across, err2 := rim.Chord(args[0])
	if err != nil || err2 != nil {
		return interval.Whole()
	}
	return along.Hull(across)
}

// spannedEitherWay undoes distanceEitherWay for the angle.
func spannedEitherWay(i int, want interval.Interval, args []interval.Interval) interval.Interval {
	if i != 0 || !want.IsFinite() {
		return interval.Whole()
	}
	rim := crank.RimInterval{Diameter: args[1]}
	along, err := rim.Angle(want)
	across, err2 := rim.ChordAngle(want)
	switch {
	case err != nil:
		return interval.Whole()
	case err2 != nil: // longer than any straight distance
		return along
	}
	return along.Hull(across)
}

// ringTeeth is the number of ring-gear teeth that an angle spans.
func ringTeeth(n *relation.Network, part string, angle relation.Expression) relation.Expression {
	ring := n.Quantity("marks."+part+".ring_teeth", "ring teeth", figure.Count)
	ring.Limits = rings
	return relation.Quotient(relation.Product(ring, turnedWith(n.Engine, part, relation.Within(halfTurn, angle))), relation.Number(360))
}

// turnedWith is by how much a marked part turns for crank degrees: a part on the
// camshaft turns by half of them.
func turnedWith(e *schema.Engine, part string, angle relation.Expression) relation.Expression {
	if onCamshaft(e, part) {
		return relation.Quotient(angle, relation.Number(2))
	}
	return angle
}

func onCamshaft(e *schema.Engine, part string) bool {
	m, ok := e.Marks.Get(part)
	return ok && m.Shaft.Text == "camshaft"
}

// measuredBy tells how a distance on a part's rim, which spans an angle where that
// is known, was measured: as the print says, or else either way where a straight
// rule fits. Any other is taken for one along the rim.
func measuredBy(e *schema.Engine, part string, r figure.Reading, angle interval.Interval) way {
	_, straight, ok := bothWays(e, part, angle)
	switch {
	case r.Straight:
		return straightAcross
	case !ok, r.Interval().Meets(straight):
		return eitherWay
	}
	return alongRim
}

// bothWays computes the distance on a part's rim that crank degrees span, along
// the rim and straight across; false where diameter or angle is not known.
func bothWays(e *schema.Engine, part string, angle interval.Interval) (along, straight interval.Interval, ok bool) {
	diameter, given := intervalOf(e.Figure("marks." + part + ".rim_diameter"))
	if !given || angle.IsEmpty() {
		return along, straight, false
	}
	if onCamshaft(e, part) {
		angle = angle.Div(interval.Point(2))
	}
	angle = angle.Abs() // on whichever side of the dead centre
	rim := crank.RimInterval{Diameter: diameter}
	along, err := rim.Distance(angle)
	straight, err2 := rim.Chord(angle)
	return along, straight, err == nil && err2 == nil
}

// markedRim is the part whose rim a distance is measured along when the print
// does not say: the only one with a diameter, or the flywheel.
func markedRim(e *schema.Engine) (string, bool) {
	return onlyPart(e, func(m *schema.Marked) bool { return m.RimDiameter.First() != nil && m.Shaft.Text != "camshaft" })
}

// markedRing is the part whose ring gear is counted.
func markedRing(e *schema.Engine) (string, bool) {
	return onlyPart(e, func(m *schema.Marked) bool { return m.RingTeeth.First() != nil && m.Shaft.Text != "camshaft" })
}

func onlyPart(e *schema.Engine, has func(*schema.Marked) bool) (string, bool) {
	var names []string
	for _, m := range e.Marks {
		if has(m.Value) {
			names = append(names, m.Name)
		}
	}
	if len(names) == 1 {
		return names[0], true
	}
	for _, name := range names {
		if name == "flywheel" {
			return name, true
		}
	}
	return "", false
}
