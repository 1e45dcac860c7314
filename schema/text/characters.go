package text

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// survey finds the lines and the characters that may not stand in a file. It
// reports whether the source is text at all.
func (p *parser) survey() bool {
	src := p.doc.Source
	if bytes.HasPrefix(src, []byte{0xFE, 0xFF}) || bytes.HasPrefix(src, []byte{0xFF, 0xFE}) {
		p.report(Span{0, 2}, "the file is in UTF-16: save it as UTF-8")
		p.doc.lines = []int{0}
		return false
	}
	lines := make([]int, 1, 16+len(src)/24)
	if bytes.HasPrefix(src, []byte(byteOrderMark)) {
		lines[0] = len(byteOrderMark)
	}
	bad, lastLine := 0, 0
	for i := lines[0]; i < len(src); {
		c := src[i]
		switch {
		case c >= ' ' && c < 0x7F || c == '\t':
			i++
			continue
		case c == '\n' || c == '\r':
			i = afterBreak(src, i)
			lines = append(lines, i)
			continue
		}
		r, size := utf8.DecodeRune(src[i:])
		if !allowedRune(r) || r == utf8.RuneError && size == 1 {
			bad++
			if lastLine != len(lines) { // one report a line is enough
				lastLine = len(lines)
				p.report(Span{i, i + size}, faultOf(r))
			}
		}
		i += size
	}
	p.doc.lines = lines
	if bad > 8 && bad*10 > len(src) {
		p.doc.Problems = p.doc.Problems[:0]
		p.report(Span{0, len(src)}, "this is not a text file: give a YAML or JSON file in UTF-8")
		return false
	}
	return true
}

// faultOf says why a file may not hold r, which for a byte that is not UTF-8
// is utf8.RuneError.
func faultOf(r rune) string {
	switch r {
	case utf8.RuneError:
		return "this byte is not UTF-8: save the file as UTF-8 and write the character anew"
	case 0x85, 0x2028, 0x2029:
		return fmt.Sprintf("U+%04X is an unusual line separator: use an ordinary line end", r)
	case 0xFEFF:
		return "a byte order mark may only stand at the very start: delete it"
	}
	return fmt.Sprintf("U+%04X is a control character: delete it", r)
}

// allowedRune reports whether a file may hold r: what YAML calls printable,
// without the line separators that only some readers take for one.
func allowedRune(r rune) bool {
	switch {
	case r < 0x20:
		return r == '\t' || r == '\n' || r == '\r'
	case r < 0x7F:
		return true
	case r < 0xA0, r == 0x2028, r == 0x2029, r == 0xFEFF, r == 0xFFFE, r == 0xFFFF:
		return false
	}
	return r < 0xD800 || r > 0xDFFF && r <= utf8.MaxRune
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' }

func isBreak(c byte) bool { return c == '\n' || c == '\r' }

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func isFlowIndicator(c byte) bool {
	return c == ',' || c == '[' || c == ']' || c == '{' || c == '}'
}

// gapAt reports whether nothing, a blank or a line end stands at i: what makes
// a dash or colon before it an indicator.
func gapAt[T string | []byte](src T, i int) bool {
	return i >= len(src) || isBlank(src[i]) || isBreak(src[i])
}

// skipBlanks returns the offset of the first character from i that is neither
// space nor tab.
func skipBlanks[T string | []byte](src T, i int) int {
	for i < len(src) && isBlank(src[i]) {
		i++
	}
	return i
}

// lineEnd returns the offset of the line end at or after i.
func lineEnd(src string, i int) int {
	for i < len(src) && !isBreak(src[i]) {
		i++
	}
	return i
}

// afterBreak returns the offset after the line end at i, i at the end.
func afterBreak[T string | []byte](src T, i int) int {
	switch {
	case i >= len(src):
		return i
	case src[i] == '\r' && i+1 < len(src) && src[i+1] == '\n':
		return i + 2
	}
	return i + 1
}
