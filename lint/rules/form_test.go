package rules

import (
	"context"
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

func TestFormFires(t *testing.T) {
	const engine = "format: 1\nengine: penhallow/light-six\ntitle: Penhallow Light Six\n"
	fire(t, []trial{
		{"alias", "form/unreadable", "size: {from: handbook p. 6, bore: *other}\n", "bore: *other", "aliases are not used", "", ""},
		{"tag", "form/unreadable", "size: {from: handbook p. 6, bore: !!str 3 in}\n", "bore: !!str", "", "", ""},
		{"key twice", "form/unreadable", "made: 1926\nmade: 1927\n", "made: 1927", "made", "", ""},
		{"tab as indentation", "form/unreadable", "size:\n\tbore: 3 in\n", "\tbore", "", "", ""},
		{"comma splits a figure", "form/unreadable", "lifts: {from: sheet p. 1, inlet: 7,95 mm}\n", "7,95", "", "", ""},
		{"second document", "form/unreadable", "made: 1926\n---\nsize: {bore: 3 in}\n", "---", "one document", "", ""},
		{"broken source", "form/unreadable", "--- sources/handbook.yaml\ntitle: &a Handbook\ngrade: maker\n", "&a", "anchors", "", ""},
		{"broken record of moves", "form/unreadable", "--- moved.yaml\npenhallow/six: *there\n", "*there", "aliases", "", ""},
		{"signs in quotes and remarks", "form/unreadable", "identify: {looks: \"&c. *and* so on\"} # & * !\n", "", "", "", ""},
		{"JSON", "form/unreadable", "--- engines/penhallow/light-six.json\n{\"format\": 1, \"engine\": \"penhallow/light-six\", \"title\": \"Penhallow Light Six\"}\n", "", "", "", ""},

		{"at the top", "form/unknown-key", "sise: {bore: 3 in}\n", "sise", "did you mean `size`?", "", ""},
		{"in braces", "form/unknown-key", "size: {from: handbook p. 6, stork: 4 in}\n", "stork", "did you mean `stroke`?", "", ""},
		{"in another section", "form/unknown-key", "layout: {from: handbook p. 6, swept_volume: 90 cc}\n", "swept_volume", "belongs in `size`", "", ""},
		{"in a claim", "form/unknown-key", "size: {bore: {claims: {handbook: {iz: 3 in, is: 3 in, from: handbook p. 6}}}}\n", "iz", "did you mean `is`?", "", ""},
		{"in a change", "form/unknown-key", "variants:\n  series-2:\n    made: 1929\n    change: {size: {boar: 3 in}}\n", "boar", "did you mean `bore`?", "series-2", ""},
		{"in a source", "form/unknown-key", "--- sources/handbook.yaml\ntitle: Handbook\ngrade: maker\nautor: Penhallow Motors\n", "autor", "did you mean `author`?", "", ""},
		{"in a record of moves", "form/unknown-key", "--- moved.yaml\npenhallow/six:\n  too: penhallow/light-six\n  to: penhallow/light-six\n  because: its name\n", "too", "", "", ""},

		{"one of two claims", "form/unread-figure", "ignition:\n  advance:\n    claims:\n      handbook: {is: 38 BTDC, from: handbook p. 22}\n      sheet: {is: 38 ABCD}\n", "38 ABCD", "38 ABCD", "", ""},
		{"in a change", "form/unread-figure", "variants:\n  series-2:\n    made: 1929\n    change: {ignition: {from: sheet p. 1, advance: 38 ish}}\n", "38 ish", "38 ish", "series-2", ""},
		{"in a table", "form/unread-figure", "cams: {inlet: {from: sheet p. 1, lift_at: valve, table: {\"0\": 8 mm, \"10\": much}}}\n", "much", "much", "", ""},
		{"position without its dead centre", "form/unread-figure", "ignition: {from: sheet p. 1, advance: 38}\n", "advance: 38", "dead centre", "", ""},
		{"word for absence", "form/unread-figure", "ignition: {from: sheet p. 1, advance: not given}\n", "", "", "", ""},

		{"cam lift in degrees", "form/wrong-unit", "lifts: {from: sheet p. 1, inlet: 8°}\n", "8°", "", "", ""},
		{"in a change", "form/wrong-unit", "variants:\n  series-2:\n    made: 1929\n    change: {size: {from: sheet p. 1, bore: 80 cc}}\n", "80 cc", "", "series-2", ""},
		{"unit misspelt is not another quantity", "form/wrong-unit", "size: {from: handbook p. 6, bore: 80 furlinches}\n", "", "", "", ""},

		{"empty in braces", "form/no-value", "size: {from: handbook p. 6, bore: , stroke: 4 in}\n", "bore", "`size.bore` is empty", "", ""},
		{"empty section", "form/no-value", "size:\n", "size:", "`size` is empty", "", ""},
		{"claim that says nothing", "form/no-value", "size: {bore: {claims: {handbook: {note: seen}}}}\n", "note: seen", "is:", "", ""},
		{"empty word", "form/no-value", "layout:\n  from: handbook p. 6\n  cycle:\n  cylinders: 6\n", "cycle:", "", "", ""},
		{"empty title of a source", "form/no-value", "--- sources/handbook.yaml\ntitle:\ngrade: maker\n", "title:", "", "", ""},

		{"no title", "form/violation", "--- engines/penhallow/light-six.yaml\nformat: 1\nengine: penhallow/light-six\n", "format: 1", "`title` is missing", "", ""},
		{"a later format", "form/violation", "format: 2\nengine: example/example\ntitle: Example\n", "format: 2", "must be 1", "", ""},
		{"a list for a section", "form/violation", "size:\n  - 3 in\n", "3 in", "`size`", "", ""},
		{"one print and claims", "form/violation", "size: {bore: {is: 3 in, claims: {handbook: 3 in}}}\n", "is: 3 in", "both `is` and `claims`", "", ""},
		{"claim under another's name", "form/violation", "size: {bore: {claims: {handbook: {is: 3 in, from: sheet p. 1}}}}\n", "from: sheet", "use one and the same", "", ""},
		{"choice in a change", "form/violation", "variants:\n  series-2:\n    made: 1929\n    change: {layout: {cycle: four}}\n", "cycle: four", "four-stroke or two-stroke", "series-2", ""},
		{"grade of a source", "form/violation", "--- sources/handbook.yaml\ntitle: Handbook\ngrade: printed\n", "printed", "works", "", ""},
		{"text instead of keys", "form/violation", "--- engines/penhallow/light-six.yaml\njust a remark\n", "remark", "holds no keys", "", ""},

		{"source that nobody can cite", "form/id-path", "--- sources/Instruction Book.yaml\ntitle: Instruction book\ngrade: maker\n", "title", "no figure can cite", "", ""},
		{"source in a folder", "form/id-path", "--- sources/books/handbook.yaml\ntitle: Instruction book\ngrade: maker\n", "title", "no figure can cite", "", ""},
		{"file outside a dataset", "form/id-path", "--- light-six.yaml\n" + engine, "", "", "", ""},
		{"source well named", "form/id-path", "--- sources/handbook-1927.yaml\ntitle: Instruction book\ngrade: maker\n", "", "", "", ""},

		{"source in two forms", "form/duplicate-id", "--- sources/handbook.yaml\ntitle: Instruction book\ngrade: maker\n--- sources/handbook.json\n{\"title\": \"Instruction book\", \"grade\": \"maker\"}\n",
			`{"title"`, "also in sources/handbook.yaml", "", ""},
		{"ids that could not be read", "form/duplicate-id", "--- engines/penhallow/a.yaml\ntitle: A\n--- engines/penhallow/b.yaml\ntitle: B\n", "", "", "", ""},

		{"other order and writing", "form/same-engine", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: The Light-Six\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: \"light six, the\"\n", "engine: b/six", "looks like `a/six`", "", ""},
		{"overlapping years", "form/same-engine", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: Light Six\nmade: 1926-1931\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: Light Six\nmade: 1931-1934\n", "engine: b/six", "", "", ""},
		{"numbers tell apart", "form/same-engine", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: Light Six\nidentify: {numbers: {from: LS1, to: LS99}}\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: Light Six\nidentify: {numbers: {from: LS100, to: LS199}}\n", "", "", "", ""},
		{"one letter apart", "form/same-engine", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: Model A\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: Model B\n", "", "", "", ""},
		{"same lettered numbers", "form/same-engine", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: Light Six\nidentify: {numbers: {from: LS1, to: LS99}}\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: Eighteen\nidentify: {numbers: {from: LS 1, to: LS-99}}\n", "engine: b/six", "same range of numbers", "", ""},
		{"same plain numbers", "form/same-engine", "--- engines/a/six.yaml\nformat: 1\nengine: a/six\ntitle: Light Six\nidentify: {numbers: {from: 1, to: 99}}\n--- engines/b/six.yaml\nformat: 1\nengine: b/six\ntitle: Eighteen\nidentify: {numbers: {from: 1, to: 99}}\n", "", "", "", ""},

		{"power of ten", "form/twin-units", "clearances: {running: {measured_at: valve, engine: cold, inlet: 0.010 in (2.5 mm), exhaust: 0.010 in (0.25 mm), from: handbook p. 14}}\n", "2.5 mm", "0.010 in is 0.25 mm", "", ""},
		{"cut off", "form/twin-units", "size: {from: handbook p. 6, bore: 2.519 in (63.9 mm)}\n", "63.9 mm", "63.9 mm stands beside it: it was cut off", "", "note"},
		{"the first cut off", "form/twin-units", "size: {from: handbook p. 6, bore: 63.9 mm (2.519 in)}\n", "63.9 mm", "63.9 mm was cut off", "", "note"},
		{"a claim set aside", "form/twin-units", "size:\n  bore:\n    claims:\n      handbook: {is: 3 in, from: handbook p. 6}\n      sheet: {is: 3.00 in (67.2 mm), set_aside: misprint}\n", "67.2 mm", "slip", "", ""},
		{"in a change", "form/twin-units", "size: {from: handbook p. 6, bore: 3.00 in (76.2 mm)}\nvariants:\n  series-2:\n    made: 1929\n    change: {size: {from: handbook p. 7, bore: 3.10 in (87.7 mm)}}\n", "87.7 mm", "", "series-2", ""},
		{"inherited, so told once", "form/twin-units", "size: {from: handbook p. 6, bore: 3.00 in (67.2 mm), stroke: 4 in}\nvariants:\n  series-2:\n    made: 1929\n    change: {size: {from: handbook p. 7, stroke: 5 in}}\n", "67.2 mm", "", "", ""},
		{"within rounding", "form/twin-units", "size: {from: handbook p. 6, swept_volume: 4155 cc (253.6 cu in)}\n", "", "", "", ""},

		{"blank", "form/acceptance-reason", volumeWrong + "accepted:\n  size: {size/swept-volume: \"  \"}\n", "swept-volume", "write why", "", ""},
		{"null", "form/acceptance-reason", volumeWrong + "accepted:\n  size:\n    size/swept-volume:\n", "size/swept-volume", "write why", "", ""},
		{"wrong place", "form/acceptance-unused", volumeWrong + "accepted:\n  layout: {size/swept-volume: both print it}\n", "both print it", "raises nothing at `layout`", "", ""},
		{"place of a suspect", "form/acceptance-unused", volumeWrong + "accepted:\n  size.swept_volume: {size/swept-volume: both print it}\n", "", "", "", ""},
		{"no rule of that family", "form/acceptance-rule", volumeWrong + "accepted:\n  size: {bulk/swept: both print it}\n", "bulk/swept", "there is no rule `bulk/swept`", "", ""},

		{"one of a split", "form/moved-target", "--- engines/penhallow/light-six.yaml\n" + engine + "--- moved.yaml\npenhallow/six:\n  because: two engines\n  to:\n    - penhallow/light-six\n    - penhallow/heavy-six\n", "penhallow/heavy-six", "there is no such engine", "", ""},
		{"moved on", "form/moved-target", "--- engines/penhallow/light-six.yaml\n" + engine + "--- moved.yaml\na/six: {to: b/six, because: maker}\nb/six: {to: penhallow/light-six, because: maker}\n", "", "", "", ""},
		{"onto itself", "form/moved-circle", "--- moved.yaml\na/six: {to: a/six, because: none}\n", "a/six", "a/six → a/six", "", ""},
		{"circle of three, told once", "form/moved-circle", "--- moved.yaml\nc/six: {to: a/six, because: none}\na/six: {to: b/six, because: none}\nb/six: {to: c/six, because: none}\nz/six: {to: c/six, because: leads in}\n", "a/six: {to: b/six", "a/six → b/six → c/six → a/six", "", ""},
		{"split and joined again is no circle", "form/moved-circle", "--- moved.yaml\na/six: {to: [b/six, c/six], because: none}\nb/six: {to: d/six, because: none}\nc/six: {to: d/six, because: none}\n", "", "", "", ""},
	})
}

func TestUnreadableInput(t *testing.T) {
	for name, read := range map[string]func() ([]byte, error){
		"the file is empty":        func() ([]byte, error) { return nil, nil },
		"the file may not be read": func() ([]byte, error) { return nil, errors.New("the file may not be read") },
		"UTF-8":                    func() ([]byte, error) { return []byte("title: \xff\xfe\n"), nil },
	} {
		t.Run(name, func(t *testing.T) {
			res, err := run.Lint(context.Background(), []lint.Input{{Name: "engines/a/b.yaml", ID: "a/b", Read: read}}, run.Options{Rules: All()})
			require.NoError(t, err)
			require.NotEmpty(t, res.Findings)
			f := res.Findings[0]
			assert.Equal(t, "form/unreadable", f.Rule)
			assert.Equal(t, "engines/a/b.yaml", f.File)
			assert.Contains(t, f.Message, name)
		})
	}
}

// Every further file with an id is told, each with the first.
func TestDuplicateIDs(t *testing.T) {
	res := lintExample(t, `
--- sources/handbook.yaml
title: Instruction book
grade: maker
--- sources/handbook.json
{"title": "Handbook", "grade": "maker"}
--- sources/handbook.yml
title: Little book
grade: maker
`)
	var twice []string
	for _, f := range res.Findings {
		if f.Rule == "form/duplicate-id" {
			twice = append(twice, f.File)
			require.Len(t, f.Related, 1)
		}
	}
	assert.Len(t, twice, 2)
}

// An acceptance of a rule that did not run is left alone: nothing is known of it.
func TestAcceptanceOfRulesThatDidNotRun(t *testing.T) {
	var without []*lint.Rule
	for _, r := range All() {
		if r.Family() != "size" {
			without = append(without, r)
		}
	}
	inputs := lint.ExampleInputs(volumeWrong + "accepted:\n  size: {size/swept-volume: both print it}\n")
	res, err := run.Lint(context.Background(), inputs, run.Options{Rules: without})
	require.NoError(t, err)
	assert.NotContains(t, raised(res), "form/acceptance-unused")
	assert.NotContains(t, raised(res), "form/acceptance-rule")
}

// What is asked about a part of a dataset is answered from all of it: an engine
// that is not looked at is there all the same, and may cite a source.
func TestPartOfADataset(t *testing.T) {
	inputs := lint.ExampleInputs(`
--- sources/handbook.yaml
title: Instruction book
grade: maker
--- engines/penhallow/eighteen.yaml
format: 1
engine: penhallow/eighteen
title: Penhallow Eighteen
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- moved.yaml
penhallow/six: {to: penhallow/light-six, because: its name}
penhallow/ten: {to: penhallow/twelve, because: its name}
`)
	inputs[2].Context = true
	inputs[2].Read = func() ([]byte, error) { return nil, errors.New("must not be read") }
	res, err := run.Lint(context.Background(), inputs, run.Options{Rules: All()})
	require.NoError(t, err)
	res.Findings = slices.DeleteFunc(res.Findings, func(f *lint.Finding) bool { return f.Rule == "form/canonical" })
	require.Equal(t, []string{"form/moved-target"}, raised(res))
	assert.Contains(t, res.Findings[0].Message, "`penhallow/twelve`")
	assert.Equal(t, 3, res.Files)
}
