package schema

import (
	"reflect"
)

// Contribution is what one person contributes to one engine: figures, with where
// and how they were read. As with the other types, what each field means is said in
// the JSON Schema.
type Contribution struct {
	// From is the source of figures that name none, Note where and how they were
	// read.
	Section
	Format  Word           `key:"contribution"`
	Engine  Word           `key:"engine"`
	Variant Word           `key:"variant"`
	By      Word           `key:"by"`
	On      Word           `key:"on"`
	Sources Group[*Source] `key:"sources"`
	Figures *Contributed   `key:"figures"`

	figures []*Figure
}

// Contributed holds sections of an engine file, with no more in them than is
// contributed.
type Contributed struct {
	Section
	Title      Word              `key:"title"`
	Made       Word              `key:"made"`
	Identify   *Identify         `key:"identify"`
	Layout     *Layout           `key:"layout"`
	Size       *Size             `key:"size"`
	Clearances Group[*Clearance] `key:"clearances"`
	Expansion  *Expansion        `key:"expansion"`
	Lifts      *Lifts            `key:"lifts"`
	Events     Group[*EventSet]  `key:"events"`
	Cams       Group[*Cam]       `key:"cams"`
	Drives     Group[*Drive]     `key:"drives"`
	Marks      Group[*Marked]    `key:"marks"`
	Ignition   *Ignition         `key:"ignition"`
	Checks     *Checks           `key:"checks"`
	Setting    *Setting          `key:"setting"`
}

// All returns the figures contributed, in the order of the file. Their paths start
// with the key they stand under there: figures.size.bore.
func (c *Contribution) All() []*Figure { return c.figures }

// IsContribution reports whether a file is a contribution, as it says itself.
func IsContribution(f *File) bool { return f.Doc.Root.Get("contribution") != nil }

// DecodeContribution reads a contribution file; see DecodeEngine. It is a problem,
// too, when there is no word of where the figures were read, and when a figure has
// no source: neither can be asked of anybody later.
func DecodeContribution(f *File) (*Contribution, []Problem) {
	d := &decoder{file: f, engine: &Engine{byPath: map[string]*Figure{}}, vouched: make([]bool, f.Doc.Nodes)}
	c := &Contribution{}
	if d.readable(f) {
		d.section(view{{node: f.Doc.Root}}, planFor[Contribution](), "", reflect.ValueOf(c).Elem())
		c.figures = d.engine.figures
		d.unsourced(c)
		clear(d.vouched) // such a file is short, so the schema sees all of it
		d.gate(contributionGate())
	}
	return c, d.sorted()
}

func (d *decoder) unsourced(c *Contribution) {
	for _, f := range c.figures {
		for i := range f.Claims {
			if claim := &f.Claims[i]; !claim.From.Given() {
				d.problem(layer{}, Violation, claim.At.Node, "`%s` names no source; say after `from:`, here or for all figures, where it was read", f.Path)
			}
		}
	}
}
