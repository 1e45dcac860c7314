package rules

import (
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func ignition() []*lint.Rule {
	return []*lint.Rule{ignitionNotations, ignitionRange, ignitionGap, ignitionDrive}
}

var ignitionNotations = &lint.Rule{
	Name:  "ignition/notations",
	Level: lint.Error,
	Title: "Ignition timing in degrees, piston travel and along the rim",
	Checks: "An ignition position printed in several notations is one position: the piston travel follows from the degrees through stroke and rod, " +
		"the rim distance through the rim's diameter, the teeth through the ring gear. Without a rod length, any rod of 1.4 to 2.5 strokes is allowed.",
	Why: "Near top dead centre the piston hardly moves: a sixteenth of an inch misread is several degrees, enough to knock or to break a wrist at the handle.",
	Basis: "x = r + L − r cos θ − √(L² − r² sin² θ) (standard texts; published as x = r cos A + √(l² − r² sin² A) at vcalc.com); " +
		"rim distance = circumference × degrees / 360 (US Army TM 5-3895-382-24, p. 310).",
	Accepting: "Accept it when the source itself prints notations that differ and nothing tells which is right.",
	Bad: `
size: {stroke: 88 mm, rod_centres: 170 mm, from: handbook p. 6}
ignition: {kind: magneto, advance: 38 BTDC (7/32 in piston), from: handbook p. 21}
`,
	Good: `
size: {stroke: 88 mm, rod_centres: 170 mm, from: handbook p. 6}
ignition: {kind: magneto, advance: 38 BTDC (15/32 in piston), from: handbook p. 21}
`,
	Relations: func(n *relation.Network) {
		if n.Engine.Ignition == nil {
			return
		}
		for _, p := range []struct{ key, title string }{{"fixed", "ignition"}, {"advance", "full advance"}, {"fully_retarded", "full retard"}} {
			if n.Engine.Figure("ignition."+p.key) != nil {
				relateNotations(n, "ignition", "ignition."+p.key, p.title, figure.BTDC)
			}
		}
	},
}

var ignitionRange = &lint.Rule{
	Name:      "ignition/retard",
	Level:     lint.Error,
	Title:     "Advance, retard and the range between them",
	Checks:    "Full retard does not lie before full advance, and the range printed is the difference of the two.",
	Why:       "Retard and advance interchanged start the engine at full advance: it kicks back and breaks a wrist.",
	Basis:     "Definition.",
	Accepting: "Accept it when the two are of different magnetos, and say so.",
	Bad: `
ignition: {kind: magneto, advance: 5 BTDC, fully_retarded: 35 BTDC, from: handbook p. 21}
`,
	Good: `
ignition: {kind: magneto, advance: 35 BTDC, fully_retarded: 5 BTDC, range: 30, from: handbook p. 21}
`,
	Relations: func(n *relation.Network) {
		i := n.Engine.Ignition
		if i == nil || i.Advance.First() == nil || i.FullyRetarded.First() == nil {
			return
		}
		advance := n.Angle("ignition.advance", "full advance", figure.BTDC)
		retard := n.Angle("ignition.fully_retarded", "full retard", figure.BTDC)
		n.AtMost("ignition", retard, advance)
		if i.Range.First() != nil {
			n.Equal("ignition", n.Quantity("ignition.range", "range", figure.Angle), relation.Difference(advance, retard))
		}
	},
}

// Gaps of contact breakers and sparking plugs, in millimetres: 8 to 40 thou.
var usualGap = interval.Of(0.2, 1.02)

var ignitionGap = &lint.Rule{
	Name:      "ignition/gap",
	Level:     lint.Warning,
	Title:     "A gap ten times too wide or too narrow",
	Checks:    "Contact breaker and sparking plug gaps lie between 8 and 40 thou. Low-tension ignition, whose points part in the cylinder, is left out.",
	Why:       "A contact gap shifts the timing by degrees; one in the wrong unit leaves no spark to time.",
	Basis:     commonPractice + ".",
	Accepting: "Accept it for odd apparatus, and for plugs of a later day.",
	Bad: `
ignition: {kind: magneto, contact_gap: 12 mm, from: handbook p. 21}
`,
	Good: `
ignition: {kind: magneto, contact_gap: 12 thou, from: handbook p. 21}
`,
	Engine: func(p *lint.Pass) {
		i := p.Engine.Ignition
		if i == nil || i.Kind.Text == "low tension" {
			return
		}
		for name, f := range map[string]*schema.Figure{"contact breaker": i.ContactGap, "sparking plug": i.PlugGap} {
			if is, ok := intervalOf(f); ok && !is.Meets(usualGap) {
				p.ReportFigure(f, "%s is no usual %s gap; look whether its unit or its decimal point is wrong", f.Text(), name).
					Suspecting(relation.Outside(f, figure.NoDatum, usualGap))
			}
		}
	},
}

var ignitionDrive = &lint.Rule{
	Name:      "ignition/drive",
	Level:     lint.Warning,
	Title:     "The ignition turns with a drive that is described",
	Checks:    "Where drives are described and `ignition` names the one that it turns with, that drive is among them.",
	Why:       "The speed of a magneto and the step of its coupling are looked up by that name. Under another name they are not found, and nobody checks that each cylinder gets its spark.",
	Formula:   "ignition drive = the name of a drive",
	Basis:     "Definition.",
	Accepting: "Rather than accept it, name the drive as it is named under `drives`, or add it there.",
	Bad: `
drives:
  magneto: {speed: 1.5, from: sheet p. 1}
ignition: {kind: magneto, drive: magnetto, from: handbook p. 21}
`,
	Good: `
drives:
  magneto: {speed: 1.5, from: sheet p. 1}
ignition: {kind: magneto, drive: magneto, from: handbook p. 21}
`,
	Engine: func(p *lint.Pass) {
		i := p.Engine.Ignition
		if i == nil || !i.Drive.Given() || isAbsence(i.Drive.Text) || len(p.Engine.Drives) == 0 {
			return
		}
		if _, ok := p.Engine.Drives.Get(i.Drive.Text); ok {
			return
		}
		var names []string
		for _, d := range p.Engine.Drives {
			names = append(names, "`"+d.Name+"`")
		}
		p.Report(i.Drive.At, "the ignition turns with `%s`, and no drive is called so; there is %s", i.Drive.Text, strings.Join(names, ", ")).About("ignition")
	},
}
