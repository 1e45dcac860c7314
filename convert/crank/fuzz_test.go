package crank_test

import (
	"math"
	"testing"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

// Whatever the numbers, a function returns an error or finite results: never NaN,
// never a panic.

func finite(t *testing.T, err error, results ...float64) {
	t.Helper()
	if err != nil {
		return
	}
	for _, r := range results {
		if math.IsNaN(r) || math.IsInf(r, 0) {
			t.Fatalf("results %v without an error", results)
		}
	}
}

func finiteInterval(t *testing.T, i interval.Interval, err error) {
	t.Helper()
	if err == nil && !i.IsFinite() {
		t.Fatalf("result %v without an error", i)
	}
}

// odd are the numbers that break careless arithmetic.
var odd = []float64{0, math.Copysign(0, -1), 1, -1, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64, 360, 720, 1e9, 1e-9}

func FuzzEvent(f *testing.F) {
	for _, x := range odd {
		f.Add(3, 2, x, x)
	}
	f.Fuzz(func(t *testing.T, event, datum int, degrees, at float64) {
		e, d := crank.Event(event), crank.Datum(datum)
		on, err := e.At(degrees, d)
		finite(t, err, on)
		in, err := e.In(at, d)
		finite(t, err, in)
		if err == nil {
			back, err := e.At(in, d)
			finite(t, err, back)
		}
		customary, datumOf, err := e.Customary(at)
		finite(t, err, customary, float64(datumOf))
		i, err := e.AtInterval(interval.Of(degrees, at), d)
		finiteInterval(t, i, err)
		_, _ = e.String(), d.String()
	})
}

func FuzzDurations(f *testing.F) {
	for _, x := range odd {
		f.Add(x, 48., 47., x)
	}
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		e, err := crank.CustomaryEvents(a, b, c, d)
		finite(t, err, e.InletOpens, e.InletCloses, e.ExhaustOpens, e.ExhaustCloses)
		for _, of := range []func(float64, float64) (float64, error){crank.Duration, crank.Overlap, crank.LobeCentre, crank.LobeSeparation} {
			r, err := of(a, b)
			finite(t, err, r)
		}
		margin, err := crank.Margin(a, b, c)
		finite(t, err, margin)
		if err == nil && (margin > 360 || margin < -360) {
			t.Fatalf("margin %g", margin)
		}
	})
}

func FuzzLinkage(f *testing.F) {
	for i, x := range odd {
		f.Add(x, 7., 0., 10., 1., 1+i%4)
		f.Add(4., x, 0.1, 10., 1., 1+i%4)
		f.Add(4., 7., x, x, x, 1+i%4)
	}
	f.Add(2., 1.000001, 0., 90., 1., 3)
	f.Fuzz(func(t *testing.T, stroke, rod, offset, degrees, travel float64, datum int) {
		l, d := crank.Linkage{Stroke: stroke, Rod: rod, Offset: offset}, crank.Datum(datum)
		x, err := l.Travel(degrees, d)
		finite(t, err, x)
		if err == nil {
			if x < 0 || x > stroke {
				t.Fatalf("%+v: travel %g at %g %v", l, x, degrees, d)
			}
			back, err := l.Angle(x, d)
			if err != nil {
				t.Fatalf("%+v: travel %g has no angle: %v", l, x, err)
			}
			finite(t, err, back)
		}
		a, err := l.Angle(travel, d)
		finite(t, err, a)
		top, bottom, err := l.DeadCentres()
		finite(t, err, top, bottom)
		from, err := l.FromCrank(degrees, d)
		finite(t, err, from)
		to, err := l.ToCrank(degrees, d)
		finite(t, err, to)
		throw, err := l.Throw()
		finite(t, err, throw)
		s, err := crank.PistonStroke(stroke, rod, offset)
		finite(t, err, s)
	})
}

