package rules

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
