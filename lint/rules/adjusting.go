package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// rampAllowance is by how many crank degrees a valve is taken to begin earlier,
// and end later, than its events as read, where no profile gives the events at
// no clearance: the reach of a quieting ramp between 20 thou and the foot of
// the flank (common practice, no source).
const rampAllowance = 17.0

// feet are a cylinder's events at no clearance at all, where each tappet leaves
// and meets its base circle, and whether they are computed or only allowed for.
type feet struct {
	set string // whose events
	crank.Events
	read     crank.Events // as read, for what is certain
	computed bool
}

// feetOf works the feet out from the first set of events that gives all four
// and whose cams are known, or else from the first that gives all four; false
// when there is none.
func feetOf(n *relation.Network) (first feet, ok bool) {
	for _, set := range n.Engine.Events {
		f, complete := feetOfSet(n, set.Value)
		f.set = set.Name
		switch {
		case complete && f.computed:
			return f, true
		case complete && !ok:
			first, ok = f, true
		}
	}
	return first, ok
}

func feetOfSet(n *relation.Network, set *schema.EventSet) (feet, bool) {
	var at [4]float64
	for i, v := range fourEvents {
		is, ok := angleOf(n.Engine, v.of(set), v.datum)
		if !ok {
			return feet{}, false
		}
		at[i] = is.Mid()
	}
	read, err := crank.CustomaryEvents(at[0], at[1], at[2], at[3])
	inlet, known := footAngles(n, set, "inlet")
	exhaust, both := footAngles(n, set, "exhaust")
	if !known || !both {
		inlet, exhaust = [2]float64{rampAllowance, rampAllowance}, [2]float64{rampAllowance, rampAllowance}
	}
	return feet{
		Events: crank.Events{InletOpens: read.InletOpens - inlet[0], InletCloses: read.InletCloses + inlet[1],
			ExhaustOpens: read.ExhaustOpens - exhaust[0], ExhaustCloses: read.ExhaustCloses + exhaust[1]},
		read:     read,
		computed: known && both,
	}, err == nil
}

// footAngles is by how many crank degrees a valve opens earlier and closes later
// at no clearance than at the clearance of a set, by its cam's profile.
func footAngles(n *relation.Network, set *schema.EventSet, valve string) (wider [2]float64, ok bool) {
	g, ok := gapOf(n.Engine, set, valve)
	if !ok {
		return wider, false
	}
	p, err := valveProfile(n, valve, g.measuredAt)
	if err != nil {
		return wider, false
	}
	read, err := p.Events(g.reach.Mid())
	foot, err2 := p.Events(0)
	if err != nil || err2 != nil {
		return wider, false
	}
	return [2]float64{read.Opens.Crank() - foot.Opens.Crank(), foot.Closes.Crank() - read.Closes.Crank()}, true
}

// stance is a position of the engine in which valves are set.
type stance struct {
	position float64
	words    string
}

// turnedTo returns the positions that an adjustment names by a cylinder on the
// rock or by the crank. Where the crank position is of no cylinder named, it is
// of No. 1.
func turnedTo(e *schema.Engine, a *schema.Adjustment, when crank.Firing) []stance {
	var all []stance
	add := func(cylinder int, own float64, words string) {
		if position, err := when.Position(cylinder, own); err == nil {
			all = append(all, stance{position, words})
		}
	}
	if k, ok := a.OnTheRock.Count(); ok {
		add(k, 360, fmt.Sprintf("with No. %d on the rock", k))
	}
	if at, ok := angleOf(e, a.Crank, figure.ATDC); ok {
		k, given := a.Cylinder.Count()
		if !given {
			k = 1
		}
		add(k, math.Mod(at.Mid()+720, 720), fmt.Sprintf("with No. %d at %s, firing", k, a.Crank.Text()))
	}
	return all
}

// liftedAt is the position that an adjustment names by a valve that is fully
// open; false when it names none, or one that is not there.
func liftedAt(e *schema.Engine, a *schema.Adjustment, when crank.Firing, ev feet) (stance, bool) {
	along := valvesAlong(e)
	k, ok := a.FullyOpen.Count()
	if !ok || k < 1 || k > len(along) || cylinderAlong(k) > len(when) {
		return stance{}, false
	}
	opens, closes := ev.read.InletOpens, ev.read.InletCloses
	if along[k-1] == crank.Exhaust {
		opens, closes = ev.read.ExhaustOpens, ev.read.ExhaustCloses
	}
	centre, err := crank.LobeCentre(opens, closes)
	if err != nil {
		return stance{}, false
	}
	position, err := when.Position(cylinderAlong(k), centre)
	return stance{position, fmt.Sprintf("with valve %d fully open", k)}, err == nil
}

