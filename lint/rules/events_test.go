package rules

import (
	"strings"
	"testing"
)

// anywhere stands for the line of a finding that more than one figure explains.
const anywhere = " "

// timed is a file with one set of events, a figure a line.
func timed(figures ...string) string {
	return "events:\n  handbook:\n    from: handbook p. 14\n    read_at: not given\n    " + strings.Join(figures, "\n    ") + "\n"
}

// twoSets is a file with two sets of events and the clearances they are read at.
func twoSets(clearances, running, checking string) string {
	return "clearances:\n" + clearances + "events:\n  running: {read_at: running clearance, from: sheet p. 1,\n    " + running +
		"}\n  checking: {read_at: checking clearance, from: sheet p. 1,\n    " + checking + "}\n"
}

const (
	coldClearances = "  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: sheet p. 1}\n" +
		"  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}\n"
	exhaustWider = "  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 25 thou, from: sheet p. 1}\n" +
		"  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}\n"
)

// Of a stroke of 100 mm, a rod of 170 mm and an offset of 10 mm: throw 49.905 mm,
// dead centres late by asin(10/219.905) = 2.606° and asin(10/120.095) = 4.776°,
// so that the stroke down takes 182.17° (worked out apart from the program).
const offsetCylinder = "size: {stroke: 100.0 mm, rod_centres: 170.0 mm, cylinder_offset: 10.0 mm, from: handbook p. 6}\n"

func offsetBy(deadCentre string) string {
	return strings.Replace(offsetCylinder, "from:", "dead_centre: "+deadCentre+", from:", 1)
}

const twoStroke = "layout: {cycle: two-stroke, cylinders: 1, from: handbook p. 6}\n"

