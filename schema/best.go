package schema

import (
	"math/big"
	"slices"

	"fourmarks.example/schema/figure"
)

// Grades lists the grades of a source from the strongest to the weakest: works
// drawing, maker's book, stamp on the engine, measurement, press of the day,
// later book, memory.
func Grades() []string {
	return []string{"works", "maker", "stamp", "measured", "press", "later", "recall"}
}

// BestFirst returns the claims of a figure that stand, the one to follow first:
// that of the strongest source, of two equal ones that with the closest
// interval, of those the first in the file. It returns none when they cannot
// all be right, for then none may be followed.
func BestFirst(f *Figure, lookup Register) []*Claim {
	claims := slices.Collect(f.Standing())
	if !agree(claims) {
		return nil
	}
	slices.SortStableFunc(claims, func(a, b *Claim) int {
		if by := lookup.strength(a) - lookup.strength(b); by != 0 {
			return by
		}
		return compareWidths(a, b)
	})
	return claims
}

// strength is the place of a claim's source among the grades; a claim without a
// source, or of a source whose grade is not known, comes after all of them.
func (lookup Register) strength(c *Claim) int {
	weakest := len(Grades())
	if s, ok := lookup(c.From.Source); ok {
		if i := slices.Index(Grades(), s.Grade.Text); i >= 0 {
			return i
		}
	}
	return weakest
}

// compareWidths tells which of two prints justifies the closer interval; zero
// where they cannot be compared. An open bound is as wide as can be.
func compareWidths(a, b *Claim) int {
	if len(a.Printed.Readings) == 0 || len(b.Printed.Readings) == 0 {
		return 0
	}
	p, q := a.Printed.Readings[0], b.Printed.Readings[0]
	if p.Measure != q.Measure || p.Unit.Dimension() != q.Unit.Dimension() {
		return 0
	}
	v, w := width(p), width(q)
	switch {
	case v == nil && w == nil:
		return 0
	case v == nil:
		return 1
	case w == nil:
		return -1
	}
	return v.Cmp(w)
}

// width is the width of a reading's interval in working units, nil when open.
func width(r figure.Reading) *big.Rat {
	_, lo, hi, err := r.In(r.Unit.Dimension().Base())
	if err != nil || lo == nil || hi == nil {
		return nil
	}
	return new(big.Rat).Sub(hi, lo)
}
