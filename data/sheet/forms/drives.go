package forms

import (
	"cmp"
	"fmt"
	"strings"

	"fourmarks.example/data/sheet"
)

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
