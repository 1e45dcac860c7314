package rules

import (
	"strings"
	"testing"
)

// camshaftBy is a file whose camshaft is driven so.
func camshaftBy(lines ...string) string {
	return "drives:\n  camshaft:\n    from: sheet p. 1\n    " + strings.Join(lines, "\n    ") + "\n"
}

const (
	pairOf28    = "train: crankshaft > camshaft\n    wheels:\n      crankshaft: {teeth: 28}\n      camshaft: {teeth: 56}"
	withIdler   = "train: crankshaft > idler > camshaft\n    wheels:\n      crankshaft: {teeth: 28}\n      idler: {teeth: 45}\n      camshaft: {teeth: 56}"
	compound    = "train: crankshaft > intermediate + pinion > camshaft\n    wheels:\n      crankshaft: {teeth: 24}\n      intermediate: {teeth: 36}\n      pinion: {teeth: 18}\n      camshaft: {teeth: 24}"
	bevels      = "train: crankshaft > lower + upper > camshaft\n    wheels:\n      crankshaft: {teeth: 22}\n      lower: {teeth: 23, mesh: bevel}\n      upper: {teeth: 23}\n      camshaft: {teeth: 44, mesh: bevel}"
	chainOf21   = "train: crankshaft > camshaft\n    wheels:\n      crankshaft: {teeth: 21}\n      camshaft: {teeth: 42}"
	clockwise   = "layout: {cylinders: 1, rotation: clockwise seen from timing end, numbered_from: timing end, from: handbook p. 6}\n"
	magnetoBy   = "drives:\n  magneto:\n    from: sheet p. 1\n    "
	ignitionOf2 = "ignition: {kind: magneto, drive: magneto, sparks_per_turn: 2, from: sheet p. 1}\n"
)

func cylinders(n, cycle string) string {
	return "layout: {cylinders: " + n + ", cycle: " + cycle + ", from: handbook p. 6}\n"
}

