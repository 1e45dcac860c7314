package rules

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Counts and figures far beyond any engine are answered at once.
func TestHugeFigures(t *testing.T) {
	long := strings.TrimSuffix(strings.Repeat("0, ", 5000), ", ")
	numbers := make([]string, 5000)
	for i := range numbers {
		numbers[i] = fmt.Sprint(i + 1)
	}
	for name, text := range map[string]string{
		"a million cylinders": "layout: {cylinders: 1000000, arrangement: in-line, firing_order: 1-3-4-2, firing_intervals: 180, valve_order: E I, numbered_from: front, from: handbook p. 6}\n" +
			"size: {bore: 3 in, stroke: 4 in, swept_volume: 2998 cc, taxable_horsepower: 20, compression_ratio: 5, chamber_volume: 100 cc, from: handbook p. 6}\n" +
			"setting: {from: handbook p. 6, cautions: [Slowly.], adjustments: {a: {valves: \"1000000\", fully_open: 1000000}, b: {valves: inlet 1000000, on_the_rock: 1000000}}}\n",
		"five thousand cylinders in line": "layout: {cylinders: 5000, arrangement: in-line, firing_order: " + strings.Join(numbers, "-") + ", numbered_from: front, from: handbook p. 6}\n",
		"five thousand throws": "layout: {cylinders: 5000, arrangement: radial, firing_order: " + strings.Join(numbers, "-") + ", throws: \"" + long + "\", banks: \"" + long +
			"\", firing_intervals: \"" + long + "\", numbered_from: front, from: handbook p. 6}\n",
		"teeth without number": "drives:\n  camshaft:\n    from: sheet p. 1\n    train: a > b + c > d\n    wheels: {a: {teeth: 0, keyways: 1000000}, b: {teeth: 999999999}, c: {teeth: 1, keyways: 0}, d: {teeth: 1000000, pitch_diameter: 1 mm, pitch_angle: 720}}\n" +
			"    teeth: {form: bevel, shaft_angle: 720, helix: 720, normal_pitch: 0 DP, centre_distance: 0 mm, backlash: 0 mm}\n    marks_meet_after: 999999999\n    tooth_step: 720\n" +
			"    coupling: {rings: [0, 999999999], step: 0, crank_step: 0}\n    sliding_home: {wheel: a, slides: away from, travel: 0 mm, turns: d, by: 999999999 teeth, direction: clockwise seen from front}\n",
		"a train of a thousand shafts": "drives:\n  camshaft:\n    from: sheet p. 1\n    train: " + strings.Repeat("a > ", 1000) + "a\n    wheels: {a: {teeth: 20, hand: right, rotation: clockwise seen from front}}\n    marks_meet_after: 2\n",
		"wheels between signs":         "drives:\n  camshaft:\n    from: sheet p. 1\n    train: \"> + > a > > b +\"\n    wheels: {a: {teeth: 20}, b: {teeth: 40}}\n",
		"angles beyond a turn":         "size: {stroke: 4 in, rod_centres: 1 in, cylinder_offset: 3 in, from: handbook p. 6}\nevents:\n  a: {read_at: 1 mm lift at valve, inlet_opens: 999999 BTDC, inlet_closes: 999999 ABDC (999 in piston), exhaust_opens: 999999 BBDC, exhaust_closes: 999 in ATDC rim, inlet_duration: 999999, from: sheet p. 1}\nmarks: {flywheel: {rim_diameter: 0 mm, ring_teeth: 0, order: \"IO, IO, TDC\", stamps: {IO: {means: inlet_opens, cylinder: 0, rim: 99999 in before TDC, teeth: 999 teeth BTDC}, TDC: {means: top_dead_centre, cylinder: 99}}, from: sheet p. 1}}\n",
		"limits with an open end":      "events:\n  a: {read_at: 1 mm lift at valve, inlet_opens: 24 BTDC minimum, inlet_closes: 48 ABDC maximum, exhaust_opens: 40 BBDC minimum, exhaust_closes: 10 ATDC minimum, from: sheet p. 1}\nclearances: {running: {inlet: 4 thou minimum, exhaust: 6 thou maximum, from: sheet p. 1}, checking: {inlet: 3 thou maximum, exhaust: 20 thou minimum, felt: 4 thou minimum, from: sheet p. 1}}\nchecks: {compression: 435 psi minimum, vacuum: 20 inHg minimum, altitude: 90000 ft, from: sheet p. 1}\nsize: {stroke: 4 in, compression_ratio: 5, from: sheet p. 1}\n",
		"a cam of nothing":             "cams: {inlet: {from: sheet p. 1, lift_at: tappet, profile: three-arc, follower: roller, follower_radius: 0 mm, base_radius: 0 mm, flank_radius: 0 mm, nose_radius: 0 mm, lift: 0 mm, ramp_height: 0 mm, ramp_length: 0}, exhaust: {from: sheet p. 1, table: {\"0\": 0 mm, \"x\": 1 mm}}}\nevents: {a: {read_at: 1 mm lift at valve, inlet_opens: 3 BTDC, inlet_closes: 40 ABDC, from: sheet p. 1}}\nlifts: {inlet: 0 mm, from: sheet p. 1}\n",
		"a variant without its wheels": "drives:\n  camshaft: {train: crankshaft > idler > camshaft, wheels: {crankshaft: {teeth: 28}, idler: {teeth: 45}, camshaft: {teeth: 56}}, tooth_step: 12.86, marks_meet_after: 90, from: sheet p. 1}\nvariants:\n  series-2: {made: 1929, change: {drives: {camshaft: {wheels: {idler: removed}}}}}\n  series-3: {made: 1930, change: {drives: {camshaft: {wheels: removed}}}}\n  series-4: {made: 1931, change: {drives: removed}}\n",
		"heights and depths":           "checks: {compression: 0 psi, vacuum: 0 inHg, altitude: 999999 ft, engine: hot, throttle: shut, from: sheet p. 1}\nsize: {bore: 0 mm, stroke: 0 mm, rod_centres: 0 mm, swept_volume: 0 cc, compression_ratio: 0, chamber_volume: 0 cc, rated_speed: 0 rpm, piston_speed: 0 m/s, taxable_horsepower: 0, from: sheet p. 1}\nlayout: {cylinders: 0, firing_order: 0-0, from: sheet p. 1}\n",
	} {
		t.Run(name, func(t *testing.T) { answers(t, "format: 1\nengine: example/example\ntitle: Example\n"+text) })
	}
}

