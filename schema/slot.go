package schema

import (
	"slices"
	"sync"

	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// Slot is what the format lets stand at a place of a file.
type Slot struct {
	// Section names what the map at the place is, for [Describe], and Keys are
	// the keys that it may have, in the order of the schema. A figure has them
	// too, for it can be written as a map.
	Section string
	Keys    []string
	// Named says that the file itself chooses the keys of the map.
	Named bool
	// Figure says that a print of that Kind stands here.
	Figure bool
	Kind   figure.Kind
	// Choices are the words of which one stands here; empty where any may.
	Choices []string
	// Cites says that sources are named here: by the value, or by the keys where
	// the file chooses them.
	Cites bool
}

// EngineSlot returns what may stand at a path of an engine file; false where the
// format has no such place.
func EngineSlot(path text.Path) (Slot, bool) { return planFor[Engine]().slot(path) }

// SourceSlot returns what may stand at a path of a source file.
func SourceSlot(path text.Path) (Slot, bool) { return planFor[Source]().slot(path) }

var orderedKeys = sync.OnceValue(schemaKeys)

func (p *plan) slot(path text.Path) (Slot, bool) {
	keys := orderedKeys()[p.section]
	if len(path) == 0 {
		return Slot{Section: p.section, Keys: keys}, true
	}
	key, below := path[0], path[1:]
	i, known := p.byKey[key]
	switch {
	case known:
		s, ok := p.fields[i].slot(below)
		s.Cites = s.Cites || p.section == "source" && key == "copies"
		return s, ok
	case len(below) == 0 && slices.Contains(keys, key): // `from` or `note`, which every section has
		return Slot{Cites: p.sourced && key == "from"}, true
	}
	return Slot{}, false
}

func (f field) slot(path text.Path) (Slot, bool) {
	if len(path) == 0 && (f.shape == groupShape || f.shape == tableShape || f.shape == acceptedShape) {
		return Slot{Named: true}, true
	}
	switch f.shape {
	case figureShape:
		return figureSlot(f.kind, path)
	case sectionShape:
		return f.elem.slot(path)
	case groupShape:
		return f.elem.slot(path[1:])
	case tableShape:
		return figureSlot(f.kind, path[1:])
	case acceptedShape:
		return Slot{Named: len(path) == 1}, len(path) <= 2
	case changeShape:
		return changeSlot(path)
	case wordListShape:
		return Slot{}, len(path) <= 1
	}
	return Slot{Choices: f.enum}, len(path) == 0
}

// changeSlot returns what may stand in the change of a variant.
func changeSlot(path text.Path) (Slot, bool) {
	changeable := readContract().change
	engine := planFor[Engine]()
	if len(path) > 0 {
		if _, ok := changeable[path[0]]; !ok {
			return Slot{}, false
		}
		return engine.slot(path)
	}
	all, _ := engine.slot(nil)
	all.Keys = slices.DeleteFunc(slices.Clone(all.Keys), func(key string) bool {
		_, ok := changeable[key]
		return !ok
	})
	return all, true
}

// figureSlot returns what may stand in a figure that is written as a map.
func figureSlot(kind figure.Kind, path text.Path) (Slot, bool) {
	all := Slot{Section: KindName(kind), Figure: true, Kind: kind, Keys: orderedKeys()[KindName(kind)]}
	if len(path) == 0 {
		return all, true
	}
	key, below := path[0], path[1:]
	switch {
	case !slices.Contains(all.Keys, key):
		return Slot{}, false
	case key == "claims" && len(below) == 0:
		return Slot{Named: true, Cites: true}, true
	case key == "claims" && len(below) == 1:
		all.Keys = slices.DeleteFunc(slices.Clone(all.Keys), func(k string) bool { return k == "claims" })
		return all, true
	case key == "claims" && below[1] == "claims":
		return Slot{}, false
	case key == "claims":
		return figureSlot(kind, below[1:])
	case key == "seen" && len(below) == 0:
		return Slot{Section: "seen", Keys: orderedKeys()["seen"]}, true
	case key == "seen" && len(below) == 1:
		return Slot{}, slices.Contains(orderedKeys()["seen"], below[0])
	case len(below) > 0:
		return Slot{}, false
	}
	if key == "is" {
		return Slot{Figure: true, Kind: kind}, true
	}
	return Slot{Cites: key == "from"}, true
}

// KindName returns the schema's name of a kind of figure: position, count.
func KindName(kind figure.Kind) string {
	for name, k := range figureKinds {
		if k == kind {
			return name
		}
	}
	return ""
}
