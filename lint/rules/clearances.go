package rules

import (
	"math"
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func clearances() []*lint.Rule {
	return []*lint.Rule{checkingBelowRunning, withoutEvents, magnitude, rockerRatio, coldOrHot, expansion, baseCircle, fullyOpen, sumRule}
}

// clearanceSet returns the clearances of a name: running, checking.
func clearanceSet(e *schema.Engine, name string) *schema.Clearance {
	c, _ := e.Clearances.Get(name)
	return c
}

// bothValves calls do with the two clearances of a set.
func bothValves(c *schema.Clearance, do func(valve string, f *schema.Figure)) {
	do("inlet", c.Inlet)
	do("exhaust", c.Exhaust)
}

var checkingBelowRunning = &lint.Rule{
	Name:      "clearances/checking-below-running",
	Level:     lint.Error,
	Title:     "The checking clearance is the wider one",
	Checks:    "The clearance set for reading the events is not narrower than the running clearance of the same valve.",
	Why:       "The checking clearance lifts the reading off the quieting ramp. One below the running clearance is the two interchanged: the engine would be run at the checking clearance, and hammer its cams.",
	Formula:   "running clearance ≤ checking clearance",
	Basis:     "US Army TM 5-3895-382-24 reads inlet opening with the lash at 1.50 mm; a tractor manual checks at 0.45 mm and runs at 0.25 mm (easymanua.ls, Long 360, p. 19).",
	Accepting: "Accept it where a source checks at a narrower clearance on purpose, and say what it says.",
	Bad: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: handbook p. 14}
  checking: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: sheet p. 1}
events:
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		for _, wide := range p.Engine.Clearances {
			for _, narrow := range p.Engine.Clearances {
				if !isChecking(wide.Name) || !isRunning(narrow.Name) {
					continue
				}
				bothValves(wide.Value, func(valve string, f *schema.Figure) {
					checking, ok := gapAt(wide.Value, valve)
					running, okay := gapAt(narrow.Value, valve)
					if !ok || !okay || !checking.below(running, p.Engine) {
						return
					}
					p.ReportFigure(f, "the %s clearance of the %s, %s, is narrower than its %s clearance, %s; the two may be interchanged",
						wide.Name, valve, checking.text, narrow.Name, running.text).
						Involving(running.figure).See(running.figure.At, "%s clearance: %s", narrow.Name, running.text).
						Suspecting(tooNarrow(checking, running)...)
				})
			}
		}
	},
}

// tooNarrow suspects a checking clearance of being too narrow and the running
// clearance of being too wide; neither where they are measured at different
// places of the valve gear.
func tooNarrow(checking, running gap) []relation.Suspect {
	if checking.measuredAt != running.measuredAt {
		return nil
	}
	felt := func(g gap) interval.Interval {
		if is, ok := intervalOf(g.felt); ok {
			return is
		}
		return interval.Point(0)
	}
	least := interval.Of(running.net.Add(felt(checking)).Lo, mostChecking)
	most := interval.Of(leastClearance, math.Min(checking.net.Add(felt(running)).Hi, mostClearance))
	var all []relation.Suspect
	if !least.IsEmpty() {
		all = append(all, relation.Outside(checking.figure, figure.NoDatum, least))
	}
	if !most.IsEmpty() {
		all = append(all, relation.Outside(running.figure, figure.NoDatum, most))
	}
	return all
}

var withoutEvents = &lint.Rule{
	Name:      "clearances/without-events",
	Level:     lint.Warning,
	Title:     "A checking clearance and the events read at it belong together",
	Checks:    "Where a checking clearance is given there is a set of events read at it, or a mark that holds at it, and where events are read at a clearance that clearance is given.",
	Why:       "Events without their clearance are of no use: at 4 and at 20 thou the same cam reads some eighteen degrees apart. A clearance without events sets nothing.",
	Basis:     commonPractice + ".",
	Accepting: "Accept it when the source gives only the one, after looking for the other.",
	Bad: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
events:
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
events:
  running: {read_at: running clearance, inlet_opens: 12 BTDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		used := map[string]bool{}
		for _, set := range p.Engine.Events {
			name, ok := strings.CutSuffix(set.Value.ReadAt.Text, " clearance")
			if !ok {
				continue
			}
			used[name] = true
			if clearanceSet(p.Engine, name) == nil {
				p.Report(set.Value.ReadAt.At, "these events are read at the %s clearance, and no clearance of that name is given; give it under `clearances`, or say `not given`", name).
					About("events." + set.Name)
			}
		}
		eachStamp(p.Engine, func(_ schema.Named[*schema.Marked], s schema.Named[*schema.Stamp]) {
			used[s.Value.Clearance.Text] = true
		})
		for _, c := range p.Engine.Clearances {
			if isChecking(c.Name) && !used[c.Name] {
				p.Report(c.Key, "the %s clearance is given, and no events are read at it; add them, or say at which clearance the events are read", c.Name).
					About("clearances." + c.Name)
			}
		}
	},
}

