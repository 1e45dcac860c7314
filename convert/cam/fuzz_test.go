package cam

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/convert/interval"
)

// sound fails if a profile that was accepted breaks a promise for any number
// asked of it.
func sound(t *testing.T, p Profile, err error, asked float64) {
	t.Helper()
	if err != nil {
		require.NotEmpty(t, err.Error())
		require.Equal(t, Profile{}, p)
		return
	}
	full := p.FullLift()
	require.Positive(t, full)
	require.False(t, math.IsInf(full, 0))
	require.InDelta(t, full, p.closing.full(), 1e-12*full)
	for _, angle := range []float64{0, 1e-9, -20, 45, 90, -180, asked} {
		m, err := p.At(angle)
		if !isFinite(angle) {
			require.Error(t, err)
			continue
		}
		require.NoError(t, err)
		require.True(t, isFinite(m.Lift) && isFinite(m.Velocity) && isFinite(m.Acceleration), "%v at %g", m, angle)
		require.True(t, m.Lift >= -1e-13*full && m.Lift <= full*(1+1e-13), "%v at %g of %g", m, angle, full)
	}
	for _, clearance := range []float64{0, full * 1e-9, full / 7, full / 2, math.Nextafter(full, 0), asked} {
		soundEvents(t, p, clearance)
	}
	soundDuration(t, p, asked)
}

func soundEvents(t *testing.T, p Profile, clearance float64) {
	t.Helper()
	e, err := p.Events(clearance)
	if !(clearance >= 0 && clearance < p.FullLift()) {
		require.Error(t, err)
		return
	}
	require.NoError(t, err)
	require.True(t, e.Opens.Angle >= -180 && e.Opens.Angle <= 0, "%v", e)
	require.True(t, e.Closes.Angle <= 180 && e.Closes.Angle >= 0, "%v", e)
	require.True(t, e.Duration() >= 0 && e.Duration() <= 720 && isFinite(e.LobeCentre()))
	for _, event := range []Event{e.Opens, e.Closes} {
		require.True(t, event.Speed >= 0 && isFinite(event.Speed), "%v", e)
		if later, err := event.CrankPerClearance(); err == nil {
			require.True(t, isFinite(later))
			require.Equal(t, event == e.Opens, later > 0)
		}
	}
	bounds, err := p.EventsWithin(interval.Point(clearance))
	require.NoError(t, err)
	require.True(t, bounds.Opens.Contains(e.Opens.Angle) && bounds.Closes.Contains(e.Closes.Angle), "%v not in %v", e, bounds)
}

func soundDuration(t *testing.T, p Profile, duration float64) {
	t.Helper()
	feet, err := p.Events(0)
	require.NoError(t, err)
	for _, d := range []float64{duration, feet.Duration() / 2, feet.Duration()} {
		c, err := p.ClearanceFor(d)
		if err != nil {
			continue
		}
		require.True(t, c >= 0 && c < p.FullLift(), "clearance %g for %g", c, d)
	}
}

func FuzzThreeArc(f *testing.F) {
	f.Add(0.5, 2.25, 0.17, 0.29, false, "flat", 0.0, 0.02)
	f.Add(30.0, 82.4, 5.0, 20.0, false, "roller", 17.5, 33.0)
	f.Add(0.5, 5.0, 0.17, 0.29, true, "radiused", 0.4, 231.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, true, "", math.NaN(), math.Inf(-1))
	f.Add(1e-6, 1e6, 1e-6, 1e-6, false, "roller", 1e-6, 1e-300)
	f.Fuzz(func(t *testing.T, base, flank, nose, lift float64, concave bool, kind string, radius, asked float64) {
		p, err := ThreeArc{base, flank, nose, lift, concave, Follower{FollowerKind(kind), radius}}.Profile()
		sound(t, p, err, asked)
	})
}

func FuzzThreeArcOver(f *testing.F) {
	f.Add(75.0, 30.0, 5.0, 20.0, "flat", 0.0, 0.1)
	f.Add(50.0, 30.0, 10.0, 20.0, "roller", 12.0, 0.1)
	f.Add(math.NaN(), 0.0, -1.0, math.Inf(1), "roller", 0.0, 0.1)
	f.Fuzz(func(t *testing.T, ascent, base, nose, lift float64, kind string, radius, asked float64) {
		c, err := ThreeArcOver(ascent, base, nose, lift, Follower{FollowerKind(kind), radius})
		if err != nil {
			require.Equal(t, ThreeArc{}, c)
			return
		}
		p, err := c.Profile()
		sound(t, p, err, asked)
	})
}

func FuzzTangent(f *testing.F) {
	f.Add(30.0, 23.9, 17.5, "roller", 17.5, 75.0)
	f.Add(0.5, 0.17, 0.29, "flat", 0.0, 0.0)
	f.Add(math.NaN(), -1.0, math.Inf(1), "radiused", 1e6, math.NaN())
	f.Fuzz(func(t *testing.T, base, nose, lift float64, kind string, radius, ascent float64) {
		follower := Follower{FollowerKind(kind), radius}
		p, err := Tangent{base, nose, lift, follower}.Profile()
		sound(t, p, err, ascent)
		if c, err := TangentOver(ascent, base, lift, follower); err == nil {
			p, err := c.Profile()
			sound(t, p, err, ascent)
		}
	})
}

func FuzzRise(f *testing.F) {
	for _, form := range []Form{Harmonic, Cycloidal, Polynomial345, Polynomial4567, ModifiedSine, Parabolic} {
		f.Add(string(form), 8.0, 64.0, 10.0, 0.01)
	}
	f.Add("", math.NaN(), -1.0, math.Inf(1), math.NaN())
	f.Fuzz(func(t *testing.T, form string, lift, angle, dwell, asked float64) {
		p, err := Rise{Form(form), lift, angle, dwell}.Profile()
		sound(t, p, err, asked)
	})
}

