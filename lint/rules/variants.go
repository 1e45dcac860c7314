package rules

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

func variants() []*lint.Rule {
	return []*lint.Rule{
		numbersUnread, numbersOverlap, numbersGap, numbersBeyond, yearsUnread, yearsBeyond,
		changesNothing, removesNothing, forgotten(), notToldApart,
	}
}

const variantBasis = "Follows from what a variant is: " + commonPractice + "."

// series is a variant with what tells it from the others.
type series struct {
	name    string
	variant *schema.Variant
	key     schema.Place
	engine  *schema.Engine
	// numbers are the variant's own; nil where it has the base's.
	numbers *schema.Numbers
	in      schema.NumberRange
}

// seriesOf returns the variants of an engine.
func seriesOf(base *schema.Engine) []series {
	if base == nil {
		return nil
	}
	var all []series
	for _, v := range base.Variants {
		s := series{name: v.Name, variant: v.Value, key: v.Key, engine: v.Value.Engine}
		if n := numbersOf(s.engine); n != nil && (numbersOf(base) == nil || n.At != numbersOf(base).At) {
			s.numbers = n
			s.in, _ = n.Range()
		}
		all = append(all, s)
	}
	return all
}

// report raises a finding of the variant.
func (s series) report(p *lint.Pass, at schema.Place, format string, args ...any) *lint.Finding {
	f := p.Report(at, format, args...).About("variants." + s.name)
	f.Variant = s.name
	return f
}

// numbersOf returns an engine's range of numbers as written, or nil.
func numbersOf(e *schema.Engine) *schema.Numbers {
	if e.Identify == nil {
		return nil
	}
	return e.Identify.Numbers
}

// byNumber gathers the variants that have a range of numbers by its letters,
// lowest first.
func byNumber(all []series) map[string][]series {
	ranges := map[string][]series{}
	for _, s := range all {
		if s.in.Given() {
			ranges[s.in.Letters] = append(ranges[s.in.Letters], s)
		}
	}
	for _, group := range ranges {
		slices.SortStableFunc(group, func(a, b series) int { return cmp.Compare(lowest(a.in), lowest(b.in)) })
	}
	return ranges
}

// lowest is the first number of a range; one that is open below comes first.
func lowest(r schema.NumberRange) int64 {
	if r.OpenLow {
		return -1
	}
	return r.First
}

// spelled writes a range as a sentence does.
func spelled(n *schema.Numbers, r schema.NumberRange) string {
	switch {
	case r.OpenLow:
		return "up to " + n.To.Text
	case r.OpenTop:
		return "from " + n.From.Text + " on"
	}
	return n.From.Text + " to " + n.To.Text
}

var numbersUnread = &lint.Rule{
	Name:      "variants/numbers-unread",
	Level:     lint.Warning,
	Title:     "Engine numbers that cannot be counted",
	Checks:    "The first and last number of a range end in figures, share their letters and stand in order; for the model as for each variant.",
	Why:       "A keeper asks by the number on the crankcase. A range that cannot be counted finds no engine, or the wrong series.",
	Basis:     variantBasis,
	Accepting: "Accept it when the numbers follow no order, and say so in a note.",
	Bad: `
identify:
  numbers: {from: LS4750, to: LS1001}
`,
	Good: `
identify:
  numbers: {from: LS1001, to: LS4750}
`,
	File: func(p *lint.Pass) {
		if p.Engine == nil {
			return
		}
		check := func(n *schema.Numbers) *lint.Finding {
			if _, err := n.Range(); err != nil {
				return p.Report(n.At, "%s; no number can be told to belong here", err).About("identify.numbers")
			}
			return nil
		}
		check(numbersOf(p.Engine))
		for _, s := range seriesOf(p.Engine) {
			if f := check(s.numbers); f != nil {
				f.About("variants." + s.name).Variant = s.name
			}
		}
	},
}

