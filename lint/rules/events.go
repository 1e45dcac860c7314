package rules

import (
	"fmt"
	"math"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func events() []*lint.Rule {
	return []*lint.Rule{
		eventOrder, inletDuration, exhaustDuration, overlap, lobeCentre, lobeSeparation, eventSide, eventBand, readAt, eventNotations,
		otherCylinders, twoClearances, flankSpeed, camProfile, fullLift, badProfile,
	}
}

// valveEvents are the four events of one set and what is computed from them.
type valveEvents struct {
	path, set string
	// The events, counted as a sheet does: inlet opening before TDC, inlet
	// closing after BDC, exhaust opening before BDC, exhaust closing after TDC.
	inletOpens, inletCloses, exhaustOpens, exhaustCloses *relation.Variable
	// Lobe centres: inlet after, exhaust before the overlap TDC.
	inletCentre, exhaustCentre *relation.Variable
	// The crank degrees from top to bottom dead centre and from bottom to top.
	down, up relation.Expression
}

// inSet is the title of an event in a working: with the name of its set where
// the engine has several.
func inSet(e *schema.Engine, set, title string) string {
	if len(e.Events) < 2 {
		return title
	}
	return set + " " + title
}

// eachEventSet calls do with every set of events.
func eachEventSet(n *relation.Network, do func(valveEvents)) {
	for _, v := range n.Once(eventSets{}, func() any { return eventSetsOf(n) }).([]valveEvents) {
		do(v)
	}
}

// eventSets is the key under which a network keeps its event sets.
type eventSets struct{}

func eventSetsOf(n *relation.Network) []valveEvents {
	var all []valveEvents
	for _, set := range n.Engine.Events {
		p := "events." + set.Name
		down, up := strokes(n.Engine, set.Value)
		angle := func(key, title string, datum figure.Datum) *relation.Variable {
			return n.Angle(p+"."+key, inSet(n.Engine, set.Name, title), datum)
		}
		all = append(all, valveEvents{
			path:          p,
			set:           set.Name,
			inletOpens:    angle("inlet_opens", "inlet opens", figure.BTDC),
			inletCloses:   angle("inlet_closes", "inlet closes", figure.ABDC),
			exhaustOpens:  angle("exhaust_opens", "exhaust opens", figure.BBDC),
			exhaustCloses: angle("exhaust_closes", "exhaust closes", figure.ATDC),
			inletCentre:   angle("inlet_lobe_centre", "inlet lobe centre", figure.ATDC),
			exhaustCentre: angle("exhaust_lobe_centre", "exhaust lobe centre", figure.BTDC),
			down:          down,
			up:            up,
		})
	}
	return all
}

// strokes are the crank degrees between the dead centres that the angles of a
// set are counted from. The dead centres of the piston of an offset cylinder
// come after those of the crank, the lower by more, so that the stroke down takes
// more than half a turn. Where the file does not say which are meant, either may
// be; and where an event is printed from the other dead centre, the half turn by
// which it is counted over is not the stroke.
func strokes(e *schema.Engine, set *schema.EventSet) (down, up relation.Expression) {
	l, ok := linkageOf(e)
	if !ok || l.Offset == interval.Point(0) || l.deadCentre == "crank" {
		return degrees180, degrees180
	}
	// FromCrank counts from the piston's dead centre, which is the later.
	top, err := l.FromCrank(interval.Point(0), crank.ATDC)
	bottom, err2 := l.FromCrank(interval.Point(0), crank.ABDC)
	if err != nil || err2 != nil {
		return degrees180, degrees180
	}
	more := top.Sub(bottom)
	if l.deadCentre == "" || countedOver(set) {
		more = more.Hull(interval.Point(0))
	}
	turn := func(is interval.Interval) relation.Expression {
		return relation.Constant(fmt.Sprintf("%.2f", is.Mid()), is)
	}
	return turn(interval.Point(180).Add(more)), turn(interval.Point(180).Sub(more))
}

// countedOver reports whether an event of a set is printed from the dead centre
// that it is not customarily counted from.
func countedOver(set *schema.EventSet) bool {
	for _, v := range fourEvents {
		for c := range v.of(set).Standing() {
			for _, r := range c.Printed.Readings {
				if r.Measure == figure.CrankAngle && r.Datum != figure.NoDatum && isTop(r.Datum) != isTop(v.datum) {
					return true
				}
			}
		}
	}
	return false
}

var degrees180 = relation.Number(180)

const durationBasis = "The sums are printed in a worked example, 6 + 180 + 42 = 228 and 6 + 12 = 18 " +
	"(forabodiesonly.com, post 1970493881), and follow from the definitions."

var inletDuration = &lint.Rule{
	Name:   "events/inlet-duration",
	Level:  lint.Error,
	Title:  "Inlet duration is the sum of its events",
	Checks: "The inlet duration printed for a set of events is 180° and the angles by which the valve opens before top dead centre and closes after bottom dead centre, within the rounding of the three prints.",
	Why:    "Of opening, closing and duration one is superfluous, so a slip in any of them shows. Set an inlet from a wrong one and the whole camshaft is out.",
	Basis:  durationBasis,
	Accepting: "Accept it when the source itself prints figures that do not add up and nothing tells which is wrong. Where dead centres are " +
		"counted from the piston of an offset cylinder, give `cylinder_offset` and `dead_centre` instead.",
	Bad: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
    inlet_duration: 213
`,
	Good: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
    inlet_duration: 231
`,
	Relations: func(n *relation.Network) {
		eachEventSet(n, func(v valveEvents) {
			n.Equal(v.path, n.Quantity(v.path+".inlet_duration", inSet(n.Engine, v.set, "inlet duration"), figure.Angle),
				relation.Sum(v.down, v.inletOpens, v.inletCloses))
		})
	},
}

var exhaustDuration = &lint.Rule{
	Name:      "events/exhaust-duration",
	Level:     lint.Error,
	Title:     "Exhaust duration is the sum of its events",
	Checks:    "The exhaust duration printed for a set of events is 180° and the angles by which the valve opens before bottom dead centre and closes after top dead centre, within the rounding of the three prints.",
	Why:       "A slip in one of the three shows against the other two. A valve that closes late by a misread digit can still be open when the piston arrives.",
	Basis:     durationBasis,
	Accepting: "Accept it when the source itself prints figures that do not add up and nothing tells which is wrong.",
	Bad: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    exhaust_opens: 47 BBDC
    exhaust_closes: 10 ATDC
    exhaust_duration: 273
`,
	Good: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    exhaust_opens: 47 BBDC
    exhaust_closes: 10 ATDC
    exhaust_duration: 237
`,
	Relations: func(n *relation.Network) {
		eachEventSet(n, func(v valveEvents) {
			n.Equal(v.path, n.Quantity(v.path+".exhaust_duration", inSet(n.Engine, v.set, "exhaust duration"), figure.Angle),
				relation.Sum(v.up, v.exhaustOpens, v.exhaustCloses))
		})
	},
}

var overlap = &lint.Rule{
	Name:      "events/overlap",
	Level:     lint.Error,
	Title:     "Overlap is the sum of inlet opening and exhaust closing",
	Checks:    "The overlap printed for a set of events is the angle by which the inlet opens before top dead centre and the angle by which the exhaust closes after it. It is negative when the exhaust closes before the inlet opens.",
	Why:       "Overlap is where two valves and a piston are nearest to one another. The figure also tells which of the two events was misread.",
	Basis:     durationBasis,
	Accepting: "Accept it when the source itself prints figures that do not add up and nothing tells which is wrong.",
	Bad: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_opens: 3 BTDC
    exhaust_closes: 10 ATDC
    overlap: 31
`,
	Good: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_opens: 3 BTDC
    exhaust_closes: 10 ATDC
    overlap: 13
`,
	Relations: func(n *relation.Network) {
		if isTwoStroke(n.Engine) {
			return // its ports open and close about other dead centres
		}
		eachEventSet(n, func(v valveEvents) {
			n.Equal(v.path, n.Quantity(v.path+".overlap", inSet(n.Engine, v.set, "overlap"), figure.Angle),
				relation.Sum(v.inletOpens, v.exhaustCloses))
		})
	},
}

var lobeCentre = &lint.Rule{
	Name:   "events/lobe-centre",
	Level:  lint.Warning,
	Title:  "A lobe centre lies midway between opening and closing",
	Checks: "A printed lobe centre lies halfway between the opening and the closing of its valve. A centre may be printed from either dead centre: 79½ after bottom is 100½ before top.",
	Why:    "A camshaft set by its lobe centres is as wrong as the figure it is set by, and a centre counted from the wrong dead centre is out by a whole tooth or more.",
	Basis: "Printed in the worked example 228 / 2 = 114, 114 − 6 = 108 (forabodiesonly.com, post 1970493881); " +
		"all 25 centres of a table of twins agree with it (tribsa.blogspot.com, 2013/06).",
	Accepting: "Accept it for a cam whose opening and closing flanks differ: there full lift does not lie midway.",
	Bad: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_opens: 6 BTDC
    inlet_closes: 42 ABDC
    inlet_lobe_centre: 118 ATDC
`,
	Good: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_opens: 6 BTDC
    inlet_closes: 42 ABDC
    inlet_lobe_centre: 108 ATDC
`,
	Relations: func(n *relation.Network) {
		two := relation.Number(2)
		eachEventSet(n, func(v valveEvents) {
			n.Equal(v.path, relation.Product(two, v.inletCentre),
				relation.Difference(relation.Sum(v.down, v.inletCloses), v.inletOpens))
			n.Equal(v.path, relation.Product(two, v.exhaustCentre),
				relation.Difference(relation.Sum(v.up, v.exhaustOpens), v.exhaustCloses))
		})
	},
}

var lobeSeparation = &lint.Rule{
	Name:      "events/lobe-separation",
	Level:     lint.Warning,
	Title:     "Lobe separation is half the sum of the lobe centres",
	Checks:    "The printed lobe separation, in camshaft degrees, is half the sum of the two lobe centres in crankshaft degrees: the inlet's after, the exhaust's before the top dead centre of overlap.",
	Why:       "Separation is ground into the camshaft. When it disagrees with the centres, one of the two was measured on another camshaft or read in the wrong degrees.",
	Basis:     "Follows from the half speed of the camshaft; " + commonPractice + ".",
	Accepting: "Accept it when the figures are known to come from camshafts that differ.",
	Bad: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_lobe_centre: 113 ATDC
    exhaust_lobe_centre: 109 BTDC
    lobe_separation: 222
`,
	Good: `
events:
  checking:
    from: sheet p. 1
    read_at: 1 mm lift at valve
    inlet_lobe_centre: 113 ATDC
    exhaust_lobe_centre: 109 BTDC
    lobe_separation: 111
`,
	Relations: func(n *relation.Network) {
		two := relation.Number(2)
		eachEventSet(n, func(v valveEvents) {
			separation := n.Quantity(v.path+".lobe_separation", inSet(n.Engine, v.set, "lobe separation"), figure.Angle)
			n.Equal(v.path, relation.Product(two, separation), relation.Sum(v.inletCentre, v.exhaustCentre))
		})
	},
}

// valveEvent is one of the four events as a sheet counts it.
type valveEvent struct {
	key, valve, title string
	datum             figure.Datum
	of                func(*schema.EventSet) *schema.Figure
	// usual is the band in which the event of a production engine lies, mild
	// that of engines made before 1920 and of those with side valves.
	usual, mild interval.Interval
}

// The bands hold every published engine under testdata/published with some
// degrees to spare; a figure outside them is more often a slip than an engine.
var fourEvents = []valveEvent{
	{"inlet_opens", "inlet", "inlet opens", figure.BTDC, func(s *schema.EventSet) *schema.Figure { return s.InletOpens }, interval.Of(-25, 65), interval.Of(-25, 30)},
	{"inlet_closes", "inlet", "inlet closes", figure.ABDC, func(s *schema.EventSet) *schema.Figure { return s.InletCloses }, interval.Of(0, 90), interval.Of(0, 70)},
	{"exhaust_opens", "exhaust", "exhaust opens", figure.BBDC, func(s *schema.EventSet) *schema.Figure { return s.ExhaustOpens }, interval.Of(15, 90), interval.Of(15, 75)},
	{"exhaust_closes", "exhaust", "exhaust closes", figure.ATDC, func(s *schema.EventSet) *schema.Figure { return s.ExhaustCloses }, interval.Of(-20, 65), interval.Of(-20, 40)},
}

// acrossFrom is the datum on the other side of the dead centre.
var acrossFrom = map[figure.Datum]figure.Datum{figure.BTDC: figure.ATDC, figure.ATDC: figure.BTDC, figure.BBDC: figure.ABDC, figure.ABDC: figure.BBDC}

// eachEvent calls do with every event of a four-stroke engine whose angle is
// known. The ports of a two-stroke open and close about other dead centres.
func eachEvent(e *schema.Engine, do func(v valveEvent, f *schema.Figure, is interval.Interval)) {
	if isTwoStroke(e) {
		return
	}
	for _, set := range e.Events {
		for _, v := range fourEvents {
			f := v.of(set.Value)
			if is, ok := angleOf(e, f, v.datum); ok {
				do(v, f, is)
			}
		}
	}
}

// furthest is how far from its dead centre an event may lie, in crank degrees,
// before another must be meant.
const furthest = 110

var eventOrder = &lint.Rule{
	Name:      "events/order",
	Level:     lint.Error,
	Title:     "The events follow one another round the cycle",
	Checks:    "Each event lies within 110° of the dead centre it belongs to, so that the exhaust opens, then the inlet opens and the exhaust closes, in either order, and then the inlet closes. Two-strokes, whose ports have other dead centres, are left out.",
	Why:       "An event counted from the wrong dead centre is half a turn out. An engine timed so has its valves open when the piston is at the top.",
	Formula:   "each event lies within 110° of its dead centre: inlet opens and exhaust closes of top, the others of bottom",
	Basis:     commonPractice + "; every published engine under testdata/published keeps it.",
	Accepting: "There is no four-stroke engine for which it should be kept; where the print is wrong, write it as a claim and set it aside.",
	Bad: `
events:
  checking: {read_at: 1 mm lift at valve, inlet_opens: 3 BTDC, inlet_closes: 48 ATDC, from: sheet p. 1}
`,
	Good: `
events:
  checking: {read_at: 1 mm lift at valve, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		eachEvent(p.Engine, func(v valveEvent, f *schema.Figure, is interval.Interval) {
			if is.Hi >= -furthest && is.Lo <= furthest {
				return
			}
			p.ReportFigure(f, "%s at %s lies %s from the dead centre it belongs to, which is beyond all that a cam does; look whether top or bottom was misread",
				v.title, f.Text(), wholeDegrees(is.Abs().Mid())).Suspecting(outside(p.Engine, f, v.datum, v.usual))
		})
	},
}

func wholeDegrees(x float64) string { return fmt.Sprintf("%.0f°", math.Round(x)) }

var eventSide = &lint.Rule{
	Name:      "events/side",
	Level:     lint.Warning,
	Title:     "An event on the unlikely side of its dead centre",
	Checks:    "The inlet closes after, and the exhaust opens before, bottom dead centre.",
	Why:       "BBDC for ABDC is one letter, and moves the event by twice its angle.",
	Basis:     commonPractice + "; every published engine under testdata/published keeps it.",
	Accepting: "Accept it for an engine that is really timed so, some early and some slow engines, once a second source or a measurement says the same.",
	Bad: `
events:
  checking: {read_at: 1 mm lift at valve, exhaust_opens: 47 ABDC, from: sheet p. 1}
`,
	Good: `
events:
  checking: {read_at: 1 mm lift at valve, exhaust_opens: 47 BBDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		eachEvent(p.Engine, func(v valveEvent, f *schema.Figure, is interval.Interval) {
			if v.usual.Lo < 0 || is.Hi >= 0 || is.Lo < -furthest {
				return
			}
			p.ReportFigure(f, "%s %s is on the unlikely side of its dead centre; look whether %s was read for %s",
				v.title, f.Text(), acrossFrom[v.datum], v.datum).Suspecting(outside(p.Engine, f, v.datum, v.usual))
		})
	},
}

var eventBand = &lint.Rule{
	Name:  "events/band",
	Level: lint.Warning,
	Title: "An event outside what engines of its kind have",
	Checks: "Inlet opening lies between 65 before and 25 after top dead centre, inlet closing up to 90 after bottom, exhaust opening between 90 and 15 before bottom, " +
		"exhaust closing between 20 before and 65 after top. For engines made before 1920 and for side valves the bands are 30, 70, 75 and 40 at their wide ends, and a figure beyond them is a note.",
	Why:       "A figure far outside is a slip before it is an engine: a digit misread, camshaft degrees for crankshaft degrees, or another clearance.",
	Basis:     commonPractice + "; the bands hold the published engines under testdata/published and the textbook rules of Rathbun (1913-16), secs. 137 and 138.",
	Accepting: "Accept it for racing camshafts and experimental engines, with the source named.",
	Bad: `
events:
  checking: {read_at: 1 mm lift at valve, exhaust_opens: 5 BBDC, from: sheet p. 1}
`,
	Good: `
events:
  checking: {read_at: 1 mm lift at valve, exhaust_opens: 50 BBDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		mild := ""
		if _, last, known := schema.Years(p.Engine.Made.Text); known && last < 1920 {
			mild = "an engine made before 1920"
		} else if hasSideValves(p.Engine) {
			mild = "side valves"
		}
		eachEvent(p.Engine, func(v valveEvent, f *schema.Figure, is interval.Interval) {
			switch {
			case is.Hi < -furthest || is.Lo > furthest || v.usual.Lo >= 0 && is.Hi < 0:
				// events/order and events/side speak of these
			case !is.Meets(v.usual):
				p.ReportFigure(f, "%s %s lies outside what is seen of production engines, %s; look at the print again, and whether it is in camshaft degrees", v.title, f.Text(), bandWords(v.usual, v.datum)).
					Suspecting(outside(p.Engine, f, v.datum, v.usual))
			case mild != "" && !is.Meets(v.mild):
				p.ReportFigure(f, "%s %s is unusual for %s, %s; look at the print again", v.title, f.Text(), mild, bandWords(v.mild, v.datum)).Level = lint.Note
			}
		})
	},
}

// bandWords says a band as a sheet would: 25 ATDC to 65 BTDC.
func bandWords(band interval.Interval, datum figure.Datum) string {
	end := func(x float64) string {
		if x < 0 {
			return fmt.Sprintf("%g %s", -x, acrossFrom[datum])
		}
		return fmt.Sprintf("%g %s", x, datum)
	}
	return end(band.Lo) + " to " + end(band.Hi)
}

var readAt = &lint.Rule{
	Name:      "events/read-at",
	Level:     lint.Warning,
	Title:     "Events say at which clearance or lift they are read",
	Checks:    "A set of events says after `read_at` at which clearance (`checking clearance`) or lift (`1 mm lift at valve`) it is read, or that its source does not say (`not given`).",
	Why:       "The same cam reads some eighteen degrees wider at 4 than at 20 thou. Angles without their clearance time the engine by luck.",
	Basis:     commonPractice + "; published sheets name it, as 0.001 in off the seat (manualshive.com, AJS 16, p. 36) or 0.100 mm lift.",
	Accepting: "Write `read_at: not given` instead, when the source does not say.",
	Bad: `
events:
  handbook: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, from: handbook p. 14}
`,
	Good: `
events:
  handbook: {read_at: not given, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, from: handbook p. 14}
`,
	Engine: func(p *lint.Pass) {
		for _, set := range p.Engine.Events {
			at := set.Value.ReadAt
			switch {
			case !at.Given():
				p.Report(set.Key, "the events of `%s` do not say at which clearance they are read; add `read_at`, or `read_at: not given`", set.Name).
					About("events." + set.Name)
			case !isClearanceOrLift(at.Text):
				p.Report(at.At, "%q is neither a clearance nor a lift; write for instance `checking clearance`, `1 mm lift at valve` or `not given`", at.Text).
					About("events." + set.Name)
			}
		}
	},
}

func isClearanceOrLift(words string) bool {
	if strings.HasSuffix(words, " clearance") {
		return true
	}
	_, err := figure.Read(figure.ReadLength, words)
	return err == nil
}

var eventNotations = &lint.Rule{
	Name:  "events/notations",
	Level: lint.Error,
	Title: "One event in degrees, piston travel, along the rim and in teeth",
	Checks: "An event printed in several notations is one event: the piston travel follows from the degrees through stroke and rod, the rim distance through the rim's diameter, " +
		"the teeth through the ring gear. So do events printed in travel and durations printed in degrees. No travel is longer than the stroke, and no distance goes beyond half a turn. Without a rod length, any rod of 1.4 to 2.5 strokes is allowed.",
	Why: "A sheet for the bench prints travel, a drawing degrees. When they disagree one was worked out for another stroke, or misread.",
	Basis: "x = r + L − r cos θ − √(L² − r² sin² θ) (standard texts; published as x = r cos A + √(l² − r² sin² A) at vcalc.com); " +
		"rim distance = circumference × degrees / 360 (US Army TM 5-3895-382-24, p. 310).",
	Accepting: "Accept it when the source itself prints notations that differ and nothing tells which is right.",
	Bad: `
size: {stroke: 88 mm, rod_centres: 170 mm, from: handbook p. 6}
events:
  handbook: {read_at: not given, exhaust_opens: 50 BBDC (5.5 mm piston), from: handbook p. 14}
`,
	Good: `
size: {stroke: 88 mm, rod_centres: 170 mm, from: handbook p. 6}
events:
  handbook: {read_at: not given, exhaust_opens: 50 BBDC (12.4 mm piston), from: handbook p. 14}
`,
	Relations: func(n *relation.Network) {
		for _, set := range n.Engine.Events {
			for _, v := range fourEvents {
				if f := v.of(set.Value); f != nil {
					relateNotations(n, "events."+set.Name, f.Path, inSet(n.Engine, set.Name, v.title), v.datum)
				}
			}
		}
	},
}
