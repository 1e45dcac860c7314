package rules

import "testing"

func TestVariantsFire(t *testing.T) {
	const (
		model = "made: 1926-1931\nidentify: {numbers: {from: LS1001, to: LS4750}}\n"
		size  = "layout: {from: handbook p. 6, cylinders: 4}\nsize: {from: handbook p. 6, bore: 3 in, stroke: 4 in, swept_volume: 113.1 cu in}\n"
	)
	fire(t, []trial{
		{"no figures", "variants/numbers-unread", "identify: {numbers: {from: early, to: LS4750}}\n", "early", "\"early\" does not end in figures", "", ""},
		{"other letters", "variants/numbers-unread", "identify: {numbers: {from: LS1001, to: LT4750}}\n", "LS1001", "do not share their letters", "", ""},
		{"a variant's", "variants/numbers-unread", model + "variants:\n  series-2:\n    numbers: {from: LS4000, to: LS3000}\n", "LS4000", "comes after the last", "series-2", ""},
		{"a variant's, under its change", "variants/numbers-unread", model + "variants:\n  series-2:\n    change: {identify: {numbers: {from: LS4000, to: LS3000}}}\n", "LS4000", "", "series-2", ""},
		{"the model's, inherited, told once", "variants/numbers-unread", "identify: {numbers: {from: LS4750, to: LS1001}}\nvariants:\n  series-2: {made: 1929}\n", "LS4750", "", "", ""},
		{"open and spaced", "variants/numbers-unread", "identify: {numbers: {from: LS 1001, to: unknown}}\n", "", "", "", ""},

		{"by one", "variants/numbers-overlap", model + "variants:\n  series-2: {numbers: {from: LS2001, to: LS3001}}\n  series-3: {numbers: {from: LS3001, to: LS4750}}\n", "series-3", "LS3001 to LS4750 overlap those of series-2, LS2001 to LS3001", "series-3", ""},
		{"open end", "variants/numbers-overlap", "variants:\n  series-2: {numbers: {from: LS2001}}\n  series-3: {numbers: {from: LS3001, to: LS4750}}\n", "series-3", "from LS2001 on", "series-3", ""},
		{"written apart", "variants/numbers-overlap", "variants:\n  series-2: {numbers: {from: LS-2001, to: LS 3001}}\n  series-3:\n    change:\n      identify: {numbers: {from: ls3000, to: LS4750}}\n", "ls3000", "", "series-3", ""},
		{"other letters", "variants/numbers-overlap", "variants:\n  series-2: {numbers: {from: LS2001, to: LS3001}}\n  series-3: {numbers: {from: LT2001, to: LT3001}}\n", "", "", "", ""},
		{"numbers inherited from the model", "variants/numbers-overlap", model + "variants:\n  series-2: {made: 1929}\n  series-3: {made: 1930}\n", "", "", "", ""},

		{"one number, written out of order", "variants/numbers-gap", model + "variants:\n  series-3: {numbers: {from: LS3002, to: LS4750}}\n  series-2: {numbers: {from: LS2001, to: LS3000}}\n", "series-3", "one number lies between series-2 and series-3: the base's figures are taken for it", "series-3", ""},
		{"behind the last", "variants/numbers-gap", model + "variants:\n  series-2: {numbers: {from: LS2001, to: LS4740}}\n", "LS4740", "10 numbers lie behind the last of series-2", "series-2", ""},
		{"before the first is the base's", "variants/numbers-gap", model + "variants:\n  series-2: {numbers: {from: LS3001, to: LS4750}}\n", "", "", "", ""},
		{"one range within another", "variants/numbers-gap", "variants:\n  a: {numbers: {from: LS1, to: LS99}}\n  b: {numbers: {from: LS10, to: LS20}}\n  c: {numbers: {from: LS100, to: LS200}}\n", "", "", "", ""},
		{"open ends", "variants/numbers-gap", model + "variants:\n  a: {numbers: {to: LS1999}}\n  b: {numbers: {from: LS2000}}\n", "", "", "", ""},

		{"begins before", "variants/numbers-beyond", model + "variants:\n  series-2: {numbers: {from: LS999, to: LS4750}}\n", "LS999", "LS999 to LS4750 do not lie within the model's, LS1001 to LS4750", "series-2", ""},
		{"begins behind, without an end", "variants/numbers-beyond", model + "variants:\n  series-2: {numbers: {from: LS4751}}\n", "LS4751", "from LS4751 on", "series-2", ""},
		{"without an end", "variants/numbers-beyond", model + "variants:\n  series-2: {numbers: {from: LS3001}}\n", "", "", "", ""},
		{"model without an end", "variants/numbers-beyond", "identify: {numbers: {from: LS1001}}\nvariants:\n  series-2: {numbers: {from: LS3001, to: LS9999}}\n", "", "", "", ""},

		{"words", "variants/years-unread", "made: before the war\n", "before the war", "`before the war` cannot be read as years", "", ""},
		{"a variant's", "variants/years-unread", model + "variants:\n  series-2: {made: 1931-1929}\n", "1931-1929", "", "series-2", ""},
		{"short, open and absent", "variants/years-unread", "made: 1926-31\nvariants:\n  a: {made: 1929-}\n  b: {made: unknown}\n  c: {made: 1929–1930}\n", "", "", "", ""},

		{"before", "variants/years-beyond", model + "variants:\n  series-2: {made: 1925-1927}\n", "1925", "1925-1927 lies outside the model's years, 1926-1931", "series-2", ""},
		{"made still, after the model ended", "variants/years-beyond", model + "variants:\n  series-2: {made: 1932-}\n", "1932", "", "series-2", ""},
		{"to an open end", "variants/years-beyond", model + "variants:\n  series-2: {made: 1929-}\n", "", "", "", ""},

		{"a word", "variants/changes-nothing", "layout: {from: handbook p. 6, cycle: four-stroke, cylinders: 4}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      layout: {cycle: four-stroke, cylinders: {is: 6, from: handbook p. 7}}\n", "cycle", "`layout.cycle` is four-stroke in the base already", "series-2", ""},
		{"a claim for a claim", "variants/changes-nothing", "size:\n  bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}}}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size:\n        bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}}}\n", "bore", "`size.bore` is 3 in from the same source", "series-2", ""},
		{"deep down", "variants/changes-nothing", "marks:\n  flywheel:\n    from: handbook p. 6\n    stamps: {IO: {means: inlet_opens, rim: 1 in before TDC}}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      marks: {flywheel: {stamps: {IO: {rim: {is: 1 in before TDC, from: handbook p. 6}}}}}\n", "rim", "marks.flywheel.stamps.IO.rim", "series-2", ""},
		{"only a source", "variants/changes-nothing", size + "variants:\n  series-2:\n    made: 1929\n    change:\n      size: {from: sheet}\n", "from: sheet", "`size` names a source and changes no figure", "series-2", ""},
		{"the first number", "variants/changes-nothing", model + "variants:\n  series-2:\n    change:\n      identify: {numbers: {from: LS1001, to: LS2000}}\n", "LS1001", "identify.numbers.from", "series-2", ""},
		{"another source", "variants/changes-nothing", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3 in, from: sheet}\n", "", "", "", ""},
		{"another writing of the print", "variants/changes-nothing", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3.0 in, from: handbook p. 6}\n", "", "", "", ""},
		{"something new", "variants/changes-nothing", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {stroke: 4 in, from: handbook p. 6}\n", "", "", "", ""},
		{"taken away", "variants/changes-nothing", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: removed}\n", "", "", "", ""},

		{"a whole section", "variants/removes-nothing", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      ignition: removed\n", "ignition", "`ignition` is not in the base", "series-2", ""},
		{"an entry of a group", "variants/removes-nothing", "marks: {flywheel: {from: handbook p. 6, rim_diameter: 16 in}}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      marks: {pulley: removed}\n", "pulley", "`marks.pulley`", "series-2", ""},
		{"an entry that is there", "variants/removes-nothing", "marks: {flywheel: {from: handbook p. 6, rim_diameter: 16 in}}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      marks: {flywheel: removed}\n", "", "", "", ""},

		{"swept volume", "variants/forgotten", size + "variants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3 1/4 in, from: sheet}\n", "bore: 3 1/4 in", "bore changes and swept volume stays 113.1 cu in as in the base", "series-2", ""},
		{"changed with it", "variants/forgotten", size + "variants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3 1/4 in, swept_volume: 132.7 cu in, from: sheet}\n", "", "", "", ""},
		{"taken away with it", "variants/forgotten", size + "variants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3 1/4 in, swept_volume: removed, from: sheet}\n", "", "", "", ""},
		{"broken in the base too", "variants/forgotten", "layout: {from: handbook p. 6, cylinders: 4}\nsize: {from: handbook p. 6, bore: 3 in, stroke: 4 in, swept_volume: 131.1 cu in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3 1/4 in, from: sheet}\n", "", "", "", ""},
		{"all of it changed and wrong", "variants/forgotten", "events:\n  a: {from: sheet, read_at: not given, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, inlet_duration: 231}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      events: {a: {from: handbook p. 7, inlet_opens: 4 BTDC, inlet_closes: 52 ABDC, inlet_duration: 263}}\n", "", "", "", ""},

		{"with a change only", "variants/not-told-apart", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    change: {size: {stroke: {is: 4 in, from: sheet}}}\n", "series-2", "give its `numbers`", "series-2", ""},
		{"by what it looks like", "variants/not-told-apart", "variants:\n  series-2:\n    change: {identify: {looks: three nuts}}\n", "", "", "", ""},
		{"by a note", "variants/not-told-apart", "variants:\n  series-2:\n    note: told by its cast cover\n    change: {size: {stroke: {is: 4 in, from: sheet}}}\n", "", "", "", ""},
		{"by its numbers", "variants/not-told-apart", model + "variants:\n  series-2: {numbers: {from: LS3001}}\n", "", "", "", ""},
	})
}
