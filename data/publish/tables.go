package publish

import (
	"slices"

	"fourmarks.example/data/release"
)

// tables are the tables of a release; one stands after those it refers to.
func tables() []table {
	return []table{unitTable(), sourceTable(), engineTable(), variantTable(), figureTable(),
		claimTable("claims", "Claims that stand and agree, the best of each figure first, then those that say why there is no figure.", supporting),
		claimTable("disputed", "Claims that contradict one another. Their figures have no value.", func(s *release.Series) []release.Contest { return s.Disputed }),
		claimTable("set_aside", "Claims that are not followed, each with the reason.", func(s *release.Series) []release.Contest { return s.SetAside }),
		wordTable(), acceptedTable(), redirectTable()}
}

func engineTable() table {
	fields := []field[*release.Engine]{
		{must("engine", "id, which never changes meaning"), func(e *release.Engine) any { return e.ID }},
		{must("title", "name of the engine"), func(e *release.Engine) any { return e.Title }},
		{may("made", text, "years of make as the file gives them"), func(e *release.Engine) any { return words(e.Made) }},
		{may("first_year", integer, "first year of make"), func(e *release.Engine) any { return count(e.First) }},
		{may("last_year", integer, "last year of make; empty while open"), func(e *release.Engine) any { return count(e.Last) }},
		{may("also_called", text, "other names"), func(e *release.Engine) any { return words(e.AlsoCalled) }},
		{may("looks", text, "what tells it from its relations by eye"), func(e *release.Engine) any { return words(e.Looks) }},
		{may("note", text, "a remark"), func(e *release.Engine) any { return words(e.Note) }},
		{may("errors", integer, "errors the linter finds in it: only in a release made in spite of errors"), func(e *release.Engine) any { return count(e.Errors) }},
	}
	return table{name: "engines", about: "Every engine.", columns: columnsOf(fields), key: []string{"engine"},
		rows: func(e *release.Engine, yield func(row)) { yield(rowOf(fields, e)) }}
}

func variantTable() table {
	type series struct {
		engine string
		is     release.Variant
	}
	numbers := func(of func(*release.Numbers) string) func(series) any {
		return func(s series) any {
			if s.is.Numbers == nil {
				return nil
			}
			return words(of(s.is.Numbers))
		}
	}
	fields := []field[series]{
		{must("engine", "id of the engine"), func(s series) any { return s.engine }},
		{must("variant", "name of the variant; "+Base+" for the engine itself"), func(s series) any { return s.is.Name }},
		{may("title", text, "title of the variant"), func(s series) any { return words(s.is.Title) }},
		{may("made", text, "years of make as the file gives them"), func(s series) any { return words(s.is.Made) }},
		{may("first_year", integer, "first year of make"), func(s series) any { return count(s.is.First) }},
		{may("last_year", integer, "last year of make; empty while open"), func(s series) any { return count(s.is.Last) }},
		{may("number_from", text, "first engine number"), numbers(func(n *release.Numbers) string { return n.From })},
		{may("number_to", text, "last engine number"), numbers(func(n *release.Numbers) string { return n.To })},
		{may("number_found", text, "where the number is found"), numbers(func(n *release.Numbers) string { return n.Found })},
		{may("note", text, "a remark"), func(s series) any { return words(s.is.Note) }},
	}
	return table{name: "variants", about: "Every series of every engine: the engine itself and its variants.", columns: columnsOf(fields), key: []string{"engine", "variant"},
		references: []reference{{columns: []string{"engine"}, table: "engines", there: []string{"engine"}}},
		rows: func(e *release.Engine, yield func(row)) {
			base := release.Variant{Name: Base, Title: e.Title, Dates: e.Dates, Numbers: e.Numbers, Note: e.Note}
			for _, v := range append([]release.Variant{base}, e.Variants...) {
				yield(rowOf(fields, series{e.ID, v}))
			}
		}}
}

