package main

import (
	"encoding/json"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// lightSix is a form about an engine of the demo data with one figure.
func lightSix(variant, is string) form {
	return form{Engine: "penhallow/light-six", Variant: variant, By: "K. Tarn", On: "2026-11-25", Note: "Read from my own copy.",
		Source: newSource{ID: "bulletin-9", Fields: [][2]string{{"type", ""}, {"title", "Bulletin 9: timing"}, {"grade", "maker"}, {"issued", "1929"}}},
		From:   "bulletin-9 p. 2", Entries: []entry{{text.Path{"events", "checking", "inlet_closes"}, is}}}
}

func asked(t *testing.T, f func([]byte) ([]byte, error), question any) string {
	t.Helper()
	q, err := json.Marshal(question)
	require.NoError(t, err)
	out, err := f(q)
	require.NoError(t, err)
	return string(out)
}

func TestCompose(t *testing.T) {
	f := lightSix("", "52 ABDC")
	f.Entries = append(f.Entries, entry{text.Path{"events", "checking", "overlap"}, "13"}, entry{text.Path{"marks", "belt pulley", "pointer"}, "left: the arrow"},
		entry{text.Path{"size", "bore"}, "  "})
	assert.Equal(t, `contribution: 1
engine: penhallow/light-six
by: K. Tarn
on: 2026-11-25
note: Read from my own copy.
sources:
  bulletin-9:
    title: "Bulletin 9: timing"
    grade: maker
    issued: "1929"
from: bulletin-9 p. 2
figures:
  events:
    checking:
      inlet_closes: 52 ABDC
      overlap: 13
  marks:
    belt pulley:
      pointer: "left: the arrow"
`, asked(t, compose, f))
}

// Whatever is typed, the file reads back as what was typed.
func TestComposedTextsReadBack(t *testing.T) {
	for _, typed := range []string{"a: b", "- x", "#", "'", `"`, "}", "a\nb: c", "---", "true", "‮rtl", "</script>", strings.Repeat("x", 5000)} {
		f := lightSix("", typed)
		f.Note = typed
		doc := text.Parse([]byte(asked(t, compose, f)), text.DefaultLimits())
		require.Empty(t, doc.Problems, typed)
		assert.Equal(t, typed, doc.Root.Get("note").Text)
		assert.Equal(t, typed, doc.Find("/figures/events/checking/inlet_closes").Text)
	}
}

type verdict struct {
	Findings []struct {
		Rule, Level, Message, Variant string
		Suspects                      []struct{ Pointer, Printed, Likely string }
	}
	Summary            struct{ Errors, Warnings int }
	Refused, Conflicts []string
}

// judgedForm is the linter's word on a form about an engine of the demo data.
func judgedForm(t *testing.T, f form) verdict {
	t.Helper()
	var q judged
	require.NoError(t, json.Unmarshal([]byte(list(t, fileOf(t, "engines/"+f.Engine+".yaml"), filesOf(t, data.Files))), &q.Files))
	q.Text = asked(t, compose, f)
	var j verdict
	require.NoError(t, json.Unmarshal([]byte(asked(t, judge, q)), &j))
	return j
}

func fileOf(t *testing.T, name string) file {
	b, err := fs.ReadFile(data.Files, name)
	require.NoError(t, err)
	return file{Name: name, Text: string(b)}
}

// The Light Six prints 48 ABDC, and a duration of 231 that makes it right.
func TestJudgeFindsASlip(t *testing.T) {
	j := judgedForm(t, lightSix("", "84 ABDC"))
	require.NotEmpty(t, j.Findings)
	found := false
	for _, f := range j.Findings {
		for _, s := range f.Suspects {
			found = found || strings.Contains(s.Pointer, "/events/checking/inlet_closes") && s.Printed == "84 ABDC" && s.Likely == "48 ABDC"
		}
	}
	assert.True(t, found, "%+v", j.Findings)
	assert.Positive(t, j.Summary.Errors)
}

func TestJudgeIsSilentOfWhatFits(t *testing.T) {
	for variant, is := range map[string]string{"": "48 ABDC", "series-2": "52 ABDC"} {
		j := judgedForm(t, lightSix(variant, is))
		assert.Zero(t, j.Summary)
		assert.Empty(t, j.Refused)
		assert.Empty(t, j.Conflicts)
	}
}

func TestJudgeSaysWhatKeepsItFromBeingMerged(t *testing.T) {
	f := lightSix("", "48 ABDC")
	f.Note, f.By = "", ""
	assert.Equal(t, []string{"contribution:1:1: `by` is missing; the contribution file needs it", "contribution:1:1: `note` is missing; the contribution file needs it"},
		judgedForm(t, f).Refused)
	f = lightSix("", "52 ABDC")
	f.From, f.Source = "penhallow-sheet-4 line 3", newSource{}
	assert.Equal(t, []string{"events.checking.inlet_closes"}, judgedForm(t, f).Conflicts, "the sheet says 48 in the dataset")
}

func TestJudgeOfAVariant(t *testing.T) {
	j := judgedForm(t, lightSix("series-2", "25 ABDC"))
	require.NotEmpty(t, j.Findings)
	assert.Equal(t, "series-2", j.Findings[0].Variant)
}

func TestJudgeOfANewEngine(t *testing.T) {
	f := form{Engine: "marlowe/four", By: "a fitter", On: "2026-11-25", Note: "From memory.", Source: newSource{"fitter", [][2]string{{"title", "A fitter"}, {"grade", "recall"}, {"by", "a fitter"}}}, From: "fitter",
		Entries: []entry{{text.Path{"title"}, "Marlowe Four"}, {text.Path{"events", "running", "inlet_opens"}, "3 BTDC"}, {text.Path{"events", "running", "inlet_closes"}, "48 ABDC"},
			{text.Path{"events", "running", "inlet_duration"}, "213"}}}
	assert.Contains(t, asked(t, judge, judged{Text: asked(t, compose, f)}), `"likely":"231"`)
}

func TestJudgeOfAnEngineFile(t *testing.T) {
	f := fileOf(t, "engines/penhallow/light-six.yaml")
	q := judged{Text: strings.Replace(f.Text, "inlet_closes", "inlet_close", 1), Files: []file{f}}
	assert.Contains(t, asked(t, judge, q), "inlet_close")
}

func TestJudgeRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"contribution: 1\n":                                    "names no engine",
		"contribution: 1\nengine: a/b\nengine: a/b\n":          "line 3 of the contribution",
		"contribution: 1\nengine: a/b\nfigures: {size: [1, 2]": "of the contribution",
	} {
		q, err := json.Marshal(judged{Text: text})
		require.NoError(t, err)
		_, err = judge(q)
		assert.ErrorContains(t, err, says)
	}
}

