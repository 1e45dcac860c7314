package forms

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/sheet"
	"fourmarks.example/schema"
)

func identity(s *sheet.Sheet) Section {
	var rows []Row
	add := func(name, value, mark string) {
		if value != "" {
			rows = append(rows, Row{Name: name, Value: value, Marks: marked(mark)})
		}
	}
	id := s.Identity
	add("made", id.Made, "")
	numbers := id.Numbers
	if numbers != "" && id.Found != "" {
		numbers += ", " + id.Found
	}
	add("numbers", numbers, id.Mark)
	rows = append(rows, wordRows(id.Words)...)
	rows = append(rows, layoutRow(id.Layout)...)
	return Section{Title: "Which engine", Rows: append(rows, figureRows(id.Figures)...)}
}

// layoutRow is how the engine is laid out, in one line.
func layoutRow(words []sheet.Word) []Row {
	if len(words) == 0 {
		return nil
	}
	row := Row{Name: "layout", Marks: marked(words[0].Mark)}
	for i, w := range words {
		if i > 0 {
			row.Value += ", "
		}
		if w.Name == "No. 1 at the" {
			row.Value += "No. 1 at: "
		}
		row.Value += w.Text
	}
	return []Row{row}
}

func marked(mark string) []string {
	if mark == "" {
		return nil
	}
	return []string{mark}
}

func wordRows(words []sheet.Word) []Row {
	var rows []Row
	for _, w := range words {
		rows = append(rows, Row{Name: w.Name, Value: w.Text, Marks: marked(w.Mark)})
	}
	return rows
}

func figureRows(figures []sheet.Figure) []Row {
	var rows []Row
	for _, f := range figures {
		rows = append(rows, figureRow(f))
	}
	return rows
}

// figureRow is a figure with its claims, where sources say more than one thing or
// were set aside, and its conversions.
func figureRow(f sheet.Figure) Row {
	row := Row{Name: f.Name, Value: f.Text, Also: f.Also, Marks: f.Marks, Standing: f.Standing, Derived: f.Origin == sheet.Derived}
	row.More = append(claimRows(f), conversionRows(f)...)
	row.By = f.By
	return row
}

// claimRows lists every claim of a figure that sources differ on; of one that was
// settled, those set aside, since the others are the figure.
func claimRows(f sheet.Figure) []Row {
	var rows []Row
	for _, c := range f.Claims {
		switch {
		case f.Standing == schema.Disputed.String() && c.SetAside == "":
			value := c.Text
			if c.Note != "" {
				value += "; " + c.Note
			}
			rows = append(rows, Row{Name: "claim", Value: value, Marks: marked(c.Mark)})
		case c.SetAside != "":
			rows = append(rows, Row{Name: "set aside", Value: c.Text + ": " + c.SetAside, Marks: marked(c.Mark)})
		}
	}
	return rows
}

// conversionRows is one row with everything that a figure converts to.
func conversionRows(f sheet.Figure) []Row {
	var parts []string
	for _, c := range f.Conversions {
		parts = append(parts, spelled(c)+" "+named(c))
	}
	if len(parts) == 0 {
		return nil
	}
	return []Row{{Name: "that is", Value: strings.Join(parts, "; "), Derived: true}}
}

// named is what a conversion is called in a sentence: "along the rim". A rim is
// the flywheel's unless another is named.
func named(c sheet.Conversion) string {
	name := c.To
	switch c.To {
	case "rim":
		name = "along the rim"
	case "straight rule":
		name = "by straight rule"
	case "piston":
		name = "of piston travel"
	}
	if c.Part != "" && c.Part != "flywheel" {
		name += ", " + c.Part
	}
	return name
}

// spelled is a conversion with what the prints allow of it.
func spelled(c sheet.Conversion) string {
	text := c.Nominal()
	if c.Rest != "" {
		text += " " + c.Rest
	}
	if between := c.Between(); between != "" {
		text += " (" + between + ")"
	}
	return text
}

