package rules

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func sources() []*lint.Rule {
	return []*lint.Rule{
		figureWithoutSource, locator, measuredHow, unknownSource, unusedSource, unusedRecord, alike, copies,
		recallOnly, disputed(), setAsideReason, allSetAside, copiedAgreement,
	}
}

const evidenceBasis = "Rules of evidence for a set of data; " + commonPractice + "."

// ownFigures returns the figures that the base or the variant itself writes, of
// those that are wanted: what a variant inherits was looked at in the base.
func ownFigures(e *schema.Engine, wanted func(*schema.Figure) bool) []*schema.Figure {
	return slices.DeleteFunc(slices.Clone(e.Figures()), func(f *schema.Figure) bool {
		return e.Variant != "" && !f.Changed || !wanted(f)
	})
}

func anyFigure(*schema.Figure) bool { return true }

// figuresOfSection are figures that stand in one section.
type figuresOfSection struct {
	path    string
	figures []*schema.Figure
}

// bySection gathers figures by the section that they stand in.
func bySection(figures []*schema.Figure) []figuresOfSection {
	var all []figuresOfSection
	for _, f := range figures {
		path := strings.TrimSuffix(f.Path, "."+f.Key)
		i := slices.IndexFunc(all, func(s figuresOfSection) bool { return s.path == path })
		if i < 0 {
			i, all = len(all), append(all, figuresOfSection{path: path})
		}
		all[i].figures = append(all[i].figures, f)
	}
	return all
}

// report raises one finding for the whole section, at its first figure. The
// message names the figures where it says %s.
func (s figuresOfSection) report(p *lint.Pass, format string) {
	keys := make([]string, len(s.figures))
	for i, f := range s.figures {
		keys[i] = "`" + f.Key + "`"
	}
	p.Report(s.figures[0].At, format, "`"+s.path+"`", listed(keys)).About(s.path).Involving(s.figures...)
}

