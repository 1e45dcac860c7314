package rules

import (
	"strings"
	"testing"
)

// gaps is a file with sets of clearances, a set a line.
func gaps(sets ...string) string { return "clearances:\n  " + strings.Join(sets, "\n  ") + "\n" }

const (
	runs     = "running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}"
	checks20 = "checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}"
	readAt20 = "events:\n  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}\n"
)

func TestClearancesFire(t *testing.T) {
	const rockers = "layout: {rocker_ratio: 1.25, from: handbook p. 6}\n"
	narrow := strings.Replace(checks20, "inlet: 20 thou", "inlet: 2 thou", 1)
	fire(t, []trial{
		{"one valve", "clearances/checking-below-running", gaps(runs, narrow) + readAt20, "checking:", "inlet, 2 thou, is narrower than its running clearance, 4 thou", "", ""},
		{"in other units", "clearances/checking-below-running", gaps(runs, strings.Replace(checks20, "exhaust: 20 thou", "exhaust: 0.10 mm", 1)) + readAt20, "checking:", "0.10 mm", "", ""},
		// 29 thou less a gauge of 27 is 2.
		{"felt with a thick gauge", "clearances/checking-below-running", gaps(runs, "checking: {measured_at: valve, engine: cold, inlet: 29 thou, exhaust: 60 thou, felt: 27 thou, from: sheet p. 1}") + readAt20, "checking:", "29 thou felt with 27 thou", "", ""},
		// 3 thou at the tappet are 3.75 at the valve.
		{"at tappet and at valve", "clearances/checking-below-running", rockers + gaps(strings.Replace(runs, "inlet: 4", "inlet: 5", 1), "checking: {measured_at: tappet, engine: cold, inlet: 3 thou, exhaust: 20 thou, from: sheet p. 1}") + readAt20, "checking:", "", "", ""},
		{"in a variant", "clearances/checking-below-running", gaps(runs, checks20) + readAt20 + "variants:\n  series-2:\n    made: 1929\n    change: {clearances: {checking: {inlet: {is: 2 thou, from: sheet p. 2}}}}\n", "2 thou", "", "series-2", ""},
		{"as wide", "clearances/checking-below-running", gaps(runs, strings.ReplaceAll(checks20, "20 thou", "6 thou")) + readAt20, "", "", "", ""},
		// 4 thou at the tappet are 5 at the valve.
		{"at tappet and at valve, agreed", "clearances/checking-below-running", rockers + gaps(strings.Replace(runs, "inlet: 4", "inlet: 5", 1), "checking: {measured_at: tappet, engine: cold, inlet: 4 thou, exhaust: 20 thou, from: sheet p. 1}") + readAt20, "", "", "", ""},
		{"one hot, one cold", "clearances/checking-below-running", gaps(strings.Replace(runs, "cold", "hot", 1), narrow) + readAt20, "", "", "", ""},
		// 0.029 in set and felt with 0.004 in is a print of the trade: net 0.025.
		{"felt", "clearances/checking-below-running", gaps(runs, "checking: {measured_at: valve, engine: cold, inlet: 0.029 in, exhaust: 0.029 in, felt: 0.004 in, from: sheet p. 1}") + readAt20, "", "", "", ""},
		{"not given", "clearances/checking-below-running", gaps(runs, "checking: {inlet: not given, exhaust: 20 thou, from: sheet p. 1}") + readAt20, "", "", "", ""},

		{"checking clearance that nothing is read at", "clearances/without-events", gaps(runs, checks20), "checking:", "no events are read at it", "", ""},
		{"events at a clearance not given", "clearances/without-events", gaps(runs) + readAt20, "checking clearance", "no clearance of that name", "", ""},
		{"lost in a variant", "clearances/without-events", gaps(runs, checks20) + readAt20 + "variants:\n  series-2:\n    made: 1929\n    change: {events: {checking: removed}}\n", "checking:", "", "series-2", ""},
		{"a mark holds at it", "clearances/without-events", gaps(runs, checks20) + "marks: {flywheel: {stamps: {IO: {means: inlet_opens, clearance: checking, angle: 3 BTDC}}, from: sheet p. 2}}\n", "", "", "", ""},
		{"running clearance alone", "clearances/without-events", gaps(runs), "", "", "", ""},
		{"events at a lift", "clearances/without-events", gaps(runs) + "events:\n  checking: {read_at: 1 mm lift at valve, inlet_opens: 3 BTDC, from: sheet p. 1}\n", "", "", "", ""},

		{"millimetres for thou", "clearances/magnitude", gaps(strings.Replace(runs, "4 thou", "4 mm", 1)), "running:", "4 mm is a very wide running clearance for the inlet", "", ""},
		{"decimal point", "clearances/magnitude", gaps(strings.Replace(runs, "6 thou", ".0006 in", 1)), "running:", "very narrow", "", ""},
		{"checking ten times too wide", "clearances/magnitude", gaps(runs, strings.Replace(checks20, "inlet: 20 thou", "inlet: 0.20 in", 1)) + readAt20, "checking:", "unit or its decimal point", "", ""},
		// 1/32 in at the most (Ford manual 1922, p. 12), 0.059 in to check at (TM 5-3895-382-24, p. 240).
		{"published widest", "clearances/magnitude", gaps("running: {measured_at: valve, engine: cold, inlet: 1/32 in, exhaust: 1/32 in, from: handbook p. 14}", "checking: {measured_at: valve, inlet: 0.059 in (1.50 mm), exhaust: 0.059 in (1.50 mm), from: sheet p. 1}") + readAt20, "", "", "", ""},
		{"forty thou", "clearances/magnitude", gaps(strings.Replace(runs, "6 thou", "40 thou", 1)), "", "", "", ""},
		{"none at all", "clearances/magnitude", gaps("running: {measured_at: valve, engine: hot, inlet: nil, exhaust: none, from: handbook p. 14}"), "", "", "", ""},
		{"claims of which one is usual", "clearances/magnitude", gaps("running: {measured_at: valve, engine: cold, inlet: {claims: {handbook: {is: 4 mm, from: handbook p. 1}, sheet: {is: 4 thou, from: sheet p. 1}}}, exhaust: 6 thou, from: handbook p. 14}"), "", "", "", ""},

		{"one set does not say", "clearances/rocker-ratio", rockers + gaps("running: {engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}"), "running:", "the rocker ratio is 1.25", "", ""},
		{"the checking clearance", "clearances/rocker-ratio", rockers + gaps(runs, "checking: {inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}") + readAt20, "checking:", "checking clearance", "", ""},
		{"given by a variant", "clearances/rocker-ratio", gaps("running: {engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}") + "variants:\n  series-2:\n    made: 1929\n    change: {layout: {rocker_ratio: {is: 1.4, from: sheet p. 2}}}\n", "running:", "1.4", "series-2", ""},
		{"said", "clearances/rocker-ratio", rockers + gaps(runs), "", "", "", ""},
		{"ratio of one", "clearances/rocker-ratio", "layout: {rocker_ratio: 1.0, from: handbook p. 6}\n" + gaps("running: {engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}"), "", "", "", ""},
		{"ratio unknown", "clearances/rocker-ratio", "layout: {rocker_ratio: unknown, from: handbook p. 6}\n" + gaps("running: {engine: cold, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}"), "", "", "", ""},

		{"not said", "clearances/cold-or-hot", gaps("running: {measured_at: valve, inlet: 4 thou, exhaust: 6 thou, from: handbook p. 14}"), "running:", "engine: cold", "", ""},
		{"another running set", "clearances/cold-or-hot", gaps(runs, "running-racing: {measured_at: valve, inlet: 8 thou, exhaust: 9 thou, from: handbook p. 15}"), "running-racing:", "", "", ""},
		{"in a variant's own set", "clearances/cold-or-hot", gaps(runs) + "variants:\n  series-2:\n    made: 1929\n    change: {clearances: {running-two: {measured_at: valve, inlet: 8 thou, exhaust: 9 thou, from: handbook p. 15}}}\n", "running-two:", "", "series-2", ""},
		{"said", "clearances/cold-or-hot", gaps(runs), "", "", "", ""},
		{"hot", "clearances/cold-or-hot", gaps(strings.Replace(runs, "cold", "hot", 1)), "", "", "", ""},
		{"checking clearance", "clearances/cold-or-hot", gaps(runs, "checking: {measured_at: valve, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}") + readAt20, "", "", "", ""},
	})
}

