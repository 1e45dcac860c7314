package serve

import (
	"bytes"
	"slices"
	"strings"

	"fourmarks.example/schema/text"
)

// caret is the place where something is being written: a key of the map at a
// path, or the value at a path.
type caret struct {
	key  bool
	path text.Path
	// within is the map that a key is written in.
	within *text.Node
	// token is the range of bytes that the key or value has so far; typed is its
	// text before the cursor.
	token text.Span
	typed string
	// quoted says that the token begins with a quote.
	quoted bool
	// coloned says that a colon follows the key already, unspaced that none but a
	// colon stands before the value, so that a space must come first.
	coloned, unspaced bool
}

// caretAt finds out what is being written at an offset. The text there is seldom
// sound while somebody types, so a sound key or value is put in the place of what
// is there so far, and the parser says where that stands.
func (d *document) caretAt(offset int) (caret, bool) {
	line := d.position(offset).Line
	start, end := d.line(int(line))
	p := prefix{flow: d.bracketsAround(start)}
	if !p.read(d.text[start:offset]) {
		return caret{}, false
	}
	c := caret{key: p.key, token: text.Span{Start: start + p.token}, quoted: p.quote != 0, unspaced: p.unspaced}
	c.typed = string(d.text[c.token.Start:offset])
	rest := d.text[offset:end]
	c.token.End = offset + p.tokenEnd(rest)
	rest = d.text[c.token.End:end]
	c.coloned = c.key && bytes.HasPrefix(bytes.TrimLeft(rest, " "), []byte(":"))
	sound := stand
	switch {
	case c.unspaced:
		sound = " " + sound
	case c.key && !c.coloned:
		sound += ": " + stand
	}
	if next := bytes.TrimLeft(rest, " "); len(p.flow) > 0 && len(next) > 0 && !isFlowEnd(next[0]) && !c.coloned {
		sound += ","
	}
	return c, d.locate(&c, sound+p.closing(rest))
}

// stand is what is put in the place of the token.
const stand = "caret"

// locate asks the parser where a sound token put in the place of what is being
// written stands.
func (d *document) locate(c *caret, sound string) bool {
	whole := slices.Concat(d.text[:c.token.Start], []byte(sound), d.text[c.token.End:])
	at := c.token.Start + strings.Index(sound, stand)
	doc := text.Parse(whole, text.DefaultLimits())
	path, n := doc.NodeAt(at)
	if n == nil || n.Span.Start != at || n.Text != stand && !strings.HasPrefix(n.Text, stand+" ") {
		return false
	}
	isKey := doc.Root.At(path) != n
	if isKey != c.key {
		return false
	}
	c.path = path
	if c.key {
		c.path = path[:len(path)-1]
		c.within = doc.Root.At(c.path)
	}
	return true
}

// bracketsAround returns the opening brackets that are open where a line starts.
func (d *document) bracketsAround(start int) []byte {
	path, _ := d.file().Doc.NodeAt(start)
	var open []byte
	for i := range len(path) + 1 {
		n := d.file().Doc.Root.At(path[:i])
		if n == nil || !n.Flow || n.Span.Start >= start || start >= n.Span.End {
			continue
		}
		if n.Kind == text.Map {
			open = append(open, '{')
		} else {
			open = append(open, '[')
		}
	}
	return open
}

// prefix is what a line holds before the cursor, read token by token.
type prefix struct {
	flow  []byte // open brackets
	outer int    // how many of them stand on earlier lines
	token int    // where the token starts
	key   bool   // it is a key, or may be
	quote byte   // it begins with, where it does
	// unspaced says that the token starts right behind a colon.
	unspaced bool
	// closed says that a bracket was closed, and only a comma or another can follow.
	closed bool
}

// What ends a token, besides the characters of the notation themselves.
const (
	cursor  = 0
	nothing = '#' // nothing can be written behind it: a comment, or a closed text or bracket
)

