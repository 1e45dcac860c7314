package schema

import (
	"bytes"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the figures' patterns into the JSON Schema")

// The JSON Schemas and the Go types name the same sections, keys and kinds.
func TestSchemaAndTypesNameTheSame(t *testing.T) {
	c := readContract()
	reached := map[string]bool{}
	for typ, p := range plans() {
		reached[p.section] = true
		def, ok := c.sections[p.section]
		require.True(t, ok, "no definition %q for the type %s", p.section, typ)
		want := slices.Sorted(maps.Keys(def.Properties))
		got := slices.Sorted(maps.Keys(p.byKey))
		// Every section has a note and most a source; the types keep them in Section.
		if _, own := p.byKey["from"]; !own && p.sourced {
			got = append(got, "from")
		}
		if _, ok := def.Properties["note"]; ok {
			got = append(got, "note")
		}
		slices.Sort(got)
		assert.Equal(t, want, got, "section %s", p.section)
		for _, f := range p.fields {
			_, ref, _ := strings.Cut(def.Properties[f.key].Ref, "#/$defs/")
			tag := typ.Field(f.index).Tag.Get("kind")
			if f.shape == figureShape {
				assert.Equal(t, ref, tag, "%s.%s: the kind of figure", p.section, f.key)
			}
			if f.shape == sectionShape {
				assert.Equal(t, f.elem.section, ref, "%s.%s", p.section, f.key)
			}
		}
	}
	for name, def := range c.sections {
		_, isFigure := figureKinds[name]
		if len(def.Properties) > 0 && !isFigure && name != "seen" {
			assert.True(t, reached[name], "the definition %q has no Go type", name)
		}
	}
	for key := range c.change {
		i, ok := planFor[Engine]().byKey[key]
		assert.True(t, ok && planFor[Engine]().fields[i].shape != wordShape, "a change names %q", key)
	}
}

// Every key is explained: by its own words or those of its kind.
func TestEveryKeyIsExplained(t *testing.T) {
	for _, p := range plans() {
		for _, f := range p.fields {
			d, ok := Describe(p.section, f.key)
			assert.True(t, ok && d.Title != "", "%s.%s has no title", p.section, f.key)
		}
	}
}

// The patterns of figures in the JSON Schema are those of the reader. With
// -update they are written, and nothing else in the file changes.
func TestPatternsAreTheReaders(t *testing.T) {
	text := engineSchema
	for name, kind := range figureKinds {
		start := bytes.Index(text, []byte("\n    \""+name+"\": {"))
		require.Positive(t, start, name)
		at := patternOf.FindSubmatchIndex(text[start:])
		require.NotNil(t, at, name)
		from, to := start+at[2], start+at[3]
		var want bytes.Buffer
		enc := json.NewEncoder(&want)
		enc.SetEscapeHTML(false)
		require.NoError(t, enc.Encode(figurePattern(kind)))
		if *update {
			text = slices.Concat(text[:from], bytes.TrimSpace(want.Bytes()), text[to:])
			continue
		}
		assert.Equal(t, strings.TrimSpace(want.String()), string(text[from:to]),
			"%s: run go test ./schema -run Patterns -update", name)
	}
	if *update {
		require.NoError(t, os.WriteFile("engine.schema.json", text, 0o644))
	}
}

var patternOf = regexp.MustCompile(`"pattern": ("(?:[^"\\]|\\.)*")`)
