package sheet

import (
	"fmt"
	"math/big"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/notation"
)

// Part is something on the crankshaft with a rim to measure along or teeth to
// count: the engine's flywheel or pulley, or a timing disc.
type Part struct {
	Name    string   `json:"name"`
	Words   []Word   `json:"words"`
	Figures []Figure `json:"figures"`
	Stamps  []Stamp  `json:"stamps"`

	dims notation.Dimensions
}

// Stamp is a mark on a part.
type Stamp struct {
	Name    string   `json:"name"`
	Means   string   `json:"means"`
	Figures []Figure `json:"figures"`
}

const (
	flywheel   = "flywheel"
	timingDisc = "timing disc"
	rimFlag    = "given for this sheet"
)

// dimensions collects what conversions need, and the parts that are measured on.
func (m *maker) dimensions() error {
	m.dims = m.engine.Dimensions("")
	for _, p := range m.engine.Marks {
		if p.Value.Shaft.Text == "camshaft" {
			continue
		}
		m.sheet.Parts = append(m.sheet.Parts, m.part(p))
	}
	if err := m.measured(m.options.RimDiameter, "--rim-diameter", flywheel); err != nil {
		return err
	}
	return m.measured(m.options.Disc, "--disc", timingDisc)
}

// measured lays a diameter that the reader gave over that of a part, which is
// added where the engine has none of the name.
func (m *maker) measured(print, flag, name string) error {
	if print == "" {
		return nil
	}
	d, err := notation.ReadDimension(notation.RimDiameter, print, flag)
	if err != nil {
		return err
	}
	at := -1
	for i, p := range m.sheet.Parts {
		if p.Name == name {
			at = i
		}
	}
	if at < 0 {
		at = len(m.sheet.Parts)
		m.sheet.Parts = append(m.sheet.Parts, Part{Name: name, dims: notation.Dimensions{}})
	}
	p := &m.sheet.Parts[at]
	p.dims[notation.RimDiameter] = d
	given := Figure{Name: "rim diameter", Origin: Given, Text: print, Also: m.also(d.Printed), Standing: rimFlag}
	for i, f := range p.Figures {
		if f.Name == given.Name {
			given.By = "in place of " + f.Text
			p.Figures[i] = given
			return nil
		}
	}
	p.Figures = append([]Figure{given}, p.Figures...)
	return nil
}

func (m *maker) part(p schema.Named[*schema.Marked]) Part {
	path := "marks." + p.Name + "."
	part := Part{Name: p.Name, dims: notation.Dimensions{}}
	part.Words = m.word(part.Words, "pointer", p.Value.Pointer, p.Value.From)
	part.Figures = m.figure(part.Figures, path+"rim_diameter", "rim diameter")
	part.Figures = m.figure(part.Figures, path+"ring_teeth", "ring-gear teeth")
	part.Figures = m.figure(part.Figures, path+"tooth_step", "one timing tooth")
	part.Figures = m.figure(part.Figures, path+"order", "order of the marks")
	for name, f := range map[notation.Name]*schema.Figure{notation.RimDiameter: p.Value.RimDiameter, notation.RingTeeth: p.Value.RingTeeth} {
		if c := f.First(); c != nil {
			part.dims[name] = notation.Dimension{Printed: c.Printed, From: c.From.String()}
		}
	}
	for _, s := range p.Value.Stamps {
		part.Stamps = append(part.Stamps, m.stamp(path+"stamps."+s.Name+".", s))
	}
	return part
}

func (m *maker) stamp(path string, s schema.Named[*schema.Stamp]) Stamp {
	stamp := Stamp{Name: s.Name, Means: words(s.Value.Means.Text)}
	for _, key := range []string{"cylinder", "companion", "rim", "angle", "teeth"} {
		stamp.Figures = m.figure(stamp.Figures, path+key, key)
	}
	return stamp
}

