package notation

import (
	"math/big"

	"fourmarks.example/convert/interval"
)

// amount is a quantity on its way through a conversion, in one unit.
type amount struct {
	// value is nil where nothing says which member of the interval it is, as
	// with an unknown rod.
	value *big.Rat
	// lo and hi are what the prints allow. A nil bound is open; never both are.
	lo, hi *big.Rat
	// exact says that all three are free of rounding.
	exact bool
}

// exactly returns an amount that is known without doubt.
func exactly(x *big.Rat) amount { return amount{value: x, lo: x, hi: x, exact: true} }

// ratio returns a fraction.
func ratio(num, den int64) *big.Rat { return big.NewRat(num, den) }

// linear returns a·factor + shift, exactly. A negative factor turns the ends round.
func (a amount) linear(factor, shift *big.Rat) amount {
	of := func(x *big.Rat) *big.Rat {
		if x == nil {
			return nil
		}
		y := new(big.Rat).Mul(x, factor)
		return y.Add(y, shift)
	}
	b := amount{value: of(a.value), lo: of(a.lo), hi: of(a.hi), exact: a.exact}
	if factor.Sign() < 0 {
		b.lo, b.hi = b.hi, b.lo
	}
	return b
}

// scaled returns a·factor, exactly.
func (a amount) scaled(factor *big.Rat) amount { return a.linear(factor, new(big.Rat)) }

// plus returns the sum of two amounts.
func (a amount) plus(b amount) amount {
	sum := func(x, y *big.Rat) *big.Rat {
		if x == nil || y == nil {
			return nil
		}
		return new(big.Rat).Add(x, y)
	}
	return amount{value: sum(a.value, b.value), lo: sum(a.lo, b.lo), hi: sum(a.hi, b.hi), exact: a.exact && b.exact}
}

// closed is the interval of the amount with the one end in place of an open other.
func (a amount) closed() interval.Interval {
	switch {
	case a.lo == nil:
		return interval.FromRat(a.hi, a.hi)
	case a.hi == nil:
		return interval.FromRat(a.lo, a.lo)
	}
	return interval.FromRat(a.lo, a.hi)
}

// isPoint reports whether the interval holds one number.
func (a amount) isPoint() bool { return a.lo != nil && a.hi != nil && a.lo.Cmp(a.hi) == 0 }

// rising carries an amount through a function that never falls, given for a
// number and for an interval. An open end stays open. The value is lost where
// there is no function for it, or where it lies beyond the function's range
// though a part of the interval does not.
func (a amount) rising(point func(float64) (float64, error), over func(interval.Interval) (interval.Interval, error)) (amount, error) {
	is, err := over(a.closed())
	if err != nil {
		return amount{}, err
	}
	b := amount{lo: rational(is.Lo), hi: rational(is.Hi)}
	if a.lo == nil {
		b.lo = nil
	}
	if a.hi == nil {
		b.hi = nil
	}
	if a.value == nil || point == nil {
		return b, nil
	}
	x, _ := a.value.Float64()
	if y, err := point(x); err == nil {
		b.value = within(rational(y), b.lo, b.hi)
	}
	return b, nil
}

// within moves x between the bounds: rounding may have put it a hair outside.
func within(x, lo, hi *big.Rat) *big.Rat {
	switch {
	case lo != nil && x.Cmp(lo) < 0:
		return lo
	case hi != nil && x.Cmp(hi) > 0:
		return hi
	}
	return x
}

// rational returns a finite double as a fraction.
func rational(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }

// double returns the double nearest to a fraction.
func double(x *big.Rat) float64 {
	y, _ := x.Float64()
	return y
}

// middle is the value, or the middle of the interval where there is none.
func (a amount) middle() *big.Rat {
	switch {
	case a.value != nil:
		return a.value
	case a.lo == nil:
		return a.hi
	case a.hi == nil:
		return a.lo
	}
	sum := new(big.Rat).Add(a.lo, a.hi)
	return sum.Quo(sum, ratio(2, 1))
}
