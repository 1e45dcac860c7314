package browser

import (
	"context"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// View is how a page is looked at.
type View struct {
	Width, Height int64 // in CSS pixels
	Dark          bool  // the reader prefers dark
	Print         bool  // as on paper
	NoScripts     bool  // the reader has scripts switched off
}

// A4 is the part of a sheet of A4 inside margins of so many millimetres, at
// the 96 pixels an inch of CSS.
func A4(margin int64) View {
	const pixelsPerInch, tenthsOfMMPerInch = 96, 254
	px := func(mm int64) int64 { return mm * 10 * pixelsPerInch / tenthsOfMMPerInch }
	return View{Width: px(210 - 2*margin), Height: px(297 - 2*margin), Print: true}
}

// Page is an open page. Its methods fail the test on any error.
type Page struct {
	// Context is chromedp's, for what this package does not do.
	Context context.Context

	t        testing.TB
	url      string
	mu       sync.Mutex
	requests []string
}

// Open loads an address (file:, http: or data:) in a tab of its own.
func (b *Browser) Open(t testing.TB, url string, v View) *Page {
	t.Helper()
	ctx, end := chromedp.NewContext(b.ctx)
	t.Cleanup(end)
	ctx, late := context.WithTimeout(ctx, patience)
	t.Cleanup(late)
	p := &Page{Context: ctx, t: t, url: url}
	require.NoError(t, chromedp.Listen(ctx, p.note))

	scheme, media := "light", ""
	if v.Dark {
		scheme = "dark"
	}
	if v.Print {
		media = "print"
	}
	p.do(
		command(network.Enable, network.EnableParams{}),
		command(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: v.NoScripts}),
		command(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media,
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}),
		chromedp.EmulateViewport(v.Width, v.Height),
		chromedp.Navigate(url),
	)
	return p
}

func (p *Page) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	require.NoError(p.t, chromedp.Do(p.Context, steps...), p.url)
}

// command is an action that gives the browser one command, whatever it answers.
func command[P, R any](c cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, c, params)
		return err
	})
}

// get runs an action on a page and returns what it returns.
func get[T any](p *Page, a chromedp.Action[T]) T {
	p.t.Helper()
	is, err := chromedp.Run(p.Context, a)
	require.NoError(p.t, err, p.url)
	return is
}

func (p *Page) note(event any) {
	sent, ok := event.(*network.EventRequestWillBeSent)
	if !ok {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.requests = append(p.requests, sent.Request.URL)
}

// Requests lists what the page asked for beyond itself and what is written into
// it as data.
func (p *Page) Requests() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var others []string
	for _, url := range p.requests {
		if url != p.url && !strings.HasPrefix(url, "data:") {
			others = append(others, url)
		}
	}
	return others
}

// Evaluate runs a script in a page, also where the page's own are off, and
// decodes its result.
func Evaluate[T any](p *Page, script string) T {
	p.t.Helper()
	return get(p, chromedp.Evaluate[T](script))
}

// PDF prints the page on A4 as a reader would and returns the document.
func (p *Page) PDF() []byte {
	p.t.Helper()
	const millimetresPerInch = 25.4
	asThePageSays := true
	return get(p, func(ctx context.Context, t *chromedp.Target) ([]byte, error) {
		printed, err := cdp.Call(ctx, t, page.PrintToPDF, page.PrintToPDFParams{
			PaperWidth: 210 / millimetresPerInch, PaperHeight: 297 / millimetresPerInch, PreferCSSPageSize: &asThePageSays})
		return printed.Data, err
	})
}

// Screenshot writes a picture of the whole page to a file.
func (p *Page) Screenshot(file string) {
	p.t.Helper()
	require.NoError(p.t, os.WriteFile(file, get(p, chromedp.FullScreenshot(100)), 0o644))
}
