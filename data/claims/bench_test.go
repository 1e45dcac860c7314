package claims_test

import (
	"io/fs"
	"testing"

	"fourmarks.example/data"
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// BenchmarkOf times reading the text of a file and taking it apart; Parse alone
// is the measure it is held to.
func BenchmarkOf(b *testing.B) {
	source, err := fs.ReadFile(data.Files, "engines/penhallow/light-six.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.Run("Parse", func(b *testing.B) {
		for b.Loop() {
			schema.ReadFile("x", source)
		}
	})
	b.Run("ParseAndTakeApart", func(b *testing.B) {
		for b.Loop() {
			claims.Of(lint.EngineFile, schema.ReadFile("x", source))
		}
	})
}
