package pages_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/internal/browser"
)

// some are pages of every kind, and what makes each show what it has.
var some = map[string]func(*testing.T, *browser.Page){
	"index.html": func(t *testing.T, p *browser.Page) {
		enter(p, "#words", "penhallow")
		until(t, p, `document.querySelectorAll("#found > li").length > 0`)
	},
	"pages/makers.html":                          func(*testing.T, *browser.Page) {},
	"pages/makers/penhallow.html":                func(*testing.T, *browser.Page) {},
	"pages/about.html":                           func(*testing.T, *browser.Page) {},
	"pages/engines/penhallow/twelve.html":        opened,
	"pages/engines/penhallow/light-six.html":     opened,
	"pages/engines/garrowmoor/model-k.html":      opened,
	"pages/engines/wendrake/straight-eight.html": opened,
	"pages/compare.html#a=penhallow/light-six&b=penhallow/light-six@series-2": func(t *testing.T, p *browser.Page) {
		until(t, p, `!document.querySelector("#compared").hidden`)
	},
	"pages/contribute.html#engine=penhallow/light-six": func(t *testing.T, p *browser.Page) {
		until(t, p, `document.querySelector("#part optgroup[label='What the engine has']")`)
		choose(p, "#part", `["events","checking"]`)
		until(t, p, `document.querySelector(`+quoted(inletCloses)+`)`)
		enter(p, inletCloses, "84 ABDC")
		until(t, p, `document.querySelector(".suspects")`)
	},
}

// opened opens everything that a page folds away.
func opened(_ *testing.T, p *browser.Page) {
	browser.Evaluate[bool](p, `(document.querySelectorAll("details").forEach((d) => { d.open = true; }), true)`)
}

// axe is the checker of accessibility, as npm ci puts it in its folder.
func axe(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", "axe", "node_modules", "axe-core", "axe.min.js"))
	if os.IsNotExist(err) && os.Getenv("CI") != "true" {
		t.Skip("axe-core is not there; npm ci --prefix data/publish/pages/testdata/axe fetches it")
	}
	require.NoError(t, err)
	return string(b)
}

// On a telephone 360 pixels wide nothing is wider than the screen; on none is a
// text cut off or hard to tell from what is behind it; and of the rules of WCAG
// 2.2 A and AA that a program can check, none is broken.
func TestPagesAreReadable(t *testing.T) {
	checker := axe(t)
	s := openDemo(t)
	dark := wide
	dark.Dark = true
	for name, prepare := range some {
		for how, v := range map[string]browser.View{"narrow": narrow, "dark": dark} {
			p := s.open(t, name, v)
			prepare(t, p)
			assert.LessOrEqual(t, browser.Evaluate[int](p, "document.documentElement.scrollWidth"), int(v.Width), "%s, %s", name, how)
			assert.Empty(t, p.LowContrast(4.5), "%s, %s", name, how)
			assert.Greater(t, p.Texts(), 10)
			browser.Evaluate[bool](p, "(() => {"+checker+"; return true})()")
			browser.Evaluate[bool](p, `(axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then((r) => { window.axed = r; }), true)`)
			until(t, p, "window.axed")
			found := browser.Evaluate[[]string](p, `axed.violations.map((v) => v.impact + " " + v.id + ": " + v.nodes.map((n) => n.html).slice(0, 3).join(" | "))`)
			assert.Empty(t, found, "%s, %s", name, how)
			assert.Greater(t, browser.Evaluate[int](p, "axed.passes.length"), 15)
			nothingLeft(t, s, p)
			picture(p, name+" "+how)
		}
	}
}

// picture writes a picture of a page to the folder that FOURMARKS_LOOK names, if
// it names one, for somebody to look at.
func picture(p *browser.Page, name string) {
	if folder := os.Getenv("FOURMARKS_LOOK"); folder != "" {
		p.Screenshot(filepath.Join(folder, strings.Map(func(r rune) rune {
			if strings.ContainsRune("/#=&@.", r) {
				return '-'
			}
			return r
		}, name)+".png"))
	}
}

// press presses a key, as a keyboard does.
func press(t *testing.T, p *browser.Page, key string, code int64) {
	t.Helper()
	for _, kind := range []input.DispatchKeyEventType{"rawKeyDown", "keyUp"} {
		require.NoError(t, chromedp.Do(p.Context, chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
			_, err := cdp.Call(ctx, to, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: kind, Key: key, Code: key, WindowsVirtualKeyCode: code})
			return err
		})))
	}
}

const tabKey = 9 // the number that browsers have for it

// An engine is found and opened, and its units are chosen, by keyboard alone.
func TestKeyboard(t *testing.T) {
	p := openDemo(t).open(t, "index.html", wide)
	until(t, p, `document.activeElement.id === "words"`)
	enter(p, "#words", "twelve")
	until(t, p, `document.querySelectorAll("#found > li").length === 1`)
	for range 10 {
		if browser.Evaluate[bool](p, `document.activeElement.closest("#found") !== null`) {
			break
		}
		press(t, p, "Tab", tabKey)
	}
	assert.NotEqual(t, "none", browser.Evaluate[string](p, `getComputedStyle(document.activeElement).outlineStyle`), "where the keyboard is can be seen")
	browser.Evaluate[bool](p, `(document.activeElement.click(), true)`) // what Enter does on a link
	until(t, p, `document.querySelector("h1")?.innerText === "Penhallow Twelve"`)
	press(t, p, "Tab", tabKey)
	assert.Equal(t, "skip", browser.Evaluate[string](p, `document.activeElement.className`), "the way past the menu comes first")
	assert.GreaterOrEqual(t, browser.Evaluate[float64](p, `document.activeElement.getBoundingClientRect().left`), 0.0, "and can be seen")
}
