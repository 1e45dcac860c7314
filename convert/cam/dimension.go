package cam

import (
	"fmt"
	"math"
)

// DimensionError says which dimension, clearance or angle cannot be, and why.
type DimensionError struct {
	Dimension string // in the trade's words: "nose radius"
	Why       string // completes the sentence, beginning with the value: "0.9 must be less than …"
}

func (e *DimensionError) Error() string { return e.Dimension + " " + e.Why }

// refuse returns the error about one value of a dimension.
func refuse(dimension string, value float64, why string, args ...any) error {
	return &DimensionError{dimension, fmt.Sprintf("%g ", value) + fmt.Sprintf(why, args...)}
}

// Dimensions outside these bounds are slips of the pen, and would let squares
// overflow or vanish.
const (
	smallest = 1e-6
	largest  = 1e6
)

// positive refuses what cannot be a length, a ratio or a speed.
func positive(dimension string, value float64) error {
	if !(value >= smallest && value <= largest) {
		return refuse(dimension, value, "must be a number between %f and %.0f", smallest, largest)
	}
	return nil
}

// span refuses what cannot be an angle taken up on one flank.
func span(dimension string, degrees float64) error {
	if !(degrees >= smallest && degrees < 180) {
		return refuse(dimension, degrees, "must be more than 0 and less than 180 camshaft degrees")
	}
	return nil
}

// firstError returns the first of the errors that is one.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
