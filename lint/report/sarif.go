package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/url"
	"path"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
)

const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// SARIF writes the findings, and the pages of all rules, in the Static Analysis
// Results Interchange Format 2.1.0 (OASIS). Accepted findings are suppressed
// results. Source returns the text of a file, to place the fixes in it; without
// it fixes are left out.
func SARIF(w io.Writer, res run.Result, rules []*lint.Rule, source func(name string) ([]byte, error)) error {
	s := &sarifWriter{source: source, index: make(map[string]int, len(rules)), seen: map[string]int{}}
	r := sarifRun{
		Tool:             sarifTool{Driver: sarifDriver{Name: "fourmarks", Language: "en-GB", Rules: []sarifRule{}}},
		Invocations:      []sarifInvocation{{ExecutionSuccessful: true}},
		ColumnKind:       "unicodeCodePoints",
		NewlineSequences: []string{"\r\n", "\n", "\r"},
		Results:          []sarifResult{},
	}
	for i, rule := range rules {
		described, err := describe(rule)
		if err != nil {
			return err
		}
		s.index[rule.Name] = i
		r.Tool.Driver.Rules = append(r.Tool.Driver.Rules, described)
	}
	for _, f := range res.Findings {
		r.Results = append(r.Results, s.result(f))
	}
	for _, a := range res.Accepted {
		kept := s.result(a.Finding)
		kept.Suppressions = []sarifSuppression{{Kind: "inSource", Status: "accepted", Justification: Inert(a.Reason)}}
		r.Results = append(r.Results, kept)
	}
	return WriteJSON(w, sarifLog{Schema: sarifSchema, Version: "2.1.0", Runs: []sarifRun{r}})
}

// describe tells of a rule what its page tells.
func describe(r *lint.Rule) (sarifRule, error) {
	var page, markdown strings.Builder
	if err := Page(&page, r, 80); err != nil {
		return sarifRule{}, err
	}
	if err := MarkdownPage(&markdown, r); err != nil {
		return sarifRule{}, err
	}
	return sarifRule{
		ID:                   r.Name,
		ShortDescription:     sarifText{r.Title},
		FullDescription:      sarifText{r.Checks + " " + r.Why},
		Help:                 sarifHelp{Text: page.String(), Markdown: markdown.String()},
		DefaultConfiguration: sarifConfiguration{Level: r.Level.String()},
		Properties:           sarifRuleProperties{Tags: []string{r.Family()}, Basis: r.Basis},
	}, nil
}

// sarifWriter turns findings into results.
type sarifWriter struct {
	source func(name string) ([]byte, error)
	index  map[string]int // of the rules, by name
	seen   map[string]int // how often a fingerprint was given

	name string // of the file asked for last: findings come file by file
	file *schema.File
}

func (s *sarifWriter) result(f *lint.Finding) sarifResult {
	r := sarifResult{
		RuleID:              f.Rule,
		Level:               f.Level.String(),
		Message:             sarifText{sarifMessage(sentence(f.Message))},
		Locations:           []sarifLocation{{PhysicalLocation: placed(f.File, f.Line, f.Column, f.EndLine, f.EndCol)}},
		PartialFingerprints: map[string]string{"filePathAndRule/v1": s.fingerprint(f)},
		Suppressions:        []sarifSuppression{},
		Fixes:               s.fixes(f),
		Properties: sarifProperties{Pointer: Inert(f.Pointer), Path: Inert(f.Path), Variant: Inert(f.Variant),
			Working: allInert(f.Working), Figures: allInert(f.Figures)},
	}
	if i, ok := s.index[f.Rule]; ok {
		r.RuleIndex = &i
	}
	for i, related := range f.Related {
		at := sarifLocation{ID: i + 1, PhysicalLocation: placed(related.File, related.Line, related.Column, related.Line, related.Column)}
		if related.Message != "" {
			at.Message = &sarifText{sarifMessage(related.Message)}
		}
		r.RelatedLocations = append(r.RelatedLocations, at)
	}
	for _, suspect := range f.Suspects {
		suspect.Pointer, suspect.Printed = Inert(suspect.Pointer), Inert(suspect.Printed)
		suspect.Slip, suspect.Likely, suspect.MustBe.Unit = Inert(suspect.Slip), Inert(suspect.Likely), Inert(suspect.MustBe.Unit)
		r.Properties.Suspects = append(r.Properties.Suspects, suspect)
	}
	return r
}

// sarifMessage is a text in which nothing is a link or a placeholder: braces
// stand doubled in messages (SARIF 2.1.0, 3.11.5), and a bracket closed right
// before a round one would make a link (3.11.6).
func sarifMessage(s string) string {
	return strings.NewReplacer("{", "{{", "}", "}}", "](", "] (").Replace(Inert(s))
}

func allInert(texts []string) []string {
	out := make([]string, len(texts))
	for i, s := range texts {
		out[i] = Inert(s)
	}
	return out
}

// fingerprint names a finding by its file, what it is about and its rule, so
// that it stays the same when lines are added above it; several of one name are
// numbered.
func (s *sarifWriter) fingerprint(f *lint.Finding) string {
	about := f.Path
	if about == "" {
		about = f.Pointer
	}
	sum := sha256.Sum256([]byte(strings.Join([]string{path.Clean(f.File), f.Variant, about, f.Rule}, "\x00")))
	print := hex.EncodeToString(sum[:16])
	s.seen[print]++
	return fmt.Sprintf("%s:%d", print, s.seen[print])
}

