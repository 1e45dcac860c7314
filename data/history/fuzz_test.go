package history

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
)

// Whatever stands in the file of an index, with a checksum that is right even: it
// is passed over, or it is one that can be told from.
func FuzzReadIndex(f *testing.F) {
	x := &index{ids: []string{"a/b"}, archive: newArchive(), moments: []moment{{at: place{"p", commits.BlobHash(nil)}}}}
	x.archive.versions[commits.BlobHash(nil)] = x.archive.add(extract([]byte("engine: a/b\nlifts: {inlet: {claims: {a: 8 mm, b: 9.5 mm}}}\n")))
	b, err := json.Marshal(keep(x))
	require.NoError(f, err)
	f.Add(b, true)
	f.Add(b, false)
	f.Add([]byte(`{"ids":["a"],"moments":[{"c":"00"}],"blobs":{"":{"c":[-1]}}}`), true)
	f.Fuzz(func(t *testing.T, body []byte, signed bool) {
		file := filepath.Join(t.TempDir(), "index")
		if signed {
			body = append([]byte(header(body)), body...)
		}
		require.NoError(t, os.WriteFile(file, body, 0o600))
		x := readIndex(file)
		if x == nil {
			return
		}
		require.NotEmpty(t, x.ids)
		for _, m := range x.moments {
			x.archive.step(m)
		}
	})
}
