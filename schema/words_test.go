package schema_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
)

func TestWords(t *testing.T) {
	e, problems := schema.DecodeEngine(schema.ReadFile("x.yaml", []byte(`format: 1
engine: a/b
title: T
identify: {numbers: {from: "1", found: on the sump}}
layout: {from: book p. 1, valve_gear: side valves, cylinders: 4}
events:
  checking: {from: sheet, read_at: checking clearance, overlap: 3, note: read twice}
setting: {cautions: [never backwards, mind the mark]}
sources: {book: {title: B, grade: maker}, sheet: {title: S, grade: works}}
variants:
  late: {change: {events: {checking: {read_at: running clearance}}}}
`)))
	require.Empty(t, problems)
	said := func(e *schema.Engine) []string {
		var all []string
		for _, w := range e.Words() {
			all = append(all, w.Path+": "+w.Text)
		}
		return all
	}
	assert.Equal(t, []string{
		"identify.numbers.from: 1", "identify.numbers.found: on the sump",
		"layout.from: book p. 1", "layout.valve_gear: side valves",
		"events.checking.from: sheet", "events.checking.read_at: checking clearance", "events.checking.note: read twice",
		"setting.cautions: never backwards", "setting.cautions: mind the mark",
	}, said(e))
	late, _ := e.Variants.Get("late")
	assert.Contains(t, said(late.Engine), "events.checking.read_at: running clearance")
}
