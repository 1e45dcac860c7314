package rules

import (
	"strings"
	"testing"
)

// healthy is a file with what a healthy engine shows.
func healthy(words string) string { return "checks:\n  {" + words + ", from: handbook p. 30}\n" }

func TestChecksFire(t *testing.T) {
	// Of a stroke of 4 in and a rod of 8 in the piston is 0.566 in above bottom when the inlet closes 50° after
	// it: 5:1 leaves 1 + 4 × (1 − 0.1416) = 4.43:1 trapped, which makes 67 to 95 psi with exponents from 1.15 to 1.35.
	const (
		five    = "size: {stroke: 4 in, rod_centres: 8 in, compression_ratio: 5.0, from: handbook p. 6}\n"
		running = "clearances: {running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: handbook p. 14}}\nevents:\n  running: {read_at: running clearance, inlet_closes: 50 ABDC, from: handbook p. 14}\n"
		diesel  = "size: {stroke: 64 mm, rod_centres: 110 mm, compression_ratio: 20, from: handbook p. 6}\n"
	)
	fire(t, []trial{
		{"twice what it can be", "checks/cranking-pressure", five + running + healthy("compression: 180 psi, engine: hot, throttle: open"), "180 psi", "compression ratio of 5.0 with the inlet closing at 50 ABDC", "", ""},
		{"bar read as kilograms", "checks/cranking-pressure", five + running + healthy("compression: 0.5 bar, engine: hot, throttle: open"), "0.5 bar", "", "", ""},
		{"just below", "checks/cranking-pressure", five + running + healthy("compression: 60 psi, engine: hot, throttle: open"), "60 psi", "", "", ""},
		// At 5000 ft the air holds 12.23 psi (engineersedge.com) instead of 14.7: 56 to 79 psi.
		{"of sea level, for a height", "checks/cranking-pressure", five + running + healthy("compression: 90 psi, engine: hot, throttle: open, altitude: 5000 ft"), "90 psi", "", "", ""},
		// A port that closes 70° after bottom leaves 3.91:1 of 5:1: 56 to 78 psi.
		{"port of a two-stroke", "checks/cranking-pressure", twoStroke + five + "events: {a: {read_at: not given, inlet_closes: 50 ABDC, exhaust_closes: 70 ABDC, from: handbook p. 14}}\n" + healthy("compression: 85 psi, engine: hot, throttle: open"), "85 psi", "the exhaust closing at 70 ABDC", "", ""},
		{"inlet closing in piston travel", "checks/cranking-pressure", five + strings.Replace(running, "50 ABDC", "0.62 in ABDC piston", 1) + healthy("compression: 110 psi, engine: hot, throttle: open"), "110 psi", "", "", ""},
		// About 80 psi is what engines of the day show at about 5:1 (common practice, no source).
		{"common practice", "checks/cranking-pressure", five + running + healthy("compression: 80 psi, engine: hot, throttle: open"), "", "", "", ""},
		// 33.6 kg/cm² (478.5 psi) and at the least 30.6 at 20:1 (Westerbeke 11A manual).
		{"published diesel", "checks/cranking-pressure", diesel + healthy("compression: 478.5 psi (33.6 kgf/cm²), engine: hot, throttle: open"), "", "", "", ""},
		{"published least", "checks/cranking-pressure", diesel + healthy("compression: 435 psi minimum, engine: hot, throttle: open"), "", "", "", ""},
		{"cold, or with the throttle shut", "checks/cranking-pressure", five + running + healthy("compression: 60 psi, engine: cold, throttle: shut"), "", "", "", ""},
		{"port of a two-stroke, agreed", "checks/cranking-pressure", twoStroke + five + "events: {a: {read_at: not given, inlet_closes: 50 ABDC, exhaust_closes: 70 ABDC, from: handbook p. 14}}\n" + healthy("compression: 65 psi, engine: hot, throttle: open"), "", "", "", ""},
		{"at a height", "checks/cranking-pressure", five + running + healthy("compression: 65 psi, engine: hot, throttle: open, altitude: 5000 ft"), "", "", "", ""},
		{"ratio not known", "checks/cranking-pressure", running + healthy("compression: 180 psi, engine: hot, throttle: open"), "", "", "", ""},

		{"more than the air weighs", "checks/vacuum", healthy("vacuum: 32 inHg, engine: hot"), "32 inHg", "more than the air there weighs, 29.92", "", ""},
		{"more than the air at that height", "checks/vacuum", healthy("vacuum: 26 inHg, engine: hot, altitude: 5000 ft"), "26 inHg", "weighs", "", ""},
		{"far too little", "checks/vacuum", healthy("vacuum: 9 inHg, engine: hot"), "9 inHg", "not what a sound engine shows", "", "warning"},
		// About 5 inHg less at 5000 ft (Ordnance OD1001, lesson 3): 20 there are 25 at sea level.
		{"sea level's at a height", "checks/vacuum", healthy("vacuum: 20 inHg, engine: hot, altitude: 5000 ft"), "20 inHg", "", "", "warning"},
		// 17 to 22 inHg, 15 and more for some sixes (automotivemileposts.com); −450 mmHg, −430 mmHg (check values, 7).
		{"published", "checks/vacuum", healthy("vacuum: 17-22 inHg, engine: hot"), "", "", "", ""},
		{"published, in millimetres", "checks/vacuum", healthy("vacuum: -430 mmHg, engine: hot"), "", "", "", ""},
		{"at a height", "checks/vacuum", healthy("vacuum: 15 inHg, engine: hot, altitude: 5000 ft"), "", "", "", ""},
		{"unknown", "checks/vacuum", healthy("vacuum: unknown, engine: hot"), "", "", "", ""},

		{"pressure without throttle", "checks/conditions", healthy("compression: 80 psi, engine: hot"), "80 psi", "`throttle`", "", ""},
		{"pressure without either", "checks/conditions", healthy("compression: 80 psi"), "80 psi", "", "", ""},
		{"vacuum without engine", "checks/conditions", healthy("vacuum: 20 inHg"), "20 inHg", "`engine`", "", ""},
		{"said", "checks/conditions", healthy("compression: 80 psi, vacuum: 20 inHg, engine: hot, throttle: open"), "", "", "", ""},
		{"vacuum, whatever the throttle", "checks/conditions", healthy("vacuum: 20 inHg, engine: hot"), "", "", "", ""},
		{"nothing that depends on it", "checks/conditions", healthy("compression_spread: within 10 psi of one another"), "", "", "", ""},
	})
}

