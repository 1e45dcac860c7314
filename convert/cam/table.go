package cam

import "math"

// Point is one line of a lift table.
type Point struct {
	Angle float64 // camshaft degrees, from any datum
	Lift  float64
}

// Table is a cam given by measured or printed lifts, in order of angle. It
// rises from 0 to full lift and falls back to 0; the flanks may differ. A table
// that begins or ends at full lift holds one flank, and the other is taken to
// be its mirror image. Several entries at full lift are a dwell.
type Table []Point

// closest is the least spacing of a table's angles in degrees.
const closest = 1e-3

// Profile returns the lift between the entries by a piecewise cubic that keeps
// the table's shape: it never falls where the table rises nor rises above full
// lift, and its velocity has no jump. Angles are then counted from full lift
// (the middle of a dwell), whatever the datum of the table.
//
// The slopes are those of F. N. Fritsch and J. Butland, "A method for
// constructing local monotone piecewise cubic interpolants", SIAM Journal on
// Scientific and Statistical Computing 5 (1984), in the form for unequal
// spacing known as PCHIP; they keep the conditions of F. N. Fritsch and R. E.
// Carlson, "Monotone piecewise cubic interpolation", SIAM Journal on Numerical
// Analysis 17 (1980). Slopes at foot and full lift are 0, because the follower
// rests there.
func (t Table) Profile() (Profile, error) {
	if err := t.check(); err != nil {
		return Profile{}, err
	}
	first, last := t.top()
	end := len(t) - 1
	switch rises, falls := first > 0, last < end; {
	case rises && falls:
		middle := t[first].Angle + (t[last].Angle-t[first].Angle)/2
		opening, errOpening := t.flank(first, -1, middle)
		closing, errClosing := t.flank(last, 1, middle)
		return orRefused(Profile{opening, closing}, firstError(errOpening, errClosing))
	case falls:
		f, err := t.flank(last, 1, t[0].Angle)
		return orRefused(symmetrical(f), err)
	case rises:
		f, err := t.flank(first, -1, t[end].Angle)
		return orRefused(symmetrical(f), err)
	}
	return Profile{}, &DimensionError{"table", "holds nothing but full lift: it must go down to lift 0"}
}

// check refuses entries that are no lifts, or not in order of angle.
func (t Table) check() error {
	if len(t) == 0 {
		return &DimensionError{"table", "has no entries"}
	}
	for i, p := range t {
		if !(math.Abs(p.Angle) <= 720) {
			return refuse("table angle", p.Angle, "must be a number of camshaft degrees between -720 and 720")
		}
		if !(p.Lift >= 0 && p.Lift <= largest) {
			return refuse("table lift", p.Lift, "at %g degrees must lie between 0 and %g", p.Angle, largest)
		}
		if i > 0 && !(p.Angle-t[i-1].Angle >= closest) {
			return refuse("table angle", p.Angle, "must follow %g by at least %g degree: entries go in order of angle, each once", t[i-1].Angle, closest)
		}
	}
	return nil
}

// top returns the first and the last entry of the first run of entries at full
// lift.
func (t Table) top() (first, last int) {
	for i, p := range t {
		if p.Lift > t[first].Lift {
			first = i
		}
	}
	last = first
	for last+1 < len(t) && t[last+1].Lift == t[first].Lift {
		last++
	}
	return first, last
}

// flank returns the flank from an entry at full lift to the foot, going by step
// through the table; full lift is at the angle middle.
func (t Table) flank(from, step int, middle float64) (flank, error) {
	var xs, ys []float64
	for i := from; i >= 0 && i < len(t); i += step {
		lift := t[i].Lift
		if n := len(ys); n > 0 && lift > ys[n-1] {
			return flank{}, refuse("table lift", lift, "at %g degrees must not exceed the %g of its neighbour towards full lift: a cam rises once and falls once", t[i].Angle, ys[n-1])
		}
		if n := len(ys); n > 0 && ys[n-1] == 0 {
			continue // at rest beyond the foot
		}
		xs, ys = append(xs, math.Abs(t[i].Angle-middle)), append(ys, lift)
	}
	n := len(xs) - 1
	switch foot := t[from].Angle + float64(step)*(xs[n]-xs[0]); {
	case ys[n] != 0:
		return flank{}, refuse("table lift", ys[n], "at %g degrees ends the table: add the angle at which the follower comes to rest, with lift 0", foot)
	case n < 2:
		return flank{}, refuse("table angle", foot, "is the foot and follows directly on full lift: a flank needs at least one lift between them")
	case xs[n] > 180:
		return flank{}, refuse("table angle", foot, "lies more than half a turn from full lift")
	case ys[0] < smallest:
		return flank{}, refuse("table lift", ys[0], "is the largest: full lift must be at least %g", smallest)
	}
	return flank{dwellThen(xs[0], cubics(xs, ys)), 1}, nil
}

// cubics joins the knots of a flank, from full lift to the foot.
func cubics(xs, ys []float64) []piece {
	slopes := monotoneSlopes(xs, ys)
	pieces := make([]piece, len(xs)-1)
	for i := range pieces {
		width, fall := xs[i+1]-xs[i], ys[i+1]-ys[i]
		p := piece{inner: xs[i], outer: xs[i+1], low: ys[i+1]}
		// Each cubic counts from its lower end, where digits are scarce; the
		// first counts from full lift.
		if i == 0 {
			p.origin, p.base = xs[i], ys[i]
			p.curve = hermite(width, fall, slopes[i], slopes[i+1])
		} else {
			p.origin, p.base, p.inward = xs[i+1], ys[i+1], true
			p.curve = hermite(width, -fall, -slopes[i+1], -slopes[i])
		}
		pieces[i] = p
	}
	return pieces
}

// monotoneSlopes returns the slope at each knot: a weighted harmonic mean of
// the slopes on either side, 0 at the ends and where either side is level.
func monotoneSlopes(xs, ys []float64) []float64 {
	slopes := make([]float64, len(xs))
	for i := 1; i < len(xs)-1; i++ {
		left, right := xs[i]-xs[i-1], xs[i+1]-xs[i]
		fallLeft, fallRight := (ys[i]-ys[i-1])/left, (ys[i+1]-ys[i])/right
		if fallLeft == 0 || fallRight == 0 {
			continue
		}
		wl, wr := left+2*right, 2*left+right
		slopes[i] = (wl + wr) / (wl/fallLeft + wr/fallRight)
	}
	return slopes
}

// cubic is a lift a t + b t² + c t³.
type cubic struct{ a, b, c float64 }

// hermite returns the cubic that rises by rise over width with these slopes at
// its ends.
func hermite(width, rise, start, end float64) cubic {
	mean := rise / width
	return cubic{start, (float64(3*mean) - 2*start - end) / width, (start + end - 2*mean) / width / width}
}

func (c cubic) at(t float64) Motion {
	return Motion{
		Lift:         t * (c.a + float64(t*(c.b+float64(t*c.c)))),
		Velocity:     c.a + float64(t*(2*c.b+float64(3*t*c.c))),
		Acceleration: 2*c.b + float64(6*t*c.c),
	}
}
