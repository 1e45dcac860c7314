package pages_test

import (
	"context"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/data/internal/browser"
)

var (
	wide   = browser.View{Width: 1200, Height: 900}
	narrow = browser.View{Width: 360, Height: 740}
)

// site is the pages of a dataset, in a folder, seen in a browser.
type site struct {
	*browser.Browser
	folder string
}

func openDemo(t *testing.T) site {
	b := browser.Start(t)
	return site{b, demoFolder(t)}
}

// open opens a page by its name in the release, with what may follow the #.
func (s site) open(t *testing.T, name string, v browser.View) *browser.Page {
	t.Helper()
	file, fragment, _ := strings.Cut(name, "#")
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(s.folder, filepath.FromSlash(file))), Fragment: fragment}
	return s.Browser.Open(t, u.String(), v)
}

const patience = time.Minute

// until waits until a condition, a script, holds on a page.
func until(t *testing.T, p *browser.Page, condition string) {
	t.Helper()
	for end := time.Now().Add(patience); !browser.Evaluate[bool](p, "Boolean("+condition+")"); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			require.Fail(t, "it never came to be", "%s\n%s", condition, browser.Evaluate[string](p, "document.body.innerText.slice(0, 1000)"))
		}
	}
}

// enter types a text into a field, key by key.
func enter(p *browser.Page, selector, text string) {
	browser.Evaluate[bool](p, `(() => {
  const field = document.querySelector(`+quoted(selector)+`);
  field.focus();
  field.value = "";
  for (const c of `+quoted(text)+`) { field.value += c; field.dispatchEvent(new InputEvent("input", {bubbles: true, data: c})); }
  return true;
})()`)
}

// choose chooses an entry of a list.
func choose(p *browser.Page, selector, value string) {
	browser.Evaluate[bool](p, `(() => {
  const list = document.querySelector(`+quoted(selector)+`);
  list.value = `+quoted(value)+`;
  list.dispatchEvent(new Event("input", {bubbles: true}));
  list.dispatchEvent(new Event("change", {bubbles: true}));
  return list.value === `+quoted(value)+`;
})()`)
}

func click(p *browser.Page, selector string) {
	browser.Evaluate[bool](p, `(document.querySelector(`+quoted(selector)+`).click(), true)`)
}

func textOf(p *browser.Page, selector string) string {
	return browser.Evaluate[string](p, `document.querySelector(`+quoted(selector)+`).innerText`)
}

func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(s) + `"`
}

// nothingLeft holds a page to having asked for nothing beyond its own folder.
func nothingLeft(t *testing.T, s site, p *browser.Page) {
	t.Helper()
	for _, request := range p.Requests() {
		own := strings.HasPrefix(request, "file://"+filepath.ToSlash(s.folder)+"/") || strings.HasPrefix(request, "blob:")
		assert.True(t, own, "the page asked for %s", request)
	}
}

func TestFindByNumber(t *testing.T) {
	s := openDemo(t)
	p := s.open(t, "index.html", wide)
	enter(p, "#number", "ls 3500")
	until(t, p, `document.querySelectorAll("#found > li").length === 1`)
	assert.Contains(t, textOf(p, "#found"), "Penhallow Light Six")
	assert.Contains(t, textOf(p, "#found"), "series-2", "the series that the number is of")
	enter(p, "#number", "")
	enter(p, "#words", "penhalow twelv")
	until(t, p, `document.querySelector("#found").innerText.includes("Penhallow Twelve")`)
	enter(p, "#words", "penhallow")
	enter(p, "#year", "1923")
	until(t, p, `!document.querySelector("#found").innerText.includes("Light Six") && document.querySelector("#found").innerText.includes("Twelve")`)
	click(p, `#found a[href$="/twelve.html"]`)
	until(t, p, `document.querySelector("h1")?.innerText === "Penhallow Twelve"`)
	nothingLeft(t, s, p)
}

func TestChoiceOfUnitsIsKept(t *testing.T) {
	s := openDemo(t)
	p := s.open(t, "pages/engines/penhallow/twelve.html", wide)
	assert.Equal(t, "2 3/4 in", textOf(p, `[id="size.bore"] .q`))
	click(p, `.units input[value="metric"]`)
	until(t, p, `document.documentElement.dataset.units === "metric"`)
	assert.Contains(t, textOf(p, `[id="size.bore"] .q`), "69.85 mm")
	assert.Contains(t, textOf(p, `[id="size.bore"] .q`), "2 3/4 in", "the print stays")
	p = s.open(t, "pages/engines/penhallow/light-six.html", wide)
	assert.Equal(t, "metric", browser.Evaluate[string](p, `document.documentElement.dataset.units`), "kept on another page")
	assert.True(t, browser.Evaluate[bool](p, `document.querySelector(".units input[value=metric]").checked`))
	click(p, `.units input[value="printed"]`)
	p = s.open(t, "pages/engines/penhallow/twelve.html", wide)
	assert.Equal(t, "2 3/4 in", textOf(p, `[id="size.bore"] .q`))
}

