package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/sheet"
	"fourmarks.example/data/sheet/diagram"
)

// No two labels meet on the diagram of any engine, within the sheet or alone.
func TestNoLabelsMeetForAnyEngine(t *testing.T) {
	drawn := 0
	for _, e := range everyEngine(t) {
		s := made(t, e, sheet.Options{})
		for _, draw := range []func() (*diagram.Drawing, bool){s.Diagram, s.DiagramAlone} {
			d, ok := draw()
			if !ok {
				continue
			}
			drawn++
			for i, a := range d.Labels {
				assert.True(t, a.Box.X >= 0 && a.Box.Y >= 0 && a.Box.X+a.Box.Width <= d.Width && a.Box.Y+a.Box.Height <= d.Height, "%s: %v leaves the drawing", e.Name(), a.Lines)
				for _, b := range d.Labels[i+1:] {
					assert.False(t, a.Box.Meets(b.Box), "%s: %v meets %v", e.Name(), a.Lines, b.Lines)
				}
			}
		}
	}
	assert.Greater(t, drawn, 70)
}

// The diagram says what the file prints, of both sets, and what is derived stands
// behind its sign.
func TestDiagramShowsBothSetsAndWhatIsDerived(t *testing.T) {
	for name, c := range map[string]struct {
		engine string
		labels []string
	}{
		"both sets printed": {"penhallow/light-six", []string{
			"Inlet opens|12 BTDC running|3 BTDC checking", "Inlet open for|249° running|231° checking", "Overlap|29½° running|13° checking", "Ignition|35 BTDC",
			"Turns clockwise seen|from timing end, as|drawn."}},
		"a set counted in teeth": {"garrowmoor/model-k", []string{"Inlet closes|39° 45' ABDC running|13¼ teeth ABDC flywheel"}},
		"turning the other way":  {"aubrelle/six-cv", []string{"Turns anticlockwise seen|from flywheel, as drawn."}},
	} {
		t.Run(name, func(t *testing.T) {
			d, ok := made(t, demo(t, c.engine), sheet.Options{}).Diagram()
			require.True(t, ok)
			var said []string
			for _, l := range d.Labels {
				said = append(said, strings.Join(l.Lines, "|"))
			}
			for _, label := range c.labels {
				assert.Contains(t, said, label)
			}
		})
	}
	d, ok := made(t, demo(t, "garrowmoor/model-k"), sheet.Options{}).Diagram()
	require.True(t, ok)
	assert.Contains(t, d.SVG(), `class="d"`, "durations of the set in teeth are derived")
}

func TestTwoStrokeHasNoDiagram(t *testing.T) {
	s := made(t, written(t, "layout: {cycle: two-stroke, cylinders: 1}\nevents: {ports: {read_at: not given, exhaust_opens: 60 BBDC, exhaust_closes: 60 ABDC}}\n"), sheet.Options{})
	_, ok := s.Diagram()
	assert.False(t, ok)
}
