package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The lift of a follower is found here without any of the formulas of the
// package: the outline of the cam is drawn as points, and the follower is the
// lowest one that no point pierces.

type vector struct{ x, y float64 }

func (a vector) plus(b vector, times float64) vector {
	return vector{a.x + times*b.x, a.y + times*b.y}
}
func (a vector) dot(b vector) float64   { return a.x*b.x + a.y*b.y }
func (a vector) cross(b vector) float64 { return a.x*b.y - a.y*b.x }
func (a vector) unit() vector {
	l := math.Hypot(a.x, a.y)
	return vector{a.x / l, a.y / l}
}

// curveOfOutline is a part of the outline: a point for each part from 0 to 1.
type curveOfOutline struct {
	at     func(part float64) vector
	length float64
}

func arcBetween(centre, from, to vector, radius float64) curveOfOutline {
	a, b := from.plus(centre, -1), to.plus(centre, -1)
	start, turn := math.Atan2(a.y, a.x), math.Atan2(a.cross(b), a.dot(b))
	return curveOfOutline{func(part float64) vector {
		sin, cos := math.Sincos(start + turn*part)
		return centre.plus(vector{cos, sin}, radius)
	}, math.Abs(turn) * radius}
}

// lobeOutline draws base circle, both flanks and nose with full lift upwards.
// flank is the right-hand flank, foot and change its ends.
func lobeOutline(base, noseRadius, noseCentre float64, foot, change vector, flank curveOfOutline) []curveOfOutline {
	mirror := func(c curveOfOutline) curveOfOutline {
		return curveOfOutline{func(part float64) vector { p := c.at(part); return vector{-p.x, p.y} }, c.length}
	}
	nose := arcBetween(vector{0, noseCentre}, change, vector{0, noseCentre + noseRadius}, noseRadius)
	heel := arcBetween(vector{}, foot, vector{0, -base}, base)
	return []curveOfOutline{nose, flank, heel, mirror(nose), mirror(flank), mirror(heel)}
}

func (c ThreeArc) outline(t require.TestingT) []curveOfOutline {
	d := c.BaseRadius + c.Lift - c.NoseRadius
	toAxis, toNose, side := c.FlankRadius-c.BaseRadius, c.FlankRadius-c.NoseRadius, -1.0
	if c.Concave {
		toAxis, toNose, side = c.FlankRadius+c.BaseRadius, c.FlankRadius+c.NoseRadius, 1.0
	}
	// The flank centre is where two circles about axis and nose centre cross.
	y := (toAxis*toAxis - toNose*toNose + d*d) / (2 * d)
	x := toAxis*toAxis - y*y
	require.Positive(t, x)
	centre := vector{side * math.Sqrt(x), y}
	foot := vector{}.plus(centre.unit(), side*c.BaseRadius)
	nose := vector{0, d}
	change := nose.plus(centre.plus(nose, -1).unit(), side*c.NoseRadius)
	return lobeOutline(c.BaseRadius, c.NoseRadius, d, foot, change, arcBetween(centre, foot, change, c.FlankRadius))
}

func (c Tangent) outline() []curveOfOutline {
	d := c.BaseRadius + c.Lift - c.NoseRadius
	up := (c.BaseRadius - c.NoseRadius) / d
	normal := vector{math.Sqrt(1 - up*up), up}
	foot := vector{}.plus(normal, c.BaseRadius)
	change := vector{0, d}.plus(normal, c.NoseRadius)
	way := change.plus(foot, -1)
	line := curveOfOutline{func(part float64) vector { return foot.plus(way, part) }, math.Hypot(way.x, way.y)}
	return lobeOutline(c.BaseRadius, c.NoseRadius, d, foot, change, line)
}

