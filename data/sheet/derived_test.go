package sheet_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/convert"
	"fourmarks.example/data/sheet"
	"fourmarks.example/schema/figure"
)

// Every number on the sheet of a six with helical wheels is printed in a source,
// and marked, or derived, with its interval; and every derived one is found again
// here by another method: arcs by halving chords, pistons by bisection, teeth by
// counting, air by integration, margins by turning the engine (valves_test.go).
func TestEveryNumberIsMarkedAndEveryDerivedOneFoundAgain(t *testing.T) {
	e := demo(t, "penhallow/light-six")
	s := made(t, e, sheet.Options{Altitude: "3000 ft", Cylinder: 4, Disc: "8 in"})
	o := oracleFor(t, e, s)
	derived := 0
	for _, f := range figuresOf(s) {
		switch f.Origin {
		case sheet.Printed:
			assert.NotEmpty(t, f.Marks, f.Name)
			assert.Contains(t, []string{"single-source", "confirmed", "disputed", "settled"}, f.Standing, f.Name)
		case sheet.Derived:
			assert.Equal(t, "derived", f.Standing, f.Name)
			assert.NotEmpty(t, f.By, f.Name)
			derived++
			if f.Interval == nil {
				assert.Contains(t, f.Text, "clockwise", "%s: without an interval only a direction is derived", f.Name)
				continue
			}
			low, high := o.interval(f)
			assert.InDelta(t, low, f.Interval.Low, 1e-6*math.Max(1, math.Abs(low)), f.Name)
			assert.InDelta(t, high, f.Interval.High, 1e-6*math.Max(1, math.Abs(high)), f.Name)
		case sheet.Given:
			assert.Equal(t, "8 in", f.Text)
		default:
			assert.Failf(t, "no origin", "%q of %s", f.Text, f.Name)
		}
		derived += o.conversions(f)
	}
	assert.Greater(t, derived, 60)
	marks := map[string]bool{}
	for _, src := range s.Sources {
		assert.NotEmpty(t, src.Title, "%s %s", src.Mark, src.ID)
		marks[src.Mark] = true
	}
	for _, f := range figuresOf(s) {
		for _, m := range f.Marks {
			assert.True(t, marks[m], "%s carries the mark %s, which is not listed", f.Name, m)
		}
	}
}

// The conversions of every engine are found again in the same way.
func TestConversionsOfEveryEngineAreFoundAgain(t *testing.T) {
	checked := 0
	for _, e := range everyEngine(t) {
		if e.Figure("size.cylinder_offset").First() != nil {
			continue // the oracle knows pistons over the crankshaft only
		}
		s := made(t, e, sheet.Options{Disc: "200 mm"})
		o := oracleFor(t, e, s)
		for _, f := range figuresOf(s) {
			checked += o.conversions(f)
		}
	}
	assert.Greater(t, checked, 500)
}

// figuresOf finds every figure in a sheet, wherever it stands.
func figuresOf(s *sheet.Sheet) []sheet.Figure {
	var all []sheet.Figure
	var visit func(v reflect.Value)
	visit = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				visit(v.Elem())
			}
		case reflect.Slice:
			for i := range v.Len() {
				visit(v.Index(i))
			}
		case reflect.Struct:
			if f, ok := v.Interface().(sheet.Figure); ok {
				if f.Standing != "absent" {
					all = append(all, f)
				}
				return
			}
			for i := range v.NumField() {
				if v.Type().Field(i).IsExported() {
					visit(v.Field(i))
				}
			}
		}
	}
	visit(reflect.ValueOf(s))
	return all
}

// oracle works figures out in its own ways from what the file prints. Lengths
// are inches.
type oracle struct {
	t *testing.T
	engine
	s     *sheet.Sheet
	rims  map[string][2]float64 // by part
	rings map[string]float64
}

func oracleFor(t *testing.T, e engine, s *sheet.Sheet) oracle {
	o := oracle{t, e, s, map[string][2]float64{}, map[string]float64{}}
	for _, p := range s.Parts {
		if rim, ok := o.inches("marks." + p.Name + ".rim_diameter"); ok {
			o.rims[p.Name] = rim
		}
		if n, ok := e.Figure("marks." + p.Name + ".ring_teeth").Count(); ok {
			o.rings[p.Name] = float64(n)
		}
		for _, f := range p.Figures {
			if f.Origin == sheet.Given { // a nominal dimension: ±0.0005 in, ±0.05 mm for whole millimetres
				o.rims[p.Name] = map[string][2]float64{"8 in": {7.9995, 8.0005}, "200 mm": {199.95 / 25.4, 200.05 / 25.4}}[f.Text]
			}
		}
	}
	return o
}

