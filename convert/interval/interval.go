// Package interval computes with closed intervals of real numbers, rounded
// outward, so that a result always holds every value its inputs allow.
//
// It is the ground floor: it knows nothing of units, engines or files. Angles
// are in degrees wherever a function's name ends in Deg. An interval whose Lo
// exceeds its Hi is empty: no value is possible. Empty in, empty out.
//
// Every bound is moved outward by one unit in the last place after each
// arithmetic step and by four after each transcendental one. Results are
// therefore sound on any platform, fused multiply-add or not. Interval
// arithmetic follows R. E. Moore, Interval Analysis (1966); the operation set
// is that of IEEE 1788-2015 as far as it is needed here.
package interval

import (
	"math"
	"math/big"
	"strconv"
)

// Interval is the set of reals x with Lo ≤ x ≤ Hi. Bounds may be infinite,
// never NaN. The zero value is the point 0.
type Interval struct{ Lo, Hi float64 }

// Point returns the interval holding x alone. NaN gives Empty.
func Point(x float64) Interval { return Of(x, x) }

// Of returns [lo, hi], or Empty when either bound is NaN or lo > hi.
func Of(lo, hi float64) Interval {
	if !(lo <= hi) {
		return Empty()
	}
	return Interval{lo, hi}
}

// FromRat returns the narrowest interval of float64 bounds that holds every
// rational between lo and hi. A nil bound is open to infinity on that side.
func FromRat(lo, hi *big.Rat) Interval {
	l, h := math.Inf(-1), math.Inf(1)
	if lo != nil {
		f, exact := lo.Float64()
		if l = f; !exact {
			l = math.Nextafter(f, math.Inf(-1))
		}
	}
	if hi != nil {
		f, exact := hi.Float64()
		if h = f; !exact {
			h = math.Nextafter(f, math.Inf(1))
		}
	}
	return Of(l, h)
}

// Whole returns the set of all reals.
func Whole() Interval { return Interval{math.Inf(-1), math.Inf(1)} }

// Empty returns the set without members.
func Empty() Interval { return Interval{math.Inf(1), math.Inf(-1)} }

// IsEmpty reports whether no value is left.
func (a Interval) IsEmpty() bool { return !(a.Lo <= a.Hi) }

// IsFinite reports whether both bounds are finite and the set is not empty.
func (a Interval) IsFinite() bool {
	return !a.IsEmpty() && !math.IsInf(a.Lo, 0) && !math.IsInf(a.Hi, 0)
}

// Contains reports whether x is a member.
func (a Interval) Contains(x float64) bool { return a.Lo <= x && x <= a.Hi }

// Within reports whether every member of a is a member of b.
func (a Interval) Within(b Interval) bool { return a.IsEmpty() || b.Lo <= a.Lo && a.Hi <= b.Hi }

// Meets reports whether a and b have a member in common.
func (a Interval) Meets(b Interval) bool { return !a.Intersect(b).IsEmpty() }

// Width returns Hi − Lo, or 0 for an empty set.
func (a Interval) Width() float64 {
	if a.IsEmpty() {
		return 0
	}
	return a.Hi - a.Lo
}

// Mid returns the middle of a finite interval, the finite bound of a half-open
// one, 0 for the whole line. It is not defined for an empty set (returns 0).
func (a Interval) Mid() float64 {
	switch loInf, hiInf := math.IsInf(a.Lo, 0), math.IsInf(a.Hi, 0); {
	case a.IsEmpty() || loInf && hiInf:
		return 0
	case loInf:
		return a.Hi
	case hiInf:
		return a.Lo
	}
	return a.Lo + (a.Hi-a.Lo)/2
}

// Intersect returns the values in both a and b.
func (a Interval) Intersect(b Interval) Interval {
	return Of(math.Max(a.Lo, b.Lo), math.Min(a.Hi, b.Hi))
}

// Hull returns the smallest interval that holds a and b.
func (a Interval) Hull(b Interval) Interval {
	if a.IsEmpty() {
		return b
	}
	if b.IsEmpty() {
		return a
	}
	return Interval{math.Min(a.Lo, b.Lo), math.Max(a.Hi, b.Hi)}
}

