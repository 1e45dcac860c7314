package publish

import (
	"math/big"

	"fourmarks.example/data/release"
	"fourmarks.example/schema/figure"
)

// printOf is a print with its numbers as decimals.
func printOf(p figure.Printed) release.Print {
	out := release.Print{Printed: p.Text, Absence: string(p.Absence), Legible: p.Legible, Order: p.Order, List: readings(p.List)}
	all := readings(p.Readings)
	if len(all) > 0 {
		out.Reading = all[0]
	}
	if len(all) > 1 {
		out.Also = all[1:]
	}
	if p.Direction.Sense != figure.NoSense {
		out.Direction = &release.Direction{Sense: p.Direction.Sense.String(), From: p.Direction.From}
	}
	return out
}

func readings(all []figure.Reading) []release.Reading {
	if len(all) == 0 {
		return nil
	}
	out := make([]release.Reading, len(all))
	for i, r := range all {
		out[i] = reading(r)
	}
	return out
}

func reading(r figure.Reading) release.Reading {
	out := release.Reading{Unit: r.Unit.Symbol(), Datum: r.Datum.String(), MeasuredBy: r.Measure.String(), MeasuredAt: r.At.String(),
		FromMark: r.Mark, Straight: r.Straight, Approximate: r.Approximate, Stated: r.Stated}
	var exact bool
	if out.Value, out.Low, out.High, exact = decimals(r.Value, r.Lo, r.Hi, printedDigits); !exact {
		out.Exact = &release.Exact{Value: fraction(r.Value), Low: fraction(r.Lo), High: fraction(r.Hi)}
	}
	working := r.Unit.Dimension().Base()
	if value, lo, hi, err := r.In(working); err == nil {
		si := &release.SI{Unit: working.Symbol()}
		si.Value, si.Low, si.High, _ = decimals(value, lo, hi, printedDigits)
		out.SI = si
	}
	return out
}

// decimals rounds a value to nearest and its bounds outward, and says whether
// all are exact.
func decimals(value, lo, hi *big.Rat, digits int) (v, low, high *float64, exact bool) {
	v, first := rounded(value, digits, nearest)
	low, second := rounded(lo, digits, down)
	high, third := rounded(hi, digits, up)
	return v, low, high, first && second && third
}

func fraction(x *big.Rat) string {
	if x == nil {
		return ""
	}
	return x.RatString()
}
