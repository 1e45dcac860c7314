package notation

import (
	"fmt"
	"math/big"
	"slices"

	"fourmarks.example/convert"
)

// toMinutes is the figure in degrees and minutes, and seconds where they are
// justified.
func (c *converter) toMinutes() ([]Result, error) {
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	a, f := p.degrees, form{unit: convert.Degree, datum: p.datum}
	if a.lo == nil || a.hi == nil {
		return nil, senseless(fmt.Sprintf("%q is a limit; ask for it in degrees", c.Text))
	}
	perDegree := sixtieths(a)
	after := ""
	if p.datum != 0 {
		after = " " + p.datum.String()
	}
	r := result(Minutes, a, f, p.steps)
	low, high := arc(a.lo, perDegree, false), arc(a.hi, perDegree, true)
	if a.value == nil {
		r.Printed = f.between(low, high)
		if a.lo.Sign() >= 0 {
			r.Printed += after
		}
		return []Result{r}, nil
	}
	r.Printed = arcNearest(a.value, perDegree) + after
	if !a.isPoint() {
		r.Allowed, r.Exactly = f.between(low, high), ""
	}
	whole := new(big.Int).Quo(a.value.Num(), a.value.Denom())
	rest := new(big.Rat).Sub(a.value, new(big.Rat).SetInt(whole))
	minutes := new(big.Rat).Mul(rest, ratio(60, 1))
	r.Working = append(slices.Clone(p.steps), Step{"minutes", "60 × " + exactNumber(rest), exactNumber(minutes)})
	if perDegree == secondsInDegree {
		part := new(big.Rat).Sub(minutes, new(big.Rat).SetInt(new(big.Int).Quo(minutes.Num(), minutes.Denom())))
		r.Working = append(r.Working, Step{"seconds", "60 × " + exactNumber(part), exactNumber(new(big.Rat).Mul(part, ratio(60, 1)))})
	}
	return []Result{r}, nil
}

const (
	minutesInDegree = 60
	secondsInDegree = 3600
)

// sixtieths is the smallest part of a degree that the interval justifies.
func sixtieths(a amount) int64 {
	width := new(big.Rat).Sub(a.hi, a.lo)
	wholeMinutes := new(big.Rat).Mul(a.middle(), ratio(minutesInDegree, 1)).IsInt()
	if width.Cmp(ratio(1, minutesInDegree)) >= 0 || width.Sign() == 0 && wholeMinutes {
		return minutesInDegree
	}
	return secondsInDegree
}

// arcNearest writes degrees to the nearest part.
func arcNearest(x *big.Rat, perDegree int64) string {
	parts := nearestWhole(new(big.Rat).Mul(x, ratio(perDegree, 1)))
	return arcParts(parts.Num(), perDegree)
}

// arc writes a bound of degrees, rounded away from the inside.
func arc(x *big.Rat, perDegree int64, up bool) string {
	parts, _ := new(big.Int).SetString(outward(new(big.Rat).Mul(x, ratio(perDegree, 1)), 0, up), 10)
	return arcParts(parts, perDegree)
}

// arcParts writes 48°30′ or 12°51′26″ as a print has them.
func arcParts(parts *big.Int, perDegree int64) string {
	sign := ""
	if parts.Sign() < 0 {
		sign, parts = minus, new(big.Int).Neg(parts)
	}
	degrees, rest := new(big.Int).QuoRem(parts, big.NewInt(perDegree), new(big.Int))
	if perDegree == minutesInDegree {
		return fmt.Sprintf("%s%d°%02d'", sign, degrees, rest)
	}
	minutes, seconds := new(big.Int).QuoRem(rest, big.NewInt(minutesInDegree), new(big.Int))
	return fmt.Sprintf("%s%d°%02d'%02d\"", sign, degrees, minutes, seconds)
}