var numbersOverlap = &lint.Rule{
	Name:      "variants/numbers-overlap",
	Level:     lint.Warning,
	Title:     "Numbers that belong to two variants",
	Checks:    "The ranges of numbers of two variants share none.",
	Why:       "A keeper whose number lies in both gets two sets of figures and no way to choose; one of them costs a valve.",
	Basis:     variantBasis,
	Accepting: "Accept it when the works mixed the series, and say what else tells them apart.",
	Bad: `
identify:
  numbers: {from: LS1001, to: LS4750}
variants:
  series-2: {numbers: {from: LS2001, to: LS3500}}
  series-3: {numbers: {from: LS3001, to: LS4750}}
`,
	Good: `
identify:
  numbers: {from: LS1001, to: LS4750}
variants:
  series-2: {numbers: {from: LS2001, to: LS3000}}
  series-3: {numbers: {from: LS3001, to: LS4750}}
`,
	File: func(p *lint.Pass) {
		all := seriesOf(p.Engine)
		for i, s := range all {
			for _, o := range all[:i] {
				if s.in.Overlaps(o.in) {
					s.report(p, s.numbers.At, "the numbers %s overlap those of %s, %s; a number in both belongs to neither for certain",
						spelled(s.numbers, s.in), o.name, spelled(o.numbers, o.in)).See(o.numbers.At, "numbers of %s", o.name)
				}
			}
		}
	},
}

var numbersGap = &lint.Rule{
	Name:      "variants/numbers-gap",
	Level:     lint.Note,
	Title:     "Numbers between two variants, or behind the last",
	Checks:    "The ranges of variants follow one another without a gap, and the last reaches the last number of the model. Numbers before the first variant are the base's.",
	Why:       "The base's figures are taken for the numbers left out. That is right when the works went back to them, and wrong when a number was misread.",
	Basis:     variantBasis,
	Accepting: "It is a note and fails nothing. Where the numbers were never used, or an earlier series was made again, leave it.",
	Bad: `
identify:
  numbers: {from: LS1001, to: LS4750}
variants:
  series-2: {numbers: {from: LS2001, to: LS3000}}
  series-3: {numbers: {from: LS3011, to: LS4750}}
`,
	Good: `
identify:
  numbers: {from: LS1001, to: LS4750}
variants:
  series-2: {numbers: {from: LS2001, to: LS3000}}
  series-3: {numbers: {from: LS3001, to: LS4750}}
`,
	File: func(p *lint.Pass) {
		for letters, group := range byNumber(seriesOf(p.Engine)) {
			last := group[0]
			for _, s := range group[1:] {
				if gap := last.in.Gap(s.in); gap > 0 {
					s.report(p, s.numbers.At, "%s between %s and %s: the base's figures are taken for %s", numberCount(gap), last.name, s.name, are(gap)).
						See(last.numbers.At, "numbers of %s", last.name)
				}
				if s.in.OpenTop || !last.in.OpenTop && s.in.Last > last.in.Last {
					last = s
				}
			}
			if model, _ := numbersOf(p.Engine).Range(); model.Letters == letters && model.Given() && !model.OpenTop && !last.in.OpenTop && last.in.Last < model.Last {
				gap := model.Last - last.in.Last
				last.report(p, last.numbers.At, "%s behind the last of %s: the base's figures are taken for %s", numberCount(gap), last.name, are(gap))
			}
		}
	},
}

func numberCount(n int64) string {
	if n == 1 {
		return "one number lies"
	}
	return fmt.Sprintf("%d numbers lie", n)
}

func are(n int64) string {
	if n == 1 {
		return "it"
	}
	return "them"
}

var numbersBeyond = &lint.Rule{
	Name:      "variants/numbers-beyond",
	Level:     lint.Warning,
	Title:     "A variant's numbers outside the model's",
	Checks:    "The range of numbers of a variant lies within the model's, where both have the same letters.",
	Why:       "Either range was misread, and a keeper near its end finds no engine or the wrong one.",
	Basis:     variantBasis,
	Accepting: "Rather than accept it, widen the model's range: it holds all variants.",
	Bad: `
identify:
  numbers: {from: LS1001, to: LS4750}
variants:
  series-2: {numbers: {from: LS3001, to: LS7450}}
`,
	Good: `
identify:
  numbers: {from: LS1001, to: LS4750}
variants:
  series-2: {numbers: {from: LS3001, to: LS4750}}
`,
	File: func(p *lint.Pass) {
		for _, s := range seriesOf(p.Engine) {
			model, _ := numbersOf(p.Engine).Range()
			if !model.Given() || !s.in.Given() || s.in.Letters != model.Letters {
				continue
			}
			below := !s.in.OpenLow && !model.OpenLow && s.in.First < model.First
			above := !s.in.OpenTop && !model.OpenTop && s.in.Last > model.Last
			if below || above || !s.in.Overlaps(model) {
				s.report(p, s.numbers.At, "the numbers %s do not lie within the model's, %s", spelled(s.numbers, s.in), spelled(numbersOf(p.Engine), model)).
					See(numbersOf(p.Engine).At, "numbers of the model")
			}
		}
	},
}

