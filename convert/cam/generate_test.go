package cam

import (
	"errors"

	"pgregory.net/rapid"
)

// drawn is a cam drawn at random together with what it was made from.
type drawn struct {
	shape   string
	profile Profile
}

func number(t *rapid.T, lo, hi float64, name string) float64 {
	return rapid.Float64Range(lo, hi).Draw(t, name)
}

// drawFollower draws a follower; flat ones only where they are allowed.
func drawFollower(t *rapid.T, base float64, flat bool) Follower {
	kinds := []FollowerKind{Roller, Radiused}
	if flat {
		kinds = append(kinds, Flat)
	}
	kind := rapid.SampledFrom(kinds).Draw(t, "follower")
	if kind == Flat {
		return Follower{Kind: Flat}
	}
	return Follower{kind, base * number(t, 0.1, 3, "follower radius")}
}

// drawThreeArc draws dimensions that describe a cam; a concave one may still
// prove too steep for its follower.
func drawThreeArc(t *rapid.T, concave bool) ThreeArc {
	base := number(t, 5, 50, "base radius")
	lift := base * number(t, 0.05, 1, "lift")
	c := ThreeArc{
		BaseRadius: base,
		Lift:       lift,
		NoseRadius: (base + lift/2) * number(t, 0.05, 0.95, "nose radius"),
		Concave:    concave,
		Follower:   drawFollower(t, base, !concave),
	}
	c.FlankRadius = (base + lift/2) * (1 + number(t, 0.02, 50, "flank radius"))
	if concave {
		c.FlankRadius = c.Follower.Radius*1.02 + lift/2 + base*number(t, 0, 20, "flank radius")
	}
	return c
}

func drawTangent(t *rapid.T) Tangent {
	base := number(t, 5, 50, "base radius")
	lift := base * number(t, 0.05, 1, "lift")
	return Tangent{base, (base + lift/2) * number(t, 0.05, 0.95, "nose radius"), lift, drawFollower(t, base, false)}
}

func drawRise(t *rapid.T) Rise {
	form := rapid.SampledFrom([]Form{Harmonic, Cycloidal, Polynomial345, Polynomial4567, ModifiedSine, Parabolic}).Draw(t, "form")
	return Rise{form, number(t, 1, 20, "lift"), number(t, 30, 120, "angle"), rapid.SampledFrom([]float64{0, 0, 12, 30}).Draw(t, "dwell")}
}

// drawTable draws a table with unlike flanks, level stretches and a dwell among
// the possibilities.
func drawTable(t *rapid.T) Table {
	side := func(name string) (spacing, falls []float64) {
		n := rapid.IntRange(2, 12).Draw(t, name+" entries")
		for range n {
			spacing = append(spacing, number(t, 1, 10, name+" spacing"))
			falls = append(falls, rapid.SampledFrom([]float64{0, 0.1, 0.5, 1, 2}).Draw(t, name+" fall"))
		}
		falls[0]++      // leave full lift
		falls[n-1] += 1 // arrive at rest with a fall
		return spacing, falls
	}
	up, rises := side("opening")
	down, falls := side("closing")
	full := 10.0
	scale := func(f []float64) {
		sum := 0.0
		for _, x := range f {
			sum += x
		}
		for i := range f {
			f[i] *= full / sum
		}
	}
	scale(rises)
	scale(falls)
	table := Table{{0, full}}
	angle, lift := 0.0, full
	for i := range up {
		angle, lift = angle-up[i], lift-rises[i]
		table = append(Table{{angle, rested(lift, i, up)}}, table...)
	}
	angle, lift = rapid.SampledFrom([]float64{0, 0, 8}).Draw(t, "dwell"), full
	if angle > 0 {
		table = append(table, Point{angle, full})
	}
	for i := range down {
		angle, lift = angle+down[i], lift-falls[i]
		table = append(table, Point{angle, rested(lift, i, down)})
	}
	return table
}

// rested makes the last lift of a flank 0 in spite of rounding.
func rested(lift float64, i int, side []float64) float64 {
	if i == len(side)-1 || lift < 0 {
		return 0
	}
	return lift
}

// drawProfile draws a cam of any shape, sometimes with a ramp under it, behind a
// rocker, or joined of two.
func drawProfile(t *rapid.T) drawn {
	d := drawShape(t)
	if rapid.Bool().Draw(t, "ramp") {
		d = withRamp(t, d)
	}
	if rapid.Bool().Draw(t, "rocker") {
		p, err := d.profile.AtValve(number(t, 0.8, 1.8, "rocker ratio"))
		if err != nil {
			t.Fatal(err)
		}
		d.profile = p
	}
	return d
}

func drawShape(t *rapid.T) drawn {
	shape := rapid.SampledFrom([]string{"convex", "concave", "tangent", "rise", "table", "joined"}).Draw(t, "shape")
	for {
		var p Profile
		var err error
		switch shape {
		case "convex":
			p, err = drawThreeArc(t, false).Profile()
		case "concave":
			p, err = drawThreeArc(t, true).Profile()
		case "tangent":
			p, err = drawTangent(t).Profile()
		case "rise":
			p, err = drawRise(t).Profile()
		case "table":
			p, err = drawTable(t).Profile()
		case "joined":
			a, b := drawRise(t), drawRise(t)
			b.Lift = a.Lift
			opening, errA := a.Profile()
			closing, errB := b.Profile()
			if err = firstError(errA, errB); err == nil {
				p, err = Join(opening, closing)
			}
		}
		if err == nil {
			return drawn{shape, p}
		}
		if !tooSteep(err) {
			t.Fatalf("%s refused: %v", shape, err)
		}
	}
}

// tooSteep reports whether a cam was refused because its flank no longer pushes
// the follower along, or leaves no room in a turn: the only reasons for which
// drawn dimensions may be.
func tooSteep(err error) bool {
	var d *DimensionError
	return errors.As(err, &d) && (d.Dimension == "lift" || d.Dimension == "dwell")
}

// withRamp puts a ramp under a cam that can take one.
func withRamp(t *rapid.T, d drawn) drawn {
	opening, closing := d.profile.opening, d.profile.closing
	slowest := func(f flank) float64 {
		foot := f.pieces[len(f.pieces)-1]
		return foot.curve.at(foot.own(foot.inner)).Velocity
	}
	r := Ramp{
		Speed:  min(slowest(opening), slowest(closing)) * number(t, 0.02, 0.3, "ramp speed"),
		Height: d.profile.FullLift() * number(t, 0.01, 0.2, "ramp height"),
		Blend:  rapid.SampledFrom([]float64{0, 0, 0.5, 5}).Draw(t, "blend"),
	}
	p, err := r.Under(d.profile)
	if err != nil {
		return d // too low or too long for this cam
	}
	return drawn{d.shape + " with ramp", p}
}
