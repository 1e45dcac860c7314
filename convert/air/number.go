package air

import (
	"fmt"

	"fourmarks.example/convert/interval"
)

const (
	minSize, maxSize = 1e-9, 1e12 // of a length or a volume, in its unit
	maxCylinders     = 64
)

// number refuses what is not a number between lo and hi.
func number(what string, v, lo, hi float64) error {
	if !(lo <= v && v <= hi) {
		return fmt.Errorf("%s is %g: it must lie between %g and %g", what, v, lo, hi)
	}
	return nil
}

// members refuses an interval that is empty or has members outside lo to hi.
func members(what string, v interval.Interval, lo, hi float64) error {
	if v.IsEmpty() {
		return fmt.Errorf("%s: no value is left in the interval", what)
	}
	if !(lo <= v.Lo && v.Hi <= hi) {
		return fmt.Errorf("%s is %v: it must lie between %g and %g", what, v, lo, hi)
	}
	return nil
}

func checkCylinders(n int) error {
	if n < 1 || n > maxCylinders {
		return fmt.Errorf("an engine of %d cylinders: it must have between 1 and %d", n, maxCylinders)
	}
	return nil
}