var yearsUnread = &lint.Rule{
	Name:      "variants/years-unread",
	Level:     lint.Warning,
	Title:     "Years that cannot be read",
	Checks:    "The years of make are a year, or a first and a last one in order: `1926`, `1926-1931`, `1926-31`, or `1926-` while it is still made; for the model as for each variant.",
	Why:       "Engines are found by their year. What cannot be read as years is passed over without a word.",
	Basis:     variantBasis,
	Accepting: "Rather than accept it, write the years that are sure and the rest in a note.",
	Bad: `
made: 1931-1926
`,
	Good: `
made: 1926-1931
`,
	File: func(p *lint.Pass) {
		if p.Engine == nil {
			return
		}
		check := func(made schema.Word) *lint.Finding {
			if _, _, ok := schema.Years(made.Text); ok || !made.Given() || made.Text == "unknown" || made.Text == "not given" {
				return nil
			}
			return p.Report(made.At, "`%s` cannot be read as years; write the first and the last, as in 1926-1931", made.Text).About("made")
		}
		check(p.Engine.Made)
		for _, s := range seriesOf(p.Engine) {
			if f := check(s.variant.Made); f != nil {
				f.About("variants." + s.name).Variant = s.name
			}
		}
	},
}

var yearsBeyond = &lint.Rule{
	Name:      "variants/years-beyond",
	Level:     lint.Warning,
	Title:     "A variant's years outside the model's",
	Checks:    "The years in which a variant was made lie within the model's.",
	Why:       "One of the two was misread. Whoever looks by the year finds another engine's figures.",
	Basis:     variantBasis,
	Accepting: "Rather than accept it, widen the model's years: they hold all variants.",
	Bad: `
made: 1926-1931
variants:
  series-2: {made: 1929-1933}
`,
	Good: `
made: 1926-1931
variants:
  series-2: {made: 1929-1931}
`,
	File: func(p *lint.Pass) {
		for _, s := range seriesOf(p.Engine) {
			first, last, known := schema.Years(p.Engine.Made.Text)
			from, to, ok := schema.Years(s.variant.Made.Text)
			if known && ok && (from < first || from > last || to > last && to != schema.OpenYear) {
				s.report(p, s.variant.Made.At, "%s lies outside the model's years, %s", s.variant.Made.Text, p.Engine.Made.Text).
					See(p.Engine.Made.At, "years of the model")
			}
		}
	},
}

var changesNothing = &lint.Rule{
	Name:   "variants/changes-nothing",
	Level:  lint.Warning,
	Title:  "A change that changes nothing",
	Checks: "Every figure and word under a variant's `change` differs from the base's in print or in source, and every section under it holds something besides a source.",
	Why: "It was copied along, or the new figure was never typed in. When the base is corrected later, the copy keeps the old figure alive " +
		"in the variant.",
	Basis:     variantBasis,
	Accepting: "Rather than accept it, leave the figure out: a variant inherits it. Where another source prints the same for the variant, cite that source.",
	Bad: `
size: {from: handbook p. 6, bore: 3 in, stroke: 4 in}
variants:
  series-2:
    made: 1929
    change:
      size: {bore: 3 in, stroke: 4 1/4 in, from: handbook p. 6}
`,
	Good: `
size: {from: handbook p. 6, bore: 3 in, stroke: 4 in}
variants:
  series-2:
    made: 1929
    change:
      size: {stroke: 4 1/4 in, from: handbook p. 6}
`,
	File: func(p *lint.Pass) {
		for _, s := range seriesOf(p.Engine) {
			if change := s.variant.Change; !change.IsZero() && p.File.Doc.Root != nil {
				sameAsBase{p, s}.section(change.Node, p.File.Doc.Root, nil)
			}
		}
	},
}