// envelope returns the lift of a follower at degrees from full lift.
func envelope(outline []curveOfOutline, base float64, f Follower, degrees float64) float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	up := vector{sin, cos}
	reach := func(p vector) float64 {
		if f.Kind == Flat {
			return p.dot(up) - base
		}
		aside := p.cross(up)
		if math.Abs(aside) > f.Radius {
			return math.Inf(-1)
		}
		return p.dot(up) + math.Sqrt((f.Radius-aside)*(f.Radius+aside)) - base - f.Radius
	}
	highest := math.Inf(-1)
	for _, c := range outline {
		steps := 200
		if f.Kind != Flat {
			steps = max(steps, int(20*c.length/f.Radius))
		}
		best := 0
		for i := range steps + 1 {
			if reach(c.at(float64(i)/float64(steps))) > reach(c.at(float64(best)/float64(steps))) {
				best = i
			}
		}
		lo, hi := float64(max(0, best-1))/float64(steps), float64(min(steps, best+1))/float64(steps)
		for range 60 { // ternary search
			a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
			if reach(c.at(a)) < reach(c.at(b)) {
				lo = a
			} else {
				hi = b
			}
		}
		highest = max(highest, reach(c.at(lo)), reach(c.at(float64(best)/float64(steps))))
	}
	return highest
}

func requireEnvelope(t *rapid.T, p Profile, outline []curveOfOutline, base float64, f Follower) {
	for i := range 10 {
		degrees := number(t, -180, 180, "camshaft angle")
		if i == 0 {
			feet, err := p.Events(0)
			require.NoError(t, err)
			degrees = feet.Closes.Angle - 0.3
		}
		m, err := p.At(degrees)
		require.NoError(t, err)
		require.InDelta(t, envelope(outline, base, f, degrees), m.Lift, 1e-9*(base+p.FullLift()), "at %g", degrees)
	}
}

func TestThreeArcIsTheEnvelopeOfItsOutline(t *testing.T) {
	for name, concave := range map[string]bool{"convex": false, "concave": true} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			c := drawThreeArc(t, concave)
			p, err := c.Profile()
			if err != nil {
				require.True(t, concave && tooSteep(err), "%+v: %v", c, err)
				return
			}
			requireEnvelope(t, p, c.outline(t), c.BaseRadius, c.Follower)
		}))
	}
}

func TestTangentIsTheEnvelopeOfItsOutline(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawTangent(t)
		p, err := c.Profile()
		require.NoError(t, err, "%+v", c)
		requireEnvelope(t, p, c.outline(), c.BaseRadius, c.Follower)
	})
}

// A flank that is ever flatter, from either side, becomes that of a tangent cam,
// and a roller that is ever larger a flat follower.
func TestLimitsMeet(t *testing.T) {
	roller := Follower{Roller, 0.4}
	tangent, err := Tangent{0.5, 0.17, 0.29, roller}.Profile()
	require.NoError(t, err)
	for _, concave := range []bool{false, true} {
		flat, err := ThreeArc{0.5, 1e6, 0.17, 0.29, concave, roller}.Profile()
		require.NoError(t, err)
		for _, degrees := range []float64{0, 10, 20, 30, 40, 50} {
			want, err := tangent.At(degrees)
			require.NoError(t, err)
			got, err := flat.At(degrees)
			require.NoError(t, err)
			assert.InDelta(t, want.Lift, got.Lift, 1e-6, "concave %v at %g", concave, degrees)
			assert.InDelta(t, want.Velocity, got.Velocity, 1e-6)
			assert.InDelta(t, want.Acceleration, got.Acceleration, 1e-6)
		}
	}

	flat, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
	require.NoError(t, err)
	huge, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Radiused, 1e6}}.Profile()
	require.NoError(t, err)
	for _, degrees := range []float64{0, 10, 30, 50, 60} {
		want, err := flat.At(degrees)
		require.NoError(t, err)
		got, err := huge.At(degrees)
		require.NoError(t, err)
		assert.InDelta(t, want.Lift, got.Lift, 1e-5, "at %g", degrees)
	}
}
