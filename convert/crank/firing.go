package crank

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

const maxCylinders = 64

// Firing gives for each cylinder, No. 1 first, the crank degrees after No. 1 at
// which it fires: Firing{0, 540, 180, 360} is 1-3-4-2. No. 1 has 0, the others
// lie in [0, 720). Build it with EvenFiring or FiringOf, or write it down where
// order and crank pins leave a choice.
type Firing []float64

var (
	// ErrOrderImpossible is returned for a firing order that the crank pins and
	// banks do not allow.
	ErrOrderImpossible = errors.New("this firing order is not possible with these crank pins and banks")

	// ErrOrderAmbiguous is returned when the firing order could be kept at more
	// than one set of equally spaced firing angles.
	ErrOrderAmbiguous = errors.New("firing order, crank pins and banks allow more than one set of firing angles: give the firing intervals")
)

// EvenFiring returns the firing angles of an engine that fires at equal
// intervals in the given order.
func EvenFiring(order []int) (Firing, error) {
	if err := checkOrder(order); err != nil {
		return nil, err
	}
	f := make(Firing, len(order))
	for i, cylinder := range order {
		f[cylinder-1] = cycle * float64(i) / float64(len(order))
	}
	return f, nil
}

// FiringOf returns the firing angles that crank pins, banks and firing order
// lead to.
//
// throws[k-1] is the angle of cylinder k's crank pin: how many degrees the crank
// turns, after No. 1's pin has passed a place, until this pin passes it. It is
// measured AGAINST the direction of rotation.
//
// banks[k-1] is the direction of cylinder k's axis about the crankshaft, measured
// WITH the direction of rotation from any one line. nil stands for an engine in
// line. A flat twin has throws 0, 180 and banks 0, 180; a radial has all throws 0
// and banks spaced evenly.
//
// Cylinder k is then at TDC throws[k-1] + banks[k-1] degrees after No. 1, and it
// fires at every second TDC. Which one follows from the firing order; where the
// order leaves a choice, as for twins on one crank pin, the most even firing is
// taken. The error is ErrOrderImpossible when no choice keeps the order, and
// ErrOrderAmbiguous when several do equally evenly (a twin with pins half a turn
// apart fires at 0 and 180 or at 0 and 540).
func FiringOf(throws, banks []float64, order []int) (Firing, error) {
	top, err := topDeadCentres(throws, banks, order)
	if err != nil {
		return nil, err
	}
	// best[c] is the most even way to fire up to and including the current
	// cylinder of the order at its first (c = 0) or second (c = 1) TDC.
	best := [2]path{{at: top[0], ways: 1}}
	taken := make([][2]path, len(order))
	taken[0] = best
	for i, cylinder := range order[1:] {
		var next [2]path
		for c := range next {
			next[c] = extend(best, top[cylinder-1]+float64(c)*turn)
		}
		best, taken[i+1] = next, next
	}
	end := extend(best, cycle)
	switch end.ways {
	case 0:
		return nil, ErrOrderImpossible
	case 1:
	default:
		return nil, ErrOrderAmbiguous
	}
	f := make(Firing, len(order))
	for i := len(order) - 1; i >= 0; i-- {
		f[order[i]-1] = taken[i][end.from].at
		end = taken[i][end.from]
	}
	return f, nil
}

// path is a way to fire the first cylinders of an order.
type path struct {
	at         float64 // when the last of them fires
	unevenness float64 // sum of the squares of the intervals
	ways       int     // how many choices are as even as this one; 0: none
	from       int     // the choice of the cylinder before
}

// extend adds a firing at an angle to the more even of two paths.
func extend(paths [2]path, at float64) path {
	// Sums of squares that differ by less than this come from angles that
	// cannot be told apart.
	const even = 2 * cycle * together
	best := path{at: at}
	for c, p := range paths {
		gap := at - p.at
		if p.ways == 0 || gap <= together {
			continue
		}
		sum := p.unevenness + float64(gap*gap)
		switch {
		case best.ways == 0 || sum < best.unevenness-even:
			best = path{at, sum, p.ways, c}
		case sum <= best.unevenness+even:
			best.ways += p.ways
		}
	}
	return best
}

// topDeadCentres returns when each cylinder is at TDC after No. 1, in [0, 360).
func topDeadCentres(throws, banks []float64, order []int) ([]float64, error) {
	if err := checkOrder(order); err != nil {
		return nil, err
	}
	if len(throws) != len(order) {
		return nil, fmt.Errorf("%d crank pin angles for %d cylinders: give one for each", len(throws), len(order))
	}
	if banks != nil && len(banks) != len(order) {
		return nil, fmt.Errorf("%d bank angles for %d cylinders: give one for each, or none", len(banks), len(order))
	}
	top := make([]float64, len(order))
	for i := range top {
		if err := angle(fmt.Sprintf("the crank pin angle of cylinder %d", i+1), throws[i]); err != nil {
			return nil, err
		}
		top[i] = throws[i]
		if banks == nil {
			continue
		}
		if err := angle(fmt.Sprintf("the bank angle of cylinder %d", i+1), banks[i]); err != nil {
			return nil, err
		}
		top[i] += banks[i]
	}
	first := top[0]
	for i := range top {
		top[i] = math.Mod(onCircle(top[i]-first), turn)
		if turn-top[i] <= together { // a printed angle may fall just short of the turn
			top[i] = 0
		}
	}
	return top, nil
}

