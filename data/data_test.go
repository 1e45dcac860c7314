package data_test

import (
	"context"
	"encoding/json"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// shown are the notes that the demo data is there to show. Nothing above a note
// is raised.
var shown = map[string]string{
	"engines/penhallow/light-six.yaml sources/copied-agreement": "a book that copies the handbook agrees with it",
	"engines/penhallow/light-six.yaml drives/marks-meet":        "an idler makes the marks meet seldom",
	"engines/penhallow/twelve.yaml sources/disputed":            "two books give two contact gaps, and both stand",
	"engines/wendrake/straight-eight.yaml drives/marks-meet":    "bevels with a hunting tooth",
}

func TestDemoDataIsClean(t *testing.T) {
	res := lintInputs(t, embedded(t), rules.All())
	raised := map[string]bool{}
	for _, f := range res.Findings {
		key := strings.TrimPrefix(f.File, store.Embedded+"/") + " " + f.Rule
		raised[key] = true
		if f.Level > lint.Note || shown[key] == "" {
			t.Errorf("%s:%d: %s: %s: %s", f.File, f.Line, f.Level, f.Rule, f.Message)
		}
	}
	for key, why := range shown {
		assert.True(t, raised[key], "%s is no longer raised: %s", key, why)
	}
	assert.NotEmpty(t, res.Accepted, "one finding is accepted, to show how")
	assert.GreaterOrEqual(t, res.Engines, 14)
}

// Every file is in the canonical form.
func TestDemoDataIsTidy(t *testing.T) {
	for name, source := range files(t) {
		tidy, err := schema.Tidy(source)
		if assert.NoError(t, err, name) {
			assert.Equal(t, string(tidy), string(source), name)
		}
	}
}

// Every key of the format occurs in the demo data. The keys are those of the
// JSON Schema; what holds for a figure of one kind counts for all kinds.
func TestEveryKeyIsUsed(t *testing.T) {
	c := newCoverage(t)
	for name, source := range files(t) {
		value := schema.ReadFile(name, source).Doc.Value()
		switch {
		case strings.HasPrefix(name, "engines/"):
			c.visit("engine", c.engine, value)
		case strings.HasPrefix(name, "sources/"):
			c.visit("source", c.source, value)
		}
	}
	unused := c.keys()
	maps.DeleteFunc(unused, func(key string, _ bool) bool { return c.used[key] })
	assert.Empty(t, slices.Sorted(maps.Keys(unused)), "keys of the format that no file uses")
}

// coverage is which keys of the format the data uses, as section.key.
type coverage struct {
	engine, source, definitions map[string]any
	used                        map[string]bool
}

func newCoverage(t *testing.T) *coverage {
	t.Helper()
	c := &coverage{used: map[string]bool{}}
	require.NoError(t, json.Unmarshal(schema.EngineSchema(), &c.engine))
	require.NoError(t, json.Unmarshal(schema.SourceSchema(), &c.source))
	c.definitions = c.engine["$defs"].(map[string]any)
	return c
}

// keys are all keys of the format.
func (c *coverage) keys() map[string]bool {
	all := map[string]bool{}
	add := func(section string, s any) {
		for key := range properties(s) {
			all[c.section(section)+"."+key] = true
		}
	}
	add("engine", c.engine)
	add("source", c.source)
	for name, s := range c.definitions {
		add(name, s)
	}
	return all
}

// section is the name under which a definition's keys are counted: one for
// figures of every kind, which are what claims can be made of.
func (c *coverage) section(place string) string {
	definition, _, _ := strings.Cut(place, ".")
	if _, isFigure := properties(c.definitions[definition])["claims"]; isFigure {
		return "figure"
	}
	return definition
}

// properties are the keys that a place of the schema allows.
func properties(s any) map[string]any {
	m, _ := s.(map[string]any)
	p, _ := m["properties"].(map[string]any)
	return p
}

// follow returns the definition that a reference leads to: one of the engine's
// schema, or the whole of the source's.
func (c *coverage) follow(ref string) (name string, definition map[string]any) {
	_, fragment, _ := strings.Cut(ref, "#")
	if fragment == "" {
		return "source", c.source
	}
	at := c.engine
	for _, part := range strings.Split(strings.TrimPrefix(fragment, "/"), "/") {
		name, at = part, at[part].(map[string]any)
	}
	return name, at
}

// visit notes the keys of a value that stands where the schema says s, a part
// of the named definition.
func (c *coverage) visit(name string, s any, value any) {
	m, ok := s.(map[string]any)
	if !ok {
		return
	}
	for ref, ok := m["$ref"].(string); ok; ref, ok = m["$ref"].(string) {
		name, m = c.follow(ref)
	}
	object, ok := value.(map[string]any)
	if !ok {
		return
	}
	known := properties(m)
	for key, v := range object {
		if p, ok := known[key]; ok {
			c.used[c.section(name)+"."+key] = true
			c.visit(name+"."+key, p, v)
			continue
		}
		c.visit(name, m["additionalProperties"], v)
	}
}

// Every way in which a print is known, every word for an absent figure, every
// grade of source and every standing but unsourced occurs.
func TestEveryFormOfPrintIsUsed(t *testing.T) {
	found := map[string]bool{}
	see := func(words ...string) {
		for _, w := range words {
			found[w] = true
		}
	}
	register := sources(t)
	for _, s := range register {
		see("grade " + s.Grade.Text)
	}
	lookup := func(id string) (*schema.Source, bool) { s, ok := register[id]; return s, ok }
	for _, e := range engines(t) {
		see("arrangement " + e.Layout.Arrangement.Text)
		for _, own := range e.Sources {
			see("grade "+own.Value.Grade.Text, "source in the engine's file")
		}
		for _, one := range e.All() {
			if len(one.Removed()) > 0 {
				see("removed")
			}
			for _, f := range one.Figures() {
				see("standing " + schema.StandingOf(f, lookup).String())
				for _, c := range f.Claims {
					see(formsOf(c.Printed)...)
				}
			}
		}
	}
	want := []string{"source in the engine's file", "removed", "two units", "a range or tolerance", "a limit", "negative", "decimal comma",
		"approximate", "no leading nought", "form whole", "form decimal", "form fraction", "form minutes", "form word",
		"absence unknown", "absence not given", "absence none", "absence illegible",
		"crank angle", "piston travel", "rim distance", "teeth",
		"arrangement single", "arrangement in-line", "arrangement vee", "arrangement flat", "arrangement radial",
		"grade works", "grade maker", "grade stamp", "grade measured", "grade press", "grade later", "grade recall",
		"standing absent", "standing single-source", "standing confirmed", "standing disputed", "standing settled"}
	for _, w := range want {
		assert.True(t, found[w], "nothing in the demo data shows: %s", w)
	}
}

var forms = [...]string{figure.Whole: "whole", figure.Decimal: "decimal", figure.Fraction: "fraction", figure.Minutes: "minutes", figure.Word: "word"}

var commaDecimal = regexp.MustCompile(`[0-9],[0-9]{1,2}\b`)

// formsOf says what a print is an example of.
func formsOf(p figure.Printed) []string {
	var is []string
	add := func(what string, when bool) {
		if when {
			is = append(is, what)
		}
	}
	add("absence "+string(p.Absence), p.Absence != "")
	add("two units", len(p.Readings) > 1)
	add("no leading nought", strings.HasPrefix(p.Text, "."))
	add("decimal comma", len(p.Readings) > 0 && commaDecimal.MatchString(p.Text))
	for _, r := range p.Readings {
		add("form "+forms[r.Form], true)
		add("a limit", r.Lo == nil || r.Hi == nil)
		add("a range or tolerance", r.Stated && r.Lo != nil && r.Hi != nil)
		add("approximate", r.Approximate)
		add("negative", r.Value.Sign() < 0)
		add(r.Measure.String(), r.Measure != figure.NoMeasure)
	}
	return is
}

// Where durations and overlap are printed, a slip of two transposed digits in
// any event shows: a finding stands on its line, works a relation out, and has
// the figure among its suspects with the right value in what it must be. At
// least eight engines print so much.
func TestTransposedEventsAreRevealed(t *testing.T) {
	rich := 0
	for name, source := range files(t) {
		if !strings.HasPrefix(name, "engines/") {
			continue
		}
		e, problems := schema.DecodeEngine(schema.ReadFile(name, source))
		require.Empty(t, problems, name)
		isRich := false
		for _, set := range e.Events {
			s := set.Value
			if s.InletDuration.First() == nil || s.ExhaustDuration.First() == nil || s.Overlap.First() == nil {
				continue
			}
			isRich = true
			for _, event := range []*schema.Figure{s.InletOpens, s.InletCloses, s.ExhaustOpens, s.ExhaustCloses} {
				if wrong, ok := transposed(source, event); ok {
					assert.True(t, pointsAt(t, name, wrong, event), "%s: %s transposed", name, event.Path)
				}
			}
		}
		if isRich {
			rich++
		}
	}
	assert.GreaterOrEqual(t, rich, 8)
}

// pointsAt reports whether linting a file gives a finding on the line of a figure
// that suspects it and whose must-be holds the right value, the figure's own.
func pointsAt(t *testing.T, name string, source []byte, right *schema.Figure) bool {
	t.Helper()
	in := lint.Input{Name: name, Read: func() ([]byte, error) { return source, nil }}
	res := lintInputs(t, []lint.Input{in}, rules.All())
	line, _ := right.First().At.Position()
	r, _ := right.Reading()
	value, _ := r.Value.Float64()
	found := res.Findings
	for _, a := range res.Accepted {
		found = append(found, a.Finding)
	}
	for _, f := range found {
		if f.Line != line || len(f.Working) == 0 || f.Level == lint.Note {
			continue
		}
		for _, s := range f.Suspects {
			if s.Path == right.Path && (s.MustBe.Low == nil || *s.MustBe.Low <= value) && (s.MustBe.High == nil || value <= *s.MustBe.High) {
				return true
			}
		}
	}
	return false
}

var twoFigures = regexp.MustCompile(`^[1-9][0-9]\b`)

// transposed returns the file with the first two figures of an event's print
// exchanged; false when it does not begin with a number of two unlike figures, or
// when a second claim is made of the event.
func transposed(source []byte, f *schema.Figure) ([]byte, bool) {
	c := f.First()
	if c == nil || len(f.Claims) > 1 || !twoFigures.MatchString(c.Printed.Text) || c.Printed.Text[0] == c.Printed.Text[1] || c.Printed.Text[1] == '0' {
		return nil, false
	}
	at := c.At.Node.Span.Start
	wrong := slices.Clone(source)
	wrong[at], wrong[at+1] = wrong[at+1], wrong[at]
	return wrong, true
}

// What moved leads to engines that are there.
func TestMovedLeadsToEngines(t *testing.T) {
	all := engines(t)
	source := files(t)["moved.yaml"]
	moves, problems := schema.DecodeMoved(schema.ReadFile("moved.yaml", source))
	require.Empty(t, problems)
	renamed, split := false, false
	for _, m := range moves {
		now, err := schema.Follow(m.From, moves)
		require.NoError(t, err)
		renamed, split = renamed || len(now) == 1, split || len(now) > 1
		for _, id := range now {
			assert.Contains(t, all, id)
		}
	}
	assert.True(t, renamed, "a rename is recorded")
	assert.True(t, split, "a split is recorded")
}

func lintInputs(t *testing.T, inputs []lint.Input, with []*lint.Rule) run.Result {
	t.Helper()
	res, err := run.Lint(context.Background(), inputs, run.Options{Rules: with})
	require.NoError(t, err)
	return res
}

func embedded(t *testing.T) []lint.Input {
	t.Helper()
	inputs, err := store.OpenEmbedded()
	require.NoError(t, err)
	return inputs
}

// files are the files of the dataset by their path in it.
func files(t *testing.T) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	require.NoError(t, fs.WalkDir(data.Files, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		all[p], err = data.Files.ReadFile(p)
		return err
	}))
	return all
}

func engines(t *testing.T) map[string]*schema.Engine {
	t.Helper()
	all := map[string]*schema.Engine{}
	for name, source := range files(t) {
		if id, ok := strings.CutPrefix(strings.TrimSuffix(name, ".yaml"), "engines/"); ok {
			e, problems := schema.DecodeEngine(schema.ReadFile(name, source))
			require.Empty(t, problems, name)
			all[id] = e
		}
	}
	return all
}

func sources(t *testing.T) map[string]*schema.Source {
	t.Helper()
	all := map[string]*schema.Source{}
	for name, source := range files(t) {
		if id, ok := strings.CutPrefix(strings.TrimSuffix(name, ".yaml"), "sources/"); ok {
			s, problems := schema.DecodeSource(schema.ReadFile(name, source))
			require.Empty(t, problems, name)
			all[id] = s
		}
	}
	return all
}