// read reads a line up to the cursor; false where nothing can be written.
func (p *prefix) read(line []byte) bool {
	p.outer = len(p.flow)
	p.key = p.top() != '['
	for at := 0; ; {
		p.begin(line, at)
		end, by := p.next(line)
		if by == cursor || by == nothing {
			return by == cursor
		}
		at, p.closed, p.unspaced = end+1, false, false
		switch by {
		case '{', '[':
			p.flow = append(p.flow, by)
			p.key = by == '{'
		case '}', ']':
			p.flow = p.flow[:len(p.flow)-1]
			p.outer = min(p.outer, len(p.flow))
			p.closed = true
		case ',':
			p.key = p.top() == '{'
		case ':':
			p.key = false
			p.unspaced = at == len(line)
		case '-':
			p.key = false
		}
	}
}

// begin starts a token behind the blanks at an offset.
func (p *prefix) begin(line []byte, at int) {
	for at < len(line) && line[at] == ' ' {
		at++
	}
	p.token, p.quote = at, 0
	if at < len(line) && (line[at] == '"' || line[at] == '\'') {
		p.quote = line[at]
	}
}

// next returns where the token that was begun ends, and by what.
func (p *prefix) next(line []byte) (end int, by byte) {
	at := p.token
	switch {
	case at == len(line):
		return at, cursor
	case p.closed:
		return at, p.afterClosed(line[at])
	case p.quote != 0:
		return p.nextQuoted(line)
	case line[at] == '{' || line[at] == '[':
		return at, line[at]
	case line[at] == '-' && len(p.flow) == 0 && gapAt(line, at+1):
		return at, '-'
	}
	for ; at < len(line); at++ {
		switch c := line[at]; {
		case c == '#' && (at == 0 || line[at-1] == ' '):
			return at, nothing
		case c == ':' && p.key && gapAt(line, at+1), len(p.flow) > 0 && isFlowEnd(c):
			return at, c
		}
	}
	return at, cursor
}

// nextQuoted is next for a token in quotes.
func (p *prefix) nextQuoted(line []byte) (end int, by byte) {
	at := p.token + 1
	for at < len(line) && line[at] != p.quote {
		if line[at] == '\\' && p.quote == '"' {
			at++
		}
		at++
	}
	if at >= len(line) {
		return len(line), cursor
	}
	for at++; at < len(line) && line[at] == ' '; {
		at++
	}
	switch {
	case at == len(line):
		return at, nothing
	case line[at] == ':' && p.key:
		return at, ':'
	}
	return at, p.afterClosed(line[at])
}

// afterClosed is what a character means behind a text in quotes or a bracket.
func (p *prefix) afterClosed(c byte) byte {
	if len(p.flow) > 0 && isFlowEnd(c) {
		return c
	}
	return nothing
}

func isFlowEnd(c byte) bool { return c == ',' || c == '}' || c == ']' }

func gapAt(line []byte, at int) bool { return at == len(line) || line[at] == ' ' }

// top is the innermost open bracket, 0 outside of any.
func (p *prefix) top() byte {
	if len(p.flow) == 0 {
		return 0
	}
	return p.flow[len(p.flow)-1]
}

// tokenEnd returns how many bytes of the rest of the line belong to the token.
func (p *prefix) tokenEnd(rest []byte) int {
	if p.quote != 0 {
		if i := bytes.IndexByte(rest, p.quote); i >= 0 {
			return i + 1
		}
		return len(rest)
	}
	end := len(rest)
	for i, c := range rest {
		if len(p.flow) > 0 && isFlowEnd(c) || p.key && (c == ':' || c == ' ') || c == '#' && i > 0 && rest[i-1] == ' ' {
			end = i
			break
		}
	}
	return len(bytes.TrimRight(rest[:end], " "))
}

// closing returns the brackets that were opened on the line and that the rest of
// it does not close.
func (p *prefix) closing(rest []byte) string {
	open := slices.Clone(p.flow[p.outer:])
	for _, c := range rest {
		switch {
		case c == '{' || c == '[':
			open = append(open, c)
		case len(open) > 0 && (c == '}' || c == ']'):
			open = open[:len(open)-1]
		}
	}
	var closing strings.Builder
	for _, c := range slices.Backward(open) {
		closing.WriteByte(map[byte]byte{'{': '}', '[': ']'}[c])
	}
	return closing.String()
}
