package figure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema/figure"
)

// The values follow from 1 in = 25.4 mm (NIST SP 811, B.8); the digits from the
// rule of its B.7.
func TestPrintedIn(t *testing.T) {
	for _, c := range []struct {
		kind           figure.Kind
		print          string
		metric, inches string
	}{
		{figure.ReadLength, "4 thou", "0.10 mm", ""},
		{figure.ReadLength, `.004"`, "0.10 mm", ""},
		{figure.ReadLength, "0.10 mm", "", "3.9 thou"},
		{figure.NominalLength, "2 15/16 in", "74.61 mm", ""},
		{figure.NominalLength, "68 mm", "", "2.677 in"},
		{figure.Volume, "2998 cc", "", "182.95 cu in"},
		{figure.Position, "10 mm BTDC piston", "", "0.39 in BTDC piston"},
		{figure.Position, "52 ABDC", "", ""},
		{figure.Count, "28", "", ""},
		{figure.ReadLength, "0.018 in (0.45 mm)", "", ""}, // both stand in the print
		{figure.ReadLength, "unknown", "", ""},
		{figure.Text, "E I E I", "", ""},
	} {
		p, err := figure.Read(c.kind, c.print)
		require.NoError(t, err, c.print)
		assert.Empty(t, p.In(figure.AsPrinted))
		assert.Equal(t, c.metric, p.In(figure.Metric), "%s in metric units", c.print)
		assert.Equal(t, c.inches, p.In(figure.Inches), "%s in inches", c.print)
	}
}

func TestSystemNamed(t *testing.T) {
	for i, name := range figure.Systems() {
		s, ok := figure.SystemNamed(name)
		assert.True(t, ok)
		assert.Equal(t, figure.System(i), s)
	}
	_, ok := figure.SystemNamed("furlongs")
	assert.False(t, ok)
}
