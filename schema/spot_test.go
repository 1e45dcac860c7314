package schema_test

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// TestSpotAgreesWithSlot walks every file of the demo dataset both ways, with keys
// besides that the format does not have there.
func TestSpotAgreesWithSlot(t *testing.T) {
	places := 0
	require.NoError(t, fs.WalkDir(data.Files, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(p, ".yaml") || p == "moved.yaml" {
			return err
		}
		slot, spot := schema.EngineSlot, schema.EngineSpot()
		if strings.HasPrefix(p, "sources/") {
			slot, spot = schema.SourceSlot, schema.SourceSpot()
		}
		b, err := fs.ReadFile(data.Files, p)
		require.NoError(t, err)
		var walk func(at text.Path, s schema.Spot, n *text.Node, inFigure bool)
		walk = func(at text.Path, s schema.Spot, n *text.Node, inFigure bool) {
			places++
			want, known := slot(at)
			assert.Equal(t, known && want.Figure, s.Figure(), "%s %s", p, at)
			isFrom := known && want.Cites && len(at) > 0 && at[len(at)-1] == "from"
			assert.Equal(t, isFrom && !inFigure, s.From(), "%s %s", p, at)
			if n == nil {
				return
			}
			for _, e := range n.Entries {
				walk(append(at[:len(at):len(at)], e.Key.Text), s.Down(e.Key.Text), e.Value, inFigure || s.Figure())
			}
			for _, key := range []string{"bore", "from", "engine", "lifts", "change", "claims", "is"} {
				if n.Kind == text.Map && n.Get(key) == nil {
					walk(append(at[:len(at):len(at)], key), s.Down(key), nil, inFigure || s.Figure())
				}
			}
		}
		walk(nil, spot, text.Parse(b, text.DefaultLimits()).Root, false)
		return nil
	}))
	require.Greater(t, places, 5000)
}
