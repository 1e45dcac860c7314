package schema_test

import (
	"io/fs"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

func TestSlots(t *testing.T) {
	angleKeys := []string{"is", "from", "note", "quote", "seen", "set_aside", "claims"}
	cases := []struct {
		path string
		want schema.Slot
	}{
		{"layout/cycle", schema.Slot{Choices: []string{"four-stroke", "two-stroke"}}},
		{"layout/from", schema.Slot{Cites: true}},
		{"layout/note", schema.Slot{}},
		{"identify/numbers/from", schema.Slot{}},
		{"events", schema.Slot{Named: true}},
		{"events/checking/overlap", schema.Slot{Section: "angle", Figure: true, Kind: figure.Angle, Keys: angleKeys}},
		{"events/checking/overlap/is", schema.Slot{Figure: true, Kind: figure.Angle}},
		{"events/checking/overlap/from", schema.Slot{Cites: true}},
		{"events/checking/overlap/claims", schema.Slot{Named: true, Cites: true}},
		{"events/checking/overlap/claims/a", schema.Slot{Section: "angle", Figure: true, Kind: figure.Angle, Keys: angleKeys[:6]}},
		{"events/checking/overlap/claims/a/is", schema.Slot{Figure: true, Kind: figure.Angle}},
		{"events/checking/overlap/claims/a/seen", schema.Slot{Section: "seen", Keys: []string{"on", "by"}}},
		{"cams/inlet/table", schema.Slot{Named: true}},
		{"setting/cautions/0", schema.Slot{}},
		{"sources/a/copies", schema.Slot{Cites: true}},
		{"variants/b/change/identify/numbers", schema.Slot{Section: "numbers", Keys: []string{"from", "to", "found"}}},
		{"accepted", schema.Slot{Named: true}},
		{"accepted/events.checking", schema.Slot{Named: true}},
		{"accepted/events.checking/events|overlap", schema.Slot{}},
	}
	for _, c := range cases {
		got, ok := schema.EngineSlot(path(c.path))
		assert.True(t, ok, c.path)
		assert.Equal(t, c.want, got, c.path)
	}
	for _, nowhere := range []string{"boar", "size/boar", "layout/cycle/more", "events/checking/overlap/claims/a/claims", "events/checking/overlap/is/is",
		"events/checking/overlap/seen/when", "variants/b/change/title", "accepted/a/b/c", "setting/cautions/0/1"} {
		_, ok := schema.EngineSlot(path(nowhere))
		assert.False(t, ok, nowhere)
	}
}

// path splits at strokes; a bar stands for a stroke within a key.
func path(s string) text.Path {
	parts := strings.Split(s, "/")
	for i := range parts {
		parts[i] = strings.ReplaceAll(parts[i], "|", "/")
	}
	return parts
}

// The demo data uses every key of the format, so every slot is met: each map's
// keys are those of its slot, in its order.
func TestSlotsOfTheDemoData(t *testing.T) {
	files := os.DirFS("../data")
	met := 0
	for folder, slotOf := range map[string]func(text.Path) (schema.Slot, bool){"engines": schema.EngineSlot, "sources": schema.SourceSlot} {
		require.NoError(t, fs.WalkDir(files, folder, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			b, err := fs.ReadFile(files, name)
			if err != nil {
				return err
			}
			schema.ReadFile(name, b).Doc.Walk(func(p text.Path, n *text.Node) bool {
				slot, ok := slotOf(p)
				if !assert.True(t, ok, "%s%s", name, p) {
					return false
				}
				met++
				if n.Kind == text.Map && !slot.Named {
					assertOrdered(t, slot.Keys, n, name+p.String())
				}
				return n.Kind != text.List
			})
			return nil
		}))
	}
	assert.Greater(t, met, 2000)
}

func assertOrdered(t *testing.T, keys []string, n *text.Node, where string) {
	t.Helper()
	last := -1
	for _, e := range n.Entries {
		at := -1
		for i, key := range keys {
			if key == e.Key.Text {
				at = i
			}
		}
		assert.Greater(t, at, last, "%s: %s", where, e.Key.Text)
		last = at
	}
}
