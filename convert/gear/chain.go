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
	run, err := newChainRun(pitch, z1, z2)
	if err != nil {
		return 0, err
	}
	if !(centres > run.least && centres <= longest) {
		return 0, fmt.Errorf("centres %g: the pitch circles need more than %.4g, and at most %g are accepted", centres, run.least, longest)
	}
	return run.length(centres), nil
}

// ChainCentres returns the centre distance at which a taut chain of the given
// pitches runs round two wheels: the inverse of ChainPitches. A chain too short
// to go round wheels that clear one another, or too long, is an error.
func ChainCentres(pitch float64, pitches, z1, z2 int) (float64, error) {
	if err := count("pitches of a chain", pitches, maxPitches); err != nil {
		return 0, err
	}
	run, err := newChainRun(pitch, z1, z2)
	if err != nil {
		return 0, err
	}
	lo, hi, want := math.Nextafter(run.least, math.Inf(1)), longest, float64(pitches)
	switch {
	case run.length(lo) > want:
		return 0, fmt.Errorf("a chain of %d pitches is too short for wheels of %d and %d teeth", pitches, z1, z2)
	case lo > hi || run.length(hi) < want:
		return 0, fmt.Errorf("a chain of %d pitches is too long for wheels of %d and %d teeth: their centres would be beyond %g", pitches, z1, z2, longest)
	}
	// The length grows with the centres, so halving the bracket finds them.
	for {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			return lo, nil
		}
		if run.length(mid) < want {
			lo = mid
		} else {
			hi = mid
		}
	}
}

// chainRun is a chain round two wheels, whose centres are still open.
type chainRun struct {
	pitch  float64
	z1, z2 float64
	least  float64 // centre distance at which the pitch circles touch
	rise   float64 // R₂ − R₁
}

func newChainRun(pitch float64, z1, z2 int) (chainRun, error) {
	d1, err := ChainPitchDiameter(pitch, z1)
	if err != nil {
		return chainRun{}, err
	}
	d2, err := ChainPitchDiameter(pitch, z2)
	if err != nil {
		return chainRun{}, err
	}
	return chainRun{pitch, float64(z1), float64(z2), (d1 + d2) / 2, (d2 - d1) / 2}, nil
}

// length returns the pitches of the chain for centres beyond the least.
func (r chainRun) length(centres float64) float64 {
	sine := r.rise / centres
	phi := math.Asin(sine) / math.Pi
	straight := 2 * centres * math.Sqrt((1-sine)*(1+sine)) / r.pitch
	return straight + float64(r.z1*(0.5-phi)) + float64(r.z2*(0.5+phi))
}
