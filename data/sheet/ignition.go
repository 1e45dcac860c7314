package sheet

// ignition fills the timing of the spark and the gaps.
func (m *maker) ignition() {
	g := &m.sheet.Ignition
	g.Name = "ignition"
	i := m.engine.Ignition
	if i == nil {
		return
	}
	g.Words = m.word(g.Words, "kind", i.Kind, i.From)
	g.Words = m.word(g.Words, "driven by", i.Drive, i.From)
	for _, f := range []struct {
		key, name string
		position  bool
	}{
		{"fixed", "fixed at", true}, {"advance", "fully advanced", true}, {"fully_retarded", "fully retarded", true}, {"range", "range", false},
		{"contact_gap", "contact gap", false}, {"plug_gap", "plug gap", false}, {"sparks_per_turn", "sparks a turn", false},
	} {
		before := len(g.Figures)
		g.Figures = m.figure(g.Figures, "ignition."+f.key, f.name)
		if c := m.engine.Figure("ignition." + f.key).First(); f.position && c != nil {
			g.Figures[before].Conversions = m.converted(c.Printed)
		}
	}
	g.Words = m.word(g.Words, "note", i.Note, i.From)
}
