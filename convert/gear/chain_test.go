package gear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/interval"
)

// A polygon of N sides of one pitch has the pitch diameter as the diameter of
// its corners.
func TestChainPitchDiameterIsThatOfAPolygon(t *testing.T) {
	for teeth := 5; teeth <= 90; teeth++ {
		r := must[float64](t)(ChainPitchDiameter(9.525, teeth)) / 2
		side := math.Hypot(r*math.Cos(2*math.Pi/float64(teeth))-r, r*math.Sin(2*math.Pi/float64(teeth)))
		assert.InDelta(t, 9.525, side, 1e-12)
	}
}

// The length, worked out from the points where the straight runs touch the
// pitch circles, and the centres found again from it.
func TestChainLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pitch := rapid.Float64Range(6, 20).Draw(t, "pitch")
		z1, z2 := rapid.IntRange(10, 60).Draw(t, "z1"), rapid.IntRange(10, 60).Draw(t, "z2")
		d1, err := ChainPitchDiameter(pitch, z1)
		require.NoError(t, err)
		d2, err := ChainPitchDiameter(pitch, z2)
		require.NoError(t, err)
		centres := (d1+d2)/2 + rapid.Float64Range(1, 400).Draw(t, "gap")
		length, err := ChainPitches(pitch, centres, z1, z2)
		require.NoError(t, err)

		// The common normal leans by the angle whose cosine is (R₁ − R₂)/C.
		lean := math.Acos((d1 - d2) / 2 / centres)
		x1, y1 := d1/2*math.Cos(lean), d1/2*math.Sin(lean)
		x2, y2 := centres+d2/2*math.Cos(lean), d2/2*math.Sin(lean)
		straight := math.Hypot(x2-x1, y2-y1) / pitch
		wrap1 := float64(z1) * (2*math.Pi - 2*math.Atan2(y1, x1)) / (2 * math.Pi)
		wrap2 := float64(z2) * 2 * math.Atan2(y2, x2-centres) / (2 * math.Pi)
		require.InDelta(t, 2*straight+wrap1+wrap2, length, 1e-9)

		pitches := int(math.Ceil(length))
		found, err := ChainCentres(pitch, pitches, z1, z2)
		require.NoError(t, err)
		again, err := ChainPitches(pitch, found, z1, z2)
		require.NoError(t, err)
		require.InDelta(t, float64(pitches), again, 1e-9)
	})
}

func TestChainRefuses(t *testing.T) {
	length := func(p, c float64, a, b int) error { _, err := ChainPitches(p, c, a, b); return err }
	centres := func(p float64, n, a, b int) error { _, err := ChainCentres(p, n, a, b); return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{length(0, 200, 20, 40), "chain pitch"},
		{length(9.525, 200, 4, 40), "4 is outside 5 to 10000"},
		{length(9.525, 200, 20, 4), "4 is outside 5 to 10000"},
		{length(9.525, 50, 20, 40), "need more than"},
		{length(9.525, math.NaN(), 20, 40), "need more than"},
		{length(9.525, 2e5, 20, 40), "at most 100000 are accepted"},
		{centres(9.525, 0, 20, 40), "pitches of a chain: 0"},
		{centres(9.525, 30, 20, 40), "too short"},
		{centres(9.525, 50, 4, 40), "4 is outside"},
		{centres(9.525, 50, 20, 4), "4 is outside"},
		{centres(1e5, 200, 20, 40), "beyond 100000"},
		{centres(30, 10000, 20, 40), "too long"},
		{CheckPitches(0), "pitches of a chain"},
	} {
		assert.ErrorContains(t, c.err, c.want)
	}
}

func TestBevelPitchAngles(t *testing.T) {
	// At a right angle tan δ₁ = z₁/z₂; equal bevels halve the shaft angle.
	first, second, err := BevelPitchAngles(23, 44, 90)
	require.NoError(t, err)
	assert.InDelta(t, math.Atan(23.0/44)*180/math.Pi, first, 1e-12)
	assert.InDelta(t, 90, first+second, 1e-12)
	first, second, err = BevelPitchAngles(30, 30, 120)
	require.NoError(t, err)
	assert.InDelta(t, first, second, 1e-12)

	rapid.Check(t, func(t *rapid.T) {
		z1, z2 := rapid.IntRange(5, 90).Draw(t, "z1"), rapid.IntRange(5, 90).Draw(t, "z2")
		first, second, err := BevelPitchAngles(z1, z2, rapid.Float64Range(10, 170).Draw(t, "shaft angle"))
		require.NoError(t, err)
		// Cones of one length touch along a line: their radii are as the teeth.
		require.InEpsilon(t, float64(z1)/float64(z2), math.Sin(rad(first))/math.Sin(rad(second)), 1e-9)
	})
	for _, c := range []struct {
		z1, z2 int
		angle  float64
	}{{0, 20, 90}, {20, 0, 90}, {20, 20, 0}, {20, 20, math.NaN()}} {
		_, _, err := BevelPitchAngles(c.z1, c.z2, c.angle)
		assert.Error(t, err)
	}
}

func TestSkewPairs(t *testing.T) {
	angle := must[interval.Interval](t)(SkewShaftAngle(point(60), point(30), LeftHand, LeftHand))
	assert.Equal(t, point(90), angle)
	angle = must[interval.Interval](t)(SkewShaftAngle(interval.Of(19, 21), interval.Of(20, 22), RightHand, LeftHand))
	assert.Equal(t, interval.Of(0, 3), angle)

	rapid.Check(t, func(t *rapid.T) {
		module, m := within(t, 0.5, 8, "module")
		helix1, b1 := within(t, 0, 60, "helix 1")
		helix2, b2 := within(t, 0, 60, "helix 2")
		z1, z2 := rapid.IntRange(5, 60).Draw(t, "z1"), rapid.IntRange(5, 60).Draw(t, "z2")
		got, err := SkewCentreDistance(module, z1, z2, helix1, helix2)
		require.NoError(t, err)
		d1, err := Form{m, b1, 20}.Pitches()
		require.NoError(t, err)
		d2, err := Form{m, b2, 20}.Pitches()
		require.NoError(t, err)
		want := (float64(z1)*d1.TransverseModule + float64(z2)*d2.TransverseModule) / 2
		require.True(t, got.Grow(1e-12*got.Hi).Contains(want), "%v %v", got, want)
	})
	for _, err := range []error{
		func() error { _, err := SkewShaftAngle(point(1), point(1), RightHand, HandNotGiven); return err }(),
		func() error { _, err := SkewShaftAngle(point(91), point(1), RightHand, LeftHand); return err }(),
		func() error { _, err := SkewCentreDistance(point(0), 20, 20, point(1), point(1)); return err }(),
		func() error { _, err := SkewCentreDistance(point(1), 20, 20, point(1), point(91)); return err }(),
		func() error { _, err := SkewCentreDistance(point(1), 0, 20, point(1), point(1)); return err }(),
	} {
		assert.Error(t, err)
	}
}
