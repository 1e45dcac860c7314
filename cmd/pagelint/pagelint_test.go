package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/schema"
)

// mostBytes is how large the program may be when it is compressed: on a
// telephone it is fetched once, when a contribution is begun.
const mostBytes = 3 << 20

// theProgram is built once for all tests.
var theProgram = sync.OnceValues(func() ([]byte, error) { return build(context.Background()) })

func program(t *testing.T) []byte {
	t.Helper()
	p, err := theProgram()
	require.NoError(t, err)
	return p
}

func TestProgramIsSmall(t *testing.T) {
	packed, err := pack(program(t))
	require.NoError(t, err)
	t.Logf("%d bytes, %d compressed", len(program(t)), len(packed))
	assert.LessOrEqual(t, len(packed), mostBytes)
}

// What a page needs of the rooms and of libraries, and nothing else.
func TestDependencies(t *testing.T) {
	c := exec.Command("go", "list", "-deps", "-f", "{{if not .Standard}}{{.ImportPath}}{{end}}", pkg)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=") // a flag such as -race is not for this platform
	out, err := c.Output()
	require.NoError(t, err)
	var libraries []string
	for _, p := range strings.Fields(string(out)) {
		if !strings.HasPrefix(p, "fourmarks.example/") {
			libraries = append(libraries, p)
		}
	}
	assert.Equal(t, []string{"github.com/santhosh-tekuri/jsonschema/v5"}, libraries)

	c = exec.Command("go", "list", "-deps", pkg)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=") // a flag such as -race is not for this platform
	out, err = c.Output()
	require.NoError(t, err)
	all := strings.Fields(string(out))
	for _, heavy := range []string{"net/http", "crypto/tls", "database/sql", "os/exec", "html/template", "text/template"} {
		assert.NotContains(t, all, heavy)
	}
}

// The findings in a browser are those of the program on a machine, byte for
// byte: for every engine of the demo data and of the published prints, whole and
// with slips in it.
func TestFindingsAreThoseOfTheProgram(t *testing.T) {
	var lists []string
	engines := 0
	for _, dataset := range []fs.FS{data.Files, os.DirFS("../../testdata/published")} {
		files := filesOf(t, dataset)
		for _, f := range files {
			if !strings.HasPrefix(f.Name, "engines/") {
				continue
			}
			engines++
			lists = append(lists, list(t, f, files))
			for _, slip := range slips(f) {
				lists = append(lists, list(t, slip, files))
			}
		}
	}
	assert.Greater(t, engines, 60)
	assert.Greater(t, len(lists), 4*engines)
	got := inNode(t, "check", lists)
	found := 0
	for i, l := range lists {
		want, err := check([]byte(l))
		require.NoError(t, err)
		if string(want) != got[i] {
			assert.Equal(t, string(want), got[i], "file %d", i)
		}
		if bytes.Contains(want, []byte(`"suspects": [
        {`)) {
			found++
		}
	}
	t.Logf("%d engines, %d files, suspects in %d", engines, len(lists), found)
	assert.Greater(t, found, 100, "slips are found")
}

// list is an engine's file with the sources of its dataset, as a page hands them over.
func list(t *testing.T, engine file, all []file) string {
	t.Helper()
	with := []file{engine}
	for _, f := range all {
		if strings.HasPrefix(f.Name, "sources/") && strings.Contains(engine.Text, strings.TrimSuffix(strings.TrimPrefix(f.Name, "sources/"), ".yaml")) {
			f.Context = true
			with = append(with, f)
		}
	}
	b, err := json.Marshal(with)
	require.NoError(t, err)
	return string(b)
}

func filesOf(t *testing.T, dataset fs.FS) []file {
	t.Helper()
	var all []file
	require.NoError(t, fs.WalkDir(dataset, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(p) != ".yaml" {
			return err
		}
		b, err := fs.ReadFile(dataset, p)
		all = append(all, file{Name: p, Text: string(b)})
		return err
	}))
	return all
}

var twoDigits = regexp.MustCompile(`[1-9][0-9]`)

// mostSlips bounds how many slips are made in one engine's file.
const mostSlips = 12

// slips returns an engine's file with two digits of one print exchanged, for
// prints all over the file.
func slips(f file) []file {
	e, _ := schema.DecodeEngine(schema.ReadFile(f.Name, []byte(f.Text)))
	var all []file
	for _, figure := range e.Figures() {
		c := figure.First()
		if c == nil {
			continue
		}
		from, to := c.At.Node.Span.Start, c.At.Node.Span.End
		at := twoDigits.FindStringIndex(f.Text[from:to])
		if at == nil || f.Text[from+at[0]] == f.Text[from+at[0]+1] {
			continue
		}
		text := []byte(f.Text)
		slices.Reverse(text[from+at[0] : from+at[1]])
		all = append(all, file{Name: f.Name, Text: string(text)})
	}
	step := max(1, (len(all)+mostSlips-1)/mostSlips)
	var some []file
	for i := 0; i < len(all); i += step {
		some = append(some, all[i])
	}
	return some
}

// inNode asks the program the questions under Node.js, which runs WebAssembly as
// a browser does.
func inNode(t *testing.T, call string, texts []string) []string {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil && os.Getenv("CI") != "true" {
		t.Skip("there is no Node.js here to run WebAssembly in")
	}
	name := filepath.Join(t.TempDir(), "linter.js")
	require.NoError(t, writeScript(t.Context(), name))
	type question struct {
		Call string `json:"call"`
		Text string `json:"text"`
	}
	var questions []question
	for _, text := range texts {
		questions = append(questions, question{call, text})
	}
	in, err := json.Marshal(questions)
	require.NoError(t, err)
	c := exec.CommandContext(t.Context(), "node", "testdata/run.cjs", name)
	c.Stdin = bytes.NewReader(in)
	var said bytes.Buffer
	c.Stderr = &said
	out, err := c.Output()
	require.NoError(t, err, said.String())
	var answers []string
	require.NoError(t, json.Unmarshal(out, &answers))
	require.Len(t, answers, len(texts))
	return answers
}

func TestCheckRefusesWhatIsNoList(t *testing.T) {
	_, err := check([]byte("{"))
	assert.ErrorContains(t, err, "the list of files cannot be read")
}

func TestWriteLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "taken")
	require.NoError(t, os.Mkdir(name, 0o755))
	assert.Error(t, write(name, []byte("x")))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Equal(t, []string{"taken"}, func() (names []string) {
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}(), fmt.Sprint(entries))
}
