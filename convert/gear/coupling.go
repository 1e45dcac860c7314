package gear

import (
	"fmt"
	"math"
	"math/big"
)

// Coupling is a vernier coupling: two rings of holes (or teeth), each of which
// can be shifted against its mate, with the number in either.
type Coupling [2]int

// CouplingMove is one setting of a coupling, counted from the present one.
type CouplingMove struct {
	Steps int    // of the coupling's step; positive is forward, the way the shaft runs
	Holes [2]int // to move in either ring, forward positive
	// OffDeg is what the wanted angle still needs after the move, in degrees of
	// the coupling's own shaft; 0 where a step was asked for.
	OffDeg float64
}

func (c Coupling) check() error {
	for i, n := range c {
		if err := count(fmt.Sprintf("holes in ring %d", i+1), n, maxHoles); err != nil {
			return err
		}
	}
	return nil
}

// Step returns the finest step in degrees of the coupling's own shaft: 360 over
// the least common multiple of the two rings. For crank degrees divide by the
// turns of that shaft for one of the crankshaft: see Train.Coupling. (Published
// for rings of 19 and 20: 1/19 less 1/20 is 1/380 of a turn,
// da7c.co.uk/technical_torque_articles/magneto_coupling.html.)
func (c Coupling) Step() (*big.Rat, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	return big.NewRat(360, int64(lcm(c[0], c[1]))), nil
}

// Move returns the holes to move in either ring so that the shaft goes forward
// by the given number of steps: of all the ways the one that moves fewest holes
// in all, and of two such the one that moves fewer in the first ring. Steps
// beyond half a turn are an error.
func (c Coupling) Move(steps int) (CouplingMove, error) {
	if err := c.check(); err != nil {
		return CouplingMove{}, err
	}
	all := lcm(c[0], c[1])
	if steps < -all/2 || steps > all/2 {
		return CouplingMove{}, fmt.Errorf("%d steps are more than half a turn: the coupling has %d", steps, all)
	}
	return CouplingMove{Steps: steps, Holes: c.holes(steps)}, nil
}

// holes solves i·A + j·B = steps, where a hole of ring 1 is A steps and one of
// ring 2 is B, for the least |i| + |j|. The solutions are i₀ + B·t, j₀ − A·t;
// |i| + |j| is convex in t, so its least value lies beside a change of sign.
func (c Coupling) holes(steps int) [2]int {
	all := lcm(c[0], c[1])
	a, b := all/c[0], all/c[1]
	i := mod(mod(steps, b)*inverse(a, b), b)
	j := (steps - i*a) / b
	best, found := [2]int{}, false
	for _, t := range []int{0, -1, floorDiv(j, a), floorDiv(j, a) + 1} {
		h := [2]int{i + b*t, j - a*t}
		if !found || fewer(h, best) {
			best, found = h, true
		}
	}
	return best
}

func fewer(h, than [2]int) bool {
	x, y := abs(h[0])+abs(h[1]), abs(than[0])+abs(than[1])
	return x < y || x == y && abs(h[0]) < abs(than[0])
}

func mod(n, m int) int { return ((n % m) + m) % m }

func floorDiv(n, d int) int { return (n - mod(n, d)) / d }

// inverse returns the least x with a·x = 1 modulo m; a and m have no common
// factor, and are small enough to look.
func inverse(a, m int) int {
	x := 0
	for mod(a*x, m) != 1%m {
		x++
	}
	return x
}

// Nearest returns the move that comes nearest to turning the coupling's shaft
// by a wanted angle in degrees of that shaft, forward positive, from −180 to
// 180. Of two equally near the smaller is taken.
func (c Coupling) Nearest(wantedDeg float64) (CouplingMove, error) {
	step, err := c.Step()
	if err != nil {
		return CouplingMove{}, err
	}
	if err := between("wanted angle, degrees", wantedDeg, -180, 180); err != nil {
		return CouplingMove{}, err
	}
	wanted := decimal(wantedDeg)
	ratio := new(big.Rat).Quo(wanted, step)
	steps := int(math.Trunc(toFloat(ratio)))
	half := big.NewRat(1, 2)
	rest := new(big.Rat).Sub(ratio, new(big.Rat).SetInt64(int64(steps)))
	if new(big.Rat).Abs(rest).Cmp(half) > 0 {
		steps += rest.Sign()
	}
	reached := new(big.Rat).Mul(step, new(big.Rat).SetInt64(int64(steps)))
	return CouplingMove{Steps: steps, Holes: c.holes(steps), OffDeg: toFloat(wanted.Sub(wanted, reached))}, nil
}
