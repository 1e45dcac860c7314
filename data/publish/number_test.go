package publish

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestRounded(t *testing.T) {
	for _, c := range []struct {
		x                 string
		digits            int
		down, nearest, up string
	}{
		{"0", 3, "0", "0", "0"},
		{"52.5", 3, "52.5", "52.5", "52.5"},
		{"1/3", 3, "0.333", "0.333", "0.334"},
		{"-1/3", 3, "-0.334", "-0.333", "-0.333"},
		{"2/3", 3, "0.666", "0.667", "0.667"},
		{"1.125", 3, "1.12", "1.12", "1.13"}, // a tie, to the even digit
		{"1.135", 3, "1.13", "1.14", "1.14"},
		{"-1.125", 3, "-1.13", "-1.12", "-1.12"},
		{"9.999", 3, "9.99", "10", "10"},
		{"123456", 3, "123000", "123000", "124000"},
		{"0.00012345", 3, "0.000123", "0.000123", "0.000124"},
		{"1000", 1, "1000", "1000", "1000"},
		{"1/1000", 1, "0.001", "0.001", "0.001"},
	} {
		x, ok := new(big.Rat).SetString(c.x)
		require.True(t, ok)
		for way, want := range map[toward]string{down: c.down, nearest: c.nearest, up: c.up} {
			assert.Equal(t, want, fmt.Sprint(*first(rounded(x, c.digits, way))), "%s %d", c.x, way)
		}
	}
	assert.Nil(t, first(rounded(nil, 3, nearest)))
}

func first(x *float64, _ bool) *float64 { return x }

// The decimals hold the number between them, have no more digits than asked for,
// and the nearest is no further off than half its last place.
func TestRoundedHoldsTheNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.OneOf(rapid.Int64Min(1), rapid.SampledFrom([]int64{1, 2, 3, 8, 10, 16, 60, 64, 100, 120, 1000, 625, 1_000_000})).Draw(t, "d")
		x := big.NewRat(rapid.OneOf(rapid.Int64(), rapid.Int64Range(-1_000_000, 1_000_000)).Draw(t, "n"), d)
		digits := rapid.SampledFrom([]int{derivedDigits, printedDigits}).Draw(t, "digits")
		low, value, high := decimal(t, first(rounded(x, digits, down))), decimal(t, first(rounded(x, digits, nearest))), decimal(t, first(rounded(x, digits, up)))
		assert.LessOrEqual(t, low.Cmp(x), 0)
		assert.GreaterOrEqual(t, high.Cmp(x), 0)
		assert.True(t, value.Cmp(low) == 0 || value.Cmp(high) == 0)
		off := new(big.Rat).Sub(value, x)
		half := new(big.Rat).Sub(high, low)
		assert.LessOrEqual(t, off.Abs(off).Cmp(half.Mul(half, big.NewRat(1, 2))), 0)
		_, exact := rounded(x, digits, nearest)
		assert.Equal(t, x.Cmp(value) == 0, exact)
	})
}

// decimal reads a double back as the shortest decimal, as JSON and CSV show it.
func decimal(t *rapid.T, x *float64) *big.Rat {
	text := strconv.FormatFloat(*x, 'e', -1, 64)
	mantissa, _, _ := strings.Cut(strings.TrimPrefix(text, "-"), "e")
	assert.LessOrEqual(t, len(strings.Replace(mantissa, ".", "", 1)), printedDigits, text)
	r, ok := new(big.Rat).SetString(text)
	require.True(t, ok)
	return r
}
