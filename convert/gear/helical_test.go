package gear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/interval"
)

func point(x float64) interval.Interval { return interval.Point(x) }

// within draws an interval and one of its members.
func within(t *rapid.T, lo, hi float64, name string) (interval.Interval, float64) {
	a := rapid.Float64Range(lo, hi).Draw(t, name+" lo")
	b := rapid.Float64Range(lo, hi).Draw(t, name+" hi")
	i := interval.Of(math.Min(a, b), math.Max(a, b))
	x := i.Lo + rapid.Float64Range(0, 1).Draw(t, name+" at")*(i.Hi-i.Lo)
	return i, math.Min(i.Hi, math.Max(i.Lo, x))
}

func TestInverseInvolute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		alpha := rad(rapid.Float64Range(1, 85).Draw(t, "angle"))
		require.InEpsilon(t, alpha, inverseInvolute(involute(alpha)), 1e-10)
	})
	assert.Less(t, inverseInvolute(0), 1e-7)
	assert.InDelta(t, math.Pi/2, inverseInvolute(1e15), 1e-12)
	// inv 20° = 0.014904 (tables of the involute function, from memory).
	assert.InDelta(t, 20, deg(inverseInvolute(0.0149043839)), 1e-7)
}

// Straight teeth are a helix of 0: the plain formulas of spur wheels hold.
func TestStraightTeeth(t *testing.T) {
	f := Form{NormalModule: 2.5, PressureDeg: 20}
	p := must[Pitches](t)(f.Pitches())
	assert.Equal(t, 2.5, p.TransverseModule)
	assert.InDelta(t, 20, p.TransversePressureDeg, 1e-12)
	assert.True(t, math.IsInf(p.Axial, 1))
	d := must[Dimensions](t)(f.Wheel(40, 0))
	assert.Equal(t, 100.0, d.ReferenceDiameter)
	assert.Equal(t, 105.0, d.TipDiameter)
	assert.Equal(t, 93.75, d.RootDiameter)
	assert.True(t, math.IsInf(d.Lead, 1))
	still := must[interval.Interval](t)(TeethTurned(point(10), point(0), point(2.5)))
	assert.True(t, still.Contains(0))
	assert.Less(t, still.Width(), 1e-300)
}

// The backlash of a pair opened to another centre distance, once from the
// tooth thicknesses (the code), once from the separation of the base circles'
// involutes: 2·(r_b1 + r_b2)·(inv α_w − inv α_w0)/cos α_w. In an internal pair
// the pinion moves into the other's teeth as the centres open, so the sign turns.
func TestBacklashAtCentreDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Form{
			NormalModule: rapid.Float64Range(0.5, 8).Draw(t, "module"),
			HelixDeg:     rapid.Float64Range(0, 45).Draw(t, "helix"),
			PressureDeg:  rapid.Float64Range(14, 30).Draw(t, "pressure"),
		}
		kind := rapid.SampledFrom([]Kind{External, Internal}).Draw(t, "kind")
		z1 := rapid.IntRange(12, 40).Draw(t, "z1")
		z2 := z1 + rapid.IntRange(20, 60).Draw(t, "more")
		shift := [2]float64{rapid.Float64Range(0, 0.4).Draw(t, "x1"), rapid.Float64Range(0, 0.4).Draw(t, "x2")}
		if kind == Internal && shift[0] > shift[1] {
			shift[0], shift[1] = shift[1], shift[0] // the other way no distance may be free of backlash
		}
		pair, err := f.Pair(kind, [2]int{z1, z2}, shift)
		require.NoError(t, err)
		none, err := pair.At(pair.CentreDistance)
		require.NoError(t, err)
		require.InDelta(t, 0, none.Backlash, 1e-9)
		require.InDelta(t, pair.WorkingPressureDeg, none.PressureDeg, 1e-6)

		centre := pair.CentreDistance * rapid.Float64Range(1, 1.02).Draw(t, "opened")
		w, err := pair.At(centre)
		require.NoError(t, err)
		d1, err := f.Wheel(z1, shift[0])
		require.NoError(t, err)
		d2, err := f.Wheel(z2, shift[1])
		require.NoError(t, err)
		base := d1.BaseDiameter + d2.BaseDiameter
		if kind == Internal {
			base = d1.BaseDiameter - d2.BaseDiameter
		}
		alphaW := math.Acos(math.Abs(base) / (2 * centre))
		want := base * (involute(alphaW) - involute(rad(pair.WorkingPressureDeg))) / math.Cos(alphaW)
		require.InDelta(t, want, w.Backlash, 1e-8)
		for i, z := range []int{z1, z2} {
			d := 2 * centre * float64(z) / float64(z1+z2)
			if kind == Internal {
				d = 2 * centre * float64(z) / float64(z2-z1)
			}
			require.InEpsilon(t, d, w.Diameters[i], 1e-12)
			require.InDelta(t, 360*w.Backlash/(math.Pi*d), w.BacklashDeg[i], 1e-12)
		}
	})
}