// Conversion is a figure in another notation.
type Conversion struct {
	To   string `json:"to"`
	Part string `json:"part"` // what it is measured on
	Text string `json:"text"`
	// Allowed is what the prints allow, in words; Rest what the nearest tooth
	// leaves out.
	Allowed string   `json:"allowed"`
	Rest    string   `json:"rest"`
	Value   *float64 `json:"value"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
	Unit    string   `json:"unit"`
	Working []string `json:"working"`
}

// converted is a crank position or movement in degrees where it is printed
// otherwise, as piston travel, along and across the rim of every part, and to the
// nearest tooth of every ring gear. What the dimensions do not allow is left out.
func (m *maker) converted(p figure.Printed) []Conversion {
	f, err := notation.Of(p)
	if err != nil || isDeadCentre(p.Readings[0]) {
		return nil
	}
	var all []Conversion
	if p.Readings[0].Measure != figure.CrankAngle && p.Readings[0].Measure != figure.NoMeasure {
		all = append(all, m.to(f, "", m.dimsOn(m.readOn()), "degrees")...)
	}
	for _, part := range m.sheet.Parts {
		all = append(all, m.to(f, part.Name, m.dimsOn(&part), "rim")...)
	}
	if p.Readings[0].Measure != figure.PistonTravel {
		all = append(all, m.to(f, "", m.dims, "piston")...)
	}
	for _, part := range m.sheet.Parts {
		all = append(all, m.to(f, part.Name, m.dimsOn(&part), "teeth")...)
	}
	return all
}

// isDeadCentre reports whether a position is a dead centre itself, which is the
// same in every notation.
func isDeadCentre(r figure.Reading) bool {
	return (r.Datum == figure.TDC || r.Datum == figure.BDC) && r.Value != nil && r.Value.Sign() == 0
}

// readOn is the part that a print of rim distance or teeth is read on: the
// flywheel, or the only one there is.
func (m *maker) readOn() *Part {
	for i := range m.sheet.Parts {
		if m.sheet.Parts[i].Name == flywheel || len(m.sheet.Parts) == 1 {
			return &m.sheet.Parts[i]
		}
	}
	return nil
}

// dimsOn is the engine's dimensions with the rim and ring of a part, and no
// other's.
func (m *maker) dimsOn(p *Part) notation.Dimensions {
	dims := notation.Dimensions{}
	for name, d := range m.dims {
		dims[name] = d
	}
	if p == nil {
		return dims
	}
	delete(dims, notation.RimDiameter)
	delete(dims, notation.RingTeeth)
	for name, d := range p.dims {
		dims[name] = d
	}
	return dims
}

func (m *maker) to(f notation.Figure, part string, dims notation.Dimensions, notations ...string) []Conversion {
	var units []string
	switch {
	case notations[0] == "teeth" || notations[0] == "degrees":
	case m.options.Units == figure.Metric:
		units = []string{"mm"}
	case m.options.Units == figure.Inches:
		units = []string{"in"}
	}
	wanted, err := f.Wanted(append(notations, units...)...)
	if err != nil {
		return nil
	}
	c, err := f.Convert(wanted, dims)
	if err != nil {
		return nil // a dimension is not known, or the notation says nothing of it
	}
	for _, r := range c.Remarks {
		if strings.HasPrefix(r, "The print says") {
			r = fmt.Sprintf("%q: %s", f.Text, r)
		}
		m.remark("%s", r)
	}
	var all []Conversion
	for _, r := range c.Results {
		if r.Notation == notation.Teeth {
			continue // the nearest whole tooth is what can be counted
		}
		one := Conversion{To: string(r.Notation), Part: part, Text: r.Printed, Allowed: r.Allowed, Rest: r.Rest,
			Value: number(r.Value), Low: number(r.Low), High: number(r.High), Unit: r.UnitName()}
		for _, s := range r.Working {
			one.Working = append(one.Working, s.String())
		}
		all = append(all, one)
	}
	return all
}

// spanned is what a number of crank degrees spans on every part.
func (m *maker) spanned(degrees float64) []Conversion {
	is := new(big.Rat).SetFloat64(degrees)
	return m.converted(figure.Printed{Text: bounds(pointAt(degrees), "°"), Kind: figure.Angle, Readings: []figure.Reading{{Value: is, Lo: is, Hi: is, Unit: degreeUnit}}})
}
