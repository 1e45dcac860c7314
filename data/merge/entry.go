package merge

import (
	"slices"
	"strings"

	"fourmarks.example/schema/text"
)

// entry writes a key with the value of a member, and a source beside the print
// unless it is "". It is written from a key that stands at a column on; lines that
// follow stand further in.
func entry(key string, m *member, from string, column int) string {
	v := m.value
	margin := "\n" + strings.Repeat(" ", column+usualStep)
	inLines := m.inLines()
	switch {
	case from == "" && m.isItem():
		return "- " + m.hanging(column)
	case from == "" && v.Absent:
		return key + ":"
	case from == "" && inLines:
		return key + ":" + m.region(column+usualStep)
	case from == "":
		return key + ": " + m.hanging(column)
	case inLines && v.Kind == text.Map:
		return key + ":" + m.region(column+usualStep) + margin + "from: " + text.Spell(from, false)
	case v.Kind == text.Map:
		return key + ": " + m.withFrom(from, column)
	case m.inFlow || isSimple(v):
		return key + ": {" + m.plain("is") + ": " + m.hanging(column) + ", " + m.plain("from") + ": " + m.plain(from) + "}"
	case inLines:
		return key + ":" + margin + "is:" + m.region(column+2*usualStep) + margin + "from: " + text.Spell(from, false)
	}
	return key + ":" + margin + "is: " + m.hanging(column+usualStep) + margin + "from: " + text.Spell(from, false)
}

// hanging is the value with the lines after its first moved as the first is, and
// further in than the column of its key.
func (m *member) hanging(column int) string {
	return hang(m.of.Source[m.value.Span.Start:m.value.Span.End], column-m.column(), column+1)
}

func hang(b []byte, by, least int) string {
	first, rest := cutLine(b)
	out := unix(first)
	for line := range strings.Lines(unix(shift(rest, by))) {
		own := len(line) - len(strings.TrimLeft(line, " "))
		if strings.TrimSpace(line) != "" {
			out += strings.Repeat(" ", max(0, least-own))
		}
		out += line
	}
	return out
}

// region is the lines of the members of the value, at a column, each behind the end
// of the line before it.
func (m *member) region(column int) string {
	lines := m.of.Source[m.lineEndBehindHead():m.bodyEnd()]
	return "\n" + unix(shift(lines, column-m.members()[0].column()))
}

// withFrom is a print with its remarks in braces, with a source beside them.
func (m *member) withFrom(from string, column int) string {
	v := m.value
	if len(v.Entries) == 0 {
		return "{" + m.plain("from") + ": " + m.plain(from) + "}"
	}
	last := v.Entries[len(v.Entries)-1]
	at := max(last.Key.Span.End, last.Value.Span.End)
	by := column - m.column()
	src := m.of.Source
	colon := ""
	if last.Value.Absent && last.Value.Span.End > last.Key.Span.End {
		colon = " "
	}
	return hang(slices.Concat(src[v.Span.Start:at], []byte(colon+", "+m.plain("from")+": "+m.plain(from)), src[at:v.Span.End]), by, column+1)
}

// isSimple reports whether a print can be moved into braces as it stands.
func isSimple(n *text.Node) bool {
	switch {
	case n.Kind == text.List:
		return n.Flow && !slices.ContainsFunc(n.Items, func(i *text.Node) bool { return !isSimple(i) })
	case n.Kind == text.Map || n.Style == text.Literal || n.Style == text.Folded:
		return false
	case n.Absent:
		return true
	case n.Style == text.Plain:
		return n.Span.End-n.Span.Start == len(n.Text) && !strings.ContainsAny(n.Text, ",[]{}")
	}
	return !strings.ContainsAny(n.Text, "\r\n")
}

// plain writes a text in braces beside the member: as JSON where that is JSON.
func (m *member) plain(s string) string {
	if m.inFlow && m.id.Style == text.DoubleQuoted {
		return text.Quote(s)
	}
	return text.Spell(s, true)
}