func TestFigureCanBeLinked(t *testing.T) {
	s := openDemo(t)
	p := s.open(t, "pages/engines/penhallow/twelve.html#ignition.contact_gap", wide)
	until(t, p, `document.querySelector("[id='ignition.contact_gap'] details").open`)
	assert.Equal(t, "ignition.contact_gap", browser.Evaluate[string](p, `document.querySelector(":target").id`))
	assert.Contains(t, textOf(p, `[id="ignition.contact_gap"]`), "disputed")
	assert.Equal(t, 2, browser.Evaluate[int](p, `document.querySelectorAll("[id='ignition.contact_gap'] .side").length`), "side by side")
	y := browser.Evaluate[[]float64](p, `[...document.querySelectorAll("[id='ignition.contact_gap'] .side")].map((e) => e.getBoundingClientRect().top)`)
	assert.Equal(t, y[0], y[1])
}

func TestWithoutScripts(t *testing.T) {
	s := openDemo(t)
	off := wide
	off.NoScripts = true
	p := s.open(t, "index.html", off)
	assert.Contains(t, textOf(p, "main"), "Scripts are off")
	assert.Equal(t, 0, browser.Evaluate[int](p, `document.querySelectorAll("form:not([hidden])").length`), "nothing is shown that would not work")
	maker := browser.Evaluate[string](p, `document.querySelector(".columns a").getAttribute("href")`)
	p = s.open(t, maker, off)
	engine := browser.Evaluate[string](p, `document.querySelector(".found a").getAttribute("href")`)
	p = s.open(t, "pages/makers/"+engine, off)
	assert.Contains(t, textOf(p, "main"), "Inlet opens")
	assert.True(t, browser.Evaluate[bool](p, `document.querySelector(".units").hidden`))
}

func TestCompare(t *testing.T) {
	s := openDemo(t)
	p := s.open(t, "pages/compare.html#a=penhallow/light-six", wide)
	until(t, p, `document.querySelector("#a").value !== ""`)
	enter(p, "#b", "light six")
	until(t, p, `document.querySelectorAll("#b-list li").length > 0`)
	browser.Evaluate[bool](p, `document.querySelector("#b").dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowDown"}))`)
	browser.Evaluate[bool](p, `document.querySelector("#b").dispatchEvent(new KeyboardEvent("keydown", {key: "Enter"}))`)
	until(t, p, `!document.querySelector("#compared").hidden`)
	assert.Contains(t, textOf(p, "#said"), "No figure differs")
	choose(p, "#b-series", "series-2")
	until(t, p, `document.querySelectorAll("tr.unlike").length > 0`)
	assert.Contains(t, textOf(p, "#compared"), "52 ABDC")
	assert.Contains(t, textOf(p, "#compared"), "48 ABDC")
	assert.NotContains(t, textOf(p, "#compared"), "Stroke")
	click(p, "#unlike")
	assert.Contains(t, textOf(p, "#compared"), "Stroke")
	assert.Contains(t, browser.Evaluate[string](p, "location.hash"), "b=penhallow/light-six@series-2", "the comparison can be linked")
	nothingLeft(t, s, p)
}

// contribute fills the form for the Light Six in, all but the figures.
func contribute(t *testing.T, s site, v browser.View) *browser.Page {
	t.Helper()
	p := s.open(t, "pages/contribute.html", v)
	enter(p, "#engine-words", "light six")
	until(t, p, `document.querySelectorAll("#engine-list li").length === 1`)
	browser.Evaluate[bool](p, `document.querySelector("#engine-words").dispatchEvent(new KeyboardEvent("keydown", {key: "Enter"}))`)
	until(t, p, `document.querySelector("#part optgroup[label='What the engine has']")`)
	enter(p, "#source-title", "Bulletin 9")
	enter(p, "#source-issued", "1929")
	choose(p, "#source-grade", "maker")
	enter(p, "#locator", "p. 2")
	enter(p, "#note", "Read from my own copy.")
	enter(p, "#by", "K. Tarn")
	choose(p, "#part", `["events","checking"]`)
	until(t, p, `document.querySelector(`+quoted(inletCloses)+`)`)
	return p
}

const inletCloses = `[data-path='["events","checking","inlet_closes"]']`

