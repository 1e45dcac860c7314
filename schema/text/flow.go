package text

import "fmt"

// flowValue reads the bracketed value at pos inside a block collection in
// column parent.
func (p *parser) flowValue(parent int) *Node {
	p.flowParent, p.flowLine = parent, p.lineStart
	p.openMaps, p.openLists = 0, 0
	n, closed := p.flowCollection()
	p.torn = false
	if !closed {
		return n
	}
	if colonAt(p.src, skipBlanks(p.src, p.pos)) {
		p.report(n.Span, keyInBrackets)
		p.skipLine()
		return n
	}
	p.expectLineEnd("the closing bracket")
	return n
}

const keyInBrackets = "a key must be one line of text, not a value in brackets: write it plainly"

// flowNext moves to the next character inside brackets. It returns false
// where the bracketed value must have ended: at the end of the source, or at
// a line that stands too far out.
func (p *parser) flowNext() bool {
	if !p.next() {
		return false
	}
	c := p.peek()
	return c == ']' || c == '}' || !p.tooFarOut()
}

// tooFarOut reports whether pos starts a line that is indented no further
// than the block collection around the brackets.
func (p *parser) tooFarOut() bool {
	return p.lineStart != p.flowLine && p.column() <= p.flowParent &&
		skipBlanks(p.src, p.lineStart) == p.pos
}

// flowCollection reads the map or list whose opening bracket is at pos and
// reports whether it was closed.
func (p *parser) flowCollection() (n *Node, closed bool) {
	open := Span{p.pos, p.pos + 1}
	if !p.enter(open) {
		closed = p.skipBrackets()
		return p.absent(open.Start), closed
	}
	defer p.leave()
	if p.peek() == '{' {
		p.openMaps++
		defer func() { p.openMaps-- }()
		n = p.newNode(Map, open)
	} else {
		p.openLists++
		defer func() { p.openLists-- }()
		n = p.newNode(List, open)
	}
	n.Flow = true
	p.pos++
	entries, items := len(p.entries), len(p.items)
	closed = p.flowMembers(n, entries, items)
	n.Entries = p.takeEntries(entries)
	n.Items = p.takeItems(items)
	p.checkKeys(n.Entries)
	return n, closed
}

// skipBrackets moves past the bracket that closes the one at pos.
func (p *parser) skipBrackets() (closed bool) {
	for depth := 0; p.flowNext(); {
		switch p.peek() {
		case '[', '{':
			depth++
			p.pos++
		case ']', '}':
			depth--
			p.pos++
			if depth == 0 {
				return true
			}
		case '"', '\'':
			p.quoted(p.flowParent, true)
		default:
			p.pos = max(p.pos+1, scanPlain(p.src, p.pos, true))
		}
	}
	p.torn = true // the depth was reported: that nothing closes follows from it
	return false
}

// flowMembers reads the members of n, which go on the stacks from entries and
// items on, and the commas between them. It reports whether n was closed.
func (p *parser) flowMembers(n *Node, entries, items int) (closed bool) {
	closer := byte(']')
	if n.Kind == Map {
		closer = '}'
	}
	for comma, more := true, true; more && p.flowNext(); {
		switch c := p.peek(); {
		case c == ']' || c == '}':
			p.closeFlow(n, c, closer)
			return true
		case c == ',':
			if comma {
				p.report(Span{p.pos, p.pos + 1}, "nothing stands before this comma: delete it")
			}
			comma = true
			p.pos++
		default:
			if !comma && !p.torn && !p.conflict {
				p.report(Span{p.pos, p.pos + 1}, "a comma is missing before this: put one in, or put a text with special characters in quotes")
			}
			comma, p.torn = false, false
			more = p.flowMember(n, entries, items)
		}
	}
	if !p.torn {
		open := n.Span.Start
		p.report(Span{open, open + 1}, fmt.Sprintf("this %c is never closed: add the %c", p.src[open], closer))
	}
	p.torn = true
	return false
}

// closeFlow ends n at the bracket c at pos. A wrong one that may close a
// collection further out is left for that.
func (p *parser) closeFlow(n *Node, c, closer byte) {
	at := Span{p.pos, p.pos + 1}
	if c != closer {
		p.report(at, fmt.Sprintf("%c is closed by %c: use the matching bracket", p.src[n.Span.Start], c))
		if c == '}' && p.openMaps > 0 || c == ']' && p.openLists > 0 {
			return
		}
	} else if p.tooFarOut() {
		p.report(at, "this closing bracket must stand further in than the key it belongs to: indent it")
	}
	p.pos++
	n.Span.End = p.pos
}

// flowMember reads one member of n and reports whether reading can go on.
func (p *parser) flowMember(n *Node, entries, items int) (more bool) {
	if n.Kind == Map {
		var e Entry
		e, more = p.flowEntry(p.entries[entries:])
		p.entries = append(p.entries, e)
		n.Span.End = max(e.Key.Span.End, e.Value.Span.End)
		return more
	}
	var item *Node
	item, more = p.flowItem(p.items[items:])
	p.items = append(p.items, item)
	n.Span.End = item.Span.End
	return more
}

// flowEntry reads the entry of a flow map that follows those before.
func (p *parser) flowEntry(before []Entry) (e Entry, more bool) {
	line := p.lineStart
	key, more := p.flowNode()
	if !more {
		return Entry{key, p.absent(key.Span.End)}, false
	}
	if !p.colon(key, line) {
		if p.flowNext() { // else it is the missing bracket that must be reported
			p.report(key.Span, lonelyKey(p.src, key, before))
		}
		return Entry{key, p.absent(key.Span.End)}, true
	}
	p.checkFlowKey(key)
	value, more := p.flowEntryValue()
	return Entry{key, value}, more
}

