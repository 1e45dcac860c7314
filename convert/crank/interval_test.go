package crank_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

// drawAround draws an interval of about the given relative width that holds v,
// and members of it, its two ends among them.
func drawAround(t *rapid.T, name string, v, width float64) (interval.Interval, []float64) {
	a := v * (1 + width*rapid.Float64Range(-1, 1).Draw(t, name+" lo"))
	b := v * (1 + width*rapid.Float64Range(-1, 1).Draw(t, name+" hi"))
	i := interval.Of(math.Min(a, b), math.Max(a, b))
	return i, drawMembers(t, name, i)
}

func drawMembers(t *rapid.T, name string, i interval.Interval) []float64 {
	f := rapid.Float64Range(0, 1).Draw(t, name+" at")
	inside := math.Min(i.Hi, math.Max(i.Lo, i.Lo+f*i.Width()))
	return []float64{i.Lo, inside, i.Hi}
}

// widths are from none at all to those of an unknown rod.
var widths = []float64{0, 1e-12, 1e-4, 0.02, 0.2}

func drawLinkageInterval(t *rapid.T) (crank.LinkageInterval, []crank.Linkage) {
	stroke, strokes := drawAround(t, "stroke", rapid.Float64Range(0.1, 200).Draw(t, "stroke"), rapid.SampledFrom(widths[:4]).Draw(t, "stroke width"))
	middle := rapid.OneOf(rapid.Float64Range(0.66, 0.95), rapid.Float64Range(0.66, 6)).Draw(t, "rod in strokes")
	rod, rods := drawAround(t, "rod", stroke.Hi*middle, rapid.SampledFrom(widths).Draw(t, "rod width"))
	offset, offsets := interval.Point(0), []float64{0}
	if rapid.Bool().Draw(t, "offset") {
		most := 0.8 * (rod.Lo - stroke.Hi/2)
		lo := rapid.Float64Range(-most, most).Draw(t, "offset lo")
		hi := rapid.Float64Range(-most, most).Draw(t, "offset hi")
		offset = interval.Of(math.Min(lo, hi), math.Max(lo, hi))
		offsets = drawMembers(t, "offset", offset)
	}
	var members []crank.Linkage
	for _, s := range strokes {
		for _, r := range rods {
			for _, o := range offsets {
				members = append(members, crank.Linkage{Stroke: s, Rod: r, Offset: o})
			}
		}
	}
	return crank.LinkageInterval{Stroke: stroke, Rod: rod, Offset: offset}, members
}

func TestTravelIntervalHoldsEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, members := drawLinkageInterval(t)
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		lo := rapid.Float64Range(-400, 400).Draw(t, "degrees")
		if rapid.Bool().Draw(t, "near a dead centre") {
			lo = math.Round(lo/180)*180 + lo*1e-6
		}
		degrees := interval.Of(lo, lo+rapid.SampledFrom([]float64{0, 1e-9, 0.5, 5, 90}).Draw(t, "width"))
		travel := must(l.Travel(degrees, d))
		for _, m := range members {
			for _, deg := range drawMembers(t, "degrees", degrees) {
				if got := must(m.Travel(deg, d)); !travel.Contains(got) {
					t.Fatalf("%+v %v %v: %v misses %.17g of %+v at %.17g", l, degrees, d, travel, got, m, deg)
				}
			}
		}
	})
}

func TestDeadCentreShiftHoldsEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, members := drawLinkageInterval(t)
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		lo := rapid.Float64Range(-400, 400).Draw(t, "degrees")
		degrees := interval.Of(lo, lo+rapid.SampledFrom([]float64{0, 0.5, 5}).Draw(t, "width"))
		from, to := must(l.FromCrank(degrees, d)), must(l.ToCrank(degrees, d))
		for _, m := range members {
			for _, deg := range drawMembers(t, "degrees", degrees) {
				if a, b := must(m.FromCrank(deg, d)), must(m.ToCrank(deg, d)); !from.Contains(a) || !to.Contains(b) {
					t.Fatalf("%+v %v %v: %v misses %.17g or %v misses %.17g of %+v", l, degrees, d, from, a, to, b, m)
				}
			}
		}
		if !degrees.Within(must(l.ToCrank(from, d))) {
			t.Fatalf("%+v: %v %v does not come back from %v", l, degrees, d, from)
		}
	})
}

func TestAngleIntervalHoldsEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, members := drawLinkageInterval(t)
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		lo := l.Stroke.Hi * rapid.OneOf(rapid.Float64Range(0, 1e-3), rapid.Float64Range(0, 1), rapid.Just(1.0)).Draw(t, "travel")
		travel := interval.Of(lo, lo+l.Stroke.Hi*rapid.SampledFrom([]float64{0, 1e-12, 1e-3, 0.2}).Draw(t, "width"))
		angles, err := l.Angle(travel, d)
		for _, m := range members {
			for _, x := range drawMembers(t, "travel", travel) {
				if x > m.Stroke {
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				if got := must(m.Angle(x, d)); !angles.Contains(got) {
					t.Fatalf("%+v %v %v: %v misses %.17g of %+v at %.17g", l, travel, d, angles, got, m, x)
				}
			}
		}
	})
}

// Without an offset the bounds are as narrow as they can be: they lie at the
// angles or travels of the extreme linkages, not merely outside them.
func TestIntervalsWithoutOffsetAreNarrow(t *testing.T) {
	stroke := interval.Point(4)
	l := crank.LinkageInterval{Stroke: stroke, Rod: crank.UnknownRod(stroke)}
	short, long := crank.Linkage{Stroke: 4, Rod: 1.4 * 4}, crank.Linkage{Stroke: 4, Rod: 2.5 * 4}
	for _, d := range datums {
		angles := must(l.Angle(interval.Of(0.5, 0.625), d))
		a, b := must(short.Angle(0.5, d)), must(long.Angle(0.5, d))
		c, e := must(short.Angle(0.625, d)), must(long.Angle(0.625, d))
		assert.InDelta(t, min(a, b), angles.Lo, 1e-12, "%v", d)
		assert.InDelta(t, max(c, e), angles.Hi, 1e-12, "%v", d)

		travel := must(l.Travel(interval.Of(30, 40), d))
		assert.InDelta(t, min(must(short.Travel(30, d)), must(long.Travel(30, d))), travel.Lo, 1e-12, "%v", d)
		assert.InDelta(t, max(must(short.Travel(40, d)), must(long.Travel(40, d))), travel.Hi, 1e-12, "%v", d)
	}
}

// With an offset the bounds are at most a quarter wider than the members need,
// for a rod unknown, and twice as wide for one measured.
func TestIntervalsWithOffsetAreUseful(t *testing.T) {
	for _, c := range []struct {
		rod   interval.Interval
		times float64
	}{
		{interval.Of(5.6, 10), 1.25},
		{interval.Of(6.9995, 7.0005), 2},
	} {
		l := crank.LinkageInterval{Stroke: interval.Of(3.9995, 4.0005), Rod: c.rod, Offset: interval.Of(0.2495, 0.2505)}
		for _, d := range datums {
			need := interval.Empty()
			for _, s := range []float64{3.9995, 4.0005} {
				for r := 0; r <= 20; r++ {
					for _, o := range []float64{0.2495, 0.2505} {
						m := crank.Linkage{Stroke: s, Rod: c.rod.Lo + c.rod.Width()*float64(r)/20, Offset: o}
						need = need.Hull(interval.Of(must(m.Angle(0.5, d)), must(m.Angle(0.51, d))))
					}
				}
			}
			got := must(l.Angle(interval.Of(0.5, 0.51), d))
			assert.True(t, need.Within(got), "%v", d)
			assert.Less(t, got.Width(), c.times*need.Width(), "%v rod %v", d, c.rod)
		}
	}
}

// At the very end of the stroke the angle is that of the other dead centre, and
// the bounds stay as close as its condition there allows.
func TestAngleIntervalAtTheEndOfTheStroke(t *testing.T) {
	for _, offset := range []float64{0, 0.25} {
		l := crank.LinkageInterval{Stroke: interval.Point(4), Rod: interval.Point(7), Offset: interval.Point(offset)}
		m := crank.Linkage{Stroke: 4, Rod: 7, Offset: offset}
		for _, d := range datums {
			end := must(l.Angle(interval.Point(4), d))
			assert.True(t, end.Contains(must(m.Angle(4, d))), "%v", d)
			assert.InDelta(t, span(m, d), end.Mid(), 1e-5)
			assert.Less(t, end.Width(), 1e-5)
			start := must(l.Angle(interval.Point(0), d))
			assert.True(t, start.Contains(0))
			assert.Less(t, start.Width(), 1e-100)
		}
	}
}

