package gear

import (
	"fmt"
	"math"

	"fourmarks.example/convert/interval"
)

// BevelPitchAngles returns the pitch cone angles, in degrees, of bevels with z1
// and z2 teeth whose shafts meet at the given angle: tan δ₁ = sin Σ/(z₂/z₁ + cos Σ),
// δ₂ = Σ − δ₁ (ISO 23509 terms, from memory). Their ratio is that of the teeth.
func BevelPitchAngles(z1, z2 int, shaftDeg float64) (first, second float64, err error) {
	if err := count("teeth of the first bevel", z1, maxTeeth); err != nil {
		return 0, 0, err
	}
	if err := count("teeth of the second bevel", z2, maxTeeth); err != nil {
		return 0, 0, err
	}
	if err := between("shaft angle, degrees", shaftDeg, 1, 179); err != nil {
		return 0, 0, err
	}
	sin, cos := math.Sincos(rad(shaftDeg))
	first = deg(math.Atan2(sin, float64(z2)/float64(z1)+cos))
	return first, shaftDeg - first, nil
}

// SkewShaftAngle returns the angle in degrees between the shafts of skew
// wheels: the sum of the helix angles when both are of one hand, their
// difference when not (ISO 21771, from memory).
func SkewShaftAngle(helix1Deg, helix2Deg interval.Interval, hand1, hand2 Hand) (interval.Interval, error) {
	if hand1 == HandNotGiven || hand2 == HandNotGiven {
		return interval.Empty(), fmt.Errorf("the angle between skew shafts needs the hand of both wheels")
	}
	for _, h := range []interval.Interval{helix1Deg, helix2Deg} {
		if err := spanIn("helix angle, degrees", h, 0, steepest); err != nil {
			return interval.Empty(), err
		}
	}
	if hand1 == hand2 {
		return helix1Deg.Add(helix2Deg), nil
	}
	return helix1Deg.Sub(helix2Deg).Abs(), nil
}

// SkewCentreDistance returns the centre distance in mm of skew wheels without
// profile shift: m_n/2·(z₁/cos β₁ + z₂/cos β₂) (ISO 21771, from memory).
func SkewCentreDistance(normalModule interval.Interval, z1, z2 int, helix1Deg, helix2Deg interval.Interval) (interval.Interval, error) {
	if err := helical(helix1Deg, normalModule); err != nil {
		return interval.Empty(), err
	}
	if err := helical(helix2Deg, normalModule); err != nil {
		return interval.Empty(), err
	}
	if _, err := teethAcross(External, z1, z2); err != nil {
		return interval.Empty(), err
	}
	first := interval.Point(float64(z1)).Div(helix1Deg.CosDeg())
	second := interval.Point(float64(z2)).Div(helix2Deg.CosDeg())
	return normalModule.Mul(first.Add(second)).Div(interval.Point(2)), nil
}
