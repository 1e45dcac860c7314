package run_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// A rule that panics does so where the caller of Lint can deal with it, whichever
// goroutine it ran on, and the file is named.
func TestAMistakeInARule(t *testing.T) {
	wrong := &lint.Rule{Name: "form/wrong", File: func(p *lint.Pass) {
		if p.Engine.ID.Text == "a/c" {
			panic("no such thing")
		}
	}}
	var inputs []lint.Input
	for _, id := range []string{"a/b", "a/c", "a/d", "a/e"} {
		inputs = append(inputs, lint.Input{Name: id + ".yaml", Read: func() ([]byte, error) { return []byte("format: 1\nengine: " + id + "\ntitle: T\n"), nil }})
	}
	for _, workers := range []int{1, 3} {
		said := func() (said any) {
			defer func() { said = recover() }()
			_, _ = run.Lint(context.Background(), inputs, run.Options{Rules: []*lint.Rule{wrong}, Workers: workers})
			return nil
		}()
		assert.Contains(t, said, "checking a/c.yaml: no such thing")
	}
}
