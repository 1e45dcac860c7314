package changes_test

import (
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/claims"
)

// Of any two texts: never a panic, nothing between a text and itself, each claim
// in one change at most, and the same changes the other way round.
func FuzzBetween(f *testing.F) {
	f.Add(four, four)
	f.Add(four, "lifts: {inlet: {claims: {a: 8 mm, a: 9 mm}}, inlet: 3\n<<<<")
	f.Add("a", "")
	f.Fuzz(func(t *testing.T, before, after string) {
		was, is := said(before), said(after)
		require.Empty(t, changes.Between(is, is))
		all := changes.Between(was, is)
		seenBefore, seenAfter := map[*claims.Claim]bool{}, map[*claims.Claim]bool{}
		for _, c := range all {
			require.False(t, c.Before == nil && c.After == nil)
			require.NotEqual(t, changes.Unchanged, c.What())
			if c.Before != nil {
				require.False(t, seenBefore[c.Before])
				seenBefore[c.Before] = true
			}
			if c.After != nil {
				require.False(t, seenAfter[c.After])
				seenAfter[c.After] = true
			}
		}
		require.Len(t, changes.Between(is, was), len(all))
		figures, words := changes.Group(all)
		require.NoError(t, changes.FiguresText(io.Discard, figures, words, 80))
	})
}
