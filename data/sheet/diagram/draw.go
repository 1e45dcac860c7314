package diagram

import (
	"math"
	"strings"
)

// Drawing is a diagram with everything in its place.
type Drawing struct {
	Width, Height float64
	Labels        []*Label

	input  Input
	spiral spiral
	key    []keyLine
}

// keyLine explains one kind of arc.
type keyLine struct {
	label *Label
	set   int
	inlet bool
}

const margin = 12.0

// Draw lays a diagram out; false where there is nothing to show.
func Draw(in Input) (*Drawing, bool) {
	if in.isEmpty() {
		return nil, false
	}
	d := &Drawing{input: in, spiral: spiral{sign: 1}}
	if in.Anticlockwise && in.SeenFrom != "" {
		d.spiral.sign = -1
	}
	d.eventLabels()
	d.keyLabels()
	d.place()
	d.fixedLabels()
	d.notes()
	return d, true
}

// lane is how far out from the track the middle of an arc lies: the exhaust's
// lanes first, then the inlet's.
func (d *Drawing) lane(set int, inlet bool) float64 {
	i := set
	if inlet {
		i += len(d.input.Sets)
	}
	return lanes * (float64(i) + 0.5) / float64(2*len(d.input.Sets))
}

// thickness is that of a set's arcs: the first the thickest.
func (d *Drawing) thickness(set int) float64 {
	room := lanes / float64(2*len(d.input.Sets))
	if set > 0 {
		return room * 0.42
	}
	return room * 0.8
}

// eventLabels makes a label for each event, duration and overlap, with a line
// for each set.
func (d *Drawing) eventLabels() {
	valve := func(s Set, inlet bool) Valve {
		if inlet {
			return s.Inlet
		}
		return s.Exhaust
	}
	for _, inlet := range []bool{true, false} {
		name := map[bool]string{true: "Inlet", false: "Exhaust"}[inlet]
		d.label(name+" opens", inlet, func(s Set) (*Point, float64, bool) { return place(valve(s, inlet).Opens) })
		d.label(name+" closes", inlet, func(s Set) (*Point, float64, bool) { return place(valve(s, inlet).Closes) })
		d.label(name+" open for", inlet, func(s Set) (*Point, float64, bool) {
			v := valve(s, inlet)
			if v.Duration == nil || v.Opens == nil || v.Closes == nil {
				return nil, 0, false
			}
			return v.Duration, onCircle(v.Opens.At + onCircle(v.Closes.At-v.Opens.At)/2), true
		})
	}
	d.label("Overlap", true, func(s Set) (*Point, float64, bool) {
		if s.Overlap == nil || s.Inlet.Opens == nil || s.Exhaust.Closes == nil {
			return nil, 0, false
		}
		between := math.Mod(s.Exhaust.Closes.At-s.Inlet.Opens.At+3*turn, cycle) - turn
		return s.Overlap, onCircle(s.Inlet.Opens.At + between/2), true
	})
	if p := d.input.Ignition; p != nil {
		d.Labels = append(d.Labels, &Label{Lines: []string{"Ignition", p.text()}, heading: true, from: onCircle(p.At), hasPointer: true})
	}
}

func place(p *Point) (*Point, float64, bool) {
	if p == nil {
		return nil, 0, false
	}
	return p, onCircle(p.At), true
}

// label makes a label with a line for each set that has the figure. It points at
// that of the first set.
func (d *Drawing) label(heading string, inlet bool, of func(Set) (*Point, float64, bool)) {
	l := &Label{Lines: []string{heading}, heading: true, hasPointer: true}
	for i, s := range d.input.Sets {
		p, at, ok := of(s)
		if !ok {
			continue
		}
		if len(l.Lines) == 1 {
			l.from, l.lane = at, d.lane(i, inlet)
		}
		line := p.text()
		if len(d.input.Sets) > 1 {
			line += " " + s.Name
		}
		l.Lines = append(l.Lines, wrap(line)...)
	}
	if len(l.Lines) > 1 {
		d.Labels = append(d.Labels, l)
	}
}

