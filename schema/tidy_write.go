package schema

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"fourmarks.example/schema/text"
)

const (
	tidyStep  = 2   // spaces to a level
	tidyWidth = 100 // characters of a line with braces or brackets
)

// tidyWriter writes the canonical text of a document. It never ends the line it
// is on before it knows that the next one starts.
type tidyWriter struct {
	doc *text.Doc
	out bytes.Buffer
	// full is set behind a block of text whose last line ends are part of it: a
	// blank line would add to it.
	full bool
}

// member is an entry of a map, or an item of a list and then without entry.
type member struct {
	entry *text.Entry
	value *text.Node
	order *keyOrder // of its value
	first bool      // in the source
}

func (w *tidyWriter) document(order *keyOrder) {
	var head, tail []text.Comment
	if len(w.doc.Comments) > 0 {
		head, tail = w.doc.Head(), w.doc.Tail()
	}
	w.comments(0, head, true)
	members := w.membersOf(w.doc.Root, order)
	for i := range members {
		first := i == 0
		if first && len(head) > 0 || !first && w.apart(&members[i]) {
			w.blank()
		}
		w.member(&members[i], 0, false, !first, i == len(members)-1)
	}
	if len(tail) > 0 && w.gapBefore(tail[0].Span.Start) {
		w.blank()
	}
	w.comments(0, tail, true)
	w.out.WriteByte('\n')
}

// membersOf returns the members of a map or list in order.
func (w *tidyWriter) membersOf(n *text.Node, order *keyOrder) []member {
	if n.Kind == text.List {
		out := make([]member, len(n.Items))
		for i, item := range n.Items {
			out[i] = member{value: item, first: i == 0}
		}
		return out
	}
	entries := order.sort(n.Entries)
	out := make([]member, len(entries))
	for i := range entries {
		e := &entries[i]
		out[i] = member{entry: e, value: e.Value, order: order.under(e.Key.Text), first: e.Key == n.Entries[0].Key}
	}
	return out
}

// attached returns the comments of a member. Where there are none in the whole
// file, the text layer need not work out whose they are.
func (w *tidyWriter) attached(m *member) text.Attached {
	switch {
	case len(w.doc.Comments) == 0:
		return text.Attached{}
	case m.entry == nil:
		return w.doc.AttachedItem(m.value)
	}
	return w.doc.Attached(m.entry)
}

// apart reports whether a blank line parts a member from the one before it.
func (w *tidyWriter) apart(m *member) bool {
	switch {
	case m.first:
		return false
	case m.entry == nil:
		return w.gapBefore(w.doc.ItemExtent(m.value).Start)
	case len(w.doc.Comments) == 0:
		return w.gapBefore(m.entry.Key.Span.Start)
	}
	return w.gapBefore(w.doc.Extent(m.entry).Start)
}

func (w *tidyWriter) raw(n *text.Node) []byte { return w.doc.Source[n.Span.Start:n.Span.End] }

// head writes what a member starts with: its key and a colon, or a dash.
func (w *tidyWriter) head(m *member) {
	if m.entry == nil {
		w.out.WriteByte('-')
		return
	}
	w.out.Write(w.raw(m.entry.Key))
	w.out.WriteByte(':')
}

// members writes the members of a map or list, the first of them on the line
// that has been begun when continued is set.
func (w *tidyWriter) members(all []member, indent int, continued bool) {
	for i := range all {
		if i > 0 && w.apart(&all[i]) {
			w.blank()
		}
		w.member(&all[i], indent, continued && i == 0, true, i == len(all)-1)
	}
}

// member writes one member with its comments. Blank lines among the comments
// above it are kept when spaced is set.
func (w *tidyWriter) member(m *member, indent int, continued, spaced, last bool) {
	c := w.attached(m)
	above := c.Above
	c = placed(c, m.value)
	w.comments(indent, c.Above, spaced)
	if spaced && w.gapBehind(above) {
		w.blank()
	}
	if !continued {
		w.line(indent)
	}
	w.head(m)
	lines := w.value(m, indent, c.Beside)
	w.comments(indent+tidyStep, c.Below, true)
	if len(c.Below) > 0 && !lines && !last {
		w.blank()
	}
}

// placed returns the comments of a member where the canonical text has them:
// those inside its value go above it, and so do those that a block of text
// would swallow.
func placed(c text.Attached, value *text.Node) text.Attached {
	if len(c.Inside) > 0 {
		c.Above = append(c.Above[:len(c.Above):len(c.Above)], c.Inside...)
	}
	isBlock := value.Kind == text.Scalar && value.Style >= text.Literal
	if isBlock && len(c.Beside) > 1 {
		c.Above = append(c.Above[:len(c.Above):len(c.Above)], c.Beside[1:]...)
		c.Beside = c.Beside[:1]
	}
	if isBlock && len(c.Below) > 0 {
		c.Above = append(c.Above[:len(c.Above):len(c.Above)], c.Below...)
		c.Below = nil
	}
	return c
}