func group(g sheet.Group) Section {
	rows := figureRows(g.Figures)
	var conditions Row // short words, in one line
	for _, w := range g.Words {
		if w.Name != "engine" && w.Name != "throttle" {
			rows = append(rows, wordRows([]sheet.Word{w})...)
			continue
		}
		if conditions.Name != "" {
			conditions.Name, conditions.Value = conditions.Name+", ", conditions.Value+", "
		}
		conditions.Name, conditions.Value, conditions.Marks = conditions.Name+w.Name, conditions.Value+w.Text, marked(w.Mark)
	}
	if conditions.Name != "" {
		rows = append(rows, conditions)
	}
	return Section{Title: capital(g.Name), Rows: rows}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

const lastStepTitle = "The last step"

func lastStep(s *sheet.Sheet) Section {
	return Section{Title: lastStepTitle, Rows: wordRows(s.Setting.Words), Steps: s.LastStep}
}

func remarks(s *sheet.Sheet) Section {
	return Section{Title: "To be known of these figures", Steps: s.Remarks}
}

const sourcesTitle = "Sources"

// sources lists each source once, with the marks of the places in it.
func sources(s *sheet.Sheet) Section {
	out := Section{Title: sourcesTitle, Wide: true}
	var ids []string
	for _, src := range s.Sources {
		if slices.Contains(ids, src.ID) {
			continue
		}
		ids = append(ids, src.ID)
		var marks, places []string
		for _, place := range s.Sources {
			if place.ID != src.ID {
				continue
			}
			marks = append(marks, place.Mark)
			if place.Locator != "" {
				places = append(places, place.Mark+" "+place.Locator)
			}
		}
		value := described(src)
		if len(places) > 0 {
			value += ": " + strings.Join(places, ", ")
		}
		out.Rows = append(out.Rows, Row{Name: strings.Join(marks, " "), Value: value})
	}
	return out
}

func described(src sheet.Source) string {
	text := src.ID
	for _, more := range []string{src.Title, src.Author, src.Issued} {
		if more != "" {
			text += ", " + more
		}
	}
	if src.Grade != "" {
		text += " (" + src.Grade + ")"
	}
	if src.Copies != "" {
		text += ", copies " + src.Copies
	}
	return text
}

// parts are the flywheel, pulleys and discs with their marks.
func parts(s *sheet.Sheet) []Section {
	var all []Section
	for _, p := range s.Parts {
		one := Section{Title: capital(p.Name), Rows: append(figureRows(p.Figures), wordRows(p.Words)...)}
		if len(p.Stamps) > 0 {
			one.Tables = append(one.Tables, stamps(p.Stamps))
		}
		for _, stamp := range p.Stamps {
			for _, f := range stamp.Figures {
				one.Notes = append(one.Notes, claimRows(f)...)
			}
		}
		all = append(all, one)
	}
	return all
}

// stamps are the marks on a part, each with where it stands in every way that is
// printed.
func stamps(all []sheet.Stamp) Table {
	t := Table{Head: []string{"mark", "means", "of No.", "stands at"}}
	for _, stamp := range all {
		var of, at []string
		var marks []string
		below := ""
		for _, f := range stamp.Figures {
			switch f.Name {
			case "cylinder", "companion":
				of = append(of, f.Text)
			default:
				at = append(at, f.Text)
			}
			marks, below = f.Marks, f.Standing
		}
		t.Rows = append(t.Rows, []Cell{{Text: stamp.Name}, {Text: stamp.Means}, {Text: strings.Join(of, ", ")},
			{Text: cmp.Or(strings.Join(at, "; "), nothing), Marks: marks, Below: below}})
	}
	return t
}

// drives are one section for each train, with a table of its wheels.
func drives(s *sheet.Sheet) []Section {
	var all []Section
	shown := map[string]bool{} // the wheels of earlier drives
	for _, d := range s.Drives {
		one := Section{Title: "Drive of the " + d.Name}
		if d.Train.Text != "" {
			one.Rows = append(one.Rows, Row{Name: "train", Value: d.Train.Text, Marks: marked(d.Train.Mark)})
		}
		for _, f := range d.Figures {
			if f.Name != "turns" || !saidByWheel(d, f.Text) {
				one.Rows = append(one.Rows, figureRow(f))
			}
		}
		one.Rows = append(one.Rows, wordRows(d.Words)...)
		if t, ok := wheels(d.Wheels, shown); ok {
			one.Tables = append(one.Tables, t)
		}
		if d.Slides != nil {
			one.Notes = append(one.Notes, Row{Name: "sliding home", Value: slidesInWords(d.Slides), Marks: marked(firstMark(d.Slides.Words))})
			one.Notes = append(one.Notes, figureRows(d.Slides.Figures)...)
		}
		all = append(all, one)
	}
	return all
}

// saidByWheel reports whether the last wheel of a drive turns as the drive is
// said to.
func saidByWheel(d sheet.Drive, turns string) bool {
	n := len(d.Wheels)
	return n > 0 && d.Wheels[n-1].Turns != nil && d.Wheels[n-1].Turns.Text == turns
}

func firstMark(words []sheet.Word) string {
	for _, w := range words {
		return w.Mark
	}
	return ""
}

func slidesInWords(s *sheet.Slides) string {
	var parts []string
	for _, w := range s.Words {
		switch w.Name {
		case "wheel":
			parts = append(parts, "the "+w.Text+" wheel")
		case "turns":
			parts = append(parts, "turns the "+w.Text)
		case "note":
			parts = append(parts, w.Text)
		default:
			parts = append(parts, fmt.Sprintf("%s %s", w.Name, w.Text))
		}
	}
	return strings.Join(parts, ", ")
}

// wheels sets the wheels of a train side by side. Where all are seen from one end
// the head names it. A wheel that an earlier drive shows alike is left out.
func wheels(all []sheet.Wheel, shown map[string]bool) (Table, bool) {
	end := sharedEnd(all)
	turns := "turns"
	if end != "" {
		turns += ", seen from " + end
	}
	t := Table{Head: []string{"wheel", "teeth", turns, "one tooth"}}
	for _, w := range all {
		name := w.Name
		if w.Hand != "" {
			name += ", " + w.Hand + "-hand"
		}
		turning := cellOf(w.Turns)
		turning.Text = strings.TrimSuffix(turning.Text, seenFrom+end)
		key := w.Name + cellOf(w.Teeth).Text + cellOf(w.Turns).Text + cellOf(w.Step).Text
		if !shown[key] {
			t.Rows = append(t.Rows, []Cell{{Text: name}, cellOf(w.Teeth), turning, cellOf(w.Step)})
		}
		shown[key] = true
	}
	return t, len(t.Rows) > 0
}

const seenFrom = " seen from "

// sharedEnd is the end from which every wheel is seen; empty where they differ.
func sharedEnd(all []sheet.Wheel) string {
	shared := ""
	for _, w := range all {
		if w.Turns == nil {
			continue
		}
		_, end, _ := strings.Cut(w.Turns.Text, seenFrom)
		if shared != "" && end != shared {
			return ""
		}
		shared = end
	}
	return shared
}

const nothing = "—"

func cellOf(f *sheet.Figure) Cell {
	if f == nil {
		return Cell{Text: nothing}
	}
	return Cell{Text: f.Text, Marks: f.Marks, Derived: f.Origin == sheet.Derived}
}