// Sound engines cut off, with lines and keys interchanged, sections lost and
// taken away by a variant, are answered.
func TestSpoiltEngines(t *testing.T) {
	key := regexp.MustCompile(`[a-z_]+:`)
	number := regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)
	rapid.Check(t, func(rt *rapid.T) {
		text := soundEngine(rapid.IntRange(0, 100000).Draw(rt, "engine"))
		lines := strings.Split(text, "\n")
		for range rapid.IntRange(1, 5).Draw(rt, "changes") {
			i, j := rapid.IntRange(0, len(lines)-1).Draw(rt, "line"), rapid.IntRange(0, len(lines)-1).Draw(rt, "other line")
			switch rapid.IntRange(0, 5).Draw(rt, "change") {
			case 0:
				lines[i] = lines[i][:rapid.IntRange(0, len(lines[i])).Draw(rt, "cut")]
			case 1:
				a, b := key.FindString(lines[i]), key.FindString(lines[j])
				lines[i], lines[j] = strings.Replace(lines[i], a, b, 1), strings.Replace(lines[j], b, a, 1)
			case 2:
				lines[i], lines[j] = lines[j], lines[i]
			case 3:
				lines = slices.Delete(lines, min(i, j), min(i, j)+min(max(i, j)-min(i, j), 8, len(lines)/3))
			case 4:
				lines[i] = number.ReplaceAllLiteralString(lines[i], rapid.SampledFrom([]string{"0", "1000000", "0.00001", "7/0", "-3", "181"}).Draw(rt, "number"))
			case 5:
				section := key.FindString(lines[i])
				lines = append(lines, "variants:\n  spoilt:\n    made: 1930\n    change: {"+section+" removed, drives: {camshaft: {wheels: {"+section+" removed, idler: removed}}}}")
			}
		}
		answers(rt, strings.Join(lines, "\n"))
	})
}
