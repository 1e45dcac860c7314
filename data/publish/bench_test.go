package publish_test

import (
	"context"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/publish"
)

// BenchmarkWrite publishes the demo dataset; engines/s is what a large dataset
// takes, less what a release takes once.
func BenchmarkWrite(b *testing.B) {
	inputs := demo(b)
	dir := b.TempDir()
	engines := 0
	for i := 0; b.Loop(); i++ {
		is, err := publish.Write(context.Background(), filepath.Join(dir, strconv.Itoa(i)), publish.Options{Inputs: inputs})
		require.NoError(b, err)
		engines += is.Engines
	}
	b.ReportMetric(float64(engines)/b.Elapsed().Seconds(), "engines/s")
}
