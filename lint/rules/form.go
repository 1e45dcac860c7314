package rules

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

func form() []*lint.Rule {
	return []*lint.Rule{
		unreadable, unknownKey, unreadFigure, wrongUnit, noValue, violation,
		idPath, duplicateID, sameEngine, twinUnits,
		acceptanceReason, acceptanceUnused, acceptanceRule(),
		movedTarget, movedCircle, movedReuse,
		canonical,
	}
}

const (
	formatBasis  = "The format's own rule; no source."
	cannotAccept = "This cannot be accepted: a file that cannot be read in full is checked in part only."
)

// forward raises the problems of one kind that were met while the file was read.
func forward(kind schema.ProblemKind) func(*lint.Pass) {
	return forwardWith(kind, func(*lint.Pass, schema.Problem) *lint.Fix { return nil })
}

// forwardWith is forward with what mends a problem.
func forwardWith(kind schema.ProblemKind, fix func(*lint.Pass, schema.Problem) *lint.Fix) func(*lint.Pass) {
	return func(p *lint.Pass) {
		for _, problem := range p.Problems {
			if problem.Kind == kind {
				f := p.Report(problem.At, "%s", problem.Message)
				f.Variant, f.Fix = variantAt(problem.At), fix(p, problem)
				if unread := problem.Figure; unread != nil {
					f.Involving(unread).Suspecting(relation.Unfit(unread, unread.First(), func(figure.Printed) bool { return true }))
				}
			}
		}
	}
}

// variantAt names the variant in whose part of the file a place lies.
func variantAt(at schema.Place) string {
	path, _ := text.ParsePointer(at.Pointer())
	if len(path) < 2 || path[0] != "variants" {
		return ""
	}
	return path[1]
}

