package cam

import (
	"math"

	"fourmarks.example/convert/interval"
)

// Flank speeds beyond which two sets of events cannot belong to one cam, in
// inches at the valve per crank degree.
//
// Slowest is half of the slowest quieting ramp for which a print was found:
// 0.020 in taken up in 128 crank degrees (Vauxhall 20-60 h.p. shop manual,
// sec. 432, as its text layer reads).
//
// Fastest is common practice, no source: the speed of a flat follower per
// camshaft radian is the distance of the contact from the middle of its foot
// (from memory: Bevan, Theory of Machines), so that without a rocker this speed
// would need a foot more than 2 in across. Within some thou of the seat, where
// events are read, flanks are slower by far.
const (
	SlowestFlank = 0.020 / 128 / 2
	FastestFlank = 0.010
)

// FlankSpeed returns the mean speed of a flank between the places at which an
// event is read at two clearances, in length per crank degree: by how much the
// second clearance is larger, over the crank degrees by which the opening comes
// later or the closing earlier. Parts of either below 0 are left out. Nothing
// but such parts, or a shift of 0 alone, is an error: an event that moves the
// other way, or not at all, has no flank speed. The result is open to infinity
// where the shift may be 0.
func FlankSpeed(more, shift interval.Interval) (interval.Interval, error) {
	if err := firstError(notNegative("growth of clearance", more), notNegative("shift", shift)); err != nil {
		return interval.Empty(), err
	}
	if shift.Hi == 0 {
		return interval.Empty(), &DimensionError{"shift", "is 0: an event that does not move with the clearance gives no flank speed"}
	}
	return fromZero(more).Div(fromZero(shift)), nil
}

// PossibleShift returns the crank degrees by which one event can move, an
// opening later and a closing earlier, when the clearance at the valve grows by
// so many inches: between 0.1 and about 13 for each thou. It is wide, so that a
// shift outside it is a slip and not an unusual cam; the Profile of a known cam
// gives the shift itself.
func PossibleShift(more interval.Interval) (interval.Interval, error) {
	if err := notNegative("growth of clearance", more); err != nil {
		return interval.Empty(), err
	}
	return fromZero(more).Div(interval.Of(SlowestFlank, FastestFlank)), nil
}

// notNegative refuses an interval that is unbounded or wholly below zero.
func notNegative(what string, i interval.Interval) error {
	if !i.IsFinite() || i.Hi < 0 {
		return &DimensionError{what, i.String() + " must be bounded and not below 0"}
	}
	return nil
}

// fromZero leaves out what lies below zero.
func fromZero(i interval.Interval) interval.Interval {
	return i.Intersect(interval.Of(0, math.Inf(1)))
}