// listed joins words as a sentence does, the first few of them.
func listed(words []string) string {
	const most = 5
	switch {
	case len(words) == 1:
		return words[0]
	case len(words) > most:
		return fmt.Sprintf("%s and %d more", strings.Join(words[:most], ", "), len(words)-most)
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// sets reports whether an engine is set by the figure: a wrong one costs a
// valve or a piston.
func sets(f *schema.Figure) bool {
	section, _, _ := strings.Cut(f.Path, ".")
	return slices.Contains([]string{"clearances", "events", "ignition", "drives"}, section)
}

var figureWithoutSource = &lint.Rule{
	Name:      "sources/figure-without-source",
	Level:     lint.Warning,
	Title:     "A figure without a source",
	Checks:    "Every figure names its source, or stands in a section that does. The words `unknown` and `not given` need none.",
	Why:       "A figure that nobody can look up cannot be trusted, and cannot be corrected either: nobody knows what it was copied from.",
	Basis:     evidenceBasis,
	Accepting: "Rather than accept it, name what there is: a source of grade `recall` says that somebody remembers the figure.",
	Bad: `
size:
  bore: 2 15/16 in
  stroke: 4 1/2 in
`,
	Good: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
  stroke: 4 1/2 in
`,
	Engine: func(p *lint.Pass) {
		without := ownFigures(p.Engine, func(f *schema.Figure) bool {
			return slices.ContainsFunc(f.Given(), func(c schema.Claim) bool { return !c.From.Given() })
		})
		for _, s := range bySection(without) {
			s.report(p, "%s names no source for %s; write `from:` with a source's id and the place in it")
		}
	},
}

var locator = &lint.Rule{
	Name:  "sources/locator",
	Level: lint.Warning,
	Title: "A printed source without the place in it",
	Checks: "A citation of a book, handbook, article or other source of many pages says where in it the figure stands: a page, a table, a section. " +
		"It is a warning where an engine is set by the figure and nothing else vouches for it, otherwise a note.",
	Why:       "A figure that must be looked for in two hundred pages is never looked up again.",
	Basis:     evidenceBasis,
	Accepting: "Accept it when the source has no pages or other parts that could be named.",
	Bad: `
ignition:
  from: handbook
  contact_gap: 12 thou
`,
	Good: `
ignition:
  from: handbook p. 22
  contact_gap: 12 thou
`,
	Engine: func(p *lint.Pass) {
		for _, c := range citations(ownFigures(p.Engine, anyFigure)) {
			source, known := p.LookUp(c.from.Source)
			if !known || c.from.Locator != "" || !hasPages(source) {
				continue
			}
			f := p.Report(c.from.At, "`%s` is cited without the place in it; write page, table or section after the id, as in `from: %s p. 6`", c.from.Source, c.from.Source).
				About(c.figures[0].Path).Involving(c.figures...)
			if !slices.ContainsFunc(c.figures, func(f *schema.Figure) bool { return sets(f) && len(f.Given()) == 1 }) {
				f.Level = lint.Note
			}
		}
	},
}

// citation is one place where a source is named, with the figures it is named for.
type citation struct {
	from    schema.Citation
	figures []*schema.Figure
}

// citations gathers the claims of figures by the place that names their source.
func citations(figures []*schema.Figure) []citation {
	var all []citation
	for _, f := range figures {
		for _, c := range f.Given() {
			if !c.From.Given() {
				continue
			}
			i := slices.IndexFunc(all, func(o citation) bool { return o.from.At == c.From.At })
			if i < 0 {
				i, all = len(all), append(all, citation{from: c.From})
			}
			all[i].figures = append(all[i].figures, f)
		}
	}
	return all
}

// paged are the types of source, in the words of the Citation Style Language,
// in which a figure has to be looked for.
var paged = []string{"article", "article-journal", "article-magazine", "article-newspaper", "book", "chapter", "manuscript", "pamphlet", "periodical", "report", "thesis"}

// hasPages reports whether a figure has to be looked for in a source. One that
// does not say what it is counts as a book, except from the works, whose sheets
// and drawings are single.
func hasPages(s *schema.Source) bool {
	printed := slices.Contains([]string{"works", "maker", "press", "later"}, s.Grade.Text)
	switch {
	case !printed || s.Page.Given():
		return false
	case !s.Type.Given():
		return s.Grade.Text != "works"
	}
	return slices.Contains(paged, s.Type.Text)
}

var measuredHow = &lint.Rule{
	Name:      "sources/measured-how",
	Level:     lint.Warning,
	Title:     "A measurement that does not say how it was made",
	Checks:    "A source of grade `measured` says by whom, on which engine and with what it was measured.",
	Why:       "A tape round the rim and a dial gauge on the cap differ by degrees, and one worn engine is not the model. Without that, a measurement cannot be weighed against the sheet.",
	Basis:     evidenceBasis,
	Accepting: "Accept it when the measurement is old and nobody can say any more.",
	Bad: `
ignition:
  from: rim-ls2207
  advance: 38 BTDC
sources:
  rim-ls2207: {title: Flywheel of LS2207, grade: measured, by: the keeper of LS2207}
`,
	Good: `
ignition:
  from: rim-ls2207
  advance: 38 BTDC
sources:
  rim-ls2207: {title: Flywheel of LS2207, grade: measured, by: the keeper of LS2207, on: "one engine, LS2207, 2025-03-02", with: degree disc}
`,
	File: func(p *lint.Pass) {
		check := func(id string, s *schema.Source) {
			var lacks []string
			for _, said := range []struct {
				word schema.Word
				is   string
			}{{s.By, "by whom (`by`)"}, {s.On, "on which engine (`on`)"}, {s.With, "with what (`with`)"}} {
				if !said.word.Given() {
					lacks = append(lacks, said.is)
				}
			}
			if s.Grade.Text == "measured" && len(lacks) > 0 {
				p.Report(s.Grade.At, "`%s` is a measurement and does not say %s it was made", id, listed(lacks)).About("sources." + id)
			}
		}
		if p.Source != nil {
			check(p.ID, p.Source)
		}
		if p.Engine != nil {
			for _, s := range p.Engine.Sources {
				check(s.Name, s.Value)
			}
		}
	},
}

var unknownSource = &lint.Rule{
	Name:      "sources/unknown",
	Level:     lint.Error,
	Title:     "A source that has no record",
	Checks:    "Every source that is cited has a record, in the file's own `sources` or in the register.",
	Why:       "A citation that leads nowhere is no better than none: nobody can tell a works drawing from hearsay.",
	Basis:     evidenceBasis,
	Accepting: "This cannot be accepted: correct the id, or write the record.",
	Bad: `
size:
  from: handbok p. 6
  bore: 2 15/16 in
`,
	Good: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
`,
	File: func(p *lint.Pass) {
		if p.Engine == nil {
			return
		}
		first := map[string]*lint.Finding{}
		seen := map[schema.Place]bool{}
		for _, e := range p.Engine.All() {
			for _, c := range e.Citations() {
				if _, known := p.LookUp(c.Source); known || seen[c.At] || !c.Given() {
					continue
				}
				seen[c.At] = true
				if f := first[c.Source]; f != nil {
					f.See(c.At, "cited here too")
					continue
				}
				f := p.Report(c.At, "there is no record of the source `%s` in the file or in the register; write one, or correct the id%s",
					c.Source, schema.DidYouMean(c.Source, namesOf(p.Engine.Sources)))
				f.Variant, first[c.Source] = variantAt(c.At), f
			}
		}
	},
}

func namesOf[T any](g schema.Group[T]) []string {
	names := make([]string, len(g))
	for i, n := range g {
		names[i] = n.Name
	}
	return names
}

var unusedSource = &lint.Rule{
	Name:      "sources/unused",
	Level:     lint.Note,
	Title:     "A source of the file that nothing cites",
	Checks:    "Every record under `sources` is cited in the file, or copied by a source that is.",
	Why:       "Often the figures were meant to cite it and name another source in its place.",
	Basis:     evidenceBasis,
	Accepting: "It is a note and fails nothing. Take the record out, or cite it.",
	Bad: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
sources:
  handbook: {title: Instruction book, type: pamphlet, issued: 1927, grade: maker}
  sheet: {title: Setting sheet, type: document, issued: 1928, grade: works}
`,
	Good: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
sources:
  handbook: {title: Instruction book, type: pamphlet, issued: 1927, grade: maker, copies: sheet}
  sheet: {title: Setting sheet, type: document, issued: 1928, grade: works}
`,
	File: func(p *lint.Pass) {
		if p.Engine == nil {
			return
		}
		used := map[string]bool{}
		for _, e := range p.Engine.All() {
			for _, c := range e.Citations() {
				used[c.Source] = true
			}
		}
		for _, s := range p.Engine.Sources {
			used[s.Value.Copies.Text] = true
		}
		for _, s := range p.Engine.Sources {
			if !used[s.Name] {
				p.Report(s.Key, "nothing in the file cites `%s`; cite it, or take its record out", s.Name).About("sources." + s.Name)
			}
		}
	},
}

var unusedRecord = &lint.Rule{
	Name:      "sources/unused-record",
	Level:     lint.Note,
	Title:     "A source of the register that no engine cites",
	Checks:    "Every record of the register is cited by an engine, or copied by another source. Where only some of the engines are looked at, nothing is said.",
	Why:       "It may be a source somebody meant to go through, or one that is kept twice under two ids.",
	Basis:     evidenceBasis,
	Accepting: "It is a note and fails nothing.",
	Bad: `
--- sources/handbook.yaml
title: Instruction book
grade: maker
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
`,
	Good: `
--- sources/handbook.yaml
title: Instruction book
grade: maker
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
size: {bore: 2 15/16 in, from: handbook p. 6}
`,
	Dataset: func(p *lint.DatasetPass) {
		if len(p.Engines) == 0 || len(p.Others) > 0 {
			return
		}
		used := map[string]bool{}
		for _, e := range p.Engines {
			for id := range e.Cites {
				used[id] = true
			}
		}
		for _, s := range p.Sources {
			used[s.Source.Copies.Text] = true
		}
		for _, s := range p.Sources {
			if !s.Context && !used[s.ID] {
				p.Report(s.At, "no engine cites `%s`", s.ID)
			}
		}
	},
}

var alike = &lint.Rule{
	Name:      "sources/alike",
	Level:     lint.Note,
	Title:     "Two records of one source",
	Checks:    "No two source records, in the register or in engine files, have a title of the same words while author, year, edition, number and the like tell them apart nowhere.",
	Why:       "One book under two ids counts as two witnesses, and a figure looks confirmed that is not.",
	Basis:     evidenceBasis,
	Accepting: "It is a note and fails nothing. Cite one record everywhere, in the register when several engines need it; or add what tells the two apart.",
	Bad: `
size:
  bore: {is: 3 in, from: handbook p. 6}
  stroke: {is: 4 in, from: book p. 7}
sources:
  handbook: {title: Instruction book, issued: 1927, grade: maker}
  book: {title: "Instruction Book, The", grade: maker}
`,
	Good: `
size:
  bore: {is: 3 in, from: handbook p. 6}
  stroke: {is: 4 in, from: book p. 7}
sources:
  handbook: {title: Instruction book, issued: 1927, grade: maker}
  book: {title: Instruction book, issued: 1931, grade: maker}
`,
	Dataset: func(p *lint.DatasetPass) {
		byTitle := map[string][]lint.Record{}
		hold := func(r lint.Record, report bool) {
			title := titleWords(r.Title)
			i := slices.IndexFunc(byTitle[title], func(o lint.Record) bool { return !differ(r, o) })
			if report && title != "" && i >= 0 {
				o := byTitle[title][i]
				seeSpot(p.Report(r.At, "the source `%s` looks like `%s` in %s: nothing tells the two apart; keep one of them, or add what differs",
					r.ID, o.ID, o.At.File), o.At, "%s", o.Title)
			}
			byTitle[title] = append(byTitle[title], r)
		}
		for _, s := range p.Sources {
			hold(lint.RecordOf(s.ID, s.Source), !s.Context)
		}
		for _, e := range p.Engines {
			for _, r := range e.Records {
				hold(r, true)
			}
		}
	},
}

// titleWords are the words of a title without its article.
func titleWords(title string) string {
	words := strings.Fields(wordsOf(title))
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "the" || w == "a" || w == "an" }), " ")
}

