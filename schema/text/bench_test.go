package text

import (
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

// benchFile is the engine file brought to 4 KB by further invented variants.
func benchFile() []byte {
	const variant = `  series-N:
    made: 1927-1930
    numbers: {from: TH1501, to: TH2990}
    change:                            # what the works changed
      events: {checking: {inlet_closes: {is: 54 ABDC, from: setting-sheet-5}}}
      clearances:
        running: {inlet: .005", exhaust: .007", engine: hot, from: handbook-1928 p. 11}
`
	var b strings.Builder
	b.WriteString(engineFile + "\nvariants:\n")
	for i := 0; b.Len()+len(variant) <= 4096; i++ {
		b.WriteString(strings.Replace(variant, "N", string(rune('2'+i)), 1))
	}
	return []byte(b.String())
}

func BenchmarkParse(b *testing.B) {
	source := benchFile()
	b.SetBytes(int64(len(source)))
	b.ReportAllocs()
	for b.Loop() {
		if d := Parse(source, DefaultLimits()); len(d.Problems) > 0 {
			b.Fatal(messages(d))
		}
	}
}

// BenchmarkLibrary is the measure to hold BenchmarkParse against.
func BenchmarkLibrary(b *testing.B) {
	source := benchFile()
	b.SetBytes(int64(len(source)))
	b.ReportAllocs()
	for b.Loop() {
		var document yaml.Node
		if err := yaml.Unmarshal(source, &document); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAttached(b *testing.B) {
	source := benchFile()
	b.ReportAllocs()
	for b.Loop() {
		Parse(source, DefaultLimits()).Head()
	}
}

func BenchmarkValue(b *testing.B) {
	d := Parse(benchFile(), DefaultLimits())
	b.ReportAllocs()
	for b.Loop() {
		d.Value()
	}
}
