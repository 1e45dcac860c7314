package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/interval"
)

// angleAccuracy is what events promise, in degrees.
const angleAccuracy = 1e-9

// Where a flank has a simple inverse, the angles found must be those it gives.
func TestEventsMatchClosedFormInverses(t *testing.T) {
	const deg = 180 / math.Pi
	const base, radius, nose, lift, roller = 0.5, 1.45, 0.17, 0.29, 0.4
	arcs := ThreeArc{BaseRadius: base, FlankRadius: radius, NoseRadius: nose, Lift: lift, Follower: Follower{Kind: Flat}}
	rolled := arcs
	rolled.Follower = Follower{Roller, roller}
	tangent := Tangent{base, nose, lift, Follower{Roller, roller}}
	const centre = base + lift - nose

	// onNose solves the triangle of axis, nose centre and roller centre, flat but
	// for the fall c.
	onNose := func(toRoller, across, c float64) float64 {
		return 2 * math.Asin(math.Sqrt(c/2*((across+toRoller-centre)/2)/(centre*toRoller)))
	}

	// fromFoot and fromTop return the camshaft degrees from the foot at which the
	// lift is c, and from full lift at which it has fallen by c.
	cases := map[string]struct {
		profile           func() (Profile, error)
		fromFoot, fromTop func(c float64) float64
	}{
		"three-arc, flat": {arcs.Profile,
			func(c float64) float64 { return 2 * math.Asin(math.Sqrt(c/(2*(radius-base)))) * deg },
			func(c float64) float64 { return 2 * math.Asin(math.Sqrt(c/(2*centre))) * deg }},
		"three-arc, roller": {rolled.Profile,
			func(c float64) float64 { // triangle of axis, flank centre and roller centre, flat but for c
				toFlank, toRoller, across := radius-base, base+roller+c, radius+roller
				return 2 * math.Asin(math.Sqrt((toFlank+toRoller+across)/2*(c/2)/(toFlank*toRoller))) * deg
			},
			func(c float64) float64 { return onNose(base+lift+roller-c, nose+roller, c) * deg }},
		"tangent": {tangent.Profile,
			func(c float64) float64 { return 2 * math.Asin(math.Sqrt(c/(2*(base+roller+c)))) * deg },
			func(c float64) float64 { return onNose(base+lift+roller-c, nose+roller, c) * deg }},
		"harmonic": {Rise{Form: Harmonic, Lift: lift, Angle: 60}.Profile,
			func(c float64) float64 { return 2 * math.Asin(math.Sqrt(c/lift)) / math.Pi * 60 },
			func(c float64) float64 { return 2 * math.Asin(math.Sqrt(c/lift)) / math.Pi * 60 }},
		"parabolic": {Rise{Form: Parabolic, Lift: lift, Angle: 60}.Profile,
			func(c float64) float64 { return math.Sqrt(c/lift/2) * 60 },
			func(c float64) float64 { return math.Sqrt(c/lift/2) * 60 }},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			p, err := c.profile()
			require.NoError(t, err)
			feet, err := p.Events(0)
			require.NoError(t, err)
			for _, clearance := range []float64{1e-9, 1e-6, 0.001, 0.004, 0.010, 0.020, 0.040} {
				e, err := p.Events(clearance)
				require.NoError(t, err)
				assert.InDelta(t, c.fromFoot(clearance), e.Opens.Angle-feet.Opens.Angle, angleAccuracy, "clearance %g", clearance)
				assert.InDelta(t, c.fromFoot(clearance), feet.Closes.Angle-e.Closes.Angle, angleAccuracy, "clearance %g", clearance)

				e, err = p.Events(lift - clearance)
				require.NoError(t, err)
				fall := lift - (lift - clearance) // as the machine holds it
				assert.InDelta(t, c.fromTop(fall), e.Closes.Angle, angleAccuracy, "%g below full lift", clearance)
				assert.InDelta(t, -c.fromTop(fall), e.Opens.Angle, angleAccuracy, "%g below full lift", clearance)
			}
		})
	}
}