// differ reports whether two records of one title say something that cannot be
// true of one source.
func differ(a, b lint.Record) bool {
	for key, is := range a.Details {
		if other := b.Details[key]; is != "" && other != "" && wordsOf(is) != wordsOf(other) {
			return true
		}
	}
	return false
}

var copies = &lint.Rule{
	Name:      "sources/copies",
	Level:     lint.Error,
	Title:     "A source that copies nothing known, or itself",
	Checks:    "What a source `copies` has a record, and no chain of copies leads back to where it began.",
	Why:       "Witnesses are counted by where their word comes from. A chain that leads nowhere or in a circle makes two witnesses of one, or none of two.",
	Basis:     evidenceBasis,
	Accepting: "This cannot be accepted: correct the id, or write the record.",
	Bad: `
size: {bore: 3 in, from: club-note}
sources:
  club-note: {title: Note on the Light Six, type: webpage, grade: later, copies: handbok}
  handbook: {title: Instruction book, issued: 1927, grade: maker}
`,
	Good: `
size: {bore: 3 in, from: club-note}
sources:
  club-note: {title: Note on the Light Six, type: webpage, grade: later, copies: handbook}
  handbook: {title: Instruction book, issued: 1927, grade: maker}
`,
	Dataset: func(p *lint.DatasetPass) {
		register := map[string]lint.Record{}
		for _, s := range p.Sources {
			register[s.ID] = lint.RecordOf(s.ID, s.Source)
		}
		for _, s := range p.Sources {
			if !s.Context {
				checkCopies(p, register[s.ID], nil, register)
			}
		}
		for _, e := range p.Engines {
			own := map[string]lint.Record{}
			for _, r := range e.Records {
				own[r.ID] = r
			}
			for _, r := range e.Records {
				checkCopies(p, r, own, register)
			}
		}
	},
}

