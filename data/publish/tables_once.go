package publish

import (
	"fourmarks.example/convert"
	"fourmarks.example/data/release"
)

// The tables here are written once, after all engines are known.

var sourceFields = []field[release.Source]{
	{must("source", "id; a record in an engine's own file has the engine's id and a colon before it"), func(s release.Source) any { return s.ID }},
	{may("type", text, "what it is, in the words of the Citation Style Language"), func(s release.Source) any { return words(s.Type) }},
	{may("title", text, "title; empty for a source that the dataset has no record of"), func(s release.Source) any { return words(s.Title) }},
	{may("author", text, "author"), func(s release.Source) any { return words(s.Author) }},
	{may("publisher", text, "publisher"), func(s release.Source) any { return words(s.Publisher) }},
	{may("issued", text, "year or date of issue"), func(s release.Source) any { return words(s.Issued) }},
	{may("edition", text, "edition"), func(s release.Source) any { return words(s.Edition) }},
	{may("page", text, "page"), func(s release.Source) any { return words(s.Page) }},
	{may("container_title", text, "book or journal it is part of"), func(s release.Source) any { return words(s.ContainerTitle) }},
	{may("volume", text, "volume"), func(s release.Source) any { return words(s.Volume) }},
	{may("number", text, "number of a drawing, bulletin or report"), func(s release.Source) any { return words(s.Number) }},
	{may("accessed", text, "when a web page was read"), func(s release.Source) any { return words(s.Accessed) }},
	{may("language", text, "language"), func(s release.Source) any { return words(s.Language) }},
	{may("archive", text, "who holds it"), func(s release.Source) any { return words(s.Archive) }},
	{may("url", text, "where it can be read"), func(s release.Source) any { return words(s.URL) }},
	{may("grade", text, "works, maker, stamp, measured, press, later, recall"), func(s release.Source) any { return words(s.Grade) }},
	{may("by", text, "who measured, remembers or transcribed"), func(s release.Source) any { return words(s.By) }},
	{may("on", text, "on which and how many engines, and when"), func(s release.Source) any { return words(s.On) }},
	{may("with", text, "instruments and method"), func(s release.Source) any { return words(s.With) }},
	{may("copies", text, "the source this one repeats: together they are one witness"), func(s release.Source) any { return words(s.Copies) }},
	{may("rights", text, "the rights it is under; only facts are taken from it"), func(s release.Source) any { return words(s.Rights) }},
	{may("note", text, "a remark"), func(s release.Source) any { return words(s.Note) }},
}

func sourceTable() table {
	return table{name: "sources", about: "The record of every source cited.", columns: columnsOf(sourceFields), key: []string{"source"},
		references: []reference{{columns: []string{"copies"}, table: "sources", there: []string{"source"}}}}
}

func sourceRows(sources []release.Source) []row {
	rows := make([]row, len(sources))
	for i, s := range sources {
		rows[i] = rowOf(sourceFields, s)
	}
	return rows
}

var unitFields = []field[release.Unit]{
	{must("name", "name of the unit"), func(u release.Unit) any { return u.Name }},
	{may("unit", text, "symbol; empty for plain numbers"), func(u release.Unit) any { return words(u.Symbol) }},
	{must("quantity", "what it measures"), func(u release.Unit) any { return u.Quantity }},
	{must("ucum", "code in the Unified Code for Units of Measure"), func(u release.Unit) any { return u.UCUM }},
	{may("si_unit", text, "symbol of the working unit of the quantity"), func(u release.Unit) any { return words(u.SI) }},
}

func unitTable() table {
	return table{name: "units", about: "The units that figures are in.", columns: columnsOf(unitFields), key: []string{"name"}}
}

func unitRows() []row {
	var rows []row
	for _, u := range units() {
		rows = append(rows, rowOf(unitFields, u))
	}
	return rows
}

// units are all units there are.
func units() []release.Unit {
	var all []release.Unit
	for _, d := range convert.Dimensions() {
		for _, u := range d.Units() {
			all = append(all, release.Unit{Symbol: u.Symbol(), Name: u.Name(), Quantity: d.String(), UCUM: u.UCUM(), SI: d.Base().Symbol()})
		}
	}
	return all
}

type redirected struct{ from, to, because string }

var redirectFields = []field[redirected]{
	{must("moved_from", "id that is no longer used"), func(r redirected) any { return r.from }},
	{must("moved_to", "id of an engine that took its place"), func(r redirected) any { return r.to }},
	{must("because", "the reason"), func(r redirected) any { return r.because }},
}

func redirectTable() table {
	return table{name: "redirects", about: "Where ids that are no longer used lead.", columns: columnsOf(redirectFields), key: []string{"moved_from", "moved_to"},
		references: []reference{{columns: []string{"moved_to"}, table: "engines", there: []string{"engine"}}}}
}

func redirectRows(moved []release.Redirect) []row {
	var rows []row
	for _, m := range moved {
		for _, to := range m.To {
			rows = append(rows, rowOf(redirectFields, redirected{m.From, to, m.Because}))
		}
	}
	return rows
}