var unreadable = &lint.Rule{
	Name:  "form/unreadable",
	Level: lint.Error,
	Title: "The text cannot be read",
	Checks: "The file is YAML of the plain kind that the format allows: UTF-8, one document, no anchors, aliases or tags, no key twice, " +
		"at most one mebibyte and 32 levels.",
	Why: "Two programs may read clever YAML in two ways, and a key given twice loses one of its figures without a word. " +
		"What is read must be what the contributor sees.",
	Basis:     "YAML 1.2.2, restricted; " + formatBasis,
	Accepting: cannotAccept,
	Bad: `
size:
  from: handbook p. 6
  bore: &bore 2 15/16 in
`,
	Good: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
`,
	File: forward(schema.Unreadable),
}

var unknownKey = &lint.Rule{
	Name:      "form/unknown-key",
	Level:     lint.Error,
	Title:     "The format has no such key here",
	Checks:    "Every key is one that the format has in its section. The nearest key, or the section the key belongs in, is named.",
	Why:       "A figure under a misspelt key is never checked, never printed on a setting sheet, and nobody notices that it is missing.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted. What the format has no key for belongs in a `note`.",
	Bad: `
size:
  from: handbook p. 6
  boar: 2 15/16 in
`,
	Good: `
size:
  from: handbook p. 6
  bore: 2 15/16 in
`,
	File: forwardWith(schema.UnknownKey, moveHome),
}

var unreadFigure = &lint.Rule{
	Name:      "form/unread-figure",
	Level:     lint.Error,
	Title:     "A print that cannot be read as this figure",
	Checks:    "Every figure can be read as what its key takes: an angle, a length with its unit, a position from a named dead centre and no more than a turn from it, a count, an order.",
	Why:       "A figure that cannot be read cannot be checked. A position without its dead centre can be set half a turn out.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted. Where the source itself is doubtful, write `illegible` or `unknown` and put what it says in a `quote` or `note`.",
	Bad: `
ignition:
  from: sheet p. 1
  advance: 38 before
`,
	Good: `
ignition:
  from: sheet p. 1
  advance: 38 BTDC
`,
	File: forwardWith(schema.UnreadFigure, respell),
}

var wrongUnit = &lint.Rule{
	Name:      "form/wrong-unit",
	Level:     lint.Error,
	Title:     "A unit of another quantity",
	Checks:    "The unit of a print belongs to the quantity that its key takes: a bore has no cubic centimetres, a pressure no millimetres.",
	Why:       "The figure has landed under the wrong key, or the unit was written by habit. Either way the number is not the one wanted.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted. Move the figure to its own key, or correct the unit from the source.",
	Bad: `
size:
  from: handbook p. 6
  bore: 75 cc
`,
	Good: `
size:
  from: handbook p. 6
  bore: 75 mm
`,
	File: forward(schema.WrongUnit),
}

var noValue = &lint.Rule{
	Name:      "form/no-value",
	Level:     lint.Error,
	Title:     "A key without a value",
	Checks:    "Every key has something behind it. Where there is no figure, one of the words `unknown`, `not given`, `none` and `illegible` says why.",
	Why:       "An empty figure may mean that nobody looked, that the sheet is silent or that the engine has no such thing. Only the first is worth an evening with the books.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted. Take the key out, or write the word that says why there is no figure.",
	Bad: `
size:
  from: handbook p. 6
  bore:
  stroke: 4 1/2 in
`,
	Good: `
size:
  from: handbook p. 6
  bore: not given
  stroke: 4 1/2 in
`,
	File: forward(schema.NoValue),
}

var violation = &lint.Rule{
	Name:      "form/violation",
	Level:     lint.Error,
	Title:     "The file departs from the JSON Schema",
	Checks:    "The file satisfies the JSON Schema in every other respect: keys that must be there, words from a list, names and ids of the right form.",
	Why:       "Other tools read the data by the same schema. What departs from it reaches the bench in pieces.",
	Basis:     "JSON Schema 2020-12; " + formatBasis,
	Accepting: cannotAccept,
	Bad: `
layout:
  from: handbook p. 6
  cycle: four stroke
`,
	Good: `
layout:
  from: handbook p. 6
  cycle: four-stroke
`,
	File: forward(schema.Violation),
}

var idPath = &lint.Rule{
	Name:      "form/id-path",
	Level:     lint.Error,
	Title:     "The id is not the file's path",
	Checks:    "An engine's id is the path of its file below `engines/`, without the ending. A source's file is named by an id that can be cited.",
	Why:       "Signs on the bench, sheets in the post and other people's programs name the engine by its id. It must lead to one file.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted. Rename the file or correct the id; where the id was ever published, record the change in `moved.yaml`.",
	Bad: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-four
title: Penhallow Light Six
`,
	Good: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
`,
	File: func(p *lint.Pass) {
		switch {
		case p.Source != nil && p.ID != "" && !sourceID.MatchString(p.ID):
			p.Report(p.Source.At, "no figure can cite `%s`: name the file with letters a to z, digits and hyphens only", p.ID)
		case p.Engine != nil && p.ID != "" && p.Engine.ID.Given() && p.Engine.ID.Text != p.ID:
			p.Report(p.Engine.ID.At, "the file lies where `%s` belongs and calls itself `%s`; rename the file or correct the id", p.ID, p.Engine.ID.Text)
		}
	},
}

// sourceID is an id that a citation can name.
var sourceID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]*$`)

var duplicateID = &lint.Rule{
	Name:      "form/duplicate-id",
	Level:     lint.Error,
	Title:     "Two files with one id",
	Checks:    "No two engine files have the same id, and no two files of the register the same source id.",
	Why:       "Whoever asks for the engine gets one of the two, and which one is chance.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted. Where both are one engine, merge them; where they are two, one needs an id of its own.",
	Bad: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- engines/penhallow/light-six.json
{"format": 1, "engine": "penhallow/light-six", "title": "Penhallow Light Six, second thoughts"}
`,
	Good: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- engines/penhallow/light-four.json
{"format": 1, "engine": "penhallow/light-four", "title": "Penhallow Light Four"}
`,
	Dataset: func(p *lint.DatasetPass) {
		engines, sources := map[string]lint.Spot{}, map[string]lint.Spot{}
		for _, e := range p.Engines {
			reportSecond(p, engines, "engine", e.ID, e.At)
		}
		for _, s := range p.Sources {
			reportSecond(p, sources, "source", s.ID, s.At)
		}
	},
}

