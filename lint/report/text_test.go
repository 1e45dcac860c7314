package report_test

import (
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/run"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares a text with a file under testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run the tests with -update to write it")
	assert.Equal(t, string(want), got)
}

const engine = `format: 1
engine: penhallow/light-six
title: Penhallow Light Six
events:
  checking:
    from: sheet p. 1
    read_at: checking clearance
    inlet_opens: 3 BTDC
    inlet_closes: 48 ABDC
    inlet_duration: 213
`

func bound(x float64) *float64 { return &x }

// slip is a finding with everything that a finding can have.
func slip() *lint.Finding {
	return &lint.Finding{
		Rule: "events/inlet-duration", Level: lint.Error, File: "engines/penhallow/light-six.yaml",
		Line: 10, Column: 21, EndLine: 10, EndCol: 24, Pointer: "/events/checking/inlet_duration", Path: "events.checking",
		Message: "inlet duration = 180 + inlet opens (BTDC) + inlet closes (ABDC) does not hold: 213 ≠ 180 + 3 + 48; most likely inlet duration is 213 for 231 (digits transposed)",
		Working: []string{"inlet duration = 180 + inlet opens (BTDC) + inlet closes (ABDC)", "213 ≠ 180 + 3 + 48", "within rounding: 212.5 to 213.5 against 230 to 232"},
		Figures: []string{"/events/checking/inlet_duration", "/events/checking/inlet_opens", "/events/checking/inlet_closes"},
		Suspects: []lint.Suspect{
			{Path: "events.checking.inlet_duration", Pointer: "/events/checking/inlet_duration", Printed: "213",
				MustBe: lint.MustBe{Low: bound(230), High: bound(232), Unit: "°"}, Slip: "digits transposed", Likely: "231"},
			{Path: "events.checking.inlet_closes", Pointer: "/events/checking/inlet_closes", Printed: "48 ABDC",
				MustBe: lint.MustBe{Low: bound(29), High: bound(31), Unit: "° ABDC"}},
		},
		Related: []lint.Related{
			{File: "engines/penhallow/light-six.yaml", Line: 8, Column: 18, Message: "inlet opens: 3 BTDC [sheet p. 1]"},
			{File: "sources/sheet.yaml", Line: 1, Column: 1, Message: "the sheet they come from"},
		},
	}
}

func result() run.Result {
	note := &lint.Finding{Rule: "form/canonical", Level: lint.Note, File: "engines/penhallow/light-six.yaml", Line: 3, Column: 1, EndLine: 3, EndCol: 1,
		Message: "the text is not in canonical form", Fix: &lint.Fix{Title: "write it so", Edits: []lint.Edit{{Start: 1, End: 2, Text: "x"}}}}
	kept := &lint.Finding{Rule: "events/overlap", Level: lint.Warning, File: "engines/penhallow/light-six.yaml", Line: 5, Column: 3, Variant: "series-2",
		Message: "overlap = inlet opens + exhaust closes does not hold"}
	return run.Result{Findings: []*lint.Finding{slip(), note}, Accepted: []run.Accepted{{Finding: kept, Reason: "both sheets print it"}}, Files: 2, Engines: 1, Rules: 60}
}

func source(name string) ([]byte, error) {
	if name == "engines/penhallow/light-six.yaml" {
		return []byte(engine), nil
	}
	return nil, errors.New("no such file")
}

func text(t require.TestingT, res run.Result, o report.Options) string {
	var b strings.Builder
	require.NoError(t, report.Text(&b, res, o))
	return b.String()
}

func TestTextForPeople(t *testing.T) {
	golden(t, "finding.txt", text(t, result(), report.Options{Source: source, Accepted: true, Elapsed: 120 * time.Millisecond}))
	golden(t, "narrow.txt", text(t, result(), report.Options{Source: source, Width: 44}))
}

var colours = regexp.MustCompile("\x1b\\[[0-9]*m")

func TestColourIsNeverTheOnlyCarrier(t *testing.T) {
	plain := text(t, result(), report.Options{Source: source})
	coloured := text(t, result(), report.Options{Source: source, Colour: true})
	assert.NotContains(t, plain, "\x1b")
	assert.Contains(t, coloured, "\x1b[31m")
	assert.Equal(t, plain, colours.ReplaceAllString(coloured, ""))
}

func TestWithoutSourceNothingIsQuoted(t *testing.T) {
	assert.NotContains(t, text(t, result(), report.Options{}), " 10: ")
}

func TestNothingFound(t *testing.T) {
	assert.Equal(t, "no errors, no warnings, no notes: 3 files, 1 engine, 60 rules\n", text(t, run.Result{Files: 3, Engines: 1, Rules: 60}, report.Options{}))
}