// value writes the value of a member behind its head, and reports whether its
// members stand on lines of their own.
func (w *tidyWriter) value(m *member, indent int, beside []text.Comment) bool {
	n := m.value
	switch {
	case n.Absent:
	case n.Kind == text.Scalar:
		w.out.WriteByte(' ')
		w.scalar(n, indent, beside)
		return false
	case n.Flow && w.fits(m):
	default:
		below := w.membersOf(n, m.order)
		if m.entry == nil && len(beside) == 0 && len(placed(w.attached(&below[0]), below[0].value).Above) == 0 {
			w.out.WriteByte(' ')
			w.members(below, indent+tidyStep, true)
			return true
		}
		w.beside(beside)
		w.members(below, indent+tidyStep, false)
		return true
	}
	w.beside(beside)
	return false
}

func isEmpty(n *text.Node) bool { return len(n.Entries)+len(n.Items) == 0 }

// fits writes a value in braces or brackets on the line that has been begun,
// unless it holds comments or text of several lines, or makes the line too long.
// An empty one always fits.
func (w *tidyWriter) fits(m *member) bool {
	before := w.out.Len()
	w.out.WriteByte(' ')
	if w.inline(m.value, m.order) && w.column() <= tidyWidth || isEmpty(m.value) {
		return true
	}
	w.out.Truncate(before)
	return false
}

// inline writes what stands in braces or brackets without a line end, and
// reports false where that cannot be.
func (w *tidyWriter) inline(n *text.Node, order *keyOrder) bool {
	if n.Kind == text.Scalar {
		raw := w.raw(n)
		if !bytes.ContainsAny(raw, "\r\n") {
			w.out.Write(raw)
			return true
		}
		w.out.WriteString(n.Text)
		return n.Style == text.Plain && !strings.Contains(n.Text, "\n")
	}
	open, shut := byte('{'), byte('}')
	if n.Kind == text.List {
		open, shut = '[', ']'
	}
	w.out.WriteByte(open)
	members := w.membersOf(n, order)
	for i := range members {
		m := &members[i]
		if hasComments(w.attached(m)) {
			return false
		}
		if i > 0 {
			w.out.WriteString(", ")
		}
		if m.entry != nil {
			w.head(m)
			w.out.WriteByte(' ')
		}
		if !w.inline(m.value, m.order) {
			return false
		}
	}
	w.out.WriteByte(shut)
	return true
}

func hasComments(a text.Attached) bool {
	return len(a.Above)+len(a.Beside)+len(a.Inside)+len(a.Below) > 0
}

// scalar writes a scalar and the comments beside it.
func (w *tidyWriter) scalar(n *text.Node, indent int, beside []text.Comment) {
	raw := w.doc.Source[n.Span.Start:n.Span.End]
	if bytes.IndexByte(raw, '\n') < 0 && bytes.IndexByte(raw, '\r') < 0 && n.Style < text.Literal {
		w.out.Write(raw)
		w.beside(beside)
		return
	}
	lines := splitLines(string(raw))
	if n.Style >= text.Literal {
		w.block(n, lines, indent, beside)
		return
	}
	for i, s := range lines {
		if i > 0 {
			s = strings.TrimLeft(s, " \t")
		}
		if i < len(lines)-1 {
			s = trimBlanks(s, n.Style)
		}
		if i > 0 && s != "" {
			w.line(indent + tidyStep)
		} else if i > 0 {
			w.out.WriteByte('\n')
		}
		w.out.WriteString(s)
	}
	w.beside(beside)
}

