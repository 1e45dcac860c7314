package data_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
)

// contradictions are the findings above a note that the prints deserve: file
// and rule, and what is wrong with the print. There are no others.
var contradictions = map[string]string{
	"bmw/r50 form/twin-units":                     twinInches,
	"bmw/r65 form/twin-units":                     twinInches,
	"bmw/r75 form/twin-units":                     twinInches,
	"bmw/r80 form/twin-units":                     twinInches,
	"bmw/r90 form/twin-units":                     twinInches,
	"bmw/r100 form/twin-units":                    twinInches,
	"ford/model-a-infobox size/swept-volume":      "the stroke of 4 1/8 in is a slip for 4 1/4 in, with which the volume agrees",
	"packard/clipper-six-1946 size/swept-volume":  "3.5 by 4.25 in and six cylinders are 245.3 cu in; 245.6 is printed",
	"us-army/f2l912 order/starts-at-one":          "the firing order is printed from No. 2",
	"us-army/h20 form/twin-units":                 "15 psi stands for 11 kg/cm2, which is 156",
	"us-army/six-cylinder-pump order/permutation": "the firing order of a six is cut off after four cylinders",
	"us-army/six-cylinder-pump order/seen-from":   "the direction of rotation is printed without an end",
	"yamaha/yzf-r6 form/twin-units":               "599684 cubic centimetres stand for cubic millimetres",
}

const twinInches = "the cubic inches are cubic centimetres times 0.061, and those were worked out with π = 3.14"

// published is where the published figures of real engines stand, each beside
// its source.
const published = "../testdata/published"

func TestPublishedEngines(t *testing.T) {
	t.Chdir(published)
	inputs, err := store.Open(".")
	require.NoError(t, err)
	res, err := run.Lint(context.Background(), inputs, run.Options{Rules: rules.All()})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, res.Engines, 18)
	raised := map[string]bool{}
	for _, f := range res.Findings {
		if f.Level == lint.Note {
			continue
		}
		key := strings.TrimSuffix(strings.TrimPrefix(f.File, "engines/"), ".yaml") + " " + f.Rule
		raised[key] = true
		if contradictions[key] == "" {
			t.Errorf("%s:%d: %s: %s: %s", f.File, f.Line, f.Level, f.Rule, f.Message)
		}
	}
	for key, why := range contradictions {
		assert.True(t, raised[key], "%s is not raised, though the print is wrong: %s", key, why)
	}
}

// Every engine stands in the canonical form and cites sources of this folder
// only, each of which says where it can be read.
func TestPublishedSources(t *testing.T) {
	t.Chdir(published)
	for _, name := range yamlFiles(t, "engines") {
		source, err := os.ReadFile(name)
		require.NoError(t, err)
		tidy, err := schema.Tidy(source)
		require.NoError(t, err, name)
		assert.Equal(t, string(tidy), string(source), name)
		e, problems := schema.DecodeEngine(schema.ReadFile(name, source))
		require.Empty(t, problems, name)
		for _, f := range e.Figures() {
			for _, c := range f.Claims {
				assert.True(t, c.From.Given(), "%s: %s has no source", name, f.Path)
			}
		}
	}
	for _, name := range yamlFiles(t, "sources") {
		source, err := os.ReadFile(name)
		require.NoError(t, err)
		s, problems := schema.DecodeSource(schema.ReadFile(name, source))
		require.Empty(t, problems, name)
		assert.True(t, strings.HasPrefix(s.URL.Text, "http"), "%s: the source does not say where it can be read", name)
		assert.True(t, s.Rights.Given(), "%s: the source states no rights", name)
	}
}

func yamlFiles(t *testing.T, folder string) []string {
	t.Helper()
	var names []string
	require.NoError(t, filepath.WalkDir(folder, func(p string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(p, ".yaml") {
			names = append(names, p)
		}
		return err
	}))
	require.NotEmpty(t, names)
	return names
}
