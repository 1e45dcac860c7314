package forms_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/internal/browser"
	"fourmarks.example/data/sheet"
)

// readable is the least contrast of text of ordinary size (WCAG 2.2, 1.4.3).
const readable = 4.5

// pageMargin is that of the sheet on paper, in millimetres, as its style says.
const pageMargin = 12

// looked are engines that are looked at in every light: the fullest sheet, an
// anticlockwise one, a set in teeth, a radial, one with hardly any figure.
var looked = []string{"penhallow/light-six", "aubrelle/six-cv", "garrowmoor/model-k", "corvane/five", "bmw/r45"}

// fileOf writes a page where a browser can open it.
func fileOf(t testing.TB, name, content string) string {
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, []byte(content), 0o600))
	return "file://" + file
}

func engineNamed(t testing.TB, name string) engine {
	for _, e := range everyEngine(t) {
		if e.Name() == name {
			return e
		}
	}
	require.Fail(t, "no engine "+name)
	return engine{}
}

// Whatever the light and the width, everything on the page can be read, nothing
// is cut off and nothing is asked of the network.
func TestPageCanBeReadInEveryLight(t *testing.T) {
	b := browser.Start(t)
	views := map[string]browser.View{
		"light, wide":   {Width: 1280, Height: 900},
		"dark, wide":    {Width: 1280, Height: 900, Dark: true},
		"light, narrow": {Width: 360, Height: 740},
		"dark, narrow":  {Width: 360, Height: 740, Dark: true},
		"scripts off":   {Width: 1024, Height: 800, NoScripts: true},
		"paper":         browser.A4(pageMargin),
		"paper, dark":   {Width: browser.A4(pageMargin).Width, Height: browser.A4(pageMargin).Height, Print: true, Dark: true},
	}
	for _, name := range looked {
		s := sheetOf(t, engineNamed(t, name), sheet.Options{Altitude: "1500 ft", Disc: "200 mm"})
		url := fileOf(t, "sheet.html", page(t, s))
		for view, v := range views {
			t.Run(name+", "+view, func(t *testing.T) {
				p := b.Open(t, url, v)
				assert.Greater(t, p.Texts(), 20)
				assert.Empty(t, p.LowContrast(readable))
				assert.Empty(t, p.CutOff())
				assert.Empty(t, p.Requests())
			})
		}
	}
}

// Every sheet prints on one page of A4 or two: the longest of all engines and
// variants do, and a shorter one cannot need more paper.
func TestSheetsPrintOnTwoPages(t *testing.T) {
	const longest = 24
	type printed struct{ name, html string }
	var all []printed
	for _, e := range everyEngine(t) {
		all = append(all, printed{e.Name(), page(t, sheetOf(t, e, sheet.Options{Altitude: "1500 ft", Disc: "8 in"}))})
	}
	slices.SortFunc(all, func(a, b printed) int { return len(b.html) - len(a.html) })
	b := browser.Start(t)
	for _, one := range all[:longest] {
		p := b.Open(t, fileOf(t, "sheet.html", one.html), browser.A4(pageMargin))
		assert.Contains(t, []int{1, 2}, browser.Pages(p.PDF()), one.name)
		assert.Empty(t, p.CutOff(), one.name)
	}
}

// box is the box of a text as the browser draws it.
type box struct {
	Text                string
	X, Y, Width, Height float64
}

const textBoxes = `[...document.querySelectorAll("text")].map(t => {
  const box = t.getBBox();
  const turned = t.transform.baseVal.numberOfItems > 0;
  return turned ? {text: t.textContent, x: box.x + box.width / 2 - box.height / 2, y: box.y + box.height / 2 - box.width / 2, width: box.height, height: box.width}
                : {text: t.textContent, x: box.x, y: box.y, width: box.width, height: box.height};
})`

// The boxes that labels are kept apart by are no smaller than what a browser
// draws, so that no two texts meet on the screen either.
func TestLabelsAreDrawnWithinTheirBoxes(t *testing.T) {
	b := browser.Start(t)
	for _, name := range looked {
		d, ok := sheetOf(t, engineNamed(t, name), sheet.Options{}).DiagramAlone()
		if !ok {
			continue
		}
		p := b.Open(t, fileOf(t, "timing.svg", d.SVG()), browser.View{Width: 1200, Height: 1000})
		drawn := browser.Evaluate[[]box](p, textBoxes)
		require.NotEmpty(t, drawn, name)
		i := 0
		for _, l := range d.Labels {
			widest := 0.0
			for range l.Lines {
				widest = max(widest, drawn[i].Width)
				i++
			}
			assert.LessOrEqual(t, widest, l.Box.Width+0.5, "%s: %v", name, l.Lines)
		}
		assert.Len(t, drawn, i, name)
		for i, one := range drawn {
			for _, other := range drawn[i+1:] {
				apart := one.X+one.Width <= other.X || other.X+other.Width <= one.X || one.Y+one.Height <= other.Y+3 || other.Y+other.Height <= one.Y+3 // lines of one label have tall boxes that touch
				assert.True(t, apart, "%s: %q meets %q", name, one.Text, other.Text)
			}
		}
		assert.Empty(t, p.CutOff(), name)
		assert.Empty(t, p.Requests(), name)
		for _, dark := range []bool{false, true} {
			p := b.Open(t, fileOf(t, "timing.svg", d.SVG()), browser.View{Width: 1200, Height: 1000, Dark: dark})
			assert.Empty(t, p.LowContrast(readable), "%s, dark %v", name, dark)
		}
	}
}
