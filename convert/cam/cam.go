// Package cam computes what a cam does to its valve: lift, velocity and
// acceleration, the angles at which the valve opens and closes at a clearance,
// the clearance that explains a measured duration, and the gap between valve
// and piston.
//
// A cam is described by its shape ([ThreeArc], [Tangent], [Rise], [Table], a
// quieting [Ramp] under any of them) and turned into a [Profile], which is all
// the rest works on. Followers move in a straight line through the camshaft
// axis; a follower that swings on an arm has to be entered as a Table.
//
// Angles of a profile are camshaft degrees from full lift, negative before it.
// Where a function gives crank degrees its documentation says so: a camshaft
// turns at half the speed of the crankshaft. Lengths are in whatever unit the
// caller's dimensions are in; velocity is length per camshaft degree and
// acceleration length per camshaft degree squared. At n turns of the camshaft
// a minute a velocity is worth 6n times as much per second, and an acceleration
// (6n)² times as much per second squared.
//
// Dimensions may run from a millionth to a million units. Piston travel and
// event arithmetic on the crankshaft are not here but in convert/crank.
package cam

import "math"

// Motion is what the follower does at one camshaft angle.
type Motion struct {
	Lift         float64 // from the base circle
	Velocity     float64 // per camshaft degree; positive while the valve opens
	Acceleration float64 // per camshaft degree squared
}

// Profile is the lift of one cam against camshaft angle. Make one with the
// Profile method of a shape; the zero Profile never lifts. Profiles are
// immutable and may be used from many goroutines; evaluating one allocates
// nothing.
type Profile struct{ opening, closing flank }

// symmetrical returns the profile whose two flanks are mirror images.
func symmetrical(f flank) Profile { return Profile{f, f} }

// Join returns the cam that opens the valve as one profile does and closes it
// as another does, as where the closing ramp is the longer. Both must reach the
// same full lift, because both start from the same base circle.
func Join(opening, closing Profile) (Profile, error) {
	a, b := opening.FullLift(), closing.FullLift()
	if math.Abs(a-b) > sameLift*math.Max(a, b) {
		return Profile{}, refuse("lift", b, "of the closing flank must equal the %g of the opening flank: both rise from one base circle to one nose", a)
	}
	return Profile{opening.opening, closing.closing}, nil
}

// sameLift is the relative difference that rounding may leave between the full
// lifts of two flanks that were worked out separately.
const sameLift = 1e-12

// orRefused returns the profile, or none with an error.
func orRefused(p Profile, err error) (Profile, error) {
	if err != nil {
		return Profile{}, err
	}
	return p, nil
}

// FullLift returns the largest lift.
func (p Profile) FullLift() float64 { return p.opening.full() }

// At returns the motion at an angle in camshaft degrees from full lift, of any
// size. Where two parts of the profile meet and their velocities or
// accelerations differ, it gives those of the part nearer full lift. An angle
// that is not a finite number is an error.
func (p Profile) At(angle float64) (Motion, error) {
	if !isFinite(angle) {
		return Motion{}, refuse("camshaft angle", angle, "must be a finite number of degrees")
	}
	return p.motion(angle), nil
}

func (p Profile) motion(angle float64) Motion {
	angle = math.Remainder(angle, 360)
	if angle >= 0 {
		return p.closing.at(angle)
	}
	m := p.opening.at(-angle)
	m.Velocity = -m.Velocity
	return m
}

// AtValve returns the lift at the valve of a profile that is the lift at the
// tappet. The rocker ratio is valve lift divided by tappet lift, taken as
// constant; a real rocker's varies by a per cent or so over its arc.
func (p Profile) AtValve(rockerRatio float64) (Profile, error) {
	if err := positive("rocker ratio", rockerRatio); err != nil {
		return Profile{}, err
	}
	valve := Profile{p.opening.times(rockerRatio), p.closing.times(rockerRatio)}
	if p.FullLift() == 0 {
		return valve, nil
	}
	return orRefused(valve, positive("lift", valve.FullLift()))
}

// AtTappet is the reverse of AtValve: the lift at the tappet of a profile that
// is the lift at the valve.
func (p Profile) AtTappet(rockerRatio float64) (Profile, error) {
	if err := positive("rocker ratio", rockerRatio); err != nil {
		return Profile{}, err
	}
	return p.AtValve(1 / rockerRatio)
}