// 100 mm of steel (11.7e-6 per kelvin: Callister, table B.6) that gets 200 K
// warmer grow 0.234 mm; 100 mm of aluminium (22.3e-6, between 2024 and 356.0 of
// that table) that get 80 K warmer 0.178 mm.
func TestExpansionFires(t *testing.T) {
	const (
		valve = "    valve: {length: 100.0 mm, coefficient: 11.7e-6 per °C, rise: 200 °C, effect: narrows}\n"
		block = "    block: {length: 100.0 mm, coefficient: 22.3e-6 per °C, rise: 80 °C, effect: widens}\n"
		parts = "expansion:\n  from: sheet p. 3\n  parts:\n"
		cold  = "running: {measured_at: valve, engine: cold, inlet: 0.40 mm, exhaust: not given, from: handbook p. 14}"
	)
	hot := func(inlet string) string {
		return gaps(cold, "running-hot: {measured_at: valve, engine: hot, inlet: "+inlet+", exhaust: not given, from: handbook p. 14}")
	}
	fire(t, []trial{
		{"wider hot though all narrows", "clearances/expansion", hot("0.63 mm") + parts + valve, "running-hot:", "0.63 mm hot and 0.40 mm cold", "", ""},
		{"as cold", "clearances/expansion", hot("0.40 mm") + parts + valve, "running-hot:", "change it by -0.234 mm", "", ""},
		{"the block forgotten", "clearances/expansion", hot("0.17 mm") + parts + valve + block, "running-hot:", "", "", ""},
		{"by the material", "clearances/expansion", hot("0.40 mm") + parts + strings.Replace(valve, "coefficient: 11.7e-6 per °C", "material: mild steel", 1), "running-hot:", "", "", ""},
		{"by the material, agreed", "clearances/expansion", hot("0.17 mm") + parts + strings.Replace(valve, "coefficient: 11.7e-6 per °C", "material: mild steel", 1), "", "", "", ""},
		{"of a material not in the table", "clearances/expansion", hot("0.63 mm") + parts + strings.Replace(valve, "coefficient: 11.7e-6 per °C", "material: boxwood", 1), "", "", "", ""},
		{"narrower", "clearances/expansion", hot("0.17 mm") + parts + valve, "", "", "", ""},
		{"of both", "clearances/expansion", hot("0.34 mm") + parts + valve + block, "", "", "", ""},
		// 200 K are 360 °F.
		{"in Fahrenheit", "clearances/expansion", hot("0.17 mm") + parts + strings.Replace(strings.Replace(valve, "200 °C", "360 °F", 1), "11.7e-6 per °C", "6.5e-6 per °F", 1), "", "", "", ""},
		{"a part not described", "clearances/expansion", hot("0.63 mm") + parts + valve + "    pushrod: {length: unknown, effect: narrows}\n", "", "", "", ""},
		{"measured elsewhere", "clearances/expansion", strings.Replace(hot("0.63 mm"), "measured_at: valve, engine: hot", "measured_at: tappet, engine: hot", 1) + parts + valve, "", "", "", ""},
	})
}

