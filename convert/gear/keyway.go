package gear

import (
	"math/big"
	"slices"
)

// KeywayStep returns the finest step, in teeth, that a wheel with equally
// spaced keyways allows when it is put on another keyway and its teeth are
// brought to mesh again: gcd(k, z)/k of a tooth. Nothing finer than a tooth is
// gained when k divides z. (Published for three keyways, a third of a tooth:
// cld.bz/bookdata/QLPD1h, page 15.)
func KeywayStep(keyways, teeth int) (*big.Rat, error) {
	if err := count("keyways", keyways, maxKeyways); err != nil {
		return nil, err
	}
	if err := count("teeth", teeth, maxTeeth); err != nil {
		return nil, err
	}
	return big.NewRat(int64(gcd(keyways, teeth)), int64(keyways)), nil
}

// Fixing is how a reversible wheel is held to its shaft.
type Fixing struct {
	Teeth   int
	Keyways int // equally spaced keyways, or bolt holes
	// OffLine is by what part of a tooth, from −1 to 1, a keyway lies off the
	// line of a tooth as the wheel stands now; turned over, it lies as far on
	// the other side.
	OffLine *big.Rat
}

// Positions returns the parts of a tooth, from 0 to below 1 and in order, by
// which the teeth can be brought forward by other keyways and by turning the
// wheel over. A keyway a quarter of a tooth off line gives half teeth; an
// eighth, with two keyways half a tooth apart, quarter teeth (common practice,
// no source; the arithmetic is the tests').
func (f Fixing) Positions() ([]*big.Rat, error) {
	step, err := KeywayStep(f.Keyways, f.Teeth)
	if err != nil {
		return nil, err
	}
	over := new(big.Rat)
	if f.OffLine != nil {
		if err := between("part of a tooth off line", toFloat(f.OffLine), -1, 1); err != nil {
			return nil, err
		}
		over.Add(f.OffLine, f.OffLine)
	}
	var all []*big.Rat
	for at := new(big.Rat); at.Cmp(big.NewRat(1, 1)) < 0; at = new(big.Rat).Add(at, step) {
		all = append(all, at, fraction(new(big.Rat).Add(at, over)))
	}
	slices.SortFunc(all, (*big.Rat).Cmp)
	return slices.CompactFunc(all, func(a, b *big.Rat) bool { return a.Cmp(b) == 0 }), nil
}

// fraction returns r less the greatest whole number not above it.
func fraction(r *big.Rat) *big.Rat {
	whole := new(big.Int).Div(r.Num(), r.Denom()) // rounds down: denominators are positive
	return r.Sub(r, new(big.Rat).SetInt(whole))
}
