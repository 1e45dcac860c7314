package publish

import (
	"slices"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// Form is one form of a release. Engines come one at a time, so that a dataset
// of any size passes through the same memory.
type Form interface {
	// Prepare does what can be done for one engine apart from the others. It is
	// called for several engines at once. Of what it is given, only Published and
	// Entry may be kept.
	Prepare(*Prepared) (any, error)
	// Add writes what Prepare returned, engine after engine in the order of ids.
	Add(prepared any) error
	// End writes what stands once, after the last engine.
	End(*Whole) error
	// Close lets go of what the form holds open, also after a failure.
	Close() error
}

// NewForm makes a form that writes into a folder.
type NewForm func(*Folder) (Form, error)

// Prepared is one engine on its way into the forms.
type Prepared struct {
	// Engine is the engine as it was read, Register the records of its sources.
	Engine   *schema.Engine
	Register schema.Register
	// Published is the engine as it is published, JSON the same as text.
	Published *release.Engine
	JSON      []byte
	// Entry is what tells the engine from others.
	Entry release.Entry

	rows [][]row // for each of the tables
}

// Whole is what is known after the last engine.
type Whole struct {
	Release *release.Release
	// Sources are the records of all sources cited, by id.
	Sources []release.Source
	// Moved are the ids that are no longer used, by id.
	Moved []release.Redirect

	published map[string]bool // by id
}

// holds reports whether an id leads to an engine of the release.
func (w *Whole) holds(id string) bool {
	return w.published[id] || slices.ContainsFunc(w.Moved, func(m release.Redirect) bool { return m.From == id })
}

// rows are the rows of a table that is written once.
func (w *Whole) rows(t table) []row {
	switch t.name {
	case "units":
		return unitRows()
	case "sources":
		return sourceRows(w.Sources)
	case "redirects":
		return redirectRows(w.Moved)
	}
	return nil
}
