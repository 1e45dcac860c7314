package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/interval"
)

// Sixteen thou more clearance move each event of the format's example cam by a
// quarter of 249.45 − 230.99 degrees twice over: well within what is possible.
func TestPossibleShift(t *testing.T) {
	possible, err := PossibleShift(interval.Point(0.016))
	require.NoError(t, err)
	assert.InDelta(t, 1.6, possible.Lo, 1e-12)
	assert.InDelta(t, 204.8, possible.Hi, 1e-9)
	assert.True(t, possible.Contains((249.44712-230.98969)/2))

	// The ramps of the Vauxhall 20-60 (shop manual, sec. 432 and 433), the slowest
	// for which a print was found, are possible; ten times as slow is not.
	for _, ramp := range []struct{ inches, degrees float64 }{{0.007, 37.25}, {0.020, 128}, {0.020, 120}} {
		possible, err := PossibleShift(interval.Point(ramp.inches))
		require.NoError(t, err)
		assert.True(t, possible.Contains(ramp.degrees))
		assert.False(t, possible.Contains(10*ramp.degrees))
	}
}

func TestFlankSpeed(t *testing.T) {
	speed, err := FlankSpeed(interval.Of(0.0155, 0.0165), interval.Of(8, 10))
	require.NoError(t, err)
	assert.InDelta(t, 0.00155, speed.Lo, 1e-15)
	assert.InDelta(t, 0.0020625, speed.Hi, 1e-15)

	speed, err = FlankSpeed(interval.Point(0.016), interval.Of(-1, 2))
	require.NoError(t, err)
	assert.InDelta(t, 0.008, speed.Lo, 1e-15)
	assert.True(t, math.IsInf(speed.Hi, 1), "the rounding of the prints allows no shift at all")

	for _, c := range []struct {
		more, shift interval.Interval
		want        string
	}{
		{interval.Point(0.016), interval.Of(-3, -1), "shift [-3, -1] must be bounded and not below 0"},
		{interval.Point(0.016), interval.Point(0), "shift is 0"},
		{interval.Point(-0.016), interval.Point(3), "growth of clearance [-0.016, -0.016] must be bounded"},
		{interval.Empty(), interval.Point(3), "growth of clearance [empty] must be bounded"},
		{interval.Point(0.016), interval.Whole(), "shift [-Inf, +Inf] must be bounded"},
	} {
		_, err := FlankSpeed(c.more, c.shift)
		assert.ErrorContains(t, err, c.want)
	}
	_, err = PossibleShift(interval.Of(-2, -1))
	assert.ErrorContains(t, err, "growth of clearance")
}

// The speed between two clearances lies between the least and the largest flank
// speed met on the way, and its interval holds it.
func TestFlankSpeedIsTheMeanOfTheFlank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, err := drawThreeArc(t, false).Profile()
		require.NoError(t, err)
		full := p.FullLift()
		a, b := full*number(t, 0.01, 0.4, "one"), full*number(t, 0.01, 0.4, "other")
		less, more := min(a, b), max(a, b)
		if more-less < 1e-3*full {
			return
		}
		first, err := p.Events(less)
		require.NoError(t, err)
		second, err := p.Events(more)
		require.NoError(t, err)
		growth, shift := more-less, second.Opens.Crank()-first.Opens.Crank()
		speed, err := FlankSpeed(interval.Point(growth), interval.Point(shift))
		require.NoError(t, err)
		require.True(t, speed.Contains(growth/shift))
		slowest, fastest := math.Inf(1), 0.0
		for i := range 101 {
			e, err := p.Events(less + growth*float64(i)/100)
			require.NoError(t, err)
			slowest, fastest = min(slowest, e.Opens.Speed/2), max(fastest, e.Opens.Speed/2)
		}
		require.GreaterOrEqual(t, speed.Hi, slowest*0.999)
		require.LessOrEqual(t, speed.Lo, fastest*1.001)
	})
}
