package pages_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/internal/browser"
	"fourmarks.example/data/publish/pages"
	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// manyEngines is how many engines the finding of engines is measured with.
const manyEngines = 100_000

var syllables = []string{"ar", "bel", "cor", "dun", "el", "fen", "gar", "hol", "im", "kel", "lar", "mor", "nor", "ol", "pen", "quil", "ros", "sel", "tar", "ul", "ven", "wen"}

func word(r *rand.Rand, n int) string {
	var b strings.Builder
	for range n {
		b.WriteString(syllables[r.IntN(len(syllables))])
	}
	return b.String()
}

// invented returns the nth of many engines, in the order of their ids. All names
// are made up of syllables.
func invented(n int) (*release.Engine, *schema.Engine) {
	maker := word(rand.New(rand.NewPCG(uint64(n/250), 1)), 3)
	r := rand.New(rand.NewPCG(uint64(n), 2))
	kind := []string{"light", "heavy", "marine", "sports", "works"}[r.IntN(5)] + " " + []string{"single", "twin", "four", "six", "eight"}[r.IntN(5)]
	model := word(r, 2)
	id := fmt.Sprintf("m%03d-%s/%s-%d", n/250, maker, model, n)
	year, from := 1900+r.IntN(60), 1000+r.IntN(90000)
	e := &release.Engine{ID: id, Title: strings.ToUpper(maker[:1]) + maker[1:] + " " + model + " " + kind, Dates: release.Dates{Made: fmt.Sprintf("%d-%d", year, year+6), First: year, Last: year + 6},
		Numbers: &release.Numbers{From: fmt.Sprintf("%s%d", strings.ToUpper(model[:2]), from), To: fmt.Sprintf("%s%d", strings.ToUpper(model[:2]), from+4000)}}
	file := "format: 1\nengine: x/y\nidentify: {numbers: {from: " + e.Numbers.From + ", to: " + e.Numbers.To + "}}\n"
	read, _ := schema.DecodeEngine(schema.ReadFile("x", []byte(file)))
	return e, read
}

// BenchmarkKeystroke measures, among 100,000 engines and in a real browser, how
// long it takes from a key to the engines found, painted.
func BenchmarkKeystroke(b *testing.B) {
	folder := b.TempDir()
	var size int64
	require.NoError(b, pages.WriteFinding(func(name string, content []byte) error {
		size += int64(len(content))
		file := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		return os.WriteFile(file, content, 0o644)
	}, manyEngines, invented))
	p := browser.Start(b).Open(b, "file://"+filepath.ToSlash(folder)+"/index.html", browser.View{Width: 360, Height: 740})
	var all []float64
	for b.Loop() {
		for _, typed := range [][2]string{{"#words", "light six dunkelmor"}, {"#words", "garpen heavy"}, {"#words", "quilros twin mari"}, {"#number", "GA12500"}, {"#year", "1931"}, {"#words", "sports eight"}} {
			all = append(all, browser.Evaluate[[]float64](p, "("+typing+`)(`+quoted(typed[0])+`, `+quoted(typed[1])+`)`)...)
			for !browser.Evaluate[bool](p, "window.typedAll === true") {
			}
			all = append(all, browser.Evaluate[[]float64](p, "window.took")...)
		}
		browser.Evaluate[bool](p, `(document.querySelector("#number").value = document.querySelector("#year").value = "", true)`)
	}
	b.Logf("each key, ms: %.0f", all)
	slices.Sort(all)
	b.ReportMetric(all[len(all)/2], "ms/key-median")
	b.ReportMetric(all[len(all)*95/100], "ms/key-95%")
	b.ReportMetric(all[len(all)-1], "ms/key-worst")
	b.ReportMetric(float64(size)/1e6, "MB-index")
	b.ReportMetric(0, "ns/op")
}

// typing types a text key by key, each when what the last found has been painted,
// and notes how long each took.
const typing = `(selector, text) => {
  window.typedAll = false;
  window.took = [];
  const field = document.querySelector(selector);
  field.value = "";
  field.focus();
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  (async () => {
    await new Promise((done) => setTimeout(done, 200)); // a hand moves to the next field
    for (const c of text) {
      const found = new Promise((done) => document.addEventListener("searched", done, {once: true}));
      const from = performance.now();
      field.value += c;
      field.dispatchEvent(new InputEvent("input", {bubbles: true, data: c}));
      await found;
      await painted();
      window.took.push(performance.now() - from);
    }
    window.typedAll = true;
  })();
  return [];
}`
