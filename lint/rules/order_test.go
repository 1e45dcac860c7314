package rules

import "testing"

// laidOut is a file with a layout.
func laidOut(words string) string { return "layout:\n  {" + words + ", from: handbook p. 6}\n" }

const (
	inLine4 = "cylinders: 4, arrangement: in-line, numbered_from: front, "
	vee2    = "cylinders: 2, arrangement: vee, numbered_from: rear, throws: \"0, 0\", banks: \"0, 50\", "
	flat4   = "cylinders: 4, arrangement: flat, numbered_from: front, throws: [0, 180, 0, 180], banks: [0, 180, 180, 0], "
	radial5 = "cylinders: 5, arrangement: radial, numbered_from: top, banks: [0, 72, 144, 216, 288], "
	radial7 = "cylinders: 7, arrangement: radial, numbered_from: top, banks: [0, 51, 103, 154, 206, 257, 309], "
	vee8    = "cylinders: 8, arrangement: vee, numbered_from: front, throws: [0, 180, 270, 90, 90, 270, 180, 0], banks: [0, 90, 0, 90, 0, 90, 0, 90], "
)

func TestFiringOrdersFire(t *testing.T) {
	fire(t, []trial{
		{"twice", "order/permutation", laidOut(inLine4 + "firing_order: 1-3-4-3"), "1-3-4-3", "names cylinder 3 twice", "", ""},
		{"too few", "order/permutation", laidOut(inLine4 + "firing_order: 1-3-2"), "1-3-2", "names 3 cylinders, and the engine has 4", "", ""},
		{"one that is not there", "order/permutation", laidOut(inLine4 + "firing_order: 1-3-5-2"), "1-3-5-2", "cylinder 5", "", ""},
		{"labelled by banks", "order/permutation", laidOut("cylinders: 4, arrangement: vee, numbered_from: front, firing_order: 1L-2R-1L-1R"), "1L-2R", "names cylinder 1L twice", "", ""},
		{"cylinders in a variant", "order/permutation", laidOut(inLine4+"firing_order: 1-3-4-2") + "variants:\n  six:\n    made: 1929\n    change: {layout: {cylinders: {is: 6, from: sheet p. 1}}}\n", "1-3-4-2", "the engine has 6", "six", ""},
		{"each once", "order/permutation", laidOut(inLine4 + "firing_order: 1-2-4-3"), "", "", "", ""},
		{"labelled by banks, each once", "order/permutation", laidOut("cylinders: 4, arrangement: vee, numbered_from: front, firing_order: 1L-2R-2L-1R"), "", "", "", ""},
		{"number of cylinders in dispute", "order/permutation", laidOut("cylinders: {claims: {handbook: {is: 4, from: handbook p. 1}, sheet: {is: 6, from: sheet p. 1}}}, numbered_from: front, firing_order: 1-3-4-2"), "", "", "", ""},

		{"elsewhere", "order/starts-at-one", laidOut(inLine4 + "firing_order: 4-2-1-3"), "4-2-1-3", "from No. 1 it reads 1-3-4-2", "", ""},
		{"second cylinder of a twin", "order/starts-at-one", laidOut("cylinders: 2, numbered_from: front, firing_order: 2-1"), "2-1", "1-2", "", ""},
		{"six", "order/starts-at-one", laidOut("cylinders: 6, arrangement: in-line, numbered_from: front, firing_order: 6-2-4-1-5-3"), "6-2-4-1-5-3", "1-5-3-6-2-4", "", ""},
		{"first", "order/starts-at-one", laidOut(inLine4 + "firing_order: 1-3-4-2"), "", "", "", ""},
		{"labelled by banks", "order/starts-at-one", laidOut("cylinders: 2, arrangement: vee, numbered_from: front, firing_order: 1R-1L"), "", "", "", ""},
		{"without No. 1 is another rule's", "order/starts-at-one", laidOut("cylinders: 3, numbered_from: front, firing_order: 2-3-4"), "", "", "", ""},

		{"usual crankshaft", "order/throws", laidOut(inLine4 + "firing_order: 1-4-3-2"), "1-4-3-2", "usual crankshaft of a 4 in line", "", ""},
		{"throws", "order/throws", laidOut(inLine4 + "throws: [0, 180, 180, 0], firing_order: 1-4-2-3"), "1-4-2-3", "with the throws 0, 180, 180, 0", "", ""},
		{"a throw too few", "order/throws", laidOut(inLine4 + "throws: [0, 180, 180], firing_order: 1-3-4-2"), "throws", "there are 3 throws for the 4 cylinders", "", ""},
		{"a bank too many", "order/throws", laidOut("cylinders: 2, arrangement: vee, numbered_from: rear, throws: \"0, 0\", banks: [0, 50, 100], firing_order: 1-2"), "banks", "3 bank angles", "", ""},
		// A radial fires every second cylinder: 1-3-5-2-4. Backwards it would need 4 at 576, and then 3 at 504.
		{"radial against the order of its cylinders", "order/throws", laidOut(radial5 + "throws: [0, 0, 0, 0, 0], firing_order: 1-5-4-3-2"), "1-5-4-3-2", "", "", ""},
		// The tops of this flat four come at 0, 0, 180 and 180: two in succession cannot both be odd.
		{"flat four", "order/throws", laidOut(flat4 + "firing_order: 1-2-3-4"), "1-2-3-4", "", "", ""},
		{"two-stroke", "order/throws", laidOut("cycle: two-stroke, cylinders: 3, arrangement: in-line, numbered_from: front, throws: [0, 120, 240], firing_order: 1-3-2"), "1-3-2", "0, 120, 240", "", ""},
		// Orders of fours: US Army TM 5-3895-382-24 (1-3-4-2) and motormayhem.net (1-2-4-3).
		{"published fours", "order/throws", laidOut(inLine4 + "throws: [0, 180, 180, 0], firing_order: 1-2-4-3"), "", "", "", ""},
		{"six of the other hand", "order/throws", laidOut("cylinders: 6, arrangement: in-line, numbered_from: front, firing_order: 1-4-2-6-3-5"), "", "", "", ""},
		{"radial", "order/throws", laidOut(radial5 + "firing_order: 1-3-5-2-4"), "", "", "", ""},
		{"radial with rounded banks", "order/throws", laidOut(radial7 + "throws: [0, 0, 0, 0, 0, 0, 0], firing_order: 1-3-5-7-2-4-6"), "", "", "", ""},
		{"vee eight", "order/throws", laidOut(vee8 + "firing_order: 1-8-4-3-6-5-7-2"), "", "", "", ""},
		{"two-stroke, agreed", "order/throws", laidOut("cycle: two-stroke, cylinders: 3, arrangement: in-line, numbered_from: front, throws: [0, 120, 240], firing_order: 1-2-3"), "", "", "", ""},
		{"unusual crankshaft, given by its intervals", "order/throws", laidOut(inLine4 + "firing_order: 1-4-3-2, firing_intervals: [180, 180, 180, 180]"), "", "", "", ""},
		{"throws in dispute", "order/throws", laidOut(inLine4 + "throws: {claims: {handbook: {is: [0, 180, 180, 0], from: handbook p. 1}, sheet: {is: [0, 90, 270, 180], from: sheet p. 1}}}, firing_order: 1-4-3-2"), "", "", "", ""},
	})
}