func TestSpeedsOfDrivesFire(t *testing.T) {
	fire(t, []trial{
		{"digits changed over", "drives/half-speed", camshaftBy(strings.Replace(pairOf28, "56", "65", 1)), "teeth", "", "", ""},
		// 24/36 × 18/23 is no half.
		{"compound train", "drives/half-speed", camshaftBy(strings.Replace(compound, "camshaft: {teeth: 24}", "camshaft: {teeth: 23}", 1)), "teeth", "", "", ""},
		{"printed speed", "drives/half-speed", camshaftBy("speed: 1/3"), "speed", "", "", ""},
		{"chain", "drives/half-speed", camshaftBy(strings.Replace(chainOf21, "42", "40", 1), "chain: {pitch: 3/8 in, pitches: 74, from: sheet p. 1}"), "teeth", "", "", ""},
		{"in a variant", "drives/half-speed", camshaftBy(pairOf28) + "variants:\n  series-2:\n    made: 1929\n    change: {drives: {camshaft: {wheels: {crankshaft: {teeth: {is: 27, from: sheet p. 2}}}}}}\n", "teeth", "", "series-2", ""},
		{"an idler does not count", "drives/half-speed", camshaftBy(withIdler), "", "", "", ""},
		{"compound train, agreed", "drives/half-speed", camshaftBy(compound), "", "", "", ""},
		// 22/23 × 23/44 is exactly a half (dunhackin.com, Velocette instruction book).
		{"bevels with a hunting tooth", "drives/half-speed", camshaftBy(bevels), "", "", "", ""},
		{"two-stroke", "drives/half-speed", twoStroke + camshaftBy("speed: 1"), "", "", "", ""},
		{"what is driven from the camshaft", "drives/half-speed", "drives: {magneto from camshaft: {train: camshaft > magneto, wheels: {camshaft: {teeth: 40}, magneto: {teeth: 20}}, from: sheet p. 1}}\n", "", "", "", ""},
		{"teeth unknown", "drives/half-speed", camshaftBy(strings.Replace(pairOf28, "56", "unknown", 1)), "", "", "", ""},

		{"wheels give less", "drives/speed", magnetoBy + "train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 24}}\n    speed: 1.5\n", anywhere, "1.5", "", ""},
		{"turned upside down", "drives/speed", magnetoBy + "train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 16}}\n    speed: 2/3\n", anywhere, "", "", ""},
		{"through a compound train", "drives/speed", magnetoBy + "train: crankshaft > a + b > magneto\n    wheels: {crankshaft: {teeth: 20}, a: {teeth: 40}, b: {teeth: 30}, magneto: {teeth: 10}}\n    speed: 2\n", anywhere, "", "", ""},
		{"exactly", "drives/speed", magnetoBy + "train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 16}}\n    speed: 1.5\n", "", "", "", ""},
		{"rounded to two places", "drives/speed", magnetoBy + "train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 20}, magneto: {teeth: 30}}\n    speed: 0.67\n", "", "", "", ""},
		{"through a compound train, agreed", "drives/speed", magnetoBy + "train: crankshaft > a + b > magneto\n    wheels: {crankshaft: {teeth: 20}, a: {teeth: 40}, b: {teeth: 30}, magneto: {teeth: 10}}\n    speed: 1.5\n", "", "", "", ""},
		{"a wheel that is not described", "drives/speed", magnetoBy + "train: crankshaft > idler > magneto + gear > pump\n    wheels: {crankshaft: {teeth: 24}, pump: {teeth: 16}}\n    speed: 1.5\n", "", "", "", ""},

		// Magneto speed = cylinders / (2 × sparks a turn): a four 1, a six 1½ (magneto handbooks, from memory).
		{"a six at engine speed", "drives/spark-speed", cylinders("6", "four-stroke") + magnetoBy + "speed: 1\n" + ignitionOf2, anywhere, "", "", ""},
		{"a four's at half speed", "drives/spark-speed", cylinders("4", "four-stroke") + magnetoBy + "speed: 1/2\n" + ignitionOf2, anywhere, "", "", ""},
		{"by its wheels", "drives/spark-speed", cylinders("6", "four-stroke") + magnetoBy + "train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 20}, magneto: {teeth: 20}}\n" + ignitionOf2, anywhere, "", "", ""},
		{"two-stroke", "drives/spark-speed", cylinders("2", "two-stroke") + magnetoBy + "speed: 1/2\n" + ignitionOf2, anywhere, "", "", ""},
		{"single, two to spare", "drives/spark-speed", cylinders("1", "four-stroke") + magnetoBy + "speed: 1\n" + ignitionOf2, anywhere, "", "", ""},
		{"a six at one and a half", "drives/spark-speed", cylinders("6", "four-stroke") + magnetoBy + "speed: 1.5\n" + ignitionOf2, "", "", "", ""},
		{"by its wheels, agreed", "drives/spark-speed", cylinders("6", "four-stroke") + magnetoBy + "train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 16}}\n" + ignitionOf2, "", "", "", ""},
		{"single with a spark to spare", "drives/spark-speed", cylinders("1", "four-stroke") + magnetoBy + "speed: 1\nignition: {kind: magneto, drive: magneto, sparks_per_turn: 1, from: sheet p. 1}\n", "", "", "", ""},
		{"distributor of a six", "drives/spark-speed", cylinders("6", "four-stroke") + "drives: {distributor: {speed: 1/2, from: sheet p. 1}}\nignition: {kind: coil, drive: distributor, sparks_per_turn: 6, from: sheet p. 1}\n", "", "", "", ""},
		{"speed unknown", "drives/spark-speed", cylinders("6", "four-stroke") + magnetoBy + "speed: unknown\n" + ignitionOf2, "", "", "", ""},

		// 360/28 = 12.857.
		{"digits changed over", "drives/tooth-step", camshaftBy(pairOf28, "tooth_step: 18.26"), "tooth_step", "12.857", "", ""},
		{"that of the camshaft's own degrees", "drives/tooth-step", camshaftBy(pairOf28, "tooth_step: 6.43"), "tooth_step", "", "", ""},
		// 360/45: an idler of 45 does not make the step.
		{"through an idler", "drives/tooth-step", camshaftBy(withIdler, "tooth_step: 8.0"), "tooth_step", "", "", ""},
		{"of no mesh of a compound train", "drives/tooth-step", camshaftBy(compound, "tooth_step: 10.0"), "tooth_step", "", "", ""},
		{"rounded", "drives/tooth-step", camshaftBy(pairOf28, "tooth_step: 12.9"), "", "", "", ""},
		// 360/24 = 15 at the first mesh; at the second 360/18 × 36/24 = 30.
		{"first mesh of a compound train", "drives/tooth-step", camshaftBy(compound, "tooth_step: 15"), "", "", "", ""},
		{"second mesh of a compound train", "drives/tooth-step", camshaftBy(compound, "tooth_step: 30"), "", "", "", ""},
		{"bevels", "drives/tooth-step", camshaftBy(bevels, "tooth_step: 16° 22'"), "", "", "", ""},
		// One tooth of 28 is 23 mm on 203 mm, 35 on 310, 37 on 327 (TM 5-3895-382-24, p. 310; teeth inferred).
		{"published along three rims", "marks/rim-distance", camshaftBy(pairOf28) + "marks:\n  a: {rim_diameter: 203 mm, tooth_step: 23 mm rim, from: sheet p. 2}\n  b: {rim_diameter: 310 mm, tooth_step: 35 mm rim, from: sheet p. 2}\n  c: {rim_diameter: 327 mm, tooth_step: 37 mm rim, from: sheet p. 2}\n", "", "", "", ""},
		// With 30 teeth one is 32.5 mm on 310 mm.
		{"along a rim, for another count of teeth", "drives/tooth-step", camshaftBy(strings.Replace(strings.Replace(pairOf28, "28", "30", 1), "56", "60", 1)) + "marks:\n  b: {rim_diameter: 310 mm, tooth_step: 35 mm rim, from: sheet p. 2}\n", anywhere, "", "", ""},
	})
}

