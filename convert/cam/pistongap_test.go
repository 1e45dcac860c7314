package cam

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
)

// inletGap is the inlet of the format's example engine, running clearance 4
// thou, with full lift where 3 BTDC to 48 ABDC at 20 thou puts it.
func inletGap(t require.TestingT) PistonGap {
	tappet, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
	require.NoError(t, err)
	valve, err := tappet.AtValve(1.08)
	require.NoError(t, err)
	piston := crank.Linkage{Stroke: 4.5, Rod: 9}
	return PistonGap{
		Valve: valve, FullLift: 112.5, Clearance: 0.004, Static: 0.25,
		Travel: func(deg float64) (float64, error) { return piston.Travel(deg, crank.ATDC) },
	}
}

// The least gap found is that of a plain search at every thousandth of a degree
// with the textbook formula of the slider crank.
func TestLeastGap(t *testing.T) {
	for _, late := range []float64{-30, -12.86, 0, 12.86} {
		g := inletGap(t)
		got, err := g.Least(late)
		require.NoError(t, err)
		want := Nearest{Gap: math.Inf(1)}
		for i := -360_000; i < 360_000; i++ {
			deg := float64(i) / 1000
			sin, cos := math.Sincos(deg * math.Pi / 180)
			travel := 2.25 + 9 - 2.25*cos - math.Sqrt(81-2.25*2.25*sin*sin)
			m, err := g.Valve.At((deg - 112.5 - late) / 2)
			require.NoError(t, err)
			if gap := 0.25 + travel - max(0, m.Lift-0.004); gap < want.Gap {
				want = Nearest{deg, gap}
			}
		}
		assert.InDelta(t, want.Gap, got.Gap, 1e-9, "late %g", late)
		assert.InDelta(t, want.Crank, got.Crank, 0.001, "late %g", late)
		again, err := g.At(got.Crank+720, late)
		require.NoError(t, err)
		assert.InDelta(t, got.Gap, again, 1e-12)
	}
}

// An earlier inlet is open further near top dead centre, a later exhaust too.
func TestGapShrinksAsTheValveMovesTowardsTopDeadCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inlet, exhaust := inletGap(t), inletGap(t)
		exhaust.FullLift = -inlet.FullLift
		a, b := number(t, -60, 60, "shift"), number(t, -60, 60, "other shift")
		early, err := inlet.Least(min(a, b))
		require.NoError(t, err)
		late, err := inlet.Least(max(a, b))
		require.NoError(t, err)
		require.LessOrEqual(t, early.Gap, late.Gap+1e-12)
		inlet.Clearance = 0
		wider, err := inlet.Least(min(a, b))
		require.NoError(t, err)
		require.InDelta(t, min(early.Gap, inlet.Static), wider.Gap, 0.004+1e-12, "without clearance the valve opens 4 thou further")
		require.LessOrEqual(t, wider.Gap, early.Gap)
		require.LessOrEqual(t, late.Gap, inlet.Static, "the piston at top dead centre, the valve at most shut")
		exhaust.Clearance = 0.004
		mirrored, err := exhaust.Least(-min(a, b))
		require.NoError(t, err)
		require.InDelta(t, early.Gap, mirrored.Gap, 1e-12)
	})
}

func TestGapErrors(t *testing.T) {
	with := func(change func(*PistonGap)) PistonGap {
		g := inletGap(t)
		change(&g)
		return g
	}
	nan := math.NaN()
	seized := errors.New("seized")
	for _, c := range []struct {
		gap  PistonGap
		late float64
		want string
	}{
		{with(func(g *PistonGap) { g.Travel = nil }), 0, "piston travel is missing"},
		{with(func(g *PistonGap) { g.FullLift = nan }), 0, "full lift NaN must lie between"},
		{with(func(g *PistonGap) { g.Static = -0.1 }), 0, "static gap -0.1 must lie between 0"},
		{with(func(g *PistonGap) { g.Clearance = math.Inf(1) }), 0, "clearance +Inf must lie between 0"},
		{with(func(*PistonGap) {}), nan, "timing shift NaN must lie between"},
		{with(func(g *PistonGap) { g.Travel = func(float64) (float64, error) { return nan, nil } }), 0, "piston travel NaN at"},
		{with(func(g *PistonGap) { g.Travel = func(float64) (float64, error) { return 0, seized } }), 0, "crank degrees: seized"},
	} {
		_, err := c.gap.At(0, c.late)
		assert.ErrorContains(t, err, c.want)
		_, err = c.gap.Least(c.late)
		assert.ErrorContains(t, err, c.want)
	}
	_, err := inletGap(t).At(nan, 0)
	assert.ErrorContains(t, err, "crank angle NaN must be a finite number")

	// A travel that fails only between whole degrees fails all the same.
	between := with(func(g *PistonGap) {
		g.Travel = func(deg float64) (float64, error) {
			if deg != math.Trunc(deg) {
				return 0, seized
			}
			return math.Abs(deg), nil
		}
	})
	_, err = between.Least(0)
	assert.ErrorIs(t, err, seized)
}
