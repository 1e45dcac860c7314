package pages_test

import (
	"fmt"
	"html"
	"io/fs"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/publish/pages"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// write makes a release of a dataset with its pages, in a folder of the test's.
func write(t testing.TB, inputs []lint.Input, linter []byte) (folder string) {
	t.Helper()
	folder = filepath.Join(t.TempDir(), "release")
	writeTo(t, folder, inputs, linter)
	return folder
}

func writeTo(t testing.TB, folder string, inputs []lint.Input, linter []byte) {
	t.Helper()
	_, err := publish.Write(t.Context(), folder, publish.Options{Inputs: inputs, DespiteErrors: true, Forms: []publish.NewForm{pages.New(pages.Options{Linter: linter})}})
	require.NoError(t, err)
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

func demo(t testing.TB) []lint.Input {
	t.Helper()
	inputs, err := store.OpenEmbedded()
	require.NoError(t, err)
	return inputs
}

// shared is the folder in which the pages of the demo data lie for all tests.
var shared string

func TestMain(m *testing.M) {
	code := m.Run()
	if shared != "" {
		_ = os.RemoveAll(shared) // of no use to anybody after the tests
	}
	os.Exit(code)
}

// demoFolder returns the release of the demo data, written once.
func demoFolder(t testing.TB) string {
	t.Helper()
	if shared == "" {
		dir, err := os.MkdirTemp("", "pages")
		require.NoError(t, err)
		shared = dir
		writeTo(t, filepath.Join(shared, "release"), demo(t), linter(t))
	}
	return filepath.Join(shared, "release")
}

// Every page leads on only to files that are there, and to places on them.
func TestLinksLeadSomewhere(t *testing.T) {
	folder := demoFolder(t)
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
			target, err := os.ReadFile(filepath.Join(filepath.Dir(name), filepath.FromSlash(to.Path)))
			if assert.NoError(t, err, "%s on %s", m[1], name) && to.Fragment != "" && !strings.Contains(to.Fragment, "=") {
				assert.True(t, ids(target)[to.Fragment], "%s on %s", m[1], name)
			}
		}
		return nil
	}))
	assert.Greater(t, links, 3000)
}
