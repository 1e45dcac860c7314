package rules

import (
	"strings"
	"testing"
)

// marked320 is a flywheel of 320 mm with 115 teeth that bears stamps, a stamp a line.
func marked320(stamps ...string) string {
	return "marks:\n  flywheel:\n    from: handbook p. 16\n    rim_diameter: 320 mm\n    ring_teeth: 115\n    stamps:\n      " + strings.Join(stamps, "\n      ") + "\n"
}

// ordered is a flywheel whose stamps are said to pass the pointer in an order.
func ordered(order string, stamps ...string) string {
	return "marks:\n  flywheel:\n    from: handbook p. 16\n    order: " + order + "\n    stamps:\n      " + strings.Join(stamps, "\n      ") + "\n"
}

const (
	fourOrder = "layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}\n"
	sixOrder  = "layout: {cylinders: 6, arrangement: in-line, firing_order: 1-5-3-6-2-4, numbered_from: front, from: handbook p. 6}\n"
	tdc       = "TDC: {means: top_dead_centre}"
	bdc       = "BDC: {means: bottom_dead_centre}"
	io        = "IO: {means: inlet_opens, angle: 10 BTDC}"
	ec        = "EC: {means: exhaust_closes, angle: 12 ATDC}"
	eo        = "EO: {means: exhaust_opens, angle: 50 BBDC}"
)

func TestRimsFire(t *testing.T) {
	fire(t, []trial{
		// 10° on 320 mm is 27.9 mm (hells-confetti.com); 55° are 153.6 mm along the rim and
		// 147.8 mm straight across.
		{"digits changed over", "marks/rim-distance", marked320("IO: {means: inlet_opens, angle: 10.0 BTDC, rim: 29.7 mm before TDC}"), anywhere, "29.7 mm ≠", "", ""},
		{"neither along nor across", "marks/rim-distance", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 140.0 mm after BDC}"), anywhere, "", "", ""},
		{"said to be straight", "marks/rim-distance", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 153.6 mm after BDC straight rule}"), anywhere, "sin", "", ""},
		{"of the event it marks", "marks/rim-distance", timed("inlet_opens: 10.0 BTDC") + marked320("IO: {means: inlet_opens, rim: 19.7 mm before TDC}"), anywhere, "", "", ""},
		{"of the advance it marks", "marks/rim-distance", "ignition: {advance: 38.6 BTDC, from: handbook p. 21}\n" + marked320("FA: {means: full_advance, rim: 87.8 mm before TDC}"), anywhere, "", "", ""},
		{"of the lobe centre it marks", "marks/rim-distance", timed("exhaust_lobe_centre: 109.0 BTDC") + marked320("EP: {means: exhaust_full_open, rim: 280.0 mm before TDC}"), anywhere, "", "", ""},
		{"the stamp's own angle and its event's", "marks/rim-distance", timed("inlet_opens: 10 BTDC") + marked320("IO: {means: inlet_opens, angle: 16 BTDC}"), anywhere, "", "", ""},
		// A wheel on the camshaft turns by half: 10° of the crankshaft are 13.96 mm.
		{"on the camshaft", "marks/rim-distance", strings.Replace(marked320("IO: {means: inlet_opens, angle: 10.0 BTDC, rim: 27.9 mm before TDC}"), "ring_teeth: 115", "shaft: camshaft", 1), anywhere, "", "", ""},
		{"published", "marks/rim-distance", marked320("IO: {means: inlet_opens, angle: 10 ATDC, rim: 27.9 mm after TDC}"), "", "", "", ""},
		{"in fractions of an inch", "marks/rim-distance", marked320("IO: {means: inlet_opens, angle: 10 BTDC, rim: 1 3/32 in before TDC}"), "", "", "", ""},
		{"straight rule not said", "marks/rim-distance", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 147.8 mm after BDC}"), "", "", "", ""},
		{"on the camshaft, agreed", "marks/rim-distance", strings.Replace(marked320("IO: {means: inlet_opens, angle: 10.0 BTDC, rim: 14.0 mm before TDC}"), "ring_teeth: 115", "shaft: camshaft", 1), "", "", "", ""},
		{"of the clearance's set", "marks/rim-distance", twoSets(coldClearances, "inlet_opens: 19.0 BTDC", "inlet_opens: 10.0 BTDC") + marked320("IO: {means: inlet_opens, clearance: checking, rim: 27.9 mm before TDC}"), "", "", "", ""},
		// 147.8 mm are 52.9° along the rim and 55.0° straight across, 140.0 mm 50.1° and 51.9°.
		{"either way, with what the events need", "events/inlet-duration", timed("inlet_opens: 10.0 BTDC", "inlet_duration: 245.0") + marked320("IC: {means: inlet_closes, rim: 147.8 mm after BDC}"), "", "", "", ""},
		{"neither way, with what the events need", "events/inlet-duration", timed("inlet_opens: 10.0 BTDC", "inlet_duration: 245.0") + marked320("IC: {means: inlet_closes, rim: 140.0 mm after BDC}"), anywhere, "", "", ""},
		{"diameter unknown", "marks/rim-distance", strings.Replace(marked320("IO: {means: inlet_opens, angle: 10 BTDC, rim: 99 mm before TDC}"), "320 mm", "unknown", 1), "", "", "", ""},
		{"claim set aside", "marks/rim-distance", marked320("IO: {means: inlet_opens, angle: 10 BTDC, rim: {claims: {handbook: {is: 27.9 mm before TDC, from: handbook p. 1}, sheet: {is: 37.9 mm before TDC, from: sheet p. 1, set_aside: re-cut}}}}"), "", "", "", ""},

		{"across", "marks/straight-rule", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 147.8 mm after BDC}"), "147.8 mm", "straight rule from mark to mark, 147.8 mm, and not along the rim, 153.6 mm", "", ""},
		{"of the event it marks", "marks/straight-rule", timed("inlet_closes: 55.0 ABDC") + marked320("IC: {means: inlet_closes, rim: 147.8 mm after BDC}"), "147.8 mm", "", "", ""},
		{"an event's own print", "marks/straight-rule", timed("inlet_closes: 55.0 ABDC (147.8 mm rim)") + marked320(tdc), "147.8 mm", "", "", ""},
		// Whole inches cannot tell 6.05 from 5.82, which are 2.1° apart.
		{"cannot be told", "marks/straight-rule", marked320("IC: {means: inlet_closes, angle: 55 ABDC, rim: 6 in after BDC}"), "6 in", "cannot be told, and that makes 2.1°", "", ""},
		{"said", "marks/straight-rule", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 147.8 mm after BDC straight rule}"), "", "", "", ""},
		{"along", "marks/straight-rule", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 153.6 mm after BDC}"), "", "", "", ""},
		// At 20° the two differ by 0.28 mm on 320 mm, less than 1/64 in.
		{"below twenty degrees nothing depends on it", "marks/straight-rule", marked320("IO: {means: inlet_opens, angle: 20 BTDC, rim: 56 mm before TDC}"), "", "", "", ""},
		{"neither", "marks/straight-rule", marked320("IC: {means: inlet_closes, angle: 55.0 ABDC, rim: 140.0 mm after BDC}"), "", "", "", ""},

		// 25° are printed as 8 teeth (Vauxhall 20-60 shop manual, sec. 433), of 115.
		{"one digit more", "marks/ring-teeth", marked320("EC: {means: exhaust_closes, angle: 25 ATDC, teeth: 18 teeth ATDC}"), anywhere, "", "", ""},
		{"of the event it marks", "marks/ring-teeth", timed("exhaust_closes: 25 ATDC") + marked320("EC: {means: exhaust_closes, teeth: 10 teeth ATDC}"), anywhere, "", "", ""},
		{"half teeth", "marks/ring-teeth", marked320("EC: {means: exhaust_closes, angle: 25.0 ATDC, teeth: 7 1/2 teeth ATDC}"), anywhere, "", "", ""},
		{"published", "marks/ring-teeth", marked320("EC: {means: exhaust_closes, angle: 25 ATDC, teeth: 8 teeth ATDC}"), "", "", "", ""},
		{"ring unknown", "marks/ring-teeth", strings.Replace(marked320("EC: {means: exhaust_closes, angle: 25 ATDC, teeth: 18 teeth ATDC}"), "115", "unknown", 1), "", "", "", ""},
		{"of another ring's count, in dispute", "marks/ring-teeth", strings.Replace(marked320("EC: {means: exhaust_closes, angle: 25 ATDC, teeth: 8 teeth ATDC}"), "115", "{claims: {handbook: {is: 115, from: handbook p. 1}, sheet: {is: 151, from: sheet p. 1}}}", 1), "", "", "", ""},
	})
}

