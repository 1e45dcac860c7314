package pages_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/internal/browser"
	"fourmarks.example/lint"
)

// Texts as somebody would write them who means harm.
const (
	scripted  = `<script>window.harmed = 1</script><img src=x onerror="window.harmed = 1">`
	breakout  = `</script><script>window.harmed = 1</script>\"};window.harmed=1;//`
	backwards = "\u202e3 CDTB \u2066 left"
)

// hostile is a dataset in which every word that a file may choose does harm if
// it is taken for anything but text.
func hostile() []lint.Input {
	text := func(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }
	engine := `format: 1
engine: harm/one
title: ` + text(scripted+backwards) + `
made: ` + text(breakout) + `
note: ` + text(strings.Repeat("a very long note ", 1<<20/20)) + `
identify: {from: sheet, also_called: ` + text("javascript:alert(1)") + `, looks: ` + text(scripted) + `, numbers: {from: "` + "LS1001" + `", to: "LS2000", found: ` + text(scripted) + `}}
size: {bore: {is: 2 in, from: sheet ` + `, note: ` + text(scripted) + `, quote: ` + text(breakout) + `}, note: ` + text(scripted) + `}
events:
  checking:
    from: sheet
    read_at: ` + text(scripted) + `
    inlet_opens: {claims: {sheet: {is: 3 BTDC, note: ` + text(breakout) + `}, other: {is: 9 BTDC, set_aside: ` + text(scripted) + `}}}
marks:
  flywheel:
    from: sheet
    pointer: ` + text(backwards) + `
    stamps:
      ` + text(`"><script>window.harmed=1</script>`) + `: {means: inlet_opens, angle: 3 BTDC}
sources:
  sheet: {title: ` + text(scripted) + `, grade: works, URL: ` + text("javascript:window.harmed=1") + `, author: ` + text(backwards) + `}
  other: {title: ` + text(breakout) + `, grade: recall}
variants:
  ` + text("../../../harm") + `: {title: ` + text(scripted) + `, made: 1930, change: {size: {bore: {is: 3 in, from: sheet}}}}
`
	return []lint.Input{{Name: "engines/harm/one.yaml", ID: "harm/one", Read: func() ([]byte, error) { return []byte(engine), nil }},
		{Name: "engines/../two.yaml", ID: "../two", Read: func() ([]byte, error) { return []byte("format: 1\nengine: ../two\ntitle: Two\n"), nil }}}
}

func TestHostileWordsAreInert(t *testing.T) {
	s := site{browser.Start(t), write(t, hostile(), linter(t))}
	variant := "pages/engines/harm/one._2e_2e_2f_2e_2e_2f_2e_2e_2fharm.html"
	for _, name := range []string{"index.html", "pages/makers.html", "pages/makers/harm.html", "pages/engines/harm/one.html", variant, "pages/sheets/harm/one.html",
		"pages/compare.html#a=harm/one&b=harm/one", "pages/contribute.html#engine=harm/one"} {
		p := s.open(t, name, narrow)
		switch {
		case name == "index.html":
			enter(p, "#words", "script")
			until(t, p, `document.querySelectorAll("#found > li").length === 1`)
		case strings.HasPrefix(name, "pages/compare"):
			until(t, p, `!document.querySelector("#compared").hidden`)
		case strings.HasPrefix(name, "pages/contribute"):
			until(t, p, `document.querySelector("#part optgroup[label='What the engine has']")`)
		case strings.HasPrefix(name, "pages/engines"):
			opened(t, p)
			assert.Contains(t, textOf(p, "h1"), "<script>", "it is shown as it is written")
		}
		assert.False(t, browser.Evaluate[bool](p, `"harmed" in window`), name)
		assert.Zero(t, browser.Evaluate[int](p, `document.querySelectorAll("main img, main script, main iframe, [onerror], a[href^='javascript:' i]").length`), name)
		if !strings.HasPrefix(name, "pages/sheets") { // which is laid out for paper
			assert.LessOrEqual(t, browser.Evaluate[int](p, "document.documentElement.scrollWidth"), int(narrow.Width), name)
		}
		assert.Greater(t, p.Texts(), 5, name)
		nothingLeft(t, s, p)
	}
	p := s.open(t, "pages/engines/harm/one.html", wide)
	require.True(t, browser.Evaluate[bool](p, `[...document.querySelectorAll("main *")].filter((e) => e.children.length === 0 && e.textContent.includes("\u202e")).every((e) => e.closest("bdi") || e.tagName === "TEXT" || e.closest("svg"))`),
		"a text that runs from right to left keeps to itself")
}
