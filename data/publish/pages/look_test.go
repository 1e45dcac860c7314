package pages_test

import (
	"os"
	"path/filepath"
	"testing"

	"fourmarks.example/data/internal/browser"
)

// TestLook writes pictures of the pages to the folder that FOURMARKS_LOOK names,
// for somebody to look at: wide, narrow, dark and as on paper.
func TestLook(t *testing.T) {
	folder := os.Getenv("FOURMARKS_LOOK")
	if folder == "" {
		t.Skip("FOURMARKS_LOOK names no folder for pictures")
	}
	s := openDemo(t)
	dark := wide
	dark.Dark = true
	for name, page := range map[string]string{
		"engine": "pages/engines/penhallow/twelve.html#ignition.contact_gap", "six": "pages/engines/penhallow/light-six.series-2.html", "find": "index.html",
		"compare": "pages/compare.html#a=penhallow/light-six&b=penhallow/light-six@series-2", "words": "pages/about.html",
	} {
		for how, v := range map[string]browser.View{"wide": wide, "narrow": narrow, "dark": dark, "paper": browser.A4(15)} {
			p := s.open(t, page, v)
			if name == "find" && how != "paper" {
				enter(p, "#words", "six")
				until(t, p, `document.querySelectorAll("#found > li").length > 0`)
			}
			if name == "compare" {
				until(t, p, `!document.querySelector("#compared").hidden`)
			}
			p.Screenshot(filepath.Join(folder, name+"-"+how+".png"))
		}
	}
	for how, v := range map[string]browser.View{"wide": wide, "narrow": narrow, "dark": dark} {
		p := contribute(t, s, v)
		enter(p, inletCloses, "84 ABDC")
		until(t, p, `document.querySelector(".suspects")`)
		p.Screenshot(filepath.Join(folder, "contribute-"+how+".png"))
	}
}
