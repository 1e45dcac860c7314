package serve_test

import (
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Edits made one after another, in ranges counted in UTF-16 or in bytes, leave
// the server with the editor's text. What it has is read off the title, which
// the outline shows: it is all that the document holds.
func TestEdits(t *testing.T) {
	for _, utf8 := range []bool{false, true} {
		c := connect(t)
		offered := []string{"utf-16"}
		if utf8 {
			offered = append(offered, "utf-8")
		}
		capabilities := object{"general": object{"positionEncodings": offered}, "textDocument": able["textDocument"]}
		c.initialize(capabilities)
		const uri = "file:///a/b.yaml"
		const head = "engine: a/b\ntitle: '"
		version := 0
		rapid.Check(t, func(rt *rapid.T) {
			words := rapid.StringOfN(rapid.SampledFrom([]rune("aé½😀 ")), 1, 20, -1)
			editor := "x" + words.Draw(rt, "title") + "x"
			version++
			c.notify("textDocument/didOpen", object{"textDocument": object{"uri": uri, "version": version, "text": head + editor + "'\n"}})
			for range rapid.IntRange(1, 5).Draw(rt, "messages") {
				var changes []object
				for range rapid.IntRange(1, 3).Draw(rt, "changes") {
					runes := []rune(editor)
					from := rapid.IntRange(1, len(runes)-1).Draw(rt, "from")
					to := rapid.IntRange(from, len(runes)-1).Draw(rt, "to")
					in := words.Draw(rt, "insert")
					length := func(s string) int {
						if utf8 {
							return len(s)
						}
						return len(utf16.Encode([]rune(s)))
					}
					start := length("title: '" + string(runes[:from]))
					changes = append(changes, object{"range": extent{position{1, start}, position{1, start + length(string(runes[from:to]))}}, "text": in})
					editor = string(runes[:from]) + in + string(runes[to:])
				}
				version++
				c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": version}, "contentChanges": changes})
			}
			var symbols []symbol
			c.result("textDocument/documentSymbol", object{"textDocument": object{"uri": uri}}, &symbols)
			want := strings.Join(strings.Fields(editor), " ")
			if len([]rune(want)) > 80 {
				want = string([]rune(want)[:80]) + "…"
			}
			if symbols[1].Detail != want {
				rt.Fatalf("the server has %q, the editor %q", symbols[1].Detail, want)
			}
		})
	}
}

func TestEditsOverLines(t *testing.T) {
	c, uri, _ := garage(t)
	c.open(uri, six)
	c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": 2}, "contentChanges": []object{
		{"range": extent{position{0, 0}, position{2, 0}}, "text": ""},              // two lines out
		{"range": extent{position{0, 0}, position{0, 0}}, "text": "format: 1\r\n"}, // and in again
		{"range": extent{position{0, 9}, position{1, 0}}, "text": "\nengine: penhallow/six\n"},
		{"range": extent{position{999, 0}, position{999, 0}}, "text": "# the end\n"},
	}})
	assert.Empty(t, c.findings(uri, 2).Diagnostics)
	c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": 3}, "contentChanges": []object{{"range": extent{position{0, 0}, position{0, 3}}, "text": "x"}}})
	assert.NotEmpty(t, c.findings(uri, 3).Diagnostics)
}

// An edit that makes no sense costs the document, not the session: it is not
// checked and not changed until the whole text comes again.
func TestEditsThatMakeNoSense(t *testing.T) {
	for name, change := range map[string]any{
		"backwards":   object{"range": extent{position{3, 0}, position{1, 0}}, "text": ""},
		"below zero":  object{"range": extent{position{-1, 0}, position{1, 0}}, "text": ""},
		"not a range": object{"range": 7, "text": ""},
		"not a text":  object{"text": 7},
	} {
		c, uri, _ := garage(t)
		c.open(uri, six)
		c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": 2}, "contentChanges": []any{change}})
		lost := c.findings(uri, 2).Diagnostics
		require.Len(t, lost, 1, name)
		assert.Contains(t, lost[0].Message, "close it and open it again", name)
		for _, method := range []string{"hover", "completion", "definition", "documentSymbol", "codeAction"} {
			r := c.call("textDocument/"+method, object{"textDocument": object{"uri": uri}, "position": position{1, 1}, "range": extent{}, "context": object{}})
			assert.Nil(t, r.Error, method)
			assert.Contains(t, []string{"null", "[]"}, string(r.Result), method)
		}
		c.notify("textDocument/didChange", object{"textDocument": object{"uri": uri, "version": 3}, "contentChanges": []object{{"range": extent{}, "text": "x"}}})
		assert.Len(t, c.findings(uri, 3).Diagnostics, 1, "a part of what is not known is not known either")
		assert.Empty(t, c.change(uri, 4, six).Diagnostics)
	}
}