func TestDirectionsOfDrivesFire(t *testing.T) {
	seen := func(way string) string { return "rotation: " + way }
	fire(t, []trial{
		{"a pair of wheels reverses", "drives/rotation", clockwise + camshaftBy(pairOf28, seen("clockwise seen from timing end")), "rotation: clockwise seen from timing end", "anticlockwise seen from", "", ""},
		{"seen from the other end", "drives/rotation", clockwise + camshaftBy(pairOf28, seen("anticlockwise seen from flywheel end")), "anticlockwise seen from flywheel", "", "", ""},
		{"a chain does not", "drives/rotation", clockwise + camshaftBy(chainOf21, "chain: {pitch: 3/8 in, pitches: 74, from: sheet p. 1}", seen("anticlockwise seen from timing end")), "anticlockwise", "", "", ""},
		{"an idler's", "drives/rotation", clockwise + camshaftBy(strings.Replace(withIdler, "teeth: 45", "teeth: 45, rotation: clockwise seen from timing end", 1)), "teeth: 45", "idler turns clockwise", "", ""},
		{"an internal wheel does not", "drives/rotation", clockwise + camshaftBy(strings.Replace(pairOf28, "teeth: 56", "teeth: 56, mesh: internal, rotation: anticlockwise seen from timing end", 1)), "mesh: internal", "", "", ""},
		{"teeth unknown", "drives/rotation", clockwise + camshaftBy(strings.Replace(pairOf28, "56", "unknown", 1), seen("clockwise seen from timing end")), "rotation: clockwise seen", "", "", ""},
		// Crankshaft and camshaft clockwise, what is driven between them anticlockwise (hells-confetti.com, manual p. 16).
		{"published, with an idler", "drives/rotation", clockwise + camshaftBy(strings.Replace(withIdler, "teeth: 45", "teeth: 45, rotation: anticlockwise seen from timing end", 1), seen("clockwise seen from timing end")), "", "", "", ""},
		{"seen from the other end, agreed", "drives/rotation", clockwise + camshaftBy(pairOf28, seen("clockwise seen from flywheel end")), "", "", "", ""},
		{"from an end that nobody knows", "drives/rotation", clockwise + camshaftBy(pairOf28, seen("clockwise seen from the carburettor")), "", "", "", ""},
		{"bevels, whose backs are not described", "drives/rotation", clockwise + camshaftBy(bevels, seen("clockwise seen from timing end")), "", "", "", ""},
		{"crankshaft's unknown", "drives/rotation", camshaftBy(pairOf28, seen("clockwise seen from timing end")), "", "", "", ""},
	})
}

