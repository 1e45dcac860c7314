package crank_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"

	"fourmarks.example/convert/crank"
)

// The reference works the textbook slider-crank formula with 400 bits, so that
// its cancellation near the dead centres costs nothing that float64 could show.

const bits = 400

func num(x float64) *big.Float { return new(big.Float).SetPrec(bits).SetFloat64(x) }

func add(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Add(a, b) }
func sub(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Sub(a, b) }
func mul(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Mul(a, b) }
func quo(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Quo(a, b) }
func root(a *big.Float) *big.Float   { return new(big.Float).SetPrec(bits).Sqrt(a) }

// bigPi is Machin's 16·atan(1/5) − 4·atan(1/239).
var bigPi = func() *big.Float {
	atanOfInverse := func(n float64) *big.Float {
		sum, power := num(0), quo(num(1), num(n))
		for k := 0; k < 200; k++ {
			term := quo(power, num(float64(2*k+1)))
			if k%2 == 1 {
				term.Neg(term)
			}
			sum, power = add(sum, term), quo(power, num(n*n))
		}
		return sum
	}
	return sub(mul(num(16), atanOfInverse(5)), mul(num(4), atanOfInverse(239)))
}()

// sinCos sums Taylor's series for an angle in degrees.
func sinCos(degrees float64) (sin, cos *big.Float) {
	x := quo(mul(num(degrees), bigPi), num(180))
	sin, cos = num(0), num(0)
	term := num(1)
	for k := 1; k < 160; k++ {
		switch k % 4 {
		case 1:
			cos = add(cos, term)
		case 2:
			sin = add(sin, term)
		case 3:
			cos = sub(cos, term)
		case 0:
			sin = sub(sin, term)
		}
		term = quo(mul(term, x), num(float64(k)))
	}
	return sin, cos
}

type bigLinkage struct{ throw, rod, offset, stroke *big.Float }

// exactly returns a linkage whose stroke is l's to the last of 400 bits, and
// checks the throw by putting it back into the formula for the stroke.
func exactly(t assert.TestingT, l crank.Linkage) bigLinkage {
	stroke, rod, offset := num(l.Stroke), num(l.Rod), num(l.Offset)
	s2, l2, e2 := mul(stroke, stroke), mul(rod, rod), mul(offset, offset)
	four := num(4)
	r2 := quo(mul(s2, sub(sub(mul(four, l2), mul(four, e2)), s2)), mul(four, sub(mul(four, l2), s2)))
	b := bigLinkage{root(r2), rod, offset, stroke}
	back := sub(b.top(), b.bottom())
	off, _ := quo(sub(back, stroke), stroke).Float64()
	assert.Less(t, math.Abs(off), 1e-60, "the throw of %+v", l)
	return b
}

func (b bigLinkage) end(reach *big.Float) *big.Float {
	return root(sub(mul(reach, reach), mul(b.offset, b.offset)))
}
func (b bigLinkage) top() *big.Float    { return b.end(add(b.rod, b.throw)) }
func (b bigLinkage) bottom() *big.Float { return b.end(sub(b.rod, b.throw)) }

// travel is √((L+r)²−e²) − [r cos θ + √(L²−(r sin θ−e)²)] from TDC, or the stroke
// less that from BDC, at degrees after (or, negative, before) the piston's dead
// centre.
func (b bigLinkage) travel(after float64, top bool) float64 {
	reach, height := add(b.rod, b.throw), b.top()
	if !top {
		reach, height = sub(b.rod, b.throw), b.bottom()
	}
	lateSin, lateCos := quo(b.offset, reach), quo(height, reach)
	s, c := sinCos(after)
	sin := add(mul(s, lateCos), mul(c, lateSin))
	cos := sub(mul(c, lateCos), mul(s, lateSin))
	if !top { // half a turn on
		sin.Neg(sin)
		cos.Neg(cos)
	}
	aside := sub(mul(b.throw, sin), b.offset)
	pin := add(mul(b.throw, cos), root(sub(mul(b.rod, b.rod), mul(aside, aside))))
	x := sub(b.top(), pin)
	if !top {
		x = sub(pin, b.bottom())
	}
	f, _ := x.Float64()
	return f
}

