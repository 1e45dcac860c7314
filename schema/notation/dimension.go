package notation

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/schema/figure"
)

// Name names a dimension of an engine, or another thing that a conversion may
// need to know. It is also the name of the flag that gives it.
type Name string

// The dimensions. The last three are words, the others printed figures.
const (
	Stroke      Name = "stroke"
	Rod         Name = "rod"
	Offset      Name = "offset"
	RimDiameter Name = "rim-diameter"
	RingTeeth   Name = "ring-teeth"
	WheelTeeth  Name = "wheel-teeth"
	ToothStep   Name = "tooth-step"
	DeadCentre  Name = "dead-centre"
	Event       Name = "event"
	Cycle       Name = "cycle"
)

// about is what there is to know of a dimension.
type about struct {
	name  Name
	means string // after an article
	kind  figure.Kind
	words []string // where it is a word
	// example is a print of it.
	example string
}

var dimensions = []about{
	{Stroke, "stroke of the piston", figure.NominalLength, nil, "4 1/2 in"},
	{Rod, "length of the connecting rod between centres", figure.NominalLength, nil, "9 in"},
	{Offset, "distance of the cylinder axis from the crankshaft axis", figure.NominalLength, nil, "1/4 in"},
	{RimDiameter, "diameter of the rim", figure.NominalLength, nil, "16 1/4 in"},
	{RingTeeth, "number of teeth of the ring gear", figure.Count, nil, "120"},
	{WheelTeeth, "number of teeth of the crankshaft's timing wheel", figure.Count, nil, "28"},
	{ToothStep, "crank degrees for one tooth of the timing wheels", figure.Angle, nil, "12.86"},
	{DeadCentre, "part whose dead centres degrees are counted from, piston or crank", figure.Text, []string{piston, crankshaft}, "piston"},
	{Event, "event at the position", figure.Text, eventNames(), "inlet_closes"},
	{Cycle, "working cycle", figure.Text, []string{"four-stroke", twoStroke}, "four-stroke"},
}

const (
	piston     = "piston"
	crankshaft = "crank"
	twoStroke  = "two-stroke"
)

// Names lists the dimensions.
func Names() []Name {
	names := make([]Name, len(dimensions))
	for i, d := range dimensions {
		names[i] = d.name
	}
	return names
}

func (n Name) about() about {
	i := slices.IndexFunc(dimensions, func(d about) bool { return d.name == n })
	if i < 0 {
		return about{name: n, means: string(n)}
	}
	return dimensions[i]
}

// Means says in words what a dimension is.
func (n Name) Means() string { return n.about().means }

// Example is a print of the dimension, or one of the words for it.
func (n Name) Example() string { return n.about().example }

// words is the name in running text.
func (n Name) words() string { return strings.ReplaceAll(string(n), "-", " ") }

// Dimension is a dimension as printed.
type Dimension struct {
	figure.Printed
	// From is where the print stands: a source, or the flag that gave it.
	From string
	// InsteadOf is a print that this one was used in place of, with where that stands.
	InsteadOf string
}

// Dimensions is what is known of the engine that a figure belongs to.
type Dimensions map[Name]Dimension

// ReadDimension reads the print of a dimension. The words for an absent figure
// are accepted: the dimension is then as good as not given.
func ReadDimension(name Name, print, from string) (Dimension, error) {
	d := name.about()
	p, err := figure.Read(d.kind, print)
	if err != nil {
		return Dimension{}, fmt.Errorf("the %s: %w", name.words(), err)
	}
	if d.words != nil && p.Absence == "" {
		i := slices.IndexFunc(d.words, func(w string) bool { return same(w, print) })
		if i < 0 {
			return Dimension{}, fmt.Errorf("%q is no %s; write one of %s", print, name.words(), strings.Join(d.words, ", "))
		}
		p.Text = d.words[i]
	}
	return Dimension{Printed: p, From: from}, nil
}

// given reports whether a dimension is known.
func (d Dimensions) given(name Name) bool {
	of, named := d[name]
	return named && of.Absence == "" && of.Text != ""
}

// event returns what happens at the position, or 0.
func (d Dimensions) event() crank.Event {
	i := slices.Index(eventNames(), d[Event].Text)
	if i < 0 {
		return 0
	}
	return crank.Ignition + crank.Event(i)
}

// eventNames are the events by the keys that engine files have for them.
func eventNames() []string {
	var names []string
	for e := crank.Ignition; e <= crank.InletCloses; e++ {
		names = append(names, strings.ReplaceAll(e.String(), " ", "_"))
	}
	return names
}

// Missing says that a notation needs what was not given.
type Missing struct {
	// For is what needs it, in words.
	For string
	// AnyOf are the dimensions of which one is enough.
	AnyOf []Name
}

func (m *Missing) Error() string {
	needs := make([]string, len(m.AnyOf))
	for i, n := range m.AnyOf {
		needs[i] = fmt.Sprintf("the %s (--%s)", n.Means(), n)
	}
	return fmt.Sprintf("%s needs %s, which is not given", m.For, strings.Join(needs, " or "))
}

// Used is a dimension that results rest on.
type Used struct {
	What Name
	Dimension
}

// same compares two names, blanks, hyphens and underscores alike.
func same(a, b string) bool { return plainName(a) == plainName(b) }

func plainName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return c == ' ' || c == '-' || c == '_' }), " ")
}
