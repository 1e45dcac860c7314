package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"
)

// The interpolation is held against that of gonum, fitted to the whole table
// with a resting entry beyond either foot.
func TestTableAgreesWithGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		table := drawTable(t)
		p, err := table.Profile()
		require.NoError(t, err)

		last := len(table) - 1
		xs, ys := []float64{table[0].Angle - 5}, []float64{0}
		for _, entry := range table {
			xs, ys = append(xs, entry.Angle), append(ys, entry.Lift)
		}
		xs, ys = append(xs, table[last].Angle+5), append(ys, 0)
		var reference interp.FritschButland
		require.NoError(t, reference.Fit(xs, ys))

		first, end := table.top()
		middle := (table[first].Angle + table[end].Angle) / 2
		for _, part := range rapid.SliceOfN(rapid.Float64Range(0, 1), 5, 5).Draw(t, "places") {
			x := table[0].Angle + part*(table[last].Angle-table[0].Angle)
			m, err := p.At(x - middle)
			require.NoError(t, err)
			require.InDelta(t, reference.Predict(x), m.Lift, 1e-11, "at %g", x)
			require.InDelta(t, reference.PredictDerivative(x), m.Velocity, 1e-10, "at %g", x)
		}
		for _, entry := range table {
			m, err := p.At(entry.Angle - middle)
			require.NoError(t, err)
			require.InDelta(t, entry.Lift, m.Lift, 1e-12)
		}
	})
}

func TestTableOfOneFlankIsMirrored(t *testing.T) {
	rising, err := Table{{0, 0}, {10, 0.004}, {25, 0.06}, {40, 0.2}, {65, 0.29}, {70, 0.29}}.Profile()
	require.NoError(t, err)
	falling, err := Table{{0, 0.29}, {5, 0.29}, {30, 0.2}, {45, 0.06}, {60, 0.004}, {70, 0}, {80, 0}}.Profile()
	require.NoError(t, err)
	for _, angle := range []float64{0, 3, 5, 7, 22, 41, 66, 70, 75} {
		a, err := rising.At(-angle)
		require.NoError(t, err)
		for _, same := range []struct {
			p     Profile
			angle float64
		}{{rising, angle}, {falling, angle}, {falling, -angle}} {
			b, err := same.p.At(same.angle)
			require.NoError(t, err)
			assert.InDelta(t, a.Lift, b.Lift, 1e-15)
			assert.InDelta(t, a.Velocity, b.Velocity*math.Copysign(1, -same.angle), 1e-15)
		}
	}
	e, err := rising.Events(0)
	require.NoError(t, err)
	assert.Equal(t, 280.0, e.Duration())
}

// A table read off a cam of known form gives its durations back, to a few
// hundredths of a crank degree when read at every degree of the camshaft and to
// half a degree when read at every fifth.
func TestTableOfAKnownCam(t *testing.T) {
	known, err := ThreeArc{0.5, 2.25, 0.17, 0.29, false, Follower{Kind: Flat}}.Profile()
	require.NoError(t, err)
	for _, c := range []struct{ every, within float64 }{{1, 0.05}, {5, 0.5}} {
		var table Table
		for angle := -70.0; angle <= 70; angle += c.every {
			m, err := known.At(angle)
			require.NoError(t, err)
			table = append(table, Point{angle, m.Lift})
		}
		p, err := table.Profile()
		require.NoError(t, err)
		for _, clearance := range []float64{0.004, 0.020} {
			want, err := known.Events(clearance)
			require.NoError(t, err)
			got, err := p.Events(clearance)
			require.NoError(t, err)
			assert.InDelta(t, want.Duration(), got.Duration(), c.within, "every %g degrees, clearance %g", c.every, clearance)
		}
	}
}