func FuzzLinkageInterval(f *testing.F) {
	for i, x := range odd {
		f.Add(x, 0.001, 7., 0.1, 0., 10., 1., 1., 0.1, 1+i%4)
		f.Add(4., 0.001, x, 0.1, 0.1, x, x, x, x, 1+i%4)
		f.Add(4., x, 7., x, x, 10., 1., 1., x, 1+i%4)
	}
	f.Fuzz(func(t *testing.T, stroke, strokeWidth, rod, rodWidth, offset, degrees, degreesWidth, travel, travelWidth float64, datum int) {
		d := crank.Datum(datum)
		l := crank.LinkageInterval{
			Stroke: interval.Of(stroke, stroke+strokeWidth),
			Rod:    interval.Of(rod, rod+rodWidth),
			Offset: interval.Of(math.Min(offset, 0), math.Max(offset, 0)),
		}
		x, err := l.Travel(interval.Of(degrees, degrees+degreesWidth), d)
		finiteInterval(t, x, err)
		if err == nil {
			m := crank.Linkage{Stroke: stroke, Rod: rod, Offset: offset}
			if got, err := m.Travel(degrees, d); err != nil || !x.Contains(got) {
				t.Fatalf("%+v: %v misses %g of %+v at %g %v: %v", l, x, got, m, degrees, d, err)
			}
		}
		part := interval.Of(travel, travel+travelWidth)
		a, err := l.Angle(part, d)
		finiteInterval(t, a, err)
		m := crank.Linkage{Stroke: stroke, Rod: rod, Offset: offset}
		if got, mErr := m.Angle(travel, d); err == nil && mErr == nil && !a.Contains(got) {
			t.Fatalf("%+v: %v misses %.17g of %+v at %g %v", l, a, got, m, travel, d)
		}
		from, err := l.FromCrank(part, d)
		finiteInterval(t, from, err)
		to, err := l.ToCrank(part, d)
		finiteInterval(t, to, err)
		crank.UnknownRod(l.Stroke)
	})
}

func FuzzRim(f *testing.F) {
	for _, x := range odd {
		f.Add(x, 0.1, 10., 1., 120)
		f.Add(16., x, x, x, int(math.Max(-9, math.Min(x, 9))))
	}
	f.Fuzz(func(t *testing.T, diameter, width, degrees, distance float64, teeth int) {
		r := crank.Rim{Diameter: diameter}
		for _, of := range []func(float64) (float64, error){r.Distance, r.Chord, r.Angle, r.ChordAngle, crank.Ring(teeth).Angle, crank.Ring(teeth).Teeth} {
			for _, x := range []float64{degrees, distance} {
				v, err := of(x)
				finite(t, err, v)
			}
		}
		if along, err := r.Distance(degrees); err == nil {
			if _, err := r.Angle(along); err != nil {
				t.Fatalf("%g along a rim of %g is %g, which has no angle: %v", degrees, diameter, along, err)
			}
		}
		if straight, err := r.Chord(degrees); err == nil {
			if _, err := r.ChordAngle(straight); err != nil {
				t.Fatalf("%g by a straight rule on a rim of %g is %g, which has no angle: %v", degrees, diameter, straight, err)
			}
		}
		wide := crank.RimInterval{Diameter: interval.Of(diameter, diameter+width)}
		for _, of := range []func(interval.Interval) (interval.Interval, error){wide.Distance, wide.Chord, wide.Angle, wide.ChordAngle, crank.Ring(teeth).AngleInterval, crank.Ring(teeth).TeethInterval} {
			for _, x := range []float64{degrees, distance} {
				v, err := of(interval.Of(x, x+width))
				finiteInterval(t, v, err)
			}
		}
	})
}

func FuzzFiring(f *testing.F) {
	for i, x := range odd {
		f.Add(0., 180., 180., x, x, x, i%6)
		f.Add(0., x, 180., 0., 360., 5., i%6)
	}
	f.Fuzz(func(t *testing.T, a, b, c, d, position, within float64, which int) {
		orders := [][]int{{1, 3, 4, 2}, {1, 2, 4, 3}, {1, 4, 3, 2}, {1, 2, 3, 4}, {2, 1, 3, 4}, {1, which}}
		order := orders[((which%6)+6)%6]
		even, err := crank.EvenFiring(order)
		if err == nil {
			_, err := even.OnTheRock(position, within)
			finite(t, err)
		}
		fired, err := crank.FiringOf([]float64{a, b, c, d}, []float64{d, c, b, a}, order)
		finite(t, err, fired...)
		for _, firing := range []crank.Firing{even, fired, {a, b, c, d}, {0, b, c, d}} {
			intervals, err := firing.Intervals()
			finite(t, err, intervals...)
			_, _ = firing.Order()
			_, _ = firing.Even()
			_, _ = firing.Companions()
			_, _ = firing.OnTheRock(position, within)
			_, _, _ = firing.CompanionSum()
			_, _, _ = firing.SumRule([]crank.Kind{crank.Kind(which), 1, 2, 1, 1, 2, 1, 2})
			own, err := firing.Own(which, position)
			finite(t, err, own)
			at, err := firing.Position(which, position)
			finite(t, err, at)
			e := crank.Events{InletOpens: a, InletCloses: b, ExhaustOpens: c, ExhaustCloses: d}
			margins, err := firing.Margins(e, position)
			for _, m := range margins {
				finite(t, err, m.Margin)
			}
			rock, err := firing.RockTable(e, within)
			for _, row := range rock {
				finite(t, err, row.Position)
			}
			lift, err := firing.LiftTable(e, within)
			for _, row := range lift {
				finite(t, err, row.Position)
			}
		}
	})
}
