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

// differing lists the files that are not the same in two states of a dataset.
func differing(t *testing.T, g *gitRepository, from, to string) (before, after []string) {
	t.Helper()
	was, is, err := store.States(filepath.Join(g.dir, "data"), from, to)
	require.NoError(t, err)
	names := func(inputs []lint.Input) []string {
		var all []string
		for _, in := range inputs {
			if !in.Context {
				all = append(all, filepath.Base(in.Name))
			}
		}
		return all
	}
	return names(was), names(is)
}

func TestStatesMarkWhatDiffers(t *testing.T) {
	g := newRepository(t)
	for _, name := range []string{"kept", "changed", "gone"} {
		g.write("data/engines/maker/"+name+".yaml", "format: 1\nengine: maker/"+name+"\n")
	}
	g.commit()
	before, after := differing(t, g, "HEAD", "")
	assert.Empty(t, before)
	assert.Empty(t, after)
	g.write("data/engines/maker/changed.yaml", "format: 1\n")
	g.write("data/engines/maker/new.yaml", "format: 1\n")
	g.remove("data/engines/maker/gone.yaml")
	before, after = differing(t, g, "HEAD", "")
	assert.Equal(t, []string{"changed.yaml", "gone.yaml"}, before)
	assert.Equal(t, []string{"changed.yaml", "new.yaml"}, after)
	require.NoError(t, os.Symlink("/nowhere", filepath.Join(g.dir, "data/engines/maker/link.yaml")))
	_, after = differing(t, g, "HEAD", "")
	assert.Contains(t, after, "link.yaml", "what cannot be read is not the same")
	g.remove("data/engines/maker/link.yaml")
	g.commit()
	before, after = differing(t, g, "HEAD~1", "HEAD")
	assert.Equal(t, []string{"changed.yaml", "gone.yaml"}, before)
	assert.Equal(t, []string{"changed.yaml", "new.yaml"}, after)
	before, after = differing(t, g, "HEAD", "HEAD~1")
	assert.Equal(t, []string{"changed.yaml", "new.yaml"}, before)
	assert.Equal(t, []string{"changed.yaml", "gone.yaml"}, after)
}

func TestStatesErrors(t *testing.T) {
	g := newRepository(t)
	g.write("data/engines/maker/one.yaml", "format: 1\n")
	g.commit()
	folder := filepath.Join(g.dir, "data")
	_, _, err := store.States(folder, "nowhere", "")
	assert.ErrorContains(t, err, `there is no branch, tag or commit "nowhere"`)
	_, _, err = store.States(folder, "HEAD", "nowhere")
	assert.ErrorContains(t, err, `there is no branch, tag or commit "nowhere"`)
	require.NoError(t, os.RemoveAll(folder))
	_, _, err = store.States(folder, "HEAD", "")
	assert.ErrorContains(t, err, "with two revisions the folder need not be there")
	_, _, err = store.States(folder, "HEAD", "HEAD")
	assert.NoError(t, err)
}
