package forms

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

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
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
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
