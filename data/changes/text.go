package changes

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"fourmarks.example/lint/report"
)

// Text writes a report for people, in lines of at most width columns.
func Text(w io.Writer, r *Report, width int) error {
	t := &texter{out: bufio.NewWriter(w), width: width, wording: wording{report.Inert}}
	for i, e := range r.Engines {
		if i > 0 {
			fmt.Fprintln(t.out)
		}
		t.engine(e)
	}
	for i, rec := range r.Records {
		if i+len(r.Engines) > 0 {
			fmt.Fprintln(t.out)
		}
		t.record(rec)
	}
	return t.out.Flush()
}

// FiguresText writes what differs about figures and other values as Text does
// below the name of an engine.
func FiguresText(w io.Writer, figures []Figure, words []Word, width int) error {
	t := &texter{out: bufio.NewWriter(w), width: width, wording: wording{report.Inert}}
	for _, f := range figures {
		t.figure(f)
	}
	t.words(words)
	return t.out.Flush()
}

type texter struct {
	wording
	out   *bufio.Writer
	width int
}

// line writes a phrase, wrapped and indented; what follows on further lines is
// indented by a step more.
func (t *texter) line(indent int, phrase string) {
	t.behind(strings.Repeat(" ", indent), indent+step, phrase)
}

// behind writes a phrase behind what its first line starts with; what follows on
// further lines is indented.
func (t *texter) behind(start string, indent int, phrase string) {
	room := max(t.width-max(report.Width(start), indent), leastRoom)
	for i, part := range report.Wrap(phrase, room) {
		if i > 0 {
			start = strings.Repeat(" ", indent)
		}
		fmt.Fprintln(t.out, strings.TrimRight(start+part, " "))
	}
}

const (
	step    = 2
	leading = 10 // the column of a change, behind what it is

	leastRoom = 20 // for a phrase, on however narrow a terminal
)

func (t *texter) engine(e Engine) {
	t.behind(t.quote(e.ID)+"  ", step, t.quote(e.Title))
	t.line(step, t.quote(e.File))
	if s := t.fate(e); s != "" {
		t.line(step, s)
	}
	t.unread(e.Unread)
	for _, f := range e.Figures {
		t.figure(f)
	}
	t.words(e.Words)
	for _, l := range relations(e) {
		if len(l.all) > 0 {
			t.line(step, l.title+":")
		}
		for _, r := range l.all {
			t.line(2*step, t.relation(r))
		}
	}
}

func (t *texter) unread(faults []string) {
	for _, fault := range faults {
		t.line(step, "cannot be read in full "+t.quote(fault))
	}
}

func (t *texter) figure(f Figure) {
	t.line(step, t.place(f.Path, f.Variant))
	for _, c := range f.Claims {
		t.row(string(c.What()), t.change(c))
		for _, remark := range t.remarks(c) {
			t.line(2*step+leading, remark)
		}
	}
	for _, s := range t.consequences(f) {
		t.line(2*step, s)
	}
}

// row writes a phrase behind what it is.
func (t *texter) row(what, phrase string) {
	t.behind(fmt.Sprintf("%*s%-*s", 2*step, "", leading, what), 2*step+leading, phrase)
}

func (t *texter) words(words []Word) {
	for _, v := range words {
		t.line(step, t.place(v.Path, v.Variant)+": "+t.word(v))
	}
}

func (t *texter) record(r Record) {
	t.line(0, t.quote(r.File))
	if r.Fate != Kept {
		t.line(step, string(r.Fate))
	}
	t.unread(r.Unread)
	t.words(r.Words)
}
