package main

import (
	"math/big"

	"fourmarks.example/data/store"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// forPrograms is what show --json writes.
type forPrograms struct {
	Engine  string        `json:"engine"`
	Variant string        `json:"variant"`
	Title   string        `json:"title"`
	Made    string        `json:"made"`
	Numbers store.Numbers `json:"numbers"`
	Words   []wordJSON    `json:"words"`
	Figures []figureJSON  `json:"figures"`
	Derived []derived     `json:"derived"`
	Sources []sourceJSON  `json:"sources"`
}

type wordJSON struct {
	Path string `json:"path"`
	Is   string `json:"is"`
}

type figureJSON struct {
	Path     string      `json:"path"`
	Standing string      `json:"standing"`
	Claims   []claimJSON `json:"claims"`
}

type claimJSON struct {
	Printed  string        `json:"printed"`
	Readings []readingJSON `json:"readings"`
	From     string        `json:"from"`
	Locator  string        `json:"locator"`
	Note     string        `json:"note"`
	Quote    string        `json:"quote"`
	SeenOn   string        `json:"seen_on"`
	SeenBy   string        `json:"seen_by"`
	SetAside string        `json:"set_aside"`
}

// readingJSON is one value of a print in the unit printed; an open bound is null.
type readingJSON struct {
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Unit  string   `json:"unit"`
	Datum string   `json:"datum"`
	By    string   `json:"measured_by"`
}

type sourceJSON struct {
	ID     string `json:"id"`
	Title  string `json:"title"`
	Author string `json:"author"`
	Issued string `json:"issued"`
	Grade  string `json:"grade"`
}

func (s *shown) forPrograms() forPrograms {
	out := forPrograms{Engine: s.engine.ID.Text, Variant: s.engine.Variant, Title: s.engine.Title.Text, Made: s.engine.Made.Text,
		Words: []wordJSON{}, Figures: []figureJSON{}, Derived: append([]derived{}, s.derived...), Sources: []sourceJSON{}}
	if i := s.engine.Identify; i != nil && i.Numbers != nil {
		out.Numbers = store.Numbers{From: i.Numbers.From.Text, To: i.Numbers.To.Text, Found: i.Numbers.Found.Text}
	}
	for _, w := range s.words {
		if w.Source {
			continue // each claim names its own
		}
		out.Words = append(out.Words, wordJSON{Path: w.Path, Is: w.Text})
	}
	for _, f := range s.figures {
		one := figureJSON{Path: f.Path, Standing: schema.StandingOf(f, s.lookup).String(), Claims: []claimJSON{}}
		for _, c := range f.Claims {
			one.Claims = append(one.Claims, claimForPrograms(c))
		}
		out.Figures = append(out.Figures, one)
	}
	for _, id := range s.cited() {
		source := sourceJSON{ID: id}
		if is, ok := s.lookup(id); ok {
			source.Title, source.Author, source.Issued, source.Grade = is.Title.Text, is.Author.Text, is.Issued.Text, is.Grade.Text
		}
		out.Sources = append(out.Sources, source)
	}
	return out
}

func claimForPrograms(c schema.Claim) claimJSON {
	out := claimJSON{Printed: c.Printed.Text, Readings: []readingJSON{}, From: c.From.Source, Locator: c.From.Locator, Note: c.Note.Text,
		Quote: c.Quote.Text, SeenOn: c.SeenOn.Text, SeenBy: c.SeenBy.Text, SetAside: c.SetAside.Text}
	for _, readings := range [][]figure.Reading{c.Printed.Readings, c.Printed.List} {
		for _, r := range readings {
			out.Readings = append(out.Readings, readingJSON{Value: number(r.Value), Low: number(r.Lo), High: number(r.Hi),
				Unit: r.Unit.Symbol(), Datum: r.Datum.String(), By: r.Measure.String()})
		}
	}
	return out
}

// number is a rational as the nearest double; nil for an open bound.
func number(r *big.Rat) *float64 {
	if r == nil {
		return nil
	}
	x, _ := r.Float64()
	return &x
}
