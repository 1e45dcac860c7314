package gear

import (
	"math"

	"fourmarks.example/convert/interval"
)

// BacklashDeg returns the degrees a wheel moves freely for a backlash measured
// along a circle of the given diameter, both in millimetres: 360·j/(π·d). For
// crank degrees divide by the turns of the wheel's shaft for one of the
// crankshaft.
func BacklashDeg(backlash, diameter interval.Interval) (interval.Interval, error) {
	if err := spanIn("backlash, mm", backlash, 0, longest); err != nil {
		return interval.Empty(), err
	}
	if err := spanIn("diameter, mm", diameter, shortest, longest); err != nil {
		return interval.Empty(), err
	}
	return positive(interval.Point(360).Mul(backlash).Div(interval.Pi().Mul(diameter))), nil
}

// BacklashAlong is the inverse of BacklashDeg: the free movement in
// millimetres along a circle for a free movement in degrees of the wheel.
func BacklashAlong(deg, diameter interval.Interval) (interval.Interval, error) {
	if err := spanIn("free movement, degrees", deg, 0, 360); err != nil {
		return interval.Empty(), err
	}
	if err := spanIn("diameter, mm", diameter, shortest, longest); err != nil {
		return interval.Empty(), err
	}
	return positive(interval.Pi().Mul(diameter).Mul(deg).Div(interval.Point(360))), nil
}

// CircumferentialBacklash returns the backlash along the pitch circle for one
// felt square to the tooth, as a feeler measures it: j_n/(cos α_n·cos β) (ISO
// 21771, from memory). Angles are the normal pressure angle and helix angle in
// degrees at that circle.
func CircumferentialBacklash(normal, pressureDeg, helixDeg interval.Interval) (interval.Interval, error) {
	if err := spanIn("backlash, mm", normal, 0, longest); err != nil {
		return interval.Empty(), err
	}
	if err := spanIn("pressure angle, degrees", pressureDeg, 0, flattest); err != nil {
		return interval.Empty(), err
	}
	if err := spanIn("helix angle, degrees", helixDeg, 0, steepest); err != nil {
		return interval.Empty(), err
	}
	return positive(normal.Div(pressureDeg.CosDeg().Mul(helixDeg.CosDeg()))), nil
}

// positive takes away the sliver below zero that outward rounding leaves.
func positive(x interval.Interval) interval.Interval {
	return x.Intersect(interval.Of(0, math.Inf(1)))
}
