package release

// Figure returns the figure at a path such as events.checking.inlet_opens; nil
// when the series has none.
func (s *Series) Figure(path string) *Figure {
	for i := range s.Figures {
		if s.Figures[i].Path == path {
			return &s.Figures[i]
		}
	}
	return nil
}

// Variant returns a series by the name of its variant, the base for the empty
// name; nil when there is none.
func (e *Engine) Variant(name string) *Series {
	if name == "" {
		return &e.Series
	}
	for i := range e.Variants {
		if e.Variants[i].Name == name {
			return &e.Variants[i].Series
		}
	}
	return nil
}

// Source returns the record of a source that the engine cites; nil when there
// is none.
func (e *Engine) Source(id string) *Source {
	for i := range e.Sources {
		if e.Sources[i].ID == id {
			return &e.Sources[i]
		}
	}
	return nil
}
