package text

import (
	"strconv"
	"unicode/utf8"
)

const (
	endsPlain     = 1 << iota // may end plain text
	endsFlowPlain             // may end it in flow text
)

// plainEnds lists the characters at which plain text may end.
var plainEnds = [256]byte{
	'\n': endsPlain | endsFlowPlain, '\r': endsPlain | endsFlowPlain,
	':': endsPlain | endsFlowPlain, '#': endsPlain | endsFlowPlain,
	',': endsFlowPlain, '[': endsFlowPlain, ']': endsFlowPlain, '{': endsFlowPlain, '}': endsFlowPlain,
}

// scanPlain returns where the plain text that starts at i ends on its line.
func scanPlain(src string, i int, flow bool) int {
	mask := byte(endsPlain)
	if flow {
		mask = endsFlowPlain
	}
	start := i
	for ; i < len(src); i++ {
		if plainEnds[src[i]]&mask != 0 && endsAt(src, i, flow) {
			break
		}
	}
	for i > start && isBlank(src[i-1]) {
		i--
	}
	return i
}

// endsAt reports whether the character at i, one of plainEnds, ends plain text
// where it stands.
func endsAt(src string, i int, flow bool) bool {
	switch src[i] {
	case ':':
		return gapAt(src, i+1) || flow && isFlowIndicator(src[i+1])
	case '#':
		return i > 0 && isBlank(src[i-1])
	}
	return true
}

// plainLine reads the plain text at pos up to its end on this line.
func (p *parser) plainLine(flow bool) *Node {
	start := p.pos
	switch c := p.peek(); c {
	case '@', '`', '%', '|', '>', ',', ']', '}', '#':
		p.report(Span{start, start + 1}, "text cannot start with "+string(c)+": put it in quotes")
	}
	end := scanPlain(p.src, start, flow)
	n := p.newNode(Scalar, Span{start, end})
	n.Text = p.src[start:end]
	p.pos = end
	return n
}

// continuePlain reads the further lines of the plain text n.
func (p *parser) continuePlain(n *Node, parent int, flow bool) {
	var folded []byte
	for {
		end := skipBlanks(p.src, p.pos)
		if end >= len(p.src) || !isBreak(p.src[end]) {
			break
		}
		line, start, breaks, ok := p.textLine(end, parent)
		if !ok || !continues(p.src, start, flow) {
			break
		}
		p.refuseTabs(line)
		if folded == nil {
			folded = append(folded, n.Text...)
		}
		p.lineStart = line
		p.pos = scanPlain(p.src, start, flow)
		folded = append(fold(folded, breaks), p.src[start:p.pos]...)
		n.Span.End = p.pos
	}
	if folded != nil {
		n.Text = string(folded)
	}
}

// continues reports whether the line with text from i can go on a plain
// scalar. A line that looks like an entry or a list item cannot: where YAML
// would read on, somebody most likely got the indentation wrong.
func continues(src string, i int, flow bool) bool {
	switch c := src[i]; {
	case c == '#':
		return false
	case flow && isFlowIndicator(c):
		return false
	case !flow && c == '-' && gapAt(src, i+1):
		return false
	}
	end := skipBlanks(src, scanPlain(src, i, flow))
	return end >= len(src) || src[end] != ':'
}

// textLine looks after the line end at i for the next line that is not
// blank. It returns where that line and its text start and how many line ends
// come before; false at the end of the source, at text that is not indented
// further than parent, and at a marker.
func (p *parser) textLine(i, parent int) (line, start, breaks int, ok bool) {
	for i < len(p.src) {
		line = afterBreak(p.src, i)
		breaks++
		start = skipBlanks(p.src, line)
		if start < len(p.src) && !isBreak(p.src[start]) {
			return line, start, breaks, start-line > parent && markerAt(p.src, line) == noMarker
		}
		i = start
	}
	return len(p.src), len(p.src), breaks, false
}

// fold appends what a run of line ends means inside flowing text: one is a
// space, of more the first is dropped.
func fold(text []byte, breaks int) []byte {
	if breaks == 1 {
		return append(text, ' ')
	}
	return appendBreaks(text, breaks-1)
}

func appendBreaks(text []byte, n int) []byte {
	for ; n > 0; n-- {
		text = append(text, '\n')
	}
	return text
}

// quoted reads the quoted scalar at pos. An unclosed one is reported and
// leaves p.torn set.
func (p *parser) quoted(parent int, flow bool) *Node {
	start := p.pos
	quote := p.src[start]
	n := p.newNode(Scalar, Span{start, start + 1})
	n.Style = SingleQuoted
	if quote == '"' {
		n.Style = DoubleQuoted
	}
	end := start + 1
	for end < len(p.src) && p.src[end] != quote && p.src[end] != '\\' && !isBreak(p.src[end]) {
		end++
	}
	if closesQuote(p.src, end, quote) {
		n.Text = p.src[start+1 : end]
		p.pos = end + 1
	} else if text, ok := p.quotedLines(end, parent); ok {
		n.Text = string(text)
	} else {
		p.unclosedQuote(n, parent, flow)
		return n
	}
	n.Span.End = p.pos
	return n
}

