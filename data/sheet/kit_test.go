package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/sheet"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

const published = "../../testdata/published"

// engine is one engine or variant with its sources.
type engine struct {
	*schema.Engine
	lookup schema.Register
}

func enginesOf(t testing.TB, inputs []lint.Input) []engine {
	var all []engine
	for _, in := range inputs {
		if !strings.Contains(in.Name, "engines/") {
			continue
		}
		e, problems, err := store.ReadEngine(inputs, in.Name)
		require.NoError(t, err, in.Name)
		require.Empty(t, problems, in.Name)
		for _, one := range e.All() {
			all = append(all, engine{one, store.Register(inputs, e)})
		}
	}
	return all
}

// everyEngine reads the demo dataset and the published engines, with variants.
func everyEngine(t testing.TB) []engine {
	demo, err := store.OpenEmbedded()
	require.NoError(t, err)
	real, err := store.Open(published)
	require.NoError(t, err)
	all := append(enginesOf(t, demo), enginesOf(t, real)...)
	require.Greater(t, len(all), 60)
	return all
}

// demo returns an engine of the demo dataset.
func demo(t testing.TB, name string) engine {
	inputs, err := store.OpenEmbedded()
	require.NoError(t, err)
	for _, e := range enginesOf(t, inputs) {
		if e.Name() == name {
			return e
		}
	}
	require.Fail(t, "no engine "+name)
	return engine{}
}

// written reads an engine from text.
func written(t testing.TB, yaml string) engine {
	t.Helper()
	e, problems := schema.DecodeEngine(schema.ReadFile("engines/made/up.yaml", []byte("format: 1\nengine: made/up\ntitle: Made Up\n"+yaml)))
	require.Empty(t, problems)
	return engine{e, func(string) (*schema.Source, bool) { return nil, false }}
}

func made(t testing.TB, e engine, o sheet.Options) *sheet.Sheet {
	t.Helper()
	s, err := sheet.Make(e.Engine, e.lookup, o)
	require.NoError(t, err, e.Name())
	return s
}
