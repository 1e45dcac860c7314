// Package lint is the contract between rules, the runner and reports: what a
// finding is, what a rule is, and what a rule may look at.
//
// The rules themselves are in lint/rules, the arithmetic in lint/relation, the
// runner in lint/run, the forms of output in lint/report.
package lint

import (
	"fmt"

	"fourmarks.example/schema"
)

// Level is how grave a finding is.
type Level int

const (
	// Note is worth knowing; it never fails a run.
	Note Level = iota
	// Warning is probably a mistake.
	Warning
	// Error is a contradiction, or something that cannot be read.
	Error
)

// String returns note, warning or error.
func (l Level) String() string { return [...]string{"note", "warning", "error"}[l] }

// MarshalText writes the level by name.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Finding is one thing a rule has to say of one place.
type Finding struct {
	Rule    string `json:"rule"`
	Level   Level  `json:"level"`
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	EndLine int    `json:"end_line"`
	EndCol  int    `json:"end_column"`
	Pointer string `json:"pointer"`
	// Variant names the variant in which the finding holds; empty for the base.
	Variant string `json:"variant"`
	// Message is one plain sentence with the numbers in it.
	Message string `json:"message"`
	// Working is the relation worked out, line by line.
	Working []string `json:"working"`
	// Figures are the JSON Pointers of the figures involved.
	Figures  []string  `json:"figures"`
	Suspects []Suspect `json:"suspects"`
	Related  []Related `json:"related"`
	Fix      *Fix      `json:"fix,omitempty"`

	// Path is the figure or section the finding is about, as `accepted:` names it.
	Path string `json:"-"`
}

// Suspect is a figure that could be the slip.
type Suspect struct {
	Path    string `json:"-"`
	Pointer string `json:"pointer"`
	Printed string `json:"printed"`
	MustBe  MustBe `json:"must_be"`
	Slip    string `json:"slip"`
	Likely  string `json:"likely"`
}

// MustBe is the interval in which a suspect would satisfy everything else. A
// missing bound is open.
type MustBe struct {
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
	Unit string   `json:"unit"`
}

// Related is another place that has to do with a finding.
type Related struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
}

// Fix is a change of the file's bytes that is safe to make.
type Fix struct {
	Title string `json:"title"`
	Edits []Edit `json:"edits"`
}

// Edit replaces the bytes from Start up to End.
type Edit struct {
	Start int    `json:"start"`
	End   int    `json:"end"`
	Text  string `json:"text"`
}

// About sets the path of the figure or section that the finding is about.
func (f *Finding) About(path string) *Finding {
	f.Path = path
	return f
}

// Work appends lines to the working.
func (f *Finding) Work(format string, args ...any) *Finding {
	f.Working = append(f.Working, fmt.Sprintf(format, args...))
	return f
}

// See adds a related place.
func (f *Finding) See(at schema.Place, format string, args ...any) *Finding {
	if at.IsZero() {
		return f
	}
	line, column := at.Position()
	f.Related = append(f.Related, Related{File: at.File.Name, Line: line, Column: column, Message: fmt.Sprintf(format, args...)})
	return f
}

// Involving adds figures to those the finding concerns.
func (f *Finding) Involving(figures ...*schema.Figure) *Finding {
	for _, fig := range figures {
		if fig != nil {
			f.Figures = append(f.Figures, fig.At.Pointer())
		}
	}
	return f
}
