package rules

import (
	"errors"
	"math"
	"math/big"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// What the prints of a figure allow. A figure in dispute may be what any of its
// standing claims says: the dispute has a finding of its own, and is not to
// raise others.

// intervalOf returns what the standing prints of a figure allow, in working
// units; false when there is none.
func intervalOf(f *schema.Figure) (interval.Interval, bool) {
	is, ok := relation.Allowed(f, figure.NoMeasure, figure.NoDatum)
	return is, ok && !is.IsEmpty()
}

// workedOut returns what a dimension allows that a source works out from others
// and rounds to the places it prints, as a pitch diameter: half its last place,
// where that is more than dimensions stand for.
func workedOut(f *schema.Figure) (interval.Interval, bool) {
	is, ok := intervalOf(f)
	if r, given := f.Reading(); given && !r.Stated && r.Denominator > 0 {
		half := big.NewRat(1, 2*r.Denominator)
		is = is.Hull(r.Unit.Interval(new(big.Rat).Sub(r.Value, half), new(big.Rat).Add(r.Value, half)))
	}
	return is, ok
}

// mostCount bounds the counts of things that anything is computed from.
const mostCount = 1 << 20

// countOf returns a counted figure on which all standing prints agree.
func countOf(f *schema.Figure) (int, bool) {
	is, ok := intervalOf(f)
	if !ok || is.Lo != is.Hi || is.Lo != math.Trunc(is.Lo) || math.Abs(is.Lo) > mostCount {
		return 0, false
	}
	return int(is.Lo), true
}

// crankAngle returns the angle of a position from a dead centre as printed in
// degrees, negative on the other side; false when no print gives degrees.
func crankAngle(f *schema.Figure, datum figure.Datum) (interval.Interval, bool) {
	return relation.Allowed(f, figure.CrankAngle, datum)
}

// angleOf returns the angle of a position from a dead centre: as printed in
// degrees, or else worked out from its piston travel, rim distance or teeth.
func angleOf(e *schema.Engine, f *schema.Figure, datum figure.Datum) (interval.Interval, bool) {
	if is, ok := crankAngle(f, datum); ok {
		return is, true
	}
	all := interval.Empty()
	for c := range f.Standing() {
		all = all.Hull(spannedBy(e, c.Printed, datum))
	}
	return all, !all.IsEmpty()
}

// spannedBy works out the angle of a position from a dead centre from the
// distances of a print; empty where there are none, or dimensions are not known.
func spannedBy(e *schema.Engine, p figure.Printed, datum figure.Datum) interval.Interval {
	all := interval.Empty()
	for _, r := range p.Readings {
		if is, ok := spanned(e, r); ok {
			all = all.Hull(datum.Recount(is, r.Datum))
		}
	}
	return all
}

// outside suspects a position of lying where none of its kind does: it must lie
// in an interval from a dead centre.
func outside(e *schema.Engine, f *schema.Figure, datum figure.Datum, must interval.Interval) relation.Suspect {
	if _, ok := crankAngle(f, datum); ok {
		return relation.Outside(f, datum, must)
	}
	return relation.Unfit(f, f.First(), func(p figure.Printed) bool { return spannedBy(e, p, datum).Meets(must) })
}

// spanned is the angle that a distance spans from the dead centre it is counted
// from; false for readings of angles and where the engine's dimensions are not
// known.
func spanned(e *schema.Engine, r figure.Reading) (interval.Interval, bool) {
	is, err := interval.Empty(), errors.ErrUnsupported
	switch r.Measure {
	case figure.PistonTravel:
		if l, ok := linkageOf(e); ok {
			is, err = l.angle(r.Interval(), crankDatum(r.Datum))
		}
	case figure.Rim:
		part, _ := markedRim(e)
		diameter, ok := intervalOf(e.Figure("marks." + part + ".rim_diameter"))
		switch rim := (crank.RimInterval{Diameter: diameter}); {
		case ok && r.Straight:
			is, err = rim.ChordAngle(r.Interval())
		case ok: // the print does not say how it was measured
			is, err = rim.Angle(r.Interval())
			if across, no := rim.ChordAngle(r.Interval()); no == nil {
				is = is.Hull(across)
			}
		}
	case figure.Teeth:
		part, _ := markedRing(e)
		if teeth, ok := countOf(e.Figure("marks." + part + ".ring_teeth")); ok {
			is, err = crank.Ring(teeth).AngleInterval(r.Interval())
		}
	}
	return is, err == nil && !is.IsEmpty()
}

// linkage is an engine's crank, rod and cylinder offset, and the dead centres
// that its file counts angles from: those of the crank, those of the piston, or
// "" where either may be meant. Without an offset they are the same.
type linkage struct {
	crank.LinkageInterval
	deadCentre string
}

// linkageOf describes the linkage of an engine; where the rod is not given, any
// that an engine of its stroke may have. It is false without a stroke.
func linkageOf(e *schema.Engine) (linkage, bool) {
	stroke, ok := intervalOf(e.Figure("size.stroke"))
	rod, given := intervalOf(e.Figure("size.rod_centres"))
	if !given {
		rod = crank.UnknownRod(stroke)
	}
	return linkageWith(e, stroke, rod), ok
}

func linkageWith(e *schema.Engine, stroke, rod interval.Interval) linkage {
	l := linkage{LinkageInterval: crank.LinkageInterval{Stroke: stroke, Rod: rod, Offset: interval.Point(0)}}
	if e.Size != nil {
		l.deadCentre = e.Size.DeadCentre.Text
	}
	if offset, ok := intervalOf(e.Figure("size.cylinder_offset")); ok {
		l.Offset = offset
	}
	return l
}

// travel is how far the piston is from its dead centre at an angle counted as
// the file counts.
func (l linkage) travel(degrees interval.Interval, d crank.Datum) (interval.Interval, error) {
	fromPiston, err := l.counted(degrees, d, l.FromCrank)
	if err != nil {
		return interval.Empty(), err
	}
	return l.Travel(fromPiston, d)
}

// position is the travel of the piston at an angle counted as the file counts,
// negative on the other side of the dead centre.
func (l linkage) position(degrees interval.Interval, d crank.Datum) (interval.Interval, error) {
	return eachSide(degrees.Intersect(halfTurn), d, l.travel)
}

// angleAt undoes position.
func (l linkage) angleAt(travel interval.Interval, d crank.Datum) (interval.Interval, error) {
	return eachSide(travel, d, l.angle)
}

// eachSide takes a function that counts one way from a dead centre on either side
// of it.
func eachSide(is interval.Interval, d crank.Datum, of func(interval.Interval, crank.Datum) (interval.Interval, error)) (interval.Interval, error) {
	all := interval.Empty()
	if ahead := is.Intersect(interval.Of(0, math.Inf(1))); !ahead.IsEmpty() {
		there, err := of(ahead, d)
		if err != nil {
			return all, err
		}
		all = there
	}
	if behind := is.Intersect(interval.Of(math.Inf(-1), 0)); !behind.IsEmpty() {
		there, err := of(behind.Neg(), opposite[d])
		if err != nil {
			return all, err
		}
		all = all.Hull(there.Neg())
	}
	return all, nil
}

// hair is by how many degrees a position printed on one side of a dead centre
// may lie on the other for its rounding.
const hair = 1.0

// angle undoes travel. Close to a dead centre the piston may be on either side:
// its dead centre is not the crank's, and next to none is printed as none.
func (l linkage) angle(travel interval.Interval, d crank.Datum) (interval.Interval, error) {
	near, err := l.Angle(travel, d)
	far, err2 := l.Angle(travel, opposite[d])
	if err = errors.Join(err, err2); err != nil {
		return interval.Empty(), err
	}
	near, err = l.counted(near, d, l.ToCrank)
	far, err2 = l.counted(far.Neg(), d, l.ToCrank)
	return near.Hull(far.Intersect(interval.Of(-hair, math.Inf(1)))), errors.Join(err, err2)
}

// opposite is the datum on the other side of the dead centre.
var opposite = map[crank.Datum]crank.Datum{crank.BTDC: crank.ATDC, crank.ATDC: crank.BTDC, crank.BBDC: crank.ABDC, crank.ABDC: crank.BBDC}

// counted turns angles counted from the piston's dead centres into angles as
// the file counts them, or back.
func (l linkage) counted(is interval.Interval, d crank.Datum, turn func(interval.Interval, crank.Datum) (interval.Interval, error)) (interval.Interval, error) {
	if l.deadCentre == "piston" || l.Offset == interval.Point(0) {
		return is, nil
	}
	turned, err := turn(is, d)
	if l.deadCentre == "" {
		turned = turned.Hull(is)
	}
	return turned, err
}

// isAbsence reports whether a word says that there is nothing to say.
func isAbsence(word string) bool {
	switch figure.Absence(word) {
	case figure.Unknown, figure.NotGiven, figure.None, figure.Illegible:
		return true
	}
	return false
}