// wrap breaks a line at its spaces so that a column stays narrow. A word that is
// longer is left whole.
func wrap(text string) []string {
	const most = 24 // characters
	var lines []string
	for _, word := range strings.Fields(text) {
		if n := len(lines); n > 0 && len([]rune(lines[n-1]))+1+len([]rune(word)) <= most {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// place puts every label into the column on its side, the key below them, and
// the spiral between.
func (d *Drawing) place() {
	var columns, below [2][]*Label
	widest := 0.0
	wanted := map[*Label]float64{}
	for _, l := range d.Labels {
		l.Box = size(l.Lines)
		widest = max(widest, l.Box.Width+l.sample)
		side := &columns
		if l.hasPointer {
			x, y := d.spiral.polar(l.from, outerRadius)
			l.right, wanted[l] = x >= 0, y
		} else {
			side = &below
		}
		i := 0
		if l.right {
			i = 1
		}
		side[i] = append(side[i], l)
	}
	top, bottom := -outerRadius-2*lineHeight, outerRadius+2*lineHeight
	for i, column := range columns {
		upper, lower := spread(column, wanted)
		top, bottom = min(top, upper), max(bottom, stack(below[i], lower+labelGap, bottom))
	}
	half := outerRadius + columnGap + widest + margin
	d.Width = 2 * half
	d.spiral.x, d.spiral.y = half, margin-top
	for _, l := range d.Labels {
		l.Box.Y += d.spiral.y
		switch {
		case l.right:
			l.Box.X = half + outerRadius + columnGap + l.sample
		case l.hasPointer:
			l.Box.X = half - outerRadius - columnGap - l.Box.Width
		default:
			l.Box.X = margin + l.sample
		}
	}
	d.Height = d.spiral.y + bottom
}

// stack places labels one below the other, the last ending at the bottom, or
// further down where the first would begin above least; it returns where they end.
func stack(labels []*Label, least, bottom float64) float64 {
	const apart = 1.0
	height := 0.0
	for _, l := range labels {
		height += l.Box.Height + apart
	}
	y := max(bottom-height, least)
	for _, l := range labels {
		l.Box.Y = y
		y += l.Box.Height + apart
	}
	return y
}

// fixedLabels are the dead centres and the strokes.
func (d *Drawing) fixedLabels() {
	add := func(text string, x, y float64, vertical bool) {
		b := size([]string{text})
		if vertical {
			b.Width, b.Height = b.Height, b.Width
		}
		b.X, b.Y = x-b.Width/2, y-b.Height/2
		d.Labels = append(d.Labels, &Label{Lines: []string{text}, Box: b, vertical: vertical, centred: true})
	}
	add("TDC", d.spiral.x, d.spiral.y-outerRadius-lineHeight, false)
	add("BDC", d.spiral.x, d.spiral.y+outerRadius+lineHeight, false)
	for i, stroke := range []string{"power", "exhaust", "induction", "compression"} {
		x, y := d.spiral.point(float64(90+180*i), (lanes+pitch)/2)
		add(stroke, x, y, true)
	}
}

// keyLabels explain the arcs, left, and the drawing, right.
func (d *Drawing) keyLabels() {
	const sample = 40.0 // width of a piece of arc in the key
	for _, inlet := range []bool{false, true} {
		for i, s := range d.input.Sets {
			text := map[bool]string{true: "inlet, ", false: "exhaust, "}[inlet] + s.Name
			l := &Label{Lines: []string{text}, sample: sample}
			d.Labels = append(d.Labels, l)
			d.key = append(d.key, keyLine{l, i, inlet})
		}
	}
	for _, sentence := range d.sentences() {
		d.Labels = append(d.Labels, &Label{Lines: wrap(sentence), right: true})
	}
}

func (d *Drawing) sentences() []string {
	direction := "Direction of rotation not known; drawn clockwise."
	if d.input.SeenFrom != "" {
		sense := "clockwise"
		if d.input.Anticlockwise {
			sense = "anticlockwise"
		}
		direction = "Turns " + sense + " seen from " + d.input.SeenFrom + ", as drawn."
	}
	return []string{direction, "Begins inside, at firing TDC.", "~, open tick: derived."}
}

// notes stand below everything, over the whole width.
func (d *Drawing) notes() {
	y := d.Height + lineHeight
	for _, note := range d.input.Notes {
		l := &Label{Lines: wrapTo(note, d.Width-2*margin)}
		l.Box = size(l.Lines)
		l.Box.X, l.Box.Y = margin, y
		d.Width = max(d.Width, l.Box.X+l.Box.Width+margin)
		d.Labels = append(d.Labels, l)
		y += l.Box.Height + lineHeight/4
	}
	d.Height = y + margin - lineHeight
}

// wrapTo breaks a text at its spaces into lines no wider than is given, as far
// as words allow.
func wrapTo(text string, most float64) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		if n := len(lines); n > 0 && width(lines[n-1]+" "+word) <= most {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}