// closesQuote reports whether the quote stands at i and is not doubled.
func closesQuote(src string, i int, quote byte) bool {
	if i >= len(src) || src[i] != quote {
		return false
	}
	return quote == '"' || i+1 >= len(src) || src[i+1] != quote
}

// quotedLines reads a quoted scalar with escapes or of several lines, from
// the opening quote at pos; nothing up to i needs a closer look. On success
// pos is after the closing quote. Otherwise pos is where reading stopped, at
// the start of a line or the end of the source.
func (p *parser) quotedLines(i, parent int) ([]byte, bool) {
	quote := p.src[p.pos]
	text := append(make([]byte, 0, i-p.pos+32), p.src[p.pos+1:i]...)
	solid := trimmed(text) // length up to which a line end must not trim
	for i < len(p.src) {
		c := p.src[i]
		switch {
		case closesQuote(p.src, i, quote):
			p.pos = i + 1
			return text, true
		case c == quote: // doubled
			text = append(text, quote)
			i += 2
			solid = len(text)
		case c == '\\' && quote == '"' && !(i+1 < len(p.src) && isBreak(p.src[i+1])):
			text, i = p.escape(text, i)
			solid = len(text)
		case c == '\\' && quote == '"' || isBreak(c):
			escaped := c == '\\'
			if escaped {
				i++
			}
			line, start, breaks, ok := p.textLine(i, parent)
			if !ok {
				p.pos, p.lineStart = line, line
				return nil, false
			}
			p.refuseTabs(line)
			p.lineStart = line
			i = start
			if escaped {
				text = appendBreaks(text, breaks-1)
			} else {
				text = fold(text[:solid], breaks)
			}
			solid = len(text)
		default:
			text = append(text, c)
			i++
			if !isBlank(c) {
				solid = len(text)
			}
		}
	}
	p.pos = len(p.src)
	return nil, false
}

func trimmed(text []byte) int {
	n := len(text)
	for n > 0 && isBlank(text[n-1]) {
		n--
	}
	return n
}

// unclosedQuote makes do with the first line of n. In a block map reading
// goes on where its text must have ended; inside brackets, or with nothing
// around, right after that first line.
func (p *parser) unclosedQuote(n *Node, parent int, flow bool) {
	start := n.Span.Start
	end := lineEnd(p.src, start)
	for end > start+1 && isBlank(p.src[end-1]) {
		end--
	}
	n.Span.End = end
	n.Text = p.src[start+1 : end]
	p.torn = true
	p.report(n.Span, "this quote is never closed: add the closing "+p.src[start:start+1]+
		", or drop the quote if the text does not start with it")
	if flow || parent < 0 {
		p.pos = end
		p.lineStart = p.doc.lines[p.doc.lineAt(start)-1]
	}
}

// escape appends what the escape at i stands for and returns the offset
// after it.
func (p *parser) escape(text []byte, i int) ([]byte, int) {
	if i+1 >= len(p.src) {
		return text, i + 1
	}
	switch c := p.src[i+1]; c {
	case '"', '/', '\\', ' ', '\t':
		return append(text, c), i + 2
	case 't':
		return append(text, '\t'), i + 2
	case 'n':
		return append(text, '\n'), i + 2
	case '_':
		return append(text, "\u00A0"...), i + 2
	case 'x':
		return p.hexEscape(text, i, 2)
	case 'u':
		return p.hexEscape(text, i, 4)
	case 'U':
		return p.hexEscape(text, i, 8)
	case '0', 'a', 'b', 'v', 'f', 'r', 'e', 'N', 'L', 'P':
		p.report(Span{i, i + 2}, "this escape stands for a control character: delete it")
		return text, i + 2
	}
	_, size := utf8.DecodeRuneInString(p.src[i+1:])
	end := i + 1 + size
	p.report(Span{i, end}, "a backslash in double quotes starts no escape here: write it twice, or use single quotes")
	return append(text, p.src[i:end]...), end
}

// hexEscape appends the character named by the digits after the escape at i.
func (p *parser) hexEscape(text []byte, i, digits int) ([]byte, int) {
	start, end := i+2, i+2
	for end < len(p.src) && end < start+digits && isHex(p.src[end]) {
		end++
	}
	code, err := strconv.ParseUint(p.src[start:end], 16, 32)
	r := rune(code)
	switch {
	case err != nil || end < start+digits:
		p.report(Span{i, end}, "this escape takes "+strconv.Itoa(digits)+" hexadecimal digits: write all of them, or the character itself")
	case code > utf8.MaxRune || 0xD800 <= code && code <= 0xDFFF:
		p.report(Span{i, end}, "this escape stands for no character: write the character itself")
	case !allowedRune(r) || r == '\r':
		p.report(Span{i, end}, "this escape stands for a control character: delete it")
	default:
		text = utf8.AppendRune(text, r)
	}
	return text, end
}

func isHex(c byte) bool {
	return isDigit(c) || 'a' <= c && c <= 'f' || 'A' <= c && c <= 'F'
}
