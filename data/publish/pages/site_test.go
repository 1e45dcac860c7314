package pages_test

import (
	"fmt"
	"html"
	"io/fs"
	"net/url"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/publish"
	"fourmarks.example/data/publish/pages"
	"fourmarks.example/schema"
)

// dataset is a dataset read for a test.
type dataset struct {
	engines []*schema.Engine
	sources map[string]*schema.Source
}

func (d dataset) register(e *schema.Engine) schema.Register {
	return func(id string) (*schema.Source, bool) {
		if own, ok := e.Sources.Get(id); ok {
			return own, true
		}
		s, ok := d.sources[id]
		return s, ok
	}
}

// read reads the engines and sources of a folder, in the order of their ids.
func read(t testing.TB, folder fs.FS) dataset {
	t.Helper()
	d := dataset{sources: map[string]*schema.Source{}}
	require.NoError(t, fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path.Ext(name) != ".yaml" {
			return err
		}
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return err
		}
		file := schema.ReadFile(name, text)
		switch {
		case strings.HasPrefix(name, "engines/"):
			e, _ := schema.DecodeEngine(file)
			d.engines = append(d.engines, e)
		case strings.HasPrefix(name, "sources/"):
			s, _ := schema.DecodeSource(file)
			d.sources[strings.TrimSuffix(path.Base(name), ".yaml")] = s
		}
		return nil
	}))
	slices.SortFunc(d.engines, func(a, b *schema.Engine) int { return strings.Compare(a.ID.Text, b.ID.Text) })
	return d
}

// write writes the pages of a dataset to a folder of the test's.
func write(t testing.TB, d dataset, linter []byte) (folder string) {
	t.Helper()
	folder = t.TempDir()
	if keep := os.Getenv("FOURMARKS_PAGES"); keep != "" { // to look at them
		folder = keep
	}
	w, err := pages.New(pages.Options{Linter: linter, Put: func(name string, content []byte) error {
		file := filepath.Join(folder, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		return os.WriteFile(file, content, 0o644)
	}})
	require.NoError(t, err)
	for _, e := range d.engines {
		register := d.register(e)
		r, err := w.Render(pages.Engine{Published: publish.Engine(e, register, true), File: e, Register: register})
		require.NoError(t, err)
		require.NoError(t, w.Add(r))
	}
	require.NoError(t, w.Close())
	return folder
}

var linterScript = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "linter")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	name := filepath.Join(dir, "linter.js")
	if said, err := exec.Command("go", "run", "fourmarks.example/cmd/pagelint", name).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, said)
	}
	return os.ReadFile(name)
})

// linter is the script that holds the linter, built once for all tests.
func linter(t testing.TB) []byte {
	t.Helper()
	script, err := linterScript()
	require.NoError(t, err)
	return script
}

func demo(t testing.TB) dataset { return read(t, data.Files) }

// Every page leads on only to files that are there, and to places on them.
func TestLinksLeadSomewhere(t *testing.T) {
	folder := write(t, demo(t), linter(t))
	attribute := regexp.MustCompile(`(?:href|src)="([^"]*)"`)
	identity := regexp.MustCompile(` id="([^"]*)"`)
	ids := func(page []byte) map[string]bool {
		all := map[string]bool{}
		for _, m := range identity.FindAllSubmatch(page, -1) {
			id := html.UnescapeString(string(m[1]))
			assert.False(t, all[id], "%s stands twice", id)
			all[id] = true
		}
		return all
	}
	links := 0
	require.NoError(t, filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(name) != ".html" {
			return err
		}
		page, err := os.ReadFile(name)
		require.NoError(t, err)
		here := ids(page)
		for _, m := range attribute.FindAllSubmatch(page, -1) {
			links++
			to, err := url.Parse(html.UnescapeString(string(m[1])))
			require.NoError(t, err, "%s", m[1])
			assert.Empty(t, to.Scheme, "%s leads out", m[1])
			if to.Path == "" {
				assert.True(t, here[to.Fragment], "%s: there is no %s", name, to.Fragment)
				continue
			}
			if strings.HasSuffix(to.Path, ".json") { // the data of the release is written by others
				continue
			}
			target, err := os.ReadFile(filepath.Join(filepath.Dir(name), filepath.FromSlash(to.Path)))
			if assert.NoError(t, err, "%s on %s", m[1], name) && to.Fragment != "" && !strings.Contains(to.Fragment, "=") {
				assert.True(t, ids(target)[to.Fragment], "%s on %s", m[1], name)
			}
		}
		return nil
	}))
	assert.Greater(t, links, 3000)
}
