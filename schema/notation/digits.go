package notation

import (
	"math/big"
	"strconv"
	"strings"

	"fourmarks.example/convert"
)

// closer is how many decimals more the ends of an interval are shown with than
// the value: they are rounded outward, and would otherwise look wider than they are.
const closer = 1

// print writes the value with the digits that the interval justifies, or the
// ends of the interval where there is no value. A limit keeps its word.
func (f form) print(a amount) string {
	switch {
	case a.lo == nil:
		return "at most " + a.limit() + f.after()
	case a.hi == nil:
		return "at least " + a.limit() + f.after()
	case a.value != nil:
		return signed(convert.Decimal(a.value, a.lo, a.hi)) + f.after()
	}
	n := places(a.lo, a.hi) + closer
	lo, hi := signed(outward(a.lo, n, false)), signed(outward(a.hi, n, true))
	if rest, negative := strings.CutPrefix(lo, minus); negative && f.side() != "" {
		return rest + f.otherSide().after() + " to " + hi + f.after()
	}
	return lo + " to " + hi + f.after()
}

// limitWidth is how closely a limit is printed, as a part of itself, since it
// has no interval to tell (common practice, no source).
var limitWidth = ratio(1, 1000)

// limit writes the number of a limit.
func (a amount) limit() string {
	x := a.middle()
	half := new(big.Rat).Mul(new(big.Rat).Abs(x), limitWidth)
	half.Quo(half, ratio(2, 1))
	return signed(convert.Decimal(x, new(big.Rat).Sub(x, half), new(big.Rat).Add(x, half)))
}

// exactly writes an amount that is free of rounding in full, as a decimal where
// it ends and else as a fraction; nothing where the digits that the interval
// justifies say it already, or where it is too long to help.
func (a amount) exactly() string {
	if !a.exact || a.lo == nil || a.hi == nil {
		return ""
	}
	short, ok := new(big.Rat).SetString(convert.Decimal(a.value, a.lo, a.hi))
	if ok && short.Cmp(a.value) == 0 {
		return ""
	}
	if isShort(a.value) {
		return exactNumber(a.value)
	}
	if a.value.Denom().Cmp(big.NewInt(largestDenominator)) > 0 {
		return ""
	}
	return signed(convert.Fraction{Nearest: a.value}.String())
}

// largestDenominator is that of the finest fractions that workshops use.
const largestDenominator = 64

// allowed writes the interval: "51.5 to 52.5".
func (f form) allowed(a amount) string {
	switch {
	case a.lo == nil || a.hi == nil:
		return ""
	case a.isPoint():
		return "exact"
	}
	n := places(a.lo, a.hi) + closer
	return f.between(signed(outward(a.lo, n, false)), signed(outward(a.hi, n, true)))
}

// between writes two ends. Where the lower lies on the other side of a dead
// centre, each says on which it lies.
func (f form) between(lo, hi string) string {
	if f.side() == "" || !strings.HasPrefix(lo, minus) {
		return lo + " to " + hi
	}
	side := func(s string) string {
		if rest, negative := strings.CutPrefix(s, minus); negative {
			return rest + " " + f.otherSide().side()
		}
		return s + " " + f.side()
	}
	return side(lo) + " to " + side(hi)
}

const minus = "−"

// signed writes the sign as people print it.
func signed(s string) string { return strings.Replace(s, "-", minus, 1) }

// places is how many decimals the interval justifies.
func places(lo, hi *big.Rat) int {
	_, decimals, _ := strings.Cut(convert.Decimal(lo, lo, hi), ".")
	return len(decimals)
}

// outward prints a bound with that many decimals, rounded away from the inside.
func outward(x *big.Rat, places int, up bool) string {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)
	scaled := new(big.Rat).Mul(x, new(big.Rat).SetInt(scale))
	whole, rest := new(big.Int).DivMod(scaled.Num(), scaled.Denom(), new(big.Int))
	if up && rest.Sign() != 0 {
		whole.Add(whole, big.NewInt(1))
	}
	return new(big.Rat).SetFrac(whole, scale).FloatString(places)
}

// workingDigits is how many significant digits a working shows: enough to
// justify the result, few enough to be written down.
const workingDigits = 7

// number writes a number of a working.
func number(x float64) string {
	if x == 0 {
		return "0"
	}
	// To significant digits first, then without an exponent.
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', workingDigits, 64), 64)
	if err != nil {
		rounded = x
	}
	return signed(strconv.FormatFloat(rounded, 'f', -1, 64))
}

// exactNumber writes a fraction of a working in full where it ends soon.
func exactNumber(x *big.Rat) string {
	if n, ends := x.FloatPrec(); ends && n <= workingDigits {
		return signed(x.FloatString(n))
	}
	return number(double(x))
}
