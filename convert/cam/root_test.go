package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever the shape of a falling function, steps included, its change of sign
// is found in at most two steps more than bisection: one that the method spends
// and one for rounding.
func TestRoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo, width := number(t, -10, 10, "lo"), number(t, 1e-3, 100, "width")
		hi := lo + width
		want := lo + width*number(t, 0.001, 0.999, "root")
		power := rapid.SampledFrom([]float64{1, 2, 3, 9, 0.5, 0.1, 0}).Draw(t, "power")
		calls := 0
		f := func(x float64) float64 {
			calls++
			return math.Copysign(math.Pow(math.Abs(want-x), power), want-x)
		}
		const tolerance = 1e-12
		got := root(lo, hi, tolerance, f)
		require.InDelta(t, want, got, tolerance)
		require.LessOrEqual(t, calls, 2+int(math.Ceil(math.Log2(width/tolerance)))+2)

		negated := func(x float64) float64 { return -f(x) }
		require.InDelta(t, want, root(hi, lo, tolerance, negated), tolerance)
	})
}

func TestRootAtAnEnd(t *testing.T) {
	require.Equal(t, 2.0, root(2, 5, 1e-12, func(float64) float64 { return -1 }))
	require.Equal(t, 5.0, root(2, 5, 1e-12, func(float64) float64 { return 1 }))
	require.Equal(t, 5.0, root(2, 5, 1e-12, func(x float64) float64 { return 5 - x }))
}