// The lift is larger than the clearance the promised accuracy inside the
// events and not outside, as far as lifts can be told apart.
func TestEventsBracketTheClearance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		full := d.profile.FullLift()
		clearance := full * number(t, 0, 0.999, "clearance")
		e, err := d.profile.Events(clearance)
		require.NoError(t, err)
		require.Less(t, e.Opens.Angle, 0.0)
		require.Greater(t, e.Closes.Angle, 0.0)
		for _, v := range []struct{ angle, inward float64 }{{e.Opens.Angle, angleAccuracy}, {e.Closes.Angle, -angleAccuracy}} {
			inside, err := d.profile.At(v.angle + v.inward)
			require.NoError(t, err)
			outside, err := d.profile.At(v.angle - v.inward)
			require.NoError(t, err)
			require.Greater(t, inside.Lift, clearance-1e-14*full, "%s", d.shape)
			require.LessOrEqual(t, outside.Lift, clearance+1e-14*full, "%s", d.shape)
		}
	})
}

// d(angle)/d(clearance) is the slope of the angle, by differences.
func TestCrankPerClearance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		full := d.profile.FullLift()
		clearance, step := full*number(t, 0.01, 0.95, "clearance"), full*1e-5
		less, errLess := d.profile.Events(clearance - step)
		here, errHere := d.profile.Events(clearance)
		more, errMore := d.profile.Events(clearance + step)
		require.NoError(t, firstError(errLess, errHere, errMore))
		for _, e := range [][3]Event{{less.Opens, here.Opens, more.Opens}, {less.Closes, here.Closes, more.Closes}} {
			left, right := (e[1].Crank()-e[0].Crank())/step, (e[2].Crank()-e[1].Crank())/step
			if math.Abs(left-right) > 0.01*math.Abs(left) {
				continue // too near a bend or the middle of a level stretch for differences to tell
			}
			got, err := e[1].CrankPerClearance()
			require.NoError(t, err)
			require.InEpsilon(t, (left+right)/2, got, 0.01, "%s at %g of %g", d.shape, clearance, full)
		}
	})
}

func TestMoreClearanceOpensLaterAndClosesEarlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		full := d.profile.FullLift()
		a, b := full*number(t, 0, 0.999, "one"), full*number(t, 0, 0.999, "other")
		less, err := d.profile.Events(min(a, b))
		require.NoError(t, err)
		more, err := d.profile.Events(max(a, b))
		require.NoError(t, err)
		require.LessOrEqual(t, less.Opens.Angle, more.Opens.Angle+angleAccuracy)
		require.GreaterOrEqual(t, less.Closes.Angle, more.Closes.Angle-angleAccuracy)
	})
}

func TestClearanceForIsTheInverseOfDuration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		full := d.profile.FullLift()
		clearance := full * number(t, 0, 0.999, "clearance")
		e, err := d.profile.Events(clearance)
		require.NoError(t, err)
		found, err := d.profile.ClearanceFor(e.Duration())
		require.NoError(t, err)
		again, err := d.profile.Events(found)
		require.NoError(t, err)
		// The clearance comes back as closely as the flank is steep enough to tell.
		slack := 2e-12*(again.Opens.Speed+again.Closes.Speed+e.Opens.Speed+e.Closes.Speed) + 1e-13*full
		require.InDelta(t, clearance, found, slack, "%s", d.shape)
	})
}

// A duration measured on a level stretch of the lift comes from that lift.
func TestClearanceForOnALevelStretch(t *testing.T) {
	p, err := Table{{0, 0}, {10, 2}, {20, 2}, {30, 6}, {40, 8}}.Profile()
	require.NoError(t, err)
	for _, duration := range []float64{81, 100, 119} {
		c, err := p.ClearanceFor(duration)
		require.NoError(t, err)
		assert.InDelta(t, 2, c, 1e-12)
	}
	e, err := p.Events(2)
	require.NoError(t, err)
	assert.InDelta(t, 20, e.Closes.Angle, angleAccuracy, "the valve is shut on the level stretch")
	_, err = e.Closes.CrankPerClearance()
	assert.ErrorContains(t, err, "no bounded effect")
}

