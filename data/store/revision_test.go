//go:build !js

package store_test

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// dataset is a repository with a dataset of two engines, two sources and a
// record of moved ids under data/, and other things beside it.
func dataset(t testing.TB) *gitRepository {
	g := newRepository(t)
	g.write("data/engines/a/one.yaml", "format: 1\nengine: a/one\ntitle: One\n")
	g.write("data/engines/a/two.json", `{"format": 1, "engine": "a/two", "title": "Two"}`)
	g.write("data/sources/book.yaml", "title: Book\ngrade: maker\n")
	g.write("data/sources/sheet.yaml", "title: Sheet\ngrade: works\n")
	g.write("data/moved.yaml", "a/old: {to: a/one, because: renamed}\n")
	g.write("data/README.md", "words")
	g.write("data/engines/.hidden.yaml", "title: x\n")
	g.write("data/program/testdata/package.json", "{}\n")
	g.write("docs/engines.yaml", "title: no dataset\n")
	g.commit()
	return g
}

// opened tells an input by what is seen of it.
type opened struct {
	kind    lint.InputKind
	name    string
	id      string
	context bool
}

func openedFrom(inputs []lint.Input, dir string) []opened {
	all := make([]opened, len(inputs))
	for i, in := range inputs {
		name := strings.TrimPrefix(in.Name, filepath.ToSlash(dir)+"/")
		all[i] = opened{in.Kind, name, in.ID, in.Context}
	}
	return all
}

// A folder at a revision gives the inputs that it gave when it stood so.
func TestOpenRevisionIsOpenAsItWas(t *testing.T) {
	g := dataset(t)
	for _, folder := range []string{"data", "data/engines", "data/engines/a", "data/sources", "docs", "."} {
		now, err := store.Open(filepath.Join(g.dir, folder))
		require.NoError(t, err)
		was, err := store.OpenRevision(filepath.Join(g.dir, folder), "HEAD")
		require.NoError(t, err)
		want := openedFrom(now, g.dir)
		assert.ElementsMatch(t, want, openedFrom(was, g.dir), folder)
		for i, in := range now {
			b, err := in.Read()
			require.NoError(t, err)
			for _, other := range was {
				if strings.HasSuffix(other.Name, want[i].name) {
					c, err := other.Read()
					require.NoError(t, err)
					assert.Equal(t, string(b), string(c))
				}
			}
		}
	}
}

func TestOpenRevisionOfWhatIsGone(t *testing.T) {
	g := dataset(t)
	require.NoError(t, os.RemoveAll(filepath.Join(g.dir, "data")))
	inputs, err := store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	require.NoError(t, err)
	assert.Len(t, inputs, 5)

	g.commit()
	_, err = store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	assert.ErrorContains(t, err, "held no engine or source files")
	inputs, err = store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD~1")
	require.NoError(t, err)
	assert.Len(t, inputs, 5)
}

func TestOpenRevisionOfABareRepository(t *testing.T) {
	g := dataset(t)
	inputs, err := store.OpenRevision(filepath.Join(g.dir, ".git", "data"), "main")
	require.NoError(t, err)
	assert.Len(t, inputs, 5)
}

func TestOpenRevisionDoesNotFollowLinks(t *testing.T) {
	g := dataset(t)
	require.NoError(t, os.Symlink("one.yaml", filepath.Join(g.dir, "data", "engines", "a", "link.yaml")))
	g.commit()
	inputs, err := store.OpenRevision(filepath.Join(g.dir, "data", "engines"), "HEAD")
	require.NoError(t, err)
	for _, in := range inputs {
		if in.ID == "a/link" {
			_, err := in.Read()
			require.ErrorContains(t, err, "links of a revision are not followed")
			return
		}
	}
	t.Fatal("the link is not among the inputs")
}

// What is longer than the format allows is read so far that it shows.
func TestOpenRevisionReadsNoMoreThanNeeded(t *testing.T) {
	g := newRepository(t)
	g.write("data/engines/a/long.yaml", strings.Repeat("# long\n", 1<<18))
	g.commit()
	inputs, err := store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	require.NoError(t, err)
	b, err := inputs[0].Read()
	require.NoError(t, err)
	assert.Len(t, b, 1<<20+1)
}

// The inputs may be read from many goroutines, packed or not, also while the
// objects are packed anew.
func TestOpenRevisionIsReadFromManyGoroutines(t *testing.T) {
	g := dataset(t)
	inputs, err := store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	require.NoError(t, err)
	readAll := func() {
		var wg sync.WaitGroup
		for range 4 {
			wg.Go(func() {
				for _, in := range inputs {
					_, err := in.Read()
					assert.NoError(t, err)
				}
			})
		}
		wg.Wait()
	}
	readAll()
	g.pack()
	inputs, err = store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	require.NoError(t, err)
	readAll()
}

// An object that was loose when the revision was opened is found in a pack.
func TestOpenRevisionSurvivesPacking(t *testing.T) {
	g := dataset(t)
	inputs, err := store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	require.NoError(t, err)
	_, err = inputs[0].Read()
	require.NoError(t, err)
	g.pack()
	for _, in := range inputs {
		_, err := in.Read()
		assert.NoError(t, err, in.Name)
	}
}

func TestADamagedRepositoryIsAnError(t *testing.T) {
	g := dataset(t)
	objects := filepath.Join(g.dir, ".git", "objects")
	found, err := os.ReadDir(objects)
	require.NoError(t, err)
	for _, d := range found {
		if len(d.Name()) == 2 && !strings.HasPrefix(g.head.String(), d.Name()) {
			require.NoError(t, os.RemoveAll(filepath.Join(objects, d.Name())))
		}
	}
	_, err = store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
	assert.ErrorContains(t, err, "is it a partial clone?")
}
