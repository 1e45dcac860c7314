package rules

import "testing"

// sparked is a file with ignition figures, a figure a line.
func sparked(figures string) string {
	return "ignition:\n  from: handbook p. 21\n  " + figures + "\n"
}

func TestIgnitionFires(t *testing.T) {
	const (
		size = "size: {stroke: 88.0 mm, rod_centres: 170.0 mm, from: handbook p. 6}\n"
		rim  = "marks: {flywheel: {rim_diameter: 320.0 mm, ring_teeth: 115, from: sheet p. 2}}\n"
	)
	fire(t, []trial{
		// 88 mm and 170 mm: 7/16 in (11.11 mm) before top is 37.3°, 15/32 in 38.7° (by x = r + L − r cos θ − √(L² − r² sin² θ)).
		{"half the travel", "ignition/notations", size + sparked("advance: 38 BTDC (7/32 in piston)"), "advance", "", "", ""},
		{"retard", "ignition/notations", size + sparked("fully_retarded: 5.0 BTDC (2.0 mm piston)"), "fully_retarded", "", "", ""},
		{"fixed, along the rim", "ignition/notations", rim + sparked("fixed: 25.0 BTDC (96.8 mm rim)"), "fixed", "", "", ""},
		{"in teeth", "ignition/notations", rim + sparked("advance: 25 BTDC (18 teeth)"), anywhere, "", "", ""},
		// A published advance of 7/16 in (wdbsa.nl) is 37.3° here.
		{"travel", "ignition/notations", size + sparked("advance: 37 BTDC (7/16 in piston)"), "", "", "", ""},
		// π × 320 mm × 38.6 / 360 = 107.8 mm: the ignition mark of a 320 mm plate (hells-confetti.com).
		{"along the rim", "ignition/notations", rim + sparked("advance: 38.6 BTDC (107.8 mm rim)"), "", "", "", ""},
		{"travel alone", "ignition/notations", size + sparked("advance: 7/16 in BTDC piston"), "", "", "", ""},
		{"a claim set aside", "ignition/notations", size + sparked("advance: {claims: {handbook: {is: 37 BTDC (7/16 in piston), from: handbook p. 1}, sheet: {is: 7/32 in BTDC piston, from: sheet p. 1, set_aside: half}}}"), "", "", "", ""},

		{"interchanged", "ignition/retard", sparked("advance: 5 BTDC\n  fully_retarded: 35 BTDC"), anywhere, "", "", ""},
		{"range of another magneto", "ignition/retard", sparked("advance: 35 BTDC\n  fully_retarded: 5 BTDC\n  range: 25"), anywhere, "29 to 31", "", ""},
		{"range counted to the wrong side", "ignition/retard", sparked("advance: 35 BTDC\n  fully_retarded: 5 ATDC\n  range: 30"), anywhere, "35 − −5", "", ""},
		{"retard after an advance before top", "ignition/retard", sparked("advance: 5 ATDC\n  fully_retarded: 5 BTDC"), anywhere, "", "", ""},
		// 11.1 mm before top is 37.3°, 2.0 mm 15.5°.
		{"range of positions in travel", "ignition/notations", size + sparked("advance: 11.1 mm BTDC piston\n  fully_retarded: 2.0 mm BTDC piston\n  range: 30.0"), anywhere, "", "", ""},
		{"after top", "ignition/retard", sparked("advance: 35 BTDC\n  fully_retarded: 5 ATDC\n  range: 40"), "", "", "", ""},
		{"alike", "ignition/retard", sparked("advance: 20 BTDC\n  fully_retarded: 20 BTDC"), "", "", "", ""},
		{"in travel, agreed", "ignition/retard", size + sparked("advance: 11.1 mm BTDC piston\n  fully_retarded: 2.0 mm BTDC piston\n  range: 21.8"), "", "", "", ""},
		{"retard does not exist", "ignition/retard", sparked("advance: 35 BTDC\n  fully_retarded: none\n  range: 30"), "", "", "", ""},

		{"misspelt", "ignition/drive", magnetoBy + "speed: 1\n" + sparked("drive: magneeto"), "magneeto", "there is `magneto`", "", ""},
		{"another thing's", "ignition/drive", camshaftBy("speed: 1/2") + sparked("drive: distributor"), "distributor", "", "", ""},
		{"taken away by a variant", "ignition/drive", "drives:\n  camshaft: {speed: 1/2, from: sheet p. 1}\n  magneto: {speed: 1, from: sheet p. 1}\n" + sparked("drive: magneto") + "variants:\n  series-2:\n    made: 1929\n    change: {drives: {magneto: removed}}\n", "drive: magneto", "", "series-2", ""},
		{"described", "ignition/drive", magnetoBy + "speed: 1\n" + sparked("drive: magneto"), "", "", "", ""},
		{"no drives described", "ignition/drive", sparked("drive: magneto"), "", "", "", ""},
		{"unknown", "ignition/drive", magnetoBy + "speed: 1\n" + sparked("drive: unknown"), "", "", "", ""},

		{"millimetres for thou", "ignition/gap", sparked("kind: magneto\n  contact_gap: 12 mm"), "12 mm", "contact breaker", "", ""},
		{"decimal point", "ignition/gap", sparked("kind: coil\n  plug_gap: 0.0025 in"), "0.0025 in", "sparking plug", "", ""},
		{"thou for hundredths", "ignition/gap", sparked("kind: coil\n  plug_gap: 60 thou"), "60 thou", "", "", ""},
		{"usual", "ignition/gap", sparked("kind: magneto\n  contact_gap: 12 thou\n  plug_gap: 0.025 in"), "", "", "", ""},
		{"widest and narrowest", "ignition/gap", sparked("kind: magneto\n  contact_gap: 0.2 mm\n  plug_gap: 40 thou"), "", "", "", ""},
		{"low tension", "ignition/gap", sparked("kind: low tension\n  contact_gap: 1/16 in"), "", "", "", ""},
		{"not given", "ignition/gap", sparked("kind: coil\n  plug_gap: not given"), "", "", "", ""},
	})
}
