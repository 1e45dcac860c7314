package schema

import (
	"slices"
	"strings"

	"fourmarks.example/schema/notation"
)

// Dimensions returns what the engine says that a conversion of a crank position
// may need. Part names the marked part on which rim distances and teeth are
// measured; when empty it is the only one on the crankshaft that has such a
// dimension, or else the flywheel. Teeth of wheels are those of the camshaft's
// drive.
func (e *Engine) Dimensions(part string) notation.Dimensions {
	return e.dimensions(e.DimensionFigures(part, camshaftDrive))
}

// DimensionsFor is Dimensions for one of the engine's figures: measured on the
// part and counted on the drive that it is a figure of, and of the event that it
// is the position of.
func (e *Engine) DimensionsFor(f *Figure) notation.Dimensions {
	part, drive := "", camshaftDrive
	if path := strings.Split(f.Path, "."); len(path) > 2 {
		switch path[0] {
		case "marks":
			part = path[1]
		case "drives":
			drive = path[1]
		}
	}
	dims := e.dimensions(e.DimensionFigures(part, drive))
	if d, err := notation.ReadDimension(notation.Event, e.eventOf(f).Text, ""); err == nil {
		dims[notation.Event] = d
	}
	return dims
}

const camshaftDrive = "camshaft"

// DimensionFigures returns the figures that Dimensions takes, those of a drive's
// first wheel among them; a dimension without a figure is not in it.
func (e *Engine) DimensionFigures(part, drive string) map[notation.Name]*Figure {
	rim := e.measuredPart(part, func(m *Marked) *Figure { return m.RimDiameter })
	ring := e.measuredPart(part, func(m *Marked) *Figure { return m.RingTeeth })
	figures := map[notation.Name]*Figure{}
	for name, path := range map[notation.Name]string{
		notation.Stroke: "size.stroke", notation.Rod: "size.rod_centres", notation.Offset: "size.cylinder_offset",
		notation.RimDiameter: "marks." + rim + ".rim_diameter", notation.RingTeeth: "marks." + ring + ".ring_teeth",
		notation.WheelTeeth: "drives." + drive + ".wheels." + e.firstWheel(drive) + ".teeth", notation.ToothStep: "drives." + drive + ".tooth_step",
	} {
		if f := e.Figure(path); f.First() != nil {
			figures[name] = f
		}
	}
	return figures
}

// DimensionWords returns the words of the engine that a conversion may need, with
// the source of their section.
func (e *Engine) DimensionWords() map[notation.Name]SourcedWord {
	words := map[notation.Name]SourcedWord{}
	if e.Size != nil && e.Size.DeadCentre.Given() {
		words[notation.DeadCentre] = SourcedWord{e.Size.DeadCentre, e.Size.From}
	}
	if e.Layout != nil && e.Layout.Cycle.Given() {
		words[notation.Cycle] = SourcedWord{e.Layout.Cycle, e.Layout.From}
	}
	return words
}

// SourcedWord is a word with the source that it is from.
type SourcedWord struct {
	Word
	From Citation
}

func (e *Engine) dimensions(figures map[notation.Name]*Figure) notation.Dimensions {
	dims := notation.Dimensions{}
	for name, f := range figures {
		c := f.First()
		dims[name] = notation.Dimension{Printed: c.Printed, From: c.From.String()}
	}
	for name, word := range e.DimensionWords() {
		if d, err := notation.ReadDimension(name, word.Text, ""); err == nil {
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

// firstWheel is the wheel that drives the others of a drive: the first of its
// train, or the crankshaft's where there is no train.
func (e *Engine) firstWheel(drive string) string {
	d, ok := e.Drives.Get(drive)
	if !ok || d.Train.Text == "" {
		return "crankshaft"
	}
	first, _, _ := strings.Cut(d.Train.Text, ">")
	first, _, _ = strings.Cut(first, "+")
	return strings.TrimSpace(first)
}

// eventOf is the event that a figure is the position of: its key in a set of
// events, or what its stamp means.
func (e *Engine) eventOf(f *Figure) Word {
	path := strings.Split(f.Path, ".")
	switch {
	case path[0] == "events":
		return Word{Text: f.Key}
	case path[0] == "ignition":
		return Word{Text: "ignition"}
	case path[0] != "marks" || len(path) < 5:
		return Word{}
	}
	marked, _ := e.Marks.Get(path[1])
	if marked == nil {
		return Word{}
	}
	stamp, _ := marked.Stamps.Get(path[3])
	if stamp == nil {
		return Word{}
	}
	return stamp.Means
}
