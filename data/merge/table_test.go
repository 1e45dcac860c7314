package merge_test

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

const head = "format: 1\nengine: tolvane/heron\ntitle: Tolvane Heron\n"

// engine merges engine files.
func engine(base, ours, theirs string) (*merge.Result, error) {
	return merge.Documents(lint.EngineFile, "engines/tolvane/heron.yaml", merge.Base{Text: []byte(base)}, []byte(ours), []byte(theirs))
}

// conflictLines writes conflicts for comparison.
func conflictLines(r *merge.Result) string {
	var b strings.Builder
	for _, c := range r.Conflicts {
		fmt.Fprintf(&b, "%s: %s\n", strings.TrimSpace(c.Pointer+" "+c.Key), c.Kind)
	}
	return b.String()
}

// TestTable runs the cases of testdata, with the sides as they stand and swapped.
func TestTable(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		require.NoError(t, err)
		cases, names := casesOf(t, archive)
		for _, name := range names {
			t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar")+"/"+name, func(t *testing.T) { tableCase(t, cases[name]) })
		}
	}
}

func tableCase(t *testing.T, c map[string]string) {
	for _, sides := range [][2]string{{"ours", "theirs"}, {"theirs", "ours"}} {
		r, err := engine(head+c["base"], head+c[sides[0]], head+c[sides[1]])
		require.NoError(t, err)
		assert.Equal(t, c["conflicts"], conflictLines(r))
		if want, merges := c["want"]; merges {
			assert.Equal(t, head+want, string(r.Text), sides[0])
		} else {
			require.NotEmpty(t, c["conflicts"])
		}
		_, problems := schema.DecodeEngine(schema.ReadFile("x", r.Text))
		for _, p := range problems {
			assert.Contains(t, p.Message, "", "%s", p.Message)
		}
	}
	for _, x := range []string{"base", "ours", "theirs"} {
		isFixedPoint(t, []byte(head+c["base"]), []byte(head+c[x]))
	}
}

// isFixedPoint checks the laws of a merge with nothing to merge, to the byte.
func isFixedPoint(t require.TestingT, b, x []byte) {
	for _, sides := range [][3][]byte{{b, x, x}, {b, b, x}, {b, x, b}} {
		r, err := merge.Documents(lint.EngineFile, "x.yaml", merge.Base{Text: sides[0]}, sides[1], sides[2])
		require.NoError(t, err)
		require.Empty(t, r.Conflicts)
		if !bytes.Equal(x, r.Text) {
			require.Equal(t, string(x), string(r.Text))
		}
	}
}
