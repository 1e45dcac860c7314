package history

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data"
	"fourmarks.example/schema"
)

// Figures are in dispute where the decoder and the rules of standing say so, in
// every demo engine as it is and with nothing set aside.
func TestDisputesAreThoseOfTheDecoder(t *testing.T) {
	names, err := fs.Glob(data.Files, "engines/*/*.yaml")
	require.NoError(t, err)
	more := map[string]string{
		"none":     "lifts: {inlet: {claims: {a: 8 mm, b: 8.0 mm}}}\n",
		"words":    "layout: {rotation: {claims: {a: clockwise seen from timing end, b: anticlockwise seen from timing end}}}\n",
		"aside":    "lifts: {inlet: {claims: {a: 8 mm, b: {is: 9.5 mm, set_aside: x}}}}\n",
		"absent":   "lifts: {inlet: {claims: {a: 8 mm, b: unknown, c: illegible}}}\n",
		"unread":   "lifts: {inlet: {claims: {a: 8 mm, b: nonsense, c: 9.5 mm}}}\n",
		"variant":  "variants: {late: {change: {lifts: {inlet: {claims: {a: 8 mm, b: 9.5 mm}}}}}}\n",
		"measures": "events: {x: {inlet_opens: {claims: {a: 3 BTDC, b: 1 mm BTDC piston}}}}\n",
	}
	found := 0
	check := func(name, source string) {
		base, _ := schema.DecodeEngine(schema.ReadFile(name, []byte(source)))
		var want []figure
		for _, e := range base.All() {
			for _, f := range e.Figures() {
				if (e.Variant == "" || f.Changed) && schema.StandingOf(f, base.Sources.Get) == schema.Disputed {
					want = append(want, figure{e.Variant, f.Path})
				}
			}
		}
		assert.ElementsMatch(t, want, extract([]byte(source)).disputed, name)
		found += len(want)
	}
	for _, name := range names {
		b, err := fs.ReadFile(data.Files, name)
		require.NoError(t, err)
		check(name, string(b))
	}
	for name, source := range more {
		check(name, source)
	}
	assert.Greater(t, found, 3)
}
