package published

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadGivesTheLastDigitsSize(t *testing.T) {
	for _, c := range []struct {
		print       string
		value, unit float64
	}{
		{"549.78", 549.78, 0.01},
		{"-0.250", -0.25, 0.001},
		{"356", 356, 1},
		{"13.", 13, 1},
		{".004", 0.004, 0.001},
		{"9.5461E4", 95461, 1},
		{"1.5e-3", 0.0015, 0.0001},
		{"3 11/16", 3.6875, 0.0625},
		{"-3 1/2", -3.5, 0.5},
		{"7/16", 0.4375, 0.0625},
	} {
		value, unit, err := read(c.print)
		require.NoError(t, err, c.print)
		assert.Equal(t, c.value, value, c.print)
		assert.InEpsilon(t, c.unit, unit, 1e-15, c.print)
	}
	for _, bad := range []string{"", "abc", "1 2", "1 2 3/4", "1/0x", "one 1/2"} {
		_, _, err := read(bad)
		assert.Error(t, err, bad)
	}
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		value Value
		fails bool
	}{
		{Value{Got: 549.779, Printed: "549.78"}, false},
		{Value{Got: 24.025, Printed: "24.03"}, false}, // exactly half a unit off
		{Value{Got: 24.0249, Printed: "24.03"}, true},
		{Value{Got: 194.69, Printed: "200.5", Wrong: "stroke misprinted"}, false},
		{Value{Got: 200.49, Printed: "200.5", Wrong: "but it is right"}, true},
		{Value{Got: 1, Printed: "one"}, true},
	} {
		_, err := c.value.check()
		assert.Equal(t, c.fails, err != nil, "%+v: %v", c.value, err)
	}
	units, err := Value{Got: 549.779, Printed: "549.78"}.check()
	require.NoError(t, err)
	assert.InDelta(t, 0.1, units, 1e-9)
}
