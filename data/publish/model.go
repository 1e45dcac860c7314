package publish

import (
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/data/release"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// Engine is an engine as it is published. The register finds records of its
// sources. Derived says whether to compute what follows from the figures: not
// where they contradict one another.
func Engine(e *schema.Engine, register schema.Register, derive bool) *release.Engine {
	m := &model{engine: e.ID.Text, own: e.Sources, register: register, derive: derive}
	out := &release.Engine{Format: release.Version, ID: e.ID.Text, Title: e.Title.Text, Note: e.Note.Text, Dates: dates(e.Made.Text),
		Series: m.series(e), Variants: []release.Variant{}, Sources: []release.Source{}}
	if i := e.Identify; i != nil {
		out.Numbers, out.AlsoCalled, out.Looks = numbers(i.Numbers), i.AlsoCalled.Text, i.Looks.Text
	}
	for _, v := range e.Variants {
		if v.Value.Engine != nil {
			out.Variants = append(out.Variants, m.variant(v))
		}
	}
	for _, a := range e.Accepted {
		out.Accepted = append(out.Accepted, release.Acceptance{Path: a.Path, Rule: a.Rule, Because: a.Reason})
	}
	out.Sources = append(out.Sources, m.sources()...)
	return out
}

// model is the making of one engine.
type model struct {
	engine   string
	own      schema.Group[*schema.Source]
	register schema.Register
	derive   bool
	cited    []string // ids as the file writes them
}

func (m *model) variant(v schema.Named[*schema.Variant]) release.Variant {
	is := v.Value
	out := release.Variant{Name: v.Name, Title: is.Title.Text, Note: is.Note.Text, Dates: dates(is.Engine.Made.Text), Series: m.series(is.Engine)}
	if i := is.Engine.Identify; i != nil {
		out.Numbers = numbers(i.Numbers)
	}
	for _, r := range is.Engine.Removed() {
		out.Removed = append(out.Removed, r.Path)
	}
	return out
}

func (m *model) series(e *schema.Engine) release.Series {
	out := release.Series{Figures: make([]release.Figure, 0, len(e.Figures())), Words: []release.Word{}, Standings: release.Standings{}}
	for _, f := range e.Figures() {
		m.figure(&out, f, e.Variant != "" && !f.Changed)
	}
	if m.derive {
		out.Figures = append(out.Figures, derived(e)...)
	}
	for _, f := range out.Figures {
		out.Standings[f.Standing]++
	}
	for _, w := range e.Words() {
		is := w.Text
		if w.Source {
			is = m.citation(is)
		}
		out.Words = append(out.Words, release.Word{Path: w.Path, Is: is})
	}
	return out
}

// figure adds a figure with its claims, each where it belongs.
func (m *model) figure(out *release.Series, f *schema.Figure, inherited bool) {
	standing := schema.StandingOf(f, m.register)
	is := release.Figure{Path: f.Path, Kind: schema.KindName(f.Kind), Standing: standing.String(), Inherited: inherited, Claims: []release.Claim{}}
	var disputed, aside []release.Claim
	for _, c := range schema.BestFirst(f, m.register) {
		is.Claims = append(is.Claims, m.claim(c))
	}
	for i := range f.Claims {
		switch c := &f.Claims[i]; {
		case c.SetAside.Given():
			aside = append(aside, m.claim(c))
		case c.Printed.Absence != "":
			is.Claims = append(is.Claims, m.claim(c))
		case standing == schema.Disputed:
			disputed = append(disputed, m.claim(c))
		}
	}
	if best := is.Claims; len(best) > 0 && standing != schema.Disputed {
		is.Print, is.From, is.Locator = best[0].Print, best[0].From, best[0].Locator
	}
	out.Figures = append(out.Figures, is)
	if disputed != nil {
		out.Disputed = append(out.Disputed, release.Contest{Path: f.Path, Claims: disputed})
	}
	if aside != nil {
		out.SetAside = append(out.SetAside, release.Contest{Path: f.Path, Claims: aside})
	}
}

func (m *model) claim(c *schema.Claim) release.Claim {
	return release.Claim{Key: c.Key, Print: printOf(c.Printed), From: m.source(c.From.Source), Locator: c.From.Locator, Note: c.Note.Text,
		Quote: c.Quote.Text, SeenOn: c.SeenOn.Text, SeenBy: c.SeenBy.Text, Because: c.SetAside.Text}
}

// derived lists the figures that nobody prints and that others leave to be
// computed, one for each path.
func derived(e *schema.Engine) []release.Figure {
	var all []release.Figure
	for _, d := range rules.Network(e).Derive() {
		path := d.Variable.Path
		if e.Figure(path) != nil || slices.ContainsFunc(all, func(f release.Figure) bool { return f.Path == path }) {
			continue
		}
		f := release.Figure{Path: path, Standing: release.Derived, Claims: []release.Claim{},
			DerivedBy: &release.Derivation{Rule: d.By.Rule, Formula: d.By.Formula()}}
		if slot, ok := schema.EngineSlot(strings.Split(path, ".")); ok && slot.Figure {
			f.Kind = schema.KindName(slot.Kind)
		}
		f.Datum, f.MeasuredBy = d.Variable.Scale.Datum.String(), d.Variable.Measure().String()
		f.Unit = d.Variable.Scale.Unit.Symbol() // what is not printed is in the working unit
		f.Value, f.Low, f.High = between(d.Value)
		f.SI = &release.SI{Value: f.Value, Low: f.Low, High: f.High, Unit: f.Unit}
		all = append(all, f)
	}
	return all
}

// between is the middle and the bounds of a computed interval.
func between(is interval.Interval) (value, low, high *float64) {
	lo, hi := new(big.Rat).SetFloat64(is.Lo), new(big.Rat).SetFloat64(is.Hi)
	middle := new(big.Rat).Add(lo, hi)
	value, low, high, _ = decimals(middle.Quo(middle, big.NewRat(2, 1)), lo, hi, derivedDigits)
	return value, low, high
}

func dates(made string) release.Dates {
	d := release.Dates{Made: made}
	if first, last, ok := schema.Years(made); ok {
		d.First = first
		if last != schema.OpenYear {
			d.Last = last
		}
	}
	return d
}

func numbers(n *schema.Numbers) *release.Numbers {
	if n == nil {
		return nil
	}
	return &release.Numbers{From: n.From.Text, To: n.To.Text, Found: n.Found.Text}
}
