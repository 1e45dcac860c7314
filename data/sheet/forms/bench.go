package forms

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fourmarks.example/data/sheet"
)

// clearances are all sets as one table, with what else is said of them below.
func clearances(s *sheet.Sheet) Section {
	out := Section{Title: "Clearances"}
	t := Table{Head: []string{"set", "inlet", "exhaust", "at", "engine"}}
	for _, g := range s.Clearances {
		row := []Cell{{Text: g.Name}, {Text: nothing}, {Text: nothing}, {Text: nothing}, {Text: nothing}}
		for _, f := range g.Figures {
			switch f.Name {
			case "inlet":
				row[1] = clearanceCell(f)
			case "exhaust":
				row[2] = clearanceCell(f)
			default:
				more := figureRow(f)
				more.Name = g.Name + ", " + more.Name
				out.Notes = append(out.Notes, more)
				continue
			}
			for _, claim := range claimRows(f) {
				claim.Name = g.Name + " " + f.Name + ", " + claim.Name
				out.Notes = append(out.Notes, claim)
			}
		}
		for _, w := range g.Words {
			switch w.Name {
			case "measured at the":
				row[3].Text = w.Text
			case "engine":
				row[4].Text = w.Text
			default:
				out.Notes = append(out.Notes, Row{Name: g.Name + ", " + w.Name, Value: w.Text, Marks: marked(w.Mark)})
			}
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 {
		out.Tables = []Table{t}
	}
	return out
}

func clearanceCell(f sheet.Figure) Cell {
	c := Cell{Text: f.Text, Marks: f.Marks, Derived: f.Origin == sheet.Derived, Below: f.Standing}
	if f.Also != "" {
		c.Text += " = " + f.Also
	}
	return c
}

// valves is the table of the positions in which the valves are set.
func valves(s *sheet.Sheet) Section {
	v := s.Valves
	out := Section{Title: "Where each valve is set", Wide: true, Lead: v.Why}
	out.Notes = asPrinted(v.AsPrinted)
	if len(v.Positions) == 0 {
		out.Rows, out.Notes = out.Notes, nil
		return out
	}
	out.Lead = "Derived from firing order, crank pins and events. " + v.Basis
	out.Tables = append(out.Tables, positions(v.Positions))
	out.Notes = append(ownMargins(v.Positions[0]), out.Notes...)
	if n := len(v.Shortest); n > 0 && n < len(v.Positions) {
		out.Notes = append(out.Notes, Row{Name: "fewest positions", Derived: true, Standing: "derived",
			Value: fmt.Sprintf("%d do for all: %s at firing TDC, setting every valve named in their lines", n, cylinders(v.Shortest))})
	}
	if r := v.SumRule; r != nil && len(v.Positions) > 2 {
		out.Notes = append(out.Notes, sumRule(r))
	}
	return out
}

// asPrinted is how the engine's source sets the valves, in one line.
func asPrinted(words []sheet.Word) []Row {
	row := Row{Name: "as printed"}
	var parts []string
	for _, w := range words {
		parts = append(parts, w.Name+" with "+w.Text)
		if m := marked(w.Mark); !slices.Equal(m, row.Marks) {
			row.Marks = append(row.Marks, m...)
		}
	}
	if len(parts) == 0 {
		return nil
	}
	row.Value = strings.Join(parts, "; ")
	return []Row{row}
}

func sumRule(r *sheet.SumRule) Row {
	row := Row{Name: fmt.Sprintf("rule of %d", r.Sum), Derived: true, Standing: "derived"}
	row.Value = fmt.Sprintf("holds: numbered along the engine, valve k is at the middle of its base circle while valve %d − k is fully open", r.Sum)
	if !r.Holds {
		row.Value = "does not hold on this engine: do not set by it"
	}
	return row
}

func positions(all []sheet.Position) Table {
	t := Table{Head: []string{"at firing TDC", "on the rock", "crank turned", "set", "also shut here, spare at least"}}
	for _, p := range all {
		rock := nothing
		if len(p.OnTheRock) > 0 {
			rock = cylinders(p.OnTheRock)
		}
		t.Rows = append(t.Rows, []Cell{{Text: fmt.Sprintf("No. %d", p.Fires)}, {Text: rock}, {Text: degrees(p.After), Derived: true},
			{Text: valveNames(p.Set)}, {Text: withSpare(p.Also), Derived: true}})
	}
	return t
}

func cylinders(numbers []int) string {
	names := make([]string, len(numbers))
	for i, n := range numbers {
		names[i] = fmt.Sprintf("No. %d", n)
	}
	return strings.Join(names, ", ")
}

func degrees(x float64) string { return fmt.Sprintf("%g°", math.Round(x*10)/10) }

// valveNames names valves, and their numbers along the engine where they have
// one.
func valveNames(all []sheet.ValveMargin) string {
	var names, numbers []string
	for _, v := range all {
		names = append(names, v.Valve)
		if v.Number > 0 {
			numbers = append(numbers, fmt.Sprint(v.Number))
		}
	}
	text := strings.Join(names, ", ")
	if len(numbers) > 0 {
		text += " (valves " + strings.Join(numbers, ", ") + ")"
	}
	return text
}

func withSpare(all []sheet.ValveMargin) string {
	names := make([]string, len(all))
	for i, v := range all {
		names[i] = fmt.Sprintf("%s %.0f°", v.Valve, math.Floor(*v.Spare))
	}
	if len(names) == 0 {
		return nothing
	}
	return strings.Join(names, ", ")
}

// ownMargins is what parts the valves of a cylinder from their events at its
// firing TDC: the same for every cylinder, since all have the same events.
func ownMargins(p sheet.Position) []Row {
	var rows []Row
	for _, v := range p.Set {
		kind, _, _ := strings.Cut(v.Valve, " ")
		row := Row{Name: kind + " valve", Derived: true, Standing: "derived"}
		switch {
		case v.Open:
			row.Value = "open at its own firing TDC by these events: do not set it there"
		case v.Since == nil:
			continue
		case *v.Spare < 0:
			row.Value = fmt.Sprintf("at its own firing TDC shut for %s, opens in %s: its ramp may reach here, so do not set it by this table", between(v.Since), between(v.Until))
		default:
			row.Value = fmt.Sprintf("at its own firing TDC shut for %s, opens in %s, spare at least %.0f°", between(v.Since), between(v.Until), math.Floor(*v.Spare))
		}
		rows = append(rows, row)
	}
	return rows
}

func between(is *sheet.Interval) string {
	low, high := math.Floor(is.Low*10)/10, math.Ceil(is.High*10)/10
	if low == high {
		return fmt.Sprintf("%g%s", low, is.Unit)
	}
	return fmt.Sprintf("%g to %g%s", low, high, is.Unit)
}

// timing is where the timing diagram stands, with where the cylinder's dead centre
// lies; false where there is neither.
func timing(s *sheet.Sheet) (Section, bool) {
	out := Section{Title: fmt.Sprintf("Timing of No. %d", s.Cylinder.Number)}
	for _, f := range []*sheet.Figure{s.Cylinder.Fires, s.Cylinder.Turned} {
		if f != nil {
			out.Rows = append(out.Rows, figureRow(*f))
		}
	}
	_, drawn := s.Diagram()
	return out, drawn || len(out.Rows) > 0
}

// events are a section for each set.
func events(s *sheet.Sheet) []Section {
	var all []Section
	for _, set := range s.Events {
		all = append(all, eventSet(set))
	}
	return all
}

func eventSet(set sheet.EventSet) Section {
	out := Section{Title: capital(set.Name) + " events", Wide: true, Lead: readAt(set)}
	t := Table{Head: []string{""}}
	printed := []Cell{{Text: "figure"}}
	for _, e := range set.Events {
		t.Head = append(t.Head, e.Name)
		text := e.Text
		if text == "" {
			text = nothing
		}
		printed = append(printed, Cell{Text: text, Marks: e.Marks, Derived: e.Origin == sheet.Derived, Below: e.Standing})
		for _, claim := range claimRows(e.Figure) {
			claim.Name = e.Name + ", " + claim.Name
			out.Notes = append(out.Notes, claim)
		}
		if e.By != "" {
			out.Notes = append(out.Notes, Row{Name: e.Name, By: e.By})
		}
	}
	t.Rows = append(t.Rows, printed)
	t.Rows = append(t.Rows, conversionLines(set.Events)...)
	out.Tables = append(out.Tables, t)
	if len(set.Spans) > 0 {
		out.Tables = append(out.Tables, spans(set.Spans))
	}
	for _, f := range set.Spans {
		for _, claim := range claimRows(f) {
			claim.Name = f.Name + ", " + claim.Name
			out.Notes = append(out.Notes, claim)
		}
		if f.By != "" {
			out.Notes = append(out.Notes, Row{Name: f.Name, By: f.By})
		}
	}
	if set.Note != "" {
		out.Notes = append(out.Notes, Row{Name: "note", Value: set.Note})
	}
	return out
}

// spans are durations, overlap and lobe centres side by side.
func spans(all []sheet.Figure) Table {
	t := Table{}
	var row []Cell
	for _, f := range all {
		t.Head = append(t.Head, f.Name)
		row = append(row, Cell{Text: f.Text, Marks: f.Marks, Derived: f.Origin == sheet.Derived, Below: f.Standing})
	}
	t.Rows = [][]Cell{row}
	return t
}

// conversionLines is a line for each notation that any event has: the value, and
// below it what the prints allow or the tooth leaves out.
func conversionLines(events []sheet.Event) [][]Cell {
	type line struct{ to, part string }
	var lines []line
	for _, e := range events {
		for _, c := range e.Conversions {
			if l := (line{c.To, c.Part}); !slices.Contains(lines, l) {
				lines = append(lines, l)
			}
		}
	}
	var rows [][]Cell
	for _, l := range lines {
		values := []Cell{{Text: strings.TrimPrefix(named(sheet.Conversion{To: l.to, Part: l.part}), "of ")}}
		for _, e := range events {
			i := slices.IndexFunc(e.Conversions, func(c sheet.Conversion) bool { return line{c.To, c.Part} == l })
			if i < 0 {
				values = append(values, Cell{Text: nothing})
				continue
			}
			c := e.Conversions[i]
			values = append(values, Cell{Text: c.Nominal(), Derived: true, Below: c.Rest + c.Between()})
		}
		rows = append(rows, values)
	}
	return rows
}

// readAt says at what clearance a set is read.
func readAt(set sheet.EventSet) string {
	words := ""
	if set.ReadAt != "" {
		words = "Read at " + set.ReadAt
	}
	var gaps []string
	for _, c := range set.Clearances {
		if c.Text != "" && c.Text != set.ReadAt {
			gaps = append(gaps, c.Name+" "+c.Text)
		}
	}
	if len(gaps) > 0 {
		words += ": " + strings.Join(gaps, ", ")
	}
	if words == "" {
		return ""
	}
	return words + "."
}
