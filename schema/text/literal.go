package text

// chomping says what becomes of the line ends after a block scalar.
type chomping byte

const (
	clip  chomping = iota // one stays
	strip                 // none
	keep                  // all
)

// blockScalar reads the literal or folded scalar at pos (YAML 1.2.2, 8.1).
func (p *parser) blockScalar(parent int) *Node {
	n := p.newNode(Scalar, Span{p.pos, p.pos + 1})
	n.Style = Literal
	if p.peek() == '>' {
		n.Style = Folded
	}
	p.pos++
	indent, chomp := p.blockHeader()
	n.Span.End = p.pos
	if !p.atLineEnd() {
		p.report(p.restOfLine(), "text follows the "+p.src[n.Span.Start:n.Span.Start+1]+
			" that starts a block of text: begin it on the next line, or put the value in quotes")
		p.skipLine()
	}
	if p.atLineEnd(); p.commentAt(p.pos) {
		p.comment(p.pos)
	}
	if p.pos >= len(p.src) {
		return n
	}
	p.newLine(p.pos)
	if indent > 0 {
		indent += max(parent, 0)
	} else {
		indent = p.detectIndent(parent)
	}
	p.blockText(n, indent, chomp)
	p.refuseBlockTab()
	return n
}

// blockHeader reads the indicators after `|` or `>`; indent 0 means that the
// text shows it.
func (p *parser) blockHeader() (indent int, chomp chomping) {
	for ; ; p.pos++ {
		switch c := p.peek(); {
		case c == '-' && chomp == clip:
			chomp = strip
		case c == '+' && chomp == clip:
			chomp = keep
		case '1' <= c && c <= '9' && indent == 0:
			indent = int(c - '0')
		default:
			return indent, chomp
		}
	}
}

// detectIndent returns the indentation of the first line with text, one that
// no line reaches when there is none.
func (p *parser) detectIndent(parent int) int {
	blankest, widest := Span{}, 0
	for line := p.pos; line < len(p.src); {
		i := line
		for i < len(p.src) && p.src[i] == ' ' {
			i++
		}
		indent := i - line
		switch {
		case i < len(p.src) && isBreak(p.src[i]):
			if indent > widest {
				blankest, widest = Span{line, i}, indent
			}
			line = afterBreak(p.src, i)
			continue
		case i >= len(p.src) || indent <= parent || markerAt(p.src, line) != noMarker:
			return len(p.src) + 1
		case widest > indent:
			p.report(blankest, "this blank line holds more spaces than the text below it: delete them")
		}
		return indent
	}
	return len(p.src) + 1
}

// blockText reads the lines indented by at least indent and the blank lines
// among them.
func (p *parser) blockText(n *Node, indent int, chomp chomping) {
	var text []byte
	breaks, found, deeper := 0, false, false
	for p.pos < len(p.src) {
		start := p.pos
		for start < len(p.src) && start-p.pos < indent && p.src[start] == ' ' {
			start++
		}
		end := lineEnd(p.src, start)
		switch {
		case end == len(p.src) && p.blankTail(start, chomp):
		case start == end:
			breaks++
			if chomp == keep {
				n.Span.End = end
			}
		case start-p.pos < indent, markerAt(p.src, p.pos) != noMarker:
			n.Text = string(chomped(text, breaks, found, chomp))
			return
		default:
			wasDeeper := deeper
			deeper = isBlank(p.src[start])
			if n.Style == Literal || !found || wasDeeper || deeper {
				text = appendBreaks(text, breaks)
			} else {
				text = fold(text, breaks)
			}
			text = append(text, p.src[start:end]...)
			n.Span.End = end
			breaks, found = 0, true
			if end < len(p.src) {
				breaks = 1
			}
		}
		p.newLine(end)
	}
	n.Text = string(chomped(text, breaks, found, chomp))
}

// blankTail deals with a block of text that ends in a line of blanks without
// line end, i being after its indentation. Readers of YAML differ on whether
// that is a line; where it matters it is reported.
func (p *parser) blankTail(i int, chomp chomping) bool {
	if skipBlanks(p.src, i) < len(p.src) {
		return false
	}
	if i < len(p.src) || chomp == keep {
		p.report(Span{p.pos, len(p.src)}, "the file ends in blanks inside a block of text: delete them, or end the line")
	}
	return true
}

// chomped appends the line ends after the last line that chomp leaves.
func chomped(text []byte, breaks int, found bool, chomp chomping) []byte {
	switch {
	case chomp == keep:
		return appendBreaks(text, breaks)
	case chomp == clip && found && breaks > 0:
		return append(text, '\n')
	}
	return text
}

// refuseBlockTab reports a tab that stands where the indentation of a block of
// text would.
func (p *parser) refuseBlockTab() {
	i := p.pos
	for i < len(p.src) && p.src[i] == ' ' {
		i++
	}
	end := skipBlanks(p.src, i)
	if end > i && (end == len(p.src) || isBreak(p.src[end]) || p.src[end] == '#') {
		p.report(Span{i, end}, "a tab stands where a block of text is indented: use spaces")
	}
}
