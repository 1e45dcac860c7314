package sheet

import (
	"encoding/json"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// Origin says where a figure on a sheet comes from.
type Origin string

// The origins.
const (
	Printed Origin = "printed" // a source prints it
	Derived Origin = "derived" // it follows from what is printed
	Given   Origin = "given"   // the reader of the sheet said so
)

// Figure is one figure on a sheet.
type Figure struct {
	Name   string `json:"name"`
	Path   string `json:"path"` // in the engine's file; empty where it has no place
	Origin Origin `json:"origin"`
	// Text is the print, or what a derived figure comes to.
	Text string `json:"text"`
	// Also is the print in the other unit; empty where it has both, or none.
	Also     string   `json:"also"`
	Standing string   `json:"standing"`
	Marks    []string `json:"marks"`
	// Interval is what the prints leave a derived figure.
	Interval *Interval `json:"interval"`
	// By is what a derived figure follows from.
	By string `json:"by"`
	// Claims lists what each source says, where they are more than one.
	Claims []Claim `json:"claims"`
	// Conversions are the figure in other notations, each derived.
	Conversions []Conversion `json:"conversions"`
}

// Interval holds every value that the prints allow. An end that they leave open
// is infinite, and null in JSON.
type Interval struct {
	Low, High float64
	Unit      string
}

// MarshalJSON writes {"low", "high", "unit"}.
func (i Interval) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Low  *float64 `json:"low"`
		High *float64 `json:"high"`
		Unit string   `json:"unit"`
	}{ended(i.Low), ended(i.High), i.Unit})
}

// Claim is what one source says of a figure.
type Claim struct {
	Text     string `json:"text"`
	Also     string `json:"also"`
	Mark     string `json:"mark"`
	SetAside string `json:"set_aside"` // why it is not followed
	Note     string `json:"note"`
}

// figure adds what is known under a path: printed, or derived where the prints
// leave both ends of it. Absent figures add nothing.
func (m *maker) figure(all []Figure, path, name string) []Figure {
	if f, ok := m.at(path, name); ok {
		all = append(all, f)
	}
	return all
}

func (m *maker) at(path, name string) (Figure, bool) {
	if f := m.engine.Figure(path); f.First() != nil {
		return m.printed(f, name), true
	}
	d, ok := m.derived[path]
	if !ok {
		return Figure{}, false
	}
	return derivedFigure(name, path, d.Variable.Scale.Shown(d.Value), d.Variable.Scale.Symbol(), d.By.Formula()), true
}

// printed is a figure that at least one source prints.
func (m *maker) printed(f *schema.Figure, name string) Figure {
	first := f.First()
	out := Figure{Name: name, Path: f.Path, Origin: Printed, Text: first.Printed.Text, Also: m.also(first.Printed),
		Standing: schema.StandingOf(f, m.lookup).String()}
	for _, c := range f.Claims {
		mark := m.marks.of(c.From)
		if c.Stands() && mark != "" && !slices.Contains(out.Marks, mark) {
			out.Marks = append(out.Marks, mark)
		}
		out.Claims = append(out.Claims, Claim{Text: c.Printed.Text, Also: m.also(c.Printed), Mark: mark, SetAside: c.SetAside.Text, Note: c.Note.Text})
	}
	if len(out.Claims) == 1 {
		out.Claims = nil
	}
	return out
}

// also is a print in the unit that it does not have: that asked for, or else
// millimetres for inches and inches for millimetres.
func (m *maker) also(p figure.Printed) string {
	switch {
	case p.Kind == figure.Altitude:
		return ""
	case len(p.Readings) == 1 && p.Readings[0].Stated:
		return m.rangeIn(p.Readings[0])
	case m.options.Units != figure.AsPrinted:
		return p.In(m.options.Units)
	}
	if metric := p.In(figure.Metric); metric != "" {
		return metric
	}
	return p.In(figure.Inches)
}

// otherUnits are the metric and the inch unit of what benches measure.
var otherUnits = map[convert.Dimension][2]convert.Unit{
	convert.Length:   {convert.Millimetre, convert.Thou},
	convert.Pressure: {convert.Kilopascal, convert.PoundPerSquareInch},
}

// rangeIn is a range or limit in the other unit.
func (m *maker) rangeIn(r figure.Reading) string {
	units, known := otherUnits[r.Unit.Dimension()]
	if !known || r.Lo == nil || r.Hi == nil {
		return ""
	}
	inch := r.Unit == convert.Inch || r.Unit == convert.Thou || r.Unit == convert.PoundPerSquareInch || r.Unit == convert.InchOfMercury
	unit := units[0]
	if !inch {
		unit = units[1]
	}
	if inch && m.options.Units == figure.Inches || !inch && m.options.Units == figure.Metric {
		return ""
	}
	is := bounds(r.Interval().Div(unit.Interval(rational(1), rational(1))), unit.Symbol())
	if r.Lo.Sign() == 0 { // "within 10 psi of one another"
		return "up" + strings.TrimPrefix(is, "0")
	}
	return is
}

// derivedFigure is a figure that follows from others, with its interval in the
// unit of the symbol.
func derivedFigure(name, path string, is interval.Interval, symbol, by string) Figure {
	return Figure{Name: name, Path: path, Origin: Derived, Standing: string(Derived), By: by,
		Text: bounds(is, symbol), Interval: &Interval{Low: is.Lo, High: is.Hi, Unit: symbol}}
}

// exactFigure is a derived figure that is free of rounding.
func exactFigure(name string, is *big.Rat, symbol, by string) Figure {
	f := derivedFigure(name, "", interval.FromRat(is, is), symbol, by)
	x, _ := is.Float64()
	f.Interval.Low, f.Interval.High = x, x
	return f
}

// words is the last part of a path in words: inlet_opens, inlet opens.
func words(key string) string { return strings.ReplaceAll(key, "_", " ") }

// number is a rational as the nearest double; nil for an open bound.
func number(r *big.Rat) *float64 {
	if r == nil {
		return nil
	}
	x, _ := r.Float64()
	return ended(x)
}