// Travel agrees with 400-bit arithmetic to a few units in the last place, down
// to a thousand-millionth of a degree from the dead centre counted from, with
// and without an offset and with rods from barely long enough to very long.
func TestTravelAgreesWithExactArithmetic(t *testing.T) {
	for _, l := range []crank.Linkage{
		{Stroke: 4, Rod: 7},
		{Stroke: 4.25, Rod: 7.5},
		{Stroke: 4, Rod: 7, Offset: 0.25},
		{Stroke: 4, Rod: 7, Offset: -0.75},
		{Stroke: 110, Rod: 70},
		{Stroke: 110, Rod: 70, Offset: 9},
		{Stroke: 1, Rod: 40, Offset: 3},
		{Stroke: 102, Rod: 255, Offset: 12.5},
	} {
		exact := exactly(t, l)
		for _, degrees := range []float64{1e-9, 1e-6, 1e-3, 0.25, 1, 7.5, 30, 48.5, 90, 120, 150, 170} {
			for d, after := range map[crank.Datum]float64{crank.BTDC: -degrees, crank.ATDC: degrees, crank.BBDC: -degrees, crank.ABDC: degrees} {
				got, err := l.Travel(degrees, d)
				assert.NoError(t, err)
				want := exact.travel(after, d.Top())
				assert.InEpsilon(t, want, got, 1e-14, "%+v at %g %v", l, degrees, d)
			}
		}
	}
}

// Angle, near the dead centre counted from, agrees with what exact travel came
// from to a few units in the last place.
func TestAngleIsWellConditionedAtItsDeadCentre(t *testing.T) {
	for _, l := range []crank.Linkage{{Stroke: 4, Rod: 7}, {Stroke: 4, Rod: 7, Offset: 0.25}, {Stroke: 110, Rod: 70, Offset: -9}} {
		exact := exactly(t, l)
		for _, degrees := range []float64{1e-7, 1e-4, 0.5, 5, 45, 90} {
			for d, after := range map[crank.Datum]float64{crank.BTDC: -degrees, crank.ATDC: degrees, crank.BBDC: -degrees, crank.ABDC: degrees} {
				got, err := l.Angle(exact.travel(after, d.Top()), d)
				assert.NoError(t, err)
				assert.InEpsilon(t, degrees, got, 1e-14, "%+v at %g %v", l, degrees, d)
			}
		}
	}
}

// Dead centres of the piston are where exact travel is least: a hair to either
// side the piston is lower, and the throw recovers the stroke.
func TestDeadCentresWithOffset(t *testing.T) {
	l := crank.Linkage{Stroke: 4, Rod: 7, Offset: 0.5}
	throw := must(l.Throw())
	assert.Less(t, throw, 2.0, "the piston's stroke exceeds twice the throw")
	assert.InEpsilon(t, 4.0, must(crank.PistonStroke(throw, 7, 0.5)), 1e-14)

	// Height of the gudgeon pin at a crank angle, straight from the geometry.
	height := func(crankDegrees float64) float64 {
		aside := throw*sinDeg(crankDegrees) - 0.5
		return throw*cosDeg(crankDegrees) + math.Sqrt(49-aside*aside)
	}
	top, bottom, err := l.DeadCentres()
	assert.NoError(t, err)
	assert.Greater(t, top, 0.0)
	assert.Greater(t, bottom, top, "the downward stroke takes more than half a turn")
	for _, off := range []float64{-0.1, 0.1} {
		assert.Less(t, height(top+off), height(top))
		assert.Greater(t, height(180+bottom+off), height(180+bottom))
	}
	assert.InDelta(t, 4.0, height(top)-height(180+bottom), 1e-12)

	// The same place counted from crank and from piston dead centres.
	for _, c := range []float64{-20, 0, 35} {
		after := must(l.FromCrank(c, crank.ATDC))
		assert.InDelta(t, height(top)-height(c), must(l.Travel(after, crank.ATDC)), 1e-12)
		before := must(l.FromCrank(c, crank.BTDC))
		assert.InDelta(t, height(top)-height(-c), must(l.Travel(before, crank.BTDC)), 1e-12)
		afterBottom := must(l.FromCrank(c, crank.ABDC))
		assert.InDelta(t, height(180+c)-height(180+bottom), must(l.Travel(afterBottom, crank.ABDC)), 1e-12)
		beforeBottom := must(l.FromCrank(c, crank.BBDC))
		assert.InDelta(t, height(180-c)-height(180+bottom), must(l.Travel(beforeBottom, crank.BBDC)), 1e-12)
		for _, d := range []crank.Datum{crank.BTDC, crank.ATDC, crank.BBDC, crank.ABDC} {
			assert.InDelta(t, c, must(l.ToCrank(must(l.FromCrank(c, d)), d)), 1e-12)
		}
	}
}
