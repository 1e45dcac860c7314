package release_test

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/release"
)

// definition is the part of a schema that the types are held to.
type definition struct {
	Ref         string `json:"$ref"`
	Type        any
	Description string
	Required    []string
	Properties  map[string]definition
	Items       *definition
	AnyOf       []definition
}

func definitions(t *testing.T) map[string]definition {
	var schema struct {
		Defs map[string]definition `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(release.Schema, &schema))
	return schema.Defs
}

// The Go types and the schema say the same: each struct has the keys of the
// definition of its name, of the same types, and leaves out what is not required.
func TestTypesAreTheSchema(t *testing.T) {
	defs := definitions(t)
	held := map[string]bool{}
	var hold func(reflect.Type)
	hold = func(is reflect.Type) {
		if held[is.Name()] {
			return
		}
		held[is.Name()] = true
		def, ok := defs[is.Name()]
		require.True(t, ok, "the schema has no definition %s", is.Name())
		keys := map[string]bool{}
		for _, f := range fields(is) {
			key, omits := strings.CutSuffix(f.Tag.Get("json"), ",omitempty")
			keys[key] = true
			property, ok := def.Properties[key]
			if !assert.True(t, ok, "%s has no %s in the schema", is.Name(), key) {
				continue
			}
			assert.NotEmpty(t, property.Description+property.Ref, "%s.%s is not described", is.Name(), key)
			assert.Equal(t, !omits, slices.Contains(def.Required, key), "%s.%s is required where it is always written", is.Name(), key)
			if below := holds(t, is.Name()+"."+key, f.Type, property); below != nil {
				hold(below)
			}
		}
		for key := range def.Properties {
			assert.True(t, keys[key], "the type %s has no %s", is.Name(), key)
		}
	}
	for _, document := range []any{release.Engine{}, release.Release{}, release.Engines{}, release.Index{}, release.Range{},
		release.Redirects{}, release.Redirect{}, release.Sources{}, release.Units{}, release.Changes{}} {
		hold(reflect.TypeOf(document))
	}
	for name, def := range defs {
		assert.NotEmpty(t, def.Description, name)
		if def.Properties != nil {
			assert.True(t, held[name], "no type is called %s", name)
		}
	}
}

// fields lists the fields of a struct, those of embedded ones in their place.
func fields(of reflect.Type) []reflect.StructField {
	var all []reflect.StructField
	for _, f := range reflect.VisibleFields(of) {
		if !f.Anonymous {
			all = append(all, f)
		}
	}
	return all
}

// holds checks one property and returns the struct below it, or nil.
func holds(t *testing.T, where string, is reflect.Type, property definition) reflect.Type {
	t.Helper()
	pointer := is.Kind() == reflect.Pointer
	if pointer {
		is = is.Elem()
	}
	switch is.Kind() {
	case reflect.Slice:
		require.NotNil(t, property.Items, where)
		return holds(t, where, is.Elem(), *property.Items)
	case reflect.Struct:
		ref := property.Ref
		if len(property.AnyOf) == 2 {
			ref = property.AnyOf[0].Ref
		}
		assert.Equal(t, "#/$defs/"+is.Name(), ref, where)
		return is
	case reflect.Map:
		assert.Equal(t, "#/$defs/"+is.Name(), property.Ref, where)
		return nil
	}
	var want any = map[reflect.Kind]string{reflect.String: "string", reflect.Bool: "boolean", reflect.Int: "integer", reflect.Int64: "integer", reflect.Float64: "number"}[is.Kind()]
	if pointer {
		want = []any{want, "null"}
	}
	assert.Equal(t, want, property.Type, where)
	return nil
}