// bounds is what a print allows, in a unit.
func (o oracle) bounds(path string, u convert.Unit) ([2]float64, bool) {
	r, ok := o.Figure(path).Reading()
	if !ok || r.Lo == nil || r.Hi == nil {
		return [2]float64{}, false
	}
	_, lo, hi, err := r.In(u)
	require.NoError(o.t, err, path)
	low, _ := lo.Float64()
	high, _ := hi.Float64()
	return [2]float64{low, high}, true
}

func (o oracle) inches(path string) ([2]float64, bool) { return o.bounds(path, convert.Inch) }

// degreesOf is what a figure allows in degrees, and from which dead centre.
func (o oracle) degreesOf(f sheet.Figure) (is [2]float64, bottom, ok bool) {
	if f.Origin == sheet.Derived && f.Interval != nil {
		return [2]float64{f.Interval.Low, f.Interval.High}, strings.Contains(f.Interval.Unit, "B") && strings.HasSuffix(f.Interval.Unit, "BDC"), true
	}
	r, given := o.Figure(f.Path).Reading()
	if !given || r.Unit.Dimension() != convert.Angle {
		return is, false, false
	}
	is, ok = o.bounds(f.Path, convert.Degree)
	return is, r.Datum == figure.BBDC || r.Datum == figure.ABDC || r.Datum == figure.BDC, ok
}

// conversions holds what a figure converts to against the oracle's own, and
// returns how many there were.
func (o oracle) conversions(f sheet.Figure) int {
	degrees, bottom, ok := o.degreesOf(f)
	if !ok {
		return 0
	}
	for _, c := range f.Conversions {
		what := fmt.Sprintf("%s: %s %s of %s", o.Name(), f.Name, c.To, c.Part)
		require.NotNil(o.t, c.Low, what)
		low, high := math.Inf(1), math.Inf(-1)
		corner := func(x float64) { low, high = math.Min(low, x), math.Max(high, x) }
		switch c.To {
		case "rim":
			corners(degrees, o.rims[c.Part], func(angle, diameter float64) { corner(arc(angle, diameter)) })
		case "straight rule":
			corners(degrees, o.rims[c.Part], func(angle, diameter float64) { corner(across(angle, diameter)) })
		case "piston":
			low, high = o.piston(degrees, bottom)
		case "nearest tooth":
			middle := (degrees[0] + degrees[1]) / 2
			assert.Equal(o.t, countTeeth(middle, o.rings[c.Part]), *c.Value, what)
			continue
		default:
			assert.Fail(o.t, "no oracle for "+what)
			continue
		}
		if c.Unit == "mm" {
			low, high = low*25.4, high*25.4
		}
		// An interval must hold every value that the prints allow. For pistons, whose
		// interval is found slice by slice and has the stroke in it more than once, it
		// may be wider by a fiftieth and a twentieth of a thou.
		const rounding = 1e-9
		slack := 1e-6 * math.Max(1, math.Abs(high))
		if c.To == "piston" {
			slack += 0.02*(high-low) + 5e-5*map[string]float64{"in": 1, "mm": 25.4}[c.Unit]
		}
		assert.LessOrEqual(o.t, *c.Low, low+rounding, what)
		assert.GreaterOrEqual(o.t, *c.High, high-rounding, what)
		assert.InDelta(o.t, low, *c.Low, slack, what)
		assert.InDelta(o.t, high, *c.High, slack, what)
	}
	return len(f.Conversions)
}

func corners(a, b [2]float64, do func(x, y float64)) {
	for _, x := range a {
		for _, y := range b {
			do(x, y)
		}
	}
}

// arc is the length of an arc, by halving its chord until it lies on the rim:
// chord(θ/2)² = r(2r − √(4r² − chord(θ)²))/…, as Archimedes did for π.
func arc(degrees, diameter float64) float64 {
	sign := math.Copysign(1, degrees)
	r, pieces := diameter/2, 1.0
	chord := math.Abs(across(degrees, diameter))
	if math.Abs(degrees) > 90 { // halve once by hand: the chord alone is ambiguous beyond half a turn
		chord, pieces = math.Abs(across(degrees/2, diameter)), 2
	}
	for range 18 {
		// The half chord and the versed sine make the next chord; written so that
		// nothing small is the difference of large ones.
		half := chord / 2
		versed := half * half / (r + math.Sqrt(r*r-half*half))
		chord = math.Sqrt(half*half + versed*versed)
		pieces *= 2
	}
	return sign * chord * pieces
}

