package air_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/air"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

func near(a, b, relative float64) bool { return math.Abs(a-b) <= relative*math.Abs(b) }

func TestInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(-5000, 11000).Draw(t, "geopotential altitude")
		p := must(air.Pressure(h))
		if back := must(air.Altitude(p)); math.Abs(back-h) > 1e-9*math.Max(math.Abs(h), 1000) {
			t.Fatalf("altitude %g comes back as %g", h, back)
		}
		if again := must(air.Pressure(must(air.Altitude(p)))); !near(again, p, 1e-12) {
			t.Fatalf("pressure %g comes back as %g", p, again)
		}
		if z := must(air.Geometric(h)); !near(must(air.Geopotential(z)), h, 1e-12) {
			t.Fatalf("altitude %g is %g geometric and not back", h, z)
		}
		n := rapid.IntRange(1, 24).Draw(t, "cylinders")
		bore := rapid.Float64Range(0.5, 20).Draw(t, "bore")
		if back := must(air.TaxableBore(must(air.TaxableHorsepower(bore, n)), n)); !near(back, bore, 1e-12) {
			t.Fatalf("bore %g comes back as %g", bore, back)
		}
		swept, ratio := rapid.Float64Range(1e-3, 1e4).Draw(t, "swept"), rapid.Float64Range(1.02, 99).Draw(t, "ratio")
		if back := must(air.CompressionRatio(swept, must(air.Chamber(swept, ratio)))); !near(back, ratio, 1e-9) {
			t.Fatalf("ratio %g comes back as %g", ratio, back)
		}
		exponent := rapid.Float64Range(1, 1.4).Draw(t, "exponent")
		gauge := must(air.CrankingPressure(p, ratio, exponent))
		if back := must(air.CrankingExponent(p, ratio, gauge)); !near(back, exponent, 1e-9) {
			t.Fatalf("exponent %g comes back as %g", exponent, back)
		}
		high := rapid.Float64Range(-5000, 5000).Draw(t, "altitude of the gauge")
		vacuum := rapid.Float64Range(2.1e4, 5.4e4).Draw(t, "vacuum")
		if atSea, err := air.VacuumAtSeaLevel(vacuum, high); err == nil {
			if back := must(air.VacuumAtAltitude(atSea, high)); !near(back, vacuum, 1e-9) {
				t.Fatalf("vacuum %g at %g m comes back as %g", vacuum, high, back)
			}
		} else if high > 0 {
			t.Fatal(err)
		}
	})
}

func TestMonotonicity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(-5000, 10900).Draw(t, "altitude")
		up := h + rapid.Float64Range(1e-3, 100).Draw(t, "rise")
		if must(air.Pressure(up)) >= must(air.Pressure(h)) {
			t.Fatalf("the air does not thin from %g to %g m", h, up)
		}
		l := crank.Linkage{Stroke: 4, Rod: rapid.Float64Range(5, 10).Draw(t, "rod")}
		ratio := rapid.Float64Range(2, 20).Draw(t, "ratio")
		closes := rapid.Float64Range(0, 170).Draw(t, "inlet closes")
		later := closes + rapid.Float64Range(1e-3, 9).Draw(t, "later")
		trapped, less := must(air.TrappedRatio(ratio, l, closes, crank.ABDC)), must(air.TrappedRatio(ratio, l, later, crank.ABDC))
		if !(1 <= less && less < trapped && trapped <= ratio) {
			t.Fatalf("trapped %g at %g ABDC, %g at %g, of %g", trapped, closes, less, later, ratio)
		}
		if same := must(air.TrappedRatio(ratio, l, 180+closes, crank.ATDC)); !near(same, trapped, 1e-9) {
			t.Fatalf("%g ABDC traps %g, the same counted ATDC %g", closes, trapped, same)
		}
		if same := must(air.TrappedRatio(ratio, l, 180-closes, crank.BTDC)); !near(same, trapped, 1e-9) {
			t.Fatalf("%g ABDC traps %g, the same counted BTDC %g", closes, trapped, same)
		}
	})
}

