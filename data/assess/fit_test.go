package assess

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
)

// drawn makes data of up to six readings with covariances of all kinds.
func drawn(t *rapid.T) (*data, *mat.SymDense) {
	n := rapid.IntRange(2, 6).Draw(t, "n")
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	covariance := mat.NewSymDense(n, nil)
	common := number("common", 0, 1)
	var targets []target
	var late []float64
	for i := range n {
		targets = append(targets, target{1 + i/4, fourEvents[i%4]})
		late = append(late, number("late", -40, 40))
		for j := i; j < n; j++ {
			covariance.SetSym(i, j, common)
		}
		covariance.SetSym(i, i, common+number("own", 0.05, 4))
	}
	return newData(targets, late, covariance), covariance
}

// With a linear prediction the evidence is that of a normal distribution whose
// covariance is V + JPJ': worked out here by that formula, which the fit does not
// use. The size of the fault multiplies it by its mean square.
func TestEvidenceIsThatOfTheWholeDistribution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, v := drawn(t)
		n := len(d.late)
		sd := rapid.Float64Range(0.5, 60).Draw(t, "sd")
		h := &hypothesis{spread: free(sd), sizes: first, late: always}
		f := d.fit(h)
		require.NotNil(t, f)

		whole := mat.NewDense(n, n, nil)
		for i := range n {
			for j := range n {
				whole.Set(i, j, v.At(i, j)+sd*sd)
			}
		}
		var inverse mat.Dense
		require.NoError(t, inverse.Inverse(whole))
		r := mat.NewVecDense(n, d.late)
		determinant, _ := mat.LogDet(whole)
		alone, _ := mat.LogDet(v)
		want := mat.Inner(r, &inverse, r) + determinant - alone
		moment := (f.found[0]*f.found[0] + f.sigma[0]*f.sigma[0]) / (sd * sd)
		assert.InDelta(t, want-2*math.Log(moment), f.surprise, 1e-5*(1+math.Abs(want)))
	})
}

// One angle for independent readings is their weighted mean, drawn a little to
// nothing by what is allowed beforehand: by hand.
func TestOneAngleIsTheWeightedMean(t *testing.T) {
	late := []float64{12, 13, 14.5}
	sigma := []float64{0.5, 1, 2}
	v := mat.NewSymDense(3, nil)
	targets := make([]target, 3)
	top, bottom := 0.0, 1/(15.0*15)
	for i := range late {
		v.SetSym(i, i, sigma[i]*sigma[i])
		targets[i] = target{1, fourEvents[i]}
		top += late[i] / (sigma[i] * sigma[i])
		bottom += 1 / (sigma[i] * sigma[i])
	}
	f := newData(targets, late, v).fit(&hypothesis{spread: free(15), sizes: first, late: always})
	assert.InDelta(t, top/bottom, f.found[0], 1e-6)
	assert.InDelta(t, 1/math.Sqrt(bottom), f.sigma[0], 1e-6)
	assert.Equal(t, 2, f.freedom)
}

// Half a turn is no obstacle: readings about it are found to lie there, though
// some count as late and others as early.
func TestAnglesAreFoundAcrossHalfATurn(t *testing.T) {
	v := mat.NewSymDense(3, []float64{1, 0, 0, 0, 1, 0, 0, 0, 1})
	f := newData([]target{{1, crank.InletOpens}, {1, crank.InletCloses}, {1, crank.ExhaustOpens}}, []float64{179, -179, -180}, v).
		fit(&hypothesis{spread: free(90), sizes: first, late: always})
	assert.InDelta(t, 180, math.Abs(nearest(f.found[0])), 0.2)
	assert.Less(t, f.misfit, 5.0)
}

func TestAHypothesisThatDoesNotSpeakOfAReadingIsNone(t *testing.T) {
	v := mat.NewSymDense(1, []float64{1})
	assert.Nil(t, newData([]target{{1, crank.InletOpens}}, []float64{1}, v).fit(&hypothesis{late: func([]float64, target) float64 { return math.NaN() }}))
}

// Leaving a reading out is the same as never having read it.
func TestWithoutOneReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, v := drawn(t)
		n := len(d.late)
		leave := rapid.IntRange(0, n-1).Draw(t, "leave")
		keep := mat.NewSymDense(n-1, nil)
		var targets []target
		var late []float64
		var kept []int
		for i := range n {
			if i != leave {
				kept, targets, late = append(kept, i), append(targets, d.targets[i]), append(late, d.late[i])
			}
		}
		for i := range kept {
			for j := i; j < n-1; j++ {
				keep.SetSym(i, j, v.At(kept[i], kept[j]))
			}
		}
		h := &hypothesis{spread: free(15), sizes: first, late: always}
		want, got := newData(targets, late, keep).fit(h), d.without(leave).fit(h)
		assert.InDelta(t, want.surprise, got.surprise, 1e-6*(1+math.Abs(want.surprise)))
	})
}

func TestNearestAndPlaced(t *testing.T) {
	for deg, want := range map[float64]float64{0: 0, 180: 180, -180: 180, 181: -179, 540: 180, -725: -5, 359: -1} {
		assert.InDelta(t, want, nearest(deg), 1e-12, "%g", deg)
	}
	assert.Equal(t, "3° BTDC", placed(crank.InletOpens, -3))
	assert.Equal(t, "48° ABDC", placed(crank.InletCloses, 228))
	assert.Equal(t, "47° BBDC", placed(crank.ExhaustOpens, 133))
	assert.Equal(t, "0° ATDC", placed(crank.ExhaustCloses, 360))
	assert.Equal(t, "0° BTDC", placed(crank.InletOpens, 360))
}
