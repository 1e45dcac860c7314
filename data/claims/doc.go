// Package claims takes a file of a dataset apart into what it says: every claim
// of every figure with its source made explicit, and every other value. What
// compares files works on these, and not on lines: merge, differences, history,
// publication.
//
// It reads the index of the text and not the decoded engine, so that prints that
// cannot be read, keys the format does not have and files with other faults are
// taken apart like the rest: nothing that stands in a file is missing here but
// comments and layout. Reading and judging figures is the business of schema.
package claims

import (
	"slices"

	"fourmarks.example/schema/text"
)

// Kind tells what a value of a file is.
type Kind uint8

const (
	// Print is a claim: what one source prints of a figure.
	Print Kind = iota
	// Word is any other single value: a name, a choice, a remark, an item of a
	// list, a source id in a source record, an empty map or list.
	Word
	// From is the source that a section names for its figures. The claims that
	// inherit it carry it already.
	From
)

// String names the kind: print, word or from.
func (k Kind) String() string { return [...]string{"print", "word", "from"}[k] }

// ID tells the claims of a file apart, and stays the same from one version of
// the file to the next: no two claims of a file without duplicate keys share
// one, and it does not depend on whether a figure is written as a single print,
// as one print with its remarks, or as several claims.
type ID struct {
	// Pointer is the JSON Pointer, within the file, of the figure or value:
	// /events/checking/inlet_closes, or the same below /variants/series-2/change.
	// That of an item of a list of different texts is the list's, so that an item
	// stays the same when others come and go.
	Pointer string
	// Key is the claim's key: a source id, with a suffix where one source says
	// two things. It is that of the source where a figure is a single print, the
	// text of an item of such a list, and empty for any other value and where a
	// single print has no source.
	Key string
}

// Claim is one claim of a figure, or one other value.
type Claim struct {
	ID
	Kind Kind
	// Variant names the variant that says it; empty for the base.
	Variant string
	// Path is the place within the engine, the same in base and variants, as
	// schema.Figure has it: events.checking.inlet_closes.
	Path string
	// Printed is the text as the file gives it, quotes resolved, nothing
	// converted; a list of figures is joined by ", ".
	Printed string
	// Source and Locator are where it was read: of the claim itself, or else of
	// the nearest section around it that names a source, in a variant's change of
	// the nearest there.
	Source, Locator string
	// Inherited says that the source is that of a section.
	Inherited bool
	// Note, Quote, SeenOn and SeenBy are the claim's remarks; "" where not given.
	Note, Quote, SeenOn, SeenBy string
	// Aside says that the claim is set aside, SetAside why.
	Aside    bool
	SetAside string
	// Other are values inside the claim that a claim of the format does not have,
	// each with its JSON Pointer within the claim.
	Other []Other
	// Empty says that there is no print: nothing, or an empty map or list, stands
	// in its place.
	Empty bool
	// Span holds the bytes of the whole claim, remarks included, without its key;
	// PrintSpan those of the print alone.
	Span, PrintSpan text.Span
}

// Other is a value inside a claim that has no place in one.
type Other struct{ Pointer, Text string }

// Citation writes the source as a file does: id, then locator.
func (c *Claim) Citation() string {
	if c.Locator == "" {
		return c.Source
	}
	return c.Source + " " + c.Locator
}

// Same reports whether two claims say the same, to the letter and with the same
// source and remarks. Where they stand, and whether the source is inherited or
// written out, does not count.
func Same(a, b *Claim) bool {
	return slices.Equal(a.Other, b.Other) && a.ID == b.ID && a.Kind == b.Kind && a.Empty == b.Empty && a.Printed == b.Printed &&
		a.Source == b.Source && a.Locator == b.Locator &&
		a.Note == b.Note && a.Quote == b.Quote && a.SeenOn == b.SeenOn && a.SeenBy == b.SeenBy &&
		a.Aside == b.Aside && a.SetAside == b.SetAside
}
