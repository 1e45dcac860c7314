package convert

import (
	"fmt"
	"math"
	"math/big"

	"fourmarks.example/convert/interval"
)

// MismatchError says that two units measure different quantities.
type MismatchError struct{ From, To Unit }

func (e *MismatchError) Error() string {
	return fmt.Sprintf("%s is %s and %s is %s: one does not convert into the other",
		e.From.Name(), e.From.Dimension(), e.To.Name(), e.To.Dimension())
}

// DomainError says that a value has no counterpart in the other unit: a
// diametral pitch or a module must be greater than zero.
type DomainError struct {
	Value *big.Rat // nil where a bound is open
	Unit  Unit
}

func (e *DomainError) Error() string {
	if e.Value == nil {
		return fmt.Sprintf("a %s that may be zero or less does not convert: it must be greater than zero", e.Unit.Name())
	}
	return fmt.Sprintf("a %s of %s does not convert: it must be greater than zero", e.Unit.Name(), e.Value.RatString())
}

// Exchange returns x, a value in the unit from, in the unit to. It is exact.
// The error is a *MismatchError or a *DomainError.
func Exchange(x *big.Rat, from, to Unit) (*big.Rat, error) {
	if from.Dimension() != to.Dimension() {
		return nil, &MismatchError{from, to}
	}
	if from == to {
		return new(big.Rat).Set(x), nil
	}
	f, t := from.definition(), to.definition()
	if f.reciprocal != t.reciprocal && x.Sign() <= 0 {
		return nil, &DomainError{x, from}
	}
	return t.fromBase(f.toBase(x)), nil
}

// ExchangeBounds converts an interval; a nil bound is open and stays so. Going
// between module and diametral pitch the ends change places.
func ExchangeBounds(lo, hi *big.Rat, from, to Unit) (*big.Rat, *big.Rat, error) {
	if from.Dimension() != to.Dimension() {
		return nil, nil, &MismatchError{from, to}
	}
	turned := from.definition().reciprocal != to.definition().reciprocal
	if turned && lo == nil {
		return nil, nil, &DomainError{nil, from}
	}
	var bounds [2]*big.Rat
	for i, x := range [2]*big.Rat{lo, hi} {
		if x == nil {
			continue
		}
		y, err := Exchange(x, from, to)
		if err != nil {
			return nil, nil, err
		}
		bounds[i] = y
	}
	if !turned {
		return bounds[0], bounds[1], nil
	}
	if bounds[1] == nil { // the finer the teeth, the nearer the module to nothing
		bounds[1] = new(big.Rat)
	}
	return bounds[1], bounds[0], nil
}

func (d *definition) toBase(x *big.Rat) *big.Rat {
	y := new(big.Rat)
	switch {
	case d.reciprocal:
		return y.Quo(d.factor, x)
	case d.offset != nil:
		return y.Mul(y.Add(x, d.offset), d.factor)
	}
	return y.Mul(x, d.factor)
}

func (d *definition) fromBase(x *big.Rat) *big.Rat {
	y := new(big.Rat)
	switch {
	case d.reciprocal:
		return y.Quo(d.factor, x)
	case d.offset != nil:
		return y.Sub(y.Quo(x, d.factor), d.offset)
	}
	return y.Quo(x, d.factor)
}

// Interval returns an interval of doubles, in the working unit of u's dimension,
// that holds everything from lo to hi in u: the narrowest there is for bounds
// and factors of a few figures, at most a double wider for others. A nil bound
// is open. A diametral pitch that may be zero or less has no module: the
// interval is empty.
func (u Unit) Interval(lo, hi *big.Rat) interval.Interval {
	d := u.definition()
	if lo, hi, ok := d.small(lo, hi); ok {
		return interval.Of(lo, hi)
	}
	lo, hi, err := ExchangeBounds(lo, hi, u, u.Dimension().Base())
	if err != nil {
		return interval.Empty()
	}
	return interval.FromRat(lo, hi)
}

// small is Interval for the many figures whose bounds and factor are so small
// that a double holds numerator and denominator exactly: then one division and
// the sign of its remainder give the bound.
func (d *definition) small(lo, hi *big.Rat) (l, h float64, ok bool) {
	if d.num == 0 || d.reciprocal {
		return 0, 0, false
	}
	l, h = math.Inf(-1), math.Inf(1)
	if lo != nil {
		n, m, exact := d.scaled(lo)
		if !exact {
			return 0, 0, false
		}
		l = n / m
		if math.FMA(l, m, -n) > 0 {
			l = math.Nextafter(l, math.Inf(-1))
		}
	}
	if hi != nil {
		n, m, exact := d.scaled(hi)
		if !exact {
			return 0, 0, false
		}
		h = n / m
		if math.FMA(h, m, -n) < 0 {
			h = math.Nextafter(h, math.Inf(1))
		}
	}
	return l, h, true
}

// scaled returns x times the factor as a numerator and a denominator that
// doubles hold exactly.
func (d *definition) scaled(x *big.Rat) (num, den float64, exact bool) {
	const limit = 1 << 53
	if !x.Num().IsInt64() || !x.Denom().IsInt64() {
		return 0, 0, false
	}
	n, m := x.Num().Int64(), x.Denom().Int64()
	if n > limit/d.num || n < -limit/d.num || m > limit/d.den {
		return 0, 0, false
	}
	return float64(n * d.num), float64(m * d.den), true
}
