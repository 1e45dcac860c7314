package schema

import (
	"iter"
	"strings"

	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// File is one YAML file of a dataset.
type File struct {
	// Name is the file's path within its dataset, with forward slashes.
	Name string
	// Doc is the text with its index of places.
	Doc *text.Doc
}

// Place is a spot in a file: a key or a value.
type Place struct {
	File *File
	Node *text.Node
}

// IsZero reports whether the place is nowhere: what it belongs to is not written.
func (p Place) IsZero() bool { return p.Node == nil }

// Position returns the line and column, both counted from 1.
func (p Place) Position() (line, column int) {
	if p.IsZero() {
		return 1, 1
	}
	return p.File.Doc.Position(p.Node.Span.Start)
}

// End returns the line and column just after the place.
func (p Place) End() (line, column int) {
	if p.IsZero() {
		return 1, 1
	}
	return p.File.Doc.Position(p.Node.Span.End)
}

// Pointer returns the JSON Pointer (RFC 6901) of the value in its file.
func (p Place) Pointer() string {
	if p.IsZero() {
		return ""
	}
	return p.File.Doc.Pointer(p.Node)
}

// Word is a value that is not a figure: a name, a choice from a list, a remark.
type Word struct {
	Text string
	At   Place
}

// Given reports whether the word is written in the file.
func (w Word) Given() bool { return !w.At.IsZero() }

// Citation is a source and where in it.
type Citation struct {
	Source  string
	Locator string
	At      Place
}

// Given reports whether a source is named.
func (c Citation) Given() bool { return c.Source != "" }

// String writes the citation as a file does: id, then locator.
func (c Citation) String() string { return strings.TrimSpace(c.Source + " " + c.Locator) }

// readCitation splits "handbook-1927 p. 6" at the first space.
func readCitation(s string, at Place) Citation {
	id, locator, _ := strings.Cut(strings.TrimSpace(s), " ")
	return Citation{Source: id, Locator: strings.TrimSpace(locator), At: at}
}

// Section is what every section of an engine file may carry.
type Section struct {
	// From is the source of the figures below that name none of their own.
	From Citation
	Note Word
	At   Place
}

// Named is one entry of a map whose keys the file chooses.
type Named[T any] struct {
	Name  string
	Key   Place
	Value T
}

// The fields of a Named, for the decoder.
const (
	namedName = iota
	namedKey
	namedValue
)

// Group is a map whose keys the file chooses, in file order.
type Group[T any] []Named[T]

// Get returns the entry of that name, or the zero value.
func (g Group[T]) Get(name string) (value T, found bool) {
	for _, n := range g {
		if n.Name == name {
			return n.Value, true
		}
	}
	return value, false
}

// Figure is one slot for a printed figure with all the claims made of it.
type Figure struct {
	// Path names the figure within the engine: events.checking.inlet_opens.
	Path string
	// Key is the last part of the path, the slot's name in its section.
	Key    string
	Kind   figure.Kind
	Claims []Claim
	// At is the place of the whole value, Name that of its key.
	At, Name Place
	// Changed says that a variant's change wrote this figure.
	Changed bool
}

// Claim is what one source says of a figure.
type Claim struct {
	// Key is the claim's key under `claims:`; empty when the figure is a single print.
	Key      string
	Printed  figure.Printed
	From     Citation
	Note     Word
	Quote    Word
	SeenOn   Word
	SeenBy   Word
	SetAside Word
	// At is the place of the print itself.
	At Place
}

// Stands reports whether the claim is followed: not set aside, and a figure
// rather than a word for its absence.
func (c *Claim) Stands() bool { return !c.SetAside.Given() && c.Printed.Absence == "" }

// Standing yields the claims that stand. It accepts a nil figure.
func (f *Figure) Standing() iter.Seq[*Claim] {
	return func(yield func(*Claim) bool) {
		if f == nil {
			return
		}
		for i := range f.Claims {
			if c := &f.Claims[i]; c.Stands() && !yield(c) {
				return
			}
		}
	}
}

// First returns the first claim that stands, or nil. It accepts a nil figure.
func (f *Figure) First() *Claim {
	for c := range f.Standing() {
		return c
	}
	return nil
}

// Reading returns the first reading of the first claim that stands.
func (f *Figure) Reading() (figure.Reading, bool) {
	c := f.First()
	if c == nil || len(c.Printed.Readings) == 0 {
		return figure.Reading{}, false
	}
	return c.Printed.Readings[0], true
}

// Count returns a counted figure as an int.
func (f *Figure) Count() (int, bool) {
	r, ok := f.Reading()
	if !ok || r.Value == nil || !r.Value.IsInt() || !r.Value.Num().IsInt64() {
		return 0, false
	}
	return int(r.Value.Num().Int64()), true
}

// Text returns the print of the first claim that stands, or "".
func (f *Figure) Text() string {
	if c := f.First(); c != nil {
		return c.Printed.Text
	}
	return ""
}

// Removal is a figure or entry that a variant takes away.
type Removal struct {
	Path    string
	At      Place
	Existed bool
}
