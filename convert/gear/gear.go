// Package gear computes what the drives between crankshaft, camshaft and
// magneto do: exact speeds, directions of turning, crank degrees for one tooth,
// when marks meet again, helical wheels and what sliding one home does,
// backlash, chains, vernier couplings, keyways, and the best correction of a
// measured error.
//
// Counts are exact: teeth, holes and keyways give rational numbers (math/big).
// Lengths are millimetres and angles degrees unless a name says otherwise.
// Figures that are printed with a width come in and go out as intervals.
// Wrong input is an error that says what was wrong; no result is ever NaN.
//
// What an engine's file says of its drives, and whether it agrees, is decided
// on higher floors: this package knows nothing of files or findings.
package gear

import (
	"fmt"
	"math/big"

	"fourmarks.example/convert/interval"
)

// Kind is the way in which two wheels drive one another.
type Kind int8

const (
	External Kind = iota + 1 // parallel shafts, teeth outside on both wheels
	Internal                 // parallel shafts, one wheel toothed inside
	Bevel                    // shafts whose axes meet
	Skew                     // crossed-helical: shafts whose axes pass one another
	Chain                    // both wheels inside the loop of the chain
	Belt                     // toothed belt, both wheels inside its loop; a plain belt slips and keeps no ratio
)

var kindWords = [...]string{"kind not given", "external", "internal", "bevel", "skew", "chain", "belt"}

// String returns the kind in words.
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kindWords) {
		return kindWords[0]
	}
	return kindWords[k]
}

// crosses reports whether the two shafts are not parallel.
func (k Kind) crosses() bool { return k == Bevel || k == Skew }

// Hand is the hand of a helix, and the side to which something points.
type Hand int8

const (
	LeftHand Hand = iota - 1
	HandNotGiven
	RightHand
)

// String returns the hand in words.
func (h Hand) String() string {
	switch h {
	case RightHand:
		return "right"
	case LeftHand:
		return "left"
	}
	return "not given"
}

// Facing says which way along its shaft a part points or moves, as to the end
// from which the shaft's turning is seen.
type Facing int8

const (
	FacingNotGiven Facing = iota
	Toward                // toward the end the shaft is seen from
	Away                  // away from it
)

// Sense is a direction of turning; it means something only together with the
// end it is seen from.
type Sense int8

const (
	Anticlockwise Sense = iota - 1
	NotDetermined
	Clockwise
)

// String returns the sense in words.
func (s Sense) String() string {
	switch s {
	case Clockwise:
		return "clockwise"
	case Anticlockwise:
		return "anticlockwise"
	}
	return "not determined"
}

// Turning is how a shaft turns, seen from a named end, or the reason why that
// is not determined.
type Turning struct {
	Sense    Sense
	SeenFrom string
	Reason   string
}

// String returns, for example, "clockwise seen from timing end".
func (t Turning) String() string {
	if t.Sense == NotDetermined {
		return fmt.Sprintf("direction not determined: %s", t.Reason)
	}
	return fmt.Sprintf("%s seen from %s", t.Sense, t.SeenFrom)
}

// Reversed returns the opposite direction seen from the same end.
func (t Turning) Reversed() Turning {
	t.Sense = -t.Sense
	return t
}

// Counts are bounded so that products and least common multiples of two of
// them stay exact in an int, and so that nonsense is refused by name.
const (
	maxTeeth   = 10000
	maxHoles   = 200
	maxKeyways = 360
)

func count(what string, n, most int) error {
	if n < 1 || n > most {
		return fmt.Errorf("%s: %d is outside 1 to %d", what, n, most)
	}
	return nil
}

// between refuses NaN as well as what is out of range.
func between(what string, x, lo, hi float64) error {
	if !(lo <= x && x <= hi) {
		return fmt.Errorf("%s: %g is outside %g to %g", what, x, lo, hi)
	}
	return nil
}

// longest is the greatest length in millimetres that any function accepts, and
// shortest the smallest that may stand below a fraction line.
const (
	longest  = 1e5
	shortest = 1e-5
)

// spanIn refuses an interval that is empty or reaches outside lo to hi.
func spanIn(what string, x interval.Interval, lo, hi float64) error {
	if x.IsEmpty() || x.Lo < lo || x.Hi > hi {
		return fmt.Errorf("%s: %v is empty or outside %g to %g", what, x, lo, hi)
	}
	return nil
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func lcm(a, b int) int { return a / gcd(a, b) * b }

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// decimal returns x as the rational its shortest decimal print stands for:
// 0.1 is one tenth, not the binary fraction nearest to it.
func decimal(x float64) *big.Rat {
	r, _ := new(big.Rat).SetString(fmt.Sprint(x))
	return r
}

func toFloat(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}