func TestDurationsFire(t *testing.T) {
	fire(t, []trial{
		// 6 + 180 + 42 = 228 is a published sum (forabodiesonly.com, post 1970493881).
		{"published sum, digits changed over", "events/inlet-duration", timed("inlet_opens: 6 BTDC", "inlet_closes: 42 ABDC", "inlet_duration: 282"), "inlet_", "282 ≠ 180 + 6 + 42, which comes to 227 to 229", "", ""},
		{"counted from top for all events", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: 223.5 ATDC", "inlet_duration: 262.5"), "inlet_duration", "226.5", "", ""},
		{"opens after top", "events/inlet-duration", timed("inlet_opens: 10 ATDC", "inlet_closes: 10 ABDC", "inlet_duration: 200"), "inlet_", "180 + −10 + 10", "", ""},
		{"rounding does not stretch to 233", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: 48 ABDC", "inlet_duration: 233"), "inlet_", "230 to 232", "", ""},
		{"only in the variant", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: 48 ABDC", "inlet_duration: 231") +
			"variants:\n  series-2:\n    made: 1929\n    change:\n      events: {handbook: {inlet_closes: {is: 84 ABDC, from: sheet p. 7}}}\n", "84 ABDC", "48 ABDC", "series-2", ""},
		{"offset cylinder, crank's dead centres", "events/inlet-duration", offsetBy("crank") + timed("inlet_opens: 10.0 BTDC", "inlet_closes: 50.0 ABDC", "inlet_duration: 242.2"), "inlet_", "240", "", ""},
		{"offset cylinder, piston's dead centres", "events/inlet-duration", offsetBy("piston") + timed("inlet_opens: 10.0 BTDC", "inlet_closes: 50.0 ABDC", "inlet_duration: 240.0"), "inlet_", "242", "", ""},
		{"two-stroke, about bottom", "events/inlet-duration", twoStroke + timed("inlet_opens: 55 BBDC", "inlet_closes: 55 ABDC", "inlet_duration: 130"), "inlet_", "110", "", ""},
		{"rounding just reaches 232", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: 48 ABDC", "inlet_duration: 232"), "", "", "", ""},
		{"one datum for all events", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: 223.5 ATDC", "inlet_duration: 226.5"), "", "", "", ""},
		{"claim set aside", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: {claims: {handbook: {is: 48 ABDC, from: handbook p. 1}, sheet: {is: 84 ABDC, from: sheet p. 1, set_aside: misread}}}", "inlet_duration: 231"), "", "", "", ""},
		{"claims in dispute may each be right", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: {claims: {handbook: {is: 48 ABDC, from: handbook p. 1}, sheet: {is: 52 ABDC, from: sheet p. 1}}}", "inlet_duration: 235"), "", "", "", ""},
		{"duration unknown", "events/inlet-duration", timed("inlet_opens: 3 BTDC", "inlet_closes: 48 ABDC", "inlet_duration: unknown"), "", "", "", ""},
		{"offset cylinder, either dead centre", "events/inlet-duration", offsetCylinder + timed("inlet_opens: 10.0 BTDC", "inlet_closes: 50.0 ABDC", "inlet_duration: 242.2"), "", "", "", ""},
		{"offset cylinder, piston's, agreed", "events/inlet-duration", offsetBy("piston") + timed("inlet_opens: 10.0 BTDC", "inlet_closes: 50.0 ABDC", "inlet_duration: 242.2"), "", "", "", ""},
		{"two-stroke, agreed", "events/inlet-duration", twoStroke + timed("inlet_opens: 55 BBDC", "inlet_closes: 55 ABDC", "inlet_duration: 110"), "", "", "", ""},

		// 51 + 180 + 13 = 244 is printed of the Aurora V8 (diesel-data.com, 1999).
		{"published sum, digits changed over", "events/exhaust-duration", timed("exhaust_opens: 51 BBDC", "exhaust_closes: 31 ATDC", "exhaust_duration: 244"), "exhaust_closes", "slip for 13 ATDC", "", ""},
		// 48° 30′ and 6 make 234½ (easymanua.ls, Long 360, p. 19).
		{"minutes taken for decimals", "events/exhaust-duration", timed("exhaust_opens: 48.30 BBDC", "exhaust_closes: 6.0 ATDC", "exhaust_duration: 234.5"), "exhaust_opens: 48.30", "degrees and minutes", "", ""},
		{"closes before top", "events/exhaust-duration", timed("exhaust_opens: 30 BBDC", "exhaust_closes: 5 BTDC", "exhaust_duration: 215"), "exhaust_", "which comes to 204 to 206", "", ""},
		{"offset cylinder, piston's dead centres", "events/exhaust-duration", offsetBy("piston") + timed("exhaust_opens: 50.0 BBDC", "exhaust_closes: 10.0 ATDC", "exhaust_duration: 240.0"), "exhaust_", "177.83 + 50 + 10", "", ""},
		{"minutes", "events/exhaust-duration", timed("exhaust_opens: 48° 30' BBDC", "exhaust_closes: 6 ATDC", "exhaust_duration: 234½"), "", "", "", ""},
		{"published sum", "events/exhaust-duration", timed("exhaust_opens: 51 BBDC", "exhaust_closes: 13 ATDC", "exhaust_duration: 244"), "", "", "", ""},
		{"one event not given", "events/exhaust-duration", timed("exhaust_opens: 51 BBDC", "exhaust_closes: not given", "exhaust_duration: 244"), "", "", "", ""},

		// 6 + 12 = 18 as above; 9 + 13 = 22 of the Aurora.
		{"published sum, one digit off", "events/overlap", timed("inlet_opens: 6 BTDC", "exhaust_closes: 12 ATDC", "overlap: 13"), anywhere, "17 to 19", "", ""},
		{"negative printed without its sign", "events/overlap", timed("inlet_opens: 10.0 ATDC", "exhaust_closes: 5.0 ATDC", "overlap: 5.0"), anywhere, "5 ≠ −10 + 5", "", ""},
		{"in cam degrees", "events/overlap", timed("inlet_opens: 9 BTDC", "exhaust_closes: 13 ATDC", "inlet_closes: 55 ABDC", "inlet_duration: 244", "overlap: 11"), "overlap: 11", "camshaft", "", ""},
		{"negative overlap", "events/overlap", timed("inlet_opens: 10 ATDC", "exhaust_closes: 5 ATDC", "overlap: -5"), "", "", "", ""},
		{"none", "events/overlap", timed("inlet_opens: TDC", "exhaust_closes: TDC", "overlap: none"), "", "", "", ""},
		{"published sum", "events/overlap", timed("inlet_opens: 9 BTDC", "exhaust_closes: 13 ATDC", "overlap: 22"), "", "", "", ""},
		{"of a two-stroke, whose inlet and exhaust overlap about bottom", "events/overlap", twoStroke + timed("inlet_opens: 55 BBDC", "exhaust_closes: 70 ABDC", "overlap: 110"), "", "", "", ""},
	})
}

func TestLobesFire(t *testing.T) {
	fire(t, []trial{
		// 228 / 2 − 6 = 108 (forabodiesonly.com, post 1970493881).
		{"one digit misread", "events/lobe-centre", timed("inlet_opens: 6 BTDC", "inlet_closes: 42 ABDC", "inlet_lobe_centre: 103 ATDC"), "inlet_lobe_centre", "108", "", ""},
		// 79½ after bottom is 100½ before top (tribsa.blogspot.com, 2013/06): 55 and 34.
		{"from the wrong dead centre", "events/lobe-centre", timed("exhaust_opens: 55 BBDC", "exhaust_closes: 34 ATDC", "exhaust_lobe_centre: 79½ BTDC"), "exhaust_", "", "", ""},
		{"each valve has its own", "events/lobe-centre", timed("exhaust_opens: 51 BBDC", "exhaust_closes: 13 ATDC", "exhaust_lobe_centre: 113 BTDC"), "exhaust_", "217 to 219", "", ""},
		{"from bottom", "events/lobe-centre", timed("exhaust_opens: 55 BBDC", "exhaust_closes: 34 ATDC", "exhaust_lobe_centre: 79½ ABDC"), "", "", "", ""},
		{"published", "events/lobe-centre", timed("inlet_opens: 6 BTDC", "inlet_closes: 42 ABDC", "inlet_lobe_centre: 108 ATDC"), "", "", "", ""},
		{"closing in dispute", "events/lobe-centre", timed("inlet_opens: 6 BTDC", "inlet_closes: {claims: {handbook: {is: 42 ABDC, from: handbook p. 1}, sheet: {is: 46 ABDC, from: sheet p. 1}}}", "inlet_lobe_centre: 110 ATDC"), "", "", "", ""},

		// Centres of 113 and 109 (Aurora, from its events) stand 111 camshaft degrees apart.
		{"in crankshaft degrees", "events/lobe-separation", timed("inlet_lobe_centre: 113 ATDC", "exhaust_lobe_centre: 109 BTDC", "lobe_separation: 222"), "lobe_separation", "111", "", ""},
		{"one centre counted from bottom", "events/lobe-separation", timed("inlet_lobe_centre: 113 ATDC", "exhaust_lobe_centre: 71 ABDC", "lobe_separation: 101"), anywhere, "221 to 223", "", ""},
		{"worked out from the events", "events/lobe-separation", timed("inlet_lobe_centre: 113 ATDC", "exhaust_opens: 51 BBDC", "exhaust_closes: 13 ATDC", "exhaust_lobe_centre: 109 BTDC", "lobe_separation: 117"), "lobe_separation: 117", "111", "", ""},
		{"half degrees", "events/lobe-separation", timed("inlet_lobe_centre: 112½ ATDC", "exhaust_lobe_centre: 108½ BTDC", "lobe_separation: 110½"), "", "", "", ""},
		{"one centre unknown", "events/lobe-separation", timed("inlet_lobe_centre: 113 ATDC", "exhaust_lobe_centre: unknown", "lobe_separation: 99"), "", "", "", ""},
		{"within rounding", "events/lobe-separation", timed("inlet_lobe_centre: 113 ATDC", "exhaust_lobe_centre: 108 BTDC", "lobe_separation: 111"), "", "", "", ""},
	})
}

func TestSingleEventsFire(t *testing.T) {
	fire(t, []trial{
		{"closing counted from top", "events/order", timed("inlet_closes: 48 ATDC"), "inlet_closes", "132°", "", ""},
		{"opening counted from bottom", "events/order", timed("inlet_opens: 12 BBDC"), "inlet_opens", "top or bottom", "", ""},
		{"exhaust closing counted from bottom", "events/order", timed("exhaust_closes: 10 ABDC"), "exhaust_closes", "170°", "", ""},
		// Half of a 4 in stroke is about a right angle from either dead centre.
		{"piston travel from the wrong end", "events/order", "size: {stroke: 4 in, rod_centres: 8 in, from: handbook p. 6}\n" + timed("exhaust_opens: 1/4 in BTDC piston"), "exhaust_opens", "", "", ""},
		{"one datum for all", "events/order", timed("inlet_closes: 223.5 ATDC"), "", "", "", ""},
		{"opens after exhaust closes", "events/order", timed("inlet_opens: 15 ATDC", "exhaust_closes: 10 ATDC"), "", "", "", ""},
		{"ports of a two-stroke", "events/order", twoStroke + timed("inlet_opens: 55 BBDC", "inlet_closes: 55 ABDC", "exhaust_opens: 70 BBDC", "exhaust_closes: 70 ABDC"), "", "", "", ""},
		{"claim set aside", "events/order", timed("inlet_closes: {claims: {handbook: {is: 48 ATDC, from: handbook p. 1, set_aside: misprint}, sheet: {is: 48 ABDC, from: sheet p. 1}}}"), "", "", "", ""},

		{"closes before bottom", "events/side", timed("inlet_closes: 48 BBDC"), "inlet_closes", "BBDC was read for ABDC", "", ""},
		{"exhaust opens after bottom", "events/side", timed("exhaust_opens: 47 ABDC"), "exhaust_opens", "ABDC was read for BBDC", "", ""},
		{"counted from top", "events/side", timed("exhaust_opens: 210 ATDC"), "exhaust_opens: 210", "unlikely side", "", ""},
		{"after top is nothing unlikely", "events/side", timed("inlet_opens: 15 ATDC", "exhaust_closes: 5 BTDC"), "", "", "", ""},
		{"at the dead centre", "events/side", timed("inlet_closes: BDC"), "", "", "", ""},
		{"rounding reaches over", "events/side", timed("exhaust_opens: 0 ABDC"), "", "", "", ""},

		{"too early", "events/band", timed("exhaust_opens: 97 BBDC"), "exhaust_opens", "15 BBDC to 90 BBDC", "", ""},
		{"camshaft degrees", "events/band", timed("inlet_opens: 72 BTDC"), "inlet_opens", "camshaft degrees", "", ""},
		{"barely opens before bottom", "events/band", timed("exhaust_opens: 5 BBDC"), "exhaust_opens", "", "", ""},
		// Half the stroke from bottom, with a rod of twice the stroke, is 180° less
		// acos(1/8) = 82.8°: 97.2° before it.
		{"in piston travel", "events/band", "size: {stroke: 4 in, rod_centres: 8 in, from: handbook p. 6}\n" + timed("exhaust_opens: 2.0 in BBDC piston"), "exhaust_opens", "", "", ""},
		{"old engine", "events/band", "made: 1908-1912\n" + timed("inlet_opens: 45 BTDC"), "inlet_opens", "before 1920", "", "note"},
		{"side valves", "events/band", "layout: {valve_gear: side valves, from: handbook p. 6}\n" + timed("exhaust_closes: 50 ATDC"), "exhaust_closes", "side valves", "", "note"},
		// Published timings: of the AJS 16 (manualshive.com, p. 36), of the slow engines of Rathbun, sec. 137.
		{"published single", "events/band", timed("inlet_opens: 36 BTDC", "inlet_closes: 51 ABDC", "exhaust_opens: 50 BBDC", "exhaust_closes: 30 ATDC"), "", "", "", ""},
		{"published slow engine", "events/band", "made: 1913\n" + timed("inlet_opens: 10 ATDC", "inlet_closes: 10 ABDC", "exhaust_opens: 30 BBDC", "exhaust_closes: 5 ATDC"), "", "", "", ""},
		{"rounding just reaches the band", "events/band", timed("exhaust_opens: 90 BBDC"), "", "", "", ""},
		{"wide timing of a later engine", "events/band", "made: 1938\n" + timed("inlet_opens: 45 BTDC", "exhaust_closes: 50 ATDC"), "", "", "", ""},

		{"not said", "events/read-at", "events:\n  handbook: {inlet_opens: 3 BTDC, from: handbook p. 14}\n", "handbook:", "read_at: not given", "", ""},
		{"neither clearance nor lift", "events/read-at", "events:\n  handbook: {read_at: the usual gap, inlet_opens: 3 BTDC, from: handbook p. 14}\n", "the usual gap", "neither a clearance nor a lift", "", ""},
		{"a number alone", "events/read-at", "events:\n  handbook: {read_at: 20, inlet_opens: 3 BTDC, from: handbook p. 14}\n", "read_at: 20", "write for instance", "", ""},
		{"off the seat", "events/read-at", "events:\n  handbook: {read_at: .001 in off the seat, inlet_opens: 36 BTDC, from: handbook p. 14}\n", "", "", "", ""},
		{"unknown", "events/read-at", "events:\n  handbook: {read_at: unknown, inlet_opens: 3 BTDC, from: handbook p. 14}\n", "", "", "", ""},
		{"a named clearance", "events/read-at", "clearances: {checking: {inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}}\nevents:\n  handbook: {read_at: checking clearance, inlet_opens: 3 BTDC, from: handbook p. 14}\n", "", "", "", ""},
	})
}

func TestNotationsOfEventsFire(t *testing.T) {
	const (
		size = "size: {stroke: 4 in, rod_centres: 7 in, from: handbook p. 6}\n"
		rim  = "marks: {flywheel: {rim_diameter: 320 mm, ring_teeth: 115, from: sheet p. 2}}\n"
	)
	fire(t, []trial{
		// Of a 4 in stroke and a 7 in rod 9/16 in after bottom is 50.8° (check values,
		// from the Ford manual of 1922, p. 12; rod from memory).
		{"travel for another angle", "events/notations", size + timed("inlet_closes: 60 ABDC (9/16 in piston)"), "inlet_closes", "", "", ""},
		// 10° on 320 mm is 27.9 mm (hells-confetti.com).
		{"rim for another angle", "events/notations", rim + timed("inlet_opens: 10.0 ATDC (29.7 mm rim)"), "inlet_opens", "27.781 to 28.069 mm", "", ""},
		// 25° are 8 teeth of 115 (Vauxhall 20-60 shop manual, sec. 433).
		{"teeth for another angle", "events/notations", rim + timed("exhaust_closes: 25 ATDC (10 teeth)"), anywhere, "", "", ""},
		// 5/16 in before bottom is 37.9° and 9/16 in after it 50.8°: the exhaust that closes at
		// top is open 217.9° (check values).
		{"travel and duration", "events/exhaust-duration", size + timed("exhaust_opens: 0.3125 in BBDC piston", "exhaust_closes: TDC", "exhaust_duration: 230"), "exhaust_", "", "", ""},
		// Without the rod any of 1.4 to 2.5 strokes: 1 in before bottom is then 63.1° to 65.9°.
		{"travel, whatever the rod", "events/notations", "size: {stroke: 4.0 in, from: handbook p. 6}\n" + timed("exhaust_opens: 50 BBDC (1.00 in piston)"), "exhaust_opens", "", "", ""},
		{"travel", "events/notations", size + timed("inlet_closes: 51 ABDC (9/16 in piston)"), "", "", "", ""},
		{"rim", "events/notations", rim + timed("inlet_opens: 10 ATDC (27.9 mm rim)"), "", "", "", ""},
		{"teeth", "events/notations", rim + timed("exhaust_closes: 25 ATDC (8 teeth)"), "", "", "", ""},
		// 320 mm × sin 27½° = 147.8 mm, and π × 320 mm × 55 / 360 = 153.6 mm.
		{"straight rule not said", "events/notations", rim + timed("inlet_closes: 55 ABDC (147.8 mm rim)"), "", "", "", ""},
		{"no diameter", "events/notations", timed("inlet_opens: 10 ATDC (999 mm rim)"), "", "", "", ""},
		{"claims from two dead centres are not one distance", "events/notations", size + timed("exhaust_opens: {claims: {handbook: {is: 5/16 in BBDC piston, from: handbook p. 1}, sheet: {is: 3 11/16 in ATDC piston, from: sheet p. 1}}}"), "", "", "", ""},
		// 50° after the crank's bottom the offset piston is 11.26 mm up, after its own 13.78 mm.
		{"offset cylinder, neither dead centre", "events/notations", offsetCylinder + timed("inlet_closes: 50.0 ABDC (15.5 mm piston)"), "inlet_closes", "", "", ""},
		{"offset cylinder, the other dead centre", "events/notations", offsetBy("crank") + timed("inlet_closes: 50.0 ABDC (13.8 mm piston)"), "inlet_closes", "", "", ""},
		{"offset cylinder, the crank's dead centre", "events/notations", offsetBy("crank") + timed("inlet_closes: 50.0 ABDC (11.3 mm piston)"), "", "", "", ""},
		{"offset cylinder, the piston's dead centre", "events/notations", offsetBy("piston") + timed("inlet_closes: 50.0 ABDC (13.8 mm piston)"), "", "", "", ""},
		{"offset cylinder, either dead centre", "events/notations", offsetCylinder + timed("inlet_closes: 50.0 ABDC (13.8 mm piston)"), "", "", "", ""},
	})
}

func TestSetsOfEventsFire(t *testing.T) {
	const (
		four   = "layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}\n"
		lifts  = "events:\n  low: {read_at: 0.5 mm lift at valve, from: sheet p. 1,\n    inlet_opens: %s}\n  high: {read_at: 1.0 mm lift at valve, from: sheet p. 1,\n    inlet_opens: %s}\n"
		others = "events:\n  one: {read_at: %s, cylinder: 1, from: sheet p. 1,\n    inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}\n  three: {read_at: %s, cylinder: 3, from: %s,\n    %s}\n"
	)
	with := func(form string, words ...string) string {
		for _, w := range words {
			form = strings.Replace(form, "%s", w, 1)
		}
		return form
	}
	fire(t, []trial{
		// No. 3 fires 180° after No. 1: 48 after its own bottom is 228 after No. 1's.
		{"counted from No. 1's dead centre", "events/cylinders", four + with(others, "1 mm lift at valve", "1 mm lift at valve", "sheet p. 1", "inlet_closes: 132 BBDC"), "132 BBDC", "it fits the dead centre of No. 1", "", ""},
		{"ten degrees off", "events/cylinders", four + with(others, "1 mm lift at valve", "1 mm lift at valve", "sheet p. 1", "inlet_opens: 14 BTDC"), "14 BTDC", "inlet opens of No. 3 is 14 BTDC, and of No. 1 3 BTDC", "", ""},
		{"of one sheet that does not say at which clearance", "events/cylinders", four + with(others, "not given", "not given", "sheet p. 1", "inlet_opens: 23 BTDC"), "23 BTDC", "", "", ""},
		{"within eight degrees", "events/cylinders", four + with(others, "1 mm lift at valve", "1 mm lift at valve", "sheet p. 1", "inlet_opens: 11 BTDC"), "", "", "", ""},
		{"at another lift", "events/cylinders", four + with(others, "1 mm lift at valve", "2 mm lift at valve", "sheet p. 1", "inlet_opens: 14 ATDC"), "", "", "", ""},
		{"of another source that does not say either", "events/cylinders", four + with(others, "not given", "not given", "handbook p. 1", "inlet_opens: 23 BTDC"), "", "", "", ""},
		{"illegible", "events/cylinders", four + with(others, "1 mm lift at valve", "1 mm lift at valve", "sheet p. 1", "inlet_opens: illegible 2? BTDC"), "", "", "", ""},

		{"opens earlier", "events/two-clearances", twoSets(coldClearances, "inlet_opens: 3 BTDC", "inlet_opens: 12 BTDC"), "BTDC", "", "", ""},
		{"closes later", "events/two-clearances", twoSets(coldClearances, "exhaust_closes: 10 ATDC", "exhaust_closes: 17 ATDC"), "ATDC", "", "", ""},
		{"exhaust clearances the other way round", "events/two-clearances", twoSets(exhaustWider, "exhaust_opens: 54 BBDC", "exhaust_opens: 47 BBDC"), "BBDC", "", "", ""},
		{"two lifts", "events/two-clearances", with(lifts, "3 BTDC", "10 BTDC"), "BTDC", "", "", ""},
		{"opens later", "events/two-clearances", twoSets(coldClearances, "inlet_opens: 12 BTDC", "inlet_opens: 3 BTDC"), "", "", "", ""},
		{"exhaust clearances the other way round, agreed", "events/two-clearances", twoSets(exhaustWider, "exhaust_opens: 47 BBDC", "exhaust_opens: 54 BBDC"), "", "", "", ""},
		{"within rounding", "events/two-clearances", twoSets(coldClearances, "inlet_opens: 12 BTDC", "inlet_opens: 12½ BTDC"), "", "", "", ""},
		{"one hot, one cold", "events/two-clearances", twoSets(strings.Replace(coldClearances, "engine: cold, inlet: 4", "engine: hot, inlet: 4", 1), "inlet_opens: 3 BTDC", "inlet_opens: 12 BTDC"), "", "", "", ""},
		{"felt with a gauge as thick as the clearance differs", "events/two-clearances", twoSets(strings.Replace(coldClearances, "exhaust: 20 thou,", "exhaust: 20 thou, felt: 16 thou,", 1), "inlet_opens: 3 BTDC", "inlet_opens: 12 BTDC"), "", "", "", ""},
		{"at tappet and at valve, ratio not known", "events/two-clearances", twoSets(strings.Replace(coldClearances, "measured_at: valve", "measured_at: tappet", 1), "inlet_opens: 3 BTDC", "inlet_opens: 12 BTDC"), "", "", "", ""},

		// Between 4 and 20 thou lie 16: from 1.6° to some 200° at the slowest and the fastest flank.
		{"hardly moves", "events/flank-speed", twoSets(coldClearances, "inlet_opens: 12.0 BTDC", "inlet_opens: 11.0 BTDC"), "11.0 BTDC", "moves from 12.0 BTDC to 11.0 BTDC, 1°", "", ""},
		// 2 thou move an event by less than 26°.
		{"leaps", "events/flank-speed", twoSets(strings.Replace(coldClearances, "inlet: 20", "inlet: 6", 1), "inlet_opens: 52 BTDC", "inlet_opens: 3 BTDC"), "3 BTDC", "between 4 thou and 6 thou", "", ""},
		{"two lifts", "events/flank-speed", with(lifts, "10.0 BTDC", "9.9 BTDC"), "9.9 BTDC", "0.5 mm lift at valve", "", ""},
		// 16 thou at the tappet are 48 at the valve with rockers of 3 to 1, which take 4.8° at least.
		{"at the tappet of unequal rockers", "events/flank-speed", "layout: {rocker_ratio: 3.0, from: handbook p. 6}\n" + twoSets(strings.ReplaceAll(coldClearances, "measured_at: valve", "measured_at: tappet"), "inlet_opens: 12.0 BTDC", "inlet_opens: 9.0 BTDC"), "9.0 BTDC", "", "", ""},
		// 7 thou are taken up in 37¼ crank degrees (Vauxhall 20-60 shop manual, sec. 433), not in 372½.
		{"taken up over too much", "events/flank-speed", gaps("running: {measured_at: tappet, engine: cold, inlet: 7 thou, exhaust: 7 thou, inlet_taken_up: 372.5, from: handbook p. 14}"), "372.5", "7 thou, is taken up in 372.5 degrees", "", ""},
		{"taken up, published", "events/flank-speed", gaps("running: {measured_at: tappet, engine: cold, inlet: 7 thou, exhaust: 7 thou, inlet_taken_up: 37 1/4, exhaust_taken_up: 37.25, from: handbook p. 14}"), "", "", "", ""},
		{"three degrees at equal rockers", "events/flank-speed", twoSets(coldClearances, "inlet_opens: 12.0 BTDC", "inlet_opens: 9.0 BTDC"), "", "", "", ""},
		// 0.020 in taken up in 128 crank degrees (Vauxhall 20-60 shop manual, sec. 432) is the slowest ramp found.
		{"slowest published ramp", "events/flank-speed", twoSets(strings.Replace(coldClearances, "inlet: 20", "inlet: 24", 1), "inlet_opens: 30 BTDC", "inlet_opens: 34 ATDC"), "", "", "", ""},
		{"the wrong way is another rule's", "events/flank-speed", twoSets(coldClearances, "inlet_opens: 3 BTDC", "inlet_opens: 12 BTDC"), "", "", "", ""},
		{"a lift and a clearance that may be less", "events/flank-speed", "clearances: {checking: {measured_at: valve, inlet: 1.2 mm, exhaust: 1.2 mm, from: sheet p. 1}}\nevents:\n  a: {read_at: 0.5 mm lift at valve, inlet_opens: 3 BTDC, from: sheet p. 1}\n  b: {read_at: checking clearance, inlet_opens: 4 BTDC, from: sheet p. 1}\n", "", "", "", ""},
	})
}

func TestCamsFire(t *testing.T) {
	const (
		// Worked out apart from the program: the flank's centre lies 1.750 in from the
		// shaft's, the nose's 0.620 in, and the foot 66.1° from full lift. It is open for
		// 229.7 crank degrees at 20 thou, 233.3 at 16 and 248.9 at 4.
		threeArc = "cams:\n  inlet:\n    from: sheet p. 2\n    lift_at: tappet\n    profile: three-arc\n    follower: flat\n    base_radius: 0.500 in\n    flank_radius: 2.250 in\n    nose_radius: 0.170 in\n    lift: 0.290 in\n"
		atTappet = "clearances:\n  checking: {measured_at: tappet, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}\n  running: {measured_at: tappet, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: sheet p. 1}\n"
		at20     = "events:\n  checking:\n    from: sheet p. 1\n    read_at: checking clearance\n    inlet_opens: %s\n    inlet_closes: %s\n"
		at4      = "  running:\n    from: sheet p. 1\n    read_at: running clearance\n    inlet_opens: %s\n    inlet_closes: %s\n"
		lift     = "lifts:\n  from: sheet p. 3\n  lift_at: %s\n  inlet: %s\n"
	)
	with := func(form string, words ...string) string {
		for _, w := range words {
			form = strings.Replace(form, "%s", w, 1)
		}
		return form
	}
	ratio := "layout: {rocker_ratio: 1.25, from: handbook p. 6}\n"
	// A cam that opens in 60 and closes in 70 camshaft degrees: at its row of half a
	// millimetre 50 before and 60 after full lift, which are 220 crank degrees.
	uneven := "cams:\n  inlet:\n    from: sheet p. 2\n    lift_at: tappet\n    table: {\"-60\": 0 mm, \"-50\": 0.5 mm, \"-30\": 4.0 mm, \"0\": 8.0 mm, \"35\": 4.0 mm, \"60\": 0.5 mm, \"70\": 0 mm}\n"
	fire(t, []trial{
		{"duration at the checking clearance", "events/cam-profile", atTappet + with(at20, "31 BTDC", "48 ABDC") + threeArc, anywhere, "", "", ""},
		{"duration at the running clearance", "events/cam-profile", atTappet + with(at20, "3 BTDC", "48 ABDC") + with(at4, "12 BTDC", "75 ABDC") + threeArc, anywhere, "", "", ""},
		// Open for 249° about 118° after top instead of 112½°.
		{"full lift moves with the clearance", "events/cam-profile", atTappet + with(at20, "3 BTDC", "48 ABDC") + with(at4, "7 BTDC", "62 ABDC") + threeArc, anywhere, "", "", ""},
		// 20 thou at the valve are 16 at the tappet.
		{"at the valve of unequal rockers", "events/cam-profile", ratio + strings.ReplaceAll(atTappet, "measured_at: tappet", "measured_at: valve") + with(at20, "2 BTDC", "42 ABDC") + threeArc, anywhere, "", "", ""},
		{"at the valve of unequal rockers, agreed", "events/cam-profile", ratio + strings.ReplaceAll(atTappet, "measured_at: tappet", "measured_at: valve") + with(at20, "4½ BTDC", "50 ABDC") + threeArc, "", "", "", ""},
		{"agreed at both clearances", "events/cam-profile", atTappet + with(at20, "3 BTDC", "48 ABDC") + with(at4, "12 BTDC", "57 ABDC") + threeArc, "", "", "", ""},
		{"a dimension missing", "events/cam-profile", atTappet + with(at20, "31 BTDC", "48 ABDC") + strings.Replace(threeArc, "0.170 in", "unknown", 1), "", "", "", ""},
		{"valve and tappet, ratio not known", "events/cam-profile", strings.ReplaceAll(atTappet, "tappet", "valve") + with(at20, "31 BTDC", "48 ABDC") + threeArc, "", "", "", ""},
		{"at a lift whose clearance is not known", "events/cam-profile", "events:\n  a: {read_at: 0.5 mm lift at valve, inlet_opens: 2 BTDC, inlet_closes: 40 ABDC, from: sheet p. 1}\n" + strings.Replace(threeArc, "tappet", "valve", 1), "", "", "", ""},
		{"uneven flanks", "events/cam-profile", atTappet + with(at20, "3 BTDC", "63 ABDC") + uneven, "", "", "", ""},

		{"of another camshaft", "events/full-lift", with(lift, "tappet", "0.390 in") + threeArc, "0.390 in", "0.29", "", ""},
		{"rocker ratio forgotten", "events/full-lift", ratio + with(lift, "valve", "0.290 in") + "clearances: {running: {measured_at: valve, inlet: 4 thou, exhaust: 6 thou, from: sheet p. 1}}\n" + threeArc, "0.290 in", "lifts the valve 0.3625 in", "", ""},
		{"more than the cam has", "events/full-lift", with(lift, "tappet", "5/16 in") + strings.Replace(threeArc, "0.290 in", "0.250 in", 1), "5/16 in", "", "", ""},
		{"through the rockers", "events/full-lift", ratio + with(lift, "valve", "0.362 in") + threeArc, "", "", "", ""},
		{"less the clearance", "events/full-lift", with(lift, "tappet", "0.270 in") + atTappet + threeArc, "", "", "", ""},
		{"not given", "events/full-lift", with(lift, "tappet", "not given") + threeArc, "", "", "", ""},
		{"no profile", "events/full-lift", with(lift, "tappet", "0.390 in"), "", "", "", ""},

		{"flank below base circle", "events/profile-impossible", strings.Replace(threeArc, "2.250 in", "0.250 in", 1), "inlet:", "cannot be", "", ""},
		{"nose larger than base", "events/profile-impossible", strings.Replace(threeArc, "0.170 in", "0.900 in", 1), "inlet:", "", "", ""},
		{"angle that is no number", "events/profile-impossible", strings.Replace(uneven, "\"35\"", "\"35 deg\"", 1), "inlet:", "no number", "", ""},
		{"table that does not come down", "events/profile-impossible", "cams:\n  inlet: {from: sheet p. 2, table: {\"0\": 8 mm, \"10\": 7 mm}}\n", "inlet:", "", "", ""},
		{"flat follower on a straight flank", "events/profile-impossible", "cams:\n  inlet: {from: sheet p. 2, profile: tangent, follower: flat, base_radius: 30 mm, nose_radius: 24 mm, lift: 17.5 mm}\n", "inlet:", "", "", ""},
		{"a dimension unknown", "events/profile-impossible", strings.Replace(threeArc, "2.250 in", "unknown", 1), "", "", "", ""},
		{"no follower", "events/profile-impossible", strings.Replace(threeArc, "    follower: flat\n", "", 1), "", "", "", ""},
		{"a lift alone", "events/profile-impossible", "cams:\n  inlet: {from: sheet p. 2, lift: 8 mm}\n", "", "", "", ""},
		// Tangent cam of a published exercise: base 30, roller 17.5, lift 17.5 mm over 75° (bissoy.com/mcq/375987).
		{"published tangent cam", "events/profile-impossible", "cams:\n  inlet: {from: sheet p. 2, profile: tangent, follower: roller, follower_radius: 17.5 mm, base_radius: 30 mm, lift: 17.5 mm, rise: 75}\n", "", "", "", ""},
	})
}
