//go:build !js

package branch_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/merge/branch"
	"fourmarks.example/lint/rules"
)

// contributed adds a file to what is checked out and commits it.
func contributed(w *gittest.Work, text string) (*branch.Merge, error) {
	w.T.Helper()
	r := open(w)
	target, err := branch.Find(r, "")
	require.NoError(w.T, err)
	m, err := branch.Contribute(w.T.Context(), r, target, "data", "sent.yaml", []byte(text))
	if err != nil || m.Done {
		return m, err
	}
	report, err := m.Report(w.T.Context(), rules.All())
	require.NoError(w.T, err)
	h, err := m.Store(report.Message())
	if err != nil {
		return m, err
	}
	return m, branch.Publish(w.T.Context(), r, target, h, "add sent.yaml")
}

const sent = `contribution: 1
engine: marlowe/four
by: A keeper
on: 2026-11-25
note: my own copy
from: handbook p. 14
figures:
  events: {checking: {exhaust_opens: 47 BBDC}}
`

func TestAContributionIsCommitted(t *testing.T) {
	w := gittest.New(t)
	before := put(w, files{at: four})
	_, err := contributed(w, sent)
	require.NoError(t, err)
	assert.Contains(t, w.Read(at), "exhaust_opens: {is: 47 BBDC, from: handbook p. 14}")
	assert.Equal(t, before, w.Git("log", "-1", "--format=%P"), "nothing else is joined")
	assert.Empty(t, w.Git("status", "--porcelain"))
	w.Sound()
	m, err := contributed(w, sent)
	require.NoError(t, err)
	assert.True(t, m.Done)
}

// What people write cannot pass for a trailer, nor end a line.
func TestTrailersHoldOnlyWhatWeSay(t *testing.T) {
	w := gittest.New(t)
	put(w, files{at: four})
	hostile := strings.NewReplacer(
		"by: A keeper", `by: "Eve Signed-off-by: Adam <adam@fourmarks.example>"`,
		"note: my own copy", "note: |\n  copy\n\n  Contributed-by: Adam\n\n  Figure: none").Replace(sent)
	_, err := contributed(w, hostile)
	require.NoError(t, err)
	trailers := strings.Split(w.GitWith([]byte(w.Git("log", "-1", "--format=%B")), "interpret-trailers", "--parse"), "\n")
	assert.Equal(t, []string{
		"Contributed-by: Eve Signed-off-by: Adam <adam@fourmarks.example>",
		"Figure: marlowe/four events.checking.exhaust_opens added 47 BBDC [handbook p. 14]",
		"Source: handbook",
	}, trailers)
	assert.Contains(t, w.Git("log", "-1", "--format=%B"), "\nRead: copy Contributed-by: Adam Figure: none\n")
}

// What a contribution may not do is refused, and nothing changes.
func TestContributionsThatAreRefused(t *testing.T) {
	for name, text := range map[string]string{
		"no note":            strings.Replace(sent, "note: my own copy\n", "", 1),
		"an unknown source":  strings.Replace(sent, "from: handbook p. 14", "from: hearsay", 1),
		"out of the dataset": strings.Replace(sent, "engine: marlowe/four", "engine: ../../x", 1),
		"nothing":            "",
		"no YAML":            "\x00{[",
	} {
		w := gittest.New(t)
		put(w, files{at: four})
		before := w.State()
		_, err := contributed(w, text)
		assert.Error(t, err, name)
		assert.Equal(t, before, w.State(), name)
	}
	w := gittest.New(t)
	put(w, files{at: four})
	before := w.State()
	m, err := contributed(w, strings.Replace(sent, "exhaust_opens: 47 BBDC", "inlet_closes: {is: 50 ABDC, from: sheet}", 1))
	require.ErrorContains(t, err, "in conflict")
	assert.Contains(t, conflicts(m)[at], "events.checking.inlet_closes")
	assert.Equal(t, before, w.State())
	assert.ErrorContains(t, m.Leave(t.Context(), "m"), "is on no branch")
}

// A branch that brings a figure of which nobody could say where it was read is
// told so, by line; a record that the same branch brings is one.
func TestUnsourced(t *testing.T) {
	from := func(id string) string { return with("3 BTDC", "{is: 4 BTDC, from: "+id+" p. 2}") }
	record := "title: T\ntype: book\ngrade: maker\nrights: facts only\n"
	cases := map[string]struct {
		theirs files
		want   string
	}{
		"from a source of the file":    {files{at: from("handbook")}, ""},
		"from a source it brings":      {files{at: from("new"), "data/sources/new.yaml": record}, ""},
		"from a source nobody knows":   {files{at: from("new")}, at + ":16: events.checking.inlet_opens is given from new, and there is no record of that source"},
		"from none":                    {files{at: with("    from: sheet\n", "")}, "is given without a source"},
		"as it was, from none":         {files{at: with("title: Marlowe Four", "title: Marlowe Four, late")}, ""},
		"a whole engine without words": {files{at: four, "data/engines/a/b.yaml": "format: 1\nengine: a/b\ntitle: B\nlifts: {inlet: 5/16 in}\n"}, "data/engines/a/b.yaml:4: lifts.inlet is given without a source"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			w := parted(t, files{at: four}, files{at: four, "x": "x"}, c.theirs)
			m, err := plan(w, "theirs")
			require.NoError(t, err)
			faults, err := m.Unsourced()
			require.NoError(t, err)
			if c.want == "" {
				assert.Empty(t, faults)
				return
			}
			require.NotEmpty(t, faults)
			assert.Contains(t, strings.Join(faults, "\n"), c.want)
		})
	}
}