// Grow returns a widened by d on both sides; d must not be negative.
func (a Interval) Grow(d float64) Interval { return a.Add(Of(-d, d)) }

// String prints the bounds, for tests and debugging.
func (a Interval) String() string {
	if a.IsEmpty() {
		return "[empty]"
	}
	f := func(x float64) string { return strconv.FormatFloat(x, 'g', 10, 64) }
	return "[" + f(a.Lo) + ", " + f(a.Hi) + "]"
}

const (
	arithmeticUlps     = 1
	transcendentalUlps = 4
)

// outward moves both bounds away from each other by n units in the last place.
func outward(lo, hi float64, n int) Interval {
	if !(lo <= hi) {
		return Empty()
	}
	for range n {
		lo = math.Nextafter(lo, math.Inf(-1))
		hi = math.Nextafter(hi, math.Inf(1))
	}
	return Interval{lo, hi}
}

// exactSum returns x+y and whether the sum is exact (Knuth's two-sum, The Art
// of Computer Programming vol. 2, 4.2.2), so that sums of whole and half
// degrees keep their exact bounds.
func exactSum(x, y float64) (float64, bool) {
	s := x + y
	if math.IsInf(s, 0) {
		return s, true
	}
	bv := s - x
	return s, (x-(s-bv))+(y-bv) == 0
}

func down(x, y float64) float64 {
	s, exact := exactSum(x, y)
	if exact {
		return s
	}
	return math.Nextafter(s, math.Inf(-1))
}

func up(x, y float64) float64 {
	s, exact := exactSum(x, y)
	if exact {
		return s
	}
	return math.Nextafter(s, math.Inf(1))
}

// Add returns the sums of a member of a and a member of b.
func (a Interval) Add(b Interval) Interval {
	if a.IsEmpty() || b.IsEmpty() {
		return Empty()
	}
	return Of(down(a.Lo, b.Lo), up(a.Hi, b.Hi))
}

// Neg returns the negatives of the members.
func (a Interval) Neg() Interval {
	if a.IsEmpty() {
		return a
	}
	return Interval{-a.Hi, -a.Lo}
}

// Sub returns the differences a − b.
func (a Interval) Sub(b Interval) Interval { return a.Add(b.Neg()) }

// product treats 0 × ∞ as 0: the infinity is a bound, not a member.
func product(x, y float64) float64 {
	if x == 0 || y == 0 {
		return 0
	}
	return float64(x * y)
}

// Mul returns the products of a member of a and a member of b.
func (a Interval) Mul(b Interval) Interval {
	if a.IsEmpty() || b.IsEmpty() {
		return Empty()
	}
	p, q, r, s := product(a.Lo, b.Lo), product(a.Lo, b.Hi), product(a.Hi, b.Lo), product(a.Hi, b.Hi)
	lo, hi := min(p, q, r, s), max(p, q, r, s)
	if exactProduct(a, b) {
		return Of(lo, hi)
	}
	return outward(lo, hi, arithmeticUlps)
}

// exactProduct reports whether every bound's product is exact because the
// bounds are whole numbers small enough for 53 bits.
func exactProduct(a, b Interval) bool {
	small := func(x float64) bool { return x == math.Trunc(x) && math.Abs(x) < 1<<26 }
	return small(a.Lo) && small(a.Hi) && small(b.Lo) && small(b.Hi)
}

// Div returns the quotients a / b with b ≠ 0. When b has members on both sides
// of zero the result is the whole line (the hull of the two branches).
func (a Interval) Div(b Interval) Interval {
	switch {
	case a.IsEmpty() || b.IsEmpty() || b.Lo == 0 && b.Hi == 0:
		return Empty()
	case b.Lo < 0 && b.Hi > 0:
		return Whole()
	case b.Hi <= 0:
		return a.Neg().Div(b.Neg())
	}
	// 0 ≤ b.Lo < b.Hi or a positive point.
	q := func(x, y float64) float64 {
		switch {
		case x == 0, math.IsInf(y, 0):
			return 0
		case y == 0:
			return math.Inf(int(math.Copysign(1, x)))
		}
		return x / y
	}
	lo, hi := q(a.Lo, b.Hi), q(a.Hi, b.Lo)
	if a.Lo < 0 {
		lo = q(a.Lo, b.Lo)
	}
	if a.Hi < 0 {
		hi = q(a.Hi, b.Hi)
	}
	return outward(lo, hi, arithmeticUlps)
}

