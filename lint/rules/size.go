package rules

import (
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func size() []*lint.Rule {
	return []*lint.Rule{sweptVolume, volumeRounding, taxableHorsepower, compressionRatio, rodRatio, pistonSpeed}
}

// dimensions are the quantities of an engine's size.
type dimensions struct {
	bore, stroke, sweptVolume, cylinders *relation.Variable
}

func dimensionsOf(n *relation.Network) dimensions {
	d := dimensions{
		bore:        n.Quantity("size.bore", "bore", figure.NominalLength),
		stroke:      n.Quantity("size.stroke", "stroke", figure.NominalLength),
		sweptVolume: n.Quantity("size.swept_volume", "swept volume", figure.Volume),
		cylinders:   n.Quantity("layout.cylinders", "cylinders", figure.Count),
	}
	if r, ok := d.sweptVolume.Figure.Reading(); ok {
		d.sweptVolume.Printed = d.sweptVolume.Printed.Hull(toTens(r)) // 2998 is printed as 3000
	}
	if habitOf(n.Engine) != "" { // size/volume-rounding speaks of it
		exact := d.bore.Printed.Sqr().Mul(d.stroke.Printed).Mul(d.cylinders.Printed).Mul(interval.Pi()).Div(interval.Point(4)).Mul(perCC)
		d.sweptVolume.Printed = d.sweptVolume.Printed.Hull(exact)
	}
	return d
}

// perCC turns cubic millimetres into cubic centimetres.
var perCC = interval.Point(1).Div(interval.Point(1000))

const volumeBasis = "V = π/4 · D² · S · n, printed as B × B × .7854 × S × C (blacksunlight.com, Studebaker tips)."

var sweptVolume = &lint.Rule{
	Name:   "size/swept-volume",
	Level:  lint.Error,
	Title:  "Swept volume follows from bore, stroke and cylinders",
	Checks: "The swept volume printed is π/4 times bore squared, stroke and number of cylinders, within the rounding of the prints; one that ends in nought may be rounded to the nearest ten.",
	Why:    "Bore and stroke tell one series of an engine from the next. When they do not give the volume, the figures may be of two different engines, and so may the timing.",
	Basis:  volumeBasis,
	Accepting: "Accept it when the source itself prints figures that do not fit and nothing tells which is wrong. A volume worked out with " +
		"π = 3.14 or cut off after its last place is only noted (size/volume-rounding).",
	Bad: `
layout: {cylinders: 4, from: handbook p. 6}
size:
  from: handbook p. 6
  bore: 3 7/8 in
  stroke: 4 1/8 in
  swept_volume: 200.5 cu in
`,
	Good: `
layout: {cylinders: 4, from: handbook p. 6}
size:
  from: handbook p. 6
  bore: 3 7/8 in
  stroke: 4 1/4 in
  swept_volume: 200.5 cu in
`,
	Relations: func(n *relation.Network) {
		d := dimensionsOf(n)
		n.Equal("size", d.sweptVolume, relation.Scaled(
			relation.Product(relation.Quotient(relation.Pi(), relation.Number(4)), relation.Square(d.bore), d.stroke, d.cylinders), perCC))
	},
}

var volumeRounding = &lint.Rule{
	Name:      "size/volume-rounding",
	Level:     lint.Note,
	Title:     "Swept volume worked out roughly",
	Checks:    "A swept volume that does not follow from bore and stroke as printed may still be theirs: worked out with π = 3.14, cut off after its last place instead of rounded, or rounded to the nearest ten. The note says which.",
	Why:       "It explains a difference that would otherwise look like a misread dimension, and tells the reader not to go looking for one.",
	Formula:   "swept volume = 3.14 / 4 × bore² × stroke × cylinders, or the true volume cut off or rounded to the nearest ten",
	Basis:     "Eight twins of one published list are all low by 0.04 to 0.06 %, which π = 3.14 reproduces to the last digit (w6rec.com/duane/bmw/engine.htm); 651.88 is printed as 651 (howmotorcycleswork.com).",
	Accepting: "There is nothing to accept: a note does not fail a run.",
	Bad: `
layout: {cylinders: 2, from: handbook p. 6}
size:
  from: handbook p. 6
  bore: 70.0 mm
  stroke: 61.5 mm
  swept_volume: 473.1 cc
`,
	Good: `
layout: {cylinders: 2, from: handbook p. 6}
size:
  from: handbook p. 6
  bore: 70.0 mm
  stroke: 61.5 mm
  swept_volume: 473.4 cc
`,
	Engine: func(p *lint.Pass) {
		if habit := habitOf(p.Engine); habit != "" {
			p.ReportFigure(p.Engine.Size.SweptVolume, "swept volume %s is not quite what bore and stroke give, and was %s",
				p.Engine.Size.SweptVolume.Text(), habit)
		}
	},
}

// habitOf says which rough way of working explains a swept volume that bore,
// stroke and cylinders do not give exactly; "" when none is needed or none helps.
func habitOf(e *schema.Engine) string {
	if e.Size == nil || e.Layout == nil {
		return ""
	}
	volume, bore, stroke := e.Size.SweptVolume.First(), e.Size.Bore.First(), e.Size.Stroke.First()
	n, counted := countOf(e.Layout.Cylinders)
	if volume == nil || bore == nil || stroke == nil || !counted {
		return ""
	}
	habits := map[string]bool{}
	for i, v := range volume.Printed.Readings {
		for j, b := range bore.Printed.Readings {
			for k, s := range stroke.Printed.Readings {
				habit := habitBetween(v, b, s, n)
				if habit == "" && i+j+k == 0 {
					return ""
				}
				if habit == "" {
					habit = fmt.Sprintf("worked out from %s and %s", reading(bore.Printed, j), reading(stroke.Printed, k))
				}
				habits[habit] = true
			}
		}
	}
	delete(habits, none)
	if len(habits) == 0 {
		return ""
	}
	return slices.Min(slices.Collect(maps.Keys(habits)))
}

// none is the habit that explains nothing.
const none = "no way known"

// reading is one reading of a print, as it stands in the text.
func reading(p figure.Printed, i int) string {
	return strings.Trim(p.Text[p.Readings[i].Span.Start:p.Readings[i].Span.End], " ()")
}

// habitBetween says how a swept volume was worked out from a bore, a stroke and
// n cylinders: "" exactly, none if in no way known.
func habitBetween(printed, bore, stroke figure.Reading, n int) string {
	volume := func(pi interval.Interval) interval.Interval {
		return bore.Interval().Sqr().Mul(stroke.Interval()).Mul(pi).Mul(interval.Point(float64(n))).Div(interval.Point(4000))
	}
	is, exact := printed.Interval(), volume(interval.Pi())
	switch {
	case is.Meets(exact):
		return ""
	case is.Meets(volume(interval.Of(3.1399999, 3.1400001))):
		return "worked out with π = 3.14"
	case cutOff(printed).Meets(exact):
		return "cut off after its last place instead of rounded"
	case toTens(printed).Meets(exact):
		return "rounded to the nearest ten"
	}
	return none
}

// toTens returns what a whole number that ends in nought may stand for when it
// was rounded to the nearest ten.
func toTens(r figure.Reading) interval.Interval {
	ten := big.NewRat(10, 1)
	if r.Stated || r.Denominator != 1 || !new(big.Rat).Quo(r.Value, ten).IsInt() {
		return interval.Empty()
	}
	five := big.NewRat(5, 1)
	return r.Unit.Interval(new(big.Rat).Sub(r.Value, five), new(big.Rat).Add(r.Value, five))
}

// cutOff returns what a print may stand for when the places after its last were
// cut off: up to one whole place more.
func cutOff(r figure.Reading) interval.Interval {
	if r.Stated || r.Denominator <= 0 {
		return interval.Empty()
	}
	place := big.NewRat(1, r.Denominator)
	return r.Unit.Interval(r.Value, new(big.Rat).Add(r.Value, place))
}

var taxableHorsepower = &lint.Rule{
	Name:      "size/taxable-horsepower",
	Level:     lint.Error,
	Title:     "Taxable horsepower follows from bore and cylinders",
	Checks:    "The taxable horsepower printed is the bore in inches squared, times the number of cylinders, divided by 2.5; also where it is cut off to a whole number.",
	Why:       "The rating is on every log book and plate, so it is often the one sure figure. When the bore does not give it, the bore is another engine's.",
	Basis:     "RAC rating, D² n / 2.5 (gracesguide.co.uk, RAC horsepower; singercars.com).",
	Accepting: "Accept it for an engine taxed under another rule, or rated before it was bored out, and say which.",
	Bad: `
layout: {cylinders: 4, from: handbook p. 6}
size: {bore: 60 mm, taxable_horsepower: 9.83, from: handbook p. 6}
`,
	Good: `
layout: {cylinders: 4, from: handbook p. 6}
size: {bore: 60 mm, taxable_horsepower: 8.93, from: handbook p. 6}
`,
	Relations: func(n *relation.Network) {
		d := dimensionsOf(n)
		rating := n.Quantity("size.taxable_horsepower", "taxable horsepower", figure.TaxHorsepower)
		if rating.IsPrinted() {
			if r, ok := rating.Figure.Reading(); ok {
				rating.Printed = rating.Printed.Hull(cutOff(r)) // 22.5 was taxed, and is printed, as 22
			}
		}
		inch := convert.Inch.Interval(big.NewRat(1, 1), big.NewRat(1, 1))
		n.Equal("size", rating, relation.Scaled(
			relation.Quotient(relation.Product(relation.Square(d.bore), d.cylinders), relation.Number(2.5)),
			interval.Point(1).Div(inch.Sqr())))
	},
}

var compressionRatio = &lint.Rule{
	Name:      "size/compression-ratio",
	Level:     lint.Error,
	Title:     "Compression ratio follows from the chamber volume",
	Checks:    "The compression ratio printed is swept and chamber volume of one cylinder together, divided by the chamber volume.",
	Why:       "Ignition advance and cranking pressure depend on it. A ratio that is too low by one was worked out as swept volume divided by chamber volume.",
	Basis:     "Definition; the slip of leaving out the chamber is printed at blacksunlight.com (Studebaker tips).",
	Accepting: "Accept it when the chamber was measured on an engine with another head than the ratio is for.",
	Bad: `
layout: {cylinders: 4, from: handbook p. 6}
size: {swept_volume: 2000 cc, compression_ratio: 4.0, chamber_volume: 125 cc, from: handbook p. 6}
`,
	Good: `
layout: {cylinders: 4, from: handbook p. 6}
size: {swept_volume: 2000 cc, compression_ratio: 5.0, chamber_volume: 125 cc, from: handbook p. 6}
`,
	Relations: func(n *relation.Network) {
		d := dimensionsOf(n)
		ratio := n.Quantity("size.compression_ratio", "compression ratio", figure.Ratio)
		ratio.Limits = interval.Of(1, math.Inf(1))
		chamber := n.Quantity("size.chamber_volume", "chamber volume", figure.Volume)
		n.Equal("size", relation.Product(relation.Difference(ratio, relation.Number(1)), chamber, d.cylinders), d.sweptVolume)
	},
}

// Rods of production engines lie well within these limits of length over
// stroke; a figure outside them is a misread length or a radius for a stroke.
const (
	shortestRod = 1.2
	longestRod  = 3.0
)

var rodRatio = &lint.Rule{
	Name:    "size/rod-ratio",
	Level:   lint.Warning,
	Title:   "Rod length out of proportion to the stroke",
	Checks:  "The rod, centre to centre, is between 1.2 and 3 times the stroke.",
	Why:     "Piston travel is turned into degrees through the rod. With half the rod, or the throw taken for the stroke, the timing comes out degrees wrong.",
	Formula: "stroke ≤ rod centres / 1.2; rod centres ≤ 3 × stroke",
	Basis:   commonPractice + ".",
	Accepting: "Accept it for an engine that really is built so, a long-stroke slow engine with a crosshead for example, " +
		"when rod and stroke have both been checked.",
	Bad: `
size: {stroke: 4 in, rod_centres: 4 1/2 in, from: handbook p. 6}
`,
	Good: `
size: {stroke: 4 in, rod_centres: 7 1/2 in, from: handbook p. 6}
`,
	Relations: func(n *relation.Network) {
		d := dimensionsOf(n)
		rod := n.Quantity("size.rod_centres", "rod centres", figure.NominalLength)
		if !rod.IsPrinted() || !d.stroke.IsPrinted() {
			return
		}
		n.AtMost("size", d.stroke, relation.Quotient(rod, relation.Constant("1.2", interval.Point(shortestRod)))).Loose = true
		n.AtMost("size", rod, relation.Product(relation.Number(longestRod), d.stroke)).Loose = true
	},
}

var pistonSpeed = &lint.Rule{
	Name:      "size/piston-speed",
	Level:     lint.Error,
	Title:     "Mean piston speed follows from stroke and rated speed",
	Checks:    "The mean piston speed printed is twice the stroke times the rated speed; one that ends in nought may be rounded to the nearest ten.",
	Why:       "It ties the stroke to the rated speed, two figures that are copied from one sheet to the next and seldom checked.",
	Basis:     "Definition.",
	Accepting: "Accept it when the speed printed is of another rating than the power's, and say which.",
	Bad: `
size: {stroke: 5 in, rated_speed: 2400 rpm, piston_speed: 1000 ft/min, from: handbook p. 6}
`,
	Good: `
size: {stroke: 5 in, rated_speed: 2400 rpm, piston_speed: 2000 ft/min, from: handbook p. 6}
`,
	Relations: func(n *relation.Network) {
		d := dimensionsOf(n)
		speed := n.Quantity("size.rated_speed", "rated speed", figure.Speed)
		mean := n.Quantity("size.piston_speed", "mean piston speed", figure.LinearSpeed)
		if r, ok := mean.Figure.Reading(); ok {
			mean.Printed = mean.Printed.Hull(toTens(r))
		}
		// Millimetres and turns a minute to metres a second.
		n.Equal("size", mean, relation.Scaled(relation.Product(relation.Number(2), d.stroke, speed),
			interval.Point(1).Div(interval.Point(60000))))
	},
}