// printFields are the columns of a print, whatever it is of.
func printFields(print func(place) *release.Print) []field[place] {
	si := func(of func(*release.SI) any) func(place) any {
		return func(p place) any {
			if is := print(p).SI; is != nil {
				return of(is)
			}
			return nil
		}
	}
	return []field[place]{
		{may("printed", text, "the figure as its source prints it"), func(p place) any { return words(print(p).Printed) }},
		{may("absence", text, "word for there being no figure: unknown, not given, none, illegible"), func(p place) any { return words(print(p).Absence) }},
		{may("value", number, "the printed number, the middle of a printed range or of a derived interval"), func(p place) any { return amount(print(p).Value) }},
		{may("low", number, "least value the print justifies; empty is open"), func(p place) any { return amount(print(p).Low) }},
		{may("high", number, "greatest value the print justifies; empty is open"), func(p place) any { return amount(print(p).High) }},
		{may("unit", text, "symbol of the unit; empty for plain numbers"), func(p place) any { return words(print(p).Unit) }},
		{may("datum", text, "dead centre that a crank position is counted from: BTDC, ATDC, BBDC, ABDC, TDC, BDC"), func(p place) any { return words(print(p).Datum) }},
		{may("measured_by", text, "what a crank position is measured by"), func(p place) any { return words(print(p).MeasuredBy) }},
		{may("measured_at", text, "where a lift or clearance is measured: valve, tappet"), func(p place) any { return words(print(p).MeasuredAt) }},
		{may("approximate", truth, "the print says about"), func(p place) any { return print(p).Approximate }},
		{may("si_value", number, "value in the working unit"), si(func(s *release.SI) any { return amount(s.Value) })},
		{may("si_low", number, "least value in the working unit"), si(func(s *release.SI) any { return amount(s.Low) })},
		{may("si_high", number, "greatest value in the working unit"), si(func(s *release.SI) any { return amount(s.High) })},
		{may("si_unit", text, "symbol of the working unit"), si(func(s *release.SI) any { return words(s.Unit) })},
	}
}

func figureFields() []field[place] {
	by := func(of func(*release.Derivation) string) func(place) any {
		return func(p place) any {
			if d := p.figure.DerivedBy; d != nil {
				return of(d)
			}
			return nil
		}
	}
	return slices.Concat(engineAndVariant(), []field[place]{
		{must("path", "names the figure within the engine"), func(p place) any { return p.figure.Path }},
		{may("kind", text, "kind of figure: position, count, length"), func(p place) any { return words(p.figure.Kind) }},
		{must("standing", "how far it is established: absent, unsourced, single-source, confirmed, disputed, settled, derived"), func(p place) any { return p.figure.Standing }},
	}, printFields(func(p place) *release.Print { return &p.figure.Print }), []field[place]{
		{may("source", text, "id of the source of the best claim"), func(p place) any { return words(p.figure.From) }},
		{may("locator", text, "where in the source"), func(p place) any { return words(p.figure.Locator) }},
		{may("derived_by", text, "rule with the relation that a derived figure follows from"), by(func(d *release.Derivation) string { return d.Rule })},
		{may("formula", text, "that relation in words"), by(func(d *release.Derivation) string { return d.Formula })},
		{may("inherited", truth, "a variant has the figure from the engine itself"), func(p place) any { return p.figure.Inherited }},
	})
}

func figureTable() table {
	fields := figureFields()
	return table{name: "figures", about: "Every figure of every series with its best value.", columns: columnsOf(fields), key: []string{"engine", "variant", "path"},
		references: []reference{toVariant, toSource}, rows: func(e *release.Engine, yield func(row)) {
			each(e, func(variant string, s *release.Series) {
				for i := range s.Figures {
					yield(rowOf(fields, place{engine: e, variant: variant, figure: &s.Figures[i]}))
				}
			})
		}}
}

var toSource = reference{columns: []string{"source"}, table: "sources", there: []string{"source"}}

