// Package forms lays a setting sheet out: as text for a terminal, and as one HTML
// page that prints on A4 and needs no other file, no script and no network.
//
// Both forms are laid out from one [Document], so that neither can say what the
// other does not.
package forms

import "fourmarks.example/data/sheet"

// Document is a sheet in the order in which it is read.
type Document struct {
	Title    string
	Subtitle string
	Cautions []Row
	Bands    []Band
	Legend   string
}

// Band is what stands side by side on paper: one wide section, several that flow
// into two columns, or several beside the timing diagram.
type Band struct {
	Wide     bool
	Sections []Section
	Beside   *Section // what the diagram stands in
}

// Section is one part of a sheet.
type Section struct {
	Title string
	// Wide sections take the whole width of a page, the others half of it.
	Wide   bool
	Lead   string
	Rows   []Row
	Tables []Table
	Notes  []Row
	Steps  []string
}

// Row is one figure or word.
type Row struct {
	Name     string
	Value    string
	Also     string // in the other unit
	Marks    []string
	Standing string
	Derived  bool
	More     []Row  // claims and conversions
	By       string // what a derived figure follows from
}

// Table sets figures side by side. Where it has several rows the first column
// names them.
type Table struct {
	Head []string
	Rows [][]Cell
}

// Cell is one place of a table.
type Cell struct {
	Text    string
	Marks   []string
	Derived bool
	Below   string // what is said of it in a second line
}

const legend = "A letter is the source listed at the end. ~ is derived from the figures printed, with the interval that they leave it."

// Of lays a sheet out.
func Of(s *sheet.Sheet) Document {
	d := Document{Title: s.Title, Subtitle: s.Name(), Legend: legend}
	for _, c := range s.Cautions {
		d.Cautions = append(d.Cautions, Row{Value: c.Text, Standing: c.From})
	}
	d.add(identity(s), clearances(s))
	if t, ok := timing(s); ok {
		if len(d.Bands) == 0 { // nothing tells which engine it is
			d.Bands = append(d.Bands, Band{})
		}
		d.Bands[0].Beside = &t
	}
	d.add(valves(s))
	d.add(events(s)...)
	d.add(parts(s)...)
	d.add(drives(s)...)
	d.add(group(s.Ignition), group(s.Checks), lastStep(s), remarks(s), sources(s))
	return d
}

// add puts sections with something in them into bands.
func (d *Document) add(sections ...Section) {
	for _, s := range sections {
		if len(s.Rows)+len(s.Tables)+len(s.Steps) == 0 && s.Lead == "" {
			continue
		}
		if n := len(d.Bands); n > 0 && !s.Wide && !d.Bands[n-1].Wide {
			d.Bands[n-1].Sections = append(d.Bands[n-1].Sections, s)
			continue
		}
		d.Bands = append(d.Bands, Band{Wide: s.Wide, Sections: []Section{s}})
	}
}