func FuzzRamp(f *testing.F) {
	f.Add(0.5, 0.0625, 0.0, false, 1.0)
	f.Add(0.5, 0.0625, 4.0, true, 1.3)
	f.Add(math.NaN(), -1.0, math.Inf(1), true, math.NaN())
	f.Fuzz(func(t *testing.T, height, speed, blend float64, arcs bool, ratio float64) {
		under, err := Rise{Form: Cycloidal, Lift: 8, Angle: 64}.Profile()
		if arcs {
			under, err = ThreeArc{30, 82, 5, 20, false, Follower{Roller, 12}}.Profile()
		}
		require.NoError(t, err)
		if scaled, err := under.AtValve(ratio); err == nil {
			under = scaled
		}
		p, err := Ramp{height, speed, blend}.Under(under)
		sound(t, p, err, ratio)
		if err == nil {
			again, err := Ramp{height, speed / 2, blend}.Under(p)
			sound(t, again, err, ratio)
		}
	})
}

func FuzzTable(f *testing.F) {
	entries := func(numbers ...float64) []byte {
		var b []byte
		for _, x := range numbers {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
		return b
	}
	f.Add(entries(0, 0, 10, 0.004, 25, 0.06, 40, 0.2, 65, 0.29), 0.02)
	f.Add(entries(-60, 0, -30, 5, 0, 9, 4, 9, 20, 3, 50, 3, 60, 0, 70, 0), 3.0)
	f.Add(entries(0, math.NaN(), math.Inf(1), 1), math.NaN())
	f.Fuzz(func(t *testing.T, data []byte, asked float64) {
		var table Table
		for len(data) >= 16 {
			table = append(table, Point{
				math.Float64frombits(binary.LittleEndian.Uint64(data)),
				math.Float64frombits(binary.LittleEndian.Uint64(data[8:])),
			})
			data = data[16:]
		}
		p, err := table.Profile()
		sound(t, p, err, asked)
	})
}

// FuzzProfile asks one asymmetrical cam with ramps and a rocker for anything.
func FuzzProfile(f *testing.F) {
	f.Add(1.08, 0.02, 0.004, 231.0, 12.0)
	f.Add(math.NaN(), math.NaN(), math.Inf(1), -1.0, math.Inf(-1))
	f.Add(1e-6, 0.0, 1e-300, 720.0, 1e300)
	f.Fuzz(func(t *testing.T, ratio, clearance, other, duration, angle float64) {
		rise, err := Rise{Form: Parabolic, Lift: 8, Angle: 64}.Profile()
		require.NoError(t, err)
		opening, err := Ramp{Height: 0.5, Speed: 0.0625}.Under(rise)
		require.NoError(t, err)
		closing, err := Ramp{Height: 0.3125, Speed: 0.03125, Blend: 3}.Under(rise)
		require.NoError(t, err)
		p, err := Join(opening, closing)
		require.NoError(t, err)
		for _, rock := range []func(float64) (Profile, error){p.AtValve, p.AtTappet} {
			valve, err := rock(ratio)
			sound(t, valve, err, angle)
		}
		soundEvents(t, p, clearance)
		soundEvents(t, p, other)
		soundDuration(t, p, duration)
		bounds, err := p.EventsWithin(interval.Of(clearance, other))
		if err == nil {
			require.False(t, bounds.Opens.IsEmpty() || bounds.Closes.IsEmpty() || bounds.Duration().IsEmpty())
		}
		if joined, err := Join(p, rise); err == nil {
			sound(t, joined, err, angle)
		}
		later, err := Event{angle, clearance}.CrankPerClearance()
		require.True(t, err != nil || isFinite(later))
	})
}

func FuzzFlankSpeed(f *testing.F) {
	f.Add(0.016, 0.016, 4.0, 5.0)
	f.Add(0.0, math.NaN(), math.Inf(-1), math.Inf(1))
	f.Fuzz(func(t *testing.T, moreLo, moreHi, shiftLo, shiftHi float64) {
		more, shift := interval.Of(moreLo, moreHi), interval.Of(shiftLo, shiftHi)
		speed, err := FlankSpeed(more, shift)
		require.Equal(t, err != nil, speed.IsEmpty(), "%v: %v", speed, err)
		possible, err := PossibleShift(more)
		require.Equal(t, err != nil, possible.IsEmpty(), "%v: %v", possible, err)
	})
}

func FuzzPistonGap(f *testing.F) {
	f.Add(112.5, 0.004, 0.25, 4.5, 3.0, -12.86)
	f.Add(math.NaN(), -1.0, math.Inf(1), math.NaN(), math.Inf(-1), math.NaN())
	f.Fuzz(func(t *testing.T, fullLift, clearance, static, stroke, at, late float64) {
		valve, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
		require.NoError(t, err)
		g := PistonGap{valve, fullLift, clearance, static, func(deg float64) (float64, error) {
			return stroke * (1 - math.Cos(deg*radian)) / 2, nil
		}}
		gap, err := g.At(at, late)
		if err != nil {
			require.Zero(t, gap)
		}
		require.True(t, isFinite(gap))
		least, errLeast := g.Least(late)
		require.True(t, isFinite(least.Gap) && least.Crank >= -360 && least.Crank <= 360)
		if err == nil && errLeast == nil {
			require.LessOrEqual(t, least.Gap, gap+1e-5*(math.Abs(stroke)+1))
		}
	})
}
