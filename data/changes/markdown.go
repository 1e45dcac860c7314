package changes

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"fourmarks.example/lint/report"
)

// Markdown writes a report in GitHub Flavored Markdown, made for a pull request:
// for each engine a heading of the third level, a table of its figures, and the
// relations that break or mend. Whatever a file says stands as code, so that a
// code host takes nothing in it for a link, a mention or markup.
func Markdown(w io.Writer, r *Report) error {
	m := &marker{out: bufio.NewWriter(w), wording: wording{Code}, cells: wording{cell}}
	for i, e := range r.Engines {
		if i > 0 {
			m.line("")
		}
		m.engine(e)
	}
	for i, rec := range r.Records {
		if i+len(r.Engines) > 0 {
			m.line("")
		}
		m.line("### %s", m.quote(rec.File))
		if rec.Fate != Kept {
			m.line("\n%s", rec.Fate)
		}
		m.list("Cannot be read in full", quoted(m.wording, rec.Unread))
		m.words(rec.Words)
	}
	return m.out.Flush()
}

// Code is a text as code in a line of Markdown, between more backticks than it
// holds in a row.
func Code(s string) string {
	if s = report.Inert(s); s == "" {
		return ""
	}
	fence := "`"
	for strings.Contains(s, fence) {
		fence += "`"
	}
	if s[0] == '`' || s[len(s)-1] == '`' || strings.TrimSpace(s) != s {
		s = " " + s + " "
	}
	return fence + s + fence
}

// cell is Code in a cell of a table, where a bar needs an escape even in code.
func cell(s string) string { return strings.ReplaceAll(Code(s), "|", `\|`) }

type marker struct {
	wording
	cells wording
	out   *bufio.Writer
}

func (m *marker) line(format string, args ...any) { fmt.Fprintf(m.out, format+"\n", args...) }

func (m *marker) engine(e Engine) {
	m.line("### %s", strings.TrimSpace(m.quote(e.ID)+" "+m.quote(e.Title)))
	if s := m.fate(e); s != "" {
		m.line("\n%s", s)
	}
	m.list("Cannot be read in full", quoted(m.wording, e.Unread))
	m.figures(e.Figures)
	m.words(e.Words)
	for _, l := range relations(e) {
		var all []string
		for _, r := range l.all {
			all = append(all, m.relation(r))
		}
		m.list(l.title, all)
	}
}

func quoted(w wording, all []string) []string {
	var out []string
	for _, s := range all {
		out = append(out, w.quote(s))
	}
	return out
}

func (m *marker) list(title string, items []string) {
	if len(items) == 0 {
		return
	}
	m.line("\n%s:\n", title)
	for _, item := range items {
		m.line("- %s", item)
	}
}

func (m *marker) figures(all []Figure) {
	if len(all) == 0 {
		return
	}
	m.line("\n| Figure | | Before | After | |\n| --- | --- | --- | --- | --- |")
	for _, f := range all {
		name := m.cells.place(f.Path, f.Variant)
		for i, c := range f.Claims {
			remarks := m.cells.remarks(c)
			if i == len(f.Claims)-1 {
				remarks = append(remarks, m.cells.consequences(f)...)
			}
			before, after := "", ""
			if c.Before != nil {
				before = m.cells.claim(c.Before)
			}
			if c.After != nil {
				after = m.cells.claim(c.After)
			}
			m.line("| %s | %s | %s | %s | %s |", name, c.What(), before, after, strings.Join(remarks, "; "))
			name = ""
		}
	}
}

func (m *marker) words(all []Word) {
	if len(all) == 0 {
		return
	}
	m.line("\n| Value | | Before | After |\n| --- | --- | --- | --- |")
	for _, v := range all {
		m.line("| %s | %s | %s | %s |", m.cells.place(v.Path, v.Variant), v.What, m.cells.quote(v.Before), m.cells.quote(v.After))
	}
}
