package merge

import (
	"bytes"
	"slices"
	"strings"

	"fourmarks.example/schema/text"
)

const byteOrderMark = "\uFEFF"

// three settles a piece of layout: what one side changed is changed; of two
// changes the longer, or else the greater, is taken, whichever side it is of.
func three(all [3]string) string {
	b, o, t := all[base], all[ours], all[theirs]
	switch {
	case o == t, t == b:
		return o
	case o == b:
		return t
	case len(o) != len(t) && len(o) > len(t), len(o) == len(t) && o > t:
		return o
	}
	return t
}

// together is three for lines of comments: two changes are both made.
func together(all [3]string) string {
	b, o, t := all[base], all[ours], all[theirs]
	if o == t || o == b || t == b {
		return three(all)
	}
	var out strings.Builder
	for _, line := range lines(glued(b), glued(o), glued(t)) {
		out.WriteString(line + "\n")
	}
	return out.String()
}

// glued splits a text into lines, blank lines kept with the line behind them.
func glued(s string) []string {
	var out []string
	blanks := ""
	for line := range strings.Lines(s) {
		line = strings.TrimSuffix(line, "\n")
		if strings.TrimSpace(line) == "" {
			blanks += "\n"
			continue
		}
		out = append(out, blanks+strings.TrimRight(line, " \t"))
		blanks = ""
	}
	if blanks != "" {
		out = append(out, "")
	}
	return out
}

// each asks something of each text; the base says "" where there is none.
func (m *merger) each(ask func(*document) string) [3]string {
	var all [3]string
	for s, d := range m.docs {
		if d != nil {
			all[s] = ask(d)
		}
	}
	return all
}

// mark is the byte order mark, or "".
func (d *document) mark() string {
	if bytes.HasPrefix(d.Source, []byte(byteOrderMark)) {
		return byteOrderMark
	}
	return ""
}

// lineEndOf is how most lines of a text end.
func lineEndOf(source []byte) string {
	crlf := bytes.Count(source, []byte("\r\n"))
	lf, cr := bytes.Count(source, []byte("\n"))-crlf, bytes.Count(source, []byte("\r"))-crlf
	switch {
	case crlf > lf && crlf >= cr:
		return "\r\n"
	case cr > lf:
		return "\r"
	}
	return "\n"
}

// before is what stands before the first key, behind what stands after the last
// value.
func (d *document) before() string {
	return unix(d.Source[len(d.mark()):d.rootMember().extent().Start])
}

func (d *document) behind() string {
	return unix(d.Source[d.rootMember().extent().End:])
}

// ending is the end of the last line, "" where there is none.
func (d *document) ending() string {
	if n := len(d.Source); n > 0 && (d.Source[n-1] == '\n' || d.Source[n-1] == '\r') {
		return "\n"
	}
	return ""
}

// remarks are the comments of a member. Each is kept with the blank lines before
// it; an empty one is a blank line between the last and the key.
type remarks struct {
	above, beside, below []string
	inner                []string // in the value itself, where it is taken as it stands
}

func (r remarks) equal(o remarks) bool {
	return slices.Equal(r.above, o.above) && slices.Equal(r.beside, o.beside) && slices.Equal(r.below, o.below) && slices.Equal(r.inner, o.inner)
}

// beyond is what goes above a member whose value is written as another has it:
// also what the others remark in theirs.
func (r remarks) beyond(m *member) []string {
	out := r.above
	has := setOf(slices.Concat(m.remarks().inner, r.above))
	for _, line := range r.inner {
		if !has[line] {
			out = append(out[:len(out):len(out)], line)
		}
	}
	return out
}

func (m *member) remarks() remarks {
	if len(m.of.Comments) == 0 || m.value == m.of.Root {
		return remarks{}
	}
	a := m.attached()
	r := remarks{above: m.commentLines(a.Above), below: m.commentLines(a.Below)}
	if n := len(a.Above); n > 0 && !m.inFlow && blank(m.of.Source[m.of.lineAfter(a.Above[n-1].Span.End):m.of.lineAfter(m.of.lineAfter(a.Above[n-1].Span.End))]) {
		r.above = append(r.above, "")
	}
	for _, c := range a.Beside {
		if c.Span.Start < m.firstInLines() || c.Span.Start >= m.bodyEnd() {
			r.beside = append(r.beside, m.comment(c))
		}
	}
	if m.headed() {
		return r
	}
	for _, c := range m.of.commentsIn(max(m.id.Span.Start, m.firstInLines()), m.bodyEnd()) {
		r.inner = append(r.inner, m.comment(c))
	}
	return r
}

// commentsIn returns the comments that start between two offsets.
func (d *document) commentsIn(start, end int) []text.Comment {
	at := func(offset int) int {
		i, _ := slices.BinarySearchFunc(d.Comments, offset, func(c text.Comment, at int) int { return c.Span.Start - at })
		return i
	}
	return d.Comments[at(start):max(at(start), at(end))]
}

// inLines reports whether the value is a map or list with members in lines of their
// own.
func (m *member) inLines() bool {
	return !m.value.Flow && len(m.value.Entries)+len(m.value.Items) > 0
}

// firstInLines is where the first of these members starts, 0 where there are none.
func (m *member) firstInLines() int {
	if !m.inLines() {
		return 0
	}
	return firstMember(m.value)
}

func (m *member) comment(c text.Comment) string {
	return strings.TrimRight(string(m.of.Source[c.Span.Start:c.Span.End]), " \t\r\n")
}

func (m *member) commentLines(all []text.Comment) []string {
	var out []string
	for i, c := range all {
		blanks := ""
		if i > 0 {
			between := unix(m.of.Source[all[i-1].Span.End:c.Span.Start])
			blanks = strings.Repeat("\n", max(0, strings.Count(between, "\n")-1))
		}
		out = append(out, blanks+m.comment(c))
	}
	return out
}

