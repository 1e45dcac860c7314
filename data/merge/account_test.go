package merge_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/merge"
)

func TestAccount(t *testing.T) {
	base := head + "lifts:\n  from: handbook\n  lift_at: valve\n  inlet: 8 mm\n  exhaust: 8 mm\nsize: {bore: {is: 3 in, from: handbook}}\n"
	ours := head + "lifts:\n  from: handbook\n  lift_at: tappet\n  inlet: {is: 12 mm, from: sheet-4}\n  exhaust: 8 mm\n"
	theirs := head + "lifts:\n  from: handbook\n  lift_at: valve\n  inlet: 8.5 mm\n  exhaust: 7 mm\nsize: {bore: {is: 3 in, from: handbook}}\n"
	r, err := engine(base, ours, theirs)
	require.NoError(t, err)
	require.Empty(t, r.Conflicts)
	var changed, removed, reread []string
	for _, c := range r.Changed {
		was := ""
		if c.Was != nil {
			was = c.Was.Printed
		}
		changed = append(changed, fmt.Sprintf("%s %s: %s > %s by %s", c.Path, c.Key, was, c.Printed, c.By))
	}
	for _, c := range r.Removed {
		removed = append(removed, fmt.Sprintf("%s %s: %s by %s", c.Path, c.Key, c.Printed, c.By))
	}
	for _, c := range r.Reread {
		reread = append(reread, fmt.Sprintf("%s: %s now %s, by %s", c.Figure.Path, c.Word.Path, c.Word.Printed, c.By))
	}
	assert.Equal(t, []string{
		"lifts.lift_at : valve > tappet by ours", "lifts.inlet handbook: 8 mm > 8.5 mm by theirs",
		"lifts.inlet sheet-4:  > 12 mm by ours", "lifts.exhaust handbook: 8 mm > 7 mm by theirs",
	}, changed)
	assert.Equal(t, []string{"size.bore handbook: 3 in by ours"}, removed)
	assert.Equal(t, []string{"lifts.inlet: lifts.lift_at now tappet, by ours", "lifts.exhaust: lifts.lift_at now tappet, by ours"}, reread,
		"a lift read at the valve, in a section that is now of the tappet")
	require.Len(t, r.Disputed, 1)
	assert.Equal(t, "lifts.inlet", r.Disputed[0].Path)
	assert.Len(t, r.Disputed[0].Claims, 2)
}

// A word that is gone may have said what a figure means as well as one that changed.
func TestAWordIsTakenOut(t *testing.T) {
	base := head + "lifts:\n  from: handbook\n  lift_at: valve\n  note: as drawn\n  inlet: 8 mm\n"
	r, err := engine(base, head+"lifts:\n  from: handbook\n  inlet: 8 mm\n", base+"  exhaust: 9 mm\n")
	require.NoError(t, err)
	require.Len(t, r.Reread, 1, "a note says nothing of the kind")
	assert.Equal(t, "lifts.exhaust", r.Reread[0].Figure.Path)
	assert.Equal(t, "lifts.lift_at", r.Reread[0].Word.Path)
	assert.True(t, r.Reread[0].Word.Empty)
	assert.Equal(t, "valve", r.Reread[0].Was.Printed)
	assert.Equal(t, merge.Ours, r.Reread[0].By)
}

// A dispute that a side had before, and one that a variant inherits, are not news.
func TestDisputesAreToldOnce(t *testing.T) {
	disputed := "lifts: {inlet: {claims: {a: 8 mm, b: 9 mm}}}\nvariants: {late: {made: 1930}}\n"
	r, err := engine(head+disputed, head+disputed+"made: 1926\n", head+disputed)
	require.NoError(t, err)
	assert.Empty(t, r.Disputed)

	change := "variants: {late: {change: {lifts: {inlet: {is: %s, from: %s}}}}}\n"
	r, err = engine(head, head+fmt.Sprintf(change, "8 mm", "a"), head+fmt.Sprintf(change, "12 mm", "b"))
	require.NoError(t, err)
	require.Len(t, r.Disputed, 1)
	assert.Equal(t, merge.Dispute{Variant: "late", Path: "lifts.inlet", Claims: r.Disputed[0].Claims}, r.Disputed[0])
}

func TestByInJSON(t *testing.T) {
	b, err := merge.Both.MarshalText()
	require.NoError(t, err)
	assert.Equal(t, "both", string(b))
}
