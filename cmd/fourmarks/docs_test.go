package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fence is a fenced block of a document: what stands behind the fence, and the
// text.
var fence = regexp.MustCompile("(?s)```([^\n]*)\n(.*?)```")

// What the documents show is what the program does. A block of `yaml NAME` is a
// file; in a block of `console` every line that starts with `$ fourmarks` is run
// in the folder of those files, and what follows it is its output. With -update
// the output is written anew.
func TestDocumentsShowWhatHappens(t *testing.T) {
	for _, name := range []string{"README.md", "CONTRIBUTING.md", "DEVELOPERS.md"} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join("..", "..", name)
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			t.Chdir(t.TempDir())
			ran := 0
			shown := fence.ReplaceAllStringFunc(string(text), func(block string) string {
				parts := fence.FindStringSubmatch(block)
				info, body := parts[1], parts[2]
				if file, ok := strings.CutPrefix(info, "yaml "); ok {
					require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
					require.NoError(t, os.WriteFile(file, []byte(body), 0o644))
				}
				if info != "console" {
					return block
				}
				ran++
				return "```console\n" + replay(t, body) + "```"
			})
			if name != "DEVELOPERS.md" {
				assert.Positive(t, ran, "the document shows no command")
			}
			if *update && shown != string(text) {
				require.NoError(t, os.WriteFile(filepath.Join(root(t), name), []byte(shown), 0o644))
				return
			}
			assert.Equal(t, string(text), shown, "run go test ./cmd/fourmarks -run Documents -update")
		})
	}
}

var repository, _ = filepath.Abs(filepath.Join("..", ".."))

func root(t *testing.T) string {
	t.Helper()
	require.NotEmpty(t, repository)
	return repository
}

// replay runs the commands of a console block and returns it with their output.
func replay(t *testing.T, body string) string {
	t.Helper()
	var out strings.Builder
	for _, line := range strings.Split(body, "\n") {
		command, ok := strings.CutPrefix(line, "$ fourmarks")
		if !ok {
			continue
		}
		var b bytes.Buffer
		Run(context.Background(), words(command), Streams{In: strings.NewReader(""), Out: &b, Err: &b}, func(string) string { return "" })
		out.WriteString(line + "\n" + b.String())
		if b.Len() > 0 && !strings.HasSuffix(b.String(), "\n") {
			out.WriteString("\n")
		}
		out.WriteString("\n")
	}
	return strings.TrimRight(out.String(), "\n") + "\n"
}

// words splits a command as a shell does for plain words and double quotes.
func words(command string) []string {
	var all []string
	for i, part := range strings.Split(command, `"`) {
		if i%2 == 1 {
			all = append(all, part)
			continue
		}
		all = append(all, strings.Fields(part)...)
	}
	return all
}
