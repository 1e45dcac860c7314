package main

import (
	"bytes"
	"encoding/json"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/cautions"
	"fourmarks.example/schema/notation"
)

// Nothing that tells somebody to turn or move a part is said without the
// cautions, in any form; and there is no flag that switches them off.
func TestNothingIsSetOrTurnedWithoutCautions(t *testing.T) {
	readings := filepath.Join(t.TempDir(), "readings.yaml")
	require.NoError(t, os.WriteFile(readings, []byte(`readings: 1
read_at: checking clearance
cylinders:
  1: {inlet_opens: 10 ATDC, inlet_closes: 61 ABDC, exhaust_opens: 34 BBDC, exhaust_closes: 23 ATDC}
`), 0o600))
	var all []string
	for _, c := range cautions.General() {
		all = append(all, c.Text)
	}
	short := []string{notation.Caution}
	for name, c := range map[string]struct {
		args []string
		says []string
	}{
		"sheet":                 {[]string{"sheet", "penhallow/light-six"}, all},
		"sheet, JSON":           {[]string{"sheet", "penhallow/light-six", "--json"}, all},
		"sheet, HTML":           {[]string{"sheet", "penhallow/light-six", "--html", "-"}, all},
		"sheet, SVG":            {[]string{"sheet", "penhallow/light-six", "--svg", "-"}, all},
		"sheet, all options":    {[]string{"sheet", "penhallow/light-six", "--cylinder", "4", "--disc", "8 in", "--rim-diameter", "15 in", "--altitude", "500 m", "--units", "metric"}, all},
		"assess":                {[]string{"assess", "penhallow/light-six", readings}, all},
		"assess, JSON":          {[]string{"assess", "penhallow/light-six", readings, "--json"}, all},
		"convert":               {[]string{"convert", "52", "ABDC", "--rim-diameter", "16 in"}, short},
		"convert, JSON":         {[]string{"convert", "52", "ABDC", "--rim-diameter", "16 in", "--json"}, short},
		"convert, of an engine": {[]string{"convert", "48", "ABDC", "--engine", "penhallow/light-six"}, short},
		"convert, a movement":   {[]string{"convert", "1", "tooth", "--wheel-teeth", "28", "--rim-diameter", "16 in"}, short},
		"convert, a clearance":  {[]string{"convert", "4", "thou"}, short},
	} {
		t.Run(name, func(t *testing.T) {
			var out, remarks bytes.Buffer
			code := Run(t.Context(), c.args, Streams{In: strings.NewReader(""), Out: &out, Err: &remarks}, func(string) string { return "" })
			require.NotEqual(t, exitFailed, code, remarks.String())
			for _, caution := range c.says {
				assert.Contains(t, plain(t, out.String()), plain(t, caution))
			}
		})
	}
	root := (&program{}).root()
	for _, command := range root.Commands() {
		for _, flag := range []string{"quiet", "no-cautions", "no-caution", "brief", "short"} {
			assert.Nil(t, command.Flags().Lookup(flag), "%s --%s", command.Name(), flag)
		}
	}
}

var tag = regexp.MustCompile(`<[^<>]*>`)

// plain is a text without markup, escapes and line breaks.
func plain(t *testing.T, s string) string {
	if strings.HasPrefix(s, "{") {
		var value any
		require.NoError(t, json.Unmarshal([]byte(s), &value))
		s = strings.Join(stringsIn(value), "\n")
	}
	return strings.Join(strings.Fields(html.UnescapeString(tag.ReplaceAllString(s, " "))), " ")
}

// stringsIn lists the strings anywhere in a JSON value.
func stringsIn(value any) []string {
	var all []string
	switch v := value.(type) {
	case string:
		all = append(all, v)
	case []any:
		for _, one := range v {
			all = append(all, stringsIn(one)...)
		}
	case map[string]any:
		for _, one := range v {
			all = append(all, stringsIn(one)...)
		}
	}
	return all
}