// drawAround draws an interval of up to the given relative width about v, and
// members of it with its ends.
func drawAround(t *rapid.T, name string, v float64) (interval.Interval, []float64) {
	width := rapid.SampledFrom([]float64{0, 1e-12, 1e-3, 0.1}).Draw(t, name+" width")
	a := v * (1 + width*rapid.Float64Range(-1, 1).Draw(t, name+" lo"))
	b := v * (1 + width*rapid.Float64Range(-1, 1).Draw(t, name+" hi"))
	i := interval.Of(math.Min(a, b), math.Max(a, b))
	f := rapid.Float64Range(0, 1).Draw(t, name+" at")
	return i, []float64{i.Lo, math.Min(i.Hi, math.Max(i.Lo, i.Lo+f*i.Width())), i.Hi}
}

func TestIntervalsHoldEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 24).Draw(t, "cylinders")
		bore, bores := drawAround(t, "bore", rapid.Float64Range(1, 20).Draw(t, "bore"))
		stroke, strokes := drawAround(t, "stroke", rapid.Float64Range(1, 20).Draw(t, "stroke"))
		rod, rods := drawAround(t, "rod", stroke.Hi*rapid.Float64Range(1.4, 3).Draw(t, "rod"))
		ratio, ratios := drawAround(t, "ratio", rapid.Float64Range(3, 20).Draw(t, "ratio"))
		closes, angles := drawAround(t, "inlet closes", rapid.Float64Range(-60, 130).Draw(t, "inlet closes"))
		altitude, altitudes := drawAround(t, "altitude", rapid.Float64Range(-4000, 9000).Draw(t, "altitude"))

		swept := must(air.SweptVolumeInterval(bore, stroke, n))
		taxed := must(air.TaxableHorsepowerInterval(bore, n))
		ambient := must(air.PressureInterval(altitude))
		l := crank.LinkageInterval{Stroke: stroke, Rod: rod}
		trapped := must(air.TrappedRatioInterval(ratio, l, closes, crank.ABDC))
		fromTop := must(air.TrappedRatioInterval(ratio, l, interval.Of(180+closes.Lo, 180+closes.Hi), crank.ATDC))
		band := must(air.CrankingBand(ambient, trapped))
		for i := range bores {
			for j := range strokes {
				if v := must(air.SweptVolume(bores[i], strokes[j], n)); !swept.Contains(v) {
					t.Fatalf("%v misses %.17g", swept, v)
				}
			}
			if v := must(air.TaxableHorsepower(bores[i], n)); !taxed.Contains(v) {
				t.Fatalf("%v misses %.17g", taxed, v)
			}
			p := must(air.Pressure(altitudes[i]))
			if !ambient.Contains(p) {
				t.Fatalf("%v misses %.17g", ambient, p)
			}
			for j := range strokes {
				m := crank.Linkage{Stroke: strokes[j], Rod: rods[i]}
				for k := range angles {
					r := must(air.TrappedRatio(ratios[j], m, angles[k], crank.ABDC))
					if !trapped.Contains(r) {
						t.Fatalf("%v misses %.17g", trapped, r)
					}
					if top := must(air.TrappedRatio(ratios[j], m, 180+angles[k], crank.ATDC)); !fromTop.Contains(top) {
						t.Fatalf("%v misses %.17g", fromTop, top)
					}
					for _, exponent := range []float64{1.15, 1.2, 1.3, 1.35} {
						if gauge := must(air.CrankingPressure(p, r, exponent)); !band.Contains(gauge) {
							t.Fatalf("%v misses %.17g", band, gauge)
						}
					}
				}
			}
		}
	})
}