// reportSecond reports an id that was seen before, and remembers one that was not.
func reportSecond(p *lint.DatasetPass, seen map[string]lint.Spot, what, id string, at lint.Spot) {
	first, twice := seen[id]
	switch {
	case id == "":
	case twice:
		seeSpot(p.Report(at, "the %s `%s` is also in %s; an id belongs to one file", what, id, first.File), first, "the other `%s`", id)
	default:
		seen[id] = at
	}
}

// seeSpot adds a place of another file to a finding.
func seeSpot(f *lint.Finding, at lint.Spot, format string, args ...any) {
	f.Related = append(f.Related, lint.Related{File: at.File, Line: at.Line, Column: at.Column, Message: fmt.Sprintf(format, args...)})
}

var sameEngine = &lint.Rule{
	Name:  "form/same-engine",
	Level: lint.Note,
	Title: "One engine under two ids",
	Checks: "No two entries have titles of the same words while nothing in their years and numbers tells them apart, and no two have the " +
		"same range of lettered numbers.",
	Why:       "Figures of one engine that are kept in two places are never held against one another, and the keeper finds the half that happens to come first.",
	Basis:     commonPractice + ". Titles that differ by a letter or a figure are left alone: a model is often told from the next by just that.",
	Accepting: "It is a note and fails nothing. Give both entries their years or numbers, or merge them and record the id given up in `moved.yaml`.",
	Bad: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
made: 1926-1931
--- engines/penhallow-motors/light-six.yaml
format: 1
engine: penhallow-motors/light-six
title: Light Six, Penhallow
`,
	Good: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
made: 1926-1931
--- engines/penhallow/light-six-1934.yaml
format: 1
engine: penhallow/light-six-1934
title: Penhallow Light Six
made: 1934-1936
`,
	Dataset: func(p *lint.DatasetPass) {
		byTitle, byNumbers := map[string][]lint.Summary{}, map[schema.NumberRange]lint.Summary{}
		for _, e := range p.Engines {
			title := wordsOf(e.Title)
			for _, other := range byTitle[title] {
				if title != "" && other.ID != e.ID && !toldApart(e, other) {
					seeSpot(p.Report(e.At, "`%s` looks like `%s` in %s: the titles have the same words and neither years nor numbers tell them apart",
						e.ID, other.ID, other.At.File), other.At, "%s", other.Title)
				}
			}
			byTitle[title] = append(byTitle[title], e)
			if e.Numbers.Letters == "" || e.Numbers.OpenLow || e.Numbers.OpenTop {
				continue
			}
			if other, same := byNumbers[e.Numbers]; same && other.ID != e.ID {
				seeSpot(p.Report(e.At, "`%s` has the same range of numbers as `%s` in %s", e.ID, other.ID, other.At.File), other.At, "%s", other.Title)
			}
			byNumbers[e.Numbers] = e
		}
	},
}

// toldApart reports whether years or numbers show that two engines differ.
func toldApart(a, b lint.Summary) bool {
	if a.Numbers.Given() && b.Numbers.Given() {
		return !a.Numbers.Overlaps(b.Numbers)
	}
	first, last, known := schema.Years(a.Made)
	otherFirst, otherLast, otherKnown := schema.Years(b.Made)
	return known && otherKnown && (last < otherFirst || otherLast < first)
}

// wordsOf returns the words of a title in one order and one writing, so that
// titles can be compared.
func wordsOf(title string) string {
	words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) })
	slices.Sort(words)
	return strings.Join(words, " ")
}