// trimBlanks cuts the blanks off the end of a line of text, but not one that a
// backslash makes part of the text.
func trimBlanks(s string, style text.Style) string {
	short := strings.TrimRight(s, " \t")
	backslashes := len(short) - len(strings.TrimRight(short, `\`))
	if style == text.DoubleQuoted && backslashes%2 == 1 && len(short) < len(s) {
		return s[:len(short)+1]
	}
	return short
}

// block writes a literal or folded block of text. Its lines are those of the
// source, moved as one.
func (w *tidyWriter) block(n *text.Node, lines []string, indent int, beside []text.Comment) {
	body := lines[1:]
	cut := blockIndent(n, body)
	explicit, begun := false, false
	for i, s := range body {
		body[i] = s[min(cut, len(s)-len(strings.TrimLeft(s, " "))):]
		if !begun && body[i] != "" {
			explicit = body[i][0] == ' '
			begun = true
		}
	}
	header := lines[0][:1]
	if explicit {
		header += string(rune('0' + tidyStep))
	}
	if chomp := chompOf(n, lines[0]); chomp != 0 {
		header += string(chomp)
	}
	w.out.WriteString(header)
	w.beside(beside)
	for _, s := range body {
		if s == "" {
			w.out.WriteByte('\n')
			continue
		}
		w.line(indent + tidyStep)
		w.out.WriteString(s)
	}
	w.full = chompOf(n, lines[0]) == '+'
}

// blockIndent returns by how many spaces the lines of a block of text are
// indented: what the first line with text has more in the source than in the text.
func blockIndent(n *text.Node, body []string) int {
	spaces := func(lines []string) int {
		for _, s := range lines {
			if trimmed := strings.TrimLeft(s, " "); trimmed != "" {
				return len(s) - len(trimmed)
			}
		}
		return 0
	}
	return spaces(body) - spaces(strings.Split(n.Text, "\n"))
}

// chompOf returns the sign in a block's header that says what becomes of the
// line ends behind it. A text that ends with its file, without a line end,
// needs the sign that says so, for the file gets one.
func chompOf(n *text.Node, header string) byte {
	if n.Text != "" && !strings.HasSuffix(n.Text, "\n") {
		return '-'
	}
	for i := 1; i < len(header); i++ {
		switch c := header[i]; {
		case c == '+' || c == '-':
			return c
		case c < '1' || c > '9':
			return 0
		}
	}
	return 0
}

// beside writes the comments at the end of a line: the first on it, the others
// below in the same column.
func (w *tidyWriter) beside(comments []text.Comment) {
	column := 0
	for i, c := range comments {
		if i == 0 {
			w.out.WriteString("  ")
			column = w.column()
		} else {
			w.line(column)
		}
		w.out.WriteString(commentText(w.doc, c))
	}
}

// column is how many characters stand on the line.
func (w *tidyWriter) column() int {
	b := w.out.Bytes()
	return utf8.RuneCount(b[bytes.LastIndexByte(b, '\n')+1:])
}

// comments writes comments on lines of their own, with the blank lines among
// them when spaced is set.
func (w *tidyWriter) comments(indent int, comments []text.Comment, spaced bool) {
	for i, c := range comments {
		if i > 0 && spaced && w.gapBefore(c.Span.Start) {
			w.blank()
		}
		w.line(indent)
		w.out.WriteString(commentText(w.doc, c))
	}
}

// line begins a line.
func (w *tidyWriter) line(indent int) {
	if w.out.Len() > 0 {
		w.out.WriteByte('\n')
	}
	w.full = false
	const spaces = "                                                                                "
	for ; indent > len(spaces); indent -= len(spaces) {
		w.out.WriteString(spaces)
	}
	w.out.WriteString(spaces[:indent])
}

// blank leaves a blank line, unless it would become part of the text before.
func (w *tidyWriter) blank() {
	if b := w.out.Bytes(); !w.full && len(b) > 0 && !bytes.HasSuffix(b, []byte("\n")) {
		w.out.WriteByte('\n')
	}
}

// gapBefore reports whether a blank line stands above the line of an offset in
// the source, and is not part of a text.
func (w *tidyWriter) gapBefore(offset int) bool {
	src := w.doc.Source
	start := lineStart(src, offset)
	if start == 0 {
		return false
	}
	end := start - 1
	if src[end] == '\n' && end > 0 && src[end-1] == '\r' {
		end--
	}
	above := lineStart(src, end)
	if !isBlank(src[above:end]) {
		return false
	}
	_, n := w.doc.NodeAt(above)
	return n == nil || n.Kind != text.Scalar
}

// gapBehind reports whether a blank line follows the last of some comments.
func (w *tidyWriter) gapBehind(comments []text.Comment) bool {
	if len(comments) == 0 {
		return false
	}
	line, _ := w.doc.Position(comments[len(comments)-1].Span.End)
	return isBlank([]byte(w.doc.Line(line + 1)))
}

// lineStart returns where the line of an offset starts.
func lineStart(src []byte, offset int) int {
	for offset > 0 && src[offset-1] != '\n' && src[offset-1] != '\r' {
		offset--
	}
	return offset
}

func isBlank(line []byte) bool { return len(bytes.TrimLeft(line, " \t")) == 0 }

// splitLines splits a text at its line ends, of any kind.
func splitLines(s string) []string {
	s = strings.ReplaceAll(s, "\r\n", "\n")
	return strings.Split(strings.ReplaceAll(s, "\r", "\n"), "\n")
}
