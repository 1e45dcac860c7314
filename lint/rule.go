package lint

import (
	"fmt"
	"regexp"
	"strings"

	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
)

// Rule is one check with its page: what it is, why it matters at the bench and
// how it is proved stand in one place. Exactly one of File, Engine, Relations,
// Dataset and Afterwards is set.
type Rule struct {
	// Name is family/words, in lower case with hyphens.
	Name  string
	Level Level
	// Title is the page's heading.
	Title string
	// Checks says what is checked, Why what a mistake costs at the bench.
	Checks, Why string
	// Formula is the arithmetic in words; for a rule of relations it is made
	// from them when empty.
	Formula string
	// Basis is the published source of the check, or "common practice, no source".
	Basis string
	// Accepting says when keeping a finding is right.
	Accepting string
	// Bad raises this rule, Good does not: parts of an engine file, completed by Complete.
	Bad, Good string

	// File checks a file as it was read.
	File func(*Pass)
	// Engine checks the base and each variant, resolved.
	Engine func(*Pass)
	// Relations adds the arithmetic that the figures must satisfy.
	Relations func(*relation.Network)
	// Dataset checks all engines and sources against one another.
	Dataset func(*DatasetPass)
	// Afterwards looks at what became of the acceptances.
	Afterwards func(*Pass)
}

// Family is the part of the name before the slash.
func (r *Rule) Family() string {
	family, _, _ := strings.Cut(r.Name, "/")
	return family
}

// Dataset is what rules may look up beyond their own file.
type Dataset interface {
	// Source returns a record of the shared register.
	Source(id string) (*schema.Source, bool)
}

// Pass is one rule's look at one file or engine.
type Pass struct {
	File     *schema.File
	Problems []schema.Problem
	// Engine is the base or one variant; nil in a source file. Base is the base.
	Engine, Base *schema.Engine
	// Relations is the arithmetic between the engine's figures, by all rules that run.
	Relations *relation.Network
	// Source is the record of a source file; nil in an engine file.
	Source  *schema.Source
	Dataset Dataset
	// ID is the id that the file's path gives it; empty where paths say nothing.
	ID string
	// Moves are the entries of a record of moved ids.
	Moves []schema.Move
	// Outcomes are what became of the engine's acceptances, for Afterwards.
	Outcomes []Outcome

	rule   *Rule
	report func(*Finding)
}

// Outcome is an acceptance and how many findings it kept.
type Outcome struct {
	schema.Acceptance
	Findings int
	// Ran is false when the rule it names did not run.
	Ran bool
}

// With returns the pass for one rule; report receives its findings.
func (p Pass) With(r *Rule, report func(*Finding)) *Pass {
	p.rule, p.report = r, report
	return &p
}

// Next turns the pass to the next rule of the same file or engine.
func (p *Pass) Next(r *Rule) *Pass {
	p.rule = r
	return p
}

// Report raises a finding at a place. The message is one plain sentence with
// the numbers in it. More can be said on the finding returned.
func (p *Pass) Report(at schema.Place, format string, args ...any) *Finding {
	f := NewFinding(p.rule, at, fmt.Sprintf(format, args...))
	if p.Engine != nil {
		f.Variant = p.Engine.Variant
	}
	if f.File == "" && p.File != nil {
		f.File = p.File.Name
	}
	p.report(f)
	return f
}

// ReportFigure raises a finding at a figure's value and names its path.
func (p *Pass) ReportFigure(f *schema.Figure, format string, args ...any) *Finding {
	return p.Report(f.At, format, args...).About(f.Path).Involving(f)
}

// NewFinding returns a finding of a rule at a place.
func NewFinding(r *Rule, at schema.Place, message string) *Finding {
	f := &Finding{Rule: r.Name, Level: r.Level, Message: message, Line: 1, Column: 1, EndLine: 1, EndCol: 1, Pointer: at.Pointer()}
	if !at.IsZero() {
		f.File = at.File.Name
		f.Line, f.Column = at.Position()
		f.EndLine, f.EndCol = at.End()
	}
	return f
}

// LookUp finds a source by id: the engine's own records first, then the register.
func (p *Pass) LookUp(id string) (*schema.Source, bool) {
	if p.Engine != nil {
		if s, ok := p.Engine.Sources.Get(id); ok {
			return s, true
		}
	}
	if p.Dataset == nil {
		return nil, false
	}
	return p.Dataset.Source(id)
}

// DatasetPass is one rule's look at the whole dataset.
type DatasetPass struct {
	// Engines are sorted by file name.
	Engines []Summary
	// Others are the ids of the dataset's engines that are not looked at.
	Others []string
	// Sources of the register, sorted by id.
	Sources []Registered
	Moves   []schema.Move

	rule   *Rule
	report func(*Finding)
}

// With returns the pass for one rule; report receives its findings.
func (p DatasetPass) With(r *Rule, report func(*Finding)) *DatasetPass {
	p.rule, p.report = r, report
	return &p
}

