package serve_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
)

type symbol struct {
	Name, Detail          string
	Kind                  int
	Range, SelectionRange extent
	Children              []symbol
}

func TestOutline(t *testing.T) {
	c, uri, _ := garage(t)
	c.open(uri, six)
	var tree []symbol
	c.result("textDocument/documentSymbol", object{"textDocument": object{"uri": uri}}, &tree)
	var lines []string
	var walk func(indent string, all []symbol)
	walk = func(indent string, all []symbol) {
		for _, s := range all {
			lines = append(lines, strings.TrimRight(indent+s.Name+": "+s.Detail, ": "))
			assert.Equal(t, s.Name, underlined(six, s.SelectionRange))
			walk(indent+"  ", s.Children)
		}
	}
	walk("", tree)
	outline := strings.Join(lines, "\n")
	assert.Contains(t, outline, "size\n  from: handbook p. 6\n  bore: 2 15/16 in\n  stroke: 4 1/2 in\n")
	assert.Contains(t, outline, "    inlet_closes: 48 ABDC\n    inlet_duration: 231\n", "a figure has its claims within, not below")
	assert.Contains(t, outline, "variants\n  series-2\n    title: second series\n")
	assert.Contains(t, outline, "        checking\n          inlet_opens: 5 BTDC\n")
}

// An editor that knows no trees gets a list.
func TestOutlineAsAList(t *testing.T) {
	uris := dataset(t, map[string]string{"engines/penhallow/six.yaml": six})
	uri := uris["engines/penhallow/six.yaml"]
	c := connect(t)
	c.initialize(object{})
	c.open(uri, six)
	var list []struct {
		Name, ContainerName string
		Location            struct {
			URI   string
			Range extent
		}
	}
	c.result("textDocument/documentSymbol", object{"textDocument": object{"uri": uri}}, &list)
	for _, s := range list {
		if s.Name == "inlet_duration" && s.ContainerName == "events.checking" {
			assert.Equal(t, uri, s.Location.URI)
			assert.Equal(t, "inlet_duration: 231", underlined(six, s.Location.Range))
			return
		}
	}
	t.Fatal("inlet_duration is not in the list")
}

func TestOutlineOfABrokenFile(t *testing.T) {
	c, uri, _ := garage(t)
	for i, text := range []string{"", "x", "- a\n", "engine: a/b\n: c\n\"\": d\n{", "\x00\xff"} {
		c.open(uri, text)
		r := c.call("textDocument/documentSymbol", object{"textDocument": object{"uri": uri}})
		assert.Nil(t, r.Error, i)
		assert.NotContains(t, string(r.Result), `"name":""`, "no symbol is without a name")
	}
}

func TestFormatting(t *testing.T) {
	c, uri, _ := garage(t)
	format := object{"textDocument": object{"uri": uri}, "options": object{"tabSize": 8, "insertSpaces": false}}
	c.open(uri, six)
	var edits []edit
	c.result("textDocument/formatting", format, &edits)
	assert.Empty(t, edits, "nothing is to be done")

	untidy := strings.ReplaceAll(with(t, "  kind: coil\n  advance: 35 BTDC\n", "  advance:    35 BTDC # 😀\n  kind: coil\n"), "  bore: 2 15/16 in\n", "  bore:  2 15/16 in   \n")
	c.change(uri, 2, untidy)
	c.result("textDocument/formatting", format, &edits)
	tidy, err := schema.Tidy([]byte(untidy))
	require.NoError(t, err)
	assert.Equal(t, string(tidy), applied(untidy, edits))
	assert.Greater(t, len(edits), 1, "what lies between is left alone")

	c.change(uri, 3, "engine: a/b\ntitle B\n")
	r := c.call("textDocument/formatting", format)
	require.NotNil(t, r.Error, "what cannot be read is not changed, and why is said")
	assert.Equal(t, -32803, r.Error.Code)
	assert.Contains(t, r.Error.Message, "line 2")
}
