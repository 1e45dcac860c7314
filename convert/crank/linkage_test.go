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

var datums = []crank.Datum{crank.BTDC, crank.ATDC, crank.BBDC, crank.ABDC}

// drawLinkage draws linkages that turn: rods from barely long enough to ten
// strokes, offsets of up to nine tenths of what the rod allows, either side.
func drawLinkage(t *rapid.T) crank.Linkage {
	stroke := rapid.Float64Range(1e-2, 1e3).Draw(t, "stroke")
	rod := stroke * rapid.Float64Range(0.55, 10).Draw(t, "rod in strokes")
	offset := rapid.Float64Range(-0.9, 0.9).Draw(t, "offset") * (rod - stroke/2)
	if rapid.Bool().Draw(t, "no offset") {
		offset = 0
	}
	return crank.Linkage{Stroke: stroke, Rod: rod, Offset: offset}
}

// span returns how many degrees the stroke takes on the side of the datum.
func span(l crank.Linkage, d crank.Datum) float64 {
	top, bottom, err := l.DeadCentres()
	if err != nil {
		panic(err)
	}
	if d == crank.ATDC || d == crank.BBDC {
		return 180 + bottom - top
	}
	return 180 - bottom + top
}

func TestTravelAndAngleUndoOneAnother(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLinkage(t)
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		degrees := span(l, d) * rapid.OneOf(rapid.Float64Range(1e-9, 1e-3), rapid.Float64Range(1e-3, 0.9999)).Draw(t, "part")
		travel := must(l.Travel(degrees, d))
		back := must(l.Angle(travel, d))
		if math.Abs(back-degrees) > 1e-9*degrees {
			t.Fatalf("%+v: %g %v gives %g and back %g", l, degrees, d, travel, back)
		}
		travel = l.Stroke * rapid.OneOf(rapid.Float64Range(1e-18, 1e-3), rapid.Float64Range(1e-3, 1)).Draw(t, "travel")
		again := must(l.Travel(must(l.Angle(travel, d)), d))
		if math.Abs(again-travel) > 1e-9*travel {
			t.Fatalf("%+v: travel %g %v gives %g back", l, travel, d, again)
		}
	})
}

// Within a thousandth of a degree of the other dead centre the angle obeys the
// condition bound documented with Angle, with a few units in the last place as
// the relative error of travel.
func TestConditionBoundNearTheOtherDeadCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := crank.Linkage{Stroke: 4, Rod: 4 * rapid.Float64Range(0.8, 5).Draw(t, "rod in strokes")}
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		short := rapid.Float64Range(1e-7, 1e-3).Draw(t, "degrees short of it")
		degrees := 180 - short
		back := must(l.Angle(must(l.Travel(degrees, d)), d))
		throwToRod := 2 / l.Rod
		eta := short * math.Pi / 180
		bound := degrees * 2 * 8 * 0x1p-52 / (math.Pi * (1 - throwToRod) * eta)
		if math.Abs(back-degrees) > bound {
			t.Fatalf("%+v: %.12g %v comes back as %.12g, bound %g", l, degrees, d, back, bound)
		}
	})
}

func TestTravelGrowsWithTheAngleAndTheStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLinkage(t)
		d := rapid.SampledFrom(datums).Draw(t, "datum")
		whole := span(l, d)
		a := rapid.Float64Range(1e-9, whole).Draw(t, "a")
		b := rapid.Float64Range(1e-9, whole).Draw(t, "b")
		low, high := math.Min(a, b), math.Max(a, b)
		near, far := must(l.Travel(low, d)), must(l.Travel(high, d))
		if near > far+1e-12*l.Stroke {
			t.Fatalf("%+v: travel falls from %g at %g to %g at %g %v", l, near, low, far, high, d)
		}
		if far > l.Stroke || near < 0 {
			t.Fatalf("%+v: travel %g or %g leaves the stroke", l, near, far)
		}
		if must(l.Angle(near, d)) > must(l.Angle(far, d))+1e-5 {
			t.Fatalf("%+v: the angle falls as travel grows from %g to %g %v", l, near, far, d)
		}
		double := crank.Linkage{Stroke: 2 * l.Stroke, Rod: 2 * l.Rod, Offset: 2 * l.Offset}
		if got := must(double.Travel(high, d)); got != 2*far {
			t.Fatalf("%+v: twice the size gives %g, not twice %g", l, got, far)
		}
	})
}