// About 80 psi is what a sound engine of the 1920s and 30s shows (common practice,
// no source): compression ratio near 5, inlet closing 45 to 55 ABDC.
func TestCrankingBandHoldsCommonPractice(t *testing.T) {
	stroke := interval.Point(4)
	l := crank.LinkageInterval{Stroke: stroke, Rod: crank.UnknownRod(stroke)}
	for _, ratio := range []float64{4.75, 5, 5.25, 5.5} {
		for _, closes := range []float64{45, 50, 55} {
			trapped := must(air.TrappedRatioInterval(interval.Point(ratio), l, interval.Point(closes), crank.ABDC))
			band := must(air.CrankingBand(interval.Point(air.SeaLevel), trapped))
			assert.True(t, band.Contains(80*psi), "%g:1, inlet closes %g ABDC: %g to %g psi", ratio, closes, band.Lo/psi, band.Hi/psi)
			assert.False(t, band.Contains(50*psi), "a leak shows")
			assert.False(t, band.Contains(130*psi), "a wrong figure shows")
		}
	}
}

// The diesel's published pressure lies in the band of its trapped ratio for inlet
// closings of 15 to 45 ABDC (its own is not published).
func TestCrankingBandHoldsTheWesterbeke(t *testing.T) {
	l := crank.Linkage{Stroke: 1, Rod: 1.8}
	for _, closes := range []float64{15, 30, 45} {
		trapped := must(air.TrappedRatio(20, l, closes, crank.ABDC))
		band := must(air.CrankingBand(interval.Point(air.SeaLevel), interval.Point(trapped)))
		assert.True(t, band.Contains(478.5*psi), "%g ABDC: %g to %g psi", closes, band.Lo/psi, band.Hi/psi)
	}
	// n = 1.3 on the whole ratio would refuse this sound engine.
	assert.Greater(t, must(air.CrankingPressure(air.SeaLevel, 20, 1.3)), 600*psi)
}

// The print 24.03 hp of the Model A admits a bore of 3.875 and one of 3.876 in once
// each stands for half its last place.
func TestTaxableHorsepowerAdmitsBothBores(t *testing.T) {
	printed := interval.Of(24.025, 24.035)
	for _, bore := range []float64{3.875, 3.876} {
		hp := must(air.TaxableHorsepowerInterval(interval.Of(bore-0.0005, bore+0.0005), 4))
		assert.True(t, hp.Meets(printed), "%g in: %v", bore, hp)
	}
	assert.False(t, must(air.TaxableHorsepowerInterval(interval.Of(3.8795, 3.8805), 4)).Meets(printed))
}

func TestTrappedRatioByHand(t *testing.T) {
	// A rod so long that the piston moves as 1 − cos: at 90 ABDC half the stroke
	// is left, at 60 three quarters.
	l := crank.Linkage{Stroke: 1, Rod: 1e8}
	assert.InDelta(t, 1+5*0.5, must(air.TrappedRatio(6, l, 90, crank.ABDC)), 1e-7)
	assert.InDelta(t, 1+5*0.75, must(air.TrappedRatio(6, l, 60, crank.ABDC)), 1e-7)
	assert.Equal(t, 6.0, must(air.TrappedRatio(6, l, 0, crank.ABDC)))
	// Section of the slider-crank table for a rod of 3.5 throws: at 130 ATDC
	// 86.3824 % of the stroke is behind the piston.
	assert.InDelta(t, 1+4*0.863824, must(air.TrappedRatio(5, crank.Linkage{Stroke: 2, Rod: 3.5}, 50, crank.ABDC)), 4e-6)
}

