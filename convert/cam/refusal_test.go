package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What cannot be is refused, by the name of the dimension at fault and the
// reason.
func TestRefusals(t *testing.T) {
	flat, roller := Follower{Kind: Flat}, Follower{Roller, 0.4}
	threeArc := func(change func(*ThreeArc)) func() (Profile, error) {
		c := ThreeArc{0.5, 2.25, 0.17, 0.29, false, flat}
		change(&c)
		return c.Profile
	}
	tangent := func(change func(*Tangent)) func() (Profile, error) {
		c := Tangent{0.5, 0.17, 0.29, roller}
		change(&c)
		return c.Profile
	}
	rise := func(change func(*Rise)) func() (Profile, error) {
		c := Rise{Cycloidal, 8, 64, 10}
		change(&c)
		return c.Profile
	}
	ramp := func(r Ramp) func() (Profile, error) {
		return func() (Profile, error) {
			p, err := Rise{Form: Parabolic, Lift: 8, Angle: 64}.Profile()
			require.NoError(t, err)
			return r.Under(p)
		}
	}
	rampOnRamp := func(second Ramp) func() (Profile, error) {
		return func() (Profile, error) {
			p, err := ramp(Ramp{Height: 0.5, Speed: 0.0625})()
			require.NoError(t, err)
			return second.Under(p)
		}
	}
	threeArcOver := func(ascent, base, nose, lift float64) func() (Profile, error) {
		return func() (Profile, error) {
			c, err := ThreeArcOver(ascent, base, nose, lift, flat)
			if err != nil {
				return Profile{}, err
			}
			return c.Profile()
		}
	}
	tangentOver := func(ascent, base, lift float64) func() (Profile, error) {
		return func() (Profile, error) {
			c, err := TangentOver(ascent, base, lift, roller)
			if err != nil {
				return Profile{}, err
			}
			return c.Profile()
		}
	}

	for _, c := range []struct {
		make           func() (Profile, error)
		dimension, why string
	}{
		{threeArc(func(c *ThreeArc) { c.BaseRadius = 0 }), "base radius", "0 must be a number between"},
		{threeArc(func(c *ThreeArc) { c.BaseRadius = math.NaN() }), "base radius", "NaN must be a number between"},
		{threeArc(func(c *ThreeArc) { c.Lift = -0.29 }), "lift", "-0.29 must be a number between"},
		{threeArc(func(c *ThreeArc) { c.FlankRadius = math.Inf(1) }), "flank radius", "+Inf must be a number between"},
		{threeArc(func(c *ThreeArc) { c.NoseRadius = 0.7 }), "nose radius", "0.7 must be less than base radius plus half the lift, 0.645"},
		{threeArc(func(c *ThreeArc) { c.FlankRadius = 0.6 }), "flank radius", "0.6 must be more than base radius plus half the lift, 0.645"},
		{threeArc(func(c *ThreeArc) { c.Concave = true }), "flank radius", "2.25 is of a concave flank: a flat follower would bridge the hollow"},
		{threeArc(func(c *ThreeArc) { c.Concave, c.Follower = true, Follower{Roller, 2.25} }), "follower radius", "2.25 must be less than the radius of the concave flank, 2.25"},
		{threeArc(func(c *ThreeArc) { c.Concave, c.Follower = true, Follower{Roller, 3} }), "follower radius", "3 must be less than the radius of the concave flank, 2.25"},
		{threeArc(func(c *ThreeArc) {
			*c = ThreeArc{0.5, 0.2, 0.05, 1.5, true, Follower{Roller, 0.1}}
		}), "flank radius", "0.2 must be more than half the lift less nose radius, 0.7"},
		{threeArc(func(c *ThreeArc) {
			*c = ThreeArc{0.5, 1, 0.05, 1.5, true, Follower{Roller, 0.05}}
		}), "lift", "1.5 cannot be reached"},
		{threeArc(func(c *ThreeArc) { c.Follower = Follower{Flat, 0.4} }), "follower radius", "0.4 cannot belong to a flat follower"},
		{threeArc(func(c *ThreeArc) { c.Follower = Follower{Roller, 0} }), "follower radius", "0 must be a number between"},
		{threeArc(func(c *ThreeArc) { c.Follower = Follower{} }), "follower", `"" is not one of flat, roller, radiused`},

		{tangent(func(c *Tangent) { c.Follower = flat }), "follower", "flat cannot ride a tangent cam"},
		{tangent(func(c *Tangent) { c.NoseRadius = 0.645 }), "nose radius", "0.645 must be less than"},
		{tangent(func(c *Tangent) { c.Follower.Radius = math.NaN() }), "follower radius", "NaN must be a number between"},

		{threeArcOver(0, 30, 5, 20), "ascent", "0 must be more than 0"},
		{threeArcOver(180, 30, 5, 20), "ascent", "180 must be more than 0 and less than 180"},
		{threeArcOver(75, 30, 50, 20), "nose radius", "50 must be less than"},
		{threeArcOver(60, 30, 10, 20), "ascent", "60 leaves no arc for the flank"}, // 2·40·sin²30° = 20: straight
		{threeArcOver(40, 30, 5, 20), "flank radius", "is of a concave flank"},
		{tangentOver(40, 30, 17.5), "ascent", "40 is too short for lift 17.5"},
		{tangentOver(75, math.NaN(), 17.5), "base radius", "NaN"},

		{rise(func(c *Rise) { c.Form = "square" }), "form", "square is not one of"},
		{rise(func(c *Rise) { c.Lift = math.NaN() }), "lift", "NaN"},
		{rise(func(c *Rise) { c.Angle = 0 }), "angle", "0 must be more than 0"},
		{rise(func(c *Rise) { c.Dwell = -1 }), "dwell", "-1 must be more than 0"},
		{rise(func(c *Rise) { c.Angle, c.Dwell = 150, 100 }), "dwell", "100 leaves no room"},

		{ramp(Ramp{Height: 0, Speed: 0.1}), "ramp height", "0 must be a number between"},
		{ramp(Ramp{Height: 0.5, Speed: math.NaN()}), "ramp speed", "NaN must be a number between"},
		{ramp(Ramp{Height: 0.5, Speed: 0.0625, Blend: -1}), "ramp blend", "-1 must be more than 0"},
		{ramp(Ramp{Height: 0.5, Speed: 0.25}), "ramp speed", "0.25 must be less than the 0.25 per camshaft degree of the flank"},
		{ramp(Ramp{Height: 0.2, Speed: 0.0625}), "ramp height", "0.2 must be more than 0.25"},
		{ramp(Ramp{Height: 0.5, Speed: 0.0625, Blend: 16}), "ramp blend", "16 is too long"},
		{ramp(Ramp{Height: 0.5, Speed: 0.001}), "ramp height", "0.5 at speed 0.001 makes a flank of"},
		{rampOnRamp(Ramp{Height: 0.5, Speed: 0.03}), "ramp speed", "0.03 must be more than the 0.0625"},

		{Table(nil).Profile, "table", "has no entries"},
		{Table{{0, 1}, {10, 1}}.Profile, "table", "holds nothing but full lift"},
		{Table{{0, 0}, {10, 1}}.Profile, "table angle", "0 is the foot and follows directly on full lift"},
		{Table{{10, 0}, {10, 1}, {20, 2}}.Profile, "table angle", "10 must follow 10"},
		{Table{{0, 0}, {10, 1}, {5, 2}}.Profile, "table angle", "5 must follow 10"},
		{Table{{0, 0}, {10, 1}, {10, 2}}.Profile, "table angle", "10 must follow 10"},
		{Table{{0, 0}, {10, -1}, {20, 2}}.Profile, "table lift", "-1 at 10 degrees"},
		{Table{{0, 0}, {10, math.NaN()}, {20, 2}}.Profile, "table lift", "NaN at 10 degrees"},
		{Table{{0, 0}, {math.NaN(), 1}, {20, 2}}.Profile, "table angle", "NaN must be a number"},
		{Table{{0, 1}, {10, 2}, {20, 3}}.Profile, "table lift", "1 at 0 degrees ends the table"},
		{Table{{0, 0}, {10, 2}, {20, 1}, {30, 3}}.Profile, "table lift", "2 at 10 degrees must not exceed the 1"},
		{Table{{0, 0}, {10, 1}, {20, 3}, {30, 1}, {40, 2}, {50, 0}}.Profile, "table lift", "2 at 40 degrees must not exceed the 1"},
		{Table{{0, 0}, {10, 1}, {20, 3}, {30, 1}, {40, 3}, {50, 0}}.Profile, "table lift", "3 at 40 degrees must not exceed the 1"},
		{Table{{0, 0}, {100, 1}, {190, 3}}.Profile, "table angle", "0 lies more than half a turn"},
		{Table{{0, 0}, {10, 1e-9}, {20, 1e-8}}.Profile, "table lift", "1e-08 is the largest"},
	} {
		p, err := c.make()
		var d *DimensionError
		if assert.ErrorAs(t, err, &d, "%s %s", c.dimension, c.why) {
			assert.Equal(t, c.dimension, d.Dimension, err.Error())
			assert.Contains(t, d.Why, c.why)
		}
		assert.Equal(t, Profile{}, p)
	}
}

// An ascent too short for a convex flank gives a concave one, which a roller
// may ride.
func TestThreeArcOverGivesTheAscent(t *testing.T) {
	for _, c := range []struct {
		ascent  float64
		concave bool
	}{{50, true}, {59, true}, {61, false}, {75, false}, {110, false}} {
		cam, err := ThreeArcOver(c.ascent, 30, 10, 20, Follower{Roller, 12})
		require.NoError(t, err)
		assert.Equal(t, c.concave, cam.Concave, "%g", c.ascent)
		p, err := cam.Profile()
		require.NoError(t, err, "%+v", cam)
		feet, err := p.Events(0)
		require.NoError(t, err)
		assert.InDelta(t, c.ascent, feet.Closes.Angle, 1e-9)
	}
	for _, ascent := range []float64{60, 75, 90, 120} {
		cam, err := TangentOver(ascent, 30, 17.5, Follower{Roller, 12})
		require.NoError(t, err)
		p, err := cam.Profile()
		require.NoError(t, err)
		feet, err := p.Events(0)
		require.NoError(t, err)
		assert.InDelta(t, ascent, feet.Closes.Angle, 1e-9)
	}
}
