package run

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
)

func file(name, id, text string) lint.Input {
	return lint.Input{Name: name, ID: id, Read: func() ([]byte, error) { return []byte(text), nil }}
}

const slip = `format: 1
engine: a/%d
title: Engine number %d
events:
  set: {from: s p. 1, read_at: not given, inlet_opens: 6 BTDC, inlet_closes: 24 ABDC, inlet_duration: 228, overlap: 81, exhaust_closes: 12 ATDC}
sources:
  s: {title: Sheet %d, type: document, grade: works}
variants:
  v:
    made: 1930
    change: {events: {set: {inlet_duration: {is: 282, from: s p. 2}}}}
`

func many(n int) []lint.Input {
	var inputs []lint.Input
	for i := range n {
		id := fmt.Sprintf("a/%d", i)
		inputs = append(inputs, file("engines/"+id+".yaml", id, fmt.Sprintf(slip, i, i, i)))
	}
	return inputs
}

// Output does not depend on how many files are linted at once, byte for byte.
func TestSameOutputOnAnyNumberOfWorkers(t *testing.T) {
	var first []byte
	for _, workers := range []int{1, 2, 7, 16} {
		res, err := Lint(context.Background(), many(60), Options{Rules: rules.All(), Workers: workers})
		require.NoError(t, err)
		require.NotEmpty(t, res.Findings)
		b, err := json.Marshal(res)
		require.NoError(t, err)
		if first == nil {
			first = b
		}
		assert.Equal(t, string(first), string(b), "%d workers", workers)
	}
}

// A finding that the base has is not told again for a variant; one that a
// variant's change makes names the variant and points into the change.
func TestVariants(t *testing.T) {
	res, err := Lint(context.Background(), many(1), Options{Rules: rules.All()})
	require.NoError(t, err)
	count := map[string]int{}
	for _, f := range res.Findings {
		count[f.Rule+" "+f.Variant]++
	}
	assert.Equal(t, 1, count["events/inlet-duration "])
	assert.Equal(t, 1, count["events/inlet-duration v"])
	assert.Equal(t, 1, count["events/overlap "])
	assert.Zero(t, count["events/overlap v"])
}

func TestWhatCannotBeReadIsAFinding(t *testing.T) {
	inputs := append(many(1), lint.Input{Name: "engines/b/c.yaml", Read: func() ([]byte, error) { return nil, errors.New("the disk is on fire") }})
	res, err := Lint(context.Background(), inputs, Options{Rules: rules.All()})
	require.NoError(t, err)
	found := false
	for _, f := range res.Findings {
		if f.File == "engines/b/c.yaml" {
			found = true
			assert.Equal(t, "form/unreadable", f.Rule)
			assert.Contains(t, f.Message, "the disk is on fire")
			assert.Equal(t, 1, f.Line)
		}
	}
	assert.True(t, found)
	assert.Equal(t, 1, res.Engines, "the other file is linted all the same")
}

func TestAcceptanceKeepsAFindingWithItsReason(t *testing.T) {
	text := fmt.Sprintf(slip, 0, 0, 0) + `accepted:
  events.set: {events/inlet-duration: both sheets print it, events/overlap: ""}
  size: {size/swept-volume: no such finding}
`
	res, err := Lint(context.Background(), []lint.Input{file("engines/a/0.yaml", "a/0", text)}, Options{Rules: rules.All()})
	require.NoError(t, err)
	var left []string
	for _, f := range res.Findings {
		if f.Variant == "" {
			left = append(left, f.Rule)
		}
	}
	assert.NotContains(t, left, "events/inlet-duration")
	assert.Contains(t, left, "events/overlap", "an acceptance without a reason keeps nothing")
	assert.Contains(t, left, "form/acceptance-reason")
	assert.Contains(t, left, "form/acceptance-unused")
	require.NotEmpty(t, res.Accepted)
	assert.Equal(t, "both sheets print it", res.Accepted[0].Reason)
}

func TestCancelledRunStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Lint(ctx, many(50), Options{Rules: rules.All()})
	assert.ErrorIs(t, err, context.Canceled)
}

func BenchmarkLint(b *testing.B) {
	inputs := many(200)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Lint(context.Background(), inputs, Options{Rules: rules.All()}); err != nil {
			b.Fatal(err)
		}
	}
}
