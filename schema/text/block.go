package text

import (
	"fmt"
	"strings"
)

// node reads the node at pos, whose lines are indented further than parent,
// the column of the collection around it (-1 for none).
func (p *parser) node(parent int) *Node {
	for {
		start, line, column := p.pos, p.lineStart, p.column()
		p.refuseProperties()
		if p.atLineEnd() && (!p.next() || p.column() <= parent) {
			return p.absent(start)
		}
		if p.lineStart != line {
			column = p.column()
		}
		switch c := p.peek(); {
		case p.indicator('-', false):
			return p.list(column, parent)
		case p.indicator('?', false):
			p.refuseComplexKey()
			p.skipDeeper(parent)
			return p.absent(start)
		case c == '[' || c == '{':
			return p.flowValue(parent)
		case c == '|' || c == '>':
			return p.blockScalar(parent)
		}
		n, isKey := p.word(parent)
		if isKey {
			return p.blockMap(column, parent, n)
		}
		sound := p.endScalar(n, parent)
		if !p.next() || p.column() <= parent || !p.keyAhead() {
			return n
		}
		if sound {
			p.missingColon(n)
		}
	}
}

// endScalar reads what belongs to n beyond its first line and reports whether
// all was well.
func (p *parser) endScalar(n *Node, parent int) bool {
	if n.Style != Plain {
		return p.expectLineEnd("the closing quote")
	}
	p.continuePlain(n, parent, false)
	return p.checkNumber(n)
}

// missingColon reports a line that ought to be an entry. The space that
// somebody sees after a colon may be one that YAML does not take for one.
func (p *parser) missingColon(n *Node) {
	const noBreak = ":\u00A0"
	if i := strings.Index(p.src[n.Span.Start:n.Span.End], noBreak); i >= 0 {
		at := n.Span.Start + i
		p.report(Span{at, at + len(noBreak)}, "a no-break space stands after this colon: type an ordinary space")
		return
	}
	p.report(n.Span, "this line is no `key: value`: put a colon and a space after the key")
}

// keyAhead reports whether the line goes on as `key:` would.
func (p *parser) keyAhead() bool {
	i := scanPlain(p.src, p.pos, false)
	return colonAt(p.src, skipBlanks(p.src, i))
}

func colonAt(src string, i int) bool {
	return i < len(src) && src[i] == ':' && gapAt(src, i+1)
}

// word reads the quoted scalar or the line of plain text at pos. When a colon
// follows it is a key, and pos is after the colon.
func (p *parser) word(parent int) (n *Node, isKey bool) {
	start, line := p.pos, p.lineStart
	if c := p.peek(); c == '"' || c == '\'' {
		n = p.quoted(parent, false)
	} else {
		n = p.plainLine(false)
	}
	if p.lineStart != line || p.torn {
		return n, false
	}
	i := skipBlanks(p.src, p.pos)
	if !colonAt(p.src, i) {
		return n, false
	}
	p.pos = i + 1
	p.checkKeySize(Span{start, i})
	return n, true
}

func (p *parser) checkKeySize(s Span) {
	switch {
	case s.End == s.Start:
		p.report(Span{s.Start, s.Start + 1}, "no key stands before this colon: write one, or put the text in quotes")
	case s.End-s.Start > longestKey:
		p.report(s, fmt.Sprintf("this key is longer than %d bytes: shorten it", longestKey))
	}
}

// blockMap reads the map in column whose first key has been read; pos is
// after its colon.
func (p *parser) blockMap(column, parent int, key *Node) *Node {
	if !p.enter(key.Span) {
		p.skipDeeper(parent)
		return p.absent(key.Span.Start)
	}
	m := p.newNode(Map, key.Span)
	mark := len(p.entries)
	for here := column; key != nil; {
		value := p.value(here)
		m.Span.End = value.Span.End
		p.entries = append(p.entries, Entry{key, value})
		key, here = p.nextKey(column, here, parent)
	}
	m.Entries = p.takeEntries(mark)
	p.checkKeys(m.Entries)
	p.leave()
	return m
}

// nextKey moves to the next entry of the map in column, whose last entry stood
// in column last, and reads its key. It returns nil at the end of the map, and
// the column of the key, which is not that of the map when the indentation is
// wrong.
func (p *parser) nextKey(column, last, parent int) (key *Node, here int) {
	for p.next() && p.column() > parent {
		here = p.column()
		p.refuseProperties()
		if p.atLineEnd() {
			continue
		}
		if p.strayInMap() {
			p.skipDeeper(here)
			continue
		}
		n, isKey := p.word(here)
		if p.torn {
			p.torn = false
			continue
		}
		if !isKey {
			p.notAnEntry(n, here > column)
			p.skipDeeper(here)
			continue
		}
		if here != column && here != last {
			p.report(n.Span, misfit(here, column))
		}
		return n, here
	}
	return nil, column
}

func misfit(here, column int) string {
	if here > column {
		return "this key stands further in than the keys before it: line it up with them, or put a text of several lines in quotes"
	}
	return "this key lines up with none before it: move it under the key it belongs with"
}

// strayInMap reports what can be no key.
func (p *parser) strayInMap() bool {
	switch c := p.peek(); {
	case p.indicator('-', false):
		p.report(p.restOfLine(), "a list item stands among `key: value` entries: indent it under a key of its own")
	case p.indicator('?', false):
		p.refuseComplexKey()
	case c == '[' || c == '{':
		p.report(p.restOfLine(), "a bracket stands where a key should: write `key:` before it, or put the key in quotes")
	default:
		return false
	}
	return true
}

