package report

import (
	"bytes"
	"encoding/json"
	"io"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// Summary counts what a run looked at and found.
type Summary struct {
	Files    int `json:"files"`
	Engines  int `json:"engines"`
	Errors   int `json:"errors"`
	Warnings int `json:"warnings"`
	Notes    int `json:"notes"`
	Accepted int `json:"accepted"`
}

// Summarize counts the findings of a run.
func Summarize(res run.Result) Summary {
	return Summary{Files: res.Files, Engines: res.Engines, Errors: res.Count(lint.Error), Warnings: res.Count(lint.Warning),
		Notes: res.Count(lint.Note), Accepted: len(res.Accepted)}
}

// JSON writes the findings and the summary as one object, for programs.
func JSON(w io.Writer, res run.Result) error {
	out := struct {
		Findings []lint.Finding `json:"findings"`
		Summary  Summary        `json:"summary"`
	}{make([]lint.Finding, len(res.Findings)), Summarize(res)}
	for i, f := range res.Findings {
		out.Findings[i] = filled(*f)
	}
	return WriteJSON(w, out)
}

// filled gives empty lists for missing ones, so that a program finds [] and
// never null.
func filled(f lint.Finding) lint.Finding {
	f.Working = append([]string{}, f.Working...)
	f.Figures = append([]string{}, f.Figures...)
	f.Suspects = append([]lint.Suspect{}, f.Suspects...)
	f.Related = append([]lint.Related{}, f.Related...)
	if f.Fix != nil {
		f.Fix = &lint.Fix{Title: f.Fix.Title, Edits: append([]lint.Edit{}, f.Fix.Edits...)}
	}
	return f
}

// WriteJSON writes a value as indented JSON that is safe on a terminal: what a
// terminal would act on is escaped.
func WriteJSON(w io.Writer, value any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(value); err != nil {
		return err
	}
	_, err := w.Write(InertJSON(b.Bytes()))
	return err
}
