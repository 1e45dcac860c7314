package serve_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDefinition(t *testing.T) {
	c, uri, uris := garage(t)
	c.open(uri, six)
	record := uris["sources/handbook.yaml"]
	cases := []struct {
		name, old, new string
		file           string // "" for nowhere
		line           string // of the file, that it leads to
	}{
		{"a citation of the register", "from: handbook p. 22", "from: hand|book p. 22", record, "type: pamphlet"},
		{"a locator", "from: handbook p. 22", "from: handbook p. |22", record, "type: pamphlet"},
		{"a citation of the file", "from: sheet line 6", "from: she|et line 6", uri, "  sheet: {type: document, title: Setting Sheet 4, grade: works}"},
		{"the key of a claim", "        handbook: {is", "        hand|book: {is", record, "type: pamphlet"},
		{"a source without a record", "from: handbook p. 22", "from: hand|bok p. 22", "", ""},
		{"a wheel of a train", "crankshaft > idler > camshaft", "crankshaft > id|ler > camshaft", uri, "    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 56}, camshaft: {teeth: 56}}"},
		{"read at", "read_at: checking clearance", "read_at: check|ing clearance", uri, "  checking: {from: sheet line 1, measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou}"},
		{"read at nothing known", "read_at: checking clearance", "read_at: not| given", "", ""},
		{"a drive", "drive: camshaft", "drive: cam|shaft", uri, "  camshaft:"},
		{"a wheel that slides", "    wheels: {crankshaft", "    sliding_home: {wheel: cam|shaft}\n    wheels: {crankshaft", uri, "    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 56}, camshaft: {teeth: 56}}"},
		{"the clearance of a stamp", "ignition:\n", "marks:\n  flywheel: {stamps: {IO: {clearance: check|ing}}}\nignition:\n", uri, "  checking: {from: sheet line 1, measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou}"},
		{"an accepted place", "ignition:\n", "accepted:\n  size.st|roke: {size/rod-ratio: x}\nignition:\n", uri, "  stroke: 4 1/2 in"},
		{"a figure", "stroke: 4 1/2 in", "stroke: 4 |1/2 in", "", ""},
		{"a key", "stroke: 4 1/2 in", "str|oke: 4 1/2 in", "", ""},
	}
	for i, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			text, p := marked(t, with(t, k.old, k.new))
			c.change(uri, i+2, text)
			r := c.call("textDocument/definition", at(uri, p))
			require.Nil(t, r.Error)
			if k.file == "" {
				assert.Equal(t, "null", string(r.Result))
				return
			}
			var to struct {
				URI   string
				Range extent
			}
			require.NoError(t, json.Unmarshal(r.Result, &to))
			assert.Equal(t, k.file, to.URI)
			if k.file == record {
				text = handbook
			}
			assert.Equal(t, k.line, lineOf(text, to.Range.Start.Line))
		})
	}
}

func TestDefinitionInASource(t *testing.T) {
	c, _, uris := garage(t)
	uri := strings.Replace(uris["sources/handbook.yaml"], "handbook", "note", 1) // not saved yet
	text, p := marked(t, "title: Club Note\ngrade: later\ncopies: hand|book\n")
	c.open(uri, text)
	var to struct{ URI string }
	c.result("textDocument/definition", at(uri, p), &to)
	assert.Equal(t, uris["sources/handbook.yaml"], to.URI)
}
