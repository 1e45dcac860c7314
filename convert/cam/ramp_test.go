package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A ramp by hand: under a parabolic flank of 8 over 64 degrees, whose lift is
// 16 (t/64)² and whose speed is 32 t/64², a ramp of 0.0625 a degree joins at
// t = 8, lift 0.25. Of height 0.5 it sinks the base circle by 0.25 and is 8
// degrees long; blended over 4 degrees it takes 2 more.
func TestRampByHand(t *testing.T) {
	flank, err := Rise{Form: Parabolic, Lift: 8, Angle: 64}.Profile()
	require.NoError(t, err)

	sharp, err := Ramp{Height: 0.5, Speed: 0.0625}.Under(flank)
	require.NoError(t, err)
	assert.InDelta(t, 8.25, sharp.FullLift(), 1e-12)
	feet, err := sharp.Events(0)
	require.NoError(t, err)
	assert.InDelta(t, -64, feet.Opens.Angle, 1e-9, "8 degrees of flank given up, 8 of ramp gained")
	assert.InDelta(t, 0.0625, feet.Opens.Speed, 1e-15, "the jump at the foot")
	half, err := sharp.Events(0.25)
	require.NoError(t, err)
	assert.InDelta(t, 60, half.Closes.Angle, 1e-9)

	blended, err := Ramp{Height: 0.5, Speed: 0.0625, Blend: 4}.Under(flank)
	require.NoError(t, err)
	assert.InDelta(t, 8.25, blended.FullLift(), 1e-12)
	feet, err = blended.Events(0)
	require.NoError(t, err)
	assert.InDelta(t, 66, feet.Closes.Angle, 1e-9)
	assert.Zero(t, feet.Closes.Speed, "no jump at the foot")
	m, err := blended.At(-64)
	require.NoError(t, err)
	assert.InDelta(t, 0.03125, m.Lift, 1e-12, "half of the blending: a quarter of its height")
	assert.InDelta(t, 0.03125, m.Velocity, 1e-12, "and half of the speed")
	assert.InDelta(t, 0.015625, m.Acceleration, 1e-15, "0.0625 in 4 degrees")

	// Behind a rocker the ramp is in lifts at the valve.
	valve, err := flank.AtValve(2)
	require.NoError(t, err)
	doubled, err := Ramp{Height: 1, Speed: 0.125}.Under(valve)
	require.NoError(t, err)
	assert.InDelta(t, 16.5, doubled.FullLift(), 1e-12)
}

// Above the ramp the cam is the one it was put under, only higher.
func TestRampLeavesTheFlankAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plain := drawShape(t)
		d := withRamp(t, plain)
		if d.shape == plain.shape {
			return // this cam takes no such ramp
		}
		grown := d.profile.FullLift() - plain.profile.FullLift()
		require.Positive(t, grown)
		// From half lift upwards every drawn flank is above its ramp.
		e, err := d.profile.Events(d.profile.FullLift() / 2)
		require.NoError(t, err)
		angle := number(t, e.Opens.Angle, e.Closes.Angle, "angle")
		a, err := plain.profile.At(angle)
		require.NoError(t, err)
		b, err := d.profile.At(angle)
		require.NoError(t, err)
		require.InDelta(t, a.Lift+grown, b.Lift, 1e-12*d.profile.FullLift())
		require.Equal(t, a.Velocity, b.Velocity)
		require.Equal(t, a.Acceleration, b.Acceleration)
	})
}

// Flanks with ramps of their own are joined, if both end on one base circle.
func TestUnlikeRamps(t *testing.T) {
	flank, err := Rise{Form: Parabolic, Lift: 8, Angle: 64}.Profile()
	require.NoError(t, err)
	opening, err := Ramp{Height: 0.5, Speed: 0.0625}.Under(flank) // joins at 0.25
	require.NoError(t, err)
	closing, err := Ramp{Height: 0.3125, Speed: 0.03125}.Under(flank) // joins at 0.0625
	require.NoError(t, err)
	joined, err := Join(opening, closing)
	require.NoError(t, err)
	feet, err := joined.Events(0)
	require.NoError(t, err)
	assert.InDelta(t, 2*(64+70), feet.Duration(), 1e-9)

	lopsided, err := Table{{0, 0}, {20, 1}, {60, 8}, {90, 2}, {120, 0}}.Profile()
	require.NoError(t, err)
	_, err = Ramp{Height: 0.5, Speed: 0.03}.Under(lopsided)
	assert.ErrorContains(t, err, "both rise from one base circle")
}
