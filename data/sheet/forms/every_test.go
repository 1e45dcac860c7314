package forms_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/cautions"
	"fourmarks.example/data/sheet"
	"fourmarks.example/data/sheet/forms"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

// published are engines with figures from real sources, each named in its file.
const published = "../../../testdata/published"

// engine is one engine or variant with its sources.
type engine struct {
	*schema.Engine
	lookup schema.Register
}

// everyEngine reads the demo dataset and the published engines, with variants.
func everyEngine(t testing.TB) []engine {
	demo, err := store.OpenEmbedded()
	require.NoError(t, err)
	real, err := store.Open(published)
	require.NoError(t, err)
	var all []engine
	for _, inputs := range [][]lint.Input{demo, real} {
		for _, in := range inputs {
			if !strings.Contains(in.Name, "engines/") {
				continue
			}
			e, problems, err := store.ReadEngine(inputs, in.Name)
			require.NoError(t, err, in.Name)
			require.Empty(t, problems, in.Name)
			for _, one := range e.All() {
				all = append(all, engine{one, store.Register(inputs, e)})
			}
		}
	}
	require.Greater(t, len(all), 60)
	return all
}

func sheetOf(t testing.TB, e engine, o sheet.Options) *sheet.Sheet {
	s, err := sheet.Make(e.Engine, e.lookup, o)
	require.NoError(t, err, e.Name())
	return s
}

func page(t testing.TB, s *sheet.Sheet) string {
	drawing := ""
	if d, ok := s.Diagram(); ok {
		drawing = d.SVG()
	}
	var b bytes.Buffer
	require.NoError(t, forms.HTML(&b, forms.Of(s), drawing))
	return b.String()
}

// Every form of every sheet says every caution in full, the engine's own among
// them: nothing that tells somebody to turn or move a part lacks them.
func TestEveryFormCarriesEveryCaution(t *testing.T) {
	for _, e := range everyEngine(t) {
		s := sheetOf(t, e, sheet.Options{Altitude: "1500 ft"})
		asJSON, err := json.Marshal(s)
		require.NoError(t, err)
		shown := map[string]string{"JSON": string(asJSON), "HTML": unescaped(page(t, s))}
		for _, width := range []int{40, 80, 200} {
			shown["text"] = forms.Text(forms.Of(s), width)
			for _, c := range cautions.For(e.Engine) {
				assert.Contains(t, words(shown["text"]), words(c.Text), "%s, %d columns", e.Name(), width)
			}
		}
		general := cautions.General()
		if d, ok := s.DiagramAlone(); ok {
			shown["SVG"] = textsOf(t, d.SVG())
		}
		for form, text := range shown {
			for _, c := range append(general, cautions.For(e.Engine)...) {
				if form == "JSON" {
					quoted, err := json.Marshal(c.Text)
					require.NoError(t, err)
					c.Text = string(quoted)
				}
				assert.Contains(t, words(text), words(c.Text), "%s as %s", e.Name(), form)
			}
		}
	}
}

// words drops how a text is broken into lines.
func words(s string) string { return strings.Join(strings.Fields(s), " ") }

func unescaped(html string) string {
	return strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&", "&lt;", "<", "&gt;", ">", "&#43;", "+").Replace(html)
}

// textsOf reads a drawing as XML and returns what is written in it.
func textsOf(t testing.TB, svg string) string {
	var b strings.Builder
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return b.String()
		}
		require.NoError(t, err)
		if text, ok := token.(xml.CharData); ok {
			b.WriteString(string(text) + " ")
		}
	}
}

// The text keeps to the width of the terminal, down to narrow ones.
func TestTextFitsTheTerminal(t *testing.T) {
	for _, e := range everyEngine(t) {
		s := sheetOf(t, e, sheet.Options{Altitude: "1500 ft", RimDiameter: "15 in", Disc: "200 mm"})
		for _, width := range []int{80, 100, 132} {
			for _, line := range strings.Split(forms.Text(forms.Of(s), width), "\n") {
				assert.LessOrEqual(t, report.Width(line), width, "%s: %q", e.Name(), line)
			}
		}
	}
}

// The page needs nothing but itself: no address, no script, no file.
func TestPageIsSelfContained(t *testing.T) {
	for _, e := range everyEngine(t) {
		html := page(t, sheetOf(t, e, sheet.Options{}))
		for _, foreign := range []string{"<script", "<link", "<img", "src=", "@import", "url(", "javascript:", "onclick"} {
			assert.NotContains(t, strings.ToLower(html), foreign, e.Name())
		}
		assert.Equal(t, strings.Count(html, "http"), strings.Count(html, `"http://www.w3.org/2000/svg"`), e.Name())
	}
}

// What a hostile file says is shown as text, never as markup or control.
func TestWordsOfAFileAreInert(t *testing.T) {
	e := everyEngine(t)[0]
	s := sheetOf(t, e, sheet.Options{})
	s.Title = "<script>alert(1)</script>\x1b[31m"
	s.Identity.Words = append(s.Identity.Words, sheet.Word{Name: "looks", Text: `"><img src=x onerror=alert(1)>`})
	html := page(t, s)
	assert.NotContains(t, html, "<script>")
	assert.NotContains(t, html, "<img")
	assert.NotContains(t, forms.Text(forms.Of(s), 80), "\x1b")
}
