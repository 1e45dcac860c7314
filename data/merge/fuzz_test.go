package merge_test

import (
	"io/fs"
	"path"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
)

// FuzzDocuments merges any three texts. There is never a panic. What is merged reads
// again; every claim and value of either side is in it or in a conflict, unless the
// base has it and one side took it out or changed it while the other left it; and
// nothing is in it that neither side has.
func FuzzDocuments(f *testing.F) {
	for _, name := range []string{"values", "text"} {
		archive, err := txtar.ParseFile("testdata/" + name + ".txtar")
		require.NoError(f, err)
		for i := 0; i+2 < len(archive.Files); i++ {
			f.Add(head+string(archive.Files[i].Data), head+string(archive.Files[i+1].Data), head+string(archive.Files[i+2].Data))
		}
	}
	require.NoError(f, fs.WalkDir(data.Files, "engines", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(p) != ".yaml" {
			return err
		}
		b, err := fs.ReadFile(data.Files, p)
		f.Add(string(b), string(b), string(b))
		return err
	}))
	f.Fuzz(func(t *testing.T, base, ours, theirs string) {
		r, err := engine(base, ours, theirs)
		if err != nil {
			return
		}
		nothingLost(t, base, ours, theirs, r)
	})
}
