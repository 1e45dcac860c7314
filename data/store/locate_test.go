package store_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

func TestLocate(t *testing.T) {
	root := t.TempDir()
	for name, text := range map[string]string{"engines/a/b.yaml": "x", "sources/s.yaml": "y"} {
		file := filepath.Join(root, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	for name, want := range map[string]store.Location{
		"engines/a/b.yaml":   {Root: root, Kind: lint.EngineFile, ID: "a/b"},
		"engines/new/c.yaml": {Root: root, Kind: lint.EngineFile, ID: "new/c"}, // not there yet
		"sources/t.yaml":     {Root: root, Kind: lint.SourceFile, ID: "t"},
		"moved.yaml":         {Root: root, Kind: lint.MovedFile},
		"other/d.yaml":       {Root: root, Kind: lint.EngineFile},
	} {
		assert.Equal(t, want, store.Locate(filepath.Join(root, filepath.FromSlash(name))), name)
	}
	assert.Equal(t, store.Location{}, store.Locate(filepath.Join(t.TempDir(), "b.yaml")), "outside of any dataset")

	sources, err := store.Sources(root)
	require.NoError(t, err)
	require.Len(t, sources, 1)
	assert.Equal(t, "s", sources[0].ID)
	assert.True(t, sources[0].Context)
	engines, err := store.Engines(root)
	require.NoError(t, err)
	require.Len(t, engines, 1)
	assert.Equal(t, "a/b", engines[0].ID)
	none, err := store.Sources(t.TempDir())
	require.NoError(t, err)
	assert.Empty(t, none)
}
