package schema_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
)

// TestWideGroups: a table of many lines reads as one of few does, also where a
// variant changes some, takes some away and adds some.
func TestWideGroups(t *testing.T) {
	for _, wide := range []int{3, 63, 64, 1000} {
		var b strings.Builder
		b.WriteString("format: 1\nengine: a/b\ntitle: T\ncams:\n  inlet:\n    from: sheet\n    table:\n")
		for i := range wide {
			fmt.Fprintf(&b, "      %d: %d mm\n", i, i+1)
		}
		b.WriteString("variants:\n  late:\n    change:\n      cams:\n        inlet:\n          from: other\n          table: {0: 77 mm, 1: removed, 99999: 5 mm}\n")
		e, problems := schema.DecodeEngine(schema.ReadFile("x", []byte(b.String())))
		require.Empty(t, problems)
		inlet, _ := e.Cams.Get("inlet")
		require.Len(t, inlet.Table, wide)
		for i, line := range inlet.Table {
			require.Equal(t, fmt.Sprint(i), line.Name)
			require.Equal(t, fmt.Sprintf("%d mm", i+1), line.Value.Text())
		}
		late, _ := e.Variants[0].Value.Engine.Cams.Get("inlet")
		require.Len(t, late.Table, wide)
		assert.Equal(t, "77 mm", late.Table[0].Value.Text())
		assert.Equal(t, "other", late.Table[0].Value.First().From.Source)
		assert.Equal(t, "3 mm", late.Table[1].Value.Text())
		assert.Equal(t, "sheet", late.Table[1].Value.First().From.Source)
		assert.Equal(t, "99999", late.Table[wide-1].Name)
	}
}
