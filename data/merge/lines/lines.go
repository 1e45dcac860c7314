// Package lines is the three-way merge of plain text, line by line, for files
// that nothing more is known of. Figures are never merged by it: neighbouring
// lines can belong to one another without its seeing it.
package lines

import (
	"bytes"
	"strings"

	"github.com/sergi/go-diff/diffmatchpatch"
)

// Piece is a stretch of a merged text. Where the sides disagree, all three
// texts are kept, and otherwise only the agreed one.
type Piece struct {
	Agreed             []byte
	Conflict           bool
	Base, Ours, Theirs []byte
}

// Merge merges two changes of a text. Changes that touch one another conflict,
// unless they are the same. Line endings are part of a line.
func Merge(base, ours, theirs []byte) []Piece {
	m := merger{base: split(base), ours: split(ours), theirs: split(theirs)}
	a, b := hunks(m.base, m.ours), hunks(m.base, m.theirs)
	for len(a) > 0 || len(b) > 0 {
		first := start(a, b)
		region := hunk{from: first, to: first}
		var x, y []hunk
		x, y, a, b, region = touching(a, b, region)
		m.agree(m.base[m.done:region.from])
		m.region(region, x, y)
		m.done = region.to
	}
	m.agree(m.base[m.done:])
	return m.pieces
}

// Clean returns the merged text, and whether the sides agreed throughout.
func Clean(pieces []Piece) ([]byte, bool) {
	var b bytes.Buffer
	for _, p := range pieces {
		if p.Conflict {
			return nil, false
		}
		b.Write(p.Agreed)
	}
	return b.Bytes(), true
}

// Labels name the three texts where they are set out side by side.
type Labels struct{ Base, Ours, Theirs string }

// MarkerSize is how many characters git's markers have, unless it asks for more.
const MarkerSize = 7

// Marked returns the merged text with the three texts set out between git's
// markers wherever the sides disagree.
func Marked(pieces []Piece, labels Labels, size int) []byte {
	var b bytes.Buffer
	mark := func(c, label string) {
		if b.Len() > 0 && !bytes.HasSuffix(b.Bytes(), []byte("\n")) {
			b.WriteByte('\n')
		}
		b.WriteString(strings.TrimSuffix(strings.Repeat(c, size)+" "+label, " ") + "\n")
	}
	for _, p := range pieces {
		if !p.Conflict {
			b.Write(p.Agreed)
			continue
		}
		mark("<", labels.Ours)
		b.Write(p.Ours)
		mark("|", labels.Base)
		b.Write(p.Base)
		mark("=", "")
		b.Write(p.Theirs)
		mark(">", labels.Theirs)
	}
	return b.Bytes()
}

func split(b []byte) []string { return strings.SplitAfter(string(b), "\n") }

type merger struct {
	base, ours, theirs []string
	done               int // how much of the base has been merged
	pieces             []Piece
}

// hunk says that lines from..to of the base are lines at..end of a side.
type hunk struct{ from, to, at, end int }

// hunks lists where a side differs from the base, in order.
func hunks(base, side []string) []hunk {
	numbers := map[string]rune{}
	d := diffmatchpatch.New()
	d.DiffTimeout = 0 // the same on every machine, however long it takes
	var all []hunk
	from, at := 0, 0
	open := false
	for _, piece := range d.DiffMainRunes(numbered(base, numbers), numbered(side, numbers), false) {
		n := len([]rune(piece.Text))
		if piece.Type == diffmatchpatch.DiffEqual {
			from, at, open = from+n, at+n, false
			continue
		}
		if !open {
			all = append(all, hunk{from: from, to: from, at: at, end: at})
			open = true
		}
		last := &all[len(all)-1]
		if piece.Type == diffmatchpatch.DiffDelete {
			from += n
			last.to = from
		} else {
			at += n
			last.end = at
		}
	}
	return all
}

// numbered gives equal lines equal numbers, none of them in the gap that
// Unicode keeps free in the middle of its numbers.
func numbered(lines []string, numbers map[string]rune) []rune {
	const gap, width = 0xD800, 0x800
	runes := make([]rune, len(lines))
	for i, line := range lines {
		r, known := numbers[line]
		if !known {
			r = rune(len(numbers)) + 1
			if r >= gap {
				r += width
			}
			numbers[line] = r
		}
		runes[i] = r
	}
	return runes
}

// start is where the base is changed first.
func start(a, b []hunk) int {
	switch {
	case len(a) == 0:
		return b[0].from
	case len(b) == 0:
		return a[0].from
	}
	return min(a[0].from, b[0].from)
}

// touching takes from both sides the changes that overlap or touch one another,
// beginning with the region given, and returns what is left and the region.
func touching(a, b []hunk, region hunk) (x, y, restA, restB []hunk, _ hunk) {
	for {
		switch {
		case len(a) > 0 && a[0].from <= region.to:
			region.to = max(region.to, a[0].to)
			x, a = append(x, a[0]), a[1:]
		case len(b) > 0 && b[0].from <= region.to:
			region.to = max(region.to, b[0].to)
			y, b = append(y, b[0]), b[1:]
		default:
			return x, y, a, b, region
		}
	}
}

// region merges a region of the base that at least one side changed.
func (m *merger) region(region hunk, x, y []hunk) {
	ours, theirs := side(m.base, m.ours, region, x), side(m.base, m.theirs, region, y)
	base := m.base[region.from:region.to]
	switch {
	case len(x) == 0:
		m.agree(theirs)
	case len(y) == 0:
		m.agree(ours)
	default:
		m.settle(base, ours, theirs)
	}
}

// side is what a side has in place of a region of the base.
func side(base, lines []string, region hunk, changes []hunk) []string {
	var all []string
	at := region.from
	for _, h := range changes {
		all = append(all, base[at:h.from]...)
		all = append(all, lines[h.at:h.end]...)
		at = h.to
	}
	return append(all, base[at:region.to]...)
}

// settle keeps what both sides begin and end with, and sets out the rest.
func (m *merger) settle(base, ours, theirs []string) {
	head := 0
	for head < min(len(ours), len(theirs)) && ours[head] == theirs[head] {
		head++
	}
	m.agree(ours[:head])
	ours, theirs = ours[head:], theirs[head:]
	tail := 0
	for tail < min(len(ours), len(theirs)) && ours[len(ours)-1-tail] == theirs[len(theirs)-1-tail] {
		tail++
	}
	end := ours[len(ours)-tail:]
	ours, theirs = ours[:len(ours)-tail], theirs[:len(theirs)-tail]
	if len(ours) > 0 || len(theirs) > 0 {
		m.pieces = append(m.pieces, Piece{Conflict: true, Base: join(base), Ours: join(ours), Theirs: join(theirs)})
	}
	m.agree(end)
}

func (m *merger) agree(lines []string) {
	if len(lines) > 0 {
		m.pieces = append(m.pieces, Piece{Agreed: join(lines)})
	}
}

func join(lines []string) []byte { return []byte(strings.Join(lines, "")) }