func TestHelicalWheelsFire(t *testing.T) {
	hands := func(train, crankshaft, camshaft string) string {
		return strings.Replace(strings.Replace(train, "teeth: 28", "teeth: 28, hand: "+crankshaft, 1), "teeth: 56", "teeth: 56, hand: "+camshaft, 1)
	}
	// 10 DP are 2.54 mm of module. With 22½°: 28 teeth make 71.12/0.92388 = 76.98 mm
	// = 3.031 in, with 56 centres of 115.47 mm = 4.546 in, with an idler of 45 of 3.951 in.
	const teeth = "teeth: {form: helical, helix: 22½, normal_pitch: 10 DP%s, from: sheet p. 1}"
	with := func(more string) string { return strings.Replace(teeth, "%s", more, 1) }
	// 1.64 in · sin 22½° / (π · 0.1 in) = 1.998 teeth.
	const slides = "sliding_home: {wheel: %w, slides: away from timing end, travel: 1.64 in, turns: camshaft, by: %b%d, from: sheet p. 1}"
	slide := func(wheel, by, direction string) string {
		if direction != "" {
			direction = ", direction: " + direction
		}
		return strings.NewReplacer("%w", wheel, "%b", by, "%d", direction).Replace(slides)
	}
	fire(t, []trial{
		{"external mates of one hand", "drives/helix", camshaftBy(hands(pairOf28, "right", "right"), with("")), "teeth: 56", "opposite hands", "", ""},
		{"of different hands across an idler", "drives/helix", camshaftBy(hands(withIdler, "right", "left"), with("")), "teeth: 56", "", "", ""},
		{"internal mates of different hands", "drives/helix", camshaftBy(strings.Replace(hands(pairOf28, "right", "left"), "hand: left", "hand: left, mesh: internal", 1), with("")), "teeth: 56", "pinion's hand", "", ""},
		{"pitch diameter", "drives/helix", camshaftBy(strings.Replace(pairOf28, "teeth: 28", "teeth: 28, pitch_diameter: 2.800 in", 1), with("")), "2.800 in", "3.031 in", "", ""},
		{"centres", "drives/helix", camshaftBy(pairOf28, with(", centre_distance: 4.2 in")), "4.2 in", "4.546 in", "", ""},
		{"internal centres", "drives/helix", camshaftBy(strings.Replace(pairOf28, "teeth: 56", "teeth: 56, mesh: internal", 1), with(", centre_distance: 4.546 in")), "4.546 in", "1.515 in", "", ""},
		{"hands, teeth unknown", "drives/helix", camshaftBy(strings.Replace(hands(pairOf28, "left", "left"), "56", "unknown", 1), with("")), "unknown", "", "", ""},
		{"agreed", "drives/helix", camshaftBy(hands(strings.Replace(pairOf28, "teeth: 28", "teeth: 28, pitch_diameter: 3.03 in", 1), "right", "left"), with(", centre_distance: 4.546 in")), "", "", "", ""},
		{"one hand across an idler", "drives/helix", camshaftBy(hands(withIdler, "right", "right"), with(", centre_distance: 3.951 in")), "", "", "", ""},
		{"internal, agreed", "drives/helix", camshaftBy(strings.Replace(hands(pairOf28, "right", "right"), "teeth: 56", "teeth: 56, mesh: internal", 1), with(", centre_distance: 1.515 in")), "", "", "", ""},
		// 17 and 35 teeth of module 1 at 15°: 26.917 mm before, 27.5 mm with profile shift (Drivetrain Hub notebooks, 2021).
		{"published profile shift", "drives/helix", camshaftBy("train: a > b\n    wheels: {a: {teeth: 17, hand: right, pitch_diameter: 17.599695 mm}, b: {teeth: 35, hand: left, pitch_diameter: 36.234666 mm}}", "teeth: {form: helical, helix: 15, normal_pitch: 1 mm module, centre_distance: 27.5 mm, from: sheet p. 1}"), "", "", "", ""},
		{"helix unknown", "drives/helix", camshaftBy(pairOf28, "teeth: {form: helical, helix: unknown, normal_pitch: 10 DP, centre_distance: 9 in, from: sheet p. 1}"), "", "", "", ""},

		{"teeth miscounted", "drives/sliding-home", camshaftBy(hands(pairOf28, "right", "left"), with(""), slide("crankshaft", "3 teeth", "")), "by: 3 teeth", "2.00 teeth", "", ""},
		{"direction through one mesh", "drives/sliding-home", camshaftBy(hands(pairOf28, "right", "left"), with(""), slide("crankshaft", "2 teeth", "anticlockwise seen from timing end")), "by: 2 teeth", "clockwise seen from", "", ""},
		{"direction through an idler", "drives/sliding-home", camshaftBy(hands(withIdler, "right", "right"), with(""), slide("crankshaft", "2 teeth", "clockwise seen from timing end")), "by: 2 teeth", "", "", ""},
		{"the camshaft's own wheel", "drives/sliding-home", camshaftBy(hands(pairOf28, "left", "right"), with(""), slide("camshaft", "2 teeth", "anticlockwise seen from timing end")), "by: 2 teeth", "", "", ""},
		{"an idler slid turns nothing", "drives/sliding-home", camshaftBy(hands(withIdler, "right", "right"), with(""), slide("idler", "2 teeth", "")), "by: 2 teeth", "in mesh on both sides", "", ""},
		{"seen from the other end", "drives/sliding-home", camshaftBy(hands(pairOf28, "right", "left"), with(""), slide("crankshaft", "2 teeth", "clockwise seen from flywheel end")), "by: 2 teeth", "", "", ""},
		{"internal mates turn alike", "drives/sliding-home", camshaftBy(strings.Replace(hands(pairOf28, "right", "right"), "teeth: 56", "teeth: 56, mesh: internal", 1), with(""), slide("crankshaft", "2 teeth", "clockwise seen from timing end")), "by: 2 teeth", "", "", ""},
		// A right-hand crankshaft wheel slid away acts as if turned anticlockwise; each external mesh
		// reverses that; a right-hand camshaft wheel slid away itself turns clockwise (geometry of the helix).
		{"through one mesh, agreed", "drives/sliding-home", camshaftBy(hands(pairOf28, "right", "left"), with(""), slide("crankshaft", "2 teeth", "clockwise seen from timing end")), "", "", "", ""},
		{"through an idler, agreed", "drives/sliding-home", camshaftBy(hands(withIdler, "right", "right"), with(""), slide("crankshaft", "2 teeth", "anticlockwise seen from timing end")), "", "", "", ""},
		{"the camshaft's own wheel, agreed", "drives/sliding-home", camshaftBy(hands(pairOf28, "left", "right"), with(""), slide("camshaft", "2 teeth", "clockwise seen from timing end")), "", "", "", ""},
		{"hands not given", "drives/sliding-home", camshaftBy(pairOf28, with(""), slide("crankshaft", "2 teeth", "clockwise seen from timing end")), "", "", "", ""},
		{"helix not given", "drives/sliding-home", camshaftBy(pairOf28, "teeth: {form: helical, normal_pitch: 10 DP, from: sheet p. 1}", slide("crankshaft", "9 teeth", "")), "", "", "", ""},
	})
}

