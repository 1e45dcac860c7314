package serve

import (
	"slices"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/notation"
)

// dimensionsOf returns what an engine says that a conversion of one of its
// figures may need.
func dimensionsOf(e *schema.Engine, f *schema.Figure) notation.Dimensions {
	dims := notation.Dimensions{}
	drive := drivenBy(f)
	rim := markedPart(e, f, func(m *schema.Marked) *schema.Figure { return m.RimDiameter })
	ring := markedPart(e, f, func(m *schema.Marked) *schema.Figure { return m.RingTeeth })
	for name, path := range map[notation.Name]string{
		notation.Stroke:      "size.stroke",
		notation.Rod:         "size.rod_centres",
		notation.Offset:      "size.cylinder_offset",
		notation.RimDiameter: "marks." + rim + ".rim_diameter",
		notation.RingTeeth:   "marks." + ring + ".ring_teeth",
		notation.WheelTeeth:  "drives." + drive + ".wheels." + firstWheel(e, drive) + ".teeth",
		notation.ToothStep:   "drives." + drive + ".tooth_step",
	} {
		if c := e.Figure(path).First(); c != nil {
			dims[name] = notation.Dimension{Printed: c.Printed, From: c.From.String()}
		}
	}
	words := map[notation.Name]schema.Word{notation.Event: eventOf(e, f)}
	if e.Size != nil {
		words[notation.DeadCentre] = e.Size.DeadCentre
	}
	if e.Layout != nil {
		words[notation.Cycle] = e.Layout.Cycle
	}
	for name, word := range words {
		if d, err := notation.ReadDimension(name, word.Text, ""); err == nil {
			dims[name] = d
		}
	}
	return dims
}

// markedPart is the part on which a rim or ring gear is measured: the figure's
// own, else the only one on the crankshaft that has such a dimension, else the
// flywheel; "" where that leaves a choice.
func markedPart(e *schema.Engine, f *schema.Figure, dimension func(*schema.Marked) *schema.Figure) string {
	if parts := strings.Split(f.Path, "."); len(parts) > 2 && parts[0] == "marks" {
		return parts[1]
	}
	var names []string
	for _, m := range e.Marks {
		if dimension(m.Value).First() != nil && m.Value.Shaft.Text != camshaft {
			names = append(names, m.Name)
		}
	}
	switch {
	case len(names) == 1:
		return names[0]
	case slices.Contains(names, flywheel):
		return flywheel
	}
	return ""
}

const (
	flywheel = "flywheel"
	camshaft = "camshaft"
)

// drivenBy is the drive whose wheels are counted: the figure's own, else that of
// the camshaft.
func drivenBy(f *schema.Figure) string {
	if parts := strings.Split(f.Path, "."); len(parts) > 2 && parts[0] == "drives" {
		return parts[1]
	}
	return camshaft
}

func firstWheel(e *schema.Engine, drive string) string {
	d, ok := e.Drives.Get(drive)
	if !ok {
		return ""
	}
	if wheels := wheelsIn(d.Train.Text); len(wheels) > 0 {
		return wheels[0]
	}
	return ""
}

// eventOf is the event that a figure is the position of: its key in a set of
// events, or what its stamp means.
func eventOf(e *schema.Engine, f *schema.Figure) schema.Word {
	parts := strings.Split(f.Path, ".")
	switch {
	case parts[0] == "events":
		return schema.Word{Text: f.Key}
	case parts[0] == "ignition":
		return schema.Word{Text: "ignition"}
	case parts[0] != "marks" || len(parts) < 5:
		return schema.Word{}
	}
	marked, _ := e.Marks.Get(parts[1])
	if marked == nil {
		return schema.Word{}
	}
	if stamp, ok := marked.Stamps.Get(parts[3]); ok {
		return stamp.Means
	}
	return schema.Word{}
}
