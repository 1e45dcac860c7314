// Package sheet makes the setting sheet of one engine: everything that a person
// at the bench needs, as one model that every form (terminal, HTML, SVG, JSON) is
// laid out from.
//
// A figure on a sheet is either printed in a source, and carries the source's mark
// and how far it is established, or derived, and carries the interval that the
// prints leave it and what it follows from. Nothing is worked out here that is
// worked out elsewhere: conversions are schema/notation's, what follows from the
// figures is lint/relation's, mechanics are convert's.
//
// What lives here: the model and how it is filled. What does not: how it looks
// (data/sheet/forms) and the timing diagram (data/sheet/diagram).
package sheet
