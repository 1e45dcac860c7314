package publish

import (
	"math"
	"math/big"
	"strconv"
)

const (
	// printedDigits is how many significant digits a double always gives back.
	printedDigits = 15
	// derivedDigits is for values that were computed with doubles rounded
	// outward: fewer digits than their last, which say nothing.
	derivedDigits = 10
)

// toward says which way a number is rounded.
type toward int

const (
	down    toward = -1
	nearest toward = 0 // a tie to the even digit
	up      toward = 1
)

// rounded is x as a decimal of so many significant digits, and whether that is x
// exactly. nil, for an open bound, stays nil.
func rounded(x *big.Rat, digits int, way toward) (decimal *float64, exact bool) {
	if x == nil {
		return nil, true
	}
	if short, ok := shortDecimal(x, digits); ok {
		return &short, true
	}
	power := digits - 1 - magnitude(x)
	whole := new(big.Rat).Mul(x, powerOfTen(power))
	n, rest := new(big.Int).DivMod(whole.Num(), whole.Denom(), new(big.Int)) // rounded down, below zero too
	switch {
	case rest.Sign() == 0 || way == down:
	case way == up:
		n.Add(n, big.NewInt(1))
	default:
		twice := new(big.Int).Lsh(rest, 1)
		if by := twice.Cmp(whole.Denom()); by > 0 || by == 0 && n.Bit(0) == 1 {
			n.Add(n, big.NewInt(1))
		}
	}
	nearest, err := strconv.ParseFloat(n.String()+"e"+strconv.Itoa(-power), 64)
	if err != nil {
		return nil, false // beyond what a double holds: an open bound says less, not something else
	}
	return &nearest, rest.Sign() == 0
}

// shortDecimal is x where it has few digits, as most prints do: a whole number
// of some decimal place. Divided, two whole doubles give the one nearest to their
// quotient, which is the one that the decimal is read as.
func shortDecimal(x *big.Rat, digits int) (decimal float64, ok bool) {
	if !x.Num().IsInt64() || !x.Denom().IsInt64() {
		return 0, false
	}
	n, d := x.Num().Int64(), x.Denom().Int64()
	most := int64(math.Pow10(digits))
	for place := int64(1); place < 1e9; place *= 10 {
		if place%d == 0 { // n/d is n times place/d, at that decimal place
			return float64(n) / float64(d), -most/(place/d) < n && n < most/(place/d)
		}
	}
	return 0, false
}

// magnitude is the power of ten of the first significant digit of x.
func magnitude(x *big.Rat) int {
	abs := new(big.Rat).Abs(x)
	m := len(abs.Num().String()) - len(abs.Denom().String())
	if abs.Cmp(powerOfTen(m)) < 0 {
		m--
	}
	return m
}

// powerOfTen is 10 to the n-th.
func powerOfTen(n int) *big.Rat {
	p := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n, -n))), nil)
	if n < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), p)
	}
	return new(big.Rat).SetInt(p)
}
