package assess

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// fitted is a hypothesis with what was found of it.
type fitted struct {
	*hypothesis
	found []float64
	// sigma are the standard uncertainties of what was found.
	sigma []float64
	// misfit is χ² of the readings, and of what was found but is no size of a fault,
	// on so many degrees of freedom; surprise is −2 ln of the evidence, with what
	// other readings say of the cause.
	misfit, surprise float64
	// events is −2 ln of the evidence of the events alone.
	events  float64
	freedom int
	// strain is χ² of the readings and of all that was found, a fault of no size
	// being none: how much has to be believed for the readings to be so.
	strain  float64
	against []string // readings that contradict it
	bears   bool     // a reading other than an event bears on it
}

// chance is how often a misfit as large is seen by chance.
func (f *fitted) chance() float64 {
	if f.freedom <= 0 {
		return 1
	}
	return distuv.ChiSquared{K: float64(f.freedom)}.Survival(f.misfit)
}

// data is the events in the form of a fit: how late each reading is, and the
// inverse of their covariances.
type data struct {
	targets []target
	late    []float64
	inverse *mat.SymDense
}

// newData makes the data of readings with covariances; nil where these have no
// inverse, which readings with any uncertainty rule out.
func newData(targets []target, late []float64, covariance *mat.SymDense) *data {
	var c mat.Cholesky
	d := &data{targets: targets, late: late, inverse: mat.NewSymDense(len(late), nil)}
	if !c.Factorize(covariance) || c.InverseTo(d.inverse) != nil {
		return nil
	}
	return d
}

// rest is what a hypothesis leaves of each reading; NaN where it cannot say.
func (d *data) rest(h *hypothesis, found []float64) *mat.VecDense {
	rest := mat.NewVecDense(len(d.late), nil)
	for i, t := range d.targets {
		rest.SetVec(i, nearest(d.late[i]-h.late(found, t)))
	}
	return rest
}

// misfit is χ² of what is left.
func (d *data) misfit(rest *mat.VecDense) float64 { return mat.Inner(rest, d.inverse, rest) }

// fit finds what a hypothesis leaves to be found; nil where it does not speak of
// every reading.
func (d *data) fit(h *hypothesis) *fitted {
	f := &fitted{hypothesis: h, freedom: len(d.late)}
	if h.spread == nil {
		f.misfit = d.misfit(d.rest(h, nil))
		f.surprise, f.strain = f.misfit, f.misfit
		return f.orNil()
	}
	n := h.spread.SymmetricDim()
	f.freedom -= len(h.sizes)
	var prior mat.Cholesky
	if !prior.Factorize(h.spread) {
		return nil
	}
	precision := mat.NewSymDense(n, nil)
	if prior.InverseTo(precision) != nil {
		return nil
	}
	best := math.Inf(1)
	for _, start := range d.starts(h, n) {
		found, curvature := d.descend(h, start, precision)
		if found == nil {
			continue
		}
		misfit := d.misfit(d.rest(h, found))
		at := mat.NewVecDense(n, found)
		var c mat.Cholesky
		if !c.Factorize(curvature) {
			continue
		}
		sigma := sigmas(&c, n)
		strain := misfit + mat.Inner(at, precision, at) - 2*math.Log(h.size(found, sigma))
		if s := strain + prior.LogDet() + c.LogDet(); s < best {
			best = s
			f.found, f.misfit, f.surprise, f.strain, f.sigma = found, misfit+h.pull(found), s, strain, sigma
		}
	}
	if math.IsInf(best, 1) {
		return nil
	}
	return f.orNil()
}

// pull is χ² of what was found beside the size of the fault, which is small.
func (h *hypothesis) pull(found []float64) float64 {
	sum := 0.0
	for i, x := range found {
		if !slices.Contains(h.sizes, i) {
			sum += float64(x*x) / h.spread.At(i, i)
		}
	}
	return sum
}

// size is the mean square of the size found, over that allowed beforehand.
func (h *hypothesis) size(found, sigma []float64) float64 {
	if len(h.sizes) == 0 {
		return 1
	}
	sum := 0.0
	for _, i := range h.sizes {
		sum += (float64(found[i]*found[i]) + float64(sigma[i]*sigma[i])) / h.spread.At(i, i)
	}
	return sum / float64(len(h.sizes))
}

func (f *fitted) orNil() *fitted {
	if math.IsNaN(f.misfit) {
		return nil
	}
	return f
}

func sigmas(c *mat.Cholesky, n int) []float64 {
	covariance := mat.NewSymDense(n, nil)
	if c.InverseTo(covariance) != nil {
		return make([]float64, n)
	}
	all := make([]float64, n)
	for i := range all {
		all[i] = math.Sqrt(covariance.At(i, i))
	}
	return all
}

// starts are where a fit begins: at nothing, and at each reading alone, which
// matters only where half a turn lies between.
func (d *data) starts(h *hypothesis, n int) [][]float64 {
	starts := [][]float64{make([]float64, n)}
	if n > 1 || h.spread.At(0, 0) < 1 {
		return starts
	}
	for _, late := range d.late {
		starts = append(starts, []float64{late})
	}
	return starts
}

// descend follows the least squares from a start (Gauss and Newton's method),
// and returns with what was found the curvature there.
func (d *data) descend(h *hypothesis, start []float64, precision *mat.SymDense) ([]float64, *mat.SymDense) {
	n := len(start)
	found := bounded(h, append([]float64(nil), start...))
	var curvature *mat.SymDense
	for range 25 {
		rest := d.rest(h, found)
		slopes := d.slopes(h, found)
		if slopes == nil {
			return nil, nil
		}
		var weighted mat.Dense
		weighted.Mul(slopes.T(), d.inverse)
		var square mat.Dense
		square.Mul(&weighted, slopes)
		curvature = mat.NewSymDense(n, nil)
		for i := range n {
			for j := i; j < n; j++ {
				curvature.SetSym(i, j, square.At(i, j)+precision.At(i, j))
			}
		}
		var down, pull mat.VecDense
		down.MulVec(&weighted, rest)
		pull.MulVec(precision, mat.NewVecDense(n, found))
		down.SubVec(&down, &pull)
		var c mat.Cholesky
		var step mat.VecDense
		if !c.Factorize(curvature) || c.SolveVecTo(&step, &down) != nil {
			return nil, nil
		}
		next := make([]float64, n)
		moved := 0.0
		for i := range next {
			next[i] = found[i] + step.AtVec(i)
		}
		next = bounded(h, next)
		for i := range next {
			moved = math.Max(moved, math.Abs(next[i]-found[i])/math.Sqrt(h.spread.At(i, i)))
		}
		found = next
		if moved < 1e-7 {
			break
		}
	}
	return found, curvature
}

// bounded keeps what has to be found within its bounds.
func bounded(h *hypothesis, found []float64) []float64 {
	for i := range h.least {
		found[i] = math.Max(found[i], h.least[i])
	}
	return found
}

// slopes are the derivatives of the prediction, by differences.
func (d *data) slopes(h *hypothesis, found []float64) *mat.Dense {
	j := mat.NewDense(len(d.late), len(found), nil)
	for p := range found {
		by := 1e-4 * math.Sqrt(h.spread.At(p, p))
		more, less := append([]float64(nil), found...), append([]float64(nil), found...)
		more[p] += by
		less[p] -= by
		for i, t := range d.targets {
			slope := (h.late(more, t) - h.late(less, t)) / (2 * by)
			if math.IsNaN(slope) {
				return nil
			}
			j.Set(i, p, slope)
		}
	}
	return j
}