// Without shift the pair stands at its reference distance, which the interval
// form gives too.
func TestReferenceCentreDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		module, m := within(t, 0.5, 8, "module")
		helix, b := within(t, 0, 60, "helix")
		kind := rapid.SampledFrom([]Kind{External, Internal}).Draw(t, "kind")
		z1 := rapid.IntRange(8, 60).Draw(t, "z1")
		z2 := z1 + rapid.IntRange(1, 90).Draw(t, "more")
		got, err := ReferenceCentreDistance(kind, z1, z2, helix, module)
		require.NoError(t, err)
		pair, err := Form{NormalModule: m, HelixDeg: b, PressureDeg: 20}.Pair(kind, [2]int{z1, z2}, [2]float64{})
		require.NoError(t, err)
		require.True(t, got.Grow(1e-12*got.Hi).Contains(pair.ReferenceCentreDistance), "%v %v", got, pair.ReferenceCentreDistance)
		require.InEpsilon(t, pair.ReferenceCentreDistance, pair.CentreDistance, 1e-9)
	})
}

// Figures with a width: every member's result lies in the result, and the
// inverse takes the result back to what it came from.
func TestTravelIntervals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		travel, s := within(t, -60, 60, "travel")
		helix, b := within(t, 1, 60, "helix")
		module, m := within(t, 0.5, 8, "module")
		teeth := rapid.IntRange(8, 90).Draw(t, "teeth")
		turned, err := TeethTurned(travel, helix, module)
		require.NoError(t, err)
		n := s * math.Sin(rad(b)) / (math.Pi * m)
		require.True(t, turned.Grow(1e-12).Contains(n), "%v %v", turned, n)

		rotation, err := RotationFromTravel(travel, helix, module, teeth)
		require.NoError(t, err)
		d, err := Form{NormalModule: m, HelixDeg: b, PressureDeg: 20}.Wheel(teeth, 0)
		require.NoError(t, err)
		require.True(t, rotation.Grow(1e-10).Contains(360*s/d.Lead), "%v %v", rotation, 360*s/d.Lead)

		back, err := TravelFor(turned, helix, module)
		require.NoError(t, err)
		require.True(t, travel.Within(back))
		whole, err := TeethTurned(point(s), point(b), point(m))
		require.NoError(t, err)
		exact, err := TravelFor(whole, point(b), point(m))
		require.NoError(t, err)
		require.InDelta(t, s, exact.Mid(), 1e-9)
		require.Less(t, exact.Width(), 1e-9)

		pitch, err := ModuleOfDiametralPitch(module)
		require.NoError(t, err)
		require.True(t, pitch.Grow(1e-12).Contains(25.4/m))
		again, err := ModuleOfDiametralPitch(pitch)
		require.NoError(t, err)
		require.True(t, module.Within(again))
	})
}

func TestBacklashDegrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		backlash, j := within(t, 0, 1, "backlash")
		diameter, d := within(t, 20, 300, "diameter")
		got, err := BacklashDeg(backlash, diameter)
		require.NoError(t, err)
		require.True(t, got.Grow(1e-12).Contains(360*j/(math.Pi*d)))
		back, err := BacklashAlong(got, diameter)
		require.NoError(t, err)
		require.True(t, backlash.Within(back))

		pressure, a := within(t, 10, 30, "pressure")
		helix, b := within(t, 0, 45, "helix")
		round, err := CircumferentialBacklash(backlash, pressure, helix)
		require.NoError(t, err)
		require.True(t, round.Grow(1e-12).Contains(j/(math.Cos(rad(a))*math.Cos(rad(b)))))
	})
	// 2 thou on a wheel of 100 mm is 0.0582 degrees of it (0.0508 mm of a
	// circumference of 314.159 mm).
	got := must[interval.Interval](t)(BacklashDeg(point(0.0508), point(100)))
	assert.InDelta(t, 0.0508/314.1592653589793*360, got.Mid(), 1e-12)
}