// A running clearance lies between these, in millimetres: 1 thou and 40 thou. One
// ten times as wide or narrow was misread.
const (
	leastClearance = 0.001 * inchInMillimetres
	mostClearance  = 0.040 * inchInMillimetres
	mostChecking   = 0.100 * inchInMillimetres
)

var magnitude = &lint.Rule{
	Name:   "clearances/magnitude",
	Level:  lint.Warning,
	Title:  "A clearance ten times too wide or too narrow",
	Checks: "A running clearance lies between 1 thou and 40 thou, a checking clearance below 100 thou, unless it is none at all.",
	Why:    "4 thou, .4 mm and 4/100 mm look alike in a column and differ tenfold. Set ten times too wide, the tappet is thrown off its ramp; too narrow, the valve burns.",
	Basis: "Published running clearances run from 0.006 in (hells-confetti.com) to 1/32 in (Ford manual 1922); checking gaps reach 0.059 in (TM 5-3895-382-24). " +
		"The limits are " + commonPractice + ".",
	Accepting: "Accept it when the source is clear and the engine is known to run so.",
	Bad: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 mm, exhaust: 6 thou, from: handbook p. 14}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
`,
	Engine: func(p *lint.Pass) {
		for _, c := range p.Engine.Clearances {
			most := mostClearance
			if isChecking(c.Name) {
				most = mostChecking
			}
			bothValves(c.Value, func(valve string, f *schema.Figure) {
				is, ok := intervalOf(f)
				if r, _ := f.Reading(); !ok || r.Value.Sign() == 0 {
					return
				}
				size := "wide"
				switch {
				case is.Hi < leastClearance:
					size = "narrow"
				case is.Lo <= most:
					return
				}
				p.ReportFigure(f, "%s is a very %s %s clearance for the %s; look whether its unit or its decimal point is wrong", f.Text(), size, c.Name, valve).
					Suspecting(relation.Outside(f, figure.NoDatum, interval.Of(leastClearance, most)))
			})
		}
	},
}

var rockerRatio = &lint.Rule{
	Name:      "clearances/rocker-ratio",
	Level:     lint.Warning,
	Title:     "With unequal rockers it matters where the gauge goes",
	Checks:    "Where the rocker ratio differs from 1, each set of clearances says whether it is measured at the valve or at the tappet.",
	Why:       "The same gauge at the other end of the rocker is another clearance, by the ratio, and shifts every event.",
	Formula:   "clearance at valve = clearance at tappet × rocker ratio",
	Basis:     "Geometry.",
	Accepting: "Accept it when no source says, after looking.",
	Bad: `
layout: {rocker_ratio: 1.25, from: handbook p. 6}
clearances:
  running: {engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
`,
	Good: `
layout: {rocker_ratio: 1.25, from: handbook p. 6}
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
`,
	Engine: func(p *lint.Pass) {
		if p.Engine.Layout == nil {
			return
		}
		ratio := p.Engine.Layout.RockerRatio
		if is, ok := intervalOf(ratio); !ok || is.Contains(1) {
			return
		}
		for _, c := range p.Engine.Clearances {
			if !c.Value.MeasuredAt.Given() {
				p.Report(c.Key, "the rocker ratio is %s, so the %s clearance must say whether it is measured at the valve or at the tappet", ratio.Text(), c.Name).
					About("clearances."+c.Name).Involving(ratio).See(ratio.At, "rocker ratio: %s", ratio.Text())
			}
		}
	},
}

var coldOrHot = &lint.Rule{
	Name:      "clearances/cold-or-hot",
	Level:     lint.Note,
	Title:     "A running clearance is for a cold or for a hot engine",
	Checks:    "A running clearance says whether the engine is cold or hot.",
	Why:       "Between the two lie a few thou either way, as many as the clearance itself.",
	Basis:     "Engines with aluminium heads and steel pushrods gain clearance as they warm, others lose it (scribd.com 274129686, ch. 2).",
	Accepting: "There is nothing to accept: many sources do not say, and a note does not fail a run.",
	Bad: `
clearances:
  running: {measured_at: valve, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}
`,
	Engine: func(p *lint.Pass) {
		for _, c := range p.Engine.Clearances {
			if isRunning(c.Name) && !c.Value.Engine.Given() {
				p.Report(c.Key, "the %s clearance does not say whether the engine is cold or hot; add `engine: cold` or `engine: hot`", c.Name).
					About("clearances." + c.Name)
			}
		}
	},
}

// isRunning reports whether a set of clearances is one the engine runs at.
func isRunning(set string) bool { return strings.HasPrefix(set, "running") }

// isChecking reports whether a set of clearances is one set only while events
// are read.
func isChecking(set string) bool { return strings.HasPrefix(set, "checking") }
