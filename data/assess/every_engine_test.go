package assess_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

// Every engine, the demo dataset's and the published ones, read just as its
// figures are printed, is as it should be.
func TestEveryEngineReadAsPrintedIsSound(t *testing.T) {
	tried := 0
	for _, root := range []string{filepath.Join("..", "engines"), filepath.Join("..", "..", "testdata", "published", "engines")} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".yaml" {
				return err
			}
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			e, problems := schema.DecodeEngine(schema.ReadFile(path, text))
			require.Empty(t, problems)
			for _, set := range e.Events {
				if e.Layout != nil && e.Layout.Cycle.Text == "two-stroke" {
					continue
				}
				readings, n := asPrinted(set.Value)
				if n < 2 {
					continue
				}
				tried++
				a, err := assess.Assess(e, "", readingsOf(t, readings))
				if assert.NoError(t, err, "%s %s\n%s", path, set.Name, readings) {
					assert.Equal(t, assess.Explained, a.Verdict, "%s %s: %v", path, set.Name, a.Says)
					assert.True(t, a.Sound(), "%s %s: %v", path, set.Name, a.Says)
				}
			}
			return nil
		}))
	}
	assert.Greater(t, tried, 40)
}

// asPrinted writes readings that are the prints of a set, and how many they are.
func asPrinted(set *schema.EventSet) (readings string, n int) {
	at := set.ReadAt.Text
	if at == "" {
		at = "not given"
	}
	cylinder := set.Cylinder.Text()
	if cylinder == "" {
		cylinder = "1"
	}
	var b strings.Builder
	b.WriteString("read_at: " + quoted(at) + "\nuncertainty: 1\ncylinders:\n  " + cylinder + ":\n")
	for i, f := range []*schema.Figure{set.InletOpens, set.InletCloses, set.ExhaustOpens, set.ExhaustCloses} {
		if print := f.Text(); print != "" {
			b.WriteString("    " + eventKeys[i] + ": " + quoted(print) + "\n")
			n++
		}
	}
	return b.String(), n
}
