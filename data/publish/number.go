package publish

import (
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

// rounded is x as a decimal of so many significant digits, exact where they
// suffice. nil, for an open bound, stays nil.
func rounded(x *big.Rat, digits int, way toward) *float64 {
	if x == nil {
		return nil
	}
	if x.Sign() == 0 {
		return new(float64)
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
	decimal, err := strconv.ParseFloat(n.String()+"e"+strconv.Itoa(-power), 64)
	if err != nil {
		return nil // beyond what a double holds: an open bound says less, not something else
	}
	return &decimal
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

// isExact reports whether a number was published as it is.
func isExact(x *big.Rat, published *float64) bool {
	if x == nil || published == nil {
		return x == nil && published == nil
	}
	back, ok := new(big.Rat).SetString(strconv.FormatFloat(*published, 'g', -1, 64))
	return ok && back.Cmp(x) == 0
}
