package crank

import (
	"errors"
	"fmt"
	"math"
)

const (
	minLength, maxLength = 1e-9, 1e9

	// minClearance is how far, as a part of the rod, the crank must clear the
	// position in which it would jam.
	minClearance = 1e-6
)

// Linkage is a crank, its connecting rod and the line its piston moves on, in
// any one unit of length between 1e-9 and 1e9.
//
// Stroke is the stroke of the piston, dead centre to dead centre, as swept
// volume counts it. Rod is the length between centres. Offset (desaxe) is the
// distance of the cylinder axis from the crankshaft axis, positive to the side
// on which the crank pin descends, as a desaxe engine has it; negative to the
// other. Rod must exceed half the stroke by more than the offset, or the crank
// could not turn.
//
// With an offset the piston's dead centres are not the crank's, the piston's
// stroke is longer than twice the crank throw, and the downward stroke takes
// more than half a turn. Travel and Angle count from the piston's dead centres;
// FromCrank and ToCrank change over.
type Linkage struct{ Stroke, Rod, Offset float64 }

func (l Linkage) check() error {
	if err := errors.Join(
		number("stroke", l.Stroke, minLength, maxLength),
		number("rod length", l.Rod, minLength, maxLength),
		number("cylinder offset", l.Offset, -maxLength, maxLength),
	); err != nil {
		return err
	}
	return turns(l.Stroke/2, l.Rod, math.Abs(l.Offset))
}

// turns refuses a rod with which the crank could not make a full turn.
func turns(throw, rod, offset float64) error {
	if rod-throw-offset < minClearance*rod {
		return fmt.Errorf("rod length %g is too short for a throw of %g with cylinder offset %g: the crank could not turn", rod, throw, offset)
	}
	return nil
}

// Travel returns how far the piston is from the dead centre the datum names, at
// the given crank degrees from that dead centre. Negative degrees lie on the
// other side of it, and degrees may go on past the other dead centre.
//
// With r the throw, L the rod and h = 2r·sin²(θ/2), travel from TDC is
// 2h(L+r) / (L + h + √(L² − r²sin²θ)) without an offset: the textbook form
// r(1−cos θ) + L − √(L² − r²sin²θ) rid of its cancellation. The result is
// accurate to a few units in the last place right down to the dead centre named;
// near the other one its distance from the end of the stroke is not, so count
// from the nearer dead centre.
func (l Linkage) Travel(degrees float64, d Datum) (float64, error) {
	part, err := l.Part(degrees, d)
	if err != nil {
		return 0, err
	}
	return l.Stroke * part, nil
}

// Part returns Travel as a part of the stroke, from 0 to 1.
func (l Linkage) Part(degrees float64, d Datum) (float64, error) {
	if err := errors.Join(l.check(), d.check(), angle("the crank angle", degrees)); err != nil {
		return 0, err
	}
	return scale(l).from(d).travel(d.sign() * degrees), nil
}

// Angle returns the crank degrees from the dead centre and to the side the datum
// names at which the piston is the given travel away from that dead centre:
// 7/16 in of travel with BTDC gives degrees BTDC. It undoes Travel within one
// stroke.
//
// The angle A of the crank against the line from its centre to the gudgeon pin
// follows from the half-angle theorem for the triangle of throw, rod and that
// line, in the form tan(A/2) = k·√(travel/(stroke − travel)) with k smooth and
// of the order of one.
//
// Condition: a relative error ε of the travel or the stroke moves the angle by
// no more than the relative amount ε near the dead centre named, and by about
// 2ε/(π(1−r/L)η) at η radians from the other one. Rounding alone (ε of a few
// 1e-16) therefore costs 1e-9 of the angle only within a millionth of a radian
// of the other dead centre.
func (l Linkage) Angle(travel float64, d Datum) (float64, error) {
	if err := errors.Join(l.check(), d.check(), number("piston travel", travel, 0, l.Stroke)); err != nil {
		return 0, err
	}
	return scale(l).from(d).angle(travel/l.Stroke, d.sign()), nil
}

// DeadCentres returns by how many crank degrees the piston's top and bottom dead
// centre come after the crank's: asin(e/(L+r)) and asin(e/(L−r)). Both are 0
// without an offset.
func (l Linkage) DeadCentres() (top, bottom float64, err error) {
	if err := l.check(); err != nil {
		return 0, 0, err
	}
	s := scale(l)
	return asinDeg(s.top.sin), asinDeg(s.bottom.sin), nil
}

// FromCrank turns degrees counted from a crank dead centre into degrees counted
// from the piston's.
func (l Linkage) FromCrank(degrees float64, d Datum) (float64, error) {
	return l.shift(degrees, d, -1)
}

// ToCrank turns degrees counted from a piston dead centre into degrees counted
// from the crank's.
func (l Linkage) ToCrank(degrees float64, d Datum) (float64, error) {
	return l.shift(degrees, d, 1)
}

