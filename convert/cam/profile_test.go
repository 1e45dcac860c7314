package cam

import (
	"math"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Lift never jumps, and velocity only where a ramp begins without blending.
func TestNothingJumps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		for _, f := range []flank{d.profile.opening, d.profile.closing} {
			fastest := 0.0
			for _, p := range f.pieces {
				for _, x := range []float64{p.inner, (p.inner + p.outer) / 2, p.outer} {
					fastest = max(fastest, math.Abs(p.curve.at(p.own(x)).Velocity))
				}
			}
			for i, p := range f.pieces {
				here := p.curve.at(p.own(p.outer))
				require.InDelta(t, p.low, p.base+here.Lift, 1e-12*f.pieces[0].base, "%s: lift at the end of piece %d", d.shape, i)
				if i+1 == len(f.pieces) {
					require.Zero(t, p.low)
					break
				}
				q := f.pieces[i+1]
				there := q.curve.at(q.own(q.inner))
				require.Equal(t, p.outer, q.inner)
				require.InDelta(t, p.low, q.base+there.Lift, 1e-12*f.pieces[0].base, "%s: lift after piece %d", d.shape, i)
				require.InDelta(t, outwardVelocity(p, here), outwardVelocity(q, there), 1e-9*fastest, "%s: velocity after piece %d", d.shape, i)
			}
			first := f.pieces[0]
			require.Zero(t, first.curve.at(first.own(0)).Velocity, "%s: at rest at full lift", d.shape)
			require.Zero(t, first.own(0))
			last := f.pieces[len(f.pieces)-1]
			if _, steep := last.curve.(incline); !steep {
				require.Zero(t, last.curve.at(0).Velocity, "%s: at rest at the foot", d.shape)
			}
		}
	})
}

func outwardVelocity(p piece, m Motion) float64 {
	if p.inward {
		return -m.Velocity
	}
	return m.Velocity
}

// Velocity and acceleration are the slopes of lift and velocity, by differences
// of a step that stays within one piece.
func TestMotionIsTheSlopeOfLift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		part := number(t, 0.1, 0.9, "part of each piece")
		for _, p := range d.profile.opening.pieces {
			requireSlopes(t, d, p, -1, part)
		}
		for _, p := range d.profile.closing.pieces {
			requireSlopes(t, d, p, 1, part)
		}
	})
}

func requireSlopes(t *rapid.T, d drawn, p piece, side, part float64) {
	width := p.outer - p.inner
	x, step := p.inner+width*part, width*1e-3
	if c, law := p.curve.(lawCurve); law && math.Abs(p.own(x)/c.angle-0.125) < 0.01 {
		return // the modified sine changes its law there
	}
	motions := [5]Motion{}
	scaleV, scaleA := 0.0, 0.0
	for i := range motions {
		m, err := d.profile.At(side*x + float64(i-2)*step)
		require.NoError(t, err)
		motions[i] = m
		scaleV, scaleA = max(scaleV, math.Abs(m.Velocity)), max(scaleA, math.Abs(m.Acceleration))
	}
	a, b, m, c, e := motions[0], motions[1], motions[2], motions[3], motions[4]
	velocity := (a.Lift - 8*b.Lift + 8*c.Lift - e.Lift) / (12 * step)
	acceleration := (-a.Lift + 16*b.Lift - 30*m.Lift + 16*c.Lift - e.Lift) / (12 * step * step)
	full := d.profile.FullLift()
	require.InDelta(t, velocity, m.Velocity, 1e-6*scaleV+1e-14*full/step, "%s: velocity %g from full lift", d.shape, side*x)
	require.InDelta(t, acceleration, m.Acceleration, 1e-5*scaleA+1e-14*full/step/step, "%s: acceleration %g from full lift", d.shape, side*x)
}

