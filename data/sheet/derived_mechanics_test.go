package sheet_test

import (
	"math"
	"strings"

	"github.com/stretchr/testify/require"

	"fourmarks.example/convert"
	"fourmarks.example/data/sheet"
)

// unknownRod are the rods that engines of a stroke have: 1.4 to 2.5 strokes,
// common practice, no source.
func unknownRod(stroke float64) [2]float64 { return [2]float64{1.4 * stroke, 2.5 * stroke} }

// toothByTurning is the crank degrees for one tooth of a wheel, found by turning
// the train of the drive it stands in, tooth by tooth, until the wheel has gone
// once round.
func (o oracle) toothByTurning(f sheet.Figure, path string) float64 {
	for _, d := range o.s.Drives {
		if path == "drives."+d.Name+".tooth_step" {
			return o.crankTurnsFor(d, d.Wheels[len(d.Wheels)-1].Name)
		}
		for _, w := range d.Wheels {
			if path == "" && w.Step != nil && w.Step.Interval == f.Interval {
				return o.crankTurnsFor(d, w.Name)
			}
		}
	}
	require.Fail(o.t, "no wheel for "+f.Name)
	return 0
}

// crankTurnsFor passes teeth from mesh to mesh until a wheel has moved one tooth
// at the mesh that drives it, or, for the crankshaft's, that it drives.
func (o oracle) crankTurnsFor(d sheet.Drive, wheel string) float64 {
	teeth := func(name string) float64 {
		n, ok := o.Figure("drives." + d.Name + ".wheels." + name + ".teeth").Count()
		require.True(o.t, ok, name)
		return float64(n)
	}
	crankTeeth := 0.0 // of the first wheel, for one tooth of the wheel looked at
	shafts := strings.Split(d.Train.Text, " > ")
	passed := 1.0 // teeth at the present mesh for one tooth of the crankshaft's wheel
	for _, shaft := range shafts {
		wheels := strings.Split(shaft, " + ")
		for j, name := range wheels {
			if j > 0 { // fixed to the wheel before on its shaft: it goes round with it
				passed *= teeth(name) / teeth(wheels[j-1])
			}
			if name == wheel {
				crankTeeth = 1 / passed
			}
		}
	}
	return crankTeeth * 360 / teeth(strings.Split(shafts[0], " + ")[0])
}

// slid is the teeth that sliding home turns, by how often the helix goes round on
// the way: its lead is teeth × axial pitch.
func (o oracle) slid() (low, high float64) {
	const path = "drives.camshaft."
	travel, _ := o.bounds(path+"sliding_home.travel", convert.Millimetre)
	helix, _ := o.bounds(path+"teeth.helix", convert.Degree)
	pitch, ok := o.bounds(path+"teeth.normal_pitch", convert.Module)
	require.True(o.t, ok)
	n, _ := o.Figure(path + "wheels.crankshaft.teeth").Count()
	low, high = math.Inf(1), math.Inf(-1)
	for _, module := range pitch {
		corners(travel, helix, func(travel, helix float64) {
			axialPitch := math.Pi * module / math.Sin(helix*math.Pi/180)
			turns := travel / (axialPitch * float64(n))
			low, high = math.Min(low, turns*float64(n)), math.Max(high, turns*float64(n))
		})
	}
	return low, high
}

// air is what a healthy engine shows at 3000 ft: the air thinned step by step
// from sea level by its weight, the charge compressed step by step.
func (o oracle) air(f sheet.Figure) (low, high float64) {
	const foot = 0.3048
	printedAt, ok := o.bounds("checks.altitude", convert.Metre)
	require.True(o.t, ok)
	sea := [2]float64{pressureAt(printedAt[0]), pressureAt(printedAt[1])}
	low, high = math.Inf(1), math.Inf(-1)
	corner := func(x float64) { low, high = math.Min(low, x), math.Max(high, x) }
	here := [2]float64{pressureAt(2999.5 * foot), pressureAt(3000.5 * foot)} // as printed: ± half a foot
	switch {
	case strings.HasPrefix(f.Name, "compression"):
		printed, ok := o.bounds("checks.compression", convert.PoundPerSquareInch)
		require.True(o.t, ok)
		corners(printed, here, func(psi, air float64) {
			for _, sea := range sea {
				corner(psi * air / sea)
			}
		})
	case strings.HasPrefix(f.Name, "vacuum"):
		const pascalsPerInch = 3386.388640341
		printed, ok := o.bounds("checks.vacuum", convert.InchOfMercury)
		require.True(o.t, ok)
		corners(printed, here, func(inches, air float64) {
			for _, sea := range sea {
				corner(inches - (sea-air)/pascalsPerInch)
			}
		})
	default:
		const pascalsPerPSI = 6894.757293168361
		closes, _ := o.bounds("events.running.inlet_closes", convert.Degree)
		ratios, ok := o.bounds("size.compression_ratio", convert.One)
		require.True(o.t, ok)
		stroke, _ := o.inches("size.stroke")
		rods, _ := o.inches("size.rod_centres")
		for _, n := range []float64{1.15, 1.35} {
			for _, air := range here {
				corners(closes, ratios, func(closes, ratio float64) {
					corners(stroke, rods, func(s, rod float64) {
						up := travelled(closes, s/2, rod, true) // how far the piston has come up when the inlet closes
						chamber := s / (ratio - 1)
						corner((compressed(air, s-up+chamber, chamber, n) - air) / pascalsPerPSI)
					})
				})
			}
		}
	}
	return low, high
}

// pressureAt integrates the weight of the standard atmosphere (ISO 2533: 288.15 K
// at sea level, 6.5 K a kilometre) upward.
func pressureAt(metres float64) float64 {
	const steps = 20000
	p, h, d := 101325.0, 0.0, metres/steps
	slope := func(h, p float64) float64 {
		return -p * 9.80665 * 0.0289644 / (8.31432 * (288.15 - 0.0065*h))
	}
	for range steps { // midpoint rule
		p += d * slope(h+d/2, p+d/2*slope(h, p))
		h += d
	}
	return p
}

// compressed integrates dp/p = −n dV/V from one volume to another.
func compressed(p, from, to, n float64) float64 {
	const steps = 20000
	v, d := from, (to-from)/steps
	for range steps {
		p += d * -n * (p + d/2*-n*p/v) / (v + d/2)
		v += d
	}
	return p
}
