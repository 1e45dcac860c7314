package notation

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert"
	"fourmarks.example/schema/figure"
)

// given reads dimensions; it fails the test on a print that cannot be read.
func given(t require.TestingT, prints map[Name]string) Dimensions {
	dims := Dimensions{}
	for name, print := range prints {
		d, err := ReadDimension(name, print, "--"+string(name))
		require.NoError(t, err)
		dims[name] = d
	}
	return dims
}

// drawDimensions draws an engine on which everything can be converted.
func drawDimensions(t *rapid.T) Dimensions {
	inches := rapid.Bool().Draw(t, "inches")
	length := func(mm float64) string {
		if inches {
			return fmt.Sprintf("%.3f in", mm/25.4)
		}
		return fmt.Sprintf("%.1f mm", mm)
	}
	stroke := rapid.Float64Range(40, 200).Draw(t, "stroke")
	prints := map[Name]string{
		Stroke:      length(stroke),
		RimDiameter: length(rapid.Float64Range(80, 600).Draw(t, "rim")),
		RingTeeth:   fmt.Sprint(rapid.IntRange(60, 160).Draw(t, "ring")),
		WheelTeeth:  fmt.Sprint(rapid.IntRange(15, 40).Draw(t, "wheel")),
	}
	if rapid.Bool().Draw(t, "rod known") {
		prints[Rod] = length(stroke * rapid.Float64Range(1.3, 2.6).Draw(t, "rod in strokes"))
	}
	if rapid.Bool().Draw(t, "offset") {
		prints[Offset] = length(stroke * rapid.Float64Range(0.01, 0.15).Draw(t, "offset in strokes"))
		prints[DeadCentre] = rapid.SampledFrom([]string{piston, crankshaft}).Draw(t, "dead centre")
	}
	return given(t, prints)
}

var drawnDatums = []string{"BTDC", "ATDC", "BBDC", "ABDC"}

// drawPosition draws a position in one of the notations that sheets use.
func drawPosition(t *rapid.T, dims Dimensions) string {
	datum := rapid.SampledFrom(drawnDatums).Draw(t, "datum")
	switch rapid.SampledFrom([]string{"degrees", "minutes", "range", "rim", "straight", "piston", "teeth"}).Draw(t, "notation") {
	case "minutes":
		return fmt.Sprintf("%d°%02d' %s", rapid.IntRange(0, 179).Draw(t, "whole"), rapid.IntRange(0, 59).Draw(t, "minutes"), datum)
	case "range":
		low := rapid.IntRange(0, 170).Draw(t, "low")
		return fmt.Sprintf("%d to %d %s", low, low+rapid.IntRange(1, 9).Draw(t, "width"), datum)
	case "rim":
		return fmt.Sprintf("%.1f mm %s rim", rapid.Float64Range(0, 240).Draw(t, "along"), datum)
	case "straight":
		return fmt.Sprintf("%.1f mm %s rim by straight rule", rapid.Float64Range(0, 79).Draw(t, "straight"), datum)
	case "piston":
		stroke := dims[Stroke].Readings[0].Interval().Lo
		return fmt.Sprintf("%.2f mm %s piston", stroke*rapid.Float64Range(0, 0.99).Draw(t, "part of the stroke"), datum)
	case "teeth":
		return fmt.Sprintf("%d teeth %s", rapid.IntRange(0, 28).Draw(t, "teeth"), datum)
	}
	places := rapid.IntRange(0, 2).Draw(t, "places")
	return fmt.Sprintf("%.*f %s", places, rapid.Float64Range(0, 179).Draw(t, "degrees"), datum)
}

// one converts a figure to one notation and returns the first result.
func one(t require.TestingT, f Figure, dims Dimensions, names ...string) Result {
	w, err := f.Wanted(names...)
	require.NoError(t, err, "%q to %v", f.Text, names)
	c, err := f.Convert(w, dims)
	require.NoError(t, err, "%q to %v", f.Text, names)
	require.NotEmpty(t, c.Results)
	return c.Results[0]
}

// lastDatum is the datum that a result counts from: a range that reaches over the
// dead centre names the other side first.
func lastDatum(printed string) string {
	for _, word := range slices.Backward(strings.Fields(printed)) {
		if slices.Contains(drawnDatums, word) {
			return word
		}
	}
	return ""
}

