package rules

import (
	"strings"

	"fourmarks.example/lint"
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

var turning = &lint.Rule{
	Name:      "safety/turning",
	Level:     lint.Warning,
	Title:     "The engine is turned by a part that does not slip",
	Checks:    "`turn_by` does not name a part that slips or cannot be felt: belt, fan, dynamo, magneto, camshaft, clutch or starter.",
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
		for _, word := range strings.FieldsFunc(strings.ToLower(s.TurnBy.Text), func(r rune) bool { return r < 'a' || r > 'z' }) {
			if why, bad := slipping[word]; bad && !strings.Contains(s.TurnBy.Text, "kick") {
				p.Report(s.TurnBy.At, "do not turn the engine by the %s: %s; use the flywheel, the crankshaft nut or the road wheel in gear", word, why).
					About("setting.turn_by")
				return
			}
		}
	},
}