// checkCopies follows what a record copies, through the file's own records and
// the register.
func checkCopies(p *lint.DatasetPass, r lint.Record, own, register map[string]lint.Record) {
	if r.Copies == "" {
		return
	}
	find := func(id string) (lint.Record, bool) {
		if o, ok := own[id]; ok {
			return o, true
		}
		o, ok := register[id]
		return o, ok
	}
	if _, ok := find(r.Copies); !ok {
		p.Report(r.CopiesAt, "`%s` copies `%s`, and there is no record of it; write one, or correct the id", r.ID, r.Copies)
		return
	}
	way := circle(r.ID, func(id string) []string {
		if o, ok := find(id); ok && o.Copies != "" {
			return []string{o.Copies}
		}
		return nil
	})
	if way != nil {
		p.Report(r.CopiesAt, "sources copy one another in a circle: %s; one of them must come first", strings.Join(way, " → "))
	}
}

var recallOnly = &lint.Rule{
	Name:      "sources/recall-only",
	Level:     lint.Warning,
	Title:     "Nothing but memory behind a figure that sets something",
	Checks:    "A clearance, an event, an ignition or a drive figure rests on more than recollection, its own or one that its source copies.",
	Why:       "Memory mixes up the series, the clearance and the engine next to it. An engine timed by it may meet its valves.",
	Basis:     evidenceBasis,
	Accepting: "Accept it while nothing better can be found, and say who remembers it from where.",
	Bad: `
ignition:
  from: old-hand
  advance: 38 BTDC
sources:
  old-hand: {title: Recollection of a works fitter, grade: recall, by: a fitter at the works until 1934}
`,
	Good: `
ignition:
  advance:
    claims:
      old-hand: {is: 38 BTDC}
      handbook: {is: 38 BTDC, from: handbook p. 22}
sources:
  old-hand: {title: Recollection of a works fitter, grade: recall, by: a fitter at the works until 1934}
  handbook: {title: Instruction book, issued: 1927, grade: maker}
`,
	Engine: func(p *lint.Pass) {
		recalled := func(c *schema.Claim) bool {
			source, known := p.LookUp(schema.Register(p.LookUp).Root(c.From.Source))
			return known && source.Grade.Text == "recall"
		}
		remembered := ownFigures(p.Engine, func(f *schema.Figure) bool {
			claims := slices.Collect(f.Standing())
			return sets(f) && len(claims) > 0 && !slices.ContainsFunc(claims, func(c *schema.Claim) bool { return !recalled(c) })
		})
		for _, s := range bySection(remembered) {
			s.report(p, "nothing but memory stands behind %s: %s; look for a print, or measure")
		}
	},
}

