// Package report shows what a lint run found: to people on a terminal, to
// programs as JSON, to code hosts as SARIF or annotations, to build servers as
// JUnit XML, to editors line by line. It also holds the one function that makes
// any text from a file harmless to show.
package report

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// Options says how a report is written for people.
type Options struct {
	// Source returns the text of a file named in a finding, to be quoted; nil
	// quotes nothing.
	Source func(name string) ([]byte, error)
	// Width is how many columns a line may take; 0 means 80. File names, and
	// they alone, may be longer.
	Width int
	// Colour adds colour; nothing is said by colour alone.
	Colour bool
	// Accepted lists the accepted findings too, with their reasons.
	Accepted bool
	// Elapsed is how long the run took; 0 is not shown.
	Elapsed time.Duration
}

// Text writes a report for people.
func Text(w io.Writer, res run.Result, o Options) error {
	if o.Width <= 0 {
		o.Width = 80
	}
	t := &texter{out: bufio.NewWriter(w), width: max(o.Width, leastWidth), colour: o.Colour, sources: sources{read: o.Source}}
	for _, f := range res.Findings {
		t.finding(f)
	}
	if o.Accepted {
		for _, a := range res.Accepted {
			t.accepted(a)
		}
	}
	t.summary(res, o.Elapsed)
	return t.out.Flush()
}

// leastWidth is the narrowest terminal that a report is laid out for.
const leastWidth = 30

type texter struct {
	out     *bufio.Writer
	width   int
	colour  bool
	sources sources
}

const (
	bold  = "\x1b[1m"
	faint = "\x1b[2m"
	reset = "\x1b[0m"
)

var levelColours = [...]string{lint.Note: "\x1b[36m", lint.Warning: "\x1b[33m", lint.Error: "\x1b[31m"}

func (t *texter) paint(colour, s string) string {
	if !t.colour {
		return s
	}
	return colour + s + reset
}

func (t *texter) line(format string, args ...any) {
	fmt.Fprintf(t.out, format+"\n", args...)
}

// wrapped writes a text that a file may have had a hand in, indented.
func (t *texter) wrapped(indent int, s string) {
	for _, line := range Wrap(Inert(s), t.width-indent) {
		t.line("%*s%s", indent, "", line)
	}
}

func place(file string, line, column int) string {
	return fmt.Sprintf("%s:%d:%d", Inert(file), line, column)
}

func (t *texter) finding(f *lint.Finding) {
	t.line("%s  %s  %s%s", t.paint(bold, place(f.File, f.Line, f.Column)),
		t.paint(levelColours[f.Level], f.Level.String()), Inert(f.Rule), inVariant(f.Variant))
	t.wrapped(2, sentence(f.Message))
	t.quoted(f)
	t.working(f.Working)
	t.suspects(f)
	t.advice(f)
	t.line("")
}

func inVariant(variant string) string {
	if variant == "" {
		return ""
	}
	return "  (variant " + Inert(variant) + ")"
}

// sentence gives a message its full stop.
func sentence(message string) string {
	message = strings.TrimSpace(message)
	if message != "" && !strings.HasSuffix(message, ".") && !strings.HasSuffix(message, "?") {
		message += "."
	}
	return message
}

// quoted shows the line of the finding with the part meant underlined, and one
// line for each place that has to do with it.
func (t *texter) quoted(f *lint.Finding) {
	gutter := len(strconv.Itoa(f.Line))
	for _, r := range f.Related {
		gutter = max(gutter, len(strconv.Itoa(r.Line)))
	}
	if line, ok := t.sources.line(f.File, f.Line); ok {
		end := f.EndCol
		if f.EndLine > f.Line {
			end = 0
		}
		p := quote(line, f.Column, end, t.width-gutter-4)
		t.line("")
		t.line("  %*d: %s", gutter, f.Line, p.text)
		t.line("  %*s  %s%s", gutter, "", strings.Repeat(" ", p.from), t.paint(levelColours[f.Level], strings.Repeat("^", p.to-p.from)))
	}
	for _, r := range f.Related {
		t.related(f.File, gutter, r)
	}
}

func (t *texter) related(file string, gutter int, r lint.Related) {
	message := Inert(r.Message)
	line, ok := t.sources.line(r.File, r.Line)
	if !ok || r.File != file {
		t.wrapped(2, place(r.File, r.Line, r.Column)+": "+message)
		return
	}
	room := t.width - gutter - 4
	text := quote(strings.TrimRight(line, " \t"), 1, 1, room).text
	if apart := 2; Width(text)+apart+Width(message)+2 <= room {
		t.line("  %*d: %s%*s%s", gutter, r.Line, text, apart, "", t.paint(faint, "("+message+")"))
		return
	}
	t.line("  %*d: %s", gutter, r.Line, text)
	t.wrapped(gutter+4, "("+message+")")
}

func (t *texter) working(lines []string) {
	if len(lines) == 0 {
		return
	}
	t.line("")
	t.line("  Worked out:")
	for _, s := range lines {
		if s == "" {
			t.line("")
			continue
		}
		for i, part := range Wrap(Inert(s), t.width-8) {
			t.line("%*s%s", min(4+4*i, 8), "", part)
		}
	}
}

func (t *texter) suspects(f *lint.Finding) {
	heading, lines := Suspicion(f)
	if len(lines) == 0 {
		return
	}
	t.line("")
	if heading == "" {
		t.wrapped(2, strings.Join(lines, " "))
		return
	}
	t.wrapped(2, heading)
	for _, s := range lines {
		for i, part := range Wrap(Inert(s), t.width-8) {
			t.line("%*s%s", min(4+4*i, 8), "", part)
		}
	}
}

// advice says where the rule is explained, and how the finding is mended or kept.
func (t *texter) advice(f *lint.Finding) {
	t.line("")
	t.wrapped(2, "More: fourmarks explain "+f.Rule)
	if f.Fix != nil {
		t.wrapped(2, "To have it mended: fourmarks lint --fix ("+f.Fix.Title+")")
	}
	if f.Path != "" {
		t.wrapped(2, fmt.Sprintf("To keep it, give the reason under accepted: %s: {%s: reason}", f.Path, f.Rule))
	}
}

func (t *texter) accepted(a run.Accepted) {
	f := a.Finding
	t.line("%s  accepted %s  %s%s", t.paint(bold, place(f.File, f.Line, f.Column)), f.Level, Inert(f.Rule), inVariant(f.Variant))
	t.wrapped(2, sentence(f.Message))
	t.wrapped(2, sentence("Kept because: "+a.Reason))
	t.line("")
}

func (t *texter) summary(res run.Result, elapsed time.Duration) {
	took := ""
	if elapsed > 0 {
		took = fmt.Sprintf(" in %.2f s", elapsed.Seconds())
	}
	t.wrapped(0, inAll(res)+took)
}

// inAll sums up a run in one line.
func inAll(res run.Result) string {
	s := Summarize(res)
	parts := []string{count(s.Errors, "error"), count(s.Warnings, "warning"), count(s.Notes, "note")}
	if s.Accepted > 0 {
		parts = append(parts, fmt.Sprintf("%d accepted", s.Accepted))
	}
	return fmt.Sprintf("%s: %s, %s, %s", strings.Join(parts, ", "), count(s.Files, "file"), count(s.Engines, "engine"), count(res.Rules, "rule"))
}

// count says how many there are of something: no error, 1 error, 2 errors.
func count(n int, what string) string {
	switch n {
	case 0:
		return "no " + what + "s"
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
