package sheet

import (
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/data/sheet/diagram"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema/figure"
)

// Diagram draws the timing of the engine's cylinder, to stand within the sheet;
// false where no event and no ignition is known, or where the engine is a
// two-stroke, whose cycle is one turn.
func (s *Sheet) Diagram() (*diagram.Drawing, bool) { return s.draw(nil) }

// DiagramAlone is the diagram to stand on its own, with the cautions below it.
func (s *Sheet) DiagramAlone() (*diagram.Drawing, bool) {
	notes := []string{s.Title + ", " + s.Name() + "."}
	for _, c := range s.Cautions {
		notes = append(notes, c.Text)
	}
	return s.draw(notes)
}

// Name is the engine's id, with the variant where it is one.
func (s *Sheet) Name() string {
	if s.Variant == "" {
		return s.Engine
	}
	return s.Engine + ", variant " + s.Variant
}

func (s *Sheet) draw(notes []string) (*diagram.Drawing, bool) {
	if s.twoStroke {
		return nil, false
	}
	in := s.timing
	in.Notes = notes
	for _, set := range s.Events {
		in.Sets = append(in.Sets, set.timing())
	}
	return diagram.Draw(in)
}

// timing is what a set of events gives to draw.
func (set EventSet) timing() diagram.Set {
	out := diagram.Set{Name: set.Name}
	points := make([]*diagram.Point, len(set.Events))
	for i, e := range set.Events {
		if is, ok := e.circleOf(); ok {
			points[i] = &diagram.Point{At: is.Mid(), Text: e.Text, Derived: e.Origin == Derived}
		}
	}
	out.Inlet.Opens, out.Inlet.Closes, out.Exhaust.Opens, out.Exhaust.Closes = points[0], points[1], points[2], points[3]
	for _, span := range set.Spans {
		p := &diagram.Point{Text: degreesIn(span.Text), Derived: span.Origin == Derived}
		switch span.Name {
		case "inlet duration":
			out.Inlet.Duration = p
		case "exhaust duration":
			out.Exhaust.Duration = p
		case "overlap":
			out.Overlap = p
		}
	}
	return out
}

// degreesIn is a print of an angle with its sign: "231" prints as 231°.
func degreesIn(print string) string {
	if strings.ContainsAny(print, "°'") || strings.Contains(print, "deg") {
		return print
	}
	return print + "°"
}

// direction notes for the diagram which way the crankshaft turns, and when the
// spark is.
func (m *maker) direction() {
	in := &m.sheet.timing
	in.Title = m.sheet.Title
	if l := m.engine.Layout; l != nil {
		if c := l.Rotation.First(); c != nil && c.Printed.Direction.From != "" {
			in.SeenFrom = c.Printed.Direction.From
			in.Anticlockwise = c.Printed.Direction.Sense == figure.Anticlockwise
		}
	}
	if p, ok := m.spark(); ok {
		in.Ignition = p
	}
}

// spark is the ignition when fixed or fully advanced.
func (m *maker) spark() (*diagram.Point, bool) {
	for _, f := range m.sheet.Ignition.Figures {
		if f.Name != "fixed at" && f.Name != "fully advanced" {
			continue
		}
		before, ok := m.angle(f.Path, figure.BTDC)
		if !ok {
			continue
		}
		return &diagram.Point{At: -before.Mid(), Text: strings.TrimSpace(f.Text), Derived: f.Origin == Derived}, true
	}
	return nil, false
}

// angle is a position in degrees from a datum: as printed, worked out from its
// distance, or derived.
func (m *maker) angle(path string, datum figure.Datum) (interval.Interval, bool) {
	if is, ok := rules.EventAngle(m.engine, path, datum); ok {
		return is, true
	}
	d, ok := m.derived[path]
	if !ok {
		return interval.Empty(), false
	}
	return datum.Recount(d.Variable.Scale.Shown(d.Value), d.Variable.Scale.Datum), true
}