func TestSafetyFires(t *testing.T) {
	setting := func(words string) string { return "setting:\n  {" + words + ", from: handbook p. 30}\n" }
	turn := func(by string) string { return setting("turn_by: \"" + by + "\", cautions: [Plugs out.]") }
	const pump = "drives: {water pump: {train: crankshaft > pump, wheels: {crankshaft: {teeth: 20}, pump: {teeth: 20, mesh: %s}}, from: sheet p. 1}}\n"
	fire(t, []trial{
		{"order of work", "safety/caution", setting("order: \"clearances, then timing\""), "order", "say under `cautions`", "", ""},
		{"adjustments", "safety/caution", setting("adjustments: {first: {valves: inlet 1, on_the_rock: 4}}"), "adjustments", "", "", ""},
		{"both, with the turning", "safety/caution", setting("turn_by: flywheel, order: as printed, adjustments: {first: {valves: inlet 1, on_the_rock: 4}}"), "turn_by", "", "", ""},
		{"cautioned", "safety/caution", setting("order: \"clearances, then timing\", cautions: [Stop at any resistance.]"), "", "", "", ""},
		{"turning alone", "safety/caution", setting("turn_by: flywheel"), "", "", "", ""},
		{"a note alone", "safety/caution", setting("note: none"), "", "", "", ""},

		{"belt", "safety/turning", turn("fan belt"), "fan belt", "by the fan", "", ""},
		{"camshaft", "safety/turning", turn("the camshaft wheel"), "camshaft wheel", "twice the load", "", ""},
		{"starter", "safety/turning", turn("Starter motor, in bursts"), "Starter", "cannot be stopped", "", ""},
		{"a drive by belt", "safety/turning", strings.Replace(pump, "%s", "belt", 1) + turn("water pump pulley"), "water pump", "driven by a belt", "", ""},
		// Turning by the flywheel and not through a drive that can slip is common practice, no source.
		{"flywheel", "safety/turning", turn("flywheel"), "", "", "", ""},
		{"flywheel, and not by what slips", "safety/turning", turn("flywheel, never by the camshaft wheel or the belt"), "", "", "", ""},
		{"starter ring", "safety/turning", turn("starter ring, with a lever"), "", "", "", ""},
		{"kick-starter", "safety/turning", turn("kick-starter"), "", "", "", ""},
		{"a drive by gears", "safety/turning", strings.Replace(pump, "%s", "external", 1) + turn("water pump spindle"), "", "", "", ""},
	})
}