// supporting are the claims beside the figures.
func supporting(s *release.Series) []release.Contest {
	all := make([]release.Contest, 0, len(s.Figures))
	for _, f := range s.Figures {
		all = append(all, release.Contest{Path: f.Path, Claims: f.Claims})
	}
	return all
}

func claimTable(name, about string, claims func(*release.Series) []release.Contest) table {
	fields := slices.Concat(engineAndVariant(), []field[place]{
		{must("path", "the figure it is of"), func(p place) any { return p.path }},
		{column{name: "number", kind: integer, about: "counts the claims of one figure from 1", always: true}, func(p place) any { return p.number }},
		{may("claim", text, "key of the claim in the file, where the figure has several"), func(p place) any { return words(p.claim.Key) }},
	}, printFields(func(p place) *release.Print { return &p.claim.Print }), []field[place]{
		{may("source", text, "id of the source"), func(p place) any { return words(p.claim.From) }},
		{may("locator", text, "where in the source"), func(p place) any { return words(p.claim.Locator) }},
		{may("note", text, "a remark"), func(p place) any { return words(p.claim.Note) }},
		{may("quote", text, "the few words or symbols that hold the figure"), func(p place) any { return words(p.claim.Quote) }},
		{may("seen_on", text, "when it was last verified against the source"), func(p place) any { return words(p.claim.SeenOn) }},
		{may("seen_by", text, "who verified it"), func(p place) any { return words(p.claim.SeenBy) }},
		{may("because", text, "why it was set aside"), func(p place) any { return words(p.claim.Because) }},
	})
	return table{name: name, about: about, columns: columnsOf(fields), key: []string{"engine", "variant", "path", "number"},
		references: []reference{{columns: []string{"engine", "variant", "path"}, table: "figures", there: []string{"engine", "variant", "path"}}, toSource},
		rows: func(e *release.Engine, yield func(row)) {
			each(e, func(variant string, s *release.Series) {
				for _, c := range claims(s) {
					for i := range c.Claims {
						yield(rowOf(fields, place{engine: e, variant: variant, path: c.Path, number: i + 1, claim: &c.Claims[i]}))
					}
				}
			})
		}}
}

func wordTable() table {
	fields := slices.Concat(engineAndVariant(), []field[place]{
		{column{name: "number", kind: integer, about: "counts the words of one series from 1", always: true}, func(p place) any { return p.number }},
		{must("path", "where it stands in the engine"), func(p place) any { return p.word.Path }},
		{must("is", "the text"), func(p place) any { return p.word.Is }},
	})
	return table{name: "words", about: "What is written that is no figure: choices, remarks, the source that a section names.", columns: columnsOf(fields),
		key: []string{"engine", "variant", "number"}, references: []reference{toVariant}, rows: func(e *release.Engine, yield func(row)) {
			each(e, func(variant string, s *release.Series) {
				for i, w := range s.Words {
					yield(rowOf(fields, place{engine: e, variant: variant, number: i + 1, word: w}))
				}
			})
		}}
}

func acceptedTable() table {
	type kept struct {
		engine string
		is     release.Acceptance
	}
	fields := []field[kept]{
		{must("engine", "id of the engine"), func(k kept) any { return k.engine }},
		{must("path", "figure or section"), func(k kept) any { return k.is.Path }},
		{must("rule", "name of the rule"), func(k kept) any { return k.is.Rule }},
		{may("because", text, "the reason"), func(k kept) any { return words(k.is.Because) }},
	}
	return table{name: "accepted", about: "Findings of the linter that an engine's file keeps.", columns: columnsOf(fields), key: []string{"engine", "path", "rule"},
		references: []reference{{columns: []string{"engine"}, table: "engines", there: []string{"engine"}}}, rows: func(e *release.Engine, yield func(row)) {
			for _, a := range e.Accepted {
				yield(rowOf(fields, kept{e.ID, a}))
			}
		}}
}