// Laying a contribution over an engine loses nothing of the engine.
func TestContributedKeepsTheEngine(t *testing.T) {
	for _, f := range filesOf(t, data.Files) {
		if !strings.HasPrefix(f.Name, "engines/") {
			continue
		}
		with, err := contributed(f.Text, text.Parse([]byte("contribution: 1\nengine: x/y\n"), text.DefaultLimits()))
		require.NoError(t, err)
		was, problems := schema.DecodeEngine(schema.ReadFile(f.Name, []byte(f.Text)))
		require.Empty(t, problems)
		is, problems := schema.DecodeEngine(schema.ReadFile(f.Name, []byte(with)))
		require.Empty(t, problems, f.Name)
		require.Len(t, is.Figures(), len(was.Figures()))
		for i, figure := range was.Figures() {
			assert.Equal(t, figure.Text(), is.Figures()[i].Text())
			assert.Equal(t, figure.Path, is.Figures()[i].Path)
		}
		assert.Len(t, is.Words(), len(was.Words()))
	}
}

func TestOutline(t *testing.T) {
	f := fileOf(t, "engines/penhallow/light-six.yaml")
	var parts []part
	require.NoError(t, json.Unmarshal([]byte(asked(t, outline, outlined{Text: f.Text, Variant: "series-2"})), &parts))
	now := map[string]string{}
	for _, p := range parts {
		for _, field := range p.Fields {
			now[append(p.Path, field.Key).String()] = field.Now
		}
	}
	assert.Equal(t, "52 ABDC", now["/events/checking/inlet_closes"], "as the variant has it")
	assert.Equal(t, "2 15/16 in or 74.6 mm", now["/size/bore"], "both claims, as it inherits them")
	assert.Contains(t, now, "/events/…/inlet_closes")
	assert.Contains(t, now, "/events/checking/read_at")
	assert.NotContains(t, now, "/events/checking/from")

	require.NoError(t, json.Unmarshal([]byte(asked(t, outline, outlined{})), &parts))
	for _, p := range parts {
		assert.False(t, p.Begun, p.Title)
	}
	q, err := json.Marshal(outlined{Text: f.Text, Variant: "series-9"})
	require.NoError(t, err)
	_, err = outline(q)
	assert.ErrorContains(t, err, "series-9")
}
