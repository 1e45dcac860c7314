package gear

import (
	"fmt"
	"math/big"

	"fourmarks.example/convert/interval"
)

// helical refuses helix angles and normal modules that no wheel has.
func helical(helixDeg, normalModule interval.Interval) error {
	if err := spanIn("helix angle, degrees", helixDeg, 0, steepest); err != nil {
		return err
	}
	return spanIn("normal module, mm", normalModule, shortest, longest)
}

// steepest is the greatest helix angle accepted: at 90 degrees a wheel would
// have no lead.
const steepest = 89.0

// ModuleOfDiametralPitch returns the normal module in millimetres of a normal
// diametral pitch in teeth per inch: 25.4 over it. It is its own inverse.
func ModuleOfDiametralPitch(pitch interval.Interval) (interval.Interval, error) {
	if err := spanIn("diametral pitch, per inch", pitch, shortest, longest); err != nil {
		return interval.Empty(), err
	}
	inch := big.NewRat(254, 10)
	return interval.FromRat(inch, inch).Div(pitch), nil
}

// TeethTurned returns by how many teeth helical wheels turn one another when
// one is moved along its shaft by travel millimetres: travel over the axial
// pitch, that is travel·sin β / (π·m_n) (ISO 21771 terms, from memory; that
// the allowance is set by counting teeth is common practice, no source).
// Travel keeps its sign.
func TeethTurned(travel, helixDeg, normalModule interval.Interval) (interval.Interval, error) {
	if err := helical(helixDeg, normalModule); err != nil {
		return interval.Empty(), err
	}
	if err := spanIn("travel, mm", travel, -longest, longest); err != nil {
		return interval.Empty(), err
	}
	return travel.Mul(helixDeg.SinDeg()).Div(interval.Pi().Mul(normalModule)), nil
}

// TravelFor returns the travel in millimetres that turns helical wheels by the
// given number of teeth: the inverse of TeethTurned. Straight teeth turn
// nothing: a helix angle that may be 0 is an error.
func TravelFor(teeth, helixDeg, normalModule interval.Interval) (interval.Interval, error) {
	if err := helical(helixDeg, normalModule); err != nil {
		return interval.Empty(), err
	}
	if err := spanIn("teeth turned", teeth, -maxTeeth, maxTeeth); err != nil {
		return interval.Empty(), err
	}
	sine := helixDeg.SinDeg()
	if sine.Lo <= 0 {
		return interval.Empty(), fmt.Errorf("helix angle %v may be 0: straight teeth do not turn one another when slid", helixDeg)
	}
	return teeth.Mul(interval.Pi().Mul(normalModule)).Div(sine), nil
}

// RotationFromTravel returns the degrees by which a helical wheel of the given
// teeth turns for travel millimetres along its shaft: 360·travel over its lead.
func RotationFromTravel(travel, helixDeg, normalModule interval.Interval, teeth int) (interval.Interval, error) {
	if err := count("teeth", teeth, maxTeeth); err != nil {
		return interval.Empty(), err
	}
	turned, err := TeethTurned(travel, helixDeg, normalModule)
	if err != nil {
		return interval.Empty(), err
	}
	return turned.Mul(interval.Point(360)).Div(interval.Point(float64(teeth))), nil
}

// ReferenceCentreDistance returns the centre distance in millimetres of wheels
// without profile shift: (z₁ + z₂)·m_n / (2·cos β), and the difference of the
// teeth for an internal mesh (ISO 21771, from memory). The working distance may
// differ: see Form.Pair. Other meshes have none, which is an error.
func ReferenceCentreDistance(k Kind, z1, z2 int, helixDeg, normalModule interval.Interval) (interval.Interval, error) {
	if err := helical(helixDeg, normalModule); err != nil {
		return interval.Empty(), err
	}
	teeth, err := teethAcross(k, z1, z2)
	if err != nil {
		return interval.Empty(), err
	}
	twice := interval.Point(float64(teeth)).Mul(normalModule).Div(helixDeg.CosDeg())
	return twice.Div(interval.Point(2)), nil
}

// teethAcross returns the sum of the teeth of external mates and the
// difference, never negative, of internal ones.
func teethAcross(k Kind, z1, z2 int) (int, error) {
	if err := count("teeth of the first wheel", z1, maxTeeth); err != nil {
		return 0, err
	}
	if err := count("teeth of the second wheel", z2, maxTeeth); err != nil {
		return 0, err
	}
	switch {
	case k == External:
		return z1 + z2, nil
	case k == Internal && z1 != z2:
		return abs(z2 - z1), nil
	case k == Internal:
		return 0, fmt.Errorf("a wheel toothed inside has more teeth than its mate, not %d like it", z1)
	}
	return 0, fmt.Errorf("centre distance from teeth: the mesh is %s, not external or internal", k)
}
