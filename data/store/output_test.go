package store

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWriteFileWritesAllOrNothing(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "sheet.html")
	for _, text := range []string{"first", "second"} {
		require.NoError(t, WriteFile(t.Context(), file, []byte(text)))
		is, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, text, string(is))
	}

	stopped, stop := context.WithCancel(t.Context())
	stop()
	assert.ErrorIs(t, WriteFile(stopped, file, []byte("third")), context.Canceled)
	is, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "second", string(is))
	assert.ErrorContains(t, WriteFile(t.Context(), filepath.Join(folder, "none", "sheet.html"), nil), "cannot be written")
	assert.ErrorContains(t, WriteFile(t.Context(), folder, []byte("text")), "cannot be written")

	left, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, left, 1, "no temporary file stays behind")
}
