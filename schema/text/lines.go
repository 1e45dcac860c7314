package text

import (
	"sort"
	"unicode/utf8"
)

const byteOrderMark = "\uFEFF"

// Position returns the line and column of a byte offset, both from 1. Columns
// count Unicode code points; a byte order mark counts for nothing, a line end
// (LF, CR or CRLF) stands one column after the last character. An offset
// outside the source means its nearest end.
func (d *Doc) Position(offset int) (line, column int) {
	offset = min(max(offset, 0), len(d.Source))
	line = d.lineAt(offset)
	start, end := d.lineSpan(line)
	return line, 1 + utf8.RuneCount(d.Source[start:max(start, min(offset, end))])
}

// Offset is the inverse of Position. A line or column outside the text means
// the nearest place inside it.
func (d *Doc) Offset(line, column int) int {
	if line < 1 {
		line, column = 1, 1
	}
	if line > len(d.lines) {
		return len(d.Source)
	}
	start, end := d.lineSpan(line)
	for ; column > 1 && start < end; column-- {
		_, size := utf8.DecodeRune(d.Source[start:end])
		start += size
	}
	return start
}

// Line returns the text of line n, from 1, without line end and byte order
// mark; "" when there is no such line.
func (d *Doc) Line(n int) string {
	if n < 1 || n > len(d.lines) {
		return ""
	}
	start, end := d.lineSpan(n)
	return string(d.Source[start:end])
}

// lineAt returns the number, from 1, of the line that holds offset.
func (d *Doc) lineAt(offset int) int {
	return max(1, sort.SearchInts(d.lines, offset+1))
}

// lineSpan returns where the text of line n starts and ends, without byte
// order mark and line end.
func (d *Doc) lineSpan(n int) (start, end int) {
	start, end = d.lines[n-1], d.lineLimit(n)
	if n < len(d.lines) {
		end--
		if end > start && d.Source[end] == '\n' && d.Source[end-1] == '\r' {
			end--
		}
	}
	return start, end
}

// lineLimit returns the offset just after line n and its line end.
func (d *Doc) lineLimit(n int) int {
	if n < len(d.lines) {
		return d.lines[n]
	}
	return len(d.Source)
}