// checkAdjustment reports each valve of an adjustment that is not on its base
// circle at a position of the engine: surely, or within the reach of its ramp.
func checkAdjustment(p *lint.Pass, a schema.Named[*schema.Adjustment], when crank.Firing, ev feet, at stance) {
	valves, err := adjusted(p.Engine, a.Value.Valves.Text)
	if err != nil {
		return // clearances/base-circle says so
	}
	for _, v := range valves {
		certain, okay := marginOf(when, ev.read, v, at.position)
		margin, both := marginOf(when, ev.Events, v, at.position)
		if !okay || !both || margin >= 0 {
			continue
		}
		var f *lint.Finding
		switch {
		case certain < 0:
			f = p.Report(a.Value.Valves.At, "%s cannot be set %s: it is open there, %s inside its events as read", v, at.words, wholeDegrees(-certain))
		case ev.computed:
			f = p.Report(a.Value.Valves.At, "%s cannot be set %s: by its cam's profile it is off its base circle there by %s", v, at.words, wholeDegrees(-margin))
		default:
			f = p.Report(a.Value.Valves.At, "%s may not be on its base circle %s: it is only %s from its events as read, and the ramp may reach %.0f°; set it in another position", v, at.words,
				wholeDegrees(certain), rampAllowance)
			f.Level = lint.Warning
		}
		f.About("setting.adjustments." + a.Name)
	}
}

// safeOnTheRock reports whether every valve of an adjustment is surely on its
// base circle with a cylinder on the rock.
func safeOnTheRock(n *relation.Network, a *schema.Adjustment, when crank.Firing, cylinder int) bool {
	ev, known := feetOf(n)
	position, err := when.Position(cylinder, 360)
	valves, err2 := adjusted(n.Engine, a.Valves.Text)
	return known && err == nil && err2 == nil && !slices.ContainsFunc(valves, func(v crank.Valve) bool {
		margin, ok := marginOf(when, ev.Events, v, position)
		return !ok || margin < 0
	})
}

// marginOf is how far a valve is from opening or closing, in crank degrees.
func marginOf(when crank.Firing, ev crank.Events, v crank.Valve, position float64) (float64, bool) {
	own, err := when.Own(v.Cylinder, position)
	if err != nil {
		return 0, false
	}
	opens, closes := ev.InletOpens, ev.InletCloses
	if v.Kind == crank.Exhaust {
		opens, closes = ev.ExhaustOpens, ev.ExhaustCloses
	}
	margin, err := crank.Margin(opens, closes, own)
	return margin, err == nil
}

func hasAdjustments(e *schema.Engine) bool { return e.Setting != nil && len(e.Setting.Adjustments) > 0 }

// eachAdjustment calls do with every adjustment of an engine.
func eachAdjustment(e *schema.Engine, do func(a schema.Named[*schema.Adjustment])) {
	if e.Setting == nil {
		return
	}
	for _, a := range e.Setting.Adjustments {
		do(a)
	}
}

const adjustingExample = `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0], valve_order: E I I E E I I E, numbered_from: front, from: handbook p. 6}
events:
  handbook: {read_at: not given, inlet_opens: 5 BTDC, inlet_closes: 45 ABDC, exhaust_opens: 40 BBDC, exhaust_closes: 10 ATDC, from: handbook p. 14}
setting:
  from: handbook p. 14
  cautions:
    - Turn by hand with the plugs out.
  adjustments:
`

var baseCircle = &lint.Rule{
	Name:  "clearances/base-circle",
	Level: lint.Error,
	Title: "A clearance is set with the tappet on the base circle",
	Checks: "At the position named, the companion on the rock or a crank position, each valve that is set there is on the base circle of its cam: outside its events at no clearance at all. " +
		"Those follow from the cam's profile; without one the events as read are widened by 17° for the ramp, and the finding says so.",
	Why:       "Set on the ramp, a clearance is too wide by the height of the ramp there; set on the flank, too tight, and the valve burns.",
	Formula:   "margin = crank degrees to the nearer of opening and closing, at no clearance",
	Basis:     "Geometry; setting with the companion on the rock is " + commonPractice + ".",
	Accepting: "Accept it when the maker's own instructions say so and the events in the file are known to be others.",
	Bad: adjustingExample + `
    first: {valves: "inlet 1, exhaust 1", crank: TDC, cylinder: 4}
`,
	Good: adjustingExample + `
    first: {valves: "inlet 1, exhaust 1", crank: TDC, cylinder: 1}
    second: {valves: "inlet 3, exhaust 3", on_the_rock: 2}
`,
	Engine: func(p *lint.Pass) {
		if !hasAdjustments(p.Engine) {
			return
		}
		when, noFiring := firing(p.Engine)
		ev, known := feetOf(p.Relations)
		eachAdjustment(p.Engine, func(a schema.Named[*schema.Adjustment]) {
			checkValves(p, a)
			if noFiring != nil || !known {
				return
			}
			for _, at := range turnedTo(p.Engine, a.Value, when) {
				checkAdjustment(p, a, when, ev, at)
			}
		})
	},
}

