package crank

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"fourmarks.example/convert/interval"
)

// Kind tells the inlet valve of a cylinder from its exhaust valve.
type Kind int

const (
	Inlet Kind = iota + 1
	Exhaust
)

// String returns "inlet" or "exhaust".
func (k Kind) String() string {
	switch k {
	case Inlet:
		return "inlet"
	case Exhaust:
		return "exhaust"
	}
	return "Kind(" + strconv.Itoa(int(k)) + ")"
}

// Valve names a valve of an engine with one inlet and one exhaust valve a
// cylinder (or several that open together).
type Valve struct {
	Cylinder int
	Kind     Kind
}

// String returns "inlet 1".
func (v Valve) String() string { return v.Kind.String() + " " + strconv.Itoa(v.Cylinder) }

// Margin returns how safely a valve that opens and closes at the given angles is
// on the base circle of its cam at another: the crank degrees to the nearer of
// its opening and closing. It is negative while the valve is open, 0 at the
// events, and at most half of what the duration leaves of 720°. All three are
// angles on the same circle.
//
// The events are those read at some clearance. A quieting ramp begins before the
// opening and ends after the closing read, by up to some tens of degrees.
func Margin(opens, closes, at float64) (float64, error) {
	duration, err := Duration(opens, closes)
	if err := errors.Join(err, angle("the crank angle", at)); err != nil {
		return 0, err
	}
	open := onCircle(at - opens) // how long ago the valve opened
	if open <= duration {
		return math.Max(0-open, open-duration), nil
	}
	return math.Min(open-duration, cycle-open), nil
}

// BaseCircle returns for how many crank degrees a valve has been shut at an
// angle, and for how many it stays shut: how far an engine may be turned back or
// on before its events. Opening and closing are known within limits, as prints
// give them; all three are angles on the same circle. Both results are empty
// while the valve is open.
//
// The least of the two is Margin, which see for what quieting ramps do to it.
func BaseCircle(opens, closes interval.Interval, at float64) (since, until interval.Interval, err error) {
	shut := interval.Empty()
	if err := errors.Join(members("opening", opens, -maxAngle, maxAngle), members("closing", closes, -maxAngle, maxAngle)); err != nil {
		return shut, shut, err
	}
	margin, err := Margin(opens.Mid(), closes.Mid(), at)
	if err != nil || margin < 0 {
		return shut, shut, err
	}
	since = interval.Point(onCircle(at - closes.Mid())).Add(interval.Point(closes.Mid()).Sub(closes))
	until = interval.Point(onCircle(opens.Mid() - at)).Add(opens.Sub(interval.Point(opens.Mid())))
	return since, until, nil
}

// ValveMargin is a valve with its margin in crank degrees.
type ValveMargin struct {
	Valve
	Margin float64
}

// Margins returns the margin of every valve at a position of the engine: inlet
// and exhaust of No. 1, of No. 2, and so on. Every cylinder has the same events.
func (f Firing) Margins(e Events, position float64) ([]ValveMargin, error) {
	if err := errors.Join(f.check(), angle("the position of the engine", position)); err != nil {
		return nil, err
	}
	margins := make([]ValveMargin, 0, 2*len(f))
	for i, fires := range f {
		at := onCircle(position - fires)
		inlet, err := Margin(e.InletOpens, e.InletCloses, at)
		if err != nil {
			return nil, fmt.Errorf("inlet: %w", err)
		}
		exhaust, err := Margin(e.ExhaustOpens, e.ExhaustCloses, at)
		if err != nil {
			return nil, fmt.Errorf("exhaust: %w", err)
		}
		margins = append(margins, ValveMargin{Valve{i + 1, Inlet}, inlet}, ValveMargin{Valve{i + 1, Exhaust}, exhaust})
	}
	return margins, nil
}