func TestStampsFire(t *testing.T) {
	fire(t, []trial{
		{"before comes after", "marks/stamp-order", ordered("TDC, IO, EC", tdc, io, ec), "order:", "their angles give TDC, EC, IO", "", ""},
		{"against the rotation", "marks/stamp-order", ordered("EC, TDC, IO, BDC, EO", tdc, io, ec, bdc, eo), "order:", "read against the rotation", "", ""},
		{"a name that is none", "marks/stamp-order", ordered("TDC, IO, XX", tdc, io, ec), "order:", "no stamp is called so", "", ""},
		// No. 3 of a four fires 180° after No. 1: its top dead centre passes with the bottom of No. 1.
		{"of another cylinder", "marks/stamp-order", fourOrder + ordered("TDC, T3, EO, EC", tdc, "T3: {means: top_dead_centre, cylinder: 3}", eo, ec), "order:", "EC, EO, T3", "", ""},
		{"of a two-stroke", "marks/stamp-order", "layout: {cycle: two-stroke, cylinders: 3, arrangement: in-line, numbered_from: front, throws: [0, 120, 240], from: handbook p. 6}\n" + ordered("T1, T3, T2", "T1: {means: top_dead_centre}", "T2: {means: top_dead_centre, cylinder: 2}", "T3: {means: top_dead_centre, cylinder: 3}"), "order:", "T1, T2, T3", "", ""},
		{"in the order of the cycle, starting anywhere", "marks/stamp-order", ordered("EC, EO, BDC, IO, TDC", tdc, io, ec, bdc, eo), "", "", "", ""},
		{"two stamps", "marks/stamp-order", ordered("TDC, IO", tdc, io), "", "", "", ""},
		{"two that cannot be told apart", "marks/stamp-order", ordered("TDC, IO, EC", tdc, "IO: {means: inlet_opens, angle: 0 BTDC}", ec), "", "", "", ""},
		{"of another cylinder, agreed", "marks/stamp-order", fourOrder + ordered("TDC, EC, EO, T3", tdc, "T3: {means: top_dead_centre, cylinder: 3}", eo, ec), "", "", "", ""},
		{"by the events they mark", "marks/stamp-order", timed("inlet_opens: 10 BTDC", "exhaust_closes: 12 ATDC") + ordered("IO, TDC, EC", tdc, "IO: {means: inlet_opens}", "EC: {means: exhaust_closes}"), "", "", "", ""},
		{"an angle not known", "marks/stamp-order", ordered("TDC, IO, EC, XX", tdc, "IO: {means: inlet_opens}", ec, "XX: {note: unexplained}"), "", "", "", ""},

		{"no such cylinder", "marks/stamp-cylinder", fourOrder + marked320("IO: {means: inlet_opens, cylinder: 5, rim: 28 mm before TDC}"), "cylinder: 5", "the engine has 4", "", ""},
		// No. 2 of a six fires 480° after No. 1, its top dead centre comes 120° after that of 1 and 6.
		{"counted from another's mark", "marks/stamp-cylinder", sixOrder + marked320("1-6: {means: top_dead_centre, cylinder: 1, companion: 6}", "IO: {means: inlet_opens, cylinder: 2, rim: 28 mm before TDC}"), "rim: 28 mm", "that is there 240° later", "", ""},
		{"from a bottom that is another's", "marks/stamp-cylinder", sixOrder + marked320("B1: {means: bottom_dead_centre, cylinder: 1}", "IC: {means: inlet_closes, cylinder: 5, rim: 153 mm after BDC}"), "rim: 153 mm", "bottom dead centre", "", ""},
		{"of a companion", "marks/stamp-cylinder", sixOrder + marked320("1-6: {means: top_dead_centre, cylinder: 1, companion: 6}", "IO: {means: inlet_opens, cylinder: 6, rim: 28 mm before TDC}"), "", "", "", ""},
		// The bottom of No. 1 of a four is the top of No. 2.
		{"from a bottom that is another's top", "marks/stamp-cylinder", fourOrder + marked320("B1: {means: bottom_dead_centre, cylinder: 1}", "IO: {means: inlet_opens, cylinder: 2, rim: 28 mm before TDC}"), "", "", "", ""},
		{"no dead centre marked", "marks/stamp-cylinder", sixOrder + marked320("IO: {means: inlet_opens, cylinder: 2, rim: 28 mm before TDC}"), "", "", "", ""},
		{"order not known", "marks/stamp-cylinder", marked320("1-6: {means: top_dead_centre, cylinder: 1}", "IO: {means: inlet_opens, cylinder: 2, rim: 28 mm before TDC}"), "", "", "", ""},

		{"another figure", "marks/stamp-clearance", gaps(checks20) + readAt20 + marked320("IO: {means: inlet_opens, clearance: checking, clearance_stamped: 12 thou}"), "12 thou", "the checking clearance of the inlet is 20 thou", "", ""},
		{"a clearance not given", "marks/stamp-clearance", gaps(runs) + marked320("IO: {means: inlet_opens, clearance: checking, angle: 10 BTDC}"), "clearance: checking", "no clearance of that name", "", ""},
		{"the exhaust's", "marks/stamp-clearance", gaps(runs) + marked320("EO: {means: exhaust_opens, clearance: running, clearance_stamped: '.004\"'}"), ".004", "exhaust is 6 thou", "", ""},
		{"of no clearance of the file", "marks/stamp-clearance", gaps(runs, checks20) + readAt20 + marked320("IO: {means: inlet_opens, clearance_stamped: 12 thou}"), "12 thou", "the running clearance of the inlet is 4 thou, the checking clearance", "", ""},
		{"in other units", "marks/stamp-clearance", gaps(checks20) + readAt20 + marked320("IO: {means: inlet_opens, clearance: checking, clearance_stamped: 0.50 mm}"), "", "", "", ""},
		{"of one clearance of the file", "marks/stamp-clearance", gaps(runs, checks20) + readAt20 + marked320("IO: {means: inlet_opens, clearance_stamped: 20 thou}"), "", "", "", ""},
		{"not given", "marks/stamp-clearance", gaps(runs) + marked320("IO: {means: inlet_opens, clearance: not given, angle: 10 BTDC}"), "", "", "", ""},
		{"illegible", "marks/stamp-clearance", gaps(checks20) + readAt20 + marked320("IO: {means: inlet_opens, clearance: checking, clearance_stamped: illegible}"), "", "", "", ""},
	})
}
