package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/history"
)

// What a commit says of itself is shown, never obeyed.
func TestHistoryOfAHostileCommitIsInert(t *testing.T) {
	const hostile = "\x1b[2J\u202eA\u2066\n\nContributed-by: \x1b]0;x\x07"
	var out bytes.Buffer
	p := &program{Streams: Streams{Out: &out}, env: func(string) string { return "" }}
	require.NoError(t, p.steps(&history.History{Engine: "a/b", Was: []string{hostile}, Steps: []history.Step{{
		Commit: "0123456789abcdef", Author: hostile, Message: hostile, Contributors: []string{hostile}, File: hostile, MovedFrom: hostile, Unread: hostile,
	}}}))
	for _, active := range []string{"\x1b", "\x07", "\u202e", "\u2066"} {
		assert.NotContains(t, out.String(), active)
	}
	assert.Contains(t, out.String(), `\u{1B}[2J`)
	assert.Contains(t, out.String(), "0123456789\n")
}
