package sheet

import (
	"math"
	"math/big"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema/notation"
)

// mostPlaces marks an interval so narrow that it is a point.
const mostPlaces = 9

// placesOf is to how many places an interval is worth printing: the last is at
// most a fifth of its width.
func placesOf(width float64) int {
	const parts = 5
	places := 0
	for step := 1.0; step > width/parts && places < mostPlaces; places++ {
		step /= 10
	}
	return places
}

// bounds writes an interval rounded outward to the places it is worth: "112 to
// 113° ATDC"; one number where it is a point.
func bounds(is interval.Interval, symbol string) string {
	low, high := is.Lo, is.Hi
	if places := placesOf(is.Width()); places < mostPlaces {
		scale := math.Pow10(places)
		low, high = math.Floor(low*scale)/scale, math.Ceil(high*scale)/scale
	}
	return report.Bounds(lint.MustBe{Low: ended(low), High: ended(high), Unit: symbol})
}

// ended is an end of an interval; nil where it is open.
func ended(x float64) *float64 {
	if math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Nominal is a conversion's value to the places that its interval is worth, with
// the unit; the interval where nothing says which value of it is meant.
func (c Conversion) Nominal() string {
	switch {
	case c.Low == nil || c.High == nil || c.Unit == "teeth" || c.To == string(notation.Degrees):
		return c.Text
	case c.Value == nil:
		return bounds(interval.Of(*c.Low, *c.High), c.Unit)
	}
	places := placesOf(*c.High - *c.Low)
	if places == mostPlaces {
		return c.Text
	}
	unit := c.Unit
	if unit != "°" {
		unit = " " + unit
	}
	return convert.Fixed(new(big.Rat).SetFloat64(*c.Value), places) + unit
}

// Between is what the prints allow of a conversion, without the unit; empty where
// that is one value, or where Nominal says it.
func (c Conversion) Between() string {
	if c.Value == nil || c.Low == nil || c.High == nil || placesOf(*c.High-*c.Low) == mostPlaces {
		return ""
	}
	return bounds(interval.Of(*c.Low, *c.High), "")
}
