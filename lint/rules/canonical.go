package rules

import (
	"bytes"
	"slices"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

var canonical = &lint.Rule{
	Name:  "form/canonical",
	Level: lint.Note,
	Title: "The text is not in its canonical form",
	Checks: "Keys stand in the order of the format, lines are indented by two spaces a level, and so on: the text is the one that " +
		"`fourmarks tidy` writes. A file written as JSON is left alone.",
	Why: "Where everybody's files look alike, a change shows as the figures that changed, and two people who add to one file " +
		"seldom touch the same line.",
	Basis:     formatBasis,
	Accepting: "There is nothing to accept: this is a note and fails no run. Run `fourmarks tidy` on the file, or leave it.",
	Bad: `
sources:
  handbook: {title: Instruction book, grade: maker}
size:
    stroke:   4 1/2 in
    bore: 2 15/16 in
    from: handbook p. 6
`,
	Good: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
  stroke: 4 1/2 in
sources:
  handbook: {title: Instruction book, grade: maker}
`,
	File: func(p *lint.Pass) {
		source := p.File.Doc.Source
		tidy, err := p.File.Tidy()
		if err != nil || bytes.Equal(tidy, source) {
			return // what cannot be read has findings of its own
		}
		changes := lineEdits(source, tidy)
		at := &text.Node{Span: firstLine(source, changes[0])}
		f := p.Report(schema.Place{File: p.File, Node: at}, "the text is not in canonical form from here on; `fourmarks tidy` writes it so and changes no figure")
		f.Fix = &lint.Fix{Title: "write the file in canonical form", Edits: changes}
	},
}

// firstLine is the part of the first line that an edit changes.
func firstLine(source []byte, e lint.Edit) text.Span {
	line := source[e.Start:e.End]
	if i := bytes.IndexAny(line, "\r\n"); i >= 0 {
		line = line[:i]
	}
	return text.Span{Start: e.Start, End: e.Start + len(line)}
}

// mostCells bounds the table that lineEdits fills: some two thousand changed
// lines on either side. Beyond that all lines between the first and the last
// that differ are one edit.
const mostCells = 1 << 22

// lineEdits returns the fewest whole lines of a text to take out and put in for
// it to become another, by way of their longest common subsequence.
func lineEdits(from, to []byte) []lint.Edit {
	a, b := bytes.SplitAfter(from, []byte("\n")), bytes.SplitAfter(to, []byte("\n"))
	start := 0
	for len(a) > 0 && len(b) > 0 && bytes.Equal(a[0], b[0]) {
		start += len(a[0])
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && bytes.Equal(a[len(a)-1], b[len(b)-1]) {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if len(a)*len(b) > mostCells {
		return []lint.Edit{{Start: start, End: start + len(slices.Concat(a...)), Text: string(slices.Concat(b...))}}
	}
	common := commonLines(a, b)
	var edits []lint.Edit
	var edit *lint.Edit
	for i, j := 0, 0; i < len(a) || j < len(b); {
		if i < len(a) && j < len(b) && bytes.Equal(a[i], b[j]) {
			start += len(a[i])
			i, j, edit = i+1, j+1, nil
			continue
		}
		if edit == nil {
			edits = append(edits, lint.Edit{Start: start, End: start})
			edit = &edits[len(edits)-1]
		}
		if j == len(b) || i < len(a) && common[i+1][j] >= common[i][j+1] {
			start += len(a[i])
			edit.End = start
			i++
		} else {
			edit.Text += string(b[j])
			j++
		}
	}
	return edits
}

// commonLines returns, for each pair of positions, how many lines the texts
// from there on have in common.
func commonLines(a, b [][]byte) [][]int {
	common := make([][]int, len(a)+1)
	for i := range common {
		common[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if bytes.Equal(a[i], b[j]) {
				common[i][j] = common[i+1][j+1] + 1
			} else {
				common[i][j] = max(common[i+1][j], common[i][j+1])
			}
		}
	}
	return common
}