// disputed is made by a function, because it asks the rule book that it is part of.
func disputed() *lint.Rule {
	return &lint.Rule{
		Name:  "sources/disputed",
		Level: lint.Note,
		Title: "Claims that cannot all be right",
		Checks: "Where several claims are made of one figure and none is set aside, they can all be right within their rounding. Where the other figures " +
			"of the engine bear on it, the note says which of the claims they agree with; a claim that they refute is worked out, and is a warning where it is an ordinary slip of one they agree with.",
		Why:   "Until it is settled every sheet has to show both, and the keeper has to choose at the bench.",
		Basis: evidenceBasis,
		Accepting: "An open disagreement is a note and fails nothing: it is kept, never smoothed over. Settle it by setting claims aside, each with its reason, " +
			"when there is one; above all those that the other figures refute.",
		Bad: `
size:
  from: handbook p. 6
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      sheet: {is: 3 1/8 in}
`,
		Good: `
size:
  from: handbook p. 6
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      sheet: {is: 3 1/8 in, set_aside: the sheet is of the larger engine}
`,
		Engine: func(p *lint.Pass) {
			for _, f := range p.Engine.Figures() {
				if schema.StandingOf(f, p.LookUp) == schema.Disputed {
					reportDispute(p, f)
				}
			}
		},
	}
}

