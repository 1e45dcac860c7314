package schema

import (
	"slices"

	"fourmarks.example/schema/notation"
)

// Dimensions returns what the engine says that a conversion of a crank position
// may need. Part names the marked part on which rim distances and teeth are
// measured; when empty it is the only one on the crankshaft that has such a
// dimension, or else the flywheel.
func (e *Engine) Dimensions(part string) notation.Dimensions {
	rim := e.measuredPart(part, func(m *Marked) *Figure { return m.RimDiameter })
	ring := e.measuredPart(part, func(m *Marked) *Figure { return m.RingTeeth })
	dims := notation.Dimensions{}
	for name, path := range map[notation.Name]string{
		notation.Stroke: "size.stroke", notation.Rod: "size.rod_centres", notation.Offset: "size.cylinder_offset",
		notation.RimDiameter: "marks." + rim + ".rim_diameter", notation.RingTeeth: "marks." + ring + ".ring_teeth",
		notation.WheelTeeth: "drives.camshaft.wheels.crankshaft.teeth", notation.ToothStep: "drives.camshaft.tooth_step",
	} {
		if c := e.Figure(path).First(); c != nil {
			dims[name] = notation.Dimension{Printed: c.Printed, From: c.From.String()}
		}
	}
	words := map[notation.Name]Word{}
	if e.Size != nil {
		words[notation.DeadCentre] = e.Size.DeadCentre
	}
	if e.Layout != nil {
		words[notation.Cycle] = e.Layout.Cycle
	}
	for name, word := range words {
		if d, err := notation.ReadDimension(name, word.Text, ""); err == nil && word.Given() {
			dims[name] = d
		}
	}
	return dims
}

// measuredPart is the part asked for, or the one that is meant when none is.
func (e *Engine) measuredPart(part string, dimension func(*Marked) *Figure) string {
	if part != "" {
		return part
	}
	var names []string
	for _, m := range e.Marks {
		if dimension(m.Value).First() != nil && m.Value.Shaft.Text != "camshaft" {
			names = append(names, m.Name)
		}
	}
	if len(names) == 1 {
		return names[0]
	}
	if slices.Contains(names, "flywheel") {
		return "flywheel"
	}
	return ""
}