// Report raises a finding at a spot.
func (p *DatasetPass) Report(at Spot, format string, args ...any) *Finding {
	f := &Finding{Rule: p.rule.Name, Level: p.rule.Level, Message: fmt.Sprintf(format, args...), File: at.File,
		Line: at.Line, Column: at.Column, EndLine: at.Line, EndCol: at.Column, Pointer: at.Pointer}
	p.report(f)
	return f
}

// Spot is a place that outlives the file it is in: a large dataset is not held
// in memory whole.
type Spot struct {
	File         string
	Line, Column int
	Pointer      string
}

// SpotOf returns the spot of a place.
func SpotOf(at schema.Place) Spot {
	line, column := at.Position()
	s := Spot{Line: line, Column: column, Pointer: at.Pointer()}
	if at.File != nil {
		s.File = at.File.Name
	}
	return s
}

// Summary is what remains of an engine once its own rules have run.
type Summary struct {
	ID, PathID string
	Title      string
	Made       string
	Numbers    schema.NumberRange
	At         Spot
	// Cites are the ids of the register that the file cites.
	Cites map[string]bool
	// Records are the file's own sources.
	Records []Record
}

// Summarize keeps of an engine what rules over the whole dataset need. Texts are
// copied: a part of the file's text would keep all of it in memory.
func Summarize(e *schema.Engine, pathID string) *Summary {
	s := &Summary{ID: strings.Clone(e.ID.Text), PathID: pathID, Title: strings.Clone(e.Title.Text), Made: strings.Clone(e.Made.Text), At: SpotOf(e.ID.At), Cites: map[string]bool{}}
	if e.File() != nil {
		s.At.File = e.File().Name
	}
	if e.Identify != nil {
		s.Numbers, _ = e.Identify.Numbers.Range()
		s.Numbers.Letters = strings.Clone(s.Numbers.Letters)
	}
	for _, one := range e.All() {
		for _, c := range one.Citations() {
			if !s.Cites[c.Source] {
				s.Cites[strings.Clone(c.Source)] = true
			}
		}
	}
	for _, own := range e.Sources {
		s.Records = append(s.Records, RecordOf(own.Name, own.Value))
		s.Cites[strings.Clone(own.Value.Copies.Text)] = true
	}
	for _, own := range e.Sources {
		delete(s.Cites, own.Name)
	}
	delete(s.Cites, "")
	return s
}

// Record is what remains of a source record: what tells it from others and what
// it copies.
type Record struct {
	ID, Title, Copies string
	// Details tell sources of one title apart, by their key: author, issued, …
	Details map[string]string
	// At is the record's place, CopiesAt that of the id it copies.
	At, CopiesAt Spot
}

// RecordOf keeps of a source what rules over the whole dataset need; texts are
// copied as in [Summarize].
func RecordOf(id string, s *schema.Source) Record {
	r := Record{ID: strings.Clone(id), Title: strings.Clone(s.Title.Text), Copies: strings.Clone(s.Copies.Text), At: SpotOf(s.At), CopiesAt: SpotOf(s.Copies.At),
		Details: map[string]string{
			"author": s.Author.Text, "publisher": s.Publisher.Text, "issued": s.Issued.Text, "edition": s.Edition.Text,
			"container-title": s.ContainerTitle.Text, "volume": s.Volume.Text, "number": s.Number.Text, "page": s.Page.Text,
			"URL": s.URL.Text, "by": s.By.Text, "on": s.On.Text,
		}}
	for key, is := range r.Details {
		r.Details[key] = strings.Clone(is)
	}
	return r
}

// Registered is a source of the shared register.
type Registered struct {
	ID     string
	Source *schema.Source
	At     Spot
	// Context marks a record that is not itself being checked.
	Context bool
}

var ruleName = regexp.MustCompile(`^[a-z]+/[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// Validate refuses rules that are incomplete, wrongly named or named twice.
func Validate(rules []*Rule) error {
	seen := map[string]bool{}
	for _, r := range rules {
		kinds := 0
		for _, set := range []bool{r.File != nil, r.Engine != nil, r.Relations != nil, r.Dataset != nil, r.Afterwards != nil} {
			if set {
				kinds++
			}
		}
		switch {
		case !ruleName.MatchString(r.Name):
			return fmt.Errorf("rule %q: the name must be family/words in lower case", r.Name)
		case seen[r.Name]:
			return fmt.Errorf("rule %s is defined twice", r.Name)
		case kinds != 1:
			return fmt.Errorf("rule %s must have exactly one check, and has %d", r.Name, kinds)
		}
		for what, text := range map[string]string{"title": r.Title, "account of what it checks": r.Checks, "reason": r.Why,
			"basis": r.Basis, "advice on accepting": r.Accepting, "bad example": r.Bad, "good example": r.Good} {
			if strings.TrimSpace(text) == "" {
				return fmt.Errorf("rule %s has no %s", r.Name, what)
			}
		}
		seen[r.Name] = true
	}
	return nil
}
