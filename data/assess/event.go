package assess

import (
	"math"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// fourEvents are the events that are read, in the order in which sheets print them.
var fourEvents = [...]crank.Event{crank.InletOpens, crank.InletCloses, crank.ExhaustOpens, crank.ExhaustCloses}

const (
	inlet   = "inlet"
	exhaust = "exhaust"
)

// valveOf is the valve of an event: inlet or exhaust.
func valveOf(e crank.Event) string {
	if e == crank.InletOpens || e == crank.InletCloses {
		return inlet
	}
	return exhaust
}

func isOpening(e crank.Event) bool { return e == crank.InletOpens || e == crank.ExhaustOpens }

// opposite is the same movement of the other valve.
func opposite(e crank.Event) crank.Event {
	return map[crank.Event]crank.Event{
		crank.InletOpens: crank.ExhaustOpens, crank.ExhaustOpens: crank.InletOpens,
		crank.InletCloses: crank.ExhaustCloses, crank.ExhaustCloses: crank.InletCloses,
	}[e]
}

// partner is the other movement of the same valve.
func partner(e crank.Event) crank.Event {
	return map[crank.Event]crank.Event{
		crank.InletOpens: crank.InletCloses, crank.InletCloses: crank.InletOpens,
		crank.ExhaustOpens: crank.ExhaustCloses, crank.ExhaustCloses: crank.ExhaustOpens,
	}[e]
}

// keyOf is the key of an event in a file.
func keyOf(e crank.Event) string { return strings.ReplaceAll(e.String(), " ", "_") }

// readOf returns the readings of an event on a cylinder.
func readOf(c *schema.ReadCylinder, e crank.Event) []*schema.Figure {
	switch e {
	case crank.InletOpens:
		return c.InletOpens
	case crank.InletCloses:
		return c.InletCloses
	case crank.ExhaustOpens:
		return c.ExhaustOpens
	}
	return c.ExhaustCloses
}

// printedOf returns the figure of an event in a set.
func printedOf(s *schema.EventSet, e crank.Event) *schema.Figure {
	switch e {
	case crank.InletOpens:
		return s.InletOpens
	case crank.InletCloses:
		return s.InletCloses
	case crank.ExhaustOpens:
		return s.ExhaustOpens
	}
	return s.ExhaustCloses
}

// customaryDatum is the datum that a sheet counts an event from.
func customaryDatum(e crank.Event) figure.Datum {
	switch e {
	case crank.InletOpens:
		return figure.BTDC
	case crank.InletCloses:
		return figure.ABDC
	case crank.ExhaustOpens:
		return figure.BBDC
	}
	return figure.ATDC
}

// oneTurn is what the marks of a flywheel repeat after, in degrees.
const oneTurn = 360.0

// nearest returns an angle less as many whole turns as bring it within half a
// turn of zero, in (−180, 180].
func nearest(deg float64) float64 {
	deg = math.Mod(deg, oneTurn)
	switch {
	case deg > oneTurn/2:
		return deg - oneTurn
	case deg <= -oneTurn/2:
		return deg + oneTurn
	}
	return deg
}

// placed writes degrees after top dead centre as a sheet would print the event.
func placed(e crank.Event, after float64) string {
	from, before, behind := 0.0, "BTDC", "ATDC"
	if e == crank.InletCloses || e == crank.ExhaustOpens {
		from, before, behind = oneTurn/2, "BBDC", "ABDC"
	}
	deg := nearest(after - from)
	if deg < 0 || deg == 0 && isOpening(e) {
		return degrees(-deg) + " " + before
	}
	return degrees(deg) + " " + behind
}
