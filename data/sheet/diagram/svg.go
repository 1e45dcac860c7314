package diagram

import (
	"fmt"
	"html"
	"strings"
	"unicode"
	"unicode/utf8"
)

// style colours a drawing by the reader's preference. On paper it is black on
// white; no meaning hangs on a colour.
const style = `.fm{--ink:#1a1a1a;--paper:#fff;--faint:#8a8a8a;--in:#0b4f8a;--ex:#7a2e12;font:13px Arial,Helvetica,"Liberation Sans","DejaVu Sans",sans-serif}
@media (prefers-color-scheme:dark){.fm{--ink:#ececec;--paper:#141414;--faint:#8f8f8f;--in:#8cc4ff;--ex:#ffb08c}}
@media print{.fm{--ink:#000;--paper:#fff;--faint:#666;--in:#000;--ex:#000}}
.fm text{fill:var(--ink)}.fm .h{font-weight:bold}.fm .d{font-style:italic}
.fm .ground{fill:var(--paper)}.fm .line{fill:none;stroke:var(--faint);stroke-width:1}.fm .lead{fill:none;stroke:var(--ink);stroke-width:.8}
.fm .in{fill:none;stroke:var(--in)}.fm .ex{fill:none;stroke:var(--ex)}.fm .hollow{fill:none;stroke:var(--paper)}
.fm .tick{stroke:var(--ink);stroke-width:1.6}.fm .open{stroke-dasharray:2 2}.fm .dot{fill:var(--ink)}`

// SVG writes the drawing on its own: it needs no other file and no script.
func (d *Drawing) SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="fm" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img" aria-label="%s">`,
		d.Width, d.Height, d.Width, d.Height, escaped("Timing diagram of "+d.input.Title))
	fmt.Fprintf(&b, "<style>%s</style>", style)
	fmt.Fprintf(&b, `<rect class="ground" width="%.0f" height="%.0f"/>`, d.Width, d.Height)
	d.track(&b)
	for i, s := range d.input.Sets {
		d.arc(&b, s.Exhaust, i, false)
		d.arc(&b, s.Inlet, i, true)
	}
	d.leaders(&b)
	d.arrow(&b)
	d.keys(&b)
	for _, l := range d.Labels {
		l.write(&b)
	}
	b.WriteString("</svg>\n")
	return b.String()
}

// track is the spiral and the line of the dead centres.
func (d *Drawing) track(b *strings.Builder) {
	fmt.Fprintf(b, `<path class="line" d="%s"/>`, d.spiral.path(0, cycle, 0))
	reach := outerRadius + lineHeight/4
	fmt.Fprintf(b, `<path class="line" stroke-dasharray="1 3" d="M%.1f %.1fV%.1f"/>`, d.spiral.x, d.spiral.y-reach, d.spiral.y+reach)
}

func classOf(inlet bool) string {
	if inlet {
		return "in"
	}
	return "ex"
}

// arc is the time that a valve is open, with a tick at each end that is known.
func (d *Drawing) arc(b *strings.Builder, v Valve, set int, inlet bool) {
	lane, thick := d.lane(set, inlet), d.thickness(set)
	if v.Opens != nil && v.Closes != nil {
		from := onCircle(v.Opens.At)
		d.stroke(b, d.spiral.path(from, after(v.Closes.At, from), lane), thick, inlet)
	}
	for _, p := range []*Point{v.Opens, v.Closes} {
		if p == nil {
			continue
		}
		at, class := onCircle(p.At), "tick"
		if p.Derived {
			class = "tick open"
		}
		x1, y1 := d.spiral.point(at, lane-thick/2-2)
		x2, y2 := d.spiral.point(at, lane+thick/2+2)
		fmt.Fprintf(b, `<path class="%s" d="M%.1f %.1fL%.1f %.1f"/>`, class, x1, y1, x2, y2)
	}
}