// sameAsBase looks in a variant's change for what the base says already.
type sameAsBase struct {
	pass *lint.Pass
	series
}

// section compares a section of the change with the base's.
func (c sameAsBase) section(change, base *text.Node, path []string) {
	says := 0
	for _, e := range change.Entries {
		if e.Key.Text == "from" && !isNumbers(path) {
			continue
		}
		says++
		c.entry(e, base.Get(e.Key.Text), append(slices.Clone(path), e.Key.Text))
	}
	if says == 0 && len(path) > 0 {
		c.report(c.pass, c.place(change), "`%s` names a source and changes no figure; a figure in a change brings its own source, and leaves those of the base alone", strings.Join(path, "."))
	}
}

// isNumbers reports whether a section is a range of numbers, where `from` is the
// first of them and not a source.
func isNumbers(path []string) bool { return len(path) > 0 && path[len(path)-1] == "numbers" }

func (c sameAsBase) place(n *text.Node) schema.Place { return schema.Place{File: c.pass.File, Node: n} }

func (c sameAsBase) entry(e text.Entry, base *text.Node, path []string) {
	name := strings.Join(path, ".")
	was, is := c.pass.Engine.Figure(name), c.engine.Figure(name)
	switch {
	case was != nil && is != nil && is.Changed:
		if slices.EqualFunc(was.Claims, is.Claims, sameClaim) {
			c.report(c.pass, is.At, "`%s` is %s from the same source in the base; leave it out, a variant inherits it", name, is.Claims[0].Printed.Text).Involving(is)
		}
	case is != nil, base == nil:
	case e.Value.Kind == text.Map && base.Kind == text.Map:
		c.section(e.Value, base, path)
	case e.Value.Kind == text.Scalar && base.Kind == text.Scalar && !e.Value.Absent && e.Value.Text == base.Text:
		c.report(c.pass, c.place(e.Value), "`%s` is %s in the base already; leave it out, a variant inherits it", name, base.Text)
	}
}

// sameClaim reports whether two claims say the same from the same source.
func sameClaim(a, b schema.Claim) bool {
	said := func(c schema.Claim) [6]string {
		return [...]string{c.Printed.Text, c.From.String(), c.SetAside.Text, c.Note.Text, c.Quote.Text, c.Key}
	}
	return said(a) == said(b)
}

var removesNothing = &lint.Rule{
	Name:      "variants/removes-nothing",
	Level:     lint.Warning,
	Title:     "A change that takes away what is not there",
	Checks:    "Every figure or section that a variant marks as `removed` is in the base.",
	Why:       "The key is misspelt or stands in the wrong section, and the figure that was meant to go is still given for the variant.",
	Basis:     variantBasis,
	Accepting: "Rather than accept it, take the line out.",
	Bad: `
ignition: {from: handbook p. 22, fixed: 38 BTDC}
variants:
  series-2:
    made: 1929
    change:
      ignition: {advance: removed}
`,
	Good: `
ignition: {from: handbook p. 22, fixed: 38 BTDC}
variants:
  series-2:
    made: 1929
    change:
      ignition: {fixed: removed}
`,
	Engine: func(p *lint.Pass) {
		for _, r := range p.Engine.Removed() {
			if !r.Existed {
				p.Report(r.At, "`%s` is not in the base, so nothing is taken away; correct the key, or take the line out", r.Path).About("variants." + p.Engine.Variant)
			}
		}
	},
}