var twinUnits = &lint.Rule{
	Name:  "form/twin-units",
	Level: lint.Error,
	Title: "One print in two units that disagree",
	Checks: "Where a source prints one figure in two units, such as `0.018 in (0.45 mm)`, the two meet within the rounding of each. " +
		"When they would meet but for a last digit cut off instead of rounded, that is only a note.",
	Why:       "One of the two is a slip, often by a power of ten, and whoever works in the other unit never sees it.",
	Formula:   "1 in = 25.4 mm exactly; every other unit likewise by its definition",
	Basis:     "Inch: international yard and pound agreement, 1959. Others: NIST Special Publication 811 (2008), appendix B.",
	Accepting: "Accept it when the source prints both figures just so and nothing tells which is meant; better, keep both as claims and set the wrong one aside.",
	Bad: `
clearances:
  running:
    from: handbook p. 14
    measured_at: valve
    engine: cold
    inlet: 0.018 in (0.045 mm)
    exhaust: 0.018 in (0.45 mm)
`,
	Good: `
clearances:
  running:
    from: handbook p. 14
    measured_at: valve
    engine: cold
    inlet: 0.018 in (0.45 mm)
    exhaust: 0.018 in (0.45 mm)
`,
	Engine: func(p *lint.Pass) {
		for _, f := range p.Engine.Figures() {
			for _, c := range f.Claims {
				reportTwins(p, f, c)
			}
		}
	},
}

func reportTwins(p *lint.Pass, f *schema.Figure, c schema.Claim) {
	one, other, found := c.Printed.Disagreement()
	if !found {
		return
	}
	is, err := one.Print(other.Unit)
	if err != nil {
		return // readings that disagree are of one dimension
	}
	first, second := part(c.Printed, one), part(c.Printed, other)
	level, judgement := lint.Error, "one of the two is a slip"
	switch {
	case cutOff(other).Meets(one.Interval()):
		level, judgement = lint.Note, "it was cut off instead of rounded"
	case cutOff(one).Meets(other.Interval()):
		level, judgement = lint.Note, first+" was cut off instead of rounded"
	}
	finding := p.Report(c.At, "%s is %s %s, and %s stands beside it: %s", first, is, other.Unit.Symbol(), second, judgement)
	if finding.About(f.Path).Involving(f).Level = level; level == lint.Error {
		finding.Suspecting(eitherTwin(f, c, one, other))
	}
}

// eitherTwin suspects a claim whose readings disagree: it is what one of them says.
func eitherTwin(f *schema.Figure, c schema.Claim, one, other figure.Reading) relation.Suspect {
	s := relation.Unfit(f, &c, func(p figure.Printed) bool {
		_, _, disagree := p.Disagreement()
		return !disagree && len(p.Readings) == len(c.Printed.Readings)
	})
	s.MustBe = one.Interval().Hull(other.Interval())
	s.Variable.Scale = relation.Scale{Unit: one.Unit, Datum: one.Datum}
	return s
}

// part is the text of one reading of a print.
func part(p figure.Printed, r figure.Reading) string { return p.Text[r.Span.Start:r.Span.End] }

const volumeRight = `
layout:
  from: handbook p. 6
  cylinders: 4
size:
  from: handbook p. 6
  bore: 3 in
  stroke: 4 in
  swept_volume: 113.1 cu in
`

const volumeWrong = `
layout:
  from: handbook p. 6
  cylinders: 4
size:
  from: handbook p. 6
  bore: 3 in
  stroke: 4 in
  swept_volume: 131.1 cu in
`

