package serve_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type hovered struct {
	Contents struct{ Kind, Value string }
	Range    extent
}

func TestHover(t *testing.T) {
	c, uri, _ := garage(t)
	c.open(uri, six)
	cases := []struct {
		name, old, new string   // new holds the cursor
		says           []string // in this order; nothing at all where empty
		range_         string
	}{
		{"a key", "bore: 2 15/16", "bo|re: 2 15/16", []string{"**Bore**", "For example: "}, "bore"},
		{"a section's key", "\nsize:", "\nsi|ze:", []string{"**Size**", "Dimensions and ratings."}, "size"},
		{"a name that the file chose", "clearances:\n  checking", "clearances:\n  check|ing", []string{"**Clearances**", "Sets of valve clearances by name"}, "checking"},
		{"a word", "cycle: four-stroke", "cycle: four|-stroke", []string{"**Cycle**", "One of: four-stroke, two-stroke."}, "four-stroke"},
		{"a figure", "bore: 2 15/16 in", "bore: 2 15|/16 in", []string{
			`**size.bore**`,
			"- 2 15/16 in = 2.9375 in, within 2.937 to 2.938  \n  from Instruction Book (maker), p. 6\n",
			"Single-source",
			"**In other notations**", "mm: 74.61 mm",
			"the maker's instructions",
			"**Checked against**", "swept volume = (π / 4) × bore² × stroke × cylinders  \n  2998 cc = (π / 4) × (2.9375 in)² × 4.5 in × 6  \n  within rounding:", "size/swept-volume",
		}, "2 15/16 in"},
		{"the end of a figure", "bore: 2 15/16 in", "bore: 2 15/16 in|", []string{`**size.bore**`}, "2 15/16 in"},
		{"a position, by the rod and the event", "inlet_opens: 3 BTDC", "inlet_opens: 3| BTDC", []string{
			`**events.checking.inlet\_opens**`, "3 BTDC = 3° BTDC, within 2.5 to 3.5", "camshaft: ", "piston: ",
			"inlet duration = 180", "231 = 180 + 3 + 48",
		}, "3 BTDC"},
		{"a claim that is set aside", "{is: 45 ABDC", "{is: 4|5 ABDC", []string{
			"48 ABDC = 48° ABDC", "from Setting Sheet 4 (works), line 3", "45 ABDC = 45° ABDC", "from Instruction Book (maker), p. 14  \n  set aside: stamp re-cut at overhaul",
			"Settled", "ATDC: 225 ATDC",
		}, "45 ABDC"},
		{"a figure of a variant", "{is: 5 BTDC", "{is: 5| BTDC", []string{`**events.checking.inlet\_opens, variant series-2**`, "233 = 180 + 5 + 48"}, "5 BTDC"},
		{"a count", "cylinders: 6", "cylinders: 6|", []string{"- 6 = 6  \n", "Checked against"}, "6"},
		{"a citation", "from: handbook p. 22", "from: hand|book p. 22", []string{"**Instruction Book**", "1927", "Grade: maker"}, "handbook p. 22"},
		{"the key of a claim", "        handbook: {is", "        hand|book: {is", []string{"**Instruction Book**"}, "handbook"},
		{"the key of a record", "  sheet: {type", "  she|et: {type", []string{"**Setting Sheet 4**", "Grade: works"}, "sheet"},
		{"a source without a record", "from: handbook p. 22", "from: hand|bok p. 22", []string{"There is no record of the source handbok."}, "handbok p. 22"},
		{"a key of a claim's own", "set_aside: stamp", "set_|aside: stamp", []string{"**Set aside**"}, "set_aside"},
		{"a rule that is accepted", "ignition:\n", "accepted:\n  events.checking:\n    events/over|lap: both sheets print it\nignition:\n", []string{"**Overlap", "fourmarks explain events/overlap"}, "events/overlap"},
		{"a place that is accepted", "ignition:\n", "accepted:\n  size.st|roke: {size/rod-ratio: \"\"}\nignition:\n", []string{`**size.stroke**`, "4 1/2 in"}, "size.stroke"},
		{"a rule that there is not", "ignition:\n", "accepted:\n  events.checking:\n    events/over|lop: x\nignition:\n", nil, ""},
		{"a comment", "ignition:\n", "ignition:\n  # se|e the sheet\n", nil, ""},
		{"an unknown key", "bore: 2 15/16", "bo|ar: 2 15/16", nil, ""},
		{"between", "bore: 2 15/16 in\n", "bore: 2 15/16 in\n|\n", nil, ""},
	}
	for i, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			text, p := marked(t, with(t, k.old, k.new))
			c.change(uri, i+2, text)
			r := c.call("textDocument/hover", at(uri, p))
			require.Nil(t, r.Error)
			if k.says == nil && k.range_ == "" {
				assert.Equal(t, "null", string(r.Result))
				return
			}
			var h hovered
			require.NoError(t, json.Unmarshal(r.Result, &h))
			assert.Equal(t, "markdown", h.Contents.Kind)
			rest := h.Contents.Value
			for _, s := range k.says {
				_, after, found := strings.Cut(rest, s)
				assert.True(t, found, "%q is not in\n%s", s, rest)
				if found {
					rest = after
				}
			}
			if k.range_ != "" {
				assert.Equal(t, k.range_, underlined(text, h.Range))
			}
		})
	}
}

// Without the compression ratio's counterpart the prints leave it to follow.
func TestHoverSaysWhatFollows(t *testing.T) {
	c, uri, _ := garage(t)
	text, p := marked(t, with(t, "rod_centres: 9 in", "compression_ratio: 5|.2"))
	c.open(uri, text)
	var h hovered
	c.result("textDocument/hover", at(uri, p), &h)
	_, follows, found := strings.Cut(h.Contents.Value, "**Follows from it**")
	require.True(t, found, h.Contents.Value)
	assert.Contains(t, follows, "- chamber volume: ")
	assert.Contains(t, follows, "(compression ratio − 1) × chamber volume × cylinders = swept volume")
}

// What a file says cannot act as Markdown.
func TestHoverIsInert(t *testing.T) {
	c, uri, _ := garage(t)
	text, p := marked(t, with(t, "advance: 35 BTDC", `advance: {is: 35| BTDC, note: "![x](http://example.org/x.png) <b>*bold*</b>\u202Egnp"}`))
	c.open(uri, text)
	var h hovered
	c.result("textDocument/hover", at(uri, p), &h)
	assert.Contains(t, h.Contents.Value, `!\[x\](http://example.org/x.png) \<b\>\*bold\*\</b\>\\u{202E}gnp`)
}

// An editor that does not say that it shows Markdown gets plain text.
func TestHoverInPlainText(t *testing.T) {
	uris := dataset(t, map[string]string{"engines/penhallow/six.yaml": six, "sources/handbook.yaml": handbook})
	uri := uris["engines/penhallow/six.yaml"]
	c := connect(t)
	c.initialize(object{})
	text, p := marked(t, with(t, "inlet_opens: 3 BTDC", "inlet_opens: 3| BTDC"))
	c.open(uri, text)
	var h hovered
	c.result("textDocument/hover", at(uri, p), &h)
	assert.Equal(t, "plaintext", h.Contents.Kind)
	assert.True(t, strings.HasPrefix(h.Contents.Value, "events.checking.inlet_opens\n"), h.Contents.Value)
	assert.NotContains(t, h.Contents.Value, `\`)
	assert.NotContains(t, h.Contents.Value, "**")
}
