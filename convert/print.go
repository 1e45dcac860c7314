package convert

import (
	"fmt"
	"math/big"
	"strings"
)

// mostPlaces bounds the decimals ever printed.
const mostPlaces = 12

// Decimal prints x with the digits that its interval justifies: the fewest
// decimals whose own rounding error, half the last place, is no greater than
// half the width of lo to hi. That is the rule of NIST SP 811 (2008), B.7.2: a
// length printed "36 ft" becomes 11.0 m, because 11 m would lose what the print
// says and 10.97 m would claim more. A last digit that may go either way goes
// to the even one (same guide, B.7.1). Whole digits are always printed in full.
//
// Where a bound is nil, or the two are equal and x has more decimals than can
// be printed, x is printed with six significant digits.
func Decimal(x, lo, hi *big.Rat) string {
	if lo == nil || hi == nil {
		return significant(x)
	}
	width := new(big.Rat).Sub(hi, lo)
	if width.Sign() <= 0 {
		return exact(x)
	}
	places, last := 0, big.NewRat(1, 1)
	for ten := big.NewRat(10, 1); last.Cmp(width) > 0 && places < mostPlaces; places++ {
		last.Quo(last, ten)
	}
	return Fixed(x, places)
}

// Fixed prints x with that many decimals, the last digit rounded to nearest and
// a tie to even.
func Fixed(x *big.Rat, places int) string {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(places, 0))), nil)
	scaled := new(big.Rat).Mul(x, new(big.Rat).SetInt(scale))
	digits := nearestEven(scaled)
	return new(big.Rat).SetFrac(digits, scale).FloatString(max(places, 0))
}

// exact prints all of x when it ends within mostPlaces decimals.
func exact(x *big.Rat) string {
	if n, ends := x.FloatPrec(); ends && n <= mostPlaces {
		return x.FloatString(n)
	}
	return significant(x)
}

// significant prints six significant digits, fewer where x needs fewer and no
// more than mostPlaces decimals.
func significant(x *big.Rat) string {
	places := 5
	one, ten := big.NewRat(1, 1), big.NewRat(10, 1)
	m := new(big.Rat).Abs(x)
	for ; places > 0 && m.Cmp(ten) >= 0; places-- {
		m.Quo(m, ten)
	}
	for ; places < mostPlaces && m.Sign() > 0 && m.Cmp(one) < 0; places++ {
		m.Mul(m, ten)
	}
	s := Fixed(x, places)
	if strings.ContainsRune(s, '.') {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// nearestEven rounds to a whole number, a half to the even one.
func nearestEven(x *big.Rat) *big.Int {
	double := new(big.Int).Lsh(x.Num(), 1)
	double.Add(double, x.Denom())
	floor, rest := new(big.Int).DivMod(double, new(big.Int).Lsh(x.Denom(), 1), new(big.Int))
	if rest.Sign() == 0 && floor.Bit(0) == 1 {
		floor.Sub(floor, big.NewInt(1))
	}
	return floor
}

// Fraction is a length in inches as a workshop reads it off a rule.
type Fraction struct {
	Nearest  *big.Rat // inches, a whole number of the chosen parts
	Residual *big.Rat // inches, what is left: the length less Nearest
}

// NearestFraction returns the fraction of an inch nearest to a length in
// inches, in parts of 1/denominator (64 on most rules); a length midway goes
// to the even part. The denominator must be positive.
func NearestFraction(inches *big.Rat, denominator int) (Fraction, error) {
	if denominator <= 0 {
		return Fraction{}, fmt.Errorf("an inch is divided into a positive number of parts, not %d", denominator)
	}
	parts := nearestEven(new(big.Rat).Mul(inches, big.NewRat(int64(denominator), 1)))
	n := new(big.Rat).SetFrac(parts, big.NewInt(int64(denominator)))
	return Fraction{Nearest: n, Residual: new(big.Rat).Sub(inches, n)}, nil
}

// String prints the fraction in lowest terms: "2 15/16", "-3/4", "5".
func (f Fraction) String() string {
	abs := new(big.Rat).Abs(f.Nearest)
	whole, rest := new(big.Int).QuoRem(abs.Num(), abs.Denom(), new(big.Int))
	var parts []string
	if whole.Sign() != 0 || rest.Sign() == 0 {
		parts = append(parts, whole.String())
	}
	if rest.Sign() != 0 {
		parts = append(parts, rest.String()+"/"+abs.Denom().String())
	}
	sign := ""
	if f.Nearest.Sign() < 0 {
		sign = "-"
	}
	return sign + strings.Join(parts, " ")
}

// Describe prints the fraction with what is left of the length beyond or short
// of it, in thou: "2 15/16 in", "13/16 in + 2.5 thou", "13/16 in − 0.3 thou".
// A residual below half of a tenth of a thou is not mentioned.
func (f Fraction) Describe() string {
	thou := new(big.Rat).Mul(f.Residual, big.NewRat(1000, 1))
	tenths := Fixed(new(big.Rat).Abs(thou), 1)
	if tenths == "0.0" {
		return f.String() + " in"
	}
	sign := "+"
	if thou.Sign() < 0 {
		sign = "−"
	}
	return fmt.Sprintf("%s in %s %s thou", f.String(), sign, strings.TrimSuffix(tenths, ".0"))
}