func TestErrorsSayWhatIsWrong(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	l := crank.Linkage{Stroke: 4, Rod: 7}
	point, li := interval.Point(5), crank.LinkageInterval{Stroke: interval.Point(4), Rod: interval.Point(7)}
	_, open := air.ClearanceChange([]air.Part{{Length: -1}}, nil)
	_, train := air.ClearanceChange(nil, []air.Part{{Length: 1, Coefficient: nan}})
	for what, err := range map[string]error{
		"altitude in metres is NaN":          second(air.Pressure(nan)),
		"altitude in metres is 12000":        second(air.Pressure(12000)),
		"altitude in metres is -":            second(air.Geopotential(-6000)),
		"altitude in metres is +Inf":         second(air.Geometric(inf)),
		"atmospheric pressure":               second(air.Altitude(100)),
		"altitude in metres: no value":       second(air.PressureInterval(interval.Empty())),
		"altitude in metres is [":            second(air.PressureInterval(interval.Whole())),
		"swept volume is 0":                  second(air.CompressionRatio(0, 1)),
		"chamber volume":                     second(air.CompressionRatio(1, nan)),
		"compression ratio is 101":           second(air.CompressionRatio(100, 1)),
		"compression ratio is 1:":            second(air.Chamber(10, 1)),
		"compression ratio is 0.5":           second(air.TrappedRatio(0.5, l, 50, crank.ABDC)),
		"the crank angle":                    second(air.TrappedRatio(5, l, nan, crank.ABDC)),
		"compression ratio is [":             second(air.TrappedRatioInterval(interval.Whole(), li, point, crank.ABDC)),
		"crank angle: no value":              second(air.TrappedRatioInterval(point, li, interval.Empty(), crank.ABDC)),
		"polytropic exponent":                second(air.CrankingPressure(air.SeaLevel, 5, 1.5)),
		"ambient pressure":                   second(air.CrankingPressure(-1, 5, 1.3)),
		"trapped ratio is 0":                 second(air.CrankingExponent(air.SeaLevel, 0, 1)),
		"cranking pressure":                  second(air.CrankingExponent(air.SeaLevel, 5, nan)),
		"ambient pressure in pascals is [5,": second(air.CrankingBand(point, point)),
		"trapped ratio: no value":            second(air.CrankingBand(interval.Point(1e5), interval.Empty())),
		"leaves none at 5000 m":              second(air.VacuumAtAltitude(10*inHg, 5000)),
		"leaves none at 0 m":                 second(air.VacuumAtSeaLevel(1*inHg, -2000)),
		"manifold vacuum in pascals":         second(air.VacuumAtSeaLevel(30*inHg, 5000)),
		"altitude in metres is 20000":        second(air.VacuumAtSeaLevel(1, 20000)),
		"altitude in metres is -20000":       second(air.VacuumAtAltitude(1, -20000)),
		"manifold vacuum in inHg":            second(air.VacuumByRule(-1, 0)),
		"altitude in feet":                   second(air.VacuumByRule(20, 10001)),
		"leaves none at 9000 ft":             second(air.VacuumByRule(8, 9000)),
		"bore is 0":                          second(air.SweptVolume(0, 1, 4)),
		"stroke is NaN":                      second(air.SweptVolume(1, nan, 4)),
		"an engine of 0 cylinders":           second(air.SweptVolume(1, 1, 0)),
		"bore is [0,":                        second(air.SweptVolumeInterval(interval.Of(0, 1), point, 4)),
		"bore in inches is -3":               second(air.TaxableHorsepower(-3, 4)),
		"an engine of 65 cylinders":          second(air.TaxableHorsepower(3, 65)),
		"taxable horsepower":                 second(air.TaxableBore(inf, 4)),
		"bore in inches is [":                second(air.TaxableHorsepowerInterval(interval.Whole(), 4)),
		"speed in rev/min":                   second(air.MeanPistonSpeed(4, -1)),
		"the length of the part":             second(air.Expansion(air.Part{Length: nan})),
		"the rise of temperature":            second(air.Expansion(air.Part{Length: 1, Rise: inf})),
		"housing: the length":                open,
		"train: the coefficient":             train,
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
}

func BenchmarkCrankingBand(b *testing.B) {
	ambient, trapped := interval.Of(90000, 91000), interval.Of(4.4, 4.6)
	b.ReportAllocs()
	for b.Loop() {
		must(air.CrankingBand(ambient, trapped))
	}
}

func BenchmarkTrappedRatioInterval(b *testing.B) {
	l := crank.LinkageInterval{Stroke: interval.Of(3.9995, 4.0005), Rod: interval.Of(6.9995, 7.0005)}
	b.ReportAllocs()
	for b.Loop() {
		must(air.TrappedRatioInterval(interval.Of(4.95, 5.05), l, interval.Of(49.5, 50.5), crank.ABDC))
	}
}