// forgotten is made by a function, because it asks the rule book that it is part of.
func forgotten() *lint.Rule {
	return &lint.Rule{
		Name:  "variants/forgotten",
		Level: lint.Note,
		Title: "A figure that a variant forgot to change",
		Checks: "Where a relation holds in the base and breaks in a variant, figures that the variant changes stand in it beside figures that it inherits. " +
			"The relation's own rule reports the contradiction; the note says which figure stayed behind.",
		Why: "When inlet closing changes and the printed duration is left as it was, the sheet of the variant contradicts itself, and who trusts the duration " +
			"sets the camshaft of the other series.",
		Formula:   "every relation of the rule book",
		Basis:     variantBasis,
		Accepting: "It is a note and fails nothing. Change the figure as well, with its source, or take it away with the word `removed`.",
		Bad: `
events:
  checking: {from: sheet p. 1, read_at: not given, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, inlet_duration: 231}
variants:
  series-2:
    made: 1929
    change:
      events: {checking: {from: sheet p. 2, inlet_closes: 52 ABDC}}
`,
		Good: `
events:
  checking: {from: sheet p. 1, read_at: not given, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, inlet_duration: 231}
variants:
  series-2:
    made: 1929
    change:
      events: {checking: {from: sheet p. 2, inlet_closes: 52 ABDC, inlet_duration: 235}}
`,
		Engine: func(p *lint.Pass) {
			if p.Engine.Variant == "" {
				return
			}
			conflicts := p.Relations.Check()
			if len(conflicts) == 0 {
				return
			}
			inBase := brokenIn(p.Base)
			for _, c := range conflicts {
				if !slices.ContainsFunc(c.Broken, func(r *relation.Relation) bool { return inBase[named(r)] }) {
					reportForgotten(p, c)
				}
			}
		},
	}
}

// named tells a relation from the others of an engine.
func named(r *relation.Relation) string { return r.Rule + " " + r.Where + " " + r.Formula() }

func brokenIn(e *schema.Engine) map[string]bool {
	broken := map[string]bool{}
	for _, c := range Network(e).Check() {
		for _, r := range c.Broken {
			broken[named(r)] = true
		}
	}
	return broken
}

func reportForgotten(p *lint.Pass, c relation.Conflict) {
	changed, inherited := firstPrinted(c, true), firstPrinted(c, false)
	if changed == nil || inherited == nil {
		return
	}
	would := ""
	if i := slices.IndexFunc(c.Suspects, func(s relation.Suspect) bool { return !s.Variable.Figure.Changed }); i >= 0 {
		inherited = c.Suspects[i].Variable
		is, unit := c.Suspects[i].Shown()
		would = fmt.Sprintf("; here it would be about %s %s", strconv.FormatFloat(is.Mid(), 'g', 4, 64), unit)
	}
	p.Report(changed.Figure.At, "%s changes and %s stays %s as in the base, though %s%s; change it too, or take it away with the word `removed`",
		changed.Title, inherited.Title, inherited.Figure.Text(), c.Broken[0].Formula(), would).
		About(inherited.Figure.Path).Involving(changed.Figure, inherited.Figure).See(inherited.Figure.At, "%s: %s, in the base", inherited.Title, inherited.Figure.Text())
}

// firstPrinted returns the first printed quantity of a conflict that the variant
// changed, or did not.
func firstPrinted(c relation.Conflict, changed bool) *relation.Variable {
	for _, r := range c.Broken {
		for _, v := range r.Variables() {
			if v.IsPrinted() && v.Figure.Changed == changed {
				return v
			}
		}
	}
	return nil
}

var notToldApart = &lint.Rule{
	Name:      "variants/not-told-apart",
	Level:     lint.Warning,
	Title:     "A variant that nothing tells from the base",
	Checks:    "Every variant has numbers, years, something to look for on the engine, or a note that says how to tell it.",
	Why:       "A keeper with the engine on the stand cannot know which of the two sets of figures is its own.",
	Basis:     variantBasis,
	Accepting: "Accept it when it is not known what tells the variant, and say who found the figures where.",
	Bad: `
size: {from: handbook p. 6, bore: 3 in}
variants:
  series-2:
    title: second series
    change: {size: {bore: {is: 3 1/8 in, from: sheet p. 1}}}
`,
	Good: `
size: {from: handbook p. 6, bore: 3 in}
variants:
  series-2:
    title: second series
    made: 1929-1931
    change: {size: {bore: {is: 3 1/8 in, from: sheet p. 1}}}
`,
	File: func(p *lint.Pass) {
		for _, s := range seriesOf(p.Engine) {
			looks := !s.variant.Change.IsZero() && s.variant.Change.Node.Get("identify") != nil
			if s.numbers == nil && !s.variant.Made.Given() && !s.variant.Note.Given() && !looks {
				s.report(p, s.key, "nothing tells %s from the base: give its `numbers`, the years it was `made`, or a `note` that says what to look for", s.name)
			}
		}
	},
}