func reportDispute(p *lint.Pass, f *schema.Figure) {
	claims := slices.Collect(f.Standing())
	others := Network(p.Engine)
	var said, agreed []string
	var right []*schema.Claim
	var refuted *schema.Claim
	for _, c := range claims {
		said = append(said, saying(c))
		others.Follow(f, *c)
		if !others.Contradicts(f) {
			agreed, right = append(agreed, saying(c)), append(right, c)
		} else if refuted == nil {
			refuted = c
		}
	}
	var verdict string
	switch len(agreed) {
	case len(claims):
		verdict = "the other figures cannot tell which is right"
	case 0:
		verdict = "the other figures agree with none of them"
	default:
		verdict = "the other figures agree with " + listed(agreed)
	}
	at := f.At
	if refuted != nil {
		at = refuted.At
	}
	finding := p.Report(at, "%s cannot all be right, and none is set aside; %s", listed(said), verdict).About(f.Path).Involving(f)
	for _, c := range claims {
		if c != refuted {
			finding.See(c.At, "%s", saying(c))
		}
	}
	if refuted != nil {
		workOut(finding, others, f, refuted, right)
	}
}

// workOut shows why the other figures refute a claim, and what it would have to
// be. A claim that an ordinary slip makes of one that they agree with is no mere
// disagreement, and a warning.
func workOut(finding *lint.Finding, n *relation.Network, f *schema.Figure, refuted *schema.Claim, right []*schema.Claim) {
	n.Follow(f, *refuted)
	for _, c := range n.Check() {
		i := slices.IndexFunc(c.Suspects, func(s relation.Suspect) bool { return s.Variable.Figure == f })
		if i < 0 {
			continue
		}
		for _, r := range c.Broken {
			for _, line := range r.Working(n) {
				finding.Work("%s", line)
			}
		}
		s := lint.SuspectOf(c.Suspects[i])
		s.Pointer, s.Printed = refuted.At.Pointer(), refuted.Printed.Text
		meant, err := figure.Read(f.Kind, s.Likely)
		if err == nil && c.Suspects[i].Ordinary && slices.ContainsFunc(right, func(r *schema.Claim) bool { return sameValue(meant, r.Printed) }) {
			finding.Level = lint.Warning
		}
		finding.Suspects = append(finding.Suspects, s)
		return
	}
}

// sameValue reports whether two prints give the same number in the same unit,
// counted from the same datum.
func sameValue(a, b figure.Printed) bool {
	if len(a.Readings) == 0 || len(b.Readings) == 0 {
		return false
	}
	x, y := a.Readings[0], b.Readings[0]
	return x.Unit == y.Unit && x.Measure == y.Measure && x.Datum == y.Datum && x.Value.Cmp(y.Value) == 0
}

// saying is a claim with its source, as a message shows it.
func saying(c *schema.Claim) string {
	if !c.From.Given() {
		return c.Printed.Text
	}
	return c.Printed.Text + " [" + c.From.String() + "]"
}

