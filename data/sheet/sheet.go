package sheet

import (
	"fmt"
	"reflect"

	"fourmarks.example/data/cautions"
	"fourmarks.example/data/sheet/diagram"
	"fourmarks.example/lint/relation"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/notation"
)

// Options are what a sheet is made for. Prints are as a person writes them.
type Options struct {
	Altitude    string // where the engine stands: "1500 ft"
	RimDiameter string // of the flywheel actually on the engine
	Disc        string // diameter of a timing disc clamped to the crankshaft
	Cylinder    int    // whose events are read; 0 stands for No. 1
	Units       figure.System
}

// Sheet is the setting sheet of one engine or variant.
type Sheet struct {
	Engine   string   `json:"engine"`
	Variant  string   `json:"variant"`
	Title    string   `json:"title"`
	Identity Identity `json:"identity"`
	Cylinder Cylinder `json:"cylinder"`
	Altitude string   `json:"altitude"`

	Cautions   []cautions.Caution `json:"cautions"`
	Clearances []Group            `json:"clearances"`
	Valves     ValveTable         `json:"valve_setting"`
	Parts      []Part             `json:"parts"`
	Events     []EventSet         `json:"events"`
	Drives     []Drive            `json:"drives"`
	Ignition   Group              `json:"ignition"`
	Checks     Group              `json:"checks"`
	Setting    Group              `json:"setting"`
	LastStep   []string           `json:"last_step"`
	Sources    []Source           `json:"sources"`
	Remarks    []string           `json:"remarks"`

	timing    diagram.Input // what Diagram draws besides the events
	twoStroke bool
}

// Group is a set of figures with the words that belong to them.
type Group struct {
	Name    string   `json:"name"`
	Words   []Word   `json:"words"`
	Figures []Figure `json:"figures"`
}

// Word is something a source says that is no figure.
type Word struct {
	Name string `json:"name"`
	Text string `json:"text"`
	Mark string `json:"mark"`
}

// maker fills one sheet.
type maker struct {
	engine  *schema.Engine
	lookup  schema.Register
	options Options
	derived map[string]relation.Derived
	marks   *marks
	dims    notation.Dimensions
	sheet   *Sheet
}

// Make fills the setting sheet of an engine or variant. Figures that nothing
// tells are left out; options that do not fit the engine are errors.
func Make(e *schema.Engine, lookup schema.Register, o Options) (*Sheet, error) {
	m := &maker{engine: e, lookup: lookup, options: o, marks: &marks{lookup: lookup}, derived: map[string]relation.Derived{}}
	for _, d := range rules.Network(e).Derive() {
		if !d.Variable.Scale.Shown(d.Value).IsEmpty() {
			m.derived[d.Variable.Path] = d
		}
	}
	m.sheet = &Sheet{Engine: e.ID.Text, Variant: e.Variant, Title: e.Title.Text, Altitude: o.Altitude}
	m.identity()
	m.clearances()
	if err := m.dimensions(); err != nil {
		return nil, err
	}
	if err := m.cylinder(); err != nil {
		return nil, err
	}
	m.valves()
	m.events()
	m.drives()
	m.ignition()
	if err := m.checks(); err != nil {
		return nil, err
	}
	m.setting()
	m.direction()
	m.sheet.twoStroke = rules.IsTwoStroke(e)
	m.sheet.Cautions = cautions.For(e)
	m.sheet.Sources = m.marks.list()
	withLists(reflect.ValueOf(m.sheet))
	return m.sheet, nil
}

func (m *maker) remark(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	for _, r := range m.sheet.Remarks {
		if r == text {
			return
		}
	}
	m.sheet.Remarks = append(m.sheet.Remarks, text)
}

// word adds what a section says in words, if it says it.
func (m *maker) word(all []Word, name string, w schema.Word, from schema.Citation) []Word {
	if !w.Given() {
		return all
	}
	return append(all, Word{Name: name, Text: w.Text, Mark: m.marks.of(from)})
}
