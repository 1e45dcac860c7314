package sheet

import (
	"fmt"

	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// Identity says which engine it is and how to tell, and how it is laid out.
type Identity struct {
	Made    string   `json:"made"`
	Numbers string   `json:"numbers"`
	Found   string   `json:"found"` // where the number stands
	Mark    string   `json:"mark"`  // of the source for the numbers
	Words   []Word   `json:"words"`
	Layout  []Word   `json:"layout"`
	Figures []Figure `json:"figures"`
}

func (m *maker) identity() {
	e, id := m.engine, &m.sheet.Identity
	id.Made = e.Made.Text
	if v, ok := e.Variants.Get(e.Variant); ok && v.Title.Given() {
		id.Words = append(id.Words, Word{Name: "variant", Text: v.Title.Text})
	}
	if is := e.Identify; is != nil {
		if n := is.Numbers; n != nil {
			id.Numbers, id.Found = numbersInWords(n), n.Found.Text
			id.Mark = m.marks.of(fromOr(n.Section.From, is.From))
		}
		id.Words = m.word(id.Words, "also called", is.AlsoCalled, is.From)
		id.Words = m.word(id.Words, "looks", is.Looks, is.From)
		id.Words = m.word(id.Words, "note", is.Note, is.From)
	}
	l := e.Layout
	if l == nil {
		return
	}
	id.Layout = m.word(id.Layout, "arrangement", l.Arrangement, l.From)
	id.Layout = m.word(id.Layout, "No. 1 at the", l.NumberedFrom, l.From)
	id.Layout = m.word(id.Layout, "valve gear", l.ValveGear, l.From)
	for _, f := range []struct{ path, name string }{
		{"layout.cylinders", "cylinders"}, {"layout.rotation", "crankshaft turns"}, {"layout.firing_order", "firing order"},
		{"layout.valve_order", "valve order"},
	} {
		id.Figures = m.figure(id.Figures, f.path, f.name)
	}
}

func numbersInWords(n *schema.Numbers) string {
	switch {
	case n.From.Given() && n.To.Given():
		return n.From.Text + " to " + n.To.Text
	case n.From.Given():
		return "from " + n.From.Text
	case n.To.Given():
		return "up to " + n.To.Text
	}
	return ""
}

// fromOr is a section's own source, or that of the section around it.
func fromOr(own, around schema.Citation) schema.Citation {
	if own.Given() {
		return own
	}
	return around
}

// Cylinder is the one whose events are read.
type Cylinder struct {
	Number int `json:"number"`
	// Fires is how many crank degrees after No. 1 it fires, and Turned the same
	// within one turn, as the flywheel shows it; nil where nothing tells.
	Fires  *Figure `json:"fires"`
	Turned *Figure `json:"turned"`
}

// cylinder finds the cylinder whose events are read.
func (m *maker) cylinder() error {
	k := max(m.options.Cylinder, 1)
	l := m.engine.Layout
	if l != nil {
		if n, ok := l.Cylinders.Count(); ok && k > n {
			return fmt.Errorf("there is no cylinder %d: %s has %d", k, m.engine.Name(), n)
		}
	}
	if m.options.Cylinder < 0 {
		return fmt.Errorf("there is no cylinder %d: cylinders are numbered from 1", m.options.Cylinder)
	}
	m.sheet.Cylinder.Number = k
	if k == 1 {
		return nil
	}
	when, err := rules.Firing(m.engine)
	if err != nil || k > len(when) {
		m.remark("Where No. %d stands when No. 1 fires does not follow from the layout, so find its own dead centre first.", k)
		return nil
	}
	const turn = 360
	fires, turned := when[k-1], when[k-1]
	if turned >= turn {
		turned -= turn
	}
	by := "firing order and crank pins"
	m.sheet.Cylinder.Fires = at("fires after No. 1", fires, by)
	m.sheet.Cylinder.Turned = at("TDC after that of No. 1", turned, by)
	m.sheet.Cylinder.Turned.Conversions = m.spanned(turned)
	return nil
}
