package main

import (
	"fmt"
	"strings"

	"fourmarks.example/data/assess"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

// assessmentPage lays an assessment out for a terminal: the readings beside the
// figures, the answer, what it rests on, what to do next.
func (p *program) assessmentPage(e *schema.Engine, a *assess.Assessment) string {
	var b strings.Builder
	p.indented(&b, 0, strings.TrimSuffix(e.Title.Text+", variant "+a.Variant, ", variant "))
	p.indented(&b, 0, a.Engine+", read at: "+a.ReadAt)
	p.comparedTable(&b, a.Compared)
	if len(a.Says) > 0 {
		b.WriteString("\n")
	}
	for _, s := range a.Says {
		p.indented(&b, 0, s)
	}
	for i, x := range a.Explanations {
		switch a.Verdict {
		case assess.Explained: // what it is was said above
			p.explanation(&b, "why", x.Numbers(), x.Causes)
		case assess.NothingFits:
			p.explanation(&b, "nearest: "+x.Says, x.HowWell(), nil)
		default:
			p.explanation(&b, fmt.Sprintf("%d. %s", i+1, x.Says), x.Numbers(), x.Causes)
		}
	}
	p.nextReading(&b, a.Next)
	if c := a.Correction; c != nil {
		b.WriteString("\nbest correction, " + report.Inert(c.Drive) + "\n")
		p.indented(&b, 2, c.If)
		p.indented(&b, 2, c.Says)
	}
	p.checkTable(&b, a.Checks)
	if len(a.Remarks) > 0 {
		b.WriteString("\n")
	}
	for _, r := range a.Remarks {
		p.indented(&b, 0, r)
	}
	b.WriteString("\nbefore anything is turned or moved\n")
	for _, c := range a.Cautions {
		p.indented(&b, 2, strings.TrimSuffix(c.Text+" ("+c.From+")", " ()"))
	}
	return b.String()
}

// comparedTable writes a row for each event: what was read, the figure, how late.
func (p *program) comparedTable(b *strings.Builder, compared []assess.Compared) {
	if len(compared) == 0 {
		return
	}
	rows := [][]string{{"", "read", "figure", "late or early"}}
	cylinder := 0
	for _, c := range compared {
		if c.Cylinder != cylinder {
			cylinder = c.Cylinder
			rows = append(rows, []string{fmt.Sprintf("No. %d", cylinder)})
		}
		rows = append(rows, []string{c.Event, strings.Join(c.Read, ", "), c.Figure, c.Says()})
	}
	b.WriteString("\n")
	p.table(b, rows)
}

// table writes rows in columns as wide as their widest text.
func (p *program) table(b *strings.Builder, rows [][]string) {
	var widths []int
	for _, row := range rows {
		for i, text := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			if len(row) > 1 {
				widths[i] = max(widths[i], report.Width(report.Inert(text)))
			}
		}
	}
	for _, row := range rows {
		p.cells(b, widths, row...)
	}
}

// explanation writes one explanation with the numbers that decide, and its causes.
func (p *program) explanation(b *strings.Builder, head, numbers string, causes []assess.Member) {
	b.WriteString("\n")
	p.indented(b, 0, head)
	p.indented(b, 2, numbers)
	for _, m := range causes {
		p.indented(b, 2, m.Line())
	}
}

func (p *program) nextReading(b *strings.Builder, n *assess.Next) {
	if n == nil {
		return
	}
	b.WriteString("\n")
	p.indented(b, 0, "measure next: "+n.What)
	for _, e := range n.Expected {
		p.indented(b, 2, e.Shows+": "+strings.Join(e.If, ", or "))
	}
}

// checkTable writes pressures and vacuum beside their figures.
func (p *program) checkTable(b *strings.Builder, checks []assess.Check) {
	if len(checks) == 0 {
		return
	}
	rows := [][]string{{"", "read", "should be", ""}}
	for _, c := range checks {
		rows = append(rows, []string{c.What, c.Read, c.Wanted(), c.Says})
	}
	b.WriteString("\n")
	p.table(b, rows)
}
