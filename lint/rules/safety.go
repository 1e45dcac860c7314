package rules

import (
	"slices"
	"strings"

	"fourmarks.example/convert/gear"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

func safety() []*lint.Rule { return []*lint.Rule{caution, turning} }

var caution = &lint.Rule{
	Name:   "safety/caution",
	Level:  lint.Warning,
	Title:  "A way of setting carries its cautions",
	Checks: "A `setting` that says in which order to work, or where to set the valves, also says under `cautions` what can go wrong.",
	Why: "An engine with its timing disturbed can drive a valve into a piston when it is turned a few degrees by hand. " +
		"Whoever reads the order of work must read that first.",
	Basis:     commonPractice + ".",
	Accepting: "Add the caution instead: turn slowly by hand with the plugs out, stop at any resistance, and follow the maker's instructions.",
	Bad: `
setting: {turn_by: flywheel, order: "clearances, then timing", from: handbook p. 30}
`,
	Good: `
setting:
  from: handbook p. 30
  turn_by: flywheel
  order: clearances, then timing
  cautions:
    - Turn by hand with the plugs out and stop at any resistance.
`,
	Engine: func(p *lint.Pass) {
		s := p.Engine.Setting
		if s == nil || len(s.Cautions) > 0 || !s.Order.Given() && len(s.Adjustments) == 0 {
			return
		}
		p.Report(s.At, "the setting says how to work and carries no caution; say under `cautions` what can strike or bend").About("setting")
	},
}

// slipping are the parts by which an engine must not be turned for a reading:
// they slip, are geared wrongly, or turn it without feeling.
var slipping = map[string]string{
	"belt":     "a belt slips",
	"fan":      "the fan is driven by a belt that slips",
	"dynamo":   "the dynamo's drive can slip or give way",
	"magneto":  "the magneto's coupling gives before the crankshaft turns, and its backlash falsifies the reading",
	"camshaft": "the camshaft turns the crankshaft through its wheels at twice the load, and takes the backlash up the wrong way",
	"starter":  "the starter cannot be stopped when a valve touches a piston",
	"clutch":   "the clutch can slip",
}

// firm are words for the parts by which an engine is turned as it should be,
// also where they follow the name of a part that slips: the starter ring.
var firm = map[string]bool{
	"flywheel": true, "crankshaft": true, "crank": true, "handle": true, "nut": true, "ring": true, "dog": true, "kick": true,
	"propeller": true, "airscrew": true, "wheel": true, "wheels": true,
}

// turnedBySlipping returns the part that slips, of those named, by which an
// engine is said to be turned: what is named first counts, so that one may be
// told what not to use.
func turnedBySlipping(words string) (part string) {
	for _, word := range strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return r < 'a' || r > 'z' }) {
		switch {
		case firm[word] && (part == "" || part == "starter"):
			return ""
		case part == "" && slipping[word] != "":
			part = word
		}
	}
	return part
}

var turning = &lint.Rule{
	Name:      "safety/turning",
	Level:     lint.Warning,
	Title:     "The engine is turned by a part that does not slip",
	Checks:    "`turn_by` does not name first a part that slips or cannot be felt: belt, fan, dynamo, magneto, camshaft, clutch, starter, or a drive of this engine that a belt drives.",
	Why:       "A drive that slips between hand and crankshaft makes the reading worthless; a starter does not stop when a valve meets a piston.",
	Basis:     commonPractice + ".",
	Accepting: "Accept it when the maker's instructions say so, and quote them in a note.",
	Bad: `
setting:
  from: handbook p. 30
  turn_by: fan belt
  cautions:
    - Plugs out.
`,
	Good: `
setting:
  from: handbook p. 30
  turn_by: flywheel
  cautions:
    - Plugs out.
`,
	Engine: func(p *lint.Pass) {
		s := p.Engine.Setting
		if s == nil {
			return
		}
		part := turnedBySlipping(s.TurnBy.Text)
		why := slipping[part]
		for _, drive := range p.Engine.Drives {
			if part == "" && byBelt(drive.Value) && strings.Contains(s.TurnBy.Text, drive.Name) {
				part, why = drive.Name, "it is driven by a belt, which slips"
			}
		}
		if part != "" {
			p.Report(s.TurnBy.At, "do not turn the engine by the %s: %s; use the flywheel, the crankshaft nut or the road wheel in gear", part, why).
				About("setting.turn_by")
		}
	},
}

// byBelt reports whether a belt runs between the crankshaft and what is driven.
func byBelt(d *schema.Drive) bool {
	shafts := shaftsOf(d.Train.Text)
	return len(shafts) > 1 && slices.ContainsFunc(shafts[1:], func(s shaft) bool { return meshKind(d, s[0]) == gear.Belt })
}
