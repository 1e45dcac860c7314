package store_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
)

// folder makes a folder with the files and returns a function that names them.
func folder(t *testing.T, files map[string]string) func(string) string {
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o640))
	}
	return func(name string) string { return filepath.Join(dir, name) }
}

func contents(t *testing.T, dir string) map[string]string {
	found := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		found[e.Name()] = string(b)
	}
	return found
}

func change(name, before, after string) store.Change {
	return store.Change{Name: name, Before: []byte(before), After: []byte(after)}
}

func TestReplace(t *testing.T) {
	at := folder(t, map[string]string{"a": "one", "b": "two", "c": "three"})
	require.NoError(t, store.Replace(context.Background(), []store.Change{change(at("a"), "one", "ONE"), change(at("b"), "two", "TWO")}))
	assert.Equal(t, map[string]string{"a": "ONE", "b": "TWO", "c": "three"}, contents(t, at("")), "and no temporary file is left")
	info, err := os.Stat(at("a"))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm(), "permissions stay")
}

func TestReplaceIsAllOrNothing(t *testing.T) {
	files := map[string]string{"a": "one", "b": "two"}
	for name, changes := range map[string]func(at func(string) string) []store.Change{
		"a file changed meanwhile": func(at func(string) string) []store.Change {
			return []store.Change{change(at("a"), "one", "ONE"), change(at("b"), "what it was", "TWO")}
		},
		"a file is gone": func(at func(string) string) []store.Change {
			return []store.Change{change(at("a"), "one", "ONE"), change(at("z"), "", "Z")}
		},
	} {
		t.Run(name, func(t *testing.T) {
			at := folder(t, files)
			require.Error(t, store.Replace(context.Background(), changes(at)))
			assert.Equal(t, files, contents(t, at("")))
		})
	}
	t.Run("cancelled", func(t *testing.T) {
		at := folder(t, files)
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		require.ErrorIs(t, store.Replace(ctx, []store.Change{change(at("a"), "one", "ONE")}), context.Canceled)
		assert.Equal(t, files, contents(t, at("")))
	})
}

func TestReplaceFollowsALink(t *testing.T) {
	at := folder(t, map[string]string{"a": "one"})
	require.NoError(t, os.Symlink(at("a"), at("link")))
	require.NoError(t, store.Replace(context.Background(), []store.Change{change(at("link"), "one", "ONE")}))
	assert.Equal(t, map[string]string{"a": "ONE", "link": "ONE"}, contents(t, at("")))
	target, err := os.Readlink(at("link"))
	require.NoError(t, err)
	assert.Equal(t, at("a"), target, "the link is still a link")
}
