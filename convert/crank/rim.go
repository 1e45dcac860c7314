package crank

import (
	"errors"
	"fmt"
	"math"

	"fourmarks.example/convert/interval"
)

// Rim is the circumference of a flywheel, pulley, damper or timing disc, given
// by its diameter in any unit of length between 1e-9 and 1e9. Distances are in
// the same unit. Angles and distances may be negative: they lie on the other
// side of the mark.
type Rim struct{ Diameter float64 }

func (r Rim) check() error { return number("rim diameter", r.Diameter, minLength, maxLength) }

// Distance returns the distance along the rim, as a tape or a strip of paper
// laid round it measures: π·D·θ/360, published in TM 5-3895-382-24 p. 310 as
// M = C × P / 360. Degrees must lie within one turn.
func (r Rim) Distance(degrees float64) (float64, error) {
	if err := errors.Join(r.check(), number("the angle on the rim", degrees, -turn, turn)); err != nil {
		return 0, err
	}
	return math.Pi * r.Diameter * (degrees / turn), nil
}

// Angle returns the degrees that a distance along the rim spans. It undoes
// Distance; the distance must not exceed the circumference.
func (r Rim) Angle(distance float64) (float64, error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	round := math.Pi * r.Diameter
	if err := number("the distance along the rim", distance, -round, round); err != nil {
		return 0, err
	}
	return turn * (distance / round), nil
}

// Chord returns the straight distance between two points of the rim, as a rule
// or dividers measure: D·sin(θ/2). Degrees must lie within half a turn.
func (r Rim) Chord(degrees float64) (float64, error) {
	if err := errors.Join(r.check(), number("the angle on the rim", degrees, -turn/2, turn/2)); err != nil {
		return 0, err
	}
	return r.Diameter * sinDeg(degrees/2), nil
}

// ChordAngle returns the degrees between two points of the rim a straight
// distance apart, at most half a turn. It undoes Chord; the distance must not
// exceed the diameter. Near the diameter a small error of the distance is a
// large one of the angle: dθ = 2·dc/√(D²−c²).
func (r Rim) ChordAngle(chord float64) (float64, error) {
	if err := errors.Join(r.check(), number("the straight distance", chord, -r.Diameter, r.Diameter)); err != nil {
		return 0, err
	}
	return 2 * asinDeg(chord/r.Diameter), nil
}

// RimInterval is a Rim whose diameter is known within limits.
type RimInterval struct{ Diameter interval.Interval }

func (r RimInterval) check() error {
	return members("rim diameter", r.Diameter, minLength, maxLength)
}

// Distance is Rim.Distance for intervals.
func (r RimInterval) Distance(degrees interval.Interval) (interval.Interval, error) {
	if err := errors.Join(r.check(), members("the angle on the rim", degrees, -turn, turn)); err != nil {
		return interval.Empty(), err
	}
	return interval.Pi().Mul(r.Diameter).Mul(degrees.Div(interval.Point(turn))), nil
}

// Angle is Rim.Angle for intervals. A distance beyond the circumference is left
// out; it is an error when none remains.
func (r RimInterval) Angle(distance interval.Interval) (interval.Interval, error) {
	if err := errors.Join(r.check(), members("the distance along the rim", distance, -4*maxLength, 4*maxLength)); err != nil {
		return interval.Empty(), err
	}
	part := distance.Div(interval.Pi().Mul(r.Diameter)).Intersect(interval.Of(-1, 1))
	if part.IsEmpty() {
		return interval.Empty(), fmt.Errorf("%v along a rim of diameter %v goes more than once round", distance, r.Diameter)
	}
	return interval.Point(turn).Mul(part), nil
}

// Chord is Rim.Chord for intervals.
func (r RimInterval) Chord(degrees interval.Interval) (interval.Interval, error) {
	if err := errors.Join(r.check(), members("the angle on the rim", degrees, -turn/2, turn/2)); err != nil {
		return interval.Empty(), err
	}
	half := interval.Of(degrees.Lo/2, degrees.Hi/2)
	return r.Diameter.Mul(rising(sinDeg, half)), nil
}

// ChordAngle is Rim.ChordAngle for intervals. A distance beyond the diameter is
// left out; it is an error when none remains.
func (r RimInterval) ChordAngle(chord interval.Interval) (interval.Interval, error) {
	if err := errors.Join(r.check(), members("the straight distance", chord, -maxLength, maxLength)); err != nil {
		return interval.Empty(), err
	}
	sine := chord.Div(r.Diameter).Intersect(interval.Of(-1, 1))
	if sine.IsEmpty() {
		return interval.Empty(), fmt.Errorf("a straight distance of %v does not fit a rim of diameter %v", chord, r.Diameter)
	}
	return interval.Point(2).Mul(rising(asinDeg, sine)), nil
}

const maxTeeth = 10000

// Ring is the number of teeth on a flywheel ring or on a wheel that turns with
// the crankshaft.
type Ring int

func (r Ring) check() error {
	if r < 1 || r > maxTeeth {
		return fmt.Errorf("a ring of %d teeth: it must have between 1 and %d", int(r), maxTeeth)
	}
	return nil
}

// Angle returns the degrees that a number of teeth spans. Parts of a tooth may
// be counted and negative teeth lie on the other side of the mark, up to once
// round.
func (r Ring) Angle(teeth float64) (float64, error) {
	if err := errors.Join(r.check(), number("the number of teeth counted", teeth, -float64(r), float64(r))); err != nil {
		return 0, err
	}
	return turn * teeth / float64(r), nil
}

// Teeth returns the number of teeth that an angle within one turn spans. It
// undoes Angle.
func (r Ring) Teeth(degrees float64) (float64, error) {
	if err := errors.Join(r.check(), number("the angle on the ring", degrees, -turn, turn)); err != nil {
		return 0, err
	}
	return degrees * float64(r) / turn, nil
}

// AngleInterval is Angle for an interval of teeth.
func (r Ring) AngleInterval(teeth interval.Interval) (interval.Interval, error) {
	if err := errors.Join(r.check(), members("the number of teeth counted", teeth, -float64(r), float64(r))); err != nil {
		return interval.Empty(), err
	}
	return interval.Point(turn).Mul(teeth).Div(interval.Point(float64(r))), nil
}

// TeethInterval is Teeth for an interval of degrees.
func (r Ring) TeethInterval(degrees interval.Interval) (interval.Interval, error) {
	if err := errors.Join(r.check(), members("the angle on the ring", degrees, -turn, turn)); err != nil {
		return interval.Empty(), err
	}
	return degrees.Mul(interval.Point(float64(r))).Div(interval.Point(turn)), nil
}