func (l Linkage) shift(degrees float64, d Datum, by float64) (float64, error) {
	if err := errors.Join(d.check(), angle("the crank angle", degrees)); err != nil {
		return 0, err
	}
	late, bottom, err := l.DeadCentres()
	if !d.Top() {
		late = bottom
	}
	return degrees + by*d.sign()*late, err
}

// Throw returns the crank throw, the distance of the crank pin from the
// crankshaft axis. It is half the stroke without an offset e and otherwise less:
// (S/2)·√(1 − 4e²/(4L²−S²)), the stroke S of PistonStroke solved for the throw.
func (l Linkage) Throw() (float64, error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	return l.Stroke * scale(l).throw, nil
}

// PistonStroke returns the stroke of the piston for a crank throw, rod length
// and cylinder offset: √((L+r)²−e²) − √((L−r)²−e²). The formula is from memory
// of the standard texts.
func PistonStroke(throw, rod, offset float64) (float64, error) {
	if err := errors.Join(
		number("crank throw", throw, minLength, maxLength),
		number("rod length", rod, minLength, maxLength),
		number("cylinder offset", offset, -maxLength, maxLength),
	); err != nil {
		return 0, err
	}
	if err := turns(throw, rod, math.Abs(offset)); err != nil {
		return 0, err
	}
	// The difference of the roots, as the difference of squares over their sum.
	top := math.Sqrt((rod + throw - offset) * (rod + throw + offset))
	bottom := math.Sqrt((rod - throw - offset) * (rod - throw + offset))
	return 4 * rod * throw / (top + bottom), nil
}

// scaled is a linkage with its stroke as the unit of length.
type scaled struct {
	throw       float64
	top, bottom deadCentre
}

// deadCentre describes the crank and rod in line at one end of the stroke.
type deadCentre struct {
	reach    float64 // crank centre to gudgeon pin: rod ± throw
	sin, cos float64 // inclination of that line to the cylinder axis
	height   float64 // reach along the cylinder axis
}

func scale(l Linkage) scaled {
	rod, offset := l.Rod/l.Stroke, l.Offset/l.Stroke
	throw := math.Sqrt(1-4*offset*offset/((2*rod-1)*(2*rod+1))) / 2
	at := func(reach float64) deadCentre {
		sin := offset / reach
		cos := math.Sqrt((1 - sin) * (1 + sin))
		return deadCentre{reach, sin, cos, reach * cos}
	}
	return scaled{throw, at(rod + throw), at(rod - throw)}
}

// stroke is a linkage seen from the dead centre that travel is counted from.
type stroke struct {
	throw      float64
	own, other deadCentre
	sign       float64 // +1 from TDC, −1 from BDC
}

func (s scaled) from(d Datum) stroke {
	if d.Top() {
		return stroke{s.throw, s.top, s.bottom, 1}
	}
	return stroke{s.throw, s.bottom, s.top, -1}
}

// travel works in axes along and across the line of the dead centre, with the
// reach as the unit. There the way from the crank pin to where the gudgeon pin
// stands at the dead centre has the parts along and across; turned by the
// inclination of that line they give its height and its sideways part. The travel
// x, in reaches, then solves x² − 2·height·x + 2h/reach = 0 (signs as from TDC).
func (s stroke) travel(after float64) float64 {
	half := sinDeg(after / 2)
	h := float64(2 * s.throw * half * half)
	along, across := 1-s.sign*(s.throw-h)/s.own.reach, s.sign*s.throw*sinDeg(after)/s.own.reach
	height := float64(s.own.cos*along) + float64(s.own.sin*across)
	sideways := float64(s.own.cos*across) - float64(s.own.sin*along)
	rod := 1 - s.sign*s.throw/s.own.reach
	rodHeight := math.Sqrt((rod - sideways) * (rod + sideways))
	if s.sign < 0 && height < 0 { // a rod shorter than the stroke, far from BDC
		return math.Min((rodHeight-height)*s.own.reach, 1)
	}
	return math.Min(2*h/(height+rodHeight), 1)
}

// angle undoes travel on the side of the dead centre that side names.
func (s stroke) angle(travel, side float64) float64 {
	pin := s.own.height - s.sign*travel // height of the gudgeon pin above the crank centre
	offset := s.own.reach * s.own.sin
	line := math.Sqrt(float64(pin*pin) + float64(offset*offset))
	k := 1 - s.sign*2*s.throw/(line+s.own.reach)
	tan := k * math.Sqrt(travel/(1-travel)*(1+s.sign/(pin+s.other.height)))
	tilt := s.sign * math.Atan2(travel*s.own.sin, s.own.reach-float64(s.sign*travel*s.own.cos))
	return (2*math.Atan(tan) + side*tilt) * perRadian
}
