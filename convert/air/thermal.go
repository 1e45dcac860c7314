package air

import (
	"errors"
	"fmt"
)

// Part is a part whose growth with heat changes a clearance.
type Part struct {
	Length      float64 // in any one unit
	Coefficient float64 // of linear expansion, per kelvin; 11.7e-6 for mild steel
	Rise        float64 // of temperature, in kelvins; negative when it cools
}

const (
	maxCoefficient = 1e-3   // per kelvin; metals lie near 1e-5
	maxRise        = 3000.0 // K
)

// Expansion returns by how much a part grows, in the unit of its length: length ·
// coefficient · rise.
func Expansion(p Part) (float64, error) {
	if err := errors.Join(
		number("the length of the part", p.Length, 0, maxSize),
		number("the coefficient of expansion per kelvin", p.Coefficient, -maxCoefficient, maxCoefficient),
		number("the rise of temperature in kelvins", p.Rise, -maxRise, maxRise),
	); err != nil {
		return 0, err
	}
	return p.Length * p.Coefficient * p.Rise, nil
}

// ClearanceChange returns by how much a clearance opens with heat; negative when
// it closes. The parts of the housing (block, head) open it as they grow, those of
// the train (tappet, pushrod, valve) take it up. Lengths are measured along the
// line of the clearance; multiply that of a part which acts through a rocker by
// the rocker ratio when the clearance is measured at the valve.
func ClearanceChange(housing, train []Part) (float64, error) {
	opens, err := growth(housing)
	if err != nil {
		return 0, fmt.Errorf("housing: %w", err)
	}
	closes, err := growth(train)
	if err != nil {
		return 0, fmt.Errorf("train: %w", err)
	}
	return opens - closes, nil
}

func growth(parts []Part) (float64, error) {
	sum := 0.0
	for _, p := range parts {
		g, err := Expansion(p)
		if err != nil {
			return 0, err
		}
		sum += g
	}
	return sum, nil
}
