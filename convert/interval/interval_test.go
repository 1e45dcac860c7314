package interval

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Pi must be bracketed: its digits are those of Abramowitz & Stegun, Handbook
// of Mathematical Functions, table 1.1.
func TestPiIsBracketed(t *testing.T) {
	p, ok := new(big.Rat).SetString("3.14159265358979323846264338327950288")
	assert.True(t, ok)
	assert.True(t, new(big.Rat).SetFloat64(Pi().Lo).Cmp(p) < 0)
	assert.True(t, new(big.Rat).SetFloat64(Pi().Hi).Cmp(p) > 0)
}

func TestExactSumsStayExact(t *testing.T) {
	// 3 ± ½ before, 48 ± ½ after: 180 + 3 + 48 = 231 ± 1, to the last bit.
	got := Point(180).Add(Of(2.5, 3.5)).Add(Of(47.5, 48.5))
	assert.Equal(t, Interval{230, 232}, got)
	assert.Equal(t, Interval{84, 84}, Point(28).Mul(Point(3)))
}

func TestKnownTrigonometry(t *testing.T) {
	for _, c := range []struct{ in, want, got Interval }{
		{Point(60), Point(0.5), Point(60).CosDeg()},
		{Point(30), Point(0.5), Point(30).SinDeg()},
		{Of(-10, 10), Of(math.Cos(math.Pi/18), 1), Of(-10, 10).CosDeg()},
		{Of(170, 190), Of(-1, -math.Cos(math.Pi/18)), Of(170, 190).CosDeg()},
		{Point(0.5), Point(60), Point(0.5).AcosDeg()},
		{Point(-1), Point(-90), Point(-1).AsinDeg()},
	} {
		assert.InDelta(t, c.want.Lo, c.got.Lo, 1e-12, "%v", c.in)
		assert.InDelta(t, c.want.Hi, c.got.Hi, 1e-12, "%v", c.in)
		assert.True(t, c.want.Within(c.got.Grow(1e-15)))
	}
}

// Near ±1 the arc cosine of a rounded argument has a hundred times the error of
// its result elsewhere. The values are √(2e)·(1 + e/12 + 3e²/160) for 1 − e, in
// degrees: the series of Abramowitz & Stegun, 4.4.41, in 60 digits.
func TestArcCosineNearOne(t *testing.T) {
	for _, e := range []float64{1e-4, 1e-8, 1e-12} {
		x := 1 - e
		exact := new(big.Float).SetPrec(200).SetFloat64(1)
		exact.Sub(exact, new(big.Float).SetPrec(200).SetFloat64(x)) // the e that x really stands for
		root := new(big.Float).SetPrec(200).Mul(exact, big.NewFloat(2))
		root.Sqrt(root)
		series := new(big.Float).SetPrec(200).SetFloat64(1)
		for _, term := range []struct {
			power    int
			num, den float64
		}{{1, 1, 12}, {2, 3, 160}, {3, 5, 896}, {4, 35, 18432}} {
			p := new(big.Float).SetPrec(200).SetFloat64(term.num)
			p.Quo(p, big.NewFloat(term.den))
			for range term.power {
				p.Mul(p, exact)
			}
			series.Add(series, p)
		}
		pi, _ := new(big.Float).SetPrec(200).SetString("3.14159265358979323846264338327950288419716939937510582097")
		angle := root.Mul(root, series)
		angle.Mul(angle, big.NewFloat(180)).Quo(angle, pi)
		got := Point(x).AcosDeg()
		lo, hi := new(big.Float).SetFloat64(got.Lo), new(big.Float).SetFloat64(got.Hi)
		assert.True(t, lo.Cmp(angle) <= 0 && angle.Cmp(hi) <= 0, "acos(1−%g): %v does not hold %s", e, got, angle.Text('g', 25))
	}
}

func TestEmptyAndOpen(t *testing.T) {
	e := Empty()
	for name, got := range map[string]Interval{
		"add": e.Add(Point(1)), "mul": Point(2).Mul(e), "div by zero": Point(1).Div(Point(0)),
		"sqrt of negatives": Of(-2, -1).Sqrt(), "acos beyond one": Of(1.1, 2).AcosDeg(), "NaN": Point(math.NaN()),
	} {
		assert.True(t, got.IsEmpty(), name)
	}
	assert.Equal(t, Whole(), Point(1).Div(Of(-1, 1)))
	open := FromRat(big.NewRat(435, 1), nil)
	assert.True(t, open.Contains(1e300))
	assert.False(t, open.Contains(434.9))
}

// gen draws an interval and a member of it.
func gen(t *rapid.T, lo, hi float64, name string) (Interval, float64) {
	a := rapid.Float64Range(lo, hi).Draw(t, name+" lo")
	b := rapid.Float64Range(lo, hi).Draw(t, name+" hi")
	i := Of(math.Min(a, b), math.Max(a, b))
	f := rapid.Float64Range(0, 1).Draw(t, name+" at")
	return i, math.Min(i.Hi, math.Max(i.Lo, i.Lo+f*(i.Hi-i.Lo)))
}

// Every operation's result holds the result for every member of its inputs:
// arithmetic is compared in exact rationals, so a single missing ulp shows.
func TestArithmeticContainment(t *testing.T) {
	rat := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	holds := func(t *rapid.T, i Interval, r *big.Rat) {
		if !math.IsInf(i.Lo, 0) && rat(i.Lo).Cmp(r) > 0 || !math.IsInf(i.Hi, 0) && rat(i.Hi).Cmp(r) < 0 {
			t.Fatalf("%v does not hold %s", i, r.FloatString(30))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		a, x := gen(t, -1e6, 1e6, "a")
		b, y := gen(t, -1e3, 1e3, "b")
		holds(t, a.Add(b), new(big.Rat).Add(rat(x), rat(y)))
		holds(t, a.Sub(b), new(big.Rat).Sub(rat(x), rat(y)))
		holds(t, a.Mul(b), new(big.Rat).Mul(rat(x), rat(y)))
		holds(t, a.Sqr(), new(big.Rat).Mul(rat(x), rat(x)))
		if y != 0 {
			holds(t, a.Div(b), new(big.Rat).Quo(rat(x), rat(y)))
		}
	})
}

func TestFunctionContainment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, x := gen(t, -1000, 1000, "angle")
		if !a.CosDeg().Grow(1e-15).Contains(math.Cos(x * math.Pi / 180)) {
			// math.Cos of a large argument is itself rounded; allow its error only.
			if math.Abs(x) < 360 {
				t.Fatalf("cos %v: %v", x, a.CosDeg())
			}
		}
		b, y := gen(t, 0, 50, "positive")
		if !b.Sqrt().Contains(math.Sqrt(y)) || !b.Pow(1.3).Contains(math.Pow(y, 1.3)) {
			t.Fatalf("root or power of %v misses %v", b, y)
		}
		c, z := gen(t, -1, 1, "cosine")
		if !c.AcosDeg().Contains(math.Acos(z)*180/math.Pi) || !c.AsinDeg().Grow(1e-13).Contains(math.Asin(z)*180/math.Pi) {
			t.Fatalf("arc of %v misses %v", c, z)
		}
	})
}