func TestASlipIsSeenWhileItIsTyped(t *testing.T) {
	s := openDemo(t)
	p := contribute(t, s, wide)
	enter(p, inletCloses, "84 ABDC")
	until(t, p, `document.querySelector(".suspects")`)
	assert.Contains(t, textOf(p, "#findings"), "84 ABDC, likely 48 ABDC")
	assert.Contains(t, textOf(p, "#said"), "error")
	assert.Contains(t, textOf(p, "#parts"), "It may be a slip for 48 ABDC.", "said beside the field too")
	enter(p, inletCloses, "48 ABDC")
	until(t, p, `document.querySelector("#said").innerText.startsWith("Nothing is wrong")`)
	assert.Contains(t, textOf(p, "#preview"), "inlet_closes: 48 ABDC")
	nothingLeft(t, s, p)
}

func TestSheetIsPrinted(t *testing.T) {
	s := openDemo(t)
	p := s.open(t, "pages/engines/penhallow/light-six.series-2.html", wide)
	click(p, `a.button`)
	until(t, p, `document.querySelector(".kind")?.textContent === "Setting sheet"`)
	assert.Contains(t, textOf(p, "main"), "52 ABDC")
	sheet := s.open(t, "pages/sheets/penhallow/light-six.series-2.html", browser.A4(15))
	document := sheet.PDF()
	assert.True(t, strings.HasPrefix(string(document), "%PDF-"))
	assert.InDelta(t, 2, browser.Pages(document), 2, "a few pages, and not none")
	assert.Positive(t, browser.Pages(document))
	assert.Empty(t, sheet.CutOff())
	picture(sheet, "sheet paper")
	picture(s.open(t, "pages/engines/penhallow/twelve.html", browser.A4(15)), "engine paper")
	nothingLeft(t, s, p)
}

// The file that the page hands over is one that merges.
func TestContributionIsKeptAndMerges(t *testing.T) {
	s := openDemo(t)
	p := contribute(t, s, wide)
	downloads := t.TempDir()
	require.NoError(t, chromedp.Do(p.Context, chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		_, err := cdp.Call(ctx, to, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: downloads})
		return err
	})))
	enter(p, inletCloses, "50 ABDC")
	until(t, p, `document.querySelector("#lacks").hidden && document.querySelector("#preview").innerText.includes("50 ABDC")`)
	click(p, "#keep")
	file := filepath.Join(downloads, "penhallow-light-six-contribution.yaml")
	require.Eventually(t, func() bool { b, err := os.ReadFile(file); return err == nil && len(b) > 0 }, patience, 50*time.Millisecond)
	before, err := os.ReadFile(file)
	require.NoError(t, err)

	dataset := t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(dataset, "data"), data.Files))
	run(t, dataset, "git", "init", "-q")
	run(t, dataset, "git", "add", "data")
	run(t, dataset, "git", "-c", "user.name=K. Tarn", "-c", "user.email=tarn@example.com", "commit", "-qm", "The dataset")
	program := filepath.Join(t.TempDir(), "fourmarks")
	run(t, ".", "go", "build", "-o", program, "fourmarks.example/cmd/fourmarks")
	said := run(t, dataset, program, "merge", file, "--dry-run")
	assert.Contains(t, said, "added     50 ABDC [bulletin-9-1929 p. 2]", string(before))
	assert.Contains(t, said, "data/sources/bulletin-9-1929.yaml")
	assert.Contains(t, said, "can be merged")
	nothingLeft(t, s, p)
}

// run runs a program in a folder and returns what it says.
func run(t *testing.T, folder, program string, args ...string) string {
	t.Helper()
	c := exec.CommandContext(t.Context(), program, args...)
	c.Dir = folder
	said, err := c.CombinedOutput()
	require.NoError(t, err, "%s", said)
	return string(said)
}

// A file that somebody has already is judged as it is typed or dropped.
func TestAFileIsJudged(t *testing.T) {
	s := openDemo(t)
	p := s.open(t, "pages/contribute.html", wide)
	browser.Evaluate[bool](p, `(() => {
  const input = document.querySelector("#file"), files = new DataTransfer();
  files.items.add(new File(["contribution: 1\nengine: penhallow/light-six\nby: K. Tarn\nfigures: {events: {checking: {inlet_closes: 84 ABDC}}}\n"], "mine.yaml"));
  input.files = files.files;
  input.dispatchEvent(new Event("change", {bubbles: true}));
  return true;
})()`)
	until(t, p, `document.querySelector(".suspects")`)
	assert.Contains(t, textOf(p, "#lacks"), "note is missing")
	enter(p, "#text", "contribution: 1\nengine: [\n")
	until(t, p, `document.querySelector("#said").innerText.includes("could be checked")`)
}