// checkOrder refuses an order that does not name every cylinder once, starting
// with No. 1.
func checkOrder(order []int) error {
	if len(order) == 0 || len(order) > maxCylinders {
		return fmt.Errorf("a firing order of %d cylinders: it must name between 1 and %d", len(order), maxCylinders)
	}
	if order[0] != 1 {
		return fmt.Errorf("the firing order starts with cylinder %d: write it starting with No. 1", order[0])
	}
	for k := range order {
		if !slices.Contains(order, k+1) {
			return fmt.Errorf("the firing order %v does not name cylinder %d: it must name every cylinder once", order, k+1)
		}
	}
	return nil
}

func (f Firing) check() error {
	if len(f) == 0 || len(f) > maxCylinders {
		return fmt.Errorf("firing angles of %d cylinders: there must be between 1 and %d", len(f), maxCylinders)
	}
	if f[0] != 0 {
		return fmt.Errorf("No. 1 fires at %g: firing angles count from No. 1, so its own is 0", f[0])
	}
	for i, at := range f {
		if !(0 <= at && at < cycle) {
			return fmt.Errorf("cylinder %d fires at %g: firing angles lie from 0 to below 720", i+1, at)
		}
	}
	return nil
}

func (f Firing) checkCylinder(cylinder int) error {
	if err := f.check(); err != nil {
		return err
	}
	if cylinder < 1 || cylinder > len(f) {
		return fmt.Errorf("there is no cylinder %d: the engine has %d", cylinder, len(f))
	}
	return nil
}

// Order returns the firing order, starting with No. 1. Cylinders that fire
// together come in the order of their numbers.
func (f Firing) Order() ([]int, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	order := make([]int, len(f))
	for i := range order {
		order[i] = i + 1
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(f[a-1], f[b-1]) })
	return order, nil
}

// Intervals returns the crank degrees from each firing to the next, starting
// with No. 1's, in firing order. Their sum is 720.
func (f Firing) Intervals() ([]float64, error) {
	order, err := f.Order()
	if err != nil {
		return nil, err
	}
	intervals := make([]float64, len(order))
	for i, cylinder := range order {
		next := cycle
		if i+1 < len(order) {
			next = f[order[i+1]-1]
		}
		intervals[i] = next - f[cylinder-1]
	}
	return intervals, nil
}

// Even reports whether the engine fires at equal intervals, to a tenth of a
// degree.
func (f Firing) Even() (bool, error) {
	intervals, err := f.Intervals()
	if err != nil {
		return false, err
	}
	equal := cycle / float64(len(f))
	return !slices.ContainsFunc(intervals, func(d float64) bool { return math.Abs(d-equal) > together }), nil
}

// Companions returns for each cylinder, No. 1 first, its companion: the cylinder
// whose piston moves with it and that fires one crank revolution apart. It is 0
// for a cylinder that has none. Where two or more cylinders fire together, the
// companion is the one nearest to a revolution apart, the lowest number first.
func (f Firing) Companions() ([]int, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	companions := make([]int, len(f))
	for i := range f {
		nearest := together
		for j := range f {
			if off := apart(f[i]-f[j], turn, cycle); off < nearest {
				companions[i], nearest = j+1, off
			}
		}
	}
	return companions, nil
}

// Own returns the angle of a cylinder on its own circle at a position of the
// engine.
func (f Firing) Own(cylinder int, position float64) (float64, error) {
	if err := errors.Join(f.checkCylinder(cylinder), angle("the position of the engine", position)); err != nil {
		return 0, err
	}
	return onCircle(position - f[cylinder-1]), nil
}

// Position returns the position of the engine at which a cylinder stands at an
// angle of its own circle. It undoes Own.
func (f Firing) Position(cylinder int, own float64) (float64, error) {
	if err := errors.Join(f.checkCylinder(cylinder), angle("the cylinder's angle", own)); err != nil {
		return 0, err
	}
	return onCircle(own + f[cylinder-1]), nil
}

// OnTheRock returns the cylinders that stand at overlap TDC, within the given
// degrees either way, at a position of the engine.
func (f Firing) OnTheRock(position, within float64) ([]int, error) {
	if err := errors.Join(f.check(), angle("the position of the engine", position), number("the allowance", within, 0, turn)); err != nil {
		return nil, err
	}
	return f.onTheRock(position, within), nil
}

func (f Firing) onTheRock(position, within float64) []int {
	var rock []int
	for i, fires := range f {
		if apart(position-fires, turn, cycle) <= within {
			rock = append(rock, i+1)
		}
	}
	return rock
}
