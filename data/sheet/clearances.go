package sheet

import "strings"

// clearances lists every set of clearances in the order of the file, the running
// one first where there is one.
func (m *maker) clearances() {
	for _, c := range m.engine.Clearances {
		path := "clearances." + c.Name + "."
		g := Group{Name: c.Name}
		g.Words = m.word(g.Words, "measured at the", c.Value.MeasuredAt, c.Value.From)
		g.Words = m.word(g.Words, "engine", c.Value.Engine, c.Value.From)
		for _, key := range []string{"inlet", "exhaust", "felt", "inlet_taken_up", "exhaust_taken_up"} {
			g.Figures = m.figure(g.Figures, path+key, words(key))
		}
		g.Words = m.word(g.Words, "note", c.Value.Note, c.Value.From)
		m.sheet.Clearances = append(m.sheet.Clearances, g)
	}
}

// running is the clearance that an engine runs at, in words: "inlet 4 thou,
// exhaust 6 thou, cold"; empty where it is not known.
func (m *maker) running() string {
	for _, g := range m.sheet.Clearances {
		if g.Name != "running" {
			continue
		}
		var parts []string
		for _, f := range g.Figures {
			if f.Name == "inlet" || f.Name == "exhaust" {
				parts = append(parts, f.Name+" "+f.Text)
			}
		}
		for _, w := range g.Words {
			if w.Name == "engine" {
				parts = append(parts, w.Text)
			}
		}
		return strings.Join(parts, ", ")
	}
	return ""
}

// setting fills what the source says of the way of working, and the last step,
// which is common practice, no source.
func (m *maker) setting() {
	m.sheet.Setting.Name = "setting"
	if s := m.engine.Setting; s != nil {
		g := &m.sheet.Setting
		g.Words = m.word(g.Words, "turn by", s.TurnBy, s.From)
		g.Words = m.word(g.Words, "order", s.Order, s.From)
		g.Words = m.word(g.Words, "note", s.Note, s.From)
	}
	restore := "Set the running clearances again"
	if running := m.running(); running != "" {
		restore += ": " + running
	}
	m.sheet.LastStep = []string{
		restore + ".",
		"Turn the engine two full turns by hand in its running direction, plugs out, and feel for resistance. Stop at any.",
		"Read the events again. What differs from the first reading by more than the reading is worth was not tight, or was read wrong.",
	}
}