// A four with the customary events below: No. 1 fires at 0, No. 3 at 180, No. 4
// at 360, No. 2 at 540. At firing top dead centre of No. 1 its exhaust opens in
// 140° and its inlet closed 135° before; No. 3 stands at the bottom before
// compression (its inlet closes in 45°), No. 2 at the bottom after power (its
// exhaust opened 40° before).
const fourInLine = `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0], valve_order: E I I E E I I E, numbered_from: front, from: handbook p. 6}
events:
  handbook: {read_at: not given, inlet_opens: 5 BTDC, inlet_closes: 45 ABDC, exhaust_opens: 40 BBDC, exhaust_closes: 10 ATDC, from: handbook p. 14}
setting:
  from: handbook p. 14
  cautions:
    - Turn by hand with the plugs out.
  adjustments:
    first: `

func TestSettingPositionsFire(t *testing.T) {
	three := strings.Replace(strings.Replace(fourInLine, "cylinders: 4", "cylinders: 3", 1), "firing_order: 1-3-4-2, throws: [0, 180, 180, 0], valve_order: E I I E E I I E", "firing_order: 1-2-3, throws: [0, 240, 120], valve_order: E I E I E I", 1)
	alternate := strings.Replace(fourInLine, "E I I E E I I E", "E I E I E I E I", 1)
	// The events of the three-arc cam of TestCamsFire at 20 thou: its foot lies
	// 17.3° outside them (4 × 66.1 less 229.7, halved).
	cams := "cams:\n"
	for _, valve := range []string{"inlet", "exhaust"} {
		cams += "  " + valve + ": {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 2.250 in, nose_radius: 0.170 in, lift: 0.290 in}\n"
	}
	withCams := strings.Replace(fourInLine, "read_at: not given, inlet_opens: 5 BTDC, inlet_closes: 45 ABDC, exhaust_opens: 40 BBDC, exhaust_closes: 10 ATDC",
		"read_at: checking clearance, inlet_opens: 3 BTDC, inlet_closes: 47 ABDC, exhaust_opens: 40 BBDC, exhaust_closes: 10 ATDC", 1)
	withCams = "\nclearances: {checking: {measured_at: tappet, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}}\n" + cams + withCams
	fire(t, []trial{
		{"wrong top dead centre", "clearances/base-circle", fourInLine + "{valves: inlet 1, crank: TDC, cylinder: 4}\n", "valves: inlet 1", "inlet 1 cannot be set with No. 4 at TDC, firing: it is open there, 5° inside", "", ""},
		{"wrong cylinder on the rock", "clearances/base-circle", fourInLine + "{valves: inlet 3, on_the_rock: 4}\n", "valves: inlet 3", "it is open there, 45° inside its events as read", "", ""},
		{"within the ramp", "clearances/base-circle", fourInLine + "{valves: exhaust 1, crank: 130 ATDC, cylinder: 1}\n", "valves: exhaust 1", "only 10° from its events as read", "", "warning"},
		{"by its number along the engine", "clearances/base-circle", fourInLine + "{valves: \"5, 6\", on_the_rock: 4}\n", "valves:", "inlet 3", "", ""},
		// 15° before the exhaust opens as read: 2.3° inside its foot.
		{"by the cam's profile", "clearances/base-circle", withCams + "{valves: exhaust 1, crank: 125 ATDC, cylinder: 1}\n", "valves: exhaust 1", "by its cam's profile it is off its base circle there by 2°", "", ""},
		{"no such cylinder", "clearances/base-circle", fourInLine + "{valves: inlet 5, on_the_rock: 4}\n", "valves: inlet 5", "the engine has 4 cylinders", "", ""},
		{"words that name no valve", "clearances/base-circle", fourInLine + "{valves: the front pair, on_the_rock: 4}\n", "the front pair", "write for instance", "", ""},
		{"no valves", "clearances/base-circle", fourInLine + "{on_the_rock: 4}\n", "first:", "names no valves", "", ""},
		// Setting with the companion on the rock is common practice.
		{"companion on the rock", "clearances/base-circle", fourInLine + "{valves: \"inlet 1, exhaust 1\", on_the_rock: 4}\n", "", "", "", ""},
		// Four valves at either of two positions (Thermo King manual, p. 50, in pictures): with No. 1
		// firing, its own, the exhaust of No. 3 and the inlet of No. 2.
		{"two positions", "clearances/base-circle", fourInLine + "{valves: \"inlet 1, exhaust 1, exhaust 3, inlet 2\", crank: TDC}\n", "", "", "", ""},
		{"by the cam's profile, agreed", "clearances/base-circle", withCams + "{valves: exhaust 1, crank: 120 ATDC, cylinder: 1}\n", "", "", "", ""},
		{"order in dispute", "clearances/base-circle", strings.Replace(fourInLine, "firing_order: 1-3-4-2", "firing_order: {claims: {handbook: {is: 1-3-4-2, from: handbook p. 1}, sheet: {is: 1-2-4-3, from: sheet p. 1}}}", 1) + "{valves: inlet 3, on_the_rock: 4}\n", "", "", "", ""},
		{"odd number of cylinders", "clearances/base-circle", three + "{valves: \"inlet 1, exhaust 1\", crank: TDC, cylinder: 1}\n", "", "", "", ""},

		// Valve 3 is the inlet of No. 2: at its full lift, 110° after overlap top, No. 1 is
		// 110° after firing top plus 180°, where its exhaust is open.
		{"half way round", "clearances/fully-open", fourInLine + "{valves: \"1\", fully_open: 3}\n", "valves:", "exhaust 1 cannot be set with valve 3 fully open", "", ""},
		{"its own neighbour", "clearances/fully-open", fourInLine + "{valves: exhaust 1, fully_open: 1}\n", "valves: exhaust 1", "", "", ""},
		{"one of several", "clearances/fully-open", fourInLine + "{valves: \"8, 3\", fully_open: 1}\n", "valves:", "inlet 2", "", ""},
		// Rule of nine: 1 with 8 (austin7.org).
		{"rule of nine", "clearances/fully-open", fourInLine + "{valves: \"8\", fully_open: 1}\n", "", "", "", ""},
		{"valve order unknown", "clearances/fully-open", strings.Replace(fourInLine, "valve_order: E I I E E I I E, ", "", 1) + "{valves: exhaust 1, fully_open: 3}\n", "", "", "", ""},
		{"not a number of the order", "clearances/fully-open", fourInLine + "{valves: exhaust 1, fully_open: 9}\n", "", "", "", ""},
		{"events not known", "clearances/fully-open", strings.Replace(fourInLine, "exhaust_closes: 10 ATDC", "exhaust_closes: unknown", 1) + "{valves: \"1\", fully_open: 3}\n", "", "", "", ""},

		// E I E I E I E I pairs valve 1, an exhaust, with valve 8, an inlet (automonger.blogspot.com, 2025/07).
		{"valves that are no mirror image", "clearances/sum-rule", alternate + "{valves: \"1\", fully_open: 8}\n", "fully_open: 8", "adds up to 9", "", ""},
		{"one of several", "clearances/sum-rule", alternate + "{valves: \"3, 1\", fully_open: 8}\n", "fully_open: 8", "valve 1 with valve 8", "", ""},
		// In 1-2-4-3 with pins at 0, 180, 180, 0 the companions are 1 and 4; in a flat four's
		// 1-3-2-4 they are 1 and 2, so that 1 and 8 are not companions'.
		{"companions elsewhere", "clearances/sum-rule", strings.Replace(fourInLine, "arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0]", "arrangement: flat, firing_order: 1-3-2-4, throws: [0, 180, 0, 180], banks: [0, 180, 180, 0]", 1) + "{valves: \"1\", fully_open: 8}\n", "fully_open: 8", "", "", ""},
		{"mirror image", "clearances/sum-rule", fourInLine + "{valves: \"1\", fully_open: 8}\n", "", "", "", ""},
		{"another sum", "clearances/sum-rule", alternate + "{valves: \"1\", fully_open: 7}\n", "", "", "", ""},
		{"named valves are not numbered", "clearances/sum-rule", alternate + "{valves: exhaust 1, fully_open: 8}\n", "", "", "", ""},
		// Rule of thirteen (common practice, no source) on a six of mirrored valves.
		{"rule of thirteen", "clearances/sum-rule", strings.Replace(fourInLine, "cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0], valve_order: E I I E E I I E", "cylinders: 6, arrangement: in-line, firing_order: 1-5-3-6-2-4, throws: [0, 240, 120, 120, 240, 0], valve_order: E I I E E I I E E I I E", 1) + "{valves: \"1\", fully_open: 12}\n", "", "", "", ""},
	})
}
