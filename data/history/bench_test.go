package history

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkOf times the history of an engine of a hundred versions: read from the
// repository, and from what was kept.
func BenchmarkOf(b *testing.B) {
	w := newWork(b)
	for i := range 100 {
		w.set(fmt.Sprintf("inlet: %d mm", i+1))
	}
	of := func(b *testing.B) {
		d, err := Open(w.Dir + "/data")
		require.NoError(b, err)
		h, err := d.Of(context.Background(), "marlowe/four", "")
		require.NoError(b, err)
		require.Len(b, h.Steps, 100)
		require.NoError(b, d.Close())
	}
	b.Run("NothingKept", func(b *testing.B) {
		for b.Loop() {
			forgetIndex(b, w)
			of(b)
		}
	})
	b.Run("Kept", func(b *testing.B) {
		for b.Loop() {
			of(b)
		}
	})
}
