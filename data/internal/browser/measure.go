package browser

import (
	_ "embed"
	"fmt"
	"regexp"
)

//go:embed measure.js
var measure string

// LowContrast lists the texts whose colour stands out from what is painted
// behind them by less than the ratio, computed as WCAG 2.2 defines it. For text
// of ordinary size that must be 4.5.
func (p *Page) LowContrast(least float64) []string {
	p.t.Helper()
	return Evaluate[[]string](p, fmt.Sprintf("%s; lowContrast(%g)", measure, least))
}

// CutOff lists what is wider than the place it has: the page itself, parts
// whose overflow is hidden, texts outside the page or the drawing they stand in.
func (p *Page) CutOff() []string {
	p.t.Helper()
	return Evaluate[[]string](p, measure+"; cutOff()")
}

// Texts counts the pieces of text that can be seen, so that a test can tell a
// page without faults from an empty one.
func (p *Page) Texts() int {
	p.t.Helper()
	return Evaluate[int](p, measure+"; texts().length")
}

var pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)

// Pages counts the pages of a document that PDF returned.
func Pages(document []byte) int { return len(pdfPage.FindAll(document, -1)) }
