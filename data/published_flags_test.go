package data_test

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

// contradiction is a published print that fails its own arithmetic.
type contradiction struct {
	// where it is printed, and what is wrong with it.
	where string
	// file is the engine in testdata/published; text an engine file with the
	// print, where it is of no engine in particular.
	file, text string
	// rule finds it, and says so in its message.
	rule, says string
	// wrong is the figure that is the slip and right what it should be, in the
	// unit it is printed in, where the rule has suspects.
	wrong string
	right float64
	// mended is the text that is wrong and the text that is right.
	mended [2]string
	// decided is whether the prints themselves tell which figure is the slip.
	decided bool
}

const head = "format: 1\nengine: example/print\ntitle: A print\n"

const source = "sources:\n  page: {type: webpage, title: The page, grade: later}\n"

// roughVolumes are swept volumes of one list, all worked out with π = 3.14, and
// what they should be (w6rec.com, BMW engine dimensions).
var roughVolumes = map[string][2]string{
	"bmw/r45": {"473.1 cc", "473.4 cc"}, "bmw/r50": {"497.6 cc", "497.8 cc"}, "bmw/r60": {"598.8 cc", "599.1 cc"}, "bmw/r65": {"649.2 cc", "649.6 cc"},
	"bmw/r75": {"745.3 cc", "745.7 cc"}, "bmw/r80": {"797.1 cc", "797.5 cc"}, "bmw/r90": {"897.8 cc", "898.3 cc"}, "bmw/r100": {"979.4 cc", "979.9 cc"},
}

// printedWrong are the others. What is right is worked out from the other
// figures of the same print.
var printedWrong = []contradiction{
	{where: "encyclopedia's box on the Ford Model A: 3.876 × 4.125 in are 194.7 cu in, not 200.5; 4.250 in are",
		file: "ford/model-a-infobox", rule: "size/swept-volume", mended: [2]string{"stroke: 4.125 in", "stroke: 4.250 in"}, says: "200.5 cu in ≠", wrong: "/size/stroke", right: 4.250},
	{where: "audifans.com, slider and crank: R = 0.1 m, L = 0.2 m and 68.5° are 0.0863 m of travel, not 0.042",
		text: head + "size: {stroke: 200 mm, rod_centres: 200 mm, from: page}\nevents:\n  one: {from: page, read_at: not given, exhaust_closes: 68.5 ATDC = 42 mm ATDC piston}\n" + source,
		rule: "events/notations", mended: [2]string{"42 mm", "86.3 mm"}, says: "42 mm ≠ piston travel(68.5, 200 mm, 200 mm)", wrong: "/events/one/exhaust_closes", right: 86.3, decided: true},
	{where: "howmotorcycleswork.com, article 33: 651.88 cc cut off to 651",
		file: "kawasaki/klx650", rule: "form/twin-units", mended: [2]string{"651 cc", "652 cc"}, says: "651 cc stands beside it: it was cut off instead of rounded", decided: true},
	{where: "howmotorcycleswork.com, article 33: 36.595 cu in are 599.7 cc, not 599684",
		file: "yamaha/yzf-r6", rule: "form/twin-units", mended: [2]string{"599684 cm3", "599.684 cm3"}, says: "599684 cm3 stands beside it: one of the two is a slip", wrong: "/size/swept_volume", right: 36.595, decided: true},
	{where: "kelvin.leadhoster.com: 1 inch is 25.4 mm, not cm",
		text: head + "size: {bore: 1 inch (25.4 cm), from: page}\n" + source,
		rule: "form/twin-units", mended: [2]string{"25.4 cm", "25.4 mm"}, says: "1 inch is 2.540 cm, and 25.4 cm stands beside it: one of the two is a slip", wrong: "/size/bore", right: 1, decided: true},
	{where: "blacksunlight.com, Studebaker tips: compression ratio as swept volume by chamber volume, too low by one",
		text: head + "layout: {cylinders: 1, from: page}\nsize: {bore: 80 mm, stroke: 100 mm, swept_volume: 502.7 cc, compression_ratio: '4.00', chamber_volume: 125.7 cc, from: page}\n" + source,
		rule: "size/compression-ratio", mended: [2]string{"4.00", "5.00"}, says: "most likely compression ratio 4.00 is a slip for 5.00", wrong: "/size/compression_ratio", right: 5, decided: true},
	{where: "tribsa.blogspot.com: half a turn of the adjuster is 0.020 in, not .20",
		text: head + "clearances:\n  checking: {measured_at: tappet, engine: cold, inlet: .20 in, from: page}\n" + source,
		rule: "clearances/magnitude", mended: [2]string{".20 in", ".020 in"}, says: ".20 in is a very wide checking clearance for the inlet; look whether its unit or its decimal point is wrong", wrong: "/clearances/checking/inlet", right: .020, decided: true},
}

// Every published contradiction is found. Where the prints decide which figure
// is the slip it is the first suspect; where they do not, none is called likely.
func TestPublishedContradictionsAreFound(t *testing.T) {
	cases := slices.Clone(printedWrong)
	for file, mended := range roughVolumes {
		cases = append(cases, contradiction{where: file, file: file, rule: "size/volume-rounding", says: "worked out with π = 3.14", mended: mended, decided: true})
	}
	for _, c := range cases {
		t.Run(c.where, func(t *testing.T) {
			text := c.textOf(t)
			f := findingOf(t, text, c.rule)
			require.NotNil(t, f, "nothing is found")
			require.Contains(t, text, c.mended[0])
			assert.Nil(t, findingOf(t, strings.ReplaceAll(text, c.mended[0], c.mended[1]), c.rule), "what is right is found too")
			assert.Contains(t, f.Message, c.says)
			if c.wrong == "" {
				assert.Empty(t, f.Suspects)
				return
			}
			require.NotEmpty(t, f.Suspects)
			var suspected bool
			for i, s := range f.Suspects {
				if s.Pointer != c.wrong || suspected {
					continue
				}
				suspected = true
				assert.True(t, i == 0 || !c.decided, "the slip is not the first suspect: %v", f.Suspects)
				if assert.NotNil(t, s.MustBe.Low) && assert.NotNil(t, s.MustBe.High) {
					assert.True(t, *s.MustBe.Low <= c.right && c.right <= *s.MustBe.High, "%v to %v must hold %v", *s.MustBe.Low, *s.MustBe.High, c.right)
				}
			}
			assert.True(t, suspected, "the slip is no suspect: %v", f.Suspects)
			if !c.decided {
				assert.Greater(t, len(f.Suspects), 1)
				assert.NotContains(t, f.Message, "most likely")
				for _, s := range f.Suspects {
					assert.Empty(t, s.Slip, "%s is called a slip, and nothing tells", s.Pointer)
				}
			}
		})
	}
}

// textOf is the engine file with the print.
func (c contradiction) textOf(t *testing.T) string {
	t.Helper()
	if c.file == "" {
		return c.text
	}
	text, err := os.ReadFile(filepath.Join(published, "engines", filepath.FromSlash(c.file)+".yaml"))
	require.NoError(t, err)
	return string(text)
}

// findingOf lints an engine file and returns the first finding of a rule, nil
// when there is none.
func findingOf(t *testing.T, text, rule string) *lint.Finding {
	t.Helper()
	in := lint.Input{Name: "engine.yaml", Read: func() ([]byte, error) { return []byte(text), nil }}
	res, err := run.Lint(context.Background(), []lint.Input{in}, run.Options{Rules: rules.All()})
	require.NoError(t, err)
	for _, f := range res.Findings {
		if f.Rule == rule {
			return f
		}
	}
	return nil
}
