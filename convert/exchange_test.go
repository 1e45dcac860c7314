package convert

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestMismatch(t *testing.T) {
	_, err := Exchange(big.NewRat(1, 1), Millimetre, PoundPerSquareInch)
	var mismatch *MismatchError
	require.ErrorAs(t, err, &mismatch)
	assert.Equal(t, "millimetre is a length and pound per square inch is a pressure: one does not convert into the other", err.Error())
	_, _, err = ExchangeBounds(nil, nil, Millimetre, Degree)
	require.ErrorAs(t, err, &mismatch)
}

func TestPitchDomain(t *testing.T) {
	var domain *DomainError
	for _, x := range []string{"0", "-10"} {
		_, err := Exchange(parse(t, x), DiametralPitch, Module)
		require.ErrorAs(t, err, &domain)
		assert.Contains(t, err.Error(), "must be greater than zero")
	}
	_, _, err := ExchangeBounds(nil, parse(t, "10"), DiametralPitch, Module)
	require.ErrorAs(t, err, &domain)
	assert.True(t, DiametralPitch.Interval(nil, parse(t, "10")).IsEmpty())
	same, err := Exchange(parse(t, "0"), DiametralPitch, DiametralPitch)
	require.NoError(t, err)
	assert.Zero(t, same.Sign())
}

func TestBoundsOfPitchChangePlaces(t *testing.T) {
	lo, hi, err := ExchangeBounds(parse(t, "8"), parse(t, "10"), DiametralPitch, Module)
	require.NoError(t, err)
	assert.Equal(t, "2.54 3.175", exact(lo)+" "+exact(hi))
	lo, hi, err = ExchangeBounds(parse(t, "8"), nil, DiametralPitch, Module)
	require.NoError(t, err)
	assert.Equal(t, "0 3.175", exact(lo)+" "+exact(hi))
}

func TestOpenBoundsStayOpen(t *testing.T) {
	lo, hi, err := ExchangeBounds(parse(t, "435"), nil, PoundPerSquareInch, Kilopascal)
	require.NoError(t, err)
	assert.Equal(t, "2999.22", Fixed(lo, 2)) // 435 × 6.894757 by hand
	assert.Nil(t, hi)
	i := PoundPerSquareInch.Interval(parse(t, "435"), nil)
	assert.True(t, math.IsInf(i.Hi, 1))
	assert.InDelta(t, 2999.219, i.Lo, 0.001)
	assert.True(t, math.IsInf(Inch.Interval(nil, parse(t, "1")).Lo, -1))
}

// drawUnits draws two units of one dimension.
func drawUnits(t *rapid.T) (Unit, Unit) {
	d := Dimension(rapid.IntRange(0, int(dimensions)-1).Draw(t, "dimension"))
	of := rapid.SampledFrom(d.Units())
	return of.Draw(t, "from"), of.Draw(t, "to")
}

func drawRat(t *rapid.T, label string) *big.Rat {
	return big.NewRat(rapid.Int64Range(-1e12, 1e12).Draw(t, label), rapid.Int64Range(1, 1e6).Draw(t, label+" parts"))
}

func TestThereAndBackIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawUnits(t)
		x := drawRat(t, "x")
		before := x.RatString()
		y, err := Exchange(x, from, to)
		if err != nil {
			if from.Dimension() != Pitch || x.Sign() > 0 {
				t.Fatal(err)
			}
			return
		}
		z, err := Exchange(y, to, from)
		if err != nil || z.Cmp(x) != 0 || x.RatString() != before {
			t.Fatalf("%s %s became %s %s and then %v, %v", before, from.Name(), y.RatString(), to.Name(), z, err)
		}
	})
}

// A value inside the bounds stays inside, in exact numbers and in doubles.
func TestConversionKeepsContainment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawUnits(t)
		x, below, above := drawRat(t, "x"), drawRat(t, "below"), drawRat(t, "above")
		lo, hi := new(big.Rat).Sub(x, below.Abs(below)), new(big.Rat).Add(x, above.Abs(above))
		a, b, err := ExchangeBounds(lo, hi, from, to)
		if err != nil {
			if from.Dimension() != Pitch || lo.Sign() > 0 {
				t.Fatal(err)
			}
			return
		}
		y, err := Exchange(x, from, to)
		if err != nil || a.Cmp(y) > 0 || y.Cmp(b) > 0 {
			t.Fatalf("%v is not between %v and %v: %v", y, a, b, err)
		}
		in := from.Interval(lo, hi)
		if from == DiametralPitch && lo.Sign() <= 0 {
			if !in.IsEmpty() {
				t.Fatalf("%s to %s DP has the modules %v", lo, hi, in)
			}
			return
		}
		l, h := new(big.Rat).SetFloat64(in.Lo), new(big.Rat).SetFloat64(in.Hi)
		base, err := Exchange(x, from, from.Dimension().Base())
		if err != nil || l.Cmp(base) > 0 || base.Cmp(h) > 0 {
			t.Fatalf("%s %s is not in %v: %v", x.RatString(), from.Name(), in, err)
		}
	})
}

// No narrower interval of doubles holds bounds of a few figures.
func TestIntervalIsNarrowest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]Unit{Degree, ArcMinute, Millimetre, Inch, Thou, Foot, CubicCentimetre, RevPerSecond}).Draw(t, "unit")
		x := big.NewRat(rapid.Int64Range(-1e6, 1e6).Draw(t, "x"), rapid.Int64Range(1, 1e4).Draw(t, "parts"))
		in := u.Interval(x, x)
		base, err := Exchange(x, u, u.Dimension().Base())
		if err != nil {
			t.Fatal(err)
		}
		if _, exact := base.Float64(); exact != (in.Lo == in.Hi) {
			t.Fatalf("%s %s: %v", x.RatString(), u.Name(), in)
		}
		if up := math.Nextafter(in.Lo, math.Inf(1)); new(big.Rat).SetFloat64(up).Cmp(base) < 0 && up < in.Hi {
			t.Fatalf("%s %s: %v could be narrower", x.RatString(), u.Name(), in)
		}
	})
}

func BenchmarkInterval(b *testing.B) {
	lo, hi := big.NewRat(103, 2), big.NewRat(105, 2)
	for _, u := range []Unit{Degree, Inch, PoundPerSquareInch} {
		b.Run(u.Name(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if u.Interval(lo, hi).IsEmpty() {
					b.Fatal("empty")
				}
			}
		})
	}
}
