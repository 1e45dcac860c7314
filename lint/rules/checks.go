package rules

import (
	"math"

	"fourmarks.example/convert/air"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func checks() []*lint.Rule { return []*lint.Rule{crankingPressure, vacuum, conditions} }

// ambient is the pressure of the air where an engine's checks hold, in pascals.
func ambient(c *schema.Checks) interval.Interval {
	at, ok := intervalOf(c.Altitude)
	if !ok {
		at = interval.Point(0)
	}
	p, err := air.PressureInterval(at.Div(interval.Point(1000))) // altitudes are read in millimetres
	if err != nil {
		return interval.Point(air.SeaLevel)
	}
	return p
}

// perKilopascal turns pascals into the kilopascals that pressures are read in.
var perKilopascal = interval.Point(1000)

// latestClosing is the latest that an inlet closes after bottom dead centre.
const latestClosing = 120

// trapped is the compression ratio left once the cylinder has closed, and the
// words for when that is.
func trapped(n *relation.Network) (ratio interval.Interval, closes string, ok bool) {
	e := n.Engine
	printed, given := intervalOf(e.Figure("size.compression_ratio"))
	if !given {
		return interval.Empty(), "", false
	}
	at, closes := closing(n)
	l, known := linkageOf(e)
	if !known { // only the stroke's proportion to the rod matters
		l = linkageWith(e, interval.Point(100), crank.UnknownRod(interval.Point(100)))
	}
	at, err := l.counted(at.Intersect(interval.Of(-90, latestClosing)), crank.ABDC, l.FromCrank)
	if err != nil {
		return interval.Empty(), "", false
	}
	ratio, err = air.TrappedRatioInterval(printed, l.LinkageInterval, at, crank.ABDC)
	return ratio, closes, err == nil
}

// closing is when the cylinder closes after bottom dead centre: the inlet at the
// running clearance, or the exhaust port of a two-stroke. Where no set is read at
// the running clearance it follows from another by the cam's profile, or is
// widened by the ramp; where none is known it is anywhere up to a right angle.
func closing(n *relation.Network) (at interval.Interval, words string) {
	e := n.Engine
	at, words = interval.Of(0, 90), "the inlet closing somewhere after bottom dead centre"
	for _, set := range e.Events {
		valve, f := "inlet", set.Value.InletCloses
		if isTwoStroke(e) {
			valve, f = "exhaust", set.Value.ExhaustCloses
		}
		is, known := angleOf(e, f, figure.ABDC)
		switch {
		case !known:
			continue
		case isTwoStroke(e) || set.Value.ReadAt.Text == "running clearance":
			return is, "the " + valve + " closing at " + f.Text()
		}
		words = "the inlet closing at " + f.Text()
		if later, ok := laterAtRunning(n, set.Value); ok {
			at = is.Add(later)
			continue
		}
		at = is.Hull(is.Add(interval.Point(2 * rampAllowance)))
	}
	return at, words
}

// laterAtRunning is by how many crank degrees the inlet closes later at the
// running clearance than a set says, by its cam's profile.
func laterAtRunning(n *relation.Network, set *schema.EventSet) (interval.Interval, bool) {
	read, ok := gapOf(n.Engine, set, "inlet")
	running, okay := gapAt(clearanceSet(n.Engine, "running"), "inlet")
	if !ok || !okay || read.measuredAt != running.measuredAt {
		return interval.Empty(), false
	}
	p, err := valveProfile(n, "inlet", read.measuredAt)
	if err != nil {
		return interval.Empty(), false
	}
	wide, err := p.EventsWithin(read.reach.Grow(p.drawn))
	narrow, err2 := p.EventsWithin(running.reach.Grow(p.drawn))
	later := narrow.Closes.Sub(wide.Closes).Mul(interval.Point(2))
	return later, err == nil && err2 == nil
}

var crankingPressure = &lint.Rule{
	Name:  "checks/cranking-pressure",
	Level: lint.Error,
	Title: "The cranking pressure is one the engine can reach",
	Checks: "The cranking pressure printed lies in the band that compression ratio and inlet closing allow, at the altitude stated: " +
		"air trapped when the inlet closes at running clearance, or the exhaust port of a two-stroke, compressed with an exponent between 1.15 and 1.35. " +
		"Unless the engine is hot and the throttle open, a third less is allowed.",
	Why:       "Who expects a pressure that the engine cannot reach takes a sound engine apart; who expects too little runs a leaking one.",
	Formula:   "gauge pressure = air pressure × (trapped ratio^n − 1), n from 1.15 to 1.35",
	Basis:     "Polytropic compression (textbooks, from memory); a maker's 33.6 kg/cm² at 20:1 implies n = 1.17 on the whole ratio (Westerbeke 11A manual); 80 psi at about 5:1 is " + commonPractice + ".",
	Accepting: "Accept it for engines cranked with a decompressor or a supercharger in the way.",
	Bad: `
size: {stroke: 4 in, rod_centres: 8 in, compression_ratio: 5.0, from: handbook p. 6}
events:
  running: {read_at: not given, inlet_closes: 50 ABDC, from: handbook p. 14}
checks: {compression: 180 psi, engine: hot, throttle: open, from: handbook p. 30}
`,
	Good: `
size: {stroke: 4 in, rod_centres: 8 in, compression_ratio: 5.0, from: handbook p. 6}
events:
  running: {read_at: not given, inlet_closes: 50 ABDC, from: handbook p. 14}
checks: {compression: 80 psi, engine: hot, throttle: open, from: handbook p. 30}
`,
	Engine: func(p *lint.Pass) {
		c := p.Engine.Checks
		if c == nil {
			return
		}
		printed, ok := intervalOf(c.Compression)
		ratio, closes, known := trapped(p.Relations)
		if !ok || !known {
			return
		}
		band, err := air.CrankingBand(ambient(c), ratio)
		if err != nil {
			return
		}
		band = band.Div(perKilopascal)
		if c.Throttle.Text != "open" || c.Engine.Text == "cold" {
			band.Lo *= shutThrottle
		}
		if !printed.Meets(band) {
			p.ReportFigure(c.Compression, "a cranking pressure of %s does not fit a compression ratio of %s with %s: %s to %s can be expected; a unit, the ratio or the inlet closing may be misread",
				c.Compression.Text(), p.Engine.Size.CompressionRatio.Text(), closes, pressureLike(band.Lo, c.Compression), pressureLike(band.Hi, c.Compression)).
				Involving(p.Engine.Size.CompressionRatio).Work("trapped ratio %.2f to %.2f", ratio.Lo, ratio.Hi)
		}
	},
}

// shutThrottle is the part of its cranking pressure that an engine shows, at the
// least, when it is cold or its throttle may be shut (common practice, no source).
const shutThrottle = 2.0 / 3

// pressureLike shows a pressure in kilopascals in the unit of a print.
func pressureLike(kilopascals float64, f *schema.Figure) string {
	return inUnitOf(interval.Point(kilopascals), f)
}

// usualVacuum is the steady vacuum of a sound engine at idle near sea level, in
// kilopascals: 13 to 24 inHg.
var usualVacuum = interval.Of(44, 81.5)

var vacuum = &lint.Rule{
	Name:   "checks/vacuum",
	Level:  lint.Error,
	Title:  "The vacuum is one that the air allows",
	Checks: "The manifold vacuum printed is less than the pressure of the air at the altitude stated, and, brought to sea level, lies between 13 and 24 inHg; outside them it is a warning.",
	Why:    "A gauge is read against a figure printed for sea level. At 5000 ft the same sound engine shows five inches less.",
	Basis: "ISO 2533 and US Standard Atmosphere 1976; 1 inHg lower for each 1000 ft (US Army Ordnance OD1001, lesson 3); 17 to 22 inHg, 15 and more for some sixes (automotivemileposts.com). " +
		"The limits are " + commonPractice + ".",
	Accepting: "Accept it for engines with a fast idle or a wild camshaft.",
	Bad: `
checks: {vacuum: 32 inHg, engine: hot, from: handbook p. 30}
`,
	Good: `
checks: {vacuum: 20 inHg, engine: hot, from: handbook p. 30}
`,
	Engine: func(p *lint.Pass) {
		c := p.Engine.Checks
		if c == nil {
			return
		}
		printed, ok := intervalOf(c.Vacuum)
		if !ok {
			return
		}
		here := ambient(c).Div(perKilopascal)
		atSeaLevel := printed.Add(interval.Point(air.SeaLevel).Div(perKilopascal).Sub(here))
		switch {
		case printed.Lo >= here.Hi:
			p.ReportFigure(c.Vacuum, "a vacuum of %s is more than the air there weighs, %s; its unit or the altitude is wrong", c.Vacuum.Text(), pressureLike(here.Mid(), c.Vacuum)).
				Involving(c.Altitude).Suspecting(relation.Outside(c.Vacuum, figure.NoDatum, interval.Of(0, here.Hi)))
		case !atSeaLevel.Meets(usualVacuum):
			p.ReportFigure(c.Vacuum, "a vacuum of %s is not what a sound engine shows at idle, %s to %s at sea level; look whether it is of another speed or throttle", c.Vacuum.Text(),
				pressureLike(math.Round(usualVacuum.Lo), c.Vacuum), pressureLike(math.Round(usualVacuum.Hi), c.Vacuum)).Level = lint.Warning
		}
	},
}

var conditions = &lint.Rule{
	Name:      "checks/conditions",
	Level:     lint.Note,
	Title:     "A check says under which conditions it holds",
	Checks:    "A cranking pressure says whether the engine is hot or cold and the throttle open or shut; a vacuum whether the engine is hot or cold.",
	Why:       "With the throttle shut or the engine cold the same engine shows a third less.",
	Basis:     commonPractice + ".",
	Accepting: "There is nothing to accept: many sources do not say, and a note does not fail a run.",
	Bad: `
checks: {compression: 80 psi, from: handbook p. 30}
`,
	Good: `
checks: {compression: 80 psi, engine: hot, throttle: open, from: handbook p. 30}
`,
	Engine: func(p *lint.Pass) {
		c := p.Engine.Checks
		if c == nil {
			return
		}
		if c.Compression.First() != nil && (!c.Engine.Given() || !c.Throttle.Given()) {
			p.ReportFigure(c.Compression, "the cranking pressure does not say whether the engine is hot or cold and the throttle open or shut; add `engine` and `throttle`")
		}
		if c.Vacuum.First() != nil && !c.Engine.Given() {
			p.ReportFigure(c.Vacuum, "the vacuum does not say whether the engine is hot or cold; add `engine`")
		}
	},
}
