package browser

import (
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
)

func inline(html string) string { return "data:text/html," + url.PathEscape(html) }

// What the measures find is a page made to be faulty in known ways.
func TestMeasuresFindFaults(t *testing.T) {
	b := Start(t)
	faulty := b.Open(t, inline(`<!doctype html><body style="margin:0;background:#fff">
<p style="color:#999">grey on white</p>
<p style="color:#000">black on white</p>
<p style="width:2000px">wide</p>
<div style="width:50px;overflow:hidden;white-space:nowrap">this text is hidden from here on</div>
<svg width="200" height="40"><rect width="200" height="40" fill="#777"/><text x="5" y="20" fill="#888">grey on grey</text><text x="190" y="35" fill="#000">leaves the drawing</text></svg>
<img src="http://localhost:1/picture.png">`), View{Width: 800, Height: 600})

	// #999 on #fff is 2.85:1 and #888 on #777 1.26:1 by the formula of WCAG 2.2
	// (worked out by hand).
	assert.Equal(t, []string{"2.85: grey on white", "1.26: grey on grey"}, faulty.LowContrast(4.5))
	assert.Contains(t, faulty.CutOff(), "text outside: leaves the drawing")
	assert.Len(t, faulty.CutOff(), 3, "the page, the hidden text, the text of the drawing")
	assert.Equal(t, []string{"http://localhost:1/picture.png"}, faulty.Requests())
	assert.Equal(t, 6, faulty.Texts())
}

func TestMeasuresPassASoundPage(t *testing.T) {
	b := Start(t)
	html := inline(`<!doctype html><style>@media (prefers-color-scheme: dark) {body {background: #111; color: #eee}} section {break-after: page}</style>
<section>one</section><p id="is">two</p><script>document.getElementById("is").textContent = "changed"</script>`)
	for name, v := range map[string]View{"light": {Width: 600, Height: 400}, "dark": {Width: 600, Height: 400, Dark: true}, "paper": A4(15)} {
		t.Run(name, func(t *testing.T) {
			p := b.Open(t, html, v)
			assert.Empty(t, p.LowContrast(4.5))
			assert.Empty(t, p.CutOff())
			assert.Empty(t, p.Requests())
			assert.Equal(t, 2, Pages(p.PDF()))
		})
	}
	text := func(v View) string {
		return Evaluate[string](b.Open(t, html, v), "document.getElementById('is').textContent")
	}
	assert.Equal(t, "changed", text(View{Width: 600, Height: 400}))
	assert.Equal(t, "two", text(View{Width: 600, Height: 400, NoScripts: true}))
}