func TestEventsWithinContainsEveryClearance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawProfile(t)
		full := d.profile.FullLift()
		a, b := full*number(t, -0.1, 0.99, "one"), full*number(t, 0, 0.99, "other")
		within := interval.Of(min(a, b), max(a, b))
		bounds, err := d.profile.EventsWithin(within)
		require.NoError(t, err)
		clearance := max(0, within.Lo+number(t, 0, 1, "part")*(within.Hi-within.Lo))
		e, err := d.profile.Events(min(clearance, within.Hi))
		require.NoError(t, err)
		require.True(t, bounds.Opens.Contains(e.Opens.Angle), "%s: %v in %v", d.shape, e, bounds)
		require.True(t, bounds.Closes.Contains(e.Closes.Angle), "%s: %v in %v", d.shape, e, bounds)
		require.True(t, bounds.Duration().Contains(e.Duration()), "%s", d.shape)

		narrow, err := d.profile.EventsWithin(interval.Point(max(0, within.Hi)))
		require.NoError(t, err)
		require.True(t, narrow.Opens.Within(bounds.Opens) && narrow.Closes.Within(bounds.Closes))
	})
}

func TestEventsWithinIsTight(t *testing.T) {
	p, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
	require.NoError(t, err)
	bounds, err := p.EventsWithin(interval.Of(0.0195, 0.0205))
	require.NoError(t, err)
	for _, c := range []struct{ clearance, opens float64 }{{0.0195, bounds.Opens.Lo}, {0.0205, bounds.Opens.Hi}} {
		e, err := p.Events(c.clearance)
		require.NoError(t, err)
		assert.InDelta(t, e.Opens.Angle, c.opens, 3e-9)
	}
}

func TestEventErrors(t *testing.T) {
	p, err := Rise{Form: Harmonic, Lift: 0.3, Angle: 60, Dwell: 10}.Profile()
	require.NoError(t, err)
	for _, c := range []struct {
		do   func() error
		want string
	}{
		{func() error { _, err := p.Events(-0.001); return err }, "clearance -0.001 must be 0 or more"},
		{func() error { _, err := p.Events(0.3); return err }, "clearance 0.3 must be less than full lift, 0.3, or the valve never opens"},
		{func() error { _, err := p.Events(math.NaN()); return err }, "clearance NaN must be 0 or more"},
		{func() error { _, err := p.EventsWithin(interval.Empty()); return err }, "no clearance is possible"},
		{func() error { _, err := p.EventsWithin(interval.Of(-2, -1)); return err }, "no clearance is possible"},
		{func() error { _, err := p.EventsWithin(interval.Of(0.1, 0.4)); return err }, "clearance 0.4 must be less than full lift"},
		{func() error { _, err := p.ClearanceFor(261); return err }, "duration 261 must be no more than 260 crank degrees"},
		{func() error { _, err := p.ClearanceFor(20); return err }, "duration 20 must be more than 20 crank degrees"},
		{func() error { _, err := p.ClearanceFor(math.NaN()); return err }, "duration NaN must be"},
		{func() error { _, err := p.At(math.Inf(1)); return err }, "camshaft angle +Inf must be a finite number"},
		{func() error { _, err := p.AtValve(0); return err }, "rocker ratio 0 must be a number between"},
		{func() error { _, err := p.AtTappet(math.NaN()); return err }, "rocker ratio NaN must be a number between"},
		{func() error { _, err := p.AtValve(1e-6); return err }, "lift 3e-07 must be a number between"},
		{func() error { _, err := (Event{}).CrankPerClearance(); return err }, "no bounded effect"},
	} {
		assert.ErrorContains(t, c.do(), c.want)
	}
}