// across is the distance of two points of the rim, by their coordinates.
func across(degrees, diameter float64) float64 {
	rad := degrees * math.Pi / 180
	dx, dy := diameter/2*math.Sin(rad), diameter/2*(1-math.Cos(rad))
	return math.Copysign(math.Hypot(dx, dy), degrees)
}

// piston is the travel from a dead centre over all corners, by bisection for the
// height at which the rod reaches the crank pin. Without a rod any is allowed that
// engines have, from 1.4 strokes to an endless one.
func (o oracle) piston(degrees [2]float64, bottom bool) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	stroke, ok := o.inches("size.stroke")
	require.True(o.t, ok)
	rod, known := o.inches("size.rod_centres")
	for _, s := range stroke {
		rods := rod
		if !known {
			rods = unknownRod(s)
		}
		for _, l := range rods {
			for _, angle := range degrees {
				x := travelled(angle, s/2, l, bottom)
				low, high = math.Min(low, x), math.Max(high, x)
			}
		}
	}
	return low, high
}

func travelled(degrees, r, rod float64, bottom bool) float64 {
	if bottom {
		degrees += 180
	}
	pinX, pinY := r*math.Sin(degrees*math.Pi/180), r*math.Cos(degrees*math.Pi/180)
	low, high := pinY, pinY+rod // the piston pin is above the crank pin, by the rod at most
	for range 200 {
		middle := (low + high) / 2
		if math.Hypot(pinX, middle-pinY) < rod {
			low = middle
		} else {
			high = middle
		}
	}
	travel := r + rod - low
	if bottom {
		travel = low - (rod - r)
		degrees -= 180
	}
	return math.Copysign(travel, degrees)
}

// countTeeth counts teeth on to the one nearest to an angle.
func countTeeth(degrees, ring float64) float64 {
	best := 0.0
	for tooth := 0.0; tooth <= ring; tooth++ {
		if math.Abs(360/ring*tooth-math.Abs(degrees)) < math.Abs(360/ring*best-math.Abs(degrees)) {
			best = tooth
		}
	}
	return math.Copysign(best, degrees)
}

// interval is a derived figure of the light six, worked out from its prints.
func (o oracle) interval(f sheet.Figure) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	corner := func(x float64) { low, high = math.Min(low, x), math.Max(high, x) }
	event := func(key string) [2]float64 {
		set, _, _ := strings.Cut(strings.TrimPrefix(f.Path, "events."), ".")
		is, ok := o.bounds("events."+set+"."+key, convert.Degree)
		require.True(o.t, ok, key)
		return is
	}
	centre := func(opens, closes [2]float64) (is [2]float64) {
		is = [2]float64{math.Inf(1), math.Inf(-1)}
		corners(opens, closes, func(opens, closes float64) { // midway between the two, counted from the stroke's own TDC
			x := (180 + closes - opens) / 2
			is = [2]float64{math.Min(is[0], x), math.Max(is[1], x)}
		})
		return is
	}
	inlet := func() [2]float64 { return centre(event("inlet_opens"), event("inlet_closes")) }
	exhaust := func() [2]float64 { return centre(event("exhaust_closes"), event("exhaust_opens")) }
	wheel := f.Path
	switch key := f.Path[strings.LastIndexByte(f.Path, '.')+1:]; {
	case key == "inlet_lobe_centre":
		is := inlet()
		return is[0], is[1]
	case key == "exhaust_lobe_centre":
		is := exhaust()
		return is[0], is[1]
	case key == "lobe_separation":
		corners(inlet(), exhaust(), func(a, b float64) { corner((a + b) / 2) })
	case f.Name == "fires after No. 1" || f.Name == "TDC after that of No. 1":
		order := o.Figure("layout.firing_order").First().Printed.Order
		fires := 720 / float64(len(order)) * float64(slices.Index(order, fmt.Sprint(o.s.Cylinder.Number)))
		if f.Name != "fires after No. 1" {
			fires = math.Mod(fires, 360)
		}
		return fires, fires
	case f.Name == "one tooth":
		x := o.toothByTurning(f, wheel)
		return x, x
	case f.Name == "teeth by travel and helix":
		return o.slid()
	case strings.Contains(f.Name, "compression ratio"), strings.Contains(f.Name, "at 3000 ft"):
		return o.air(f)
	default:
		assert.Failf(o.t, "no oracle", "%s %s", f.Name, f.Path)
	}
	return low, high
}
