package serve

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/notation"
)

// mostListed bounds each list of a card.
const mostListed = 8

// figureCard writes all that is known of a figure. What it comes to in other
// notations is worked out for the claim, or else for the first that stands.
func (s *session) figureCard(c *card, d *document, e *schema.Engine, f *schema.Figure, claim *schema.Claim) {
	lookup := s.lookup(d, d.engine())
	title := f.Path
	if e.Variant != "" {
		title += ", variant " + e.Variant
	}
	c.heading("%s", title)
	for i := range f.Claims {
		c.item(f.Claims[i].Printed.Text+read(f.Claims[i].Printed), said(&f.Claims[i], lookup)...)
	}
	c.end()
	c.line("%s", standings[schema.StandingOf(f, lookup)])
	if claim == nil {
		claim = f.First()
	}
	if claim != nil {
		notations(c, e, f, claim)
	}
	relations(c, e, f)
}

var standings = map[schema.Standing]string{
	schema.Absent:       "Absent: no source gives a value.",
	schema.Unsourced:    "Unsourced: a value stands without a source.",
	schema.SingleSource: "Single-source: one independent source says so.",
	schema.Confirmed:    "Confirmed: independent sources agree.",
	schema.Disputed:     "Disputed: the claims that stand cannot all be right.",
	schema.Settled:      "Settled: a disagreement was ended by setting claims aside.",
}

// read is what a print is read as: value and interval of each reading.
func read(p figure.Printed) string {
	var b strings.Builder
	for _, r := range p.Readings {
		unit := strings.TrimSpace(r.Unit.Symbol() + " " + r.Datum.String())
		low, high := number(r.Lo, math.Inf(-1)), number(r.Hi, math.Inf(1))
		if value := number(r.Value, math.NaN()); r.Lo != nil && r.Hi != nil && low < high {
			fmt.Fprintf(&b, " = %s, within %s", bounded(value, value, unit), bounded(low, high, ""))
			continue
		}
		fmt.Fprintf(&b, " = %s", bounded(low, high, unit))
	}
	return b.String()
}

// number is a fraction as the nearest double, or what stands for none.
func number(r *big.Rat, none float64) float64 {
	if r == nil {
		return none
	}
	x, _ := r.Float64()
	return x
}

// said is where a claim stands and what it says beside its print.
func said(claim *schema.Claim, lookup schema.Register) []string {
	lines := []string{"from " + cited(claim.From, lookup)}
	if claim.SetAside.Given() {
		lines = append(lines, strings.TrimSuffix("set aside: "+claim.SetAside.Text, ": "))
	}
	for _, w := range []schema.Word{claim.Quote, claim.Note} {
		if w.Given() {
			lines = append(lines, w.Text)
		}
	}
	return lines
}

// notations writes what a claim comes to in other notations, as far as the
// dimensions of the engine allow.
func notations(c *card, e *schema.Engine, f *schema.Figure, claim *schema.Claim) {
	in, err := notation.Of(claim.Printed)
	if err != nil {
		return // a word, a list, an absence: there is no other notation
	}
	all, err := in.Convert(notation.Wanted{}, e.DimensionsFor(f))
	if err != nil || len(all.Results) == 0 {
		return
	}
	c.heading("In other notations")
	for _, r := range all.Results[:min(len(all.Results), 2*mostListed)] {
		line := string(r.Notation) + ": " + r.Printed
		if r.Allowed != "" {
			line += " (" + r.Allowed + ")"
		}
		c.item(line)
	}
	c.end()
	for _, remark := range all.Remarks {
		c.line("%s", remark)
	}
	if all.Caution != "" {
		c.line("%s", all.Caution)
	}
}

// relations writes the relations that a figure takes part in, worked out, and
// what they leave of quantities that nobody prints.
func relations(c *card, e *schema.Engine, f *schema.Figure) {
	n := rules.Network(e)
	of := func(r *relation.Relation) bool {
		return slices.ContainsFunc(r.Variables(), func(v *relation.Variable) bool { return v.Figure == f })
	}
	var checked []*relation.Relation
	for _, r := range n.Relations() {
		allPrinted := !slices.ContainsFunc(r.Variables(), func(v *relation.Variable) bool { return !v.IsPrinted() })
		if allPrinted && of(r) {
			checked = append(checked, r)
		}
	}
	if len(checked) > 0 {
		c.heading("Checked against")
	}
	for _, r := range checked[:min(len(checked), mostListed)] {
		working := r.Working(n)
		c.item(working[0], append(working[1:], r.Rule)...)
	}
	more(c, len(checked))
	derived := slices.DeleteFunc(n.Derive(), func(d relation.Derived) bool { return e.Figure(d.Variable.Path) != nil || !of(d.By) })
	if len(derived) > 0 {
		c.heading("Follows from it")
	}
	for _, d := range derived[:min(len(derived), mostListed)] {
		is := d.Variable.Scale.Shown(d.Value)
		c.item(d.Variable.Title+": "+bounded(is.Lo, is.Hi, d.Variable.Scale.Symbol()), d.By.Formula())
	}
	more(c, len(derived))
}

// more says how many were left out of a list, and ends it.
func more(c *card, count int) {
	if count > mostListed {
		c.item(fmt.Sprintf("and %d more", count-mostListed))
	}
	c.end()
}

// bounded is an interval in words; an infinite end is open.
func bounded(low, high float64, unit string) string {
	m := lint.MustBe{Unit: unit}
	if !math.IsInf(low, 0) {
		m.Low = &low
	}
	if !math.IsInf(high, 0) {
		m.High = &high
	}
	return report.Bounds(m)
}