func TestTravelFromOneDeadCentreMakesUpTheOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLinkage(t)
		after := rapid.Float64Range(-360, 360).Draw(t, "degrees ATDC")
		fromTop := must(l.Travel(after, crank.ATDC))
		fromBottom := must(l.Travel(after-span(l, crank.ATDC), crank.ABDC))
		if math.Abs(fromTop+fromBottom-l.Stroke) > 1e-9*l.Stroke {
			t.Fatalf("%+v at %g ATDC: %g and %g do not make up the stroke", l, after, fromTop, fromBottom)
		}
		if before := must(l.Travel(-after, crank.BTDC)); before != fromTop {
			t.Fatalf("%+v: %g ATDC and %g BTDC differ", l, after, -after)
		}
		mirrored := crank.Linkage{Stroke: l.Stroke, Rod: l.Rod, Offset: -l.Offset}
		if m := must(mirrored.Travel(after, crank.BTDC)); m != fromTop {
			t.Fatalf("%+v at %g: the mirrored engine differs", l, after)
		}
	})
}

func TestThrowAndStrokeUndoOneAnother(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLinkage(t)
		throw := must(l.Throw())
		if back := must(crank.PistonStroke(throw, l.Rod, l.Offset)); math.Abs(back-l.Stroke) > 1e-12*l.Stroke {
			t.Fatalf("%+v: throw %g makes a stroke of %g", l, throw, back)
		}
		if l.Offset == 0 && throw != l.Stroke/2 || throw > l.Stroke/2 {
			t.Fatalf("%+v: throw %g", l, throw)
		}
	})
}

func TestLinkageErrorsSayWhatIsWrong(t *testing.T) {
	good := crank.Linkage{Stroke: 4, Rod: 7}
	for what, err := range map[string]error{
		"stroke":            second(crank.Linkage{Stroke: math.NaN(), Rod: 7}.Travel(10, crank.ATDC)),
		"rod length":        second(crank.Linkage{Stroke: 4, Rod: math.Inf(1)}.Travel(10, crank.ATDC)),
		"cylinder offset":   second(crank.Linkage{Stroke: 4, Rod: 7, Offset: math.NaN()}.Angle(1, crank.ATDC)),
		"could not turn":    second(crank.Linkage{Stroke: 4, Rod: 7, Offset: 5.5}.Angle(1, crank.ATDC)),
		"is no datum":       second(good.Travel(10, crank.Datum(0))),
		"the crank angle":   second(good.Travel(math.Inf(-1), crank.ATDC)),
		"piston travel":     second(good.Angle(4.01, crank.ATDC)),
		"piston travel is ": second(good.Angle(-0.01, crank.BTDC)),
		"stroke is 0":       second(crank.Linkage{Rod: 7}.Throw()),
		"rod length is 0":   second(crank.Linkage{Stroke: 4}.ToCrank(10, crank.ATDC)),
		"angle is NaN":      second(good.FromCrank(math.NaN(), crank.ATDC)),
		"crank throw":       second(crank.PistonStroke(0, 7, 0)),
		"short for a throw": second(crank.PistonStroke(4, 3, 0)),
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
}

func second[T any](_ T, err error) error { return err }

func BenchmarkTravelToAngle(b *testing.B) {
	l := crank.Linkage{Stroke: 4, Rod: 7}
	b.ReportAllocs()
	for b.Loop() {
		must(l.Angle(7./16, crank.BTDC))
	}
}

func BenchmarkAngleToTravel(b *testing.B) {
	l := crank.Linkage{Stroke: 4, Rod: 7}
	b.ReportAllocs()
	for b.Loop() {
		must(l.Travel(38.6, crank.BTDC))
	}
}

func BenchmarkTravelToAngleInterval(b *testing.B) {
	for name, l := range map[string]crank.LinkageInterval{
		"in line": {Stroke: interval.Of(3.9995, 4.0005), Rod: interval.Of(6.9995, 7.0005)},
		"offset":  {Stroke: interval.Of(3.9995, 4.0005), Rod: interval.Of(6.9995, 7.0005), Offset: interval.Of(0.1245, 0.1255)},
	} {
		travel := interval.Of(13./32, 15./32)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				must(l.Angle(travel, crank.BTDC))
			}
		})
	}
}