func (s *sarifWriter) fixes(f *lint.Finding) []sarifFix {
	if f.Fix == nil || !s.open(f.File) {
		return nil
	}
	change := sarifChange{ArtifactLocation: artifact(f.File)}
	for _, e := range f.Fix.Edits {
		line, column := s.file.Doc.Position(e.Start)
		endLine, endColumn := s.file.Doc.Position(e.End)
		replacement := sarifReplacement{DeletedRegion: sarifRegion{line, column, endLine, endColumn}}
		if e.Text != "" {
			replacement.InsertedContent = &sarifText{e.Text}
		}
		change.Replacements = append(change.Replacements, replacement)
	}
	return []sarifFix{{Description: sarifText{sarifMessage(f.Fix.Title)}, ArtifactChanges: []sarifChange{change}}}
}

// open reads a file, to find lines and columns in it.
func (s *sarifWriter) open(name string) bool {
	if s.source == nil {
		return false
	}
	if s.file == nil || s.name != name {
		s.name, s.file = name, nil
		b, err := s.source(name)
		if err != nil {
			return false
		}
		s.file = schema.ReadFile(name, b)
	}
	return true
}

func placed(file string, line, column, endLine, endColumn int) sarifPlace {
	if endLine < line || endLine == line && endColumn < column {
		endLine, endColumn = line, column
	}
	return sarifPlace{ArtifactLocation: artifact(file), Region: sarifRegion{line, column, endLine, endColumn}}
}

// artifact names a file by a reference that is relative where its name is.
func artifact(name string) sarifArtifact {
	name = path.Clean(strings.ToValidUTF8(name, "\uFFFD"))
	u := url.URL{Path: name}
	switch {
	case strings.HasPrefix(name, "/"):
		u.Scheme = "file"
	case hasDrive(name):
		u.Scheme, u.Path = "file", "/"+name
	}
	return sarifArtifact{URI: u.String()}
}

// hasDrive reports whether a name starts with the letter of a drive: C:/data.
func hasDrive(name string) bool {
	letter := func(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
	return len(name) > 2 && letter(name[0]) && name[1:3] == ":/"
}

// What follows is the part of the format that is written.

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool             sarifTool         `json:"tool"`
	Invocations      []sarifInvocation `json:"invocations"`
	ColumnKind       string            `json:"columnKind"`
	NewlineSequences []string          `json:"newlineSequences"`
	Results          []sarifResult     `json:"results"`
}

type sarifTool struct {
	Driver sarifDriver `json:"driver"`
}

type sarifDriver struct {
	Name     string      `json:"name"`
	Language string      `json:"language"`
	Rules    []sarifRule `json:"rules"`
}

type sarifInvocation struct {
	ExecutionSuccessful bool `json:"executionSuccessful"`
}

type sarifRule struct {
	ID                   string              `json:"id"`
	ShortDescription     sarifText           `json:"shortDescription"`
	FullDescription      sarifText           `json:"fullDescription"`
	Help                 sarifHelp           `json:"help"`
	DefaultConfiguration sarifConfiguration  `json:"defaultConfiguration"`
	Properties           sarifRuleProperties `json:"properties"`
}

type sarifHelp struct {
	Text     string `json:"text"`
	Markdown string `json:"markdown"`
}

type sarifConfiguration struct {
	Level string `json:"level"`
}

type sarifRuleProperties struct {
	Tags  []string `json:"tags"`
	Basis string   `json:"basis"`
}

type sarifText struct {
	Text string `json:"text"`
}

type sarifResult struct {
	RuleID              string             `json:"ruleId"`
	RuleIndex           *int               `json:"ruleIndex,omitempty"`
	Level               string             `json:"level"`
	Message             sarifText          `json:"message"`
	Locations           []sarifLocation    `json:"locations"`
	RelatedLocations    []sarifLocation    `json:"relatedLocations,omitempty"`
	PartialFingerprints map[string]string  `json:"partialFingerprints"`
	Suppressions        []sarifSuppression `json:"suppressions"` // empty, and not absent: the result stands
	Fixes               []sarifFix         `json:"fixes,omitempty"`
	Properties          sarifProperties    `json:"properties"`
}

type sarifProperties struct {
	Pointer  string         `json:"pointer"`
	Path     string         `json:"path,omitempty"`
	Variant  string         `json:"variant,omitempty"`
	Working  []string       `json:"working,omitempty"`
	Figures  []string       `json:"figures,omitempty"`
	Suspects []lint.Suspect `json:"suspects,omitempty"`
}

type sarifLocation struct {
	ID               int        `json:"id,omitempty"`
	PhysicalLocation sarifPlace `json:"physicalLocation"`
	Message          *sarifText `json:"message,omitempty"`
}

type sarifPlace struct {
	ArtifactLocation sarifArtifact `json:"artifactLocation"`
	Region           sarifRegion   `json:"region"`
}

type sarifArtifact struct {
	URI string `json:"uri"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn"`
	EndLine     int `json:"endLine"`
	EndColumn   int `json:"endColumn"`
}

type sarifSuppression struct {
	Kind          string `json:"kind"`
	Status        string `json:"status"`
	Justification string `json:"justification"`
}

type sarifFix struct {
	Description     sarifText     `json:"description"`
	ArtifactChanges []sarifChange `json:"artifactChanges"`
}

type sarifChange struct {
	ArtifactLocation sarifArtifact      `json:"artifactLocation"`
	Replacements     []sarifReplacement `json:"replacements"`
}

type sarifReplacement struct {
	DeletedRegion   sarifRegion `json:"deletedRegion"`
	InsertedContent *sarifText  `json:"insertedContent,omitempty"`
}
