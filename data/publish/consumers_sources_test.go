package publish_test

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/release"
)

func sourcesByCitationJS(t *testing.T, dirs map[string]string) {
	needs(t, "node")
	type item struct {
		ID, Title string
		Issued    *struct {
			Parts [][]int `json:"date-parts"`
		}
	}
	for name, dir := range dirs {
		var read struct{ CSL, BibTeX []item }
		require.NoError(t, json.Unmarshal(node(t, "sources.mjs", dir), &read))
		d, err := release.OpenFolder(dir)
		require.NoError(t, err)
		sources, err := d.Sources()
		require.NoError(t, err)
		require.Len(t, read.CSL, len(sources), name)
		require.Len(t, read.BibTeX, len(sources), name)
		for i, s := range sources {
			assert.Equal(t, []string{s.ID, s.Title}, []string{read.CSL[i].ID, read.CSL[i].Title})
			if name == "hostile" {
				continue // what BibTeX makes of the escapes is its own affair: it reads the right number of entries
			}
			assert.Equal(t, s.ID, read.BibTeX[i].ID)
			if is := read.BibTeX[i].Issued; is != nil && len(is.Parts) > 0 {
				assert.Contains(t, s.Issued, strconv.Itoa(is.Parts[0][0]))
			}
		}
	}
}

// What CSL JSON may hold by the input schema of the Citation Style Language
// 1.0.2 (csl-data.json): these variables, and types that it lists.
func cslHoldsOnlyItsVariables(t *testing.T, dirs map[string]string) {
	texts := strings.Fields("id type title publisher edition page container-title volume number language archive URL note")
	for name, dir := range dirs {
		b, err := os.ReadFile(filepath.Join(dir, "sources.csl.json"))
		require.NoError(t, err)
		var items []map[string]any
		require.NoError(t, json.Unmarshal(b, &items))
		require.NotEmpty(t, items)
		for _, item := range items {
			assert.NotEmpty(t, item["id"])
			assert.NotEmpty(t, item["type"])
			for key, is := range item {
				switch key {
				case "author":
					for _, author := range is.([]any) {
						assert.Equal(t, []string{"literal"}, slices.Collect(maps.Keys(author.(map[string]any))))
					}
				case "issued", "accessed":
					assert.Len(t, is, 1)
					assert.Subset(t, []string{"date-parts", "literal"}, slices.Collect(maps.Keys(is.(map[string]any))))
				case "custom":
					assert.IsType(t, map[string]any{}, is)
				default:
					assert.Contains(t, texts, key, name)
					assert.IsType(t, "", is)
				}
			}
		}
	}
}
