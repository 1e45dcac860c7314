package run_test

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
)

// A record that was read before counts as the file itself would.
func TestARecordReadBefore(t *testing.T) {
	const record = "title: Instruction book\ngrade: maker\n"
	engine := lint.Input{Name: "engines/a/b.yaml", ID: "a/b", Read: func() ([]byte, error) {
		return []byte("format: 1\nengine: a/b\ntitle: B\nsize:\n  from: handbook p. 6\n  bore: 3 in\n"), nil
	}}
	source := lint.Input{Kind: lint.SourceFile, Name: "sources/handbook.yaml", ID: "handbook", Context: true}
	find := func(source lint.Input) []*lint.Finding {
		res, err := run.Lint(context.Background(), []lint.Input{engine, source}, run.Options{Rules: rules.All()})
		require.NoError(t, err)
		return res.Findings
	}
	source.Read = func() ([]byte, error) { return []byte(record), nil }
	fromFile := find(source)
	source.Read = func() ([]byte, error) { return nil, errors.New("not to be read") }
	source.Record = func() *schema.Source {
		s, _ := schema.DecodeSource(schema.ReadFile(source.Name, []byte(record)))
		return s
	}
	assert.Equal(t, fromFile, find(source))
	assert.Empty(t, fromFile, "the source is known")
	source.Record = func() *schema.Source { return nil }
	assert.Len(t, find(source), 1, "a record that cannot be read is none")
}
