//go:build !js

package store_test

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/store"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

// large is a packed repository with a dataset of so many engines, each as long
// as the one of the demo dataset that it is made from, and the demo's sources.
func large(b *testing.B, engines int) *gitRepository {
	b.Helper()
	model, err := data.Files.ReadFile("engines/penhallow/light-six.yaml")
	require.NoError(b, err)
	g := newRepository(b)
	for i := range engines {
		id := fmt.Sprintf("maker-%d/model-%d", i/40, i)
		text := strings.ReplaceAll(string(model), "penhallow/light-six", id)
		g.write("data/engines/"+id+".yaml", strings.ReplaceAll(text, "Light Six", fmt.Sprintf("No. %d", i)))
	}
	sources, err := data.Files.ReadDir("sources")
	require.NoError(b, err)
	for _, s := range sources {
		text, err := data.Files.ReadFile("sources/" + s.Name())
		require.NoError(b, err)
		g.write("data/sources/"+s.Name(), string(text))
	}
	g.commit()
	g.pack()
	return g
}

const largeDataset = 10_000

// The time from the command to the findings, for one changed engine of many.
func BenchmarkSinceOneEngineOfMany(b *testing.B) {
	g := large(b, largeDataset)
	changed := "data/engines/maker-7/model-281.yaml"
	g.write(changed, strings.Replace(readFile(g, changed), "title:", "made: 1931\ntitle:", 1))
	benchmarkSince(b, g, 1)
}

// The same when a source changed that every engine may cite: the engines are
// read for it, and those that cite it are linted.
func BenchmarkSinceASourceNobodyCites(b *testing.B) {
	g := large(b, largeDataset)
	g.write("data/sources/quillaby-book-1924.yaml", readFile(g, "data/sources/quillaby-book-1924.yaml")+"note: changed\n")
	benchmarkSince(b, g, 1)
}

func benchmarkSince(b *testing.B, g *gitRepository, checked int) {
	var finding, all []time.Duration
	for b.Loop() {
		start := time.Now()
		inputs, err := store.Open(filepath.Join(g.dir, "data"))
		require.NoError(b, err)
		inputs, err = store.Since(context.Background(), inputs, "HEAD")
		require.NoError(b, err)
		finding = append(finding, time.Since(start))
		res, err := run.Lint(context.Background(), inputs, run.Options{Rules: rules.All()})
		require.NoError(b, err)
		require.Equal(b, checked, res.Files)
		all = append(all, time.Since(start))
	}
	b.ReportMetric(milliseconds(finding), "median-ms-to-find")
	b.ReportMetric(milliseconds(all), "median-ms-in-all")
}

// Every engine of the dataset read at a revision.
func BenchmarkOpenRevision(b *testing.B) {
	g := large(b, largeDataset)
	var all []time.Duration
	for b.Loop() {
		start := time.Now()
		inputs, err := store.OpenRevision(filepath.Join(g.dir, "data"), "HEAD")
		require.NoError(b, err)
		for _, in := range inputs {
			_, err := in.Read()
			require.NoError(b, err)
		}
		all = append(all, time.Since(start))
	}
	b.ReportMetric(milliseconds(all), "median-ms")
}

func milliseconds(took []time.Duration) float64 {
	slices.Sort(took)
	return float64(took[len(took)/2].Microseconds()) / 1000
}
