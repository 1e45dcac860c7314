package publish_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/release"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// changes publishes a dataset beside an earlier release of another.
func changes(t *testing.T, before, after []lint.Input) []release.Change {
	earlier, _ := written(t, publish.Options{Inputs: before, Name: "1", DespiteErrors: true})
	d, err := release.OpenFolder(earlier)
	require.NoError(t, err)
	dir, _ := written(t, publish.Options{Inputs: after, Name: "2", DespiteErrors: true, Earlier: publish.EarlierRelease(d)})
	later, err := release.OpenFolder(dir)
	require.NoError(t, err)
	is, err := later.Changes()
	require.NoError(t, err)
	assert.Equal(t, "1", is.Since)

	byFiles, _ := written(t, publish.Options{Inputs: after, Name: "2", DespiteErrors: true, Earlier: publish.EarlierDataset("1", before)})
	for _, name := range []string{"changes.json", "CHANGES.md"} {
		one, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		other, err := os.ReadFile(filepath.Join(byFiles, name))
		require.NoError(t, err)
		assert.Equal(t, string(one), string(other), "the files of the dataset say the same as its release")
	}
	return is.Changes
}

func TestADatasetThatDidNotChangeHasNoChanges(t *testing.T) {
	published, err := store.Open("../../testdata/published")
	require.NoError(t, err)
	assert.Empty(t, changes(t, demo(t), demo(t)))
	assert.Empty(t, changes(t, published, published))
}

func TestChanges(t *testing.T) {
	for name, c := range map[string]struct {
		change []string
		want   []string
	}{
		"a value":         {[]string{"48 ABDC", "49 ABDC"}, []string{"value 48 ABDC 49 ABDC"}},
		"a print":         {[]string{"48 ABDC", "48.0 ABDC"}, []string{"value 48 ABDC 48.0 ABDC"}},
		"another source":  {[]string{"48 ABDC", "{is: 48 ABDC, from: sheet line 9}"}, []string{"claims 48 ABDC 48 ABDC"}},
		"a witness":       {[]string{"48 ABDC", "{claims: {sheet: {is: 48 ABDC, from: sheet line 2}, book: {is: 48 ABDC}}}"}, []string{"standing 48 ABDC 48 ABDC"}},
		"a dispute":       {[]string{"48 ABDC", "{claims: {sheet: {is: 48 ABDC}, book: {is: 84 ABDC}}}"}, []string{"value 48 ABDC "}},
		"a figure more":   {[]string{"48 ABDC", "48 ABDC\n    exhaust_opens: 47 BBDC"}, []string{"added - 47 BBDC"}},
		"a figure less":   {[]string{"    inlet_closes: 48 ABDC\n", ""}, []string{"gone 48 ABDC -"}},
		"only the layout": {[]string{"48 ABDC", "'48 ABDC' # as stamped"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			var got []string
			for _, change := range changes(t, small(t), small(t, c.change...)) {
				assert.Equal(t, "marlowe/four", change.Engine)
				got = append(got, change.What+" "+printed(change.Before)+" "+printed(change.After))
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func printed(s *release.State) string {
	if s == nil {
		return "-"
	}
	return s.Printed
}

func TestAnEngineIsFollowedWhenItsIDChanges(t *testing.T) {
	sheet := "type: document\ntitle: Setting sheet\ngrade: works\n"
	figures := "title: Marlowe Four\nevents:\n  checking:\n    from: sheet line 2\n    read_at: checking clearance\n    inlet_closes: "
	before := folder(t, map[string]string{"sources/sheet.yaml": sheet, "engines/marlowe/quad.yaml": "format: 1\nengine: marlowe/quad\n" + figures + "48 ABDC\n",
		"engines/marlowe/gone.yaml": "format: 1\nengine: marlowe/gone\n" + figures + "50 ABDC\n"})
	after := folder(t, map[string]string{"sources/sheet.yaml": sheet, "engines/marlowe/four.yaml": "format: 1\nengine: marlowe/four\n" + figures + "49 ABDC\n",
		"moved.yaml": "marlowe/quad: {to: marlowe/four, because: renamed}\n"})
	var got []string
	for _, c := range changes(t, before, after) {
		got = append(got, c.Engine+" "+c.What+" "+printed(c.Before)+" "+printed(c.After))
	}
	assert.Equal(t, []string{"marlowe/four value 48 ABDC 49 ABDC", "marlowe/gone gone 50 ABDC -"}, got)
}
