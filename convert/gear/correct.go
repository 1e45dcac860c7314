package gear

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"
	"sort"
)

// Move is one adjustment to make.
type Move struct {
	Moved    int     // teeth, holes (of both rings together), keyways, or 1 fitting
	Holes    [2]int  // to move in either ring of a coupling, forward positive
	CrankDeg float64 // what it does at the crankshaft; positive advances
	Places   []Place // where it can be made, any one of them

	counts  counted
	fitting string
	size    [2]int
}

// Correction is a set of moves and what it leaves.
type Correction struct {
	Moves   []Move
	LateDeg float64 // what remains, in crank degrees; negative is early
	Within  bool    // what remains is within the tolerance
	// ToleranceDeg is the tolerance asked for.
	ToleranceDeg float64
}

const (
	maxAdjustments  = 8
	maxCombinations = 20_000_000
)

// BestCorrection returns the best moves for a last shaft that was measured
// lateDeg crank degrees late (negative when early), out of the ways the engine
// allows. Among all that leave no more than the tolerance it is the one with
// fewest adjustments, then with fewest teeth, holes and keyways moved, then
// with the least left over. If nothing reaches the tolerance it is the one that
// leaves least, then by the same order, and Within is false.
//
// Adjustments of equal step, as at either mesh of a simple train, are one: the
// move then names every place where it can be made. Angles are compared as
// exact rationals (an error of 0.1 means one tenth), so that rounding never
// decides. Errors beyond 360 degrees, a negative tolerance, more than 8
// distinct adjustments, or more combinations than can be gone through are
// errors.
func BestCorrection(lateDeg, toleranceDeg float64, ways ...Adjustment) (Correction, error) {
	if err := between("error, crank degrees", lateDeg, -360, 360); err != nil {
		return Correction{}, err
	}
	if err := between("tolerance, crank degrees", toleranceDeg, 0, 360); err != nil {
		return Correction{}, err
	}
	s := search{
		ways: distinct(ways),
		late: lateDeg, tolerance: toleranceDeg,
		exactLate: decimal(lateDeg), exactTolerance: decimal(toleranceDeg),
	}
	if len(s.ways) > maxAdjustments {
		return Correction{}, fmt.Errorf("%d distinct adjustments are more than %d", len(s.ways), maxAdjustments)
	}
	for n := 0; n <= len(s.ways) && !s.within.found; n++ {
		if c := s.combinations(0, n, 1, 1); c > maxCombinations {
			return Correction{}, fmt.Errorf("moving %d of %d adjustments together is more than can be gone through: allow fewer, or a wider tolerance", n, len(s.ways))
		}
		s.choose(0, n)
	}
	if s.within.found {
		return s.correction(s.within, true), nil
	}
	return s.correction(s.nearest, false), nil
}

// distinct merges adjustments whose moves are the same: equal step and kind.
// The one that reaches farther stands for both; an adjustment without settings
// is left out.
func distinct(ways []Adjustment) []Adjustment {
	var out []Adjustment
	for _, w := range ways {
		if len(w.settings) == 0 {
			continue
		}
		i := slices.IndexFunc(out, func(o Adjustment) bool { return w.equals(o) })
		if i < 0 {
			w.places = slices.Clone(w.places)
			out = append(out, w)
			continue
		}
		if len(w.settings) > len(out[i].settings) {
			out[i].settings = w.settings
		}
		for _, p := range w.places {
			if !slices.Contains(out[i].places, p) {
				out[i].places = append(out[i].places, p)
			}
		}
	}
	return out
}

// equals reports whether two adjustments make the same moves. Only meshes are
// the same without being one thing: a second coupling, keyed wheel or fitting
// can be moved besides the first.
func (a Adjustment) equals(b Adjustment) bool {
	if a.counts != b.counts || a.unit.Cmp(b.unit) != 0 {
		return false
	}
	return a.counts == byTeeth || slices.Equal(a.places, b.places) && a.size == b.size && a.fitting == b.fitting
}

// search goes through every combination of n adjustments, n rising.
type search struct {
	ways                      []Adjustment
	late, tolerance           float64
	exactLate, exactTolerance *big.Rat

	picked          []pick
	moved           int
	within, nearest candidate
}

// pick is one setting of one adjustment.
type pick struct{ way, setting int }

// candidate is a combination found; late is what it leaves, to within guard.
type candidate struct {
	found bool
	picks []pick
	moved int
	late  float64
}

// guard is far more than rounding can add up to in sums of at most eight
// angles within reach; closer than this, exact rationals decide.
const guard = 1e-9

// combinations counts what choose will go through: for each set of n
// adjustments the product of their settings but for the largest, which is
// looked up.
func (s *search) combinations(from, n int, product, largest float64) float64 {
	if n == 0 {
		return product
	}
	total := 0.0
	for i := from; i <= len(s.ways)-n; i++ {
		size := float64(len(s.ways[i].settings))
		total += s.combinations(i+1, n-1, product*math.Min(size, largest), math.Max(size, largest))
	}
	return total
}

