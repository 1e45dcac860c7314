package figure

import (
	"math"

	"fourmarks.example/convert/interval"
)

// side is how a datum counts: from which dead centre, and which way.
func (d Datum) side() (deadCentre, sign float64) {
	switch d {
	case BTDC:
		return 0, -1
	case BBDC:
		return 180, -1
	case ABDC, BDC:
		return 180, 1
	}
	return 0, 1
}

// Recount turns angles counted from another datum into angles counted from d:
// 223.5 ATDC is 43.5 ABDC, 5 ATDC is −5 BTDC. Of the turns of the crank that
// could be meant, the one nearest the dead centre is taken. Angles without a
// datum ("nil") lie at the dead centre that d counts from.
func (d Datum) Recount(is interval.Interval, from Datum) interval.Interval {
	if d == from || from == NoDatum || is.IsEmpty() {
		return is
	}
	deadCentre, sign := from.side()
	own, ownSign := d.side()
	at := signed(is, sign).Add(interval.Point(deadCentre - own))
	turns := math.Round(at.Mid() / 360)
	return signed(at.Sub(interval.Point(360*turns)), ownSign)
}

func signed(is interval.Interval, sign float64) interval.Interval {
	if sign < 0 {
		return is.Neg()
	}
	return is
}