func TestCrossedShaftsAndChainsFire(t *testing.T) {
	// tan δ = 22/44 makes 26.57° and 63.43° at a right angle; 22/23 43.73° and 46.27°.
	angles := func(lower, upper string) string {
		return strings.Replace(strings.Replace(bevels, "{teeth: 22}", "{teeth: 22, pitch_angle: "+lower+"}", 1), "{teeth: 44", "{teeth: 44, pitch_angle: "+upper, 1)
	}
	const (
		right = "teeth: {form: bevel, shaft_angle: 90, from: sheet p. 1}"
		skew  = "train: crankshaft > camshaft\n    wheels: {crankshaft: {teeth: 12, hand: right}, camshaft: {teeth: 24, hand: %s}}"
		two   = "train: crankshaft > camshaft\n    wheels: {crankshaft: {teeth: 22, pitch_angle: %s}, camshaft: {teeth: 44}}"
	)
	chainWith := func(first, pitches string) string {
		return camshaftBy(strings.Replace(chainOf21, "{teeth: 21}", "{teeth: 21"+first+"}", 1), "chain: {pitch: 3/8 in, pitches: "+pitches+", rows: 2, from: sheet p. 1}")
	}
	fire(t, []trial{
		{"the mate's angle", "drives/crossed-shafts", camshaftBy(strings.Replace(two, "%s", "63½", 1), right), "pitch_angle", "26.5", "", ""},
		{"a half taken for granted", "drives/crossed-shafts", camshaftBy(angles("45.0", "62.4"), right), "{teeth: 22, pitch_angle: 45.0}", "43.73°", "", ""},
		{"another shaft angle", "drives/crossed-shafts", camshaftBy(strings.Replace(two, "%s", "26½", 1), strings.Replace(right, "90", "75", 1)), "pitch_angle", "75", "", ""},
		{"skew wheels of opposite hands do not cross", "drives/crossed-shafts", camshaftBy(strings.Replace(skew, "%s", "left", 1), "teeth: {form: skew, helix: 45, shaft_angle: 90, from: sheet p. 1}"), "shaft_angle", "helix of 45", "", "warning"},
		{"bevels, agreed", "drives/crossed-shafts", camshaftBy(angles("43.7", "62.4"), right), "", "", "", ""},
		{"skew wheels at a right angle", "drives/crossed-shafts", camshaftBy(strings.Replace(skew, "%s", "right", 1), "teeth: {form: skew, helix: 45, shaft_angle: 90, from: sheet p. 1}"), "", "", "", ""},
		{"shaft angle not given", "drives/crossed-shafts", camshaftBy(strings.Replace(two, "%s", "63½", 1), "teeth: {form: bevel, from: sheet p. 1}"), "", "", "", ""},
		{"straight teeth", "drives/crossed-shafts", camshaftBy(pairOf28, "teeth: {form: spur, shaft_angle: 90, from: sheet p. 1}"), "", "", "", ""},

		{"odd", "drives/chain", chainWith("", "73"), "pitches: 73", "73 pitches are odd", "", ""},
		// 0.375 in and 21 teeth make 63.908 mm (check values, 9d).
		{"pitch diameter of another count", "drives/chain", chainWith(", pitch_diameter: 69.95 mm", "74"), "69.95 mm", "63.91 mm", "", ""},
		{"no pitches at all", "drives/chain", chainWith("", "0"), "pitches: 0", "", "", ""},
		{"pitch diameter in inches", "drives/chain", chainWith(", pitch_diameter: 2.6 in", "74"), "2.6 in", "2.516 in", "", ""},
		// Published chains: 52, 74, 78, 104 and 106 pitches (rover-classics.co.uk and others, check values 9d).
		{"published", "drives/chain", chainWith(", pitch_diameter: 63.91 mm", "104"), "", "", "", ""},
		{"rounded pitch diameter", "drives/chain", chainWith(", pitch_diameter: 63.9 mm", "52"), "", "", "", ""},
		{"in dispute", "drives/chain", camshaftBy("chain: {pitch: 3/8 in, pitches: {claims: {handbook: {is: 73, from: handbook p. 1}, sheet: {is: 74, from: sheet p. 1}}}, from: sheet p. 1}"), "", "", "", ""},
		{"a wheel beside the chain", "drives/chain", camshaftBy("train: crankshaft > camshaft\n    wheels: {crankshaft: {teeth: 21}, camshaft: {teeth: 42}, pump: {teeth: 30, pitch_diameter: 40 mm}}", "chain: {pitch: 3/8 in, pitches: 74, from: sheet p. 1}"), "", "", "", ""},
	})
}