// choose adds every set of n adjustments from the given one on to those picked.
func (s *search) choose(from, n int) {
	if n == 0 {
		s.try()
		return
	}
	for i := from; i <= len(s.ways)-n; i++ {
		s.picked = append(s.picked, pick{way: i})
		s.choose(i+1, n-1)
		s.picked = s.picked[:len(s.picked)-1]
	}
}

// try goes through the settings of the adjustments picked, the one with most
// settings last.
func (s *search) try() {
	if len(s.picked) == 0 {
		s.consider(s.late)
		return
	}
	order := slices.Clone(s.picked)
	slices.SortStableFunc(order, func(a, b pick) int {
		return cmp.Compare(len(s.ways[a.way].settings), len(s.ways[b.way].settings))
	})
	saved := s.picked
	s.picked = order
	s.set(0, s.late)
	s.picked = saved
}

// set goes through the settings of the adjustment picked at place i, where late
// is what those before it leave.
func (s *search) set(i int, late float64) {
	if s.within.found && s.moved >= s.within.moved {
		return // every setting still to come moves something more
	}
	settings := s.ways[s.picked[i].way].settings
	last := i == len(s.picked)-1
	first, end := 0, len(settings)
	if last {
		first, end = s.window(settings, late)
	}
	for k := first; k < end; k++ {
		s.picked[i].setting = k
		s.moved += settings[k].moved
		if rest := late - settings[k].deg; last {
			s.consider(rest)
		} else {
			s.set(i+1, rest)
		}
		s.moved -= settings[k].moved
	}
}

// window returns the range of settings that can matter when late is left: those
// that may come within the tolerance, and the neighbours on either side of
// leaving nothing.
func (s *search) window(settings []setting, late float64) (first, end int) {
	near := s.tolerance + guard
	first = sort.Search(len(settings), func(k int) bool { return settings[k].deg >= late-near })
	end = first
	for end < len(settings) && settings[end].deg <= late+near {
		end++
	}
	return max(first-1, 0), min(end+1, len(settings))
}

// consider takes the combination picked if it is better than what was found.
func (s *search) consider(late float64) {
	c := candidate{true, s.picked, s.moved, late}
	if s.compareTolerance(c) <= 0 && s.better(c, s.within) {
		s.within.keep(c)
	}
	if s.within.found {
		return
	}
	if by := s.compareLate(c, s.nearest); by < 0 || by == 0 && len(c.picks) == len(s.nearest.picks) && c.moved < s.nearest.moved {
		s.nearest.keep(c)
	}
}

// keep copies c, whose picks go on changing.
func (c *candidate) keep(from candidate) {
	picks := append(c.picks[:0], from.picks...)
	*c = from
	c.picks = picks
}

// better reports whether c, found with as many adjustments as than, comes
// before it.
func (s *search) better(c, than candidate) bool {
	if !than.found || c.moved != than.moved {
		return !than.found || c.moved < than.moved
	}
	return s.compareLate(c, than) < 0
}

// compareTolerance compares what c leaves with the tolerance.
func (s *search) compareTolerance(c candidate) int {
	if d := math.Abs(c.late) - s.tolerance; math.Abs(d) > guard {
		return cmp.Compare(d, 0)
	}
	return new(big.Rat).Abs(s.exact(c)).Cmp(s.exactTolerance)
}

// compareLate compares what two combinations leave; nothing found leaves most.
func (s *search) compareLate(a, b candidate) int {
	if !b.found {
		return -1
	}
	if d := math.Abs(a.late) - math.Abs(b.late); math.Abs(d) > guard {
		return cmp.Compare(d, 0)
	}
	x, y := s.exact(a), s.exact(b)
	return x.Abs(x).Cmp(y.Abs(y))
}

// exact returns what a combination leaves.
func (s *search) exact(c candidate) *big.Rat {
	late := new(big.Rat).Set(s.exactLate)
	for _, p := range c.picks {
		way := s.ways[p.way]
		late.Sub(late, way.exact(way.settings[p.setting]))
	}
	return late
}

func (s *search) correction(c candidate, within bool) Correction {
	out := Correction{LateDeg: toFloat(s.exact(c)), Within: within, ToleranceDeg: s.tolerance}
	picks := slices.Clone(c.picks)
	slices.SortFunc(picks, func(a, b pick) int { return cmp.Compare(a.way, b.way) })
	for _, p := range picks {
		way := s.ways[p.way]
		set := way.settings[p.setting]
		out.Moves = append(out.Moves, Move{set.moved, set.holes, toFloat(way.exact(set)), way.places, way.counts, way.fitting, way.size})
	}
	return out
}
