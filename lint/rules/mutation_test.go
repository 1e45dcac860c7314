package rules

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/lint/run"
)

// frame are the rules that look at what an example is completed with: every
// example may raise them, because it is written to be read and cites what it
// needs.
var frame = map[string]string{
	"form/canonical": "an example keeps to few lines, and may put a mapping on one that the canonical text spreads out",
	"sources/unused": "an example is given two sources and seldom cites both",
}

// alongside are the rules that a bad example raises beside its own: the example
// of the first, the rule of the second, and why that cannot be helped.
var alongside = map[[2]string]string{
	{"drives/half-speed", "drives/marks-meet"}:      "65 teeth meet 28 so seldom that the count of turns is worth a note, whether or not it is right",
	{"variants/forgotten", "events/inlet-duration"}: "a figure that a variant forgot breaks its relation, whose own rule says so",
}

// leaning are the rules that say nothing once another is struck out: the first
// leans on the second, and why it should.
var leaning = map[[2]string]string{
	{"variants/forgotten", "events/inlet-duration"}: "it asks which relation the change breaks; without the relation nothing was forgotten",
	{"form/acceptance-unused", "size/swept-volume"}: "whether an acceptance keeps anything is only known of a rule that ran",
}

// A bad example raises its own rule and no other, notes included: a rule fires
// on its own kind of fault alone.
func TestEachRuleFiresOnItsOwnFaultAlone(t *testing.T) {
	book := All()
	met := map[[2]string]bool{}
	for _, example := range book {
		names := namesRaised(t, book, example.Bad)
		assert.Contains(t, names, example.Name)
		for _, name := range names {
			pair := [2]string{example.Name, name}
			met[pair] = true
			if name != example.Name && frame[name] == "" {
				assert.NotEmpty(t, alongside[pair], "the example of %s raises %s too", pair[0], pair[1])
			}
		}
	}
	for pair := range alongside {
		assert.True(t, met[pair], "the example of %s no longer raises %s; strike it off the table", pair[0], pair[1])
	}
}

// A rule struck out of the book is missed: its example no longer raises it. And
// no other is: whatever else the examples raise stays as it was.
func TestEveryRuleIsMissedAndNoOther(t *testing.T) {
	book := All()
	whole := make([][]string, len(book))
	for i, example := range book {
		whole[i] = namesRaised(t, book, example.Bad)
	}
	changed := make([][]string, len(book))
	leant := make([][][2]string, len(book))
	var wait sync.WaitGroup
	for i, struck := range book {
		rest := slices.Delete(slices.Clone(book), i, i+1)
		wait.Go(func() {
			for j, example := range book {
				want := slices.DeleteFunc(slices.Clone(whole[j]), func(name string) bool {
					pair := [2]string{name, struck.Name}
					leans := leaning[pair] != ""
					if leans {
						leant[i] = append(leant[i], pair)
					}
					return name == struck.Name || leans
				})
				if got := namesRaised(t, rest, example.Bad); !slices.Equal(want, got) {
					changed[i] = append(changed[i], fmt.Sprintf("without %s the example of %s raises %v, not %v", struck.Name, example.Name, got, want))
				}
			}
		})
	}
	wait.Wait()
	assert.Empty(t, strings.Join(slices.Concat(changed...), "\n"))
	for pair := range leaning {
		assert.Contains(t, slices.Concat(leant...), pair, "no example shows that %s leans on %s; strike it off the table", pair[0], pair[1])
	}
}

// A rule whose relations are replaced by none lets its example pass: what it
// finds it finds by them.
func TestRelationsAreWhatFinds(t *testing.T) {
	book := All()
	tried := 0
	for i, r := range book {
		if r.Relations == nil {
			continue
		}
		tried++
		without := *r
		without.Relations = func(*relation.Network) {}
		mutated := slices.Clone(book)
		mutated[i] = &without
		res := lintWith(t, mutated, r.Bad)
		for _, f := range res.Findings {
			assert.Equal(t, lint.Note, f.Level, "without its relations the example of %s raises %s: %s", r.Name, f.Rule, f.Message)
			assert.NotEqual(t, r.Name, f.Rule)
		}
	}
	assert.Greater(t, tried, 20)
}

func lintWith(t *testing.T, book []*lint.Rule, example string) run.Result {
	t.Helper()
	res, err := run.Lint(context.Background(), lint.ExampleInputs(example), run.Options{Rules: book, Workers: 1})
	assert.NoError(t, err)
	return res
}

// namesRaised are the rules that a book raises on an example, each once, in
// order.
func namesRaised(t *testing.T, book []*lint.Rule, example string) []string {
	t.Helper()
	names := raised(lintWith(t, book, example))
	slices.Sort(names)
	return slices.Compact(names)
}