func TestMarksAndStepsOfDrivesFire(t *testing.T) {
	const coupled = "drives:\n  magneto:\n    from: sheet p. 1\n    %s\n    coupling: {rings: [%s], step: %s, crank_step: %s}\n"
	coupling := func(drive, rings, step, crank string) string {
		s := coupled
		for _, w := range []string{drive, rings, step, crank} {
			s = strings.Replace(s, "%s", w, 1)
		}
		return s
	}
	keyed := func(wheel string) string { return camshaftBy("wheels: {crankshaft: " + wheel + "}") }
	backlash := func(pitch, free string) string {
		return camshaftBy("teeth: {form: spur, normal_pitch: " + pitch + ", backlash: " + free + ", from: sheet p. 1}")
	}
	fire(t, []trial{
		// 28, 45 and 56: after 45 turns of the crankshaft the idler has made 28, the camshaft 22½; after 90 all are whole.
		{"of crankshaft and idler alone", "drives/marks-meet", camshaftBy(withIdler, "marks_meet_after: 45"), "marks_meet_after", "after 90 through the train crankshaft > idler > camshaft; those of crankshaft and idler alone meet after 45", "", ""},
		// A print of 21 turns fits neither 22/23 nor 23/44 (dunhackin.com); the whole train needs 46.
		{"published, with a hunting tooth", "drives/marks-meet", camshaftBy(bevels, "marks_meet_after: 21"), "marks_meet_after", "after 46", "", ""},
		{"not printed, and seldom", "drives/marks-meet", camshaftBy(withIdler), "train:", "only every 90 turns", "", "note"},
		{"a pair", "drives/marks-meet", camshaftBy(pairOf28, "marks_meet_after: 4"), "marks_meet_after", "after 2", "", ""},
		{"a train", "drives/marks-meet", camshaftBy(withIdler, "marks_meet_after: 90"), "", "", "", ""},
		{"bevels", "drives/marks-meet", camshaftBy(bevels, "marks_meet_after: 46"), "", "", "", ""},
		{"a pair meets at once", "drives/marks-meet", camshaftBy(pairOf28), "", "", "", ""},
		{"looked for and not found", "drives/marks-meet", camshaftBy(withIdler, "marks_meet_after: unknown"), "", "", "", ""},
		{"a count in dispute", "drives/marks-meet", camshaftBy(strings.Replace(withIdler, "teeth: 45", "teeth: {claims: {handbook: {is: 45, from: handbook p. 1}, sheet: {is: 44, from: sheet p. 1}}}", 1), "marks_meet_after: 90"), "", "", "", ""},

		// 1/19 less 1/20 is 1/380 of a turn (da7c.co.uk): 0.947°, at 1½ times the crankshaft's speed 0.632° of it.
		{"step of one ring", "drives/coupling", coupling("speed: 1.5", "19, 20", "18.947", "0.632"), "coupling", "0.9474°", "", ""},
		{"crank degrees the wrong way", "drives/coupling", coupling("speed: 1.5", "19, 20", "0.947", "1.421"), "coupling", "0.6316°", "", ""},
		// 12 and 13 holes: 360/156 = 2.308°.
		{"holes", "drives/coupling", coupling("speed: 1", "12, 13", "2.8", "2.31"), "coupling", "2.308°", "", ""},
		{"speed by the wheels", "drives/coupling", coupling("train: crankshaft > magneto\n    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 16}}", "19, 20", "0.947", "0.947"), "coupling", "0.6316°", "", ""},
		{"a ring without holes", "drives/coupling", coupling("speed: 1", "0, 20", "0.9", "0.9"), "coupling", "ring 1", "", ""},
		{"published", "drives/coupling", coupling("speed: 1.5", "19, 20", "0.947", "0.632"), "", "", "", ""},
		// 20 and 24 have 120 for least common multiple: 3°.
		{"rings with a common factor", "drives/coupling", coupling("speed: 1/2", "20, 24", "3", "6"), "", "", "", ""},
		{"speed not known", "drives/coupling", coupling("speed: unknown", "19, 20", "0.947", "9.9"), "", "", "", ""},

		{"three keyways in 21 teeth", "drives/keyways", keyed("{teeth: 21, keyways: 3}"), "keyways: 3", "nothing finer than a tooth", "", ""},
		// Four holes give half a tooth only with teeth that leave 2 when divided by 4.
		{"four in 28", "drives/keyways", keyed("{teeth: 28, keyways: 4}"), "keyways: 4", "28 teeth", "", ""},
		{"two in an even count", "drives/keyways", keyed("{teeth: 28, keyways: 2}"), "keyways: 2", "", "", ""},
		// A tooth of 28 is 12.86°.
		{"an offset key of more than a tooth", "drives/keyways", keyed("{teeth: 28, offset_keys: \"3, 15\"}"), "offset_keys", "12.86°", "", ""},
		// Three keyways for a third of a tooth (cld.bz/bookdata/QLPD1h, p. 15).
		{"three in 20", "drives/keyways", keyed("{teeth: 20, keyways: 3}"), "", "", "", ""},
		{"four in 30", "drives/keyways", keyed("{teeth: 30, keyways: 4}"), "", "", "", ""},
		{"one", "drives/keyways", keyed("{teeth: 21, keyways: 1}"), "", "", "", ""},
		{"offset keys", "drives/keyways", keyed("{teeth: 28, offset_keys: \"3, 6, 9\"}"), "", "", "", ""},

		{"millimetres for thou", "drives/backlash", backlash("10 DP", "2 mm"), "2 mm", "its unit", "", ""},
		{"a decimal point", "drives/backlash", backlash("2 mm module", "1.5 mm"), "1.5 mm", "", "", ""},
		{"far too little", "drives/backlash", backlash("10 DP", "0.001 mm"), "0.001 mm", "", "", ""},
		{"two thou", "drives/backlash", backlash("10 DP", "2 thou"), "", "", "", ""},
		{"worn", "drives/backlash", backlash("1 mm module", "0.29 mm"), "", "", "", ""},
		{"pitch unknown", "drives/backlash", backlash("unknown", "2 mm"), "", "", "", ""},
	})
}
