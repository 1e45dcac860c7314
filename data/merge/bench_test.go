package merge_test

import (
	"bytes"
	"io/fs"
	"testing"

	"fourmarks.example/data"
	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// BenchmarkDocuments times the merge of a large file, with an edit on either side;
// decoding one of the four texts that take part is the measure beside it.
func BenchmarkDocuments(b *testing.B) {
	base, err := fs.ReadFile(data.Files, "engines/penhallow/light-six.yaml")
	if err != nil {
		b.Fatal(err)
	}
	ours := bytes.Replace(base, []byte("inlet_opens: 12 BTDC"), []byte("inlet_opens: 13 BTDC"), 1)
	theirs := bytes.Replace(base, []byte("exhaust_opens: 47 BBDC"), []byte("exhaust_opens: 46 BBDC"), 1)
	b.Run("Merge", func(b *testing.B) {
		for b.Loop() {
			if _, err := merge.Documents(lint.EngineFile, "x.yaml", merge.Base{Text: base}, ours, theirs); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("Decode", func(b *testing.B) {
		for b.Loop() {
			schema.DecodeEngine(schema.ReadFile("x.yaml", base))
		}
	})
}