func TestIntervalsAndCompanionsFire(t *testing.T) {
	companion := func(layout, stamp string) string {
		return laidOut(layout) + "marks: {flywheel: {from: handbook p. 8, stamps: {S:\n  " + stamp + "}}}\n"
	}
	adjust := func(layout, adjustment string) string {
		return laidOut(layout) + "setting:\n  from: handbook p. 14\n  cautions: [Slowly.]\n  adjustments:\n    first: " + adjustment + "\n"
	}
	const events = "events:\n  a: {read_at: not given, inlet_opens: 2 BTDC, inlet_closes: 40 ABDC, exhaust_opens: 38 BBDC, exhaust_closes: 5 ATDC, from: handbook p. 1}\n"
	const eight = "cylinders: 8, arrangement: in-line, numbered_from: front, firing_order: 1-6-2-5-8-3-7-4"
	fire(t, []trial{
		// 50° from bank to bank: 50 or 410, and 310 or 670 back.
		{"even ones claimed of a vee twin", "order/intervals", laidOut(vee2 + "firing_order: 1-2, firing_intervals: \"360, 360\""), "360, 360", "give 50, 310", "", ""},
		{"do not make a cycle", "order/intervals", laidOut(inLine4 + "firing_order: 1-3-4-2, firing_intervals: \"180, 180, 180, 190\""), "180, 180", "add up to 730°, not to the 720°", "", ""},
		{"one for all that does not make a cycle", "order/intervals", laidOut("cylinders: 6, arrangement: in-line, numbered_from: front, firing_order: 1-5-3-6-2-4, firing_intervals: 180"), "firing_intervals: 180", "1080°", "", ""},
		{"two-stroke", "order/intervals", laidOut("cycle: two-stroke, cylinders: 2, numbered_from: front, firing_order: 1-2, throws: \"0, 180\", firing_intervals: \"360, 360\""), "360, 360", "360°", "", ""},
		{"turned about", "order/intervals", laidOut(vee2 + "firing_order: 1-2, firing_intervals: \"310, 410\""), "310, 410", "", "", ""},
		{"a twin of pins half a turn apart", "order/intervals", laidOut("cylinders: 2, arrangement: in-line, numbered_from: front, firing_order: 1-2, throws: \"0, 180\", firing_intervals: \"180, 540\""), "", "", "", ""},
		{"vee twin", "order/intervals", laidOut(vee2 + "firing_order: 1-2, firing_intervals: \"410, 310\""), "", "", "", ""},
		{"vee twin that fires both on one turn", "order/intervals", laidOut(vee2 + "firing_order: 1-2, firing_intervals: \"50, 670\""), "", "", "", ""},
		{"one for all", "order/intervals", laidOut(inLine4 + "firing_order: 1-3-4-2, firing_intervals: 180"), "", "", "", ""},
		// 720/7 = 102.86.
		{"radial with rounded banks", "order/intervals", laidOut(radial7 + "firing_order: 1-3-5-7-2-4-6, firing_intervals: \"103, 103, 103, 103, 103, 103, 103\""), "", "", "", ""},
		{"unusual crankshaft, throws not given", "order/intervals", laidOut(inLine4 + "firing_order: 1-3-2-4, firing_intervals: \"270, 180, 90, 180\""), "", "", "", ""},

		// In 1-5-3-6-2-4 the companions are 1 and 6, 5 and 2, 3 and 4 (mopar1973man.com).
		{"a mark for two that do not move together", "order/companions", companion("cylinders: 6, arrangement: in-line, numbered_from: front, firing_order: 1-5-3-6-2-4", "{means: top_dead_centre, cylinder: 2, companion: 4}"), "companion: 4", "is No. 5", "", ""},
		{"on the rock", "order/companions", adjust(inLine4+"firing_order: 1-3-4-2", "{valves: \"inlet 1, exhaust 1\", on_the_rock: 2}"), "on_the_rock: 2", "sets the valves of No. 1 with No. 2 on the rock, and by the firing order 1-3-4-2 its companion is No. 4", "", ""},
		{"a cylinder and itself", "order/companions", companion(inLine4+"firing_order: 1-3-4-2", "{means: top_dead_centre, cylinder: 1, companion: 1}"), "companion: 1", "", "", ""},
		{"one that is not there", "order/companions", companion(inLine4+"firing_order: 1-3-4-2", "{means: top_dead_centre, cylinder: 1, companion: 7}"), "companion: 7", "is No. 4", "", ""},
		// The companions of a flat six fired 1-6-2-4-3-5 are 1 and 4 (forums.pelicanparts.com, 12436471).
		{"a flat six", "order/companions", companion("cylinders: 6, arrangement: flat, numbered_from: front, firing_order: 1-6-2-4-3-5, firing_intervals: [120, 120, 120, 120, 120, 120]", "{means: top_dead_centre, cylinder: 1, companion: 6}"), "companion: 6", "is No. 4", "", ""},
		// Pins at 0, 180, 180 and 0 of a two-stroke: 1 and 4 move together, 2 and 3.
		{"a two-stroke", "order/companions", companion("cycle: two-stroke, cylinders: 4, arrangement: in-line, numbered_from: front, throws: [0, 180, 180, 0]", "{means: top_dead_centre, cylinder: 1, companion: 2}"), "companion: 2", "by the throws 0, 180, 180, 0 its companion is No. 4", "", ""},
		{"a two-stroke, agreed", "order/companions", companion("cycle: two-stroke, cylinders: 4, arrangement: in-line, numbered_from: front, throws: [0, 180, 180, 0]", "{means: top_dead_centre, cylinder: 2, companion: 3}"), "", "", "", ""},
		{"a flat six, agreed", "order/companions", companion("cylinders: 6, arrangement: flat, numbered_from: front, firing_order: 1-6-2-4-3-5, firing_intervals: [120, 120, 120, 120, 120, 120]", "{means: top_dead_centre, cylinder: 1, companion: 4}"), "", "", "", ""},
		{"on the rock, agreed", "order/companions", adjust(inLine4+"firing_order: 1-3-4-2", "{valves: \"inlet 1, exhaust 1\", on_the_rock: 4}"), "", "", "", ""},
		// No. 3 of this eight fires 450° after No. 1: with it on the rock No. 1 stands 90° after
		// firing top, where its inlet is long closed.
		{"another on the rock, with the valves on their base circles", "order/companions", events + adjust(eight, "{valves: \"inlet 1\", on_the_rock: 3}"), "", "", "", ""},
		{"a vee eight", "order/companions", companion(vee8+"firing_order: 1-8-4-3-6-5-7-2", "{means: top_dead_centre, cylinder: 1, companion: 6}"), "", "", "", ""},
		{"order in dispute", "order/companions", companion(inLine4+"firing_order: {claims: {handbook: {is: 1-3-4-2, from: handbook p. 1}, sheet: {is: 1-2-4-3, from: sheet p. 1}}}", "{means: top_dead_centre, cylinder: 1, companion: 2}"), "", "", "", ""},

		{"rotation", "order/seen-from", laidOut("cylinders: 1, rotation: clockwise"), "rotation: clockwise", "seen from the front", "", ""},
		{"of a wheel", "order/seen-from", "drives:\n  camshaft: {from: sheet p. 1, wheels: {idler: {teeth: 45, rotation: anticlockwise}}}\n", "anticlockwise", "does not say from which end", "", ""},
		{"numbers", "order/seen-from", laidOut("cylinders: 4, firing_order: 1-3-4-2"), "1-3-4-2", "numbered_from", "", "note"},
		{"rotation of one claim only", "order/seen-from", laidOut("cylinders: 1, rotation: {claims: {handbook: {is: clockwise, from: handbook p. 1}, sheet: {is: clockwise seen from front, from: sheet p. 1, set_aside: of another series}}}"), "rotation", "", "", ""},
		{"said", "order/seen-from", laidOut("cylinders: 4, firing_order: 1-3-4-2, numbered_from: flywheel end, rotation: clockwise seen from flywheel end"), "", "", "", ""},
		{"single", "order/seen-from", laidOut("cylinders: 1, firing_order: 1"), "", "", "", ""},
		{"unknown", "order/seen-from", laidOut("cylinders: 1, rotation: unknown"), "", "", "", ""},
	})
}