// asPrint is a result as a figure that allows exactly what the result does.
func asPrint(t require.TestingT, r Result, measure figure.Measure, straight bool) Figure {
	kind := figure.Position
	text := r.Printed
	datum := figure.NoDatum
	if i := slices.Index(drawnDatums, lastDatum(text)); i >= 0 {
		datum = figure.BTDC + figure.Datum(i)
	}
	if datum == figure.NoDatum {
		kind = figure.Movement
	}
	value := r.Value
	if value == nil {
		value = amount{lo: r.Low, hi: r.High}.middle()
	}
	f, err := Of(figure.Printed{Text: text, Kind: kind, Readings: []figure.Reading{{
		Value: value, Lo: r.Low, Hi: r.High, Unit: r.Unit, Measure: measure, Datum: datum, Straight: straight, Stated: true, Form: figure.Decimal, Denominator: 1,
		Span: figure.Span{End: len(text)}, Number: figure.Span{End: 0},
	}}})
	require.NoError(t, err, "%+v", r)
	return f
}

// holds fails unless the outer result allows all that the inner does, whole
// turns apart.
func holds(t require.TestingT, outer, inner Result, about string) {
	turns := math.Round((double(outer.Low) - double(inner.Low)) / 360)
	shift := ratio(-360*int64(turns), 1)
	low, high := new(big.Rat).Add(outer.Low, shift), new(big.Rat).Add(outer.High, shift)
	require.True(t, low.Cmp(inner.Low) <= 0 && inner.High.Cmp(high) <= 0, "%s: %s to %s must hold %s to %s", about,
		low.FloatString(9), high.FloatString(9), inner.Low.FloatString(9), inner.High.FloatString(9))
}

// Converting to any notation and back holds the whole of what the print allowed.
func TestThereAndBackHoldsThePrint(t *testing.T) {
	ways := []struct {
		name     string
		measure  figure.Measure
		straight bool
	}{
		{"degrees", figure.CrankAngle, false}, {"minutes", figure.CrankAngle, false},
		{"BTDC", figure.CrankAngle, false}, {"ATDC", figure.CrankAngle, false}, {"BBDC", figure.CrankAngle, false}, {"ABDC", figure.CrankAngle, false},
		{"rim", figure.Rim, false}, {"straight rule", figure.Rim, true}, {"piston", figure.PistonTravel, false}, {"teeth", figure.Teeth, false},
	}
	rapid.Check(t, func(t *rapid.T) {
		dims := drawDimensions(t)
		print := drawPosition(t, dims)
		f, err := Read(print)
		require.NoError(t, err)
		way := rapid.SampledFrom(ways).Draw(t, "way")
		original := one(t, f, dims, "degrees")
		if way.straight && far(amount{value: original.Value, lo: original.Low, hi: original.High}, 180) {
			return
		}
		there := one(t, f, dims, way.name)
		unit := rapid.SampledFrom([]string{"", "mm", "in", "thou"}).Draw(t, "unit")
		if unit != "" && there.Unit.Dimension() == convert.Length {
			there = one(t, f, dims, way.name, unit)
		}
		if way.name == "piston" && f.reading.Measure == figure.PistonTravel {
			require.True(t, there.Exact)
		}
		back := one(t, asPrint(t, there, way.measure, way.straight), dims, lastDatum(original.Printed))
		holds(t, back, original, fmt.Sprintf("%s by way of %s (%s)", print, way.name, there.Printed))
	})
}

// Movements there and back, timing-wheel teeth and camshaft degrees among them.
func TestMovementsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dims := drawDimensions(t)
		f, err := Read(fmt.Sprintf("%.*f", rapid.IntRange(0, 2).Draw(t, "places"), rapid.Float64Range(0, 179).Draw(t, "degrees")))
		require.NoError(t, err)
		original := one(t, f, dims, "degrees")
		for name, measure := range map[string]figure.Measure{"rim": figure.Rim, "wheel teeth": figure.Teeth} {
			back := one(t, asPrint(t, one(t, f, dims, name), measure, false), dims, "degrees")
			holds(t, back, original, name)
		}
		ring := Dimensions{RingTeeth: dims[RingTeeth]}
		holds(t, one(t, asPrint(t, one(t, f, ring, "teeth"), figure.Teeth, false), ring, "degrees"), original, "ring teeth")
		half := one(t, f, dims, "camshaft")
		require.Zero(t, new(big.Rat).Mul(half.Value, ratio(2, 1)).Cmp(original.Value))
	})
}

