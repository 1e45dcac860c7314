package crank

import (
	"fmt"
	"math"
	"strconv"

	"fourmarks.example/convert/interval"
)

// Datum says from which dead centre, and in which direction, degrees or piston
// travel are counted.
type Datum int

const (
	BTDC Datum = iota + 1 // before top dead centre
	ATDC                  // after top dead centre
	BBDC                  // before bottom dead centre
	ABDC                  // after bottom dead centre
)

// String returns the datum as it is printed: "BTDC".
func (d Datum) String() string {
	if d.check() != nil {
		return "Datum(" + strconv.Itoa(int(d)) + ")"
	}
	return [...]string{"BTDC", "ATDC", "BBDC", "ABDC"}[d-BTDC]
}

func (d Datum) check() error {
	if d < BTDC || d > ABDC {
		return fmt.Errorf("%d is no datum: degrees are counted BTDC, ATDC, BBDC or ABDC", int(d))
	}
	return nil
}

// Top reports whether the datum counts from top dead centre.
func (d Datum) Top() bool { return d == BTDC || d == ATDC }

// sign is +1 when counting goes with the rotation, −1 against it.
func (d Datum) sign() float64 {
	if d == ATDC || d == ABDC {
		return 1
	}
	return -1
}

// Event is something that happens once in a cylinder's cycle.
type Event int

const (
	Ignition Event = iota + 1
	ExhaustOpens
	ExhaustLobeCentre // the exhaust valve at full lift
	InletOpens
	ExhaustCloses
	InletLobeCentre // the inlet valve at full lift
	InletCloses
)

// String returns the event in the words of the trade: "inlet opens".
func (e Event) String() string {
	if e.check() != nil {
		return "Event(" + strconv.Itoa(int(e)) + ")"
	}
	return events[e-Ignition].words
}

func (e Event) check() error {
	if e < Ignition || e > InletCloses {
		return fmt.Errorf("%d is no event of the four-stroke cycle", int(e))
	}
	return nil
}

// events gives each event the dead centre its degrees are customarily counted
// from, and the middle of the part of the circle it may lie in.
var events = [...]struct {
	words            string
	deadCentre, home float64
}{
	{"ignition", 0, 0},
	{"exhaust opens", 180, 180},
	{"exhaust lobe centre", 360, 270},
	{"inlet opens", 360, 360},
	{"exhaust closes", 360, 360},
	{"inlet lobe centre", 360, 450},
	{"inlet closes", 540, 540},
}

// At returns where on the circle an event lies that is printed as degrees from
// a datum. Any datum will do: inlet closing may be printed 43.5 ABDC, 223.5
// ATDC or 136.5 BTDC. Of the two dead centres a datum can mean, the one is
// taken that brings the event nearer to where it belongs (ignition about
// firing TDC, exhaust opening about the BDC that ends the power stroke, and so
// on). Negative degrees lie on the other side of the datum.
//
// Degrees must lie within ±360. A figure half a turn from where the event
// belongs could mean either dead centre and is an error.
func (e Event) At(degrees float64, d Datum) (float64, error) {
	base, err := e.base(degrees, d)
	if err != nil {
		return 0, err
	}
	return onCircle(base + d.sign()*degrees), nil
}

// AtInterval is At for an interval of degrees. The result is not cut at 0 or
// 720: ignition within a degree of firing TDC is [−1, 1]. Degrees so uncertain
// that they reach half a turn from where the event belongs are an error.
func (e Event) AtInterval(degrees interval.Interval, d Datum) (interval.Interval, error) {
	if err := members("the angle of "+e.String(), degrees, -turn, turn); err != nil {
		return interval.Empty(), err
	}
	base, err := e.base(degrees.Lo, d)
	if err != nil {
		return interval.Empty(), err
	}
	other, err := e.base(degrees.Hi, d)
	if err != nil {
		return interval.Empty(), err
	}
	if base != other {
		return interval.Empty(), fmt.Errorf("%v %v %v is too uncertain: two dead centres could be meant", e, degrees, d)
	}
	if d.sign() < 0 {
		return interval.Point(base).Sub(degrees), nil
	}
	return interval.Point(base).Add(degrees), nil
}

// base returns the dead centre that degrees from a datum are counted from: of
// those half a cycle apart, the one that brings the event nearest to where it
// belongs. It is not cut at 0 or 720.
func (e Event) base(degrees float64, d Datum) (float64, error) {
	if err := e.check(); err != nil {
		return 0, err
	}
	if err := d.check(); err != nil {
		return 0, err
	}
	if err := number("the angle of "+e.String(), degrees, -turn, turn); err != nil {
		return 0, err
	}
	base, home := 180.0, events[e-Ignition].home
	if d.Top() {
		base = 0
	}
	base += turn * math.Round((home-base-d.sign()*degrees)/turn)
	if math.Abs(base+d.sign()*degrees-home) == turn/2 {
		return 0, fmt.Errorf("%v %g %v lies half a turn from where it belongs: either of two dead centres could be meant", e, degrees, d)
	}
	return base, nil
}

// In returns where an event lies, given its angle on the circle, as degrees
// from the datum: it undoes At. The event's customary dead centre is used where
// the datum allows; else the dead centre before it for ATDC and ABDC and the one
// after it for BTDC and BBDC, so that the degrees are positive unless the event
// lies on the other side of the datum.
//
// An angle half a turn or more from where the event belongs is an error.
func (e Event) In(at float64, d Datum) (float64, error) {
	if err := e.check(); err != nil {
		return 0, err
	}
	if err := d.check(); err != nil {
		return 0, err
	}
	if err := angle("the angle of "+e.String(), at); err != nil {
		return 0, err
	}
	row := events[e-Ignition]
	if math.Abs(signed(at-row.home)) >= turn/2 {
		return 0, fmt.Errorf("%v cannot lie at %g on the circle: that is half a turn or more from where it belongs, %g", e, at, row.home)
	}
	base := row.deadCentre
	if ownTop := math.Mod(base, turn) == 0; ownTop != d.Top() {
		base -= d.sign() * 180
	}
	return d.sign() * signed(at-base), nil
}

// Customary returns degrees and datum as a sheet would print them: counted from
// the event's customary dead centre, never negative. Lobe centres count from
// overlap TDC.
func (e Event) Customary(at float64) (float64, Datum, error) {
	before, after := BTDC, ATDC
	if e == ExhaustOpens || e == InletCloses {
		before, after = BBDC, ABDC
	}
	degrees, err := e.In(at, after)
	switch {
	case err != nil:
		return 0, 0, err
	case degrees < 0:
		return -degrees, before, nil
	case degrees == 0 && (e == Ignition || e == ExhaustOpens || e == InletOpens):
		return 0, before, nil
	}
	return degrees, after, nil
}