func (p *parser) refuseComplexKey() {
	p.report(p.restOfLine(), "a key starts with a question mark here: write it plainly as `key: value`, or put it in quotes")
}

// notAnEntry reports a line without a colon.
func (p *parser) notAnEntry(n *Node, deeper bool) {
	if deeper {
		p.report(n.Span, "this line stands further in and is no `key: value`: put a text of several lines in quotes, or add the colon")
		return
	}
	p.missingColon(n)
}

// value reads the value after the colon of a key in column.
func (p *parser) value(column int) *Node {
	colon := p.pos
	p.pos = skipBlanks(p.src, p.pos)
	p.refuseProperties()
	if p.atLineEnd() {
		switch {
		case !p.next() || p.column() < column:
			return p.absent(colon)
		case p.column() > column:
			return p.node(column)
		case p.indicator('-', false):
			return p.list(column, column)
		}
		return p.absent(colon)
	}
	switch c := p.peek(); {
	case p.indicator('-', false):
		p.report(p.restOfLine(), "a list cannot start on the line of its key: put each item on a line of its own, or write [a, b]")
		return p.restAsText()
	case p.indicator('?', false):
		p.report(p.restOfLine(), "a value cannot start with a question mark and a space: put it in quotes")
		return p.restAsText()
	case c == '[' || c == '{':
		return p.flowValue(column)
	case c == '|' || c == '>':
		return p.blockScalar(column)
	case c == '"' || c == '\'':
		n := p.quoted(column, false)
		p.expectLineEnd("the closing quote")
		return n
	}
	n := p.plainLine(false)
	if i := skipBlanks(p.src, p.pos); colonAt(p.src, i) {
		p.report(Span{i, i + 1}, "a second colon on this line: put the value in quotes, or the second key on a line of its own")
		p.pos = n.Span.Start
		return p.restAsText()
	}
	p.continuePlain(n, column, false)
	p.checkNumber(n)
	return n
}

// restAsText takes the rest of the line as it stands.
func (p *parser) restAsText() *Node {
	s := p.restOfLine()
	n := p.newNode(Scalar, s)
	n.Text = p.src[s.Start:s.End]
	p.pos = s.End
	return n
}

// list reads the list with its first dash at pos, in column.
func (p *parser) list(column, parent int) *Node {
	start := p.pos
	if !p.enter(Span{start, start + 1}) {
		p.skipDeeper(parent)
		return p.absent(start)
	}
	l := p.newNode(List, Span{start, start + 1})
	mark := len(p.items)
	for here, more := column, true; more; here, more = p.nextItem(column, here, parent) {
		item := p.item(here)
		l.Span.End = item.Span.End
		p.items = append(p.items, item)
	}
	l.Items = p.takeItems(mark)
	p.leave()
	return l
}

// item reads the item after the dash at pos.
func (p *parser) item(column int) *Node {
	dash := p.pos + 1
	p.pos = skipBlanks(p.src, dash)
	for i := dash; i < p.pos; i++ {
		if p.src[i] == '\t' {
			p.report(Span{i, i + 1}, "a tab after the dash of a list: use a space")
			break
		}
	}
	if p.atLineEnd() && (!p.next() || p.column() <= column) {
		return p.absent(dash)
	}
	return p.node(column)
}

// nextItem moves to the next dash of the list in column, whose last dash stood
// in column last. It returns the column of the dash, and false at the end of
// the list.
func (p *parser) nextItem(column, last, parent int) (here int, more bool) {
	for p.next() {
		here = p.column()
		dash := p.indicator('-', false)
		switch {
		case here <= parent && !(dash && here == column):
			return column, false
		case !dash:
			p.report(p.restOfLine(), "this line is no list item: start it with a dash and a space, or line it up with what it belongs to")
			p.skipDeeper(here)
			continue
		case here != column && here != last:
			p.report(Span{p.pos, p.pos + 1}, "this dash lines up with none before it: move it under them")
		}
		return here, true
	}
	return column, false
}

// expectLineEnd reports whatever but a comment follows on the line, and
// whether nothing does.
func (p *parser) expectLineEnd(after string) bool {
	if p.torn {
		p.torn = false
		return false
	}
	if p.atLineEnd() {
		return true
	}
	if p.peek() == '#' {
		p.report(Span{p.pos, p.pos + 1}, "a comment needs a space before its #: put one in")
		p.comment(p.pos)
		return false
	}
	p.report(p.restOfLine(), "text follows "+after+": put the whole value in quotes (single ones if it holds a \")")
	p.skipLine()
	return false
}

// refuseProperties reports and skips anchors, aliases and tags at pos.
func (p *parser) refuseProperties() {
	for {
		message := ""
		switch p.peek() {
		case '&':
			message = "anchors are not used here: write the value out where it is needed, or put text that starts with & in quotes"
		case '*':
			message = "aliases are not used here: write the value out, or put text that starts with * in quotes"
		case '!':
			message = "tags are not used here: delete it, or put text that starts with ! in quotes"
		default:
			return
		}
		start := p.pos
		for !gapAt(p.src, p.pos) && !isFlowIndicator(p.src[p.pos]) {
			p.pos++
		}
		p.report(Span{start, p.pos}, message)
		p.pos = skipBlanks(p.src, p.pos)
	}
}