// Units go there and back without any loss.
func TestUnitsThereAndBackAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom([]convert.Dimension{convert.Length, convert.Volume, convert.Pressure, convert.Power, convert.Speed, convert.LinearSpeed, convert.Temperature, convert.Pitch, convert.Expansion}).Draw(t, "quantity")
		from := rapid.SampledFrom(k.Units()).Draw(t, "from")
		to := rapid.SampledFrom(k.Units()).Draw(t, "to")
		value := ratio(rapid.Int64Range(1, 1e6).Draw(t, "number"), rapid.Int64Range(1, 1000).Draw(t, "parts"))
		width := new(big.Rat).Quo(value, ratio(10, 1))
		f := Figure{Printed: figure.Printed{Text: "drawn", Kind: figure.Text}, reading: figure.Reading{Value: value, Lo: new(big.Rat).Sub(value, width), Hi: new(big.Rat).Add(value, width), Unit: from, Denominator: 1}}
		c := &converter{Figure: f}
		there, err := c.given(to)
		require.NoError(t, err)
		f.reading.Value, f.reading.Lo, f.reading.Hi, f.reading.Unit = there.value, there.lo, there.hi, to
		back, err := (&converter{Figure: f}).given(from)
		require.NoError(t, err)
		require.Zero(t, back.value.Cmp(value))
		require.Zero(t, back.lo.Cmp(new(big.Rat).Sub(value, width)))
		require.Zero(t, back.hi.Cmp(new(big.Rat).Add(value, width)))
		requireRedone(t, unitSteps(value, from, to))
	})
}

// truth is a member of what dimensions allow, by the textbook's formulas and not
// by those of package crank.
type truth struct{ stroke, rod, offset, diameter, ring float64 }

func (m truth) throw() float64 { // by halving the interval in which the throw lies
	travel := func(r float64) float64 {
		return math.Sqrt((m.rod+r)*(m.rod+r)-m.offset*m.offset) - math.Sqrt((m.rod-r)*(m.rod-r)-m.offset*m.offset)
	}
	lo, hi := 0.0, m.stroke/2
	for range 80 {
		if mid := (lo + hi) / 2; travel(mid) < m.stroke {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// travelAt is the signed travel from the piston's own dead centre.
func (m truth) travelAt(degrees float64, datum string, ofCrank bool) float64 {
	r := m.throw()
	top := math.Asin(m.offset / (m.rod + r))
	bottom := math.Asin(m.offset / (m.rod - r))
	turn, dead := degrees*math.Pi/180, math.Sqrt((m.rod+r)*(m.rod+r)-m.offset*m.offset)
	after := strings.HasPrefix(datum, "A")
	if !after {
		turn = -turn
	}
	late, base := top, 0.0
	if strings.HasSuffix(datum, "BDC") {
		late, base, dead = bottom, math.Pi, math.Sqrt((m.rod-r)*(m.rod-r)-m.offset*m.offset)
	}
	side := degrees
	if ofCrank {
		if after {
			side -= late * 180 / math.Pi
		} else {
			side += late * 180 / math.Pi
		}
	} else {
		turn += late
	}
	turn += base
	across := r*math.Sin(turn) - m.offset
	height := r*math.Cos(turn) + math.Sqrt(m.rod*m.rod-across*across)
	return math.Copysign(math.Abs(dead-height), side)
}

// Whatever the true measures are, within what the prints allow, the results hold
// what they come to.
func TestResultsHoldEveryTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dims := drawDimensions(t)
		datum := rapid.SampledFrom(drawnDatums).Draw(t, "datum")
		f, err := Read(fmt.Sprintf("%.*f %s", rapid.IntRange(0, 1).Draw(t, "places"), rapid.Float64Range(0, 155).Draw(t, "degrees"), datum))
		require.NoError(t, err)
		draw := func(name string, lo, hi float64) float64 {
			return math.Min(hi, lo+(hi-lo)*rapid.SampledFrom([]float64{0, 0.3, 0.5, 1}).Draw(t, "true "+name))
		}
		of := func(name Name) float64 {
			is := dims[name].Readings[0].Interval()
			return draw(string(name), is.Lo, is.Hi)
		}
		m := truth{stroke: of(Stroke), diameter: of(RimDiameter), ring: of(RingTeeth)}
		m.rod = m.stroke * draw("rod", 1.4, 2.5)
		if dims.given(Rod) {
			m.rod = of(Rod)
		}
		if dims.given(Offset) {
			m.offset = of(Offset)
		}
		is := f.reading.Interval()
		degrees := draw("degrees", is.Lo, is.Hi)
		ofCrank := dims[DeadCentre].Text == crankshaft
		for name, want := range map[string]float64{
			"rim": math.Pi * m.diameter * degrees / 360, "straight rule": m.diameter * math.Sin(degrees*math.Pi/360),
			"teeth": degrees * m.ring / 360, "camshaft": degrees / 2, "piston": m.travelAt(degrees, datum, ofCrank),
		} {
			names := []string{name}
			if name == "rim" || name == "straight rule" || name == "piston" {
				names = append(names, "mm")
			}
			r := one(t, f, dims, names...)
			if name := lastDatum(r.Printed); name != "" && name != datum { // on the other side of the dead centre
				want = -want
			}
			slack := 1e-9 * m.stroke // of this check's own rounding
			require.True(t, double(r.Low) <= want+slack && want <= double(r.High)+slack, "%s of %s: %s to %s must hold %v of %+v", name, f.Text,
				r.Low.FloatString(9), r.High.FloatString(9), want, m)
		}
	})
}

