package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSourcesFire(t *testing.T) {
	const (
		records  = "sources:\n  handbook: {title: Instruction book, issued: 1927, grade: maker}\n  sheet: {title: Setting sheet, type: document, grade: works}\n"
		copying  = records + "  club-note: {title: Club note, type: webpage, grade: later, copies: handbook}\n  forum: {title: Forum, type: webpage, grade: later, copies: club-note}\n"
		memory   = records + "  fitter: {title: A fitter, grade: recall, by: a fitter}\n  club-note: {title: Club note, type: webpage, grade: later, copies: fitter}\n"
		engine   = "format: 1\nengine: penhallow/light-six\ntitle: Penhallow Light Six\n"
		handbook = "--- sources/handbook.yaml\ntitle: Instruction book\ngrade: maker\n"
		cited    = "--- engines/penhallow/light-six.yaml\n" + engine + "size: {from: handbook p. 6, bore: 3 in}\n"
	)
	fire(t, []trial{
		{"one in a section", "sources/figure-without-source", "size:\n  bore: {is: 3 in, from: handbook p. 6}\n  stroke: 4 in\n", "stroke", "`size` names no source for `stroke`;", "", ""},
		{"a whole section, told once", "sources/figure-without-source", "size:\n  bore: 3 in\n  stroke: 4 in\n  rod_centres: 8 in\n", "bore", "`bore`, `stroke` and `rod_centres`", "", ""},
		{"many in a section", "sources/figure-without-source", "size: {bore: 3 in, stroke: 4 in, swept_volume: 113 cu in, rod_centres: 8 in, compression_ratio: 5, rated_speed: 3000, cylinder_offset: 0.1 in}\n", "bore", "and 2 more", "", ""},
		{"in a change", "sources/figure-without-source", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {stroke: 4 in}\n", "stroke", "`stroke`", "series-2", ""},
		{"inherited by the base only", "sources/figure-without-source", "size: {from: handbook p. 6, bore: 3 in}\nvariants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: {is: 4 in, from: sheet}}\n", "", "", "", ""},
		{"a word for absence", "sources/figure-without-source", "size: {bore: unknown, stroke: not given}\n", "", "", "", ""},
		{"every claim has its source", "sources/figure-without-source", "size: {bore: {claims: {handbook: 3 in, sheet: 3 in}}}\n", "", "", "", ""},

		{"nothing is set by it", "sources/locator", "size: {from: handbook, bore: 3 in}\n", "from: handbook", "as in `from: handbook p. 6`", "", "note"},
		{"another vouches for it", "sources/locator", "ignition: {contact_gap: {claims: {handbook: 12 thou, sheet: 12 thou}}}\n", "handbook", "", "", "note"},
		{"nothing else vouches", "sources/locator", "events:\n  a:\n    read_at: not given\n    inlet_opens: {is: 3 BTDC, from: handbook}\n", "handbook", "", "", "warning"},
		{"in a change", "sources/locator", "variants:\n  series-2:\n    made: 1929\n    change:\n      ignition: {contact_gap: 12 thou, from: handbook}\n", "from: handbook", "", "series-2", ""},
		{"a single sheet", "sources/locator", "ignition: {from: sheet, contact_gap: 12 thou}\n", "", "", "", ""},
		{"a drawing without a type", "sources/locator", "ignition: {from: drawing, contact_gap: 12 thou}\nsources: {drawing: {title: Cam, grade: works}}\n", "", "", "", ""},
		{"one page of a book", "sources/locator", "ignition: {from: plate, contact_gap: 12 thou}\nsources: {plate: {title: Plate, type: book, page: 95, grade: press}}\n", "", "", "", ""},
		{"a stamp", "sources/locator", "ignition: {from: rim, contact_gap: 12 thou}\nsources: {rim: {title: Rim, grade: stamp}}\n", "", "", "", ""},
		{"a web page", "sources/locator", "ignition: {from: page, contact_gap: 12 thou}\nsources: {page: {title: Page, type: webpage, grade: later}}\n", "", "", "", ""},

		{"with nothing", "sources/measured-how", "sources: {rim: {title: Rim, grade: measured}}\n", "rim", "by whom (`by`), on which engine (`on`) and with what (`with`)", "", ""},
		{"of the register", "sources/measured-how", "--- sources/rim.yaml\ntitle: Rim\ngrade: measured\nby: the keeper\non: LS2207\n", "measured", "with what (`with`)", "", ""},
		{"a print", "sources/measured-how", records, "", "", "", ""},

		{"cited twice, told once", "sources/unknown", "size: {from: handbok p. 6, bore: 3 in}\nignition: {from: handbok p. 7, contact_gap: 12 thou}\n", "size", "did you mean `handbook`?", "", ""},
		{"a claim's key", "sources/unknown", "size: {bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, shet: 3 in}}}\n", "shet", "`shet`", "", ""},
		{"a claim's key with a suffix", "sources/unknown", "size:\n  bore:\n    claims:\n      \"handbook#2\": {is: 3 in, from: handbook p. 6}\n", "", "", "", ""},
		{"for words only", "sources/unknown", "identify: {from: plate, looks: three nuts}\n", "plate", "", "", ""},
		{"in a change", "sources/unknown", "variants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: {is: 3 in, from: shete}}\n", "shete", "did you mean `sheet`?", "series-2", ""},
		{"an engine number", "sources/unknown", "identify: {numbers: {from: LS1001, to: LS4750}}\n", "", "", "", ""},
		{"of the register", "sources/unknown", handbook + cited, "", "", "", ""},

		{"cited for words", "sources/unused", "identify: {from: handbook p. 1, looks: three nuts}\nsources:\n  handbook: {title: Instruction book, grade: maker}\n", "", "", "", ""},
		{"cited by a variant only", "sources/unused", "variants:\n  series-2:\n    made: 1929\n    change:\n      size: {bore: 3 in, from: handbook p. 6}\nsources:\n  handbook: {title: Instruction book, grade: maker}\n", "", "", "", ""},
		{"cited by a claim set aside", "sources/unused", "size: {bore: {claims: {handbook: {is: 3 in, set_aside: misprint}}}}\nsources:\n  handbook: {title: Instruction book, grade: maker}\n", "", "", "", ""},

		{"without engines", "sources/unused-record", handbook, "", "", "", ""},
		{"copied by another", "sources/unused-record", handbook + "--- sources/reprint.yaml\ntitle: Reprint\ngrade: later\ncopies: handbook\n" + "--- engines/penhallow/light-six.yaml\n" + engine + "size: {from: reprint p. 6, bore: 3 in}\n", "", "", "", ""},
		{"copied by an engine's own", "sources/unused-record", handbook + "--- engines/penhallow/light-six.yaml\n" + engine + "sources: {reprint: {title: Reprint, grade: later, copies: handbook}}\n", "", "", "", ""},
		{"hidden by an engine's own", "sources/unused-record", handbook + cited + "sources: {handbook: {title: Other book, grade: maker}}\n", "title", "no engine cites `handbook`", "", ""},

		{"in the register already", "sources/alike", handbook + "--- engines/penhallow/light-six.yaml\n" + engine + "sources:\n  book: {title: The Instruction-Book, issued: 1927, grade: maker}\n", "book", "looks like `handbook` in sources/handbook.yaml", "", ""},
		{"in two engine files", "sources/alike", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: A\nsources: {sheet: {title: Sheet 4, grade: works}}\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: B\nsources: {sheet-4: {title: Sheet 4, grade: works}}\n", "sheet-4", "in engines/a/six.yaml", "", ""},
		{"another edition", "sources/alike", "sources: {a: {title: Book, edition: first, grade: maker}, b: {title: Book, edition: second, grade: maker}}\n", "", "", "", ""},
		{"another measurement", "sources/alike", "sources: {a: {title: Rim, on: LS1, grade: measured, by: x, with: y}, b: {title: Rim, on: LS2, grade: measured, by: x, with: y}}\n", "", "", "", ""},
		{"another title", "sources/alike", "sources: {a: {title: Instruction book, grade: maker}, b: {title: Instruction book supplement, grade: maker}}\n", "", "", "", ""},

		{"copies itself", "sources/copies", "sources: {a: {title: A, grade: later, copies: a}}\n", "copies: a", "a → a", "", ""},
		{"circle of two, told once", "sources/copies", "sources:\n  b: {title: B, grade: later, copies: a}\n  a: {title: A, grade: later, copies: b}\n", "  a:", "a → b → a", "", ""},
		{"unknown in the register", "sources/copies", "--- sources/a.yaml\ntitle: A\ngrade: later\ncopies: b\n", "copies: b", "there is no record", "", ""},
		{"the register cannot copy a file's own", "sources/copies", "--- sources/a.yaml\ntitle: A\ngrade: later\ncopies: sheet\n--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: A\nsources: {sheet: {title: Sheet, grade: works}}\n", "copies: sheet", "", "", ""},
		{"a file's own copies the register", "sources/copies", handbook + "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: A\nsources: {reprint: {title: Reprint, grade: later, copies: handbook}}\n", "", "", "", ""},
		{"a chain", "sources/copies", copying, "", "", "", ""},

		{"copied from memory", "sources/recall-only", "ignition: {from: club-note, advance: 38 BTDC, contact_gap: 12 thou}\n" + memory, "advance", "`advance` and `contact_gap`", "", ""},
		{"in a change", "sources/recall-only", "variants:\n  series-2:\n    made: 1929\n    change:\n      ignition: {from: fitter, advance: 38 BTDC}\n" + memory, "advance", "", "series-2", ""},
		{"nothing is set by it", "sources/recall-only", "size: {from: fitter, bore: 3 in}\n" + memory, "", "", "", ""},
		{"the print set aside", "sources/recall-only", "ignition: {advance: {claims: {fitter: 38 BTDC, sheet: {is: 83 BTDC, set_aside: misprint}}}}\n" + memory, "advance", "", "", ""},
		{"a record that is missing", "sources/recall-only", "ignition: {from: nobody, advance: 38 BTDC}\n" + memory, "", "", "", ""},

		{"relations tell", "sources/disputed", "layout: {from: handbook p. 6, cylinders: 4}\nsize:\n  from: handbook p. 6\n  bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, sheet: 3 1/8 in}}\n  stroke: 4 in\n  swept_volume: 113.1 cu in\n", "bore", "3 in [handbook p. 6] and 3 1/8 in [sheet] cannot all be right, and none is set aside; the other figures agree with 3 in [handbook p. 6]", "", ""},
		{"relations tell of three", "sources/disputed", "events:\n  a:\n    from: sheet\n    read_at: not given\n    inlet_opens: 3 BTDC\n    inlet_closes: {claims: {sheet: 48 ABDC, handbook: {is: 84 ABDC, from: handbook p. 6}, \"sheet#2\": 46 ABDC}}\n    inlet_duration: 231\n", "inlet_closes", "the other figures agree with 48 ABDC [sheet]", "", "warning"},
		{"relations refuse all", "sources/disputed", "layout: {from: handbook p. 6, cylinders: 4}\nsize:\n  from: handbook p. 6\n  bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, sheet: 3 1/4 in}}\n  stroke: 4 in\n  swept_volume: 120 cu in\n", "bore", "agree with none of them", "", ""},
		{"nothing tells", "sources/disputed", "size:\n  bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, sheet: 3 1/8 in}}\n", "bore", "the other figures cannot tell which is right", "", ""},
		{"words", "sources/disputed", "layout:\n  firing_order: {claims: {handbook: {is: 1-2-4-3, from: handbook p. 6}, sheet: 1-3-4-2}}\n", "firing_order", "1-2-4-3 [handbook p. 6] and 1-3-4-2 [sheet]", "", ""},
		{"inherited, so told once", "sources/disputed", "size:\n  bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, sheet: 3 1/8 in}}\nvariants:\n  series-2:\n    made: 1929\n    change: {size: {stroke: {is: 4 in, from: sheet}}}\n", "bore", "", "", ""},
		{"one in inches, one in millimetres", "sources/disputed", "size:\n  bore: {claims: {handbook: {is: 3.00 in, from: handbook p. 6}, sheet: 76.2 mm}}\n", "", "", "", ""},
		{"one counted from the other dead centre", "sources/disputed", "ignition:\n  advance: {claims: {handbook: {is: 38 BTDC, from: handbook p. 6}, sheet: 142 ABDC}}\n", "", "", "", ""},
		{"one set aside", "sources/disputed", "size:\n  bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, sheet: {is: 4 in, set_aside: misprint}}}\n", "", "", "", ""},

		{"null", "sources/set-aside-reason", "size:\n  bore:\n    claims:\n      handbook: {is: 3 in, from: handbook p. 6}\n      sheet:\n        is: 4 in\n        set_aside:\n", "set_aside", "4 in [sheet] is set aside", "", ""},
		{"in a change", "sources/set-aside-reason", "variants:\n  series-2:\n    made: 1929\n    change:\n      size:\n        bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, sheet: {is: 4 in, set_aside: \" \"}}}\n", "set_aside", "", "series-2", ""},

		{"and one that says nothing", "sources/all-set-aside", "size: {bore: {claims: {handbook: {is: not given, from: handbook p. 6}, sheet: {is: 4 in, set_aside: misprint}}}}\n", "bore", "`size.bore`", "", ""},
		{"only absences", "sources/all-set-aside", "size: {bore: {claims: {handbook: {is: not given, from: handbook p. 6}, sheet: unknown}}}\n", "", "", "", ""},

		{"both copy a third", "sources/copied-agreement", "size: {bore: {claims: {forum: 3 in, club-note: 3 in}}}\n" + copying, "bore", "both come from `handbook`", "", ""},
		{"an independent one between", "sources/copied-agreement", "size:\n  bore:\n    claims:\n      handbook: {is: 3 in, from: handbook p. 6}\n      sheet: 3 in\n      forum: 3 in\n" + copying, "forum", "3 in [handbook p. 6] and 3 in [forum]", "", ""},
		{"one source said twice", "sources/copied-agreement", "size: {bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, \"handbook#2\": {is: 3 in, from: handbook p. 9}}}}\n" + copying, "", "", "", ""},
		{"a copy that differs", "sources/copied-agreement", "size: {bore: {claims: {handbook: {is: 3 in, from: handbook p. 6}, club-note: 4 in}}}\n" + copying, "", "", "", ""},
	})
}

// A dispute shows every claim with its place.
func TestDisputeShowsItsClaims(t *testing.T) {
	res := lintExample(t, ruleNamed(t, "sources/disputed").Bad)
	for _, f := range res.Findings {
		if f.Rule != "sources/disputed" {
			continue
		}
		require.Len(t, f.Related, 2)
		assert.Equal(t, "3 in [handbook p. 6]", f.Related[0].Message)
		assert.Equal(t, "3 1/8 in [sheet]", f.Related[1].Message)
		assert.Equal(t, []string{"/size/bore"}, f.Figures)
		return
	}
	require.Fail(t, "the dispute is not raised")
}
