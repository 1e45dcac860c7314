package rules

import (
	"cmp"
	"context"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// lintExample runs the whole rule book over a rule's example.
func lintExample(t *testing.T, example string) run.Result {
	t.Helper()
	res, err := run.Lint(context.Background(), lint.ExampleInputs(example), run.Options{Rules: All(), Workers: 1})
	require.NoError(t, err)
	return res
}

func raised(res run.Result) []string {
	var names []string
	for _, f := range res.Findings {
		names = append(names, f.Rule)
	}
	return names
}

// trial is a file in which a rule raises one finding, or none.
type trial struct {
	name string
	rule string
	// text is the file, or files, as in a rule's example.
	text string
	// at is part of the line the finding stands on; empty when the rule must not fire.
	at string
	// says is part of its message, variant the variant it holds in.
	says, variant string
	// level is the finding's, where it is not the rule's own.
	level string
}

// fire checks that each file raises what it should, once and in its place.
func fire(t *testing.T, cases []trial) {
	for _, c := range cases {
		t.Run(c.rule+"/"+c.name, func(t *testing.T) {
			rule := ruleNamed(t, c.rule)
			found := slices.DeleteFunc(lintExample(t, c.text).Findings, func(f *lint.Finding) bool { return f.Rule != c.rule })
			if c.at == "" {
				for _, f := range found {
					t.Errorf("%s:%d: must not be raised: %s", f.File, f.Line, f.Message)
				}
				return
			}
			require.Len(t, found, 1, "%v", messages(found))
			f := found[0]
			assert.Contains(t, lineOf(t, c.text, f), c.at, "%s:%d: %s", f.File, f.Line, f.Message)
			assert.Contains(t, f.Message, c.says)
			assert.Equal(t, c.variant, f.Variant, "variant")
			assert.Equal(t, cmp.Or(c.level, rule.Level.String()), f.Level.String(), "level")
		})
	}
}

func ruleNamed(t *testing.T, name string) *lint.Rule {
	t.Helper()
	for _, r := range All() {
		if r.Name == name {
			return r
		}
	}
	require.Fail(t, "there is no such rule", name)
	return nil
}

func messages(found []*lint.Finding) []string {
	var all []string
	for _, f := range found {
		all = append(all, f.Message)
	}
	return all
}

// lineOf returns the line that a finding stands on.
func lineOf(t *testing.T, example string, f *lint.Finding) string {
	t.Helper()
	for _, in := range lint.ExampleInputs(example) {
		if in.Name != f.File {
			continue
		}
		text, err := in.Read()
		require.NoError(t, err)
		lines := strings.Split(string(text), "\n")
		require.LessOrEqual(t, f.Line, len(lines), "the line is beyond the end of the file")
		return lines[f.Line-1]
	}
	require.Fail(t, "the finding is in no file of the example", f.File)
	return ""
}

func TestRulesAreComplete(t *testing.T) {
	require.NoError(t, lint.Validate(All()))
}

// Every bad example raises its rule and, notes aside, no other, and every good
// example raises nothing but notes. A figure that a variant forgot breaks a
// relation, whose own rule says so beside variants/forgotten.
func TestExamples(t *testing.T) {
	for _, r := range All() {
		t.Run(r.Name, func(t *testing.T) {
			bad := lintExample(t, r.Bad)
			assert.Contains(t, raised(bad), r.Name, "the bad example must raise its rule")
			for _, f := range bad.Findings {
				if f.Rule == r.Name {
					assert.NotEmpty(t, f.Message)
					assert.NotContains(t, f.Message, "\n")
					assert.Positive(t, f.Line)
				} else if f.Level > lint.Note && !(r.Name == "variants/forgotten" && f.Variant != "") {
					t.Errorf("the bad example also raises %s: %s", f.Rule, f.Message)
				}
			}
			good := lintExample(t, r.Good)
			for _, f := range good.Findings {
				if f.Rule == r.Name || f.Level > lint.Note {
					t.Errorf("the good example raises %s: %s:%d: %s", f.Rule, f.File, f.Line, f.Message)
				}
			}
		})
	}
}

// Pages are plain sentences that say why it matters.
func TestPages(t *testing.T) {
	for _, r := range All() {
		for _, s := range []string{r.Checks, r.Why, r.Accepting} {
			assert.True(t, strings.HasSuffix(strings.TrimSpace(s), "."), "%s: %q should end with a full stop", r.Name, s)
		}
	}
}

// Whatever a file holds, the rule book answers: with findings that stand in the
// file and never with a panic.
func FuzzRuleBook(f *testing.F) {
	for _, text := range exampleTexts(f) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { answers(t, text) })
}

// Examples with figures replaced by impossible ones, lines lost and lines of
// other examples put in still are answered.
func TestHostileFiles(t *testing.T) {
	texts := exampleTexts(t)
	var lines []string
	for _, text := range texts {
		lines = append(lines, strings.Split(text, "\n")...)
	}
	number := regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)
	impossible := []string{"0", "1", "-5", "180", "720", "999999", "1000000000000", "0.0001", "1e9", "3/0", "unknown", "none", "removed", "{}", "[]", "1-1-1", "nil", "TDC", ""}
	rapid.Check(t, func(rt *rapid.T) {
		text := strings.Split(rapid.SampledFrom(texts).Draw(rt, "example"), "\n")
		for range rapid.IntRange(1, 4).Draw(rt, "changes") {
			i := rapid.IntRange(0, len(text)-1).Draw(rt, "line")
			value := rapid.SampledFrom(impossible).Draw(rt, "value")
			switch rapid.IntRange(0, 3).Draw(rt, "change") {
			case 0:
				text[i] = number.ReplaceAllLiteralString(text[i], value)
			case 1:
				key, _, _ := strings.Cut(text[i], ": ")
				text[i] = key + ": " + value
			case 2:
				text[i] = ""
			case 3:
				text = slices.Insert(text, i, rapid.SampledFrom(lines).Draw(rt, "other line"))
			}
		}
		answers(rt, strings.Join(text, "\n"))
	})
}

// exampleTexts are the files of all examples.
func exampleTexts(t testing.TB) []string {
	var texts []string
	for _, r := range All() {
		for _, in := range slices.Concat(lint.ExampleInputs(r.Bad), lint.ExampleInputs(r.Good)) {
			text, err := in.Read()
			require.NoError(t, err)
			texts = append(texts, string(text))
		}
	}
	return texts
}

// answers lints a text as an engine, as a source and as a record of moved ids.
func answers(t require.TestingT, text string) {
	var inputs []lint.Input
	for i, name := range []string{"engines/example/example.yaml", "sources/handbook.yaml", "moved.yaml"} {
		inputs = append(inputs, lint.Input{Kind: lint.InputKind(i), Name: name, ID: "handbook", Read: func() ([]byte, error) { return []byte(text), nil }})
	}
	res, err := run.Lint(context.Background(), inputs, run.Options{Rules: All(), Workers: 1})
	require.NoError(t, err)
	lines := strings.Count(text, "\n") + strings.Count(text, "\r") + 1
	for _, found := range res.Findings {
		assert.NotEmpty(t, found.File, found.Rule)
		assert.NotEmpty(t, found.Message, found.Rule)
		assert.True(t, 1 <= found.Line && found.Line <= lines, "%s: line %d of %d", found.Rule, found.Line, lines)
	}
}
