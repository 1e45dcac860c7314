package rules

import (
	"fmt"
	"strings"

	"fourmarks.example/convert/gear"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

var coupling = &lint.Rule{
	Name:   "drives/coupling",
	Level:  lint.Error,
	Title:  "A vernier coupling's step follows from its rings",
	Checks: "The smallest step printed is 360° over the least common multiple of the two rings, on the coupling's own shaft; in crank degrees, that divided by the shaft's turns for one of the crankshaft.",
	Why:    "The step says how nearly the ignition can be set, and in whose degrees it is counted: a step on a magneto at one and a half times engine speed is two thirds of it at the crank.",
	Basis: "1/19 less 1/20 is 1/380 of a turn (da7c.co.uk, technical torque articles, magneto coupling); " +
		"the rest is arithmetic.",
	Formula:   "step = 360° / least common multiple of the rings; crank step = step / drive speed",
	Accepting: "Accept it when the print is rounded to a fraction of a degree.",
	Bad: `
drives:
  magneto: {speed: 1.5, coupling: {rings: [19, 20], step: 0.947, crank_step: 1.421}, from: sheet p. 1}
`,
	Good: `
drives:
  magneto: {speed: 1.5, coupling: {rings: [19, 20], step: 0.947, crank_step: 0.632}, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		for _, drive := range p.Engine.Drives {
			if c := drive.Value.Coupling; c != nil {
				checkCoupling(p, drive, c)
			}
		}
	},
}

// couplingStep is a step that a coupling prints: its own, or in crank degrees.
type couplingStep struct {
	title   string
	figure  *schema.Figure
	printed interval.Interval
	speed   interval.Interval // turns of the coupling for one of what the step is counted on
}

// stepsOf are the steps that a coupling prints and that its rings give.
func stepsOf(e *schema.Engine, drive schema.Named[*schema.Drive], c *schema.Coupling) []couplingStep {
	var all []couplingStep
	if printed, ok := intervalOf(c.Step); ok {
		all = append(all, couplingStep{"step", c.Step, printed, interval.Point(1)})
	}
	printed, ok := intervalOf(c.CrankStep)
	if speed, known := speedOf(e, drive); ok && known && speed.Lo > 0 {
		all = append(all, couplingStep{"step in crank degrees", c.CrankStep, printed, speed})
	}
	return all
}

func (s couplingStep) fits(own interval.Interval) bool { return s.printed.Meets(own.Div(s.speed)) }

func checkCoupling(p *lint.Pass, drive schema.Named[*schema.Drive], c *schema.Coupling) {
	rings, ok := ringsOf(c)
	if !ok {
		return
	}
	step, err := rings.Step()
	if err != nil {
		p.ReportFigure(c.Rings, "%s", err).Suspecting(relation.Unfit(c.Rings, c.Rings.First(), func(p figure.Printed) bool {
			rings, ok := pairOf(p.List)
			_, err := rings.Step()
			return ok && err == nil
		}))
		return
	}
	own, steps := interval.FromRat(step, step), stepsOf(p.Engine, drive, c)
	var wrong []couplingStep
	for _, s := range steps {
		if !s.fits(own) {
			wrong = append(wrong, s)
		}
	}
	switch {
	case len(wrong) == 0:
	case len(wrong) == 1:
		s := wrong[0]
		suspects := []relation.Suspect{relation.Outside(s.figure, figure.NoDatum, own.Div(s.speed))}
		if len(steps) == 1 {
			suspects = append(suspects, otherRings(c, steps))
		}
		p.ReportFigure(s.figure, "the coupling's %s is printed %s, and rings of %s give %.4g°", s.title, s.figure.Text(), c.Rings.Text(), own.Div(s.speed).Mid()).
			Involving(c.Rings).Suspecting(suspects...)
	default:
		var said []string
		for _, s := range wrong {
			said = append(said, fmt.Sprintf("a %s of %.4g°, printed %s", s.title, own.Div(s.speed).Mid(), s.figure.Text()))
		}
		p.ReportFigure(c.Rings, "the coupling's rings are printed %s, which gives %s", c.Rings.Text(), strings.Join(said, ", and ")).
			Involving(c.Step, c.CrankStep).Suspecting(otherRings(c, steps))
	}
}

// otherRings suspects the rings of a coupling: they must give the steps.
func otherRings(c *schema.Coupling, steps []couplingStep) relation.Suspect {
	return relation.Unfit(c.Rings, c.Rings.First(), func(p figure.Printed) bool {
		rings, ok := pairOf(p.List)
		step, err := rings.Step()
		if !ok || err != nil {
			return false
		}
		for _, s := range steps {
			if !s.fits(interval.FromRat(step, step)) {
				return false
			}
		}
		return true
	})
}

// ringsOf reads the two rings of a coupling.
func ringsOf(c *schema.Coupling) (gear.Coupling, bool) {
	return pairOf(agreed(c.Rings, func(p figure.Printed) []figure.Reading { return p.List }, func(a, b figure.Reading) bool { return a.Value.Cmp(b.Value) == 0 }))
}

// pairOf reads two counts as the rings of a coupling.
func pairOf(list []figure.Reading) (rings gear.Coupling, ok bool) {
	if len(list) != len(rings) {
		return rings, false
	}
	for i, r := range list {
		if !r.Value.IsInt() || !r.Value.Num().IsInt64() || r.Value.Num().Int64() > mostCount {
			return rings, false
		}
		rings[i] = int(r.Value.Num().Int64())
	}
	return rings, true
}
