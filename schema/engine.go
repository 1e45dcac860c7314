// Package schema is the format: the JSON Schemas of engine and source files,
// their Go types, and the decoder that reads a file into them with the place of
// every value, each variant resolved.
//
// It does not judge figures against one another (package lint) nor find files
// (package data/store).
package schema

import (
	"slices"
	"sync"
)

// File returns the file the engine was read from.
func (e *Engine) File() *File { return e.file }

// Figures returns every figure of the engine in the order of the schema.
func (e *Engine) Figures() []*Figure { return e.figures }

// Figure returns the figure at a path such as events.checking.inlet_opens, or nil.
func (e *Engine) Figure(path string) *Figure { return e.byPath[path] }

// Citations returns every place where the engine's file names a source, for a
// figure, a claim or a whole section.
func (e *Engine) Citations() []Citation { return e.citations }

// Removed returns what a variant takes away from the base.
func (e *Engine) Removed() []Removal { return e.removed }

// All returns the base and every variant, each a whole engine.
func (e *Engine) All() []*Engine {
	all := []*Engine{e}
	for _, v := range e.Variants {
		if v.Value.Engine != nil {
			all = append(all, v.Value.Engine)
		}
	}
	return all
}

// Once works out something about the engine that is asked for often, the first
// time it is asked for under a key; keys are of types of their users' own.
func (e *Engine) Once(key any, work func() any) any {
	e.once.Lock()
	is, known := e.once.of[key]
	e.once.Unlock()
	if known {
		return is
	}
	is = work()
	e.once.Lock()
	defer e.once.Unlock()
	if e.once.of == nil {
		e.once.of = map[any]any{}
	}
	e.once.of[key] = is
	return is
}

// memo is what was worked out about an engine.
type memo struct {
	sync.Mutex
	of map[any]any
}

// Name returns the engine's id, with the variant's name where it is one.
func (e *Engine) Name() string {
	if e.Variant == "" {
		return e.ID.Text
	}
	return e.ID.Text + " " + e.Variant
}

// Given lists the claims of a figure that say something, set aside or not.
func (f *Figure) Given() []Claim {
	if f == nil {
		return nil
	}
	if !slices.ContainsFunc(f.Claims, func(c Claim) bool { return c.Printed.Absence != "" }) {
		return slices.Clip(f.Claims)
	}
	return slices.DeleteFunc(slices.Clone(f.Claims), func(c Claim) bool { return c.Printed.Absence != "" })
}
