package cam

// Ramp is a quieting ramp: a slow part of constant velocity between the base
// circle and the flank proper, over which the clearance is taken up.
//
// Not blended, the ramp meets the base circle at an angle: the velocity of the
// follower jumps from 0 to Speed at the foot (Profile.Events at no clearance
// gives the feet and this jump). Blended, the velocity grows evenly over Blend
// degrees and there is no jump.
type Ramp struct {
	Height float64 // lift of the ramp where it joins the flank
	Speed  float64 // lift per camshaft degree
	Blend  float64 // camshaft degrees over which the ramp gathers speed; 0 when it is not blended
}

// Under returns the profile with the ramp under both its flanks, as if the base
// circle were ground down to make room for it. The ramp joins each flank where
// the flank runs at the ramp's own speed, so that nothing jumps at the join.
// Full lift grows by the height of the ramp, less the lift of that place on the
// flank.
//
// A ramp that is faster than the lower part of the flank, or lower than the
// place where it would join, is an error. So is one ramp under unlike flanks,
// which it would leave with two base circles: put each flank's own ramp, of a
// height to suit, under a cam with that flank on both sides, and Join the two.
func (r Ramp) Under(p Profile) (Profile, error) {
	if err := firstError(positive("ramp height", r.Height), positive("ramp speed", r.Speed)); err != nil {
		return Profile{}, err
	}
	if r.Blend != 0 {
		if err := span("ramp blend", r.Blend); err != nil {
			return Profile{}, err
		}
	}
	if p.FullLift() == 0 {
		return Profile{}, &DimensionError{"lift", "0 leaves no flank to put a ramp under"}
	}
	opening, err := r.under(p.opening)
	if err != nil {
		return Profile{}, err
	}
	closing, err := r.under(p.closing)
	if err != nil {
		return Profile{}, err
	}
	return Join(symmetrical(opening), symmetrical(closing))
}

func (r Ramp) under(f flank) (flank, error) {
	height, speed := r.Height/f.gain, r.Speed/f.gain
	last := len(f.pieces) - 1
	foot := f.pieces[last]
	if top := foot.curve.at(foot.own(foot.inner)).Velocity; !(speed < top) {
		return flank{}, refuse("ramp speed", r.Speed, "must be less than the %g per camshaft degree of the flank above it", top*f.gain)
	}
	if jump := foot.curve.at(0).Velocity; !(speed > jump) {
		return flank{}, refuse("ramp speed", r.Speed, "must be more than the %g per camshaft degree with which this flank already begins", jump*f.gain)
	}
	join := root(foot.own(foot.inner), 0, angleTolerance, func(t float64) float64 {
		return foot.curve.at(t).Velocity - speed
	})
	joinLift := foot.curve.at(join).Lift
	blendHeight := speed * r.Blend / 2
	switch {
	case !(height > joinLift):
		return flank{}, refuse("ramp height", r.Height, "must be more than %g, the lift at which the flank itself runs at the ramp's speed", joinLift*f.gain)
	case !(height > blendHeight):
		return flank{}, refuse("ramp blend", r.Blend, "is too long: the ramp would reach its height of %g before its speed", r.Height)
	}
	edge := foot.fromFullLift(join)
	rampEnd := edge + (height-blendHeight)/speed
	end := rampEnd + r.Blend
	if end > 180 {
		return flank{}, refuse("ramp height", r.Height, "at speed %g makes a flank of %g camshaft degrees: more than half a turn", r.Speed, end)
	}

	sunk := height - joinLift
	pieces := make([]piece, 0, len(f.pieces)+2)
	for _, p := range f.pieces {
		p.base += sunk
		p.low += sunk
		pieces = append(pieces, p)
	}
	pieces[last].outer, pieces[last].low = edge, height
	pieces = append(pieces, piece{inner: edge, outer: rampEnd, origin: rampEnd, inward: true, base: blendHeight, low: blendHeight, curve: incline{speed}})
	if r.Blend > 0 {
		pieces = append(pieces, piece{inner: rampEnd, outer: end, origin: end, inward: true, curve: gathering{speed, r.Blend}})
	}
	return flank{pieces, f.gain}, nil
}

// incline is a lift of constant velocity.
type incline struct{ speed float64 }

func (c incline) at(t float64) Motion { return Motion{Lift: c.speed * t, Velocity: c.speed} }

// gathering is a lift of constant acceleration that reaches a speed after some
// degrees.
type gathering struct{ speed, over float64 }

func (c gathering) at(t float64) Motion {
	part := t / c.over
	return Motion{c.speed * part * t / 2, c.speed * part, c.speed / c.over}
}
