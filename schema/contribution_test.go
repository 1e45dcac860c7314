package schema

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const aContribution = `contribution: 1
engine: penhallow/light-six
variant: series-2
by: the keeper of LS2207
on: 2026-11-25
note: read from my copy, third printing
sources:
  bulletin-9: {title: Bulletin 9, grade: maker}
from: bulletin-9 p. 2
figures:
  clearances:
    running: {inlet: 4 thou}
  events:
    checking:
      from: sheet-7
      inlet_closes: 52 ABDC
`

func readContribution(source string) (*Contribution, []string) {
	c, problems := DecodeContribution(ReadFile("c.yaml", []byte(source)))
	var told []string
	for _, p := range problems {
		line, column := p.At.Position()
		told = append(told, fmt.Sprintf("%d:%d %s", line, column, p.Message))
	}
	return c, told
}

func TestContributionKeepsItsPlaces(t *testing.T) {
	c, told := readContribution(aContribution)
	require.Empty(t, told)
	assert.Equal(t, "penhallow/light-six", c.Engine.Text)
	assert.Equal(t, "read from my copy, third printing", c.Note.Text)
	require.Len(t, c.All(), 2)
	inlet, closes := c.All()[0].First(), c.All()[1].First()
	assert.Equal(t, "bulletin-9 p. 2", inlet.From.String(), "of the whole contribution")
	assert.Equal(t, "sheet-7", closes.From.String(), "of the section")
	line, _ := closes.At.Position()
	assert.Equal(t, 16, line)
	source, ok := c.Sources.Get("bulletin-9")
	require.True(t, ok)
	assert.Equal(t, "maker", source.Grade.Text)
	assert.True(t, IsContribution(ReadFile("c.yaml", []byte(aContribution))))
	assert.False(t, IsContribution(ReadFile("c.yaml", []byte("format: 1\n"))))
	assert.False(t, IsContribution(ReadFile("c.yaml", nil)))
}

func TestBadContributionsAreNamed(t *testing.T) {
	swap := func(old, new string) string {
		require.Contains(t, aContribution, old)
		return strings.Replace(aContribution, old, new, 1)
	}
	for name, c := range map[string]struct{ source, want string }{
		"no note":             {swap("note: read from my copy, third printing\n", ""), "1:1 `note` is missing; the contribution file needs it"},
		"an empty note":       {swap("note: read from my copy, third printing", "note:"), "6:1 `note` is empty; write a value"},
		"nobody":              {swap("by: the keeper of LS2207\n", ""), "1:1 `by` is missing"},
		"no figures":          {swap(aContribution[strings.Index(aContribution, "figures:"):], ""), "1:1 `figures` is missing"},
		"no source":           {swap("from: bulletin-9 p. 2\n", ""), "11:22 `figures.clearances.running.inlet` names no source"},
		"a figure unread":     {swap("52 ABDC", "late"), "16:21 "},
		"a key of elsewhere":  {swap("running: {inlet:", "running: {swept_volume:"), "12:15 `swept_volume` is not a key of `figures.clearances.running`; it belongs in `size`"},
		"a section of none":   {swap("  events:", "  event:"), "13:3 `event` is not a key of `figures`; did you mean `events`?"},
		"accepted findings":   {swap("  events:", "  accepted:"), "13:3 `accepted` is not a key of `figures`"},
		"taken away":          {swap("52 ABDC", "removed"), "16:21 `figures.events.checking.inlet_closes` can be removed only in a variant's change"},
		"a source ungraded":   {swap(", grade: maker", ""), "8:15 `grade` is missing"},
		"no engine's id":      {swap("penhallow/light-six", "light six"), "2:9 `engine` cannot be \"light six\""},
		"another version":     {swap("contribution: 1", "contribution: 2"), "1:15 `contribution` must be 1"},
		"a date of no form":   {swap("2026-11-25", "last week"), "5:5 `on` cannot be \"last week\""},
		"nothing to be read":  {"contribution: [\n", "1:15 "},
		"nothing in figures":  {swap(aContribution[strings.Index(aContribution, "figures:"):], "figures: {}\n"), "10:10 `figures` is empty"},
		"figures but no keys": {swap(aContribution[strings.Index(aContribution, "figures:"):], "figures: 4 thou\n"), "10:10 `figures` holds keys of its own"},
	} {
		t.Run(name, func(t *testing.T) {
			_, told := readContribution(c.source)
			require.NotEmpty(t, told)
			assert.Contains(t, told[0], c.want)
		})
	}
}

func TestTidyContribution(t *testing.T) {
	out, err := Tidy([]byte("figures:\n  events: {running: {overlap: 13}}\n  size: {bore: 3 in}\nby: me\ncontribution: 1\n"))
	require.NoError(t, err)
	assert.Equal(t, "contribution: 1\nby: me\nfigures:\n  size: {bore: 3 in}\n  events: {running: {overlap: 13}}\n", string(out))
}
