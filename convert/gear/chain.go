package gear

import (
	"fmt"
	"math"
)

// Least teeth of a chain wheel, and most pitches of a chain, accepted.
const (
	minChainTeeth = 5
	maxPitches    = 10000
)

// ChainPitchDiameter returns the pitch diameter of a chain wheel, in the unit
// of the pitch: P/sin(180°/N) (ISO 606 and ANSI B29.1, from memory).
func ChainPitchDiameter(pitch float64, teeth int) (float64, error) {
	if err := between("chain pitch, mm", pitch, shortest, longest); err != nil {
		return 0, err
	}
	if err := chainTeeth(teeth); err != nil {
		return 0, err
	}
	return pitch / math.Sin(math.Pi/float64(teeth)), nil
}

func chainTeeth(teeth int) error {
	if teeth < minChainTeeth || teeth > maxTeeth {
		return fmt.Errorf("teeth of a chain wheel: %d is outside %d to %d", teeth, minChainTeeth, maxTeeth)
	}
	return nil
}

// CheckPitches returns an error when a chain of so many pitches cannot be made
// of inner and outer links alone: an odd number needs a cranked link (common
// practice, no source).
func CheckPitches(pitches int) error {
	if err := count("pitches of a chain", pitches, maxPitches); err != nil {
		return err
	}
	if pitches%2 != 0 {
		return fmt.Errorf("%d pitches are odd: the chain would need a cranked link", pitches)
	}
	return nil
}

// ChainPitches returns the length, in pitches and not rounded, of a taut chain
// round two wheels at the given centre distance (pitch and centres in one
// unit). The straight runs touch the pitch circles, and each tooth in the wrap
// holds one pitch: 2·C·cos φ/P + N₁·(½ − φ/180°) + N₂·(½ + φ/180°) with
// sin φ = (R₂ − R₁)/C (Machinery's Handbook, roller chain length, from memory).
// Wheels that would touch are an error.
func ChainPitches(pitch, centres float64, z1, z2 int) (float64, error) {
	d1, err := ChainPitchDiameter(pitch, z1)
	if err != nil {
		return 0, err
	}
	d2, err := ChainPitchDiameter(pitch, z2)
	if err != nil {
		return 0, err
	}
	least := (d1 + d2) / 2
	if !(centres > least && centres <= longest) {
		return 0, fmt.Errorf("centres %g: wheels of pitch diameters %.4g and %.4g need more than %.4g", centres, d1, d2, least)
	}
	sine := (d2 - d1) / 2 / centres
	phi := math.Asin(sine) / math.Pi
	straight := 2 * centres * math.Sqrt((1-sine)*(1+sine)) / pitch
	return straight + float64(float64(z1)*(0.5-phi)) + float64(float64(z2)*(0.5+phi)), nil
}

// ChainCentres returns the centre distance at which a taut chain of the given
// pitches runs round two wheels: the inverse of ChainPitches. A chain too short
// to go round wheels that clear one another, or too long, is an error.
func ChainCentres(pitch float64, pitches, z1, z2 int) (float64, error) {
	if err := count("pitches of a chain", pitches, maxPitches); err != nil {
		return 0, err
	}
	d1, err := ChainPitchDiameter(pitch, z1)
	if err != nil {
		return 0, err
	}
	d2, err := ChainPitchDiameter(pitch, z2)
	if err != nil {
		return 0, err
	}
	lo, hi := math.Nextafter((d1+d2)/2, longest), longest
	for _, end := range []struct {
		at    float64
		wrong func(length float64) bool
		word  string
	}{
		{lo, func(l float64) bool { return l > float64(pitches) }, "short"},
		{hi, func(l float64) bool { return l < float64(pitches) }, "long"},
	} {
		length, err := ChainPitches(pitch, end.at, z1, z2)
		if err != nil {
			return 0, err
		}
		if end.wrong(length) {
			return 0, fmt.Errorf("a chain of %d pitches is too %s for wheels of %d and %d teeth", pitches, end.word, z1, z2)
		}
	}
	// The length grows with the centres, so halving the bracket finds them.
	for range 200 {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		length, err := ChainPitches(pitch, mid, z1, z2)
		if err != nil {
			return 0, err
		}
		if length < float64(pitches) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2, nil
}