// Every step can be repeated from its own numbers, the last of them is the
// result, and what is printed can be read as a print that agrees with it.
func TestWorkingsAndPrintsCanBeRepeated(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dims := drawDimensions(t)
		d, err := ReadDimension(Event, rapid.SampledFrom(eventNames()).Draw(t, "event"), "--event")
		require.NoError(t, err)
		dims[Event] = d
		print := drawPosition(t, dims)
		if rapid.Bool().Draw(t, "movement") {
			print = fmt.Sprintf("%.1f", rapid.Float64Range(0, 179).Draw(t, "degrees"))
		}
		f, err := Read(print)
		require.NoError(t, err)
		names := rapid.SampledFrom([][]string{{"all"}, {"piston", "rim", "mm", "thou", "32nds"}, {"degrees", "minutes", "turns"}}).Draw(t, "wanted")
		if f.Kind == figure.Movement && names[0] == "piston" {
			names = names[1:]
		}
		w, err := f.Wanted(names...)
		require.NoError(t, err)
		c, err := f.Convert(w, dims)
		if err != nil && strings.Contains(err.Error(), "half a turn") {
			return // an event that cannot lie there
		}
		require.NoError(t, err)
		for _, r := range c.Results {
			requireRedone(t, r.Working)
			requireOrdered(t, r)
			if slices.Contains([]Notation{Degrees, FromBTDC, FromATDC, FromBBDC, FromABDC, Camshaft, Teeth, WheelSteps}, r.Notation) && r.Value != nil {
				requireLast(t, r)
			}
			requireReadable(t, f, r)
		}
	})
}

func requireOrdered(t require.TestingT, r Result) {
	require.False(t, r.Low == nil || r.High == nil, "%+v", r)
	require.True(t, r.Low.Cmp(r.High) <= 0, "%+v", r)
	if r.Value != nil && !isNearest(r) {
		require.True(t, r.Low.Cmp(r.Value) <= 0 && r.Value.Cmp(r.High) <= 0, "%s: %v not in %v to %v", r.Printed, r.Value, r.Low, r.High)
	}
	require.False(t, strings.HasPrefix(r.Printed, "−"), "no position has a bare sign: %s", r.Printed)
	require.NotContains(t, r.Printed+r.Allowed, "NaN")
	require.NotContains(t, r.Printed+r.Allowed, "Inf")
}

// isNearest reports whether a result is the nearest tooth or fraction, which need
// not lie in the interval.
func isNearest(r Result) bool {
	return r.Rest != "" || r.Value != nil && r.Unit == convert.Inch && new(big.Rat).Mul(r.Value, ratio(64, 1)).IsInt()
}

// requireLast fails unless the last number worked out is the value of the result.
func requireLast(t require.TestingT, r Result) {
	for _, s := range slices.Backward(r.Working) {
		if len(s) < 2 {
			continue
		}
		number := strings.TrimPrefix(s[len(s)-1], "−")
		end := strings.IndexFunc(number, func(c rune) bool { return c != '.' && (c < '0' || c > '9') })
		if end < 0 {
			end = len(number)
		}
		said, err := shown(number[:end])
		require.NoError(t, err)
		value := math.Abs(double(r.Value))
		require.True(t, said.Grow(1e-6*math.Max(1, value)).Contains(value), "%s: the working ends with %v, not %v", r.Printed, s, value)
		return
	}
}

// requireReadable fails unless a result in a notation of sheets is a print that
// meets the interval.
func requireReadable(t require.TestingT, f Figure, r Result) {
	if r.Notation == Camshaft || r.Notation == FromFiring || r.Low.Sign() < 0 || r.Unit == convert.Turn {
		return
	}
	p, err := figure.Read(f.Kind, r.Printed)
	require.NoError(t, err, "%+v", r)
	read := p.Readings[0]
	_, lo, hi, err := read.In(r.Unit)
	require.NoError(t, err)
	low, high := r.Low, r.High
	if isNearest(r) {
		low, high = r.Value, r.Value
	}
	require.True(t, lo.Cmp(high) <= 0 && low.Cmp(hi) <= 0, "%q is read as %v to %v, not %v to %v", r.Printed, lo, hi, r.Low, r.High)
}
