package merge_test

import (
	"io/fs"
	"path"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
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
		again := schema.ReadFile("x", r.Text)
		require.Empty(t, again.Doc.Problems)
		b, o, x, result := spoken(base), spoken(ours), spoken(theirs), spoken(string(r.Text))
		torn := func(id claims.ID) bool {
			for _, c := range r.Conflicts {
				if c.ID == id || c.Key == "" && within(id.Pointer, c.Pointer) {
					return true
				}
			}
			return false
		}
		for _, sides := range [][2]map[claims.ID]claims.Claim{{o, x}, {x, o}} {
			for id, c := range sides[0] {
				is, inResult := result[id]
				was, inBase := b[id]
				other, inOther := sides[1][id]
				unchanged := inBase && claims.Same(&was, &c)
				switch {
				case inResult && claims.Same(&is, &c), torn(id):
				case unchanged && !inOther:
				case unchanged && inResult && inOther && claims.Same(&is, &other):
				case c.Kind == claims.From: // a section's source is what its claims have, and they have it
				default:
					require.Fail(t, "lost", "%v %q", id, c.Printed)
				}
			}
		}
		for id, c := range result {
			mine, inOurs := o[id]
			other, inTheirs := x[id]
			require.True(t, inOurs && claims.Same(&mine, &c) || inTheirs && claims.Same(&other, &c), "from nowhere: %v %q", id, c.Printed)
		}
	})
}

func within(pointer, outer string) bool {
	return pointer == outer || len(pointer) > len(outer) && pointer[:len(outer)] == outer && pointer[len(outer)] == '/'
}

func spoken(source string) map[claims.ID]claims.Claim {
	all := map[claims.ID]claims.Claim{}
	if source == "" {
		return all
	}
	for _, c := range claims.Of(lint.EngineFile, schema.ReadFile("x", []byte(source))) {
		all[c.ID] = c
	}
	return all
}