// The underline stands under the value whatever stands before it on the line.
func TestUnderline(t *testing.T) {
	for name, c := range map[string]struct {
		line       string
		start, end int
		want       string
	}{
		"plain":              {"bore: 2 in", 7, 11, "bore: 2 in\n      ^^^^"},
		"letters of two":     {"é½°: 2 in", 6, 10, "é½°: 2 in\n     ^^^^"},
		"marks take no room": {"e\u0301: 2", 5, 6, "e\u0301: 2\n   ^"},
		"wide letters":       {"標: 2", 4, 5, "標: 2\n    ^"},
		"tabs":               {"\tbore: 2", 8, 9, "    bore: 2\n          ^"},
		"empty value":        {"bore:", 6, 6, "bore:\n     ^"},
		"beyond the line":    {"bore", 9, 12, "bore\n    ^"},
		"active characters":  {"a\u202e: 2", 5, 6, `a\u{202E}: 2` + "\n           ^"},
		"no UTF-8":           {"a\xff: 2", 5, 6, "a\ufffd: 2\n    ^"},
	} {
		t.Run(name, func(t *testing.T) {
			f := &lint.Finding{Rule: "form/x", Level: lint.Error, File: "f", Line: 1, Column: c.start, EndLine: 1, EndCol: c.end, Message: "m"}
			out := text(t, run.Result{Findings: []*lint.Finding{f}}, report.Options{Source: func(string) ([]byte, error) { return []byte(c.line), nil }})
			lines := strings.Split(out, "\n")
			assert.Equal(t, c.want, strings.TrimPrefix(lines[3], "  1: ")+"\n"+strings.TrimPrefix(lines[4], "     "))
		})
	}
}

func TestLongLinesAreCutAroundTheValue(t *testing.T) {
	line := strings.Repeat("x", 200) + "VALUE" + strings.Repeat("y", 200)
	f := &lint.Finding{Rule: "form/x", File: "f", Line: 1, Column: 201, EndLine: 1, EndCol: 206, Message: "m"}
	out := strings.Split(text(t, run.Result{Findings: []*lint.Finding{f}}, report.Options{Source: func(string) ([]byte, error) { return []byte(line), nil }}), "\n")
	assert.True(t, strings.HasPrefix(out[3], "  1: …xx"))
	assert.True(t, strings.HasSuffix(out[3], "yy…"))
	assert.LessOrEqual(t, report.Width(out[3]), 80)
	assert.Equal(t, "VALUE", string([]rune(out[3])[strings.Index(out[4], "^"):][:5]))
	assert.Equal(t, 5, strings.Count(out[4], "^"))
}

// No line is wider than the terminal but for those that start with a file's name.
func TestNoLineIsTooWide(t *testing.T) {
	words := rapid.StringOfN(rapid.RuneFrom([]rune("ab é½ 標\t\n\x1b\u202e")), 0, 300, -1)
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(30, 120).Draw(t, "width")
		column := rapid.IntRange(1, 300).Draw(t, "column")
		f := slip()
		f.Column, f.EndCol, f.Line, f.EndLine = column, column+rapid.IntRange(0, 50).Draw(t, "length"), 1, 1
		f.Message, f.Path = words.Draw(t, "message"), words.Draw(t, "path")
		f.Working = []string{words.Draw(t, "working")}
		f.Suspects[0].Printed = words.Draw(t, "printed")
		f.Related[0].Message, f.Related[0].Line = words.Draw(t, "related"), 1
		line := words.Draw(t, "line")
		out := text(t, run.Result{Findings: []*lint.Finding{f}}, report.Options{Width: width, Source: func(string) ([]byte, error) { return []byte(line), nil }})
		lines := strings.Split(out, "\n")
		for _, l := range lines[1 : len(lines)-2] {
			require.LessOrEqual(t, report.Width(l), width, "%q", l)
			harmless(t, l)
		}
	})
}

func TestWrap(t *testing.T) {
	for in, want := range map[string][]string{
		"":                     {""},
		"a b c":                {"a b c"},
		"one two three":        {"one two", "three"},
		"abcdefghijklmnop q":   {"abcdefgh", "ijklmnop", "q"},
		"  spaces   between  ": {"spaces", "between"},
		"標準標準標準":               {"標準標準", "標準"},
	} {
		assert.Equal(t, want, report.Wrap(in, 8), in)
	}
}

func TestBounds(t *testing.T) {
	for want, m := range map[string]lint.MustBe{
		"230 to 232°":     {Low: bound(230), High: bound(232), Unit: "°"},
		"29° ABDC":        {Low: bound(29), High: bound(29.0000001), Unit: "° ABDC"},
		"at least 0.5 in": {Low: bound(0.5), Unit: "in"},
		"at most 2998 cc": {High: bound(2998), Unit: "cc"},
		"of any size":     {Unit: "mm"},
		"−2.5 to 0":       {Low: bound(-2.5), High: bound(0)},
		"12346":           {Low: bound(12345.6), High: bound(12346.4)}, // five significant digits
	} {
		assert.Equal(t, want, report.Bounds(m))
	}
}

func TestJSON(t *testing.T) {
	var b strings.Builder
	require.NoError(t, report.JSON(&b, result()))
	golden(t, "findings.json", b.String())

	b.Reset()
	bare := &lint.Finding{Rule: "form/x", File: "f"}
	require.NoError(t, report.JSON(&b, run.Result{Findings: []*lint.Finding{bare}, Files: 1}))
	assert.NotContains(t, b.String(), "null", "a list without members is []")

	b.Reset()
	require.NoError(t, report.JSON(&b, run.Result{}))
	var out struct {
		Findings []any          `json:"findings"`
		Summary  map[string]int `json:"summary"`
	}
	require.NoError(t, json.Unmarshal([]byte(b.String()), &out))
	assert.NotNil(t, out.Findings)
	assert.Equal(t, map[string]int{"files": 0, "engines": 0, "errors": 0, "warnings": 0, "notes": 0, "accepted": 0}, out.Summary)
}

func BenchmarkText(b *testing.B) {
	res := result()
	for range 500 {
		res.Findings = append(res.Findings, slip())
	}
	for b.Loop() {
		if err := report.Text(&strings.Builder{}, res, report.Options{Source: source}); err != nil {
			b.Fatal(err)
		}
	}
}
