package diagram

import (
	"cmp"
	"slices"
)

const (
	fontSize   = 13.0
	lineHeight = 16.0
	labelGap   = 10.0
	columnGap  = 26.0 // between the spiral and a column
)

// Label is a text with the box that it takes at most.
type Label struct {
	Lines      []string
	Box        Box
	right      bool // stands right of the spiral
	heading    bool // its first line is one
	vertical   bool
	centred    bool
	from       float64 // the angle it speaks of
	lane       float64 // and how far out
	hasPointer bool
	sample     float64 // room left of it for a piece of arc
}

// Box is a rectangle in the units of the drawing.
type Box struct{ X, Y, Width, Height float64 }

// Meets reports whether two boxes have a point in common.
func (b Box) Meets(o Box) bool {
	return b.X < o.X+o.Width && o.X < b.X+b.Width && b.Y < o.Y+o.Height && o.Y < b.Y+b.Height
}

// width is the most that a text takes in any of the fonts asked for, bold
// included: no character of Arial, Helvetica, Liberation Sans or DejaVu Sans Bold
// is wider than is counted here for its like.
func width(text string) float64 {
	const narrow, usual, wide = 0.45, 0.75, 1.12
	ems := 0.0
	for _, r := range text {
		switch {
		case r == ' ' || r == '.' || r == ',' || r == '\'' || r == 'i' || r == 'l' || r == 'j' || r == ':':
			ems += narrow
		case r == 'm' || r == 'w' || r == 'M' || r == 'W' || r == '%' || r == '@' || r > 0x2E7F:
			ems += wide
		case 'A' <= r && r <= 'Z' || r > 0x17F:
			ems += 0.88
		default:
			ems += usual
		}
	}
	return ems * fontSize
}

// size is the box of a label's lines at the origin.
func size(lines []string) Box {
	b := Box{Height: lineHeight * float64(len(lines))}
	for _, line := range lines {
		b.Width = max(b.Width, width(line))
	}
	return b
}

// spread places the labels of one column below one another, each as near to
// where its leader ends as the others let it, and returns how far down and up
// they reach. wanted are the heights of their middles.
func spread(column []*Label, wanted map[*Label]float64) (top, bottom float64) {
	slices.SortStableFunc(column, func(a, b *Label) int { return cmp.Compare(wanted[a], wanted[b]) })
	// Labels that would touch form a block; a block stands where the mean of what
	// its labels want puts it (pool adjacent violators).
	type block struct {
		labels      []*Label
		height, sum float64 // sum of wanted tops, each less its offset in the block
	}
	topOf := func(b block) float64 { return b.sum / float64(len(b.labels)) }
	var blocks []block
	for _, l := range column {
		b := block{[]*Label{l}, l.Box.Height + labelGap, wanted[l] - l.Box.Height/2}
		for len(blocks) > 0 {
			last := blocks[len(blocks)-1]
			if topOf(last)+last.height <= topOf(b) {
				break
			}
			last.sum += b.sum - float64(last.height*float64(len(b.labels)))
			last.height += b.height
			last.labels = append(last.labels, b.labels...)
			b, blocks = last, blocks[:len(blocks)-1]
		}
		blocks = append(blocks, b)
	}
	top, bottom = 0, 0
	for _, b := range blocks {
		y := topOf(b)
		for _, l := range b.labels {
			l.Box.Y = y
			top, bottom = min(top, y), max(bottom, y+l.Box.Height)
			y += l.Box.Height + labelGap
		}
	}
	return top, bottom
}
