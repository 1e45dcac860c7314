package report

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// sources hands out lines of files. It keeps the file asked for last, for
// findings come file by file.
type sources struct {
	read  func(name string) ([]byte, error)
	name  string
	lines [][]byte
}

// line returns a line of a file, counted from 1, without its line end.
func (s *sources) line(name string, number int) (string, bool) {
	if s.read == nil {
		return "", false
	}
	if s.lines == nil || s.name != name {
		s.name, s.lines = name, [][]byte{}
		if b, err := s.read(name); err == nil {
			s.lines = splitLines(b)
		}
	}
	if number < 1 || number > len(s.lines) {
		return "", false
	}
	return string(s.lines[number-1]), true
}

var byteOrderMark = []byte("\ufeff")

// splitLines splits a file at its line ends, of any kind.
func splitLines(b []byte) [][]byte {
	b = bytes.TrimPrefix(b, byteOrderMark)
	b = bytes.ReplaceAll(b, []byte("\r\n"), []byte("\n"))
	return bytes.Split(bytes.ReplaceAll(b, []byte("\r"), []byte("\n")), []byte("\n"))
}

const tabWidth = 4

// passage is one line of a file as shown, with the part that is meant.
type passage struct {
	text string
	// from and to are the columns of the part meant, on the terminal from 0.
	from, to int
}

// quote shows a line in at most width columns, with the part from column start
// up to end, counted in characters from 1. What is cut off is marked by an
// ellipsis; the start of the part meant is always shown.
func quote(line string, start, end, width int) passage {
	var cells []string
	first, last := -1, -1
	column := 1
	for i := 0; i < len(line); column++ {
		r, size := utf8.DecodeRuneInString(line[i:])
		if column == start {
			first = len(cells)
		}
		if column == end {
			last = len(cells)
		}
		cells = append(cells, shown(r, size, line[i:i+size]))
		i += size
	}
	if first < 0 {
		first = len(cells)
	}
	if last < first {
		last = len(cells)
	}
	return window(cells, first, max(last, first), width)
}

func shown(r rune, size int, as string) string {
	switch {
	case r == '\t':
		return strings.Repeat(" ", tabWidth)
	case r == utf8.RuneError && size == 1:
		return string(utf8.RuneError)
	case isActive(r):
		return Inert(as)
	}
	return as
}

const ellipsis = "…"

// window joins the cells that fit, those from first to last among them.
func window(cells []string, first, last, width int) passage {
	widths := make([]int, len(cells))
	total := 0
	for i, c := range cells {
		widths[i] = Width(c)
		total += widths[i]
	}
	from, to := 0, len(cells)
	if first == len(cells) {
		width-- // what is meant stands behind the line and needs a column too
	}
	if total > width {
		// A third of the line is left for what stands before the part meant.
		room := width - 2*Width(ellipsis)
		before := 0
		from = first
		for from > 0 && before+widths[from-1] <= room/3 {
			from--
			before += widths[from]
		}
		used := 0
		to = from
		for to < len(cells) && used+widths[to] <= room {
			used += widths[to]
			to++
		}
		for from > 0 && used+widths[from-1] <= room {
			from--
			used += widths[from]
		}
	}
	var p passage
	var b strings.Builder
	at := 0
	if from > 0 {
		b.WriteString(ellipsis)
		at++
	}
	p.from, p.to = at, at
	for i := from; i < to; i++ {
		if i == first {
			p.from, p.to = at, at
		}
		b.WriteString(cells[i])
		at += widths[i]
		if i < last {
			p.to = at
		}
	}
	if first >= to {
		p.from, p.to = at, at
	}
	if to < len(cells) {
		b.WriteString(ellipsis)
	}
	p.to = max(p.to, p.from+1)
	p.text = b.String()
	return p
}