// checkValves reports valves of an adjustment that cannot be told or that the
// engine does not have.
func checkValves(p *lint.Pass, a schema.Named[*schema.Adjustment]) {
	where := "setting.adjustments." + a.Name
	if !a.Value.Valves.Given() {
		p.Report(a.Key, "the adjustment %s names no valves; say under `valves` which are set", a.Name).About(where)
		return
	}
	valves, err := adjusted(p.Engine, a.Value.Valves.Text)
	if err != nil {
		p.Report(a.Value.Valves.At, "the adjustment %s: %s", a.Name, err).About(where)
		return
	}
	n, ok := countOf(p.Engine.Figure("layout.cylinders"))
	for _, v := range valves {
		if ok && (v.Cylinder < 1 || v.Cylinder > n) {
			p.Report(a.Value.Valves.At, "the adjustment %s sets %s, and the engine has %d cylinders", a.Name, v, n).About(where)
		}
	}
}

var fullyOpen = &lint.Rule{
	Name:      "clearances/fully-open",
	Level:     lint.Error,
	Title:     "A clearance set while another valve is fully open",
	Checks:    "Where valves are set with another valve fully open, each of them is then on the base circle of its cam, as for a setting with the companion on the rock.",
	Why:       "A table with one number wrong sets one valve on its flank, and nobody looks at a table twice.",
	Formula:   "margin = crank degrees to the nearer of opening and closing, at no clearance, when the other valve is at its lobe centre",
	Basis:     "Geometry; such tables are " + commonPractice + ".",
	Accepting: "Accept it when the maker's own instructions say so and the events in the file are known to be others.",
	Bad: adjustingExample + `
    first: {valves: "1", fully_open: 3}
`,
	Good: adjustingExample + `
    first: {valves: "1", fully_open: 8}
`,
	Engine: func(p *lint.Pass) {
		if !hasAdjustments(p.Engine) {
			return
		}
		when, err := firing(p.Engine)
		ev, known := feetOf(p.Relations)
		if err != nil || !known {
			return
		}
		eachAdjustment(p.Engine, func(a schema.Named[*schema.Adjustment]) {
			if at, ok := liftedAt(p.Engine, a.Value, when, ev); ok {
				checkAdjustment(p, a, when, ev, at)
			}
		})
	},
}

var sumRule = &lint.Rule{
	Name:  "clearances/sum-rule",
	Level: lint.Warning,
	Title: "The rule of nine and its like",
	Checks: "Where the valves of a table add up to one more than their number with the valve that is fully open (nine for a four, thirteen for a six), the rule holds for this engine: " +
		"the two belong to companions and are of one kind.",
	Why:       "The rule is handed on from engine to engine. On one whose valves are not arranged as a mirror image it sets valves that are partly open.",
	Formula:   "valve set + valve fully open = 2 × cylinders + 1",
	Basis:     "Rule of nine (austin7.org; tswfl.org, April 2020, p. 7); it needs a mirror-image layout, which a page with E I E I E I E I overlooks (automonger.blogspot.com, 2025/07).",
	Accepting: "Accept it when the margin is known to suffice all the same.",
	Bad: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0], valve_order: E I E I E I E I, numbered_from: front, from: handbook p. 6}
setting:
  from: handbook p. 14
  cautions:
    - Turn by hand with the plugs out.
  adjustments:
    first: {valves: "1", fully_open: 8}
`,
	Good: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0], valve_order: E I I E E I I E, numbered_from: front, from: handbook p. 6}
setting:
  from: handbook p. 14
  cautions:
    - Turn by hand with the plugs out.
  adjustments:
    first: {valves: "1", fully_open: 8}
`,
	Engine: func(p *lint.Pass) {
		along := valvesAlong(p.Engine)
		when, err := firing(p.Engine)
		if err != nil || along == nil {
			return
		}
		sum, against, err := when.SumRule(along)
		if err != nil {
			return
		}
		eachAdjustment(p.Engine, func(a schema.Named[*schema.Adjustment]) {
			open, ok := a.Value.FullyOpen.Count()
			set := sum - open
			if !ok || !slices.Contains(against, set) || !slices.Contains(numbersAlong(a.Value.Valves.Text), set) {
				return
			}
			p.ReportFigure(a.Value.FullyOpen, "valve %d with valve %d fully open adds up to %d, and the rule does not hold here: in the valve order %s they are not alike on companion cylinders; set it with its companion on the rock",
				set, open, sum, p.Engine.Layout.ValveOrder.Text()).Involving(p.Engine.Layout.ValveOrder)
		})
	},
}

