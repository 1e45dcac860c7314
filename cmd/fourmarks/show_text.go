package main

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

// Columns of a page: a print, the standing of a figure, the source of a claim.
const (
	printColumn    = 24
	standingColumn = 57
	sourceColumn   = 46
)

// figuresPage lays the figures out for a terminal of 80 columns or more; a
// narrower one breaks the lines.
func (p *program) figuresPage(s *shown) string {
	var b strings.Builder
	if s.whole {
		p.heading(&b, s)
	} else {
		p.indented(&b, 0, fmt.Sprintf("%s (%s)", s.engine.Title.Text, s.engine.Name()))
	}
	for _, where := range s.sections() {
		p.section(&b, s, where)
	}
	p.sourceList(&b, s)
	return b.String()
}

// section writes a section: its source beside its name, its words, its figures.
func (p *program) section(b *strings.Builder, s *shown, where string) {
	from := s.sourceOf(where)
	b.WriteString("\n")
	p.indented(b, 0, strings.TrimSuffix(where+"  from "+from, "  from "))
	for _, w := range s.words {
		if section(w.Path) == where && !w.Source {
			p.row(b, named(w.Path), w.Text, standingColumn, "")
		}
	}
	for _, f := range s.figures {
		if section(f.Path) == where {
			p.figure(b, s, f, from)
		}
	}
	for _, d := range s.derived {
		if section(d.Path) == where {
			p.derivedFigure(b, d)
		}
	}
}

// sourceOf returns the source that a section names, or the nearest above it.
func (s *shown) sourceOf(where string) string {
	for ; where != ""; where = section(where) {
		for _, w := range s.words {
			if w.Source && section(w.Path) == where {
				return w.Text
			}
		}
	}
	return ""
}

// sections lists the sections of what is shown, in the order of the schema.
func (s *shown) sections() []string {
	var all []string
	add := func(path string) {
		if where := section(path); !slices.Contains(all, where) {
			all = append(all, where)
		}
	}
	for _, w := range s.words {
		if !w.Source {
			add(w.Path)
		}
	}
	for _, f := range s.figures {
		add(f.Path)
	}
	for _, d := range s.derived {
		add(d.Path)
	}
	order := schema.Sections()
	rank := func(where string) int {
		top, _, _ := strings.Cut(where, ".")
		return slices.Index(order, top)
	}
	slices.SortStableFunc(all, func(a, b string) int { return rank(a) - rank(b) })
	return all
}

func (p *program) heading(b *strings.Builder, s *shown) {
	m := s.match
	fmt.Fprintf(b, "%s\n", report.Inert(m.Title))
	if s.engine.Variant != "" {
		p.indented(b, 0, m.ID+", variant "+s.engine.Variant)
		if i := slices.IndexFunc(m.Variants, func(v store.Series) bool { return v.Name == s.engine.Variant }); i >= 0 {
			v := m.Variants[i]
			p.indented(b, 0, strings.TrimPrefix(v.Title+", "+described(v.Made, v.Numbers), ", "))
		}
		return
	}
	p.indented(b, 0, m.ID)
	p.indented(b, 0, described(m.Made, m.Numbers))
	for _, v := range m.Variants {
		p.indented(b, 0, strings.TrimSuffix("variant "+v.Name+": "+described(v.Made, v.Numbers), ": ")+" (--variant "+v.Name+")")
	}
}

// named is the last part of a path as words.
func named(path string) string {
	return strings.ReplaceAll(path[strings.LastIndexByte(path, '.')+1:], "_", " ")
}

// row writes a line of columns: a name, a print, and at its column something
// more. What is too long for its column moves the rest to a line of its own.
func (p *program) row(b *strings.Builder, name, print string, column int, more string) {
	line := "  " + report.Inert(name)
	for _, cell := range []struct {
		column int
		text   string
	}{{printColumn, print}, {column, more}} {
		if cell.text == "" {
			continue
		}
		if report.Width(line) > cell.column-2 {
			b.WriteString(line + "\n")
			line = ""
		}
		line += strings.Repeat(" ", cell.column-report.Width(line))
		for i, part := range report.Wrap(report.Inert(cell.text), max(p.width()-cell.column, 20)) {
			if i > 0 {
				b.WriteString(line + "\n")
				line = strings.Repeat(" ", cell.column)
			}
			line += part
		}
	}
	b.WriteString(line + "\n")
}

// figure writes a figure: in one line where one claim is made of it, otherwise
// each claim in a line below. A source is named where it is not the section's.
func (p *program) figure(b *strings.Builder, s *shown, f *schema.Figure, from string) {
	standing := schema.StandingOf(f, s.lookup).String()
	if len(f.Claims) == 1 {
		c := f.Claims[0]
		p.row(b, named(f.Path), s.print(c), standingColumn, standing)
		if is := c.From.String(); is != from && is != "" {
			p.indented(b, printColumn, "from "+is)
		}
		p.remarks(b, c)
		return
	}
	print := ""
	if first := f.First(); first != nil {
		print = s.print(*first)
	}
	p.row(b, named(f.Path), print, standingColumn, standing)
	for _, c := range f.Claims {
		p.row(b, "  claim", s.print(c), sourceColumn, c.From.String())
		p.remarks(b, c)
	}
}

// print is a claim's print, with its value in the units asked for beside it.
func (s *shown) print(c schema.Claim) string {
	if in := c.Printed.In(s.system); in != "" {
		return c.Printed.Text + " = " + in
	}
	return c.Printed.Text
}

// remarks writes what a claim says beside its print.
func (p *program) remarks(b *strings.Builder, c schema.Claim) {
	const indent = printColumn
	if c.SetAside.Given() {
		p.indented(b, indent, strings.TrimSuffix("set aside: "+c.SetAside.Text, ": "))
	}
	p.indented(b, indent, c.Note.Text)
	if c.Quote.Given() {
		p.indented(b, indent, "“"+c.Quote.Text+"”")
	}
	if c.SeenOn.Given() {
		p.indented(b, indent, strings.TrimSuffix("seen on "+c.SeenOn.Text+" by "+c.SeenBy.Text, " by "))
	}
}

// derivedFigure writes what others leave a figure to be, and by which relation.
func (p *program) derivedFigure(b *strings.Builder, d derived) {
	p.row(b, named(d.Path), report.Bounds(lint.MustBe{Low: &d.Low, High: &d.High, Unit: d.Unit}), standingColumn, "derived")
	p.indented(b, printColumn, "from "+d.By.Formula+" ("+d.By.Rule+")")
}

// sourceList names the sources of the figures shown.
func (p *program) sourceList(b *strings.Builder, s *shown) {
	ids := s.cited()
	if len(ids) == 0 {
		return
	}
	b.WriteString("\nsources\n")
	for _, id := range ids {
		is, ok := s.lookup(id)
		if !ok {
			p.indented(b, 2, id+": there is no record of it")
			continue
		}
		parts := []string{is.Title.Text}
		for _, w := range []schema.Word{is.Author, is.Issued} {
			if w.Given() {
				parts = append(parts, w.Text)
			}
		}
		said := id + ": " + strings.Join(parts, ", ") + " (" + is.Grade.Text + ")"
		if is.Copies.Given() {
			said += ", copies " + is.Copies.Text
		}
		p.indented(b, 2, said)
	}
}