// stroke draws an arc: solid for the exhaust, hollow for the inlet.
func (d *Drawing) stroke(b *strings.Builder, path string, thick float64, inlet bool) {
	fmt.Fprintf(b, `<path class="%s" stroke-width="%.1f" d="%s"/>`, classOf(inlet), thick, path)
	if inlet {
		fmt.Fprintf(b, `<path class="hollow" stroke-width="%.1f" d="%s"/>`, max(thick-3, 0.8), path)
	}
}

// leaders lead from each label to its place: straight out of the spiral, then to
// the label.
func (d *Drawing) leaders(b *strings.Builder) {
	for _, l := range d.Labels {
		if !l.hasPointer {
			continue
		}
		x1, y1 := d.spiral.point(l.from, l.lane)
		x2, y2 := d.spiral.polar(l.from, outerRadius+4)
		x3 := l.Box.X - 5
		if !l.right {
			x3 = l.Box.X + l.Box.Width + 5
		}
		y3 := l.Box.Y + lineHeight/2
		fmt.Fprintf(b, `<path class="lead" d="M%.1f %.1fL%.1f %.1fL%.1f %.1f"/><circle class="dot" cx="%.1f" cy="%.1f" r="2.2"/>`, x1, y1, x2, y2, x3, y3, x1, y1)
	}
}

// arrow shows in the middle which way the crankshaft turns, where that is known.
func (d *Drawing) arrow(b *strings.Builder) {
	const radius, reach, barb = 20.0, 130.0, 6.0
	fmt.Fprintf(b, `<circle class="dot" cx="%.1f" cy="%.1f" r="3"/>`, d.spiral.x, d.spiral.y)
	if d.input.SeenFrom == "" {
		return
	}
	x1, y1 := d.spiral.polar(-reach, radius)
	x2, y2 := d.spiral.polar(reach, radius)
	sweep := 1
	if d.spiral.sign < 0 {
		sweep = 0
	}
	fmt.Fprintf(b, `<path class="lead" stroke-width="1.6" d="M%.1f %.1fA%g %g 0 1 %d %.1f %.1f"/>`, x1, y1, radius, radius, sweep, x2, y2)
	x3, y3 := d.spiral.polar(reach-2*barb, radius+barb)
	x4, y4 := d.spiral.polar(reach-2*barb, radius-barb)
	fmt.Fprintf(b, `<path class="dot" d="M%.1f %.1fL%.1f %.1fL%.1f %.1fZ"/>`, x2, y2, x3, y3, x4, y4)
}

// keys draws a piece of each kind of arc beside its explanation.
func (d *Drawing) keys(b *strings.Builder) {
	for _, k := range d.key {
		y := k.label.Box.Y + lineHeight/2
		path := fmt.Sprintf("M%.1f %.1fh30", k.label.Box.X-k.label.sample, y)
		d.stroke(b, path, d.thickness(k.set), k.inlet)
	}
}

// write writes the lines of a label. A column left of the spiral ends at it.
func (l *Label) write(b *strings.Builder) {
	const baseline = 12.0 // of a line, below its top
	x, anchor := l.Box.X, "start"
	switch {
	case l.centred:
		x, anchor = l.Box.X+l.Box.Width/2, "middle"
	case l.hasPointer && !l.right:
		x, anchor = l.Box.X+l.Box.Width, "end"
	}
	for i, line := range l.Lines {
		class := ""
		switch {
		case i == 0 && l.heading:
			class = ` class="h"`
		case strings.HasPrefix(line, "~") && l.heading:
			class = ` class="d"`
		}
		y := l.Box.Y + float64(i)*lineHeight + baseline
		turned := ""
		if l.vertical {
			y = l.Box.Y + l.Box.Height/2
			turned = fmt.Sprintf(` dominant-baseline="central" transform="rotate(-90 %.1f %.1f)"`, x, y)
		}
		fmt.Fprintf(b, `<text%s x="%.1f" y="%.1f" text-anchor="%s"%s>%s</text>`, class, x, y, anchor, turned, escaped(line))
	}
}

// escaped is a text as XML takes it: marks escaped, and without the control
// characters that it does not allow.
func escaped(text string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == utf8.RuneError || r >= 0xFFFE && r <= 0xFFFF {
			return ' '
		}
		return r
	}, text))
}
