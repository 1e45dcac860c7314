package air_test

import (
	"math"
	"testing"

	"fourmarks.example/convert/air"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

// Whatever the numbers, a function returns an error or finite results: never NaN,
// never a panic.

func finite(t *testing.T, r float64, err error) {
	t.Helper()
	if err == nil && (math.IsNaN(r) || math.IsInf(r, 0)) {
		t.Fatalf("result %g without an error", r)
	}
}

func finiteInterval(t *testing.T, i interval.Interval, err error) {
	t.Helper()
	if err == nil && !i.IsFinite() {
		t.Fatalf("result %v without an error", i)
	}
}

// odd are the numbers that break careless arithmetic.
var odd = []float64{0, math.Copysign(0, -1), 1, -1, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64, 101325, -5000, 11000, 1e12}

func FuzzAtmosphere(f *testing.F) {
	for _, x := range odd {
		f.Add(x, 1.)
		f.Add(1000., x)
	}
	f.Fuzz(func(t *testing.T, x, y float64) {
		for _, of := range []func(float64) (float64, error){air.Pressure, air.Altitude, air.Geopotential, air.Geometric} {
			r, err := of(x)
			finite(t, r, err)
		}
		if p, err := air.Pressure(x); err == nil {
			if _, err := air.Altitude(p); err != nil {
				t.Fatalf("%g m has %g Pa, which has no altitude: %v", x, p, err)
			}
			if z, err := air.Geometric(x); err != nil {
				t.Fatalf("%g m has no geometric altitude: %v", x, err)
			} else if _, err := air.Geopotential(z); err != nil {
				t.Fatalf("%g m geometric has no geopotential altitude: %v", z, err)
			}
		}
		i, err := air.PressureInterval(interval.Of(x, x+y))
		finiteInterval(t, i, err)
		for _, of := range []func(float64, float64) (float64, error){air.VacuumAtAltitude, air.VacuumAtSeaLevel, air.VacuumByRule} {
			r, err := of(x, y)
			finite(t, r, err)
		}
	})
}

func FuzzCompression(f *testing.F) {
	for _, x := range odd {
		f.Add(x, x, 4., 7., 50., 1.25, 4)
		f.Add(5., 101325., x, x, x, x, 4)
	}
	f.Fuzz(func(t *testing.T, ratio, pressure, stroke, rod, degrees, exponent float64, datum int) {
		for _, of := range []func(float64, float64) (float64, error){air.CompressionRatio, air.Chamber} {
			r, err := of(stroke, ratio)
			finite(t, r, err)
		}
		d := crank.Datum(datum)
		r, err := air.TrappedRatio(ratio, crank.Linkage{Stroke: stroke, Rod: rod}, degrees, d)
		finite(t, r, err)
		wide := func(x float64) interval.Interval { return interval.Of(x, x*exponent) }
		trapped, wideErr := air.TrappedRatioInterval(wide(ratio), crank.LinkageInterval{Stroke: wide(stroke), Rod: wide(rod)}, wide(degrees), d)
		finiteInterval(t, trapped, wideErr)
		if err == nil && wideErr == nil && !trapped.Contains(r) {
			t.Fatalf("%v misses %g", trapped, r)
		}
		p, err := air.CrankingPressure(pressure, ratio, exponent)
		finite(t, p, err)
		n, err := air.CrankingExponent(pressure, ratio, stroke)
		finite(t, n, err)
		band, err := air.CrankingBand(wide(pressure), wide(ratio))
		finiteInterval(t, band, err)
	})
}

func FuzzSize(f *testing.F) {
	for _, x := range odd {
		f.Add(x, 4., 4)
		f.Add(3., x, int(math.Max(-70, math.Min(x, 70))))
	}
	f.Fuzz(func(t *testing.T, bore, stroke float64, n int) {
		v, err := air.SweptVolume(bore, stroke, n)
		finite(t, v, err)
		i, err := air.SweptVolumeInterval(interval.Point(bore), interval.Of(bore, stroke), n)
		finiteInterval(t, i, err)
		hp, err := air.TaxableHorsepower(bore, n)
		finite(t, hp, err)
		if err == nil {
			if _, err := air.TaxableBore(hp, n); err != nil {
				t.Fatalf("%g in gives %g hp, which has no bore: %v", bore, hp, err)
			}
		}
		back, err := air.TaxableBore(bore, n)
		finite(t, back, err)
		i, err = air.TaxableHorsepowerInterval(interval.Of(bore, stroke), n)
		finiteInterval(t, i, err)
		speed, err := air.MeanPistonSpeed(bore, stroke)
		finite(t, speed, err)
	})
}

func FuzzThermal(f *testing.F) {
	for _, x := range odd {
		f.Add(x, 11e-6, 70.)
		f.Add(5., x, x)
	}
	f.Fuzz(func(t *testing.T, length, coefficient, rise float64) {
		p := air.Part{Length: length, Coefficient: coefficient, Rise: rise}
		g, err := air.Expansion(p)
		finite(t, g, err)
		c, err := air.ClearanceChange([]air.Part{p, p}, []air.Part{p})
		finite(t, c, err)
	})
}
