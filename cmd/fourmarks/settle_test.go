package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/settle"
	"fourmarks.example/data/store"
	"fourmarks.example/schema"
)

// A file that somebody changed after it was read is left as it then is.
func TestSettleLeavesAFileThatChangedMeanwhile(t *testing.T) {
	name := filepath.Join(t.TempDir(), "four.yaml")
	read := []byte("format: 1\nengine: marlowe/four\ntitle: T\nlifts: {inlet: {claims: {a: 8 mm, b: 9.5 mm}}}\n")
	changed := append([]byte("# somebody was here\n"), read...)
	require.NoError(t, os.WriteFile(name, changed, 0o644))
	s, err := settle.Settle(schema.ReadFile(name, read), settle.Decision{Figure: "inlet", Keep: "a", Because: "worn"})
	require.NoError(t, err)

	var out, errs bytes.Buffer
	p := &program{Streams: Streams{Out: &out, Err: &errs}, env: func(string) string { return "" }}
	err = p.writeSettled(context.Background(), store.Match{}, s, store.Change{Name: name, Before: read, After: s.After})
	assert.ErrorContains(t, err, "somebody changed the file in the meantime, so it is left as it is; try again")
	assert.Empty(t, out.String())
	now, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(changed), string(now))
	left, err := os.ReadDir(filepath.Dir(name))
	require.NoError(t, err)
	assert.Len(t, left, 1, "no temporary file is left")
}
