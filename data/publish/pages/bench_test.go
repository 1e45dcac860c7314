package pages_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
	"fourmarks.example/data/publish/pages"
)

// BenchmarkWrite times a release of the demo data with its pages, and without
// them: what the pages cost is the difference.
func BenchmarkWrite(b *testing.B) {
	inputs := demo(b)
	for name, forms := range map[string][]publish.NewForm{"WithPages": {pages.New(pages.Options{})}, "WithoutPages": nil} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_, err := publish.Write(b.Context(), b.TempDir()+"/release", publish.Options{Inputs: inputs, Forms: forms})
				require.NoError(b, err)
			}
		})
	}
}
