package serve_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// How long it takes from a key struck to the findings shown: one engine with two
// variants, in a dataset of 2,000 engines and 600 source records. The client and
// the pipes between are in it.
func BenchmarkKeystroke(b *testing.B) {
	file := largeDataset(b, 2000, 600)
	source, err := os.ReadFile(file)
	require.NoError(b, err)
	c := connect(b)
	c.initialize(able)
	uri := uriOf(file)
	started := time.Now()
	c.open(uri, string(source))
	opened := time.Since(started)

	before, _, found := strings.Cut(string(source), "inlet_closes: 57 ABDC")
	require.True(b, found)
	at := position{strings.Count(before, "\n"), len("    inlet_closes: 57")}
	version := 1
	var took []time.Duration
	for b.Loop() { // a 1 typed behind the 57, and taken out again
		version++
		from, in := at, "1"
		if version%2 == 1 {
			from.Character++
			in = ""
		}
		change := object{"range": extent{at, from}, "text": in}
		started := time.Now()
		c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": version}, "contentChanges": []object{change}})
		c.findings(uri, version)
		took = append(took, time.Since(started))
	}
	slices.Sort(took)
	milliseconds := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(milliseconds(opened), "ms/opening")
	b.ReportMetric(milliseconds(took[len(took)/2]), "ms/median")
	b.ReportMetric(milliseconds(took[len(took)*99/100]), "ms/99th")
	b.ReportMetric(0, "ns/op")
}

// Hover is asked for whenever the cursor rests.
func BenchmarkHover(b *testing.B) {
	file := largeDataset(b, 1, 600)
	source, err := os.ReadFile(file)
	require.NoError(b, err)
	c := connect(b)
	c.initialize(able)
	uri := uriOf(file)
	c.open(uri, string(source))
	before, _, _ := strings.Cut(string(source), "57 ABDC")
	p := position{strings.Count(before, "\n"), len("    inlet_closes: 5")}
	for b.Loop() {
		require.Nil(b, c.call("textDocument/hover", at(uri, p)).Error)
	}
}

// largeDataset writes copies of the demo dataset's largest engine, each under an
// id of its own, and source records, and returns one of the engines.
func largeDataset(b *testing.B, engines, sources int) string {
	root := b.TempDir()
	write := func(name, text string) string {
		file := filepath.Join(root, filepath.FromSlash(name))
		require.NoError(b, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(b, os.WriteFile(file, []byte(text), 0o644))
		return file
	}
	records, err := filepath.Glob("../sources/*.yaml")
	require.NoError(b, err)
	require.NotEmpty(b, records)
	for i := range sources {
		record := records[i%len(records)]
		text, err := os.ReadFile(record)
		require.NoError(b, err)
		name := filepath.Base(record)
		if i >= len(records) {
			name = fmt.Sprintf("s%04d-%s", i, name)
		}
		write("sources/"+name, strings.Replace(string(text), "title: ", fmt.Sprintf("title: %d ", i), 1))
	}
	six, err := os.ReadFile("../engines/penhallow/light-six.yaml")
	require.NoError(b, err)
	var last string
	for i := range engines {
		id := fmt.Sprintf("maker-%03d/model-%04d", i/20, i)
		last = write("engines/"+id+".yaml", strings.Replace(string(six), "penhallow/light-six", id, 1))
	}
	return last
}