var expansion = &lint.Rule{
	Name:  "clearances/expansion",
	Level: lint.Warning,
	Title: "Hot and cold clearance differ by what the parts grow",
	Checks: "Where a running clearance is given cold and hot and the parts that grow are described, the hot clearance is the cold one, wider by what grows around it and narrower by what grows in the train. " +
		"Where a part's coefficient is not given, that of its material is taken: steel, cast iron, aluminium, stainless steel or bronze.",
	Why:       "Hot and cold interchanged, or a growth of the wrong sign, leaves a valve without clearance when the engine is warm.",
	Formula:   "hot = cold + Σ length × coefficient × rise, taken away for parts whose growth narrows the clearance",
	Basis:     "Coefficients as in Callister, Fundamentals of Materials Science and Engineering, table B.6.",
	Accepting: "Accept it when the parts listed are not all that grow.",
	Bad: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
  running-hot: {measured_at: valve, engine: hot, inlet: 14 thou, exhaust: 16 thou, from: handbook p. 14}
expansion:
  from: sheet p. 3
  parts:
    valve: {length: 4 in, material: steel, coefficient: 11.7e-6 per °C, rise: 100 °C, effect: narrows}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 8 thou, exhaust: 10 thou, from: handbook p. 14}
  running-hot: {measured_at: valve, engine: hot, inlet: 3 thou, exhaust: 5 thou, from: handbook p. 14}
expansion:
  from: sheet p. 3
  parts:
    valve: {length: 4 in, material: steel, coefficient: 11.7e-6 per °C, rise: 100 °C, effect: narrows}
`,
	Engine: func(p *lint.Pass) {
		grows, ok := growth(p.Engine)
		if !ok {
			return
		}
		for _, cold := range p.Engine.Clearances {
			for _, hot := range p.Engine.Clearances {
				if cold.Value.Engine.Text != "cold" || hot.Value.Engine.Text != "hot" || cold.Value.MeasuredAt.Text != hot.Value.MeasuredAt.Text ||
					isChecking(cold.Name) || isChecking(hot.Name) {
					continue
				}
				bothValves(hot.Value, func(valve string, f *schema.Figure) {
					from := cold.Value.Inlet
					if valve == "exhaust" {
						from = cold.Value.Exhaust
					}
					h, given := intervalOf(f)
					c, both := intervalOf(from)
					if given && both && !h.Meets(c.Add(grows)) {
						p.ReportFigure(f, "the %s clearance is %s hot and %s cold, and the parts listed change it by %s; the two may be interchanged, or a part or its effect be wrong",
							valve, f.Text(), from.Text(), inUnitOf(grows, f)).
							Involving(from).See(from.At, "cold: %s", from.Text())
					}
				})
			}
		}
	},
}

// growth is by how much the parts of an engine widen a clearance as they warm,
// in millimetres; false unless every part is described.
func growth(e *schema.Engine) (interval.Interval, bool) {
	if e.Expansion == nil || len(e.Expansion.Parts) == 0 {
		return interval.Empty(), false
	}
	total := interval.Point(0)
	for _, part := range e.Expansion.Parts {
		length, ok := intervalOf(part.Value.Length)
		coefficient, okay := coefficientOf(part.Value)
		rise, given := intervalOf(part.Value.Rise)
		if !ok || !okay || !given || !part.Value.Effect.Given() {
			return interval.Empty(), false
		}
		by := length.Mul(coefficient).Mul(rise)
		if part.Value.Effect.Text == "narrows" {
			by = by.Neg()
		}
		total = total.Add(by)
	}
	return total, true
}

// materials are the coefficients of expansion of the kinds of metal that engines
// are made of, in parts of a million for a kelvin (Callister, Fundamentals of
// Materials Science and Engineering, table B.6). What is named first in a
// material decides: stainless steel is no steel.
var materials = []struct {
	word        string
	coefficient interval.Interval
}{
	{"stainless", interval.Of(10.2, 17.2)},
	{"austenitic", interval.Of(15.9, 17.2)},
	{"alumin", interval.Of(21.5, 23.6)},
	{"bronze", interval.Of(18, 18)},
	{"iron", interval.Of(11.2, 11.4)},
	{"steel", interval.Of(11.3, 12.3)},
}

// coefficientOf is the coefficient of expansion of a part, as printed or of its
// material.
func coefficientOf(part *schema.Part) (interval.Interval, bool) {
	if is, ok := intervalOf(part.Coefficient); ok {
		return is, true
	}
	for _, m := range materials {
		if strings.Contains(strings.ToLower(part.Material.Text), m.word) {
			return m.coefficient.Div(interval.Point(1e6)), true
		}
	}
	return interval.Empty(), false
}