// Model T: the manual's positions, with stroke 4 in known and the rod not, must
// leave room for the angles of every rod from 6.75 to 7.25 in, and a print to a
// sixteenth leaves the angle uncertain by a few degrees.
func TestUnknownRodHoldsTheModelT(t *testing.T) {
	stroke := interval.Of(3.9995, 4.0005)
	l := crank.LinkageInterval{Stroke: stroke, Rod: crank.UnknownRod(stroke)}
	for _, c := range []struct {
		travel float64
		d      crank.Datum
		angles []float64 // computed by another hand, rods 6.75, 7, 7.25 in
	}{
		{1. / 16, crank.ATDC, []float64{12.62, 12.67, 12.72}},
		{9. / 16, crank.ABDC, []float64{51.12, 50.81, 50.54}},
		{5. / 16, crank.BBDC, []float64{38.11, 37.86, 37.63}},
	} {
		exact := must(l.Angle(interval.Point(c.travel), c.d))
		for _, a := range c.angles {
			assert.True(t, exact.Contains(a), "%g in %v: %v", c.travel, c.d, exact)
		}
		assert.Less(t, exact.Width(), 4.5, "not knowing the rod costs little")
		rounded := must(l.Angle(interval.Of(c.travel-1./32, c.travel+1./32), c.d))
		assert.True(t, exact.Within(rounded))
		assert.Less(t, rounded.Width(), 9.0)
	}
}

func TestUnknownRodIsTheStatedMultipleOfTheStroke(t *testing.T) {
	rod := crank.UnknownRod(interval.Of(3.5, 4))
	assert.InDelta(t, 4.9, rod.Lo, 1e-12)
	assert.InDelta(t, 10, rod.Hi, 1e-12)
	// 146 mm rod of a Datsun L20B (stroke 86 mm from memory); Model T, 7 in and 4 in.
	assert.True(t, crank.UnknownRod(interval.Point(86)).Contains(146))
	assert.True(t, crank.UnknownRod(interval.Point(4)).Contains(7))
}

func TestTravelIntervalAcrossDeadCentres(t *testing.T) {
	l := crank.LinkageInterval{Stroke: interval.Point(4), Rod: interval.Point(7)}
	across := must(l.Travel(interval.Of(-5, 10), crank.BTDC))
	assert.Equal(t, 0.0, across.Lo)
	assert.InDelta(t, must(crank.Linkage{Stroke: 4, Rod: 7}.Travel(10, crank.BTDC)), across.Hi, 1e-12)
	bottom := must(l.Travel(interval.Of(170, 200), crank.ATDC))
	assert.InDelta(t, 4, bottom.Hi, 1e-12)
	whole := must(l.Travel(interval.Of(-200, 200), crank.ABDC))
	assert.Equal(t, 0.0, whole.Lo)
	assert.InDelta(t, 4, whole.Hi, 1e-12)
}

func TestRimIntervalsHoldEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		diameter, diameters := drawAround(t, "diameter", rapid.Float64Range(1, 500).Draw(t, "diameter"), rapid.SampledFrom(widths).Draw(t, "width"))
		r := crank.RimInterval{Diameter: diameter}
		lo := rapid.Float64Range(-180, 180).Draw(t, "degrees")
		degrees := interval.Of(lo, math.Min(180, lo+rapid.SampledFrom([]float64{0, 1e-9, 1, 40}).Draw(t, "degrees width")))
		along, straight := must(r.Distance(degrees)), must(r.Chord(degrees))
		angles, chords := must(r.Angle(along)), must(r.ChordAngle(straight))
		if !degrees.Within(angles) || !degrees.Within(chords) {
			t.Fatalf("%v of %v come back as %v, %v", degrees, diameter, angles, chords)
		}
		for _, d := range diameters {
			m := crank.Rim{Diameter: d}
			for _, deg := range drawMembers(t, "degrees", degrees) {
				distance, chord := must(m.Distance(deg)), must(m.Chord(deg))
				if !along.Contains(distance) || !straight.Contains(chord) {
					t.Fatalf("%v of %v: %g not in %v or %g not in %v", deg, d, distance, along, chord, straight)
				}
				if !angles.Contains(must(m.Angle(distance))) || !chords.Contains(must(m.ChordAngle(chord))) {
					t.Fatalf("%v of %v: angle of %g not in %v or of %g not in %v", deg, d, distance, angles, chord, chords)
				}
			}
		}
	})
}

func TestRingIntervalsHoldEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := crank.Ring(rapid.IntRange(1, 400).Draw(t, "ring"))
		n := float64(r)
		lo := rapid.Float64Range(-n, n).Draw(t, "teeth")
		teeth := interval.Of(lo, math.Min(n, lo+rapid.Float64Range(0, 2).Draw(t, "width")))
		angles := must(r.AngleInterval(teeth))
		for _, x := range drawMembers(t, "teeth", teeth) {
			deg := must(r.Angle(x))
			if !angles.Contains(deg) || !must(r.TeethInterval(angles.Intersect(interval.Of(-360, 360)))).Contains(must(r.Teeth(deg))) {
				t.Fatalf("%d teeth: %g gives %g, %v", r, x, deg, angles)
			}
		}
	})
}

func TestEventIntervalHoldsEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := crank.Event(rapid.IntRange(int(crank.Ignition), int(crank.InletCloses)).Draw(t, "event"))
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		lo := rapid.Float64Range(-359, 350).Draw(t, "degrees")
		degrees := interval.Of(lo, lo+rapid.Float64Range(0, 9).Draw(t, "width"))
		at, err := e.AtInterval(degrees, d)
		for _, x := range drawMembers(t, "degrees", degrees) {
			point, pointErr := e.At(x, d)
			if err != nil {
				continue
			}
			if pointErr != nil {
				t.Fatalf("%v %v %v has a place, its member %g none: %v", e, degrees, d, x, pointErr)
			}
			// A place on the circle is rounded as an angle near 720 is.
			if near := at.Grow(2e-13); !near.Contains(point) && !near.Contains(point-720) {
				t.Fatalf("%v %v %v: %v misses %g", e, degrees, d, at, point)
			}
		}
	})
}

func TestIntervalErrorsSayWhatIsWrong(t *testing.T) {
	four, seven := interval.Point(4), interval.Point(7)
	good := crank.LinkageInterval{Stroke: four, Rod: seven}
	for what, err := range map[string]error{
		"no value is left":           second(crank.LinkageInterval{Stroke: interval.Empty(), Rod: seven}.Travel(four, crank.ATDC)),
		"rod length is":              second(crank.LinkageInterval{Stroke: four, Rod: interval.Whole()}.Travel(four, crank.ATDC)),
		"could not turn":             second(crank.LinkageInterval{Stroke: four, Rod: interval.Of(1, 7)}.Angle(four, crank.ATDC)),
		"is no datum":                second(good.Angle(four, 9)),
		"crank angle: no value":      second(good.FromCrank(interval.Empty(), crank.ATDC)),
		"the crank angle":            second(good.Travel(interval.Whole(), crank.ATDC)),
		"lies outside the stroke":    second(good.Angle(interval.Of(4.5, 5), crank.ATDC)),
		"goes more than once round":  second(crank.RimInterval{Diameter: four}.Angle(interval.Of(13, 14))),
		"does not fit":               second(crank.RimInterval{Diameter: four}.ChordAngle(interval.Of(5, 6))),
		"is no event":                second(crank.Event(0).AtInterval(four, crank.ATDC)),
		"either of two":              second(crank.InletOpens.AtInterval(interval.Of(180, 190), crank.BTDC)),
		"the angle of inlet opens":   second(crank.InletOpens.AtInterval(interval.Whole(), crank.BTDC)),
		"rim diameter":               second(crank.RimInterval{}.Distance(four)),
		"rim diameter: no value":     second(crank.RimInterval{Diameter: interval.Empty()}.Chord(four)),
		"teeth counted":              second(crank.Ring(3).AngleInterval(four)),
		"a ring of -1 teeth":         second(crank.Ring(-1).TeethInterval(four)),
		"two dead centres":           second(crank.InletOpens.AtInterval(interval.Of(170, 190), crank.BTDC)),
		"either of two dead centres": second(crank.InletOpens.AtInterval(interval.Of(170, 180), crank.BTDC)),
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
}