// Sqr returns the squares of the members; never below zero.
func (a Interval) Sqr() Interval {
	if a.IsEmpty() {
		return a
	}
	m := a.Abs()
	r := m.Mul(m)
	return Of(math.Max(r.Lo, 0), r.Hi)
}

// Abs returns the magnitudes of the members.
func (a Interval) Abs() Interval {
	switch {
	case a.IsEmpty() || a.Lo >= 0:
		return a
	case a.Hi <= 0:
		return a.Neg()
	}
	return Interval{0, math.Max(-a.Lo, a.Hi)}
}

// Sqrt returns the non-negative roots of the members that are not negative.
func (a Interval) Sqrt() Interval {
	a = a.Intersect(Interval{0, math.Inf(1)})
	if a.IsEmpty() {
		return a
	}
	r := outward(math.Sqrt(a.Lo), math.Sqrt(a.Hi), arithmeticUlps)
	return Of(math.Max(r.Lo, 0), r.Hi)
}

// Pow returns the members of a, which must be positive (others are dropped),
// raised to the fixed power n.
func (a Interval) Pow(n float64) Interval {
	a = a.Intersect(Interval{0, math.Inf(1)})
	if a.IsEmpty() || math.IsNaN(n) {
		return Empty()
	}
	x, y := math.Pow(a.Lo, n), math.Pow(a.Hi, n)
	r := outward(math.Min(x, y), math.Max(x, y), transcendentalUlps)
	return Of(math.Max(r.Lo, 0), r.Hi)
}

// SinDeg returns the sines of the members, in degrees.
func (a Interval) SinDeg() Interval { return a.Sub(Point(90)).CosDeg() }

// CosDeg returns the cosines of the members, in degrees.
func (a Interval) CosDeg() Interval {
	if a.IsEmpty() {
		return a
	}
	if !a.IsFinite() || a.Width() >= 360 || math.Abs(a.Lo) > 1e9 || math.Abs(a.Hi) > 1e9 {
		return Interval{-1, 1}
	}
	// A maximum lies at every multiple of 360, a minimum half a turn on.
	holds := func(at float64) bool { return math.Ceil((a.Lo-at)/360)*360+at <= a.Hi }
	x, y := cosDeg(a.Lo), cosDeg(a.Hi)
	r := outward(math.Min(x, y), math.Max(x, y), transcendentalUlps)
	if holds(0) {
		r.Hi = 1
	}
	if holds(180) {
		r.Lo = -1
	}
	return r.Intersect(Interval{-1, 1})
}

// cosDeg reduces the angle exactly before it is turned into radians, so that
// the error stays within the few units in the last place that callers allow.
func cosDeg(x float64) float64 {
	x = math.Abs(math.Mod(x, 360))
	if x > 180 {
		x = 360 - x
	}
	if x > 90 {
		return -math.Sin((x - 90) * (math.Pi / 180)) // sin keeps full precision near its zero
	}
	return math.Sin((90 - x) * (math.Pi / 180))
}

// AcosDeg returns the angles from 0 to 180 degrees whose cosine is a member.
func (a Interval) AcosDeg() Interval {
	a = a.Intersect(Interval{-1, 1})
	if a.IsEmpty() {
		return a
	}
	r := outward(acosDeg(a.Hi), acosDeg(a.Lo), transcendentalUlps)
	return r.Intersect(Interval{0, 180})
}

// acosDeg keeps its precision near ±1, where math.Acos loses it to 1 − x².
func acosDeg(x float64) float64 {
	return math.Atan2(math.Sqrt((1-x)*(1+x)), x) * (180 / math.Pi)
}

// AsinDeg returns the angles from −90 to 90 degrees whose sine is a member.
func (a Interval) AsinDeg() Interval { return Point(90).Sub(a.AcosDeg()) }

// pi: math.Pi rounds π down.
var pi = Interval{math.Pi, math.Nextafter(math.Pi, 4)}

// Pi returns an interval that holds π.
func Pi() Interval { return pi }
