package crank

import (
	"fmt"
	"math"

	"fourmarks.example/convert/interval"
)

const (
	turn      = 360.0
	cycle     = 720.0
	perRadian = 180 / math.Pi // degrees in a radian

	// maxAngle bounds every angle taken, in degrees: further round, whole
	// turns have been counted in by mistake.
	maxAngle = 7200.0

	// together is how close two crank angles lie, in degrees, when nothing on
	// an engine can tell them apart. Printed pin and bank angles are rounded
	// (51.43° for a seventh of a turn).
	together = 0.1
)

// rounding covers, as a factor, the error of a trigonometric function of the
// math package and of the products around it: 8 units in the last place.
var rounding = interval.Of(1-0x1p-49, 1+0x1p-49)

// number refuses what is not a number between lo and hi.
func number(what string, v, lo, hi float64) error {
	if !(lo <= v && v <= hi) {
		return fmt.Errorf("%s is %g: it must lie between %g and %g", what, v, lo, hi)
	}
	return nil
}

// members refuses an interval that is empty or has members outside lo to hi.
func members(what string, v interval.Interval, lo, hi float64) error {
	if v.IsEmpty() {
		return fmt.Errorf("%s: no value is left in the interval", what)
	}
	if !(lo <= v.Lo && v.Hi <= hi) {
		return fmt.Errorf("%s is %v: it must lie between %g and %g", what, v, lo, hi)
	}
	return nil
}

func angle(what string, deg float64) error { return number(what, deg, -maxAngle, maxAngle) }

// onCircle brings an angle into [0, 720).
func onCircle(deg float64) float64 {
	deg = math.Mod(deg, cycle)
	if deg < 0 {
		deg += cycle
	}
	if deg >= cycle { // a negative hair rounds up to the whole circle
		return 0
	}
	return deg
}

// signed brings a difference of two angles into [−360, 360).
func signed(deg float64) float64 {
	deg = onCircle(deg)
	if deg >= turn {
		deg -= cycle
	}
	return deg
}

// apart is the distance between two places on a circle of the given size.
func apart(a, b, circle float64) float64 {
	d := math.Abs(math.Mod(a-b, circle))
	return math.Min(d, circle-d)
}

// sinDeg folds the angle into ±90° exactly before it becomes radians.
func sinDeg(deg float64) float64 {
	deg = math.Mod(deg, turn)
	switch {
	case deg > 180:
		deg -= turn
	case deg < -180:
		deg += turn
	}
	switch {
	case deg > 90:
		deg = 180 - deg
	case deg < -90:
		deg = -180 - deg
	}
	return math.Sin(deg / perRadian)
}

// asinDeg keeps its precision near ±1, where math.Asin loses it to 1 − x².
func asinDeg(x float64) float64 {
	return math.Atan2(x, math.Sqrt((1-x)*(1+x))) * perRadian
}

// enclose returns an interval that holds the value which v, the result of a
// trigonometric function, approximates.
func enclose(v float64) interval.Interval { return interval.Point(v).Mul(rounding) }

// rising carries an interval through a function that never falls.
func rising(f func(float64) float64, v interval.Interval) interval.Interval {
	return enclose(f(v.Lo)).Hull(enclose(f(v.Hi)))
}
