package figure

import (
	"math/big"

	"fourmarks.example/convert"
)

// Widths of nominal lengths, as parts of an inch and of a millimetre.
const (
	inchParts       = 2000 // ±0.0005 in
	millimetreParts = 200  // ±0.005 mm
	wholeParts      = 20   // ±0.05 mm for whole millimetres
)

// halfWidth returns how far from a number of the class and unit the true value
// may lie, as a fraction num/den of the unit.
func (n number) halfWidth(c class, u convert.Unit, twin bool) (num, den int64) {
	switch {
	case c == counted, u == convert.DiametralPitch:
		return 0, 1
	case c == read:
		return 1, 2 * n.d
	}
	den = nominalParts(u, n.form == Whole && u != convert.Module)
	if twin && 2*n.d < den {
		return 1, 2 * n.d
	}
	return 1, den
}

// nominalParts returns the denominator of the half width of a nominal length.
func nominalParts(u convert.Unit, whole bool) int64 {
	metric := int64(millimetreParts)
	if whole {
		metric = wholeParts
	}
	switch u {
	case convert.Inch:
		return inchParts
	case convert.Thou:
		return inchParts / 1000
	case convert.Foot:
		return inchParts * 12
	case convert.Yard:
		return inchParts * 36
	case convert.Mile:
		return inchParts * 63360
	case convert.Centimetre:
		return metric * 10
	case convert.Metre:
		return metric * 1000
	case convert.Micrometre:
		return 1 // a micrometre printed is a micrometre meant
	}
	return metric
}

// bounds returns the interval that the number stands for, value being the
// number.
func (n number) bounds(value *big.Rat, c class, u convert.Unit, twin, approximate bool) (lo, hi *big.Rat) {
	num, den := n.halfWidth(c, u, twin)
	if approximate {
		num, den = n.approximate(num, den)
	}
	switch {
	case num == 0:
		return value, value
	case den%n.d == 0: // nearly always: the half width is finer than the print
		scaled := n.n * (den / n.d)
		return rational(scaled-num, den), rational(scaled+num, den)
	}
	half := rational(num, den)
	return new(big.Rat).Sub(value, half), half.Add(value, half)
}

// approximate widens a half width to twice itself or to a twentieth of the
// number, whichever is more.
func (n number) approximate(num, den int64) (int64, int64) {
	double, twentieth := big.NewRat(2*num, den), big.NewRat(max(n.n, -n.n), 20*n.d)
	if double.Cmp(twentieth) < 0 {
		double = twentieth
	}
	return double.Num().Int64(), double.Denom().Int64()
}
