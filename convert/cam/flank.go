package cam

import (
	"math"
	"sort"
)

const radian = math.Pi / 180

// curve is one closed form of lift. It is counted from the curve's own origin,
// both in angle (t degrees, never negative) and in lift, so that lifts near the
// base circle and drops near full lift keep all their digits.
type curve interface{ at(t float64) Motion }

// rest is no motion: a dwell.
type rest struct{}

func (rest) at(float64) Motion { return Motion{} }

// piece is the part of a flank over which one curve holds. Angles are degrees
// away from full lift, whichever the flank.
type piece struct {
	inner, outer float64
	origin       float64 // where the curve's own angle is zero
	inward       bool    // the curve's own angle counts towards full lift
	base         float64 // lift at the origin
	low          float64 // lift at outer
	curve        curve
}

// own turns an angle from full lift into the curve's own, and back.
func (p piece) own(x float64) float64 {
	if p.inward {
		return p.origin - x
	}
	return x - p.origin
}

func (p piece) fromFullLift(t float64) float64 {
	if p.inward {
		return p.origin - t
	}
	return p.origin + t
}

// flank is one side of a cam, from full lift outwards to its foot. Its lift
// never grows outwards; beyond the foot the follower rests on the base circle.
// The first piece counts from full lift, the last ends at lift 0.
type flank struct {
	pieces []piece
	gain   float64 // lift of the flank ÷ lift of its pieces: a rocker's ratio
}

func (f flank) times(ratio float64) flank { return flank{f.pieces, f.gain * ratio} }

func (f flank) full() float64 {
	if len(f.pieces) == 0 {
		return 0
	}
	return float64(f.pieces[0].base * f.gain)
}

// at returns the motion x ≥ 0 degrees away from full lift; velocity is per
// degree towards closing, hence never positive.
func (f flank) at(x float64) Motion {
	i := sort.Search(len(f.pieces), func(i int) bool { return x <= f.pieces[i].outer })
	if i == len(f.pieces) {
		return Motion{}
	}
	p := f.pieces[i]
	m := p.curve.at(p.own(x))
	if p.inward {
		m.Velocity = -m.Velocity
	}
	return Motion{(p.base + m.Lift) * f.gain, m.Velocity * f.gain, m.Acceleration * f.gain}
}

// reach returns how far from full lift the lift has fallen to the one given,
// and the flank speed there: the last angle, going outwards, up to which the
// lift is larger. The lift must not be negative and must be less than full.
func (f flank) reach(lift float64) (x, speed float64) {
	i := sort.Search(len(f.pieces), func(i int) bool { return float64(f.pieces[i].low*f.gain) <= lift })
	p := f.pieces[i]
	above := lift - float64(p.base*f.gain)
	t := root(p.own(p.inner), p.own(p.outer), angleTolerance, func(t float64) float64 {
		return float64(p.curve.at(t).Lift*f.gain) - above
	})
	return p.fromFullLift(t), math.Abs(p.curve.at(t).Velocity) * f.gain
}

// dwell returns how far from full lift the lift begins to fall.
func (f flank) dwell() float64 {
	if _, dwells := f.pieces[0].curve.(rest); dwells {
		return f.pieces[0].outer
	}
	return 0
}
