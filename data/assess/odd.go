package assess

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// oddOneOut names the reading without which one cause explains all the others.
func (a *assessor) oddOneOut() string {
	const enough = 4
	if len(a.data.targets) < enough {
		return ""
	}
	var found []string
	for i := range a.data.targets {
		if f := a.bestWithout(i); f != nil {
			t := a.data.targets[i]
			found = append(found, fmt.Sprintf("Without %s of No. %d one thing explains the others (%s): read that one again.", t.event, t.cylinder, f.class))
		}
	}
	if len(found) != 1 {
		return ""
	}
	return found[0]
}

// bestWithout is the fit that explains all readings but one; nil when none does.
func (a *assessor) bestWithout(leave int) *fitted {
	d := a.data.without(leave)
	if d == nil {
		return nil
	}
	var best *fitted
	for _, h := range a.causes() {
		f := d.fit(&h)
		if f == nil || f.chance() < 0.05 {
			continue
		}
		a.weigh(f)
		if len(f.against) == 0 && (best == nil || f.surprise < best.surprise) {
			best = f
		}
	}
	return best
}

// without is the data with one reading left out.
func (d *data) without(leave int) *data {
	n := len(d.late) - 1
	var c mat.Cholesky
	if !c.Factorize(d.inverse) {
		return nil
	}
	covariance := mat.NewSymDense(n+1, nil)
	if c.InverseTo(covariance) != nil {
		return nil
	}
	keep := make([]int, 0, n)
	var targets []target
	var late []float64
	for i, t := range d.targets {
		if i != leave {
			keep, targets, late = append(keep, i), append(targets, t), append(late, d.late[i])
		}
	}
	smaller := mat.NewSymDense(n, nil)
	for i, from := range keep {
		for j := i; j < n; j++ {
			smaller.SetSym(i, j, covariance.At(from, keep[j]))
		}
	}
	return newData(targets, late, smaller)
}
