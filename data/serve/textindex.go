package serve

import (
	"sort"
	"unicode/utf8"
)

// encoding is what the characters of a position count.
type encoding string

const (
	utf8Bytes  encoding = "utf-8"
	utf16Units encoding = "utf-16" // what an editor counts that says nothing
)

// units is how many units of the encoding a character takes.
func (e encoding) units(r rune, size int) int {
	switch {
	case e == utf8Bytes:
		return size
	case r > 0xFFFF:
		return 2
	}
	return 1
}

// textIndex turns the positions of an editor into byte offsets of a text and
// back. Lines end with LF, CR or CRLF.
type textIndex struct {
	text   []byte
	starts []int // of the lines
	count  encoding
}

func indexText(text []byte, count encoding) textIndex {
	starts := []int{0}
	for i, c := range text {
		if c == '\n' || c == '\r' && (i+1 == len(text) || text[i+1] != '\n') {
			starts = append(starts, i+1)
		}
	}
	return textIndex{text: text, starts: starts, count: count}
}

// line returns where a line, counted from 0, starts and where its text ends.
func (x textIndex) line(n int) (start, end int) {
	start, end = x.starts[n], len(x.text)
	if n+1 < len(x.starts) {
		end = x.starts[n+1]
	}
	for end > start && (x.text[end-1] == '\n' || x.text[end-1] == '\r') {
		end--
	}
	return start, end
}

// offset returns the byte offset of a position. Beyond the end of a line it is
// the end of that line, beyond the last line the end of the text; within a
// character it is the start of that.
func (x textIndex) offset(p position) int {
	if int64(p.Line) >= int64(len(x.starts)) {
		return len(x.text)
	}
	at, end := x.line(int(p.Line))
	for left := int64(p.Character); at < end; {
		r, size := utf8.DecodeRune(x.text[at:end])
		left -= int64(x.count.units(r, size))
		if left < 0 {
			break
		}
		at += size
	}
	return at
}

// position returns the position of a byte offset, which for one outside the
// text is that of its nearest end.
func (x textIndex) position(offset int) position {
	offset = min(max(offset, 0), len(x.text))
	line := sort.SearchInts(x.starts, offset+1) - 1
	start, end := x.line(line)
	units := 0
	for at := start; at < min(offset, end); {
		r, size := utf8.DecodeRune(x.text[at:end])
		units += x.count.units(r, size)
		at += size
	}
	return position{Line: uint32(line), Character: uint32(units)}
}

// span returns the range of a range of bytes.
func (x textIndex) span(start, end int) span {
	return span{Start: x.position(start), End: x.position(end)}
}
