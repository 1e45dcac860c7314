package assess

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
)

// Without a cam, figures at two clearances tell how events move between: here
// inlet opening 9° and closing 8° for 16 thou. A hot and a cold set tell nothing,
// because the engine itself has moved between them.
func TestFlanksFromTwoClearances(t *testing.T) {
	for engine, known := range map[string]bool{"cold": true, "hot": false} {
		e, problems := schema.DecodeEngine(schema.ReadFile("e.yaml", []byte(`format: 1
engine: a/b
title: B
clearances:
  running: {measured_at: valve, engine: `+engine+`, inlet: 4 thou, exhaust: 6 thou}
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou}
events:
  running: {read_at: running clearance, inlet_opens: 12 BTDC, inlet_closes: 56 ABDC}
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}
`)))
		require.Empty(t, problems)
		r, problems := schema.DecodeReadings(schema.ReadFile("r.yaml", []byte("readings: 1\nread_at: checking clearance\n")))
		require.Empty(t, problems)
		s, err := settingAt(e, r)
		require.NoError(t, err)
		f := s.flanks[inlet]
		require.Equal(t, known, f.known(), engine)
		if !known {
			continue
		}
		opens, closes := f.shift(-8 * 0.0254)
		assert.InDelta(t, -4.5, opens, 1e-9)
		assert.InDelta(t, 4, closes, 1e-9)
		assert.Equal(t, "the figures at 20 thou and at 4 thou", f.basis)

		from := f.from(-8 * 0.0254)
		opens, _ = from.shift(8 * 0.0254)
		assert.InDelta(t, 4.5, opens, 1e-9)
	}
}