// flowEntryValue reads what stands after the colon before pos.
func (p *parser) flowEntryValue() (value *Node, more bool) {
	colon := p.pos
	if !p.flowNext() {
		return p.absent(colon), false
	}
	if c := p.peek(); c == ',' || c == '}' || c == ']' {
		return p.absent(colon), true
	}
	value, more = p.flowNode()
	if !more {
		return value, false
	}
	p.checkNumber(value)
	if i := skipBlanks(p.src, p.pos); i < len(p.src) && p.src[i] == ':' {
		p.report(Span{i, i + 1}, "a second colon in this entry: put the value in quotes, or a comma between two entries")
		p.pos = scanPlain(p.src, skipBlanks(p.src, i+1), true)
	}
	return value, true
}

// lonelyKey says what is wrong with a key without a value.
func lonelyKey(src string, key *Node, before []Entry) string {
	if key.Kind != Scalar {
		return keyInBrackets
	}
	if len(before) > 0 {
		value := before[len(before)-1].Value
		if splitsFigure(src, value, key) {
			return "the comma splits " + quoteForMessage(src[value.Span.Start:key.Span.End]) +
				" into a value and a key: put the figure in quotes, or write a decimal point"
		}
	}
	return "this entry has no value: write `key: value` with a space after the colon"
}

// splitsFigure reports whether nothing but a comma between two digits stands
// between the plain texts a and b.
func splitsFigure(src string, a, b *Node) bool {
	return a.Style == Plain && b.Style == Plain &&
		a.Span.End+1 == b.Span.Start && src[a.Span.End] == ',' &&
		a.Text != "" && isDigit(a.Text[len(a.Text)-1]) &&
		b.Text != "" && isDigit(b.Text[0])
}

// checkFlowKey reports a key that is not one text; pos is after its colon.
func (p *parser) checkFlowKey(key *Node) {
	if key.Kind == Scalar {
		p.checkKeySize(Span{key.Span.Start, p.pos - 1})
		return
	}
	p.report(key.Span, keyInBrackets)
	*key = Node{Span: key.Span, Text: p.src[key.Span.Start:key.Span.End]}
}

// flowItem reads the item of a flow list that follows those before.
func (p *parser) flowItem(before []*Node) (item *Node, more bool) {
	line := p.lineStart
	item, more = p.flowNode()
	if !more {
		return item, false
	}
	if !p.colon(item, line) {
		p.checkNumber(item)
		p.checkSplit(item, before)
		return item, true
	}
	p.checkFlowKey(item)
	p.report(item.Span, "an entry inside a list needs braces of its own: write {key: value}")
	value, more := p.flowEntryValue()
	m := p.newNode(Map, Span{item.Span.Start, max(item.Span.End, value.Span.End)})
	m.Flow = true
	m.Entries = cut(&p.entryChunk, []Entry{{item, value}})
	return m, more
}

// checkSplit reports a list item that looks like the rest of a figure whose
// decimal comma was read as the end of the item before: `[0,45 mm]`. Bare
// numbers are left alone, `[0,120,240]` is a list as good as any.
func (p *parser) checkSplit(item *Node, before []*Node) {
	if len(before) == 0 {
		return
	}
	last := before[len(before)-1]
	if !splitsFigure(p.src, last, item) || last.Resolved() != Integer {
		return
	}
	digits := 0
	for digits < len(item.Text) && isDigit(item.Text[digits]) {
		digits++
	}
	if digits < len(item.Text) && item.Text[digits] == ' ' {
		p.report(Span{last.Span.Start, item.Span.End}, "the comma splits "+
			quoteForMessage(p.src[last.Span.Start:item.Span.End])+
			" into two items: put the figure in quotes, or a space after the comma if two are meant")
	}
}

// flowNode reads the member at pos, without what may follow its colon. It
// reports whether reading can go on inside the brackets.
func (p *parser) flowNode() (n *Node, more bool) {
	start := p.pos
	p.refuseProperties()
	if !p.flowNext() {
		return p.absent(start), false
	}
	switch c := p.peek(); {
	case c == '[' || c == '{':
		return p.flowCollection()
	case c == '"' || c == '\'':
		return p.quoted(p.flowParent, true), true
	case c == ',' || c == ']' || c == '}':
		return p.absent(start), true
	case p.indicator('-', true) || p.indicator('?', true):
		p.report(Span{p.pos, p.pos + 1}, fmt.Sprintf("a %c alone has no meaning inside brackets: delete it, or put the text in quotes", c))
	}
	n = p.plainLine(true)
	p.continuePlain(n, p.flowParent, true)
	return n, true
}

// colon moves past the colon of key, whose reading began on the line that
// starts at line. Without one it returns false.
func (p *parser) colon(key *Node, line int) bool {
	i := skipBlanks(p.src, p.pos)
	if i < len(p.src) && p.src[i] == ':' {
		p.pos = i + 1
	} else if p.torn || !p.flowNext() || !p.indicator(':', true) {
		return false
	} else {
		p.pos++
	}
	if c := p.peek(); key.Style == Plain && (c == '[' || c == '{') {
		p.report(Span{p.pos - 1, p.pos}, "no space stands after this colon: put one in")
	}
	if p.lineStart != line {
		p.report(key.Span, "a key must stand on one line with its colon: join the lines")
	}
	return true
}
