package cam

import "math"

// angleTolerance is how closely angles are found, in degrees: a thousandth of
// what the events promise.
const angleTolerance = 1e-12

// root returns where f changes sign between above, where it is positive, and
// below, where it is not, to within tolerance. If rounding has left f without a
// change of sign it returns the end that is nearer to one.
//
// The method is ITP of I. F. D. Oliveira and R. H. C. Takahashi, "An enhancement
// of the bisection method average performance preserving minmax optimality", ACM
// Transactions on Mathematical Software 47(1), 2020: it keeps a bracket, needs
// at most a step or two more than bisection, and usually a fifth as many.
func root(above, below, tolerance float64, f func(float64) float64) float64 {
	fa, fb := f(above), f(below)
	if fa <= 0 {
		return above
	}
	if fb >= 0 {
		return below
	}
	width := math.Abs(below - above)
	// allowance is how far the next point may lie from the middle without
	// costing more steps than bisection and one.
	allowance := tolerance
	for allowance < width {
		allowance *= 2
	}
	truncation := 0.2 / width
	for math.Abs(below-above) > tolerance {
		middle := above + (below-above)/2
		half := math.Abs(below-above) / 2
		secant := above + float64((below-above)*(fa/(fa-fb)))
		x := toward(secant, middle, truncation*(2*half)*(2*half))
		x = toward(middle, x, math.Max(0, allowance-half))
		switch fx := f(x); {
		case fx > 0:
			above, fa = x, fx
		case fx < 0:
			below, fb = x, fx
		default:
			return x
		}
		allowance /= 2
	}
	return above + (below-above)/2
}

// toward returns the point at most step from one point on the way to another.
func toward(from, to, step float64) float64 {
	if math.Abs(to-from) <= step {
		return to
	}
	return from + math.Copysign(step, to-from)
}
