package main

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/lint/report"
	"fourmarks.example/schema/notation"
)

// conversionPage lays a conversion out for a terminal: what was given, the
// results as a table, then how each was worked out and from what.
func (p *program) conversionPage(c *conversion) string {
	var b strings.Builder
	head := c.given.Printed + ": " + c.Figure.Kind.String()
	if c.given.Allowed != "" {
		head += "; as printed, " + c.given.Allowed
	}
	p.indented(&b, 0, head)
	b.WriteString("\n")
	p.resultTable(&b, c.Results)
	p.workings(&b, c.Results)
	p.usedTable(&b, c)
	p.notes(&b, c)
	return b.String()
}

// resultTable writes a line for each result: notation, print, and what the
// prints allow.
func (p *program) resultTable(b *strings.Builder, results []notation.Result) {
	names, prints := 0, 0
	for _, r := range results {
		names, prints = max(names, report.Width(string(r.Notation))), max(prints, report.Width(r.Printed))
	}
	for _, r := range results {
		p.cells(b, []int{names, prints}, string(r.Notation), r.Printed, beside(r))
	}
}

// beside is what stands beside a printed result.
func beside(r notation.Result) string {
	var parts []string
	for _, more := range []string{r.Rest, r.Allowed} {
		if more != "" {
			parts = append(parts, more)
		}
	}
	if r.Exactly != "" {
		parts = append(parts, "exactly "+r.Exactly)
	}
	return strings.Join(parts, "; ")
}

// cells writes a row: a name, and texts in columns of the widths given, two
// blanks apart. A row that is too wide has each text below the other.
func (p *program) cells(b *strings.Builder, widths []int, texts ...string) {
	const apart = "  "
	padded := func(i int) string {
		text := report.Inert(texts[i])
		if i < len(widths) {
			text += strings.Repeat(" ", max(widths[i]-report.Width(text), 0))
		}
		return apart + text
	}
	row := ""
	for i := range texts {
		row += padded(i)
	}
	if row = strings.TrimRight(row, " "); report.Width(row) <= p.width() {
		b.WriteString(row + "\n")
		return
	}
	lead := padded(0) + apart
	for _, text := range texts[1:] {
		if text == "" {
			continue
		}
		for _, part := range report.Wrap(report.Inert(text), p.width()-report.Width(lead)) {
			b.WriteString(lead + part + "\n")
			lead = strings.Repeat(" ", report.Width(lead))
		}
	}
}

// workings writes how the results were worked out. A step that stands further
// up already is not written again.
func (p *program) workings(b *strings.Builder, results []notation.Result) {
	var written []string
	for _, r := range results {
		var steps []notation.Step
		for _, s := range r.Working {
			if !slices.Contains(written, s.String()) {
				written = append(written, s.String())
				steps = append(steps, s)
			}
		}
		if len(steps) == 0 {
			continue
		}
		fmt.Fprintf(b, "\n%s, worked out\n", r.Notation)
		for _, s := range steps {
			p.step(b, s)
		}
	}
}

// step writes a step in one line, or each of its parts in one.
func (p *program) step(b *strings.Builder, s notation.Step) {
	const indent = 2
	if len(s) == 1 || indent+report.Width(s.String()) <= p.width() {
		p.indented(b, indent, s.String())
		return
	}
	p.indented(b, indent, s[0])
	for _, part := range s[1:] {
		p.indented(b, indent+2, "= "+part)
	}
}

// usedTable writes what the results rest on and where that stands.
func (p *program) usedTable(b *strings.Builder, c *conversion) {
	if len(c.Used) == 0 {
		return
	}
	names, prints := 0, 0
	for _, u := range c.Used {
		names, prints = max(names, len(u.What)), max(prints, report.Width(report.Inert(u.Text)))
	}
	b.WriteString("\nworked out with\n")
	for _, u := range c.Used {
		from := u.From
		if u.InsteadOf != "" {
			from += ", in place of " + u.InsteadOf
		}
		p.cells(b, []int{names, prints}, strings.ReplaceAll(string(u.What), "-", " "), u.Text, from)
	}
	if c.engine != "" {
		p.indented(b, 2, strings.TrimSuffix("engine "+c.engine+", variant "+c.variant, ", variant "))
	}
}

// notes writes what a reader must know beside the results.
func (p *program) notes(b *strings.Builder, c *conversion) {
	for _, r := range c.Remarks {
		b.WriteString("\n")
		p.indented(b, 0, r)
	}
	if len(c.Lacking) > 0 {
		b.WriteString("\nthere is more with\n")
	}
	for _, m := range c.Lacking {
		flags := make([]string, len(m.AnyOf))
		for i, n := range m.AnyOf {
			flags[i] = "--" + string(n)
		}
		p.indented(b, 2, strings.Join(flags, " or ")+": "+m.For)
	}
	if c.Caution != "" {
		b.WriteString("\n")
		p.indented(b, 0, c.Caution)
	}
}