var acceptanceReason = &lint.Rule{
	Name:      "form/acceptance-reason",
	Level:     lint.Warning,
	Title:     "A finding accepted without a reason",
	Checks:    "Every finding kept under `accepted:` says why it is kept. One without a reason keeps nothing.",
	Why:       "The next reader has to find out again what was known already, or trusts a figure that somebody merely wanted to be rid of.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted: write the reason.",
	Bad: volumeRight + `
accepted:
  size: {size/swept-volume: ""}
`,
	Good: volumeWrong + `
accepted:
  size: {size/swept-volume: both handbooks print 131.1 and no engine is at hand to measure}
`,
	File: func(p *lint.Pass) {
		if p.Engine == nil {
			return
		}
		for _, a := range p.Engine.Accepted {
			if a.Reason == "" {
				p.Report(a.At, "`%s` is accepted at `%s` without a reason, so it is not kept; write why, or take the line out", a.Rule, a.Path)
			}
		}
	},
}

var acceptanceUnused = &lint.Rule{
	Name:   "form/acceptance-unused",
	Level:  lint.Warning,
	Title:  "An acceptance that keeps nothing",
	Checks: "Every acceptance keeps at least one finding of its rule at its place. Rules that did not run are left out of account.",
	Why: "The figure has been corrected since, or the place is misspelt. An acceptance left lying about keeps the next mistake at that place " +
		"out of sight.",
	Basis:     formatBasis,
	Accepting: "This cannot be accepted: take the line out, or correct its place.",
	Bad: volumeRight + `
accepted:
  size: {size/swept-volume: both handbooks print it}
`,
	Good: volumeWrong + `
accepted:
  size: {size/swept-volume: both handbooks print it}
`,
	Afterwards: func(p *lint.Pass) {
		unused := slices.DeleteFunc(slices.Clone(p.Outcomes), func(o lint.Outcome) bool { return !o.Ran || o.Reason == "" || o.Findings > 0 })
		for _, o := range unused {
			f := p.Report(o.At, "`%s` raises nothing at `%s`, so there is nothing to accept; take the line out, or correct the place", o.Rule, o.Path)
			f.Fix = takeOut(p, unused, o)
		}
	},
}

// acceptanceRule is made by a function, because it looks into the rule book
// that it is part of.
func acceptanceRule() *lint.Rule {
	return &lint.Rule{
		Name:      "form/acceptance-rule",
		Level:     lint.Warning,
		Title:     "An acceptance of a rule that there is not",
		Checks:    "Every acceptance names a rule of the rule book. The nearest is named.",
		Why:       "The finding it was meant to keep is raised all the same, and the reason is read by nobody.",
		Basis:     formatBasis,
		Accepting: "This cannot be accepted: correct the rule's name.",
		Bad: volumeRight + `
accepted:
  size: {size/swept-volmue: both handbooks print it}
`,
		Good: volumeWrong + `
accepted:
  size: {size/swept-volume: both handbooks print it}
`,
		Afterwards: func(p *lint.Pass) {
			var names []string
			for _, r := range All() {
				names = append(names, r.Name)
			}
			for _, o := range p.Outcomes {
				if !o.Ran && !slices.Contains(names, o.Rule) {
					p.Report(o.At, "there is no rule `%s`%s", o.Rule, schema.DidYouMean(o.Rule, names))
				}
			}
		},
	}
}

const movedBasis = formatBasis + " An id never changes its meaning and is never used again."

