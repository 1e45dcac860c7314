package schema

// Spot is a place of the format, to be walked down key by key beside the tree of a
// file. It tells less than [Slot] does and is quicker, for those who go through
// whole files. The zero Spot is a place the format does not have.
type Spot struct {
	plan   *plan // of a section; nil elsewhere
	group  *field
	change bool // the section is the change of a variant
	figure bool
	claims bool
	source bool
}

// EngineSpot is the root of an engine file, SourceSpot that of a source file.
func EngineSpot() Spot { return Spot{plan: planFor[Engine]()} }

// SourceSpot is the root of a source file.
func SourceSpot() Spot { return Spot{plan: planFor[Source]()} }

// Figure reports whether a print stands at the place, in any of its forms: also
// where it is one of several claims.
func (s Spot) Figure() bool { return s.figure }

// From reports whether the place is the source of a section.
func (s Spot) From() bool { return s.source }

// Down returns the place under a key of a map.
func (s Spot) Down(key string) Spot {
	switch {
	case s.figure:
		return Spot{figure: key == "is", claims: key == "claims"}
	case s.claims:
		return Spot{figure: true}
	case s.group != nil && s.group.shape == tableShape:
		return Spot{figure: true}
	case s.group != nil:
		return Spot{plan: s.group.elem}
	case s.plan == nil:
		return Spot{}
	}
	i, known := s.plan.byKey[key]
	if !known {
		return Spot{source: key == "from" && s.plan.sourced}
	}
	f := &s.plan.fields[i]
	if _, changeable := readContract().change[key]; s.change && !changeable {
		return Spot{}
	}
	switch f.shape {
	case figureShape, figuresShape:
		return Spot{figure: true}
	case sectionShape:
		return Spot{plan: f.elem}
	case groupShape, tableShape:
		return Spot{group: f}
	case changeShape:
		return Spot{plan: planFor[Engine](), change: true}
	}
	return Spot{}
}