var setAsideReason = &lint.Rule{
	Name:      "sources/set-aside-reason",
	Level:     lint.Warning,
	Title:     "A claim set aside without a reason",
	Checks:    "Every claim that is set aside says why.",
	Why:       "The claim may be the right one. Without the reason the next reader cannot tell a judgement from a wish, and has to begin again.",
	Basis:     evidenceBasis,
	Accepting: "Rather than accept it, write what is known, if it is only who set it aside.",
	Bad: `
size:
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      sheet: {is: 3 1/8 in, set_aside: ""}
`,
	Good: `
size:
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      sheet: {is: 3 1/8 in, set_aside: the sheet is of the larger engine}
`,
	Engine: func(p *lint.Pass) {
		for _, f := range ownFigures(p.Engine, anyFigure) {
			for _, c := range f.Claims {
				if c.SetAside.Given() && c.SetAside.Text == "" {
					p.Report(c.SetAside.At, "%s is set aside without a reason; write why after `set_aside:`", saying(&c)).About(f.Path).Involving(f)
				}
			}
		}
	},
}

var allSetAside = &lint.Rule{
	Name:      "sources/all-set-aside",
	Level:     lint.Warning,
	Title:     "A figure with every claim set aside",
	Checks:    "Of the claims made of a figure at least one is followed.",
	Why:       "The figure looks given and is not: no sheet shows it and nothing is checked against it.",
	Basis:     evidenceBasis,
	Accepting: "Accept it when every print is known to be wrong and the right figure is not known.",
	Bad: `
size:
  bore:
    claims:
      sheet: {is: 3 1/8 in, set_aside: the sheet is of the larger engine}
`,
	Good: `
size:
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      sheet: {is: 3 1/8 in, set_aside: the sheet is of the larger engine}
`,
	Engine: func(p *lint.Pass) {
		for _, f := range ownFigures(p.Engine, anyFigure) {
			if len(f.Given()) > 0 && f.First() == nil {
				p.ReportFigure(f, "every claim of `%s` is set aside, so the figure counts as not given; follow one, or add what is right", f.Path)
			}
		}
	},
}

var copiedAgreement = &lint.Rule{
	Name:      "sources/copied-agreement",
	Level:     lint.Note,
	Title:     "Sources that agree because one copies the other",
	Checks:    "Claims that agree come from sources of which neither copies the other, and which do not copy a third.",
	Why:       "A slip in the first is in all that were copied from it. Five pages that repeat one sheet are one witness.",
	Basis:     evidenceBasis,
	Accepting: "It is a note and fails nothing: the claims count as one witness, and only an independent print or a measurement adds another.",
	Bad: `
size:
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      club-note: {is: 3 in}
sources:
  handbook: {title: Instruction book, issued: 1927, grade: maker}
  club-note: {title: Note on the Light Six, type: webpage, grade: later, copies: handbook}
`,
	Good: `
size:
  bore:
    claims:
      handbook: {is: 3 in, from: handbook p. 6}
      club-note: {is: 3 in}
sources:
  handbook: {title: Instruction book, issued: 1927, grade: maker}
  club-note: {title: Note on the Light Six, type: webpage, grade: later}
`,
	Engine: func(p *lint.Pass) {
		root := schema.Register(p.LookUp).Root
		for _, f := range ownFigures(p.Engine, anyFigure) {
			claims := slices.Collect(f.Standing())
			for i, c := range claims {
				first := slices.IndexFunc(claims[:i], func(o *schema.Claim) bool {
					return o.From.Source != c.From.Source && root(o.From.Source) == root(c.From.Source) && schema.Agree(o, c)
				})
				if first >= 0 {
					p.Report(c.At, "%s and %s are one witness: both come from `%s`", saying(claims[first]), saying(c), root(c.From.Source)).
						About(f.Path).Involving(f).See(claims[first].At, "%s", saying(claims[first]))
				}
			}
		}
	},
}
