package publish_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
)

// strict returns the published schema with every key that it does not know
// refused: consumers must skip such keys, but none may be there today.
func strict(t testing.TB, definition string) *jsonschema.Schema {
	if known, ok := compiled.Load(definition); ok {
		return known.(*jsonschema.Schema)
	}
	var schema map[string]any
	require.NoError(t, json.Unmarshal(release.Schema, &schema))
	definitions := schema["$defs"].(map[string]any)
	for _, d := range definitions {
		if d := d.(map[string]any); d["properties"] != nil {
			d["additionalProperties"] = false
		}
	}
	delete(schema, "anyOf")
	maps.Copy(schema, map[string]any{"$ref": "#/$defs/" + definition})
	text, err := json.Marshal(schema)
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	require.NoError(t, c.AddResource("release.json", bytes.NewReader(text)))
	is, err := c.Compile("release.json")
	require.NoError(t, err)
	compiled.Store(definition, is)
	return is
}

var compiled sync.Map // by definition, for compiling takes long

func TestEnginesPassTheSchema(t *testing.T) {
	schema := strict(t, "Engine")
	for _, d := range datasets(t) {
		for _, e := range d.engines {
			text, err := json.Marshal(publish.Engine(e, d.register(e), true))
			require.NoError(t, err)
			var value any
			require.NoError(t, json.Unmarshal(text, &value))
			require.NoError(t, schema.Validate(value), e.ID.Text)
		}
	}
}