func TestLiftFallsAwayFromFullLift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		angles := rapid.SliceOfN(rapid.Float64Range(0, 180), 2, 40).Draw(t, "angles")
		sort.Float64s(angles)
		for _, sign := range []float64{-1, 1} {
			before := d.profile.FullLift()
			for _, a := range angles {
				m, err := d.profile.At(sign * a)
				require.NoError(t, err)
				require.GreaterOrEqual(t, m.Lift, 0.0, "%s at %g", d.shape, sign*a)
				require.LessOrEqual(t, m.Lift, before+1e-14*d.profile.FullLift(), "%s at %g", d.shape, sign*a)
				require.LessOrEqual(t, sign*m.Velocity, 1e-12*d.profile.FullLift(), "%s at %g", d.shape, sign*a)
				before = m.Lift
			}
		}
	})
}

func TestAnglesWrapAndMirror(t *testing.T) {
	p, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
	require.NoError(t, err)
	for _, angle := range []float64{0, 12.5, 40, 64, 170} {
		m, err := p.At(angle)
		require.NoError(t, err)
		again, err := p.At(angle - 720)
		require.NoError(t, err)
		assert.Equal(t, m, again)
		mirrored, err := p.At(-angle)
		require.NoError(t, err)
		assert.Equal(t, m.Lift, mirrored.Lift)
		assert.Equal(t, m.Velocity, -mirrored.Velocity)
		assert.Equal(t, m.Acceleration, mirrored.Acceleration)
	}
	heel, err := p.At(180)
	require.NoError(t, err)
	assert.Equal(t, Motion{}, heel)
	assert.Equal(t, 0.29, p.FullLift())
}

// A rocker multiplies every lift; the same events come at a clearance that many
// times as large.
func TestRocker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tappet := drawProfile(t).profile
		ratio := number(t, 0.5, 2, "ratio")
		valve, err := tappet.AtValve(ratio)
		require.NoError(t, err)
		require.InEpsilon(t, ratio*tappet.FullLift(), valve.FullLift(), 1e-15)
		back, err := valve.AtTappet(ratio)
		require.NoError(t, err)
		require.InEpsilon(t, tappet.FullLift(), back.FullLift(), 1e-14)

		clearance := tappet.FullLift() * number(t, 0.01, 0.9, "clearance")
		a, err := tappet.Events(clearance)
		require.NoError(t, err)
		b, err := valve.Events(clearance * ratio)
		require.NoError(t, err)
		if a.Opens.Speed > 1e-3*tappet.FullLift() && a.Closes.Speed > 1e-3*tappet.FullLift() {
			require.InDelta(t, a.Duration(), b.Duration(), 1e-9)
			require.InEpsilon(t, a.Opens.Speed*ratio, b.Opens.Speed, 1e-9)
		}
	})
}

func TestJoin(t *testing.T) {
	quick, err := Rise{Form: Polynomial345, Lift: 8, Angle: 55}.Profile()
	require.NoError(t, err)
	slow, err := Rise{Form: Polynomial345, Lift: 8, Angle: 70}.Profile()
	require.NoError(t, err)
	joined, err := Join(quick, slow)
	require.NoError(t, err)
	feet, err := joined.Events(0)
	require.NoError(t, err)
	assert.Equal(t, -55.0, feet.Opens.Angle)
	assert.Equal(t, 70.0, feet.Closes.Angle)
	assert.Equal(t, 250.0, feet.Duration())
	assert.Equal(t, 15.0, feet.LobeCentre(), "read late, because the closing flank is the longer")

	low, err := Rise{Form: Polynomial345, Lift: 7, Angle: 55}.Profile()
	require.NoError(t, err)
	_, err = Join(low, slow)
	assert.ErrorContains(t, err, "lift 8 of the closing flank must equal the 7 of the opening flank")
}

func TestZeroProfileNeverLifts(t *testing.T) {
	var p Profile
	m, err := p.At(3)
	require.NoError(t, err)
	assert.Equal(t, Motion{}, m)
	_, err = p.Events(0)
	assert.ErrorContains(t, err, "never opens")
	_, err = p.ClearanceFor(230)
	assert.ErrorContains(t, err, "never opens")
	_, err = Ramp{Height: 0.01, Speed: 0.0005}.Under(p)
	assert.ErrorContains(t, err, "no flank")
	valve, err := p.AtValve(1.1)
	require.NoError(t, err)
	assert.Zero(t, valve.FullLift())
	_, err = Join(p, p)
	assert.NoError(t, err)
}