// remarks are those of the result: a side that does not have the member has no say.
func (n *node) remarks() remarks {
	var all [3]remarks
	for s, at := range n.at {
		if at != nil && !n.standsIn(side(s)) {
			all[s] = at.remarks()
		}
	}
	switch {
	case n.at[ours] == nil:
		return all[theirs]
	case n.at[theirs] == nil:
		return all[ours]
	}
	merge := func(part func(remarks) []string) []string {
		return lines(part(all[base]), part(all[ours]), part(all[theirs]))
	}
	return remarks{
		above:  merge(func(r remarks) []string { return r.above }),
		beside: merge(func(r remarks) []string { return r.beside }),
		below:  merge(func(r remarks) []string { return r.below }),
		inner:  merge(func(r remarks) []string { return r.inner }),
	}
}

// standsIn reports whether a side is there for the manner of writing only, see
// merger.union. What is remarked in additions is added.
func (n *node) standsIn(s side) bool {
	return s == base && n.at[theirs] != nil && n.at[base].of == n.at[theirs].of
}

// gap is the blank lines before a place, with the same say.
func (n *node) gap() string {
	var all [3]string
	for s, at := range n.at {
		if at != nil && !at.inFlow {
			all[s] = unix(at.of.Source[at.gap:at.extent().Start])
		}
	}
	switch {
	case n.at[ours] == nil:
		return all[theirs]
	case n.at[theirs] == nil:
		return all[ours]
	}
	return three(all)
}

// layout picks the side whose way of writing a place is followed: lines of its own
// before braces, for the whole is written in braces only where every side does so.
func (n *node) layout() side {
	from := n.from
	if len(from) == 0 {
		from = n.present()
	}
	if slices.Contains(from, ours) && n.at[base] != nil && n.standsIn(base) {
		return ours
	}
	inFlow := func(s side) bool { return n.at[s].inFlow }
	if lines := slices.DeleteFunc(slices.Clone(from), inFlow); len(lines) > 0 {
		from = lines
	}
	if len(from) == 1 {
		return from[0]
	}
	written := func(s side) string {
		if n.at[s] == nil {
			return ""
		}
		return n.at[s].manner()
	}
	o, t := written(ours), written(theirs)
	if n.at[base] != nil && o == written(base) || n.at[base] != nil && t != written(base) && t < o || n.at[base] == nil && t < o {
		return theirs
	}
	return ours
}

// present lists the sides that have a place, and of them those that have it with
// members in lines, if any do.
func (n *node) present() []side {
	var all, headed []side
	for _, s := range []side{ours, theirs} {
		if n.at[s] == nil {
			continue
		}
		all = append(all, s)
		if n.at[s].headed() {
			headed = append(headed, s)
		}
	}
	if len(headed) > 0 {
		return headed
	}
	return all
}

// manner is how a member is written: all of it, or only its head where its
// members stand in lines of their own.
func (m *member) manner() string {
	if m.inFlow {
		return unix(m.of.Source[m.id.Span.Start:m.bodyEnd()])
	}
	start := m.keyLine() + m.column()
	end, step := m.bodyEnd(), ""
	if m.headed() {
		end, step = m.lineEndBehindHead(), strings.Repeat(" ", m.step())
	}
	first, rest := cutLine(m.of.Source[start:max(start, end)])
	return unix(first) + unix(shift(rest, -m.column())) + step
}

// headed reports whether the member is a map or list that is merged by its
// members, or several claims, in lines of their own.
func (m *member) headed() bool {
	return !m.value.Flow && (merged(m) || m.claimsMember() != nil && m.isFigure())
}

// step is how far in the members of the member stand.
func (m *member) step() int {
	if !m.headed() {
		return usualStep
	}
	return max(m.members()[0].column()-m.column(), 0)
}

// isFlow reports whether a place is written in braces or brackets: where every side
// does so and nothing in there is a comment.
func (n *node) isFlow() bool {
	for _, s := range []side{ours, theirs} {
		if at := n.at[s]; at != nil && (!at.value.Flow || len(at.of.commentsIn(at.value.Span.Start, at.value.Span.End)) > 0) {
			return false
		}
	}
	return true
}

func (m *member) keyText() string { return unix(m.of.Source[m.id.Span.Start:m.id.Span.End]) }

// bodyEnd is where the value ends, or the line of the last of its members where
// they stand in lines of their own.
func (m *member) bodyEnd() int {
	n := m.value
	if !m.inLines() {
		return max(m.id.Span.End, n.Span.End)
	}
	all := m.members()
	end := all[len(all)-1].extent().End
	return len(bytes.TrimRight(m.of.Source[:end], "\r\n"))
}

// shift moves lines to the right, or to the left as far as they are blank there.
func shift(b []byte, by int) []byte {
	if by == 0 || len(b) == 0 {
		return b
	}
	var out []byte
	for len(b) > 0 {
		line, rest := cutLine(b)
		switch own := len(line) - len(bytes.TrimLeft(line, " ")); {
		case len(bytes.TrimRight(line, "\r\n")) == 0:
		case by > 0:
			out = append(out, strings.Repeat(" ", by)...)
		default:
			line = line[min(own, -by):]
		}
		out = append(out, line...)
		b = rest
	}
	return out
}

// cutLine cuts off the first line with its end.
func cutLine(b []byte) (line, rest []byte) {
	i := bytes.IndexAny(b, "\r\n")
	switch {
	case i < 0:
		return b, nil
	case b[i] == '\r' && i+1 < len(b) && b[i+1] == '\n':
		i++
	}
	return b[:i+1], b[i+1:]
}
