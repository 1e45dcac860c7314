package cam

import (
	"math"

	"fourmarks.example/convert/interval"
)

// Event is one opening or closing of the valve.
type Event struct {
	Angle float64 // camshaft degrees from full lift; an opening is negative
	Speed float64 // flank speed there: lift per camshaft degree, never negative
}

// Crank returns the angle in crank degrees from full lift.
func (e Event) Crank() float64 { return 2 * e.Angle }

// CrankPerClearance returns by how many crank degrees the event comes later for
// each unit of length by which the clearance grows: positive for an opening,
// negative for a closing. Where the flank speed is 0, as at the foot, the
// smallest clearance moves the event without bound: that is an error.
func (e Event) CrankPerClearance() (float64, error) {
	later := math.Copysign(2/e.Speed, -e.Angle)
	if !isFinite(later) {
		return 0, refuse("flank speed", e.Speed, "gives the clearance no bounded effect on an event at %g camshaft degrees from full lift", e.Angle)
	}
	return later, nil
}

// Events are the opening and closing of the valve at one clearance.
type Events struct{ Opens, Closes Event }

// Duration returns the crank degrees for which the valve is open.
func (e Events) Duration() float64 { return 2 * (e.Closes.Angle - e.Opens.Angle) }

// LobeCentre returns where the lobe centre would be read at this clearance,
// midway between opening and closing, in crank degrees after full lift. It is 0
// for a symmetrical cam at every clearance.
func (e Events) LobeCentre() float64 { return e.Opens.Angle + e.Closes.Angle }

// Events returns the opening and closing at a clearance measured where the
// profile's lift is: the valve is open while the lift is larger than the
// clearance. Angles are good to 1e-9 degree. A clearance that is negative, or
// not less than full lift, is an error.
//
// At no clearance the events are the feet of the flanks and their Speed is the
// jump of velocity there: 0 unless a ramp begins without blending.
func (p Profile) Events(clearance float64) (Events, error) {
	if err := p.opens(clearance); err != nil {
		return Events{}, err
	}
	opens, openingSpeed := p.opening.reach(clearance)
	closes, closingSpeed := p.closing.reach(clearance)
	return Events{Event{-opens, openingSpeed}, Event{closes, closingSpeed}}, nil
}

// opens refuses a clearance at which there are no events.
func (p Profile) opens(clearance float64) error {
	switch {
	case !(clearance >= 0):
		return refuse("clearance", clearance, "must be 0 or more")
	case !(clearance < p.FullLift()):
		return refuse("clearance", clearance, "must be less than full lift, %g, or the valve never opens", p.FullLift())
	}
	return nil
}

// EventBounds hold every opening and closing that a range of clearances allows,
// in camshaft degrees from full lift.
type EventBounds struct{ Opens, Closes interval.Interval }

// Duration returns the crank degrees for which the valve may be open.
func (b EventBounds) Duration() interval.Interval {
	return b.Closes.Sub(b.Opens).Mul(interval.Point(2))
}

// EventsWithin returns the bounds of the events for every clearance of an
// interval: the more clearance, the later the opening and the earlier the
// closing, so that the ends decide. Bounds are rounded outward to a billionth
// of a degree, far more than the arithmetic of two machines differs by.
// Clearances below zero are left out; the largest must be less than full lift.
//
// For a clearance at the valve and a profile at the tappet divide the interval
// by the rocker ratio, or use Profile.AtValve.
func (p Profile) EventsWithin(clearance interval.Interval) (EventBounds, error) {
	clearance = fromZero(clearance)
	if clearance.IsEmpty() {
		return EventBounds{}, &DimensionError{"clearance", "is empty or below zero: no clearance is possible"}
	}
	if err := p.opens(clearance.Hi); err != nil {
		return EventBounds{}, err
	}
	return EventBounds{
		Opens:  p.opening.reachWithin(clearance).Neg(),
		Closes: p.closing.reachWithin(clearance),
	}, nil
}

// liftError bounds the rounding of a computed lift, relative to full lift.
const liftError = 1e-14

// reachWithin returns how far from full lift the lift falls to a member of an
// interval that lies between 0 and full lift.
func (f flank) reachWithin(lift interval.Interval) interval.Interval {
	lift = lift.Grow(liftError * f.full()).Intersect(interval.Of(0, f.full()))
	outer, _ := f.reach(lift.Lo)
	inner := 0.0
	if lift.Hi < f.full() {
		inner, _ = f.reach(lift.Hi)
	}
	const grid = 1e9 // steps in a degree
	return interval.Of(math.Max(0, (math.Floor(inner*grid)-1)/grid), (math.Ceil(outer*grid)+1)/grid)
}

// ClearanceFor returns the clearance, where the profile's lift is measured,
// that gives a duration in crank degrees. It is the inverse of the duration of
// Events. A duration longer than that without clearance, or shorter than the
// dwell at full lift, is an error. On a profile that dwells at a lift between,
// durations either side of the dwell all come from that lift.
func (p Profile) ClearanceFor(duration float64) (float64, error) {
	full := p.FullLift()
	whole, err := p.Events(0)
	if err != nil {
		return 0, err
	}
	if longest := whole.Duration(); !(duration <= longest) {
		return 0, refuse("duration", duration, "must be no more than %g crank degrees, that of this cam without clearance", longest)
	}
	if shortest := 2 * (p.opening.dwell() + p.closing.dwell()); !(duration > shortest) {
		return 0, refuse("duration", duration, "must be more than %g crank degrees, for which this cam stays at full lift", shortest)
	}
	// A symmetrical cam lifts by the clearance a quarter of the duration either
	// side of full lift. So close to full lift that rounding hides the fall, the
	// search has to tell.
	side := duration / 4
	if lift := p.opening.at(side).Lift; lift == p.closing.at(side).Lift && lift < full {
		return lift, nil
	}
	tooLong := func(clearance float64) float64 {
		opens, _ := p.opening.reach(clearance)
		closes, _ := p.closing.reach(clearance)
		return 2*(opens+closes) - duration
	}
	return root(0, math.Nextafter(full, 0), full*1e-15, tooLong), nil
}