func TestHelicalRefuses(t *testing.T) {
	nan, empty := math.NaN(), interval.Empty()
	good := Form{NormalModule: 2, HelixDeg: 20, PressureDeg: 20}
	pair := must[Pair](t)(good.Pair(External, [2]int{20, 40}, [2]float64{}))
	at := func(f Form) error { _, err := f.Pitches(); return err }
	wheel := func(teeth int, x float64) error { _, err := good.Wheel(teeth, x); return err }
	mate := func(k Kind, z1, z2 int, x1, x2 float64) error {
		_, err := good.Pair(k, [2]int{z1, z2}, [2]float64{x1, x2})
		return err
	}
	centre := func(p Pair, a float64) error { _, err := p.At(a); return err }
	span := func(_ interval.Interval, err error) error { return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{at(Form{0, 20, 20}), "normal module, mm: 0 is outside"},
		{at(Form{nan, 20, 20}), "normal module, mm: NaN is outside"},
		{at(Form{2, 90, 20}), "helix angle, degrees: 90 is outside 0 to 89"},
		{at(Form{2, 20, 0}), "normal pressure angle"},
		{wheel(0, 0), "teeth: 0 is outside"},
		{wheel(20, nan), "profile shift"},
		{wheel(2, -1), "leave no wheel inside the teeth"},
		{mate(Chain, 20, 40, 0, 0), "the mesh is chain"},
		{mate(External, 0, 40, 0, 0), "first wheel: 0"},
		{mate(External, 20, 0, 0, 0), "second wheel: 0"},
		{mate(Internal, 40, 40, 0, 0), "not 40 like it"},
		{mate(Internal, 40, 20, 0, 0), "toothed inside second"},
		{mate(External, 20, 40, math.Inf(1), 0), "profile shift"},
		{mate(External, 9, 9, -1, -1), "no centre distance is free of backlash"},
		{centre(pair, 1), "base circles need more than"},
		{centre(pair, nan), "centre distance"},
		{centre(Pair{}, 60), "make it with Form.Pair"},
		{span(TeethTurned(empty, point(20), point(2))), "travel, mm"},
		{span(TeethTurned(point(1), point(-1), point(2))), "helix angle"},
		{span(TeethTurned(point(1), point(20), interval.Of(0, 2))), "normal module"},
		{span(TravelFor(point(1), interval.Of(0, 20), point(2))), "straight teeth do not turn"},
		{span(TravelFor(interval.Whole(), point(20), point(2))), "teeth turned"},
		{span(TravelFor(point(1), point(20), point(0))), "normal module"},
		{span(RotationFromTravel(point(1), point(20), point(2), 0)), "teeth: 0"},
		{span(RotationFromTravel(empty, point(20), point(2), 20)), "travel"},
		{span(ReferenceCentreDistance(External, 20, 40, point(95), point(2))), "helix angle"},
		{span(ReferenceCentreDistance(Belt, 20, 40, point(20), point(2))), "the mesh is belt"},
		{span(ModuleOfDiametralPitch(point(0))), "diametral pitch"},
		{span(BacklashDeg(point(-1), point(100))), "backlash"},
		{span(BacklashDeg(point(1), point(0))), "diameter"},
		{span(BacklashAlong(point(400), point(100))), "free movement"},
		{span(BacklashAlong(point(1), empty)), "diameter"},
		{span(CircumferentialBacklash(point(-1), point(20), point(20))), "backlash"},
		{span(CircumferentialBacklash(point(1), point(70), point(20))), "pressure angle"},
		{span(CircumferentialBacklash(point(1), point(20), point(95))), "helix angle"},
	} {
		assert.ErrorContains(t, c.err, c.want)
	}
}