var movedTarget = &lint.Rule{
	Name:      "form/moved-target",
	Level:     lint.Error,
	Title:     "An id that moved to nowhere",
	Checks:    "Every id named as the new one in `moved.yaml` is an engine of the dataset, or has moved on itself.",
	Why:       "Whoever has the old id on a sheet or in a program is sent to an engine that is not there.",
	Basis:     movedBasis,
	Accepting: "This cannot be accepted: correct the id, or record where that engine went in its turn.",
	Bad: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- moved.yaml
penhallow/six: {to: penhallow/light-sixx, because: the maker's name for it}
`,
	Good: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- moved.yaml
penhallow/six: {to: penhallow/light-six, because: the maker's name for it}
`,
	Dataset: func(p *lint.DatasetPass) {
		known := map[string]bool{}
		for _, e := range p.Engines {
			known[e.ID], known[e.PathID] = true, true
		}
		for _, id := range p.Others {
			known[id] = true
		}
		for _, m := range p.Moves {
			known[m.From] = true
		}
		for _, m := range p.Moves {
			for _, to := range m.To {
				if !known[to.Text] {
					p.Report(lint.SpotOf(to.At), "`%s` moved to `%s`, and there is no such engine%s", m.From, to.Text, schema.DidYouMean(to.Text, idsOf(p.Engines)))
				}
			}
		}
	},
}

func idsOf(engines []lint.Summary) []string {
	ids := make([]string, len(engines))
	for i, e := range engines {
		ids[i] = e.ID
	}
	return ids
}

var movedCircle = &lint.Rule{
	Name:      "form/moved-circle",
	Level:     lint.Error,
	Title:     "Ids that moved in a circle",
	Checks:    "Following `moved.yaml` from an id never leads back to it.",
	Why:       "Whoever follows the record never arrives at an engine.",
	Basis:     movedBasis,
	Accepting: "This cannot be accepted: one of the moves of the circle is wrong.",
	Bad: `
--- moved.yaml
penhallow/six: {to: penhallow/light-six, because: the maker's name for it}
penhallow/light-six: {to: penhallow/six, because: shorter}
`,
	Good: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- moved.yaml
penhallow/six: {to: penhallow/light-six, because: the maker's name for it}
`,
	File: func(p *lint.Pass) {
		to := map[string][]string{}
		for _, m := range p.Moves {
			for _, w := range m.To {
				to[m.From] = append(to[m.From], w.Text)
			}
		}
		for _, m := range p.Moves {
			if way := circle(m.From, func(id string) []string { return to[id] }); way != nil {
				p.Report(m.At, "the record of moved ids leads in a circle: %s", strings.Join(way, " → "))
			}
		}
	},
}

// circle returns the way from an id back to itself, or nil. It finds the circle
// only from the least of the ids on it, so that it is told once.
func circle(start string, to func(id string) []string) []string {
	from := map[string]string{}
	for next := []string{start}; len(next) > 0; next = next[1:] {
		id := next[0]
		for _, t := range to(id) {
			if t == start {
				return wayBack(start, id, from)
			}
			if _, seen := from[t]; !seen && t > start {
				from[t] = id
				next = append(next, t)
			}
		}
	}
	return nil
}

// wayBack writes out a circle that closes at an id.
func wayBack(start, last string, from map[string]string) []string {
	way := []string{start}
	for id := last; id != start; id = from[id] {
		way = append(way, id)
	}
	way = append(way, start)
	slices.Reverse(way)
	return way
}

var movedReuse = &lint.Rule{
	Name:      "form/moved-reuse",
	Level:     lint.Error,
	Title:     "An id that moved and is still in use",
	Checks:    "No engine file has an id that `moved.yaml` says has moved.",
	Why:       "An old sheet would be followed to the new id, and the engine of that name now would never be found.",
	Basis:     movedBasis,
	Accepting: "This cannot be accepted: give the engine an id that was never used, or take the move out if it never happened.",
	Bad: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- engines/penhallow/six.yaml
format: 1
engine: penhallow/six
title: Penhallow Six of 1935
--- moved.yaml
penhallow/six: {to: penhallow/light-six, because: the maker's name for it}
`,
	Good: `
--- engines/penhallow/light-six.yaml
format: 1
engine: penhallow/light-six
title: Penhallow Light Six
--- moved.yaml
penhallow/six: {to: penhallow/light-six, because: the maker's name for it}
`,
	Dataset: func(p *lint.DatasetPass) {
		moved := map[string]schema.Move{}
		for _, m := range p.Moves {
			moved[m.From] = m
		}
		for _, e := range p.Engines {
			if m, gone := moved[e.ID]; gone {
				seeSpot(p.Report(e.At, "the id `%s` has moved, and an id is never used again; give this engine another", e.ID), lint.SpotOf(m.At), "moved here")
			}
		}
	},
}
