package pages

import (
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/data/release"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
	prints "fourmarks.example/schema/figure"
)

// figure is a figure as a page shows it.
type figure struct {
	Path, Name string
	Standing   string
	Is         quantity
	// Span is what the print or the derivation leaves it to be.
	Span string
	// From is the source of the best claim; Own says that it is not that of the
	// section.
	From citation
	Own  bool
	// Claims agree with one another, Disputed do not, Aside are not followed.
	Claims, Disputed, Aside []claim
	DerivedBy               *release.Derivation
	// Was is what the engine has where a variant has something else.
	Was string
}

// quantity is a figure as printed, and in other units where it has them.
type quantity struct{ Printed, Metric, Inch string }

// citation is a source and the place in it.
type citation struct{ Source, Anchor, Name, Locator string }

// claim is what one source says of a figure.
type claim struct {
	quantity
	From                              citation
	Grade                             string
	Note, Quote, SeenOn, SeenBy, Case string
}

// sourceAnchor is the fragment of a source on its engine's page.
func sourceAnchor(id string) string { return "source-" + fileName(id) }

// cited reads a citation as it is published: an id, then where in the source.
func cited(written string) citation {
	id, locator, _ := strings.Cut(written, " ")
	return citationOf(id, locator)
}

func citationOf(id, locator string) citation {
	if id == "" {
		return citation{}
	}
	_, name, own := strings.Cut(id, ":")
	if !own {
		name = id
	}
	return citation{id, sourceAnchor(id), name, locator}
}

func (b *builder) figure(f release.Figure, section citation) figure {
	is := figure{Path: f.Path, Name: nameOf(f.Path), Standing: f.Standing, DerivedBy: f.DerivedBy, From: citationOf(f.From, f.Locator)}
	is.Own = is.From.Source != "" && is.From != section
	is.Claims = b.claims(f.Path, f.Claims)
	is.Disputed = b.claims(f.Path, contested(b.series.Disputed, f.Path))
	is.Aside = b.claims(f.Path, contested(b.series.SetAside, f.Path))
	switch {
	case f.DerivedBy != nil:
		is.Is, is.Span = derived(f)
	case len(is.Claims) > 0:
		is.Is, is.Span = is.Claims[0].quantity, span(f.Reading)
	}
	is.Was = b.was(f)
	return is
}

func contested(all []release.Contest, path string) []release.Claim {
	i := slices.IndexFunc(all, func(c release.Contest) bool { return c.Path == path })
	if i < 0 {
		return nil
	}
	return all[i].Claims
}

// was is what the engine prints where the variant prints something else.
func (b *builder) was(f release.Figure) string {
	if b.base == nil || f.Inherited || f.DerivedBy != nil {
		return ""
	}
	i := slices.IndexFunc(b.base, func(o release.Figure) bool { return o.Path == f.Path })
	switch {
	case i < 0:
		return "nothing"
	case b.base[i].Printed == f.Printed:
		return ""
	case b.base[i].Printed == "":
		return b.base[i].Standing
	}
	return b.base[i].Printed
}

func (b *builder) claims(path string, all []release.Claim) []claim {
	read := b.file.Figure(path)
	out := make([]claim, len(all))
	for i, c := range all {
		out[i] = claim{quantity: quantity{Printed: c.Printed}, From: citationOf(c.From, c.Locator), Note: c.Note, Quote: c.Quote, SeenOn: c.SeenOn, SeenBy: c.SeenBy, Case: c.Because}
		if read == nil {
			continue
		}
		if j := slices.IndexFunc(read.Claims, func(o schema.Claim) bool { return o.Key == c.Key }); j >= 0 {
			print := read.Claims[j].Printed
			out[i].Metric, out[i].Inch = print.In(prints.Metric), print.In(prints.Inches)
			if s, ok := b.register(read.Claims[j].From.Source); ok {
				out[i].Grade = s.Grade.Text
			}
		}
	}
	return out
}

// span is what a print leaves the figure to be, where that is more than a point.
func span(r release.Reading) string {
	if r.Value == nil || r.Low != nil && r.High != nil && *r.Low == *r.High {
		return ""
	}
	return withDatum(report.Bounds(lint.MustBe{Low: r.Low, High: r.High, Unit: r.Unit}), r.Datum)
}

// derived shows a value that was worked out, with the digits that its interval
// justifies, and the interval.
func derived(f release.Figure) (quantity, string) {
	unit, err := convert.ParseUnit(f.Unit)
	if f.Unit == "" {
		unit, err = convert.One, nil
	}
	r := prints.Reading{Value: rational(f.Value), Lo: rational(f.Low), Hi: rational(f.High), Unit: unit}
	if err != nil || r.Value == nil {
		return quantity{}, span(f.Reading)
	}
	shown, err := r.Print(unit)
	if err != nil {
		return quantity{}, span(f.Reading)
	}
	is := quantity{Printed: withDatum(withUnit(shown, f.Unit), f.Datum)}
	p := prints.Printed{Readings: []prints.Reading{r}}
	is.Metric, is.Inch = p.In(prints.Metric), p.In(prints.Inches)
	return is, span(f.Reading)
}

func rational(x *float64) *big.Rat {
	if x == nil {
		return nil
	}
	return new(big.Rat).SetFloat64(*x)
}

func withUnit(number, unit string) string {
	switch {
	case unit == "":
		return number
	case strings.HasPrefix(unit, "°"):
		return number + unit
	}
	return number + " " + unit
}

func withDatum(s, datum string) string { return strings.TrimSpace(s + " " + datum) }
