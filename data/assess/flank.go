package assess

import (
	"fmt"
	"math"

	"fourmarks.example/convert/crank"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// flank says how the events of a valve move with its clearance.
type flank struct {
	// shift returns by how many crank degrees opening and closing come later when
	// the clearance grows by so many millimetres; nil where neither the cam nor
	// figures at two clearances tell.
	shift func(more float64) (opens, closes float64)
	// clearance is what the figures hold at, in millimetres, least and most by
	// how much it may change.
	clearance, least, most float64
	basis                  string
}

func (f flank) known() bool { return f.shift != nil }

// from is the flank counted from a clearance that is wider.
func (f flank) from(more float64) flank {
	if !f.known() || more == 0 {
		return f
	}
	whole := f.shift
	f.clearance, f.least, f.most = f.clearance+more, f.least-more, f.most-more
	f.shift = func(further float64) (opens, closes float64) {
		opens, closes = whole(more + further)
		before, beforeCloses := whole(more)
		return opens - before, closes - beforeCloses
	}
	return f
}

// flankOf finds how the events of a valve move: by its cam's profile, or from
// the figures at two clearances.
func (s *setting) flankOf(valve string) flank {
	of, known := s.said(valve)
	if !known {
		return flank{}
	}
	at := of.MM.Mid()
	if f, ok := s.byCam(valve, of, at); ok {
		return f
	}
	return s.byTwoSets(valve, of, at)
}

// byCam takes the shift from the profile of the cam, which reaches from no
// clearance to nine tenths of full lift.
func (s *setting) byCam(valve string, of rules.Clearance, at float64) (flank, bool) {
	profile, err := rules.Cam(s.engine, valve, of.MeasuredAt)
	if err != nil {
		return flank{}, false
	}
	is, err := profile.Events(at)
	if err != nil {
		return flank{}, false
	}
	const least = 0.01 // mm; nearer to none the quieting ramp says more than the flank
	f := flank{clearance: at, least: math.Min(least-at, 0), most: math.Max(0.9*profile.FullLift()-at, 0), basis: "the cam's profile"}
	f.shift = func(more float64) (opens, closes float64) {
		moved, err := profile.Events(at + math.Min(math.Max(more, f.least), f.most))
		if err != nil {
			return 0, 0
		}
		return 2 * (moved.Opens.Angle - is.Opens.Angle), 2 * (moved.Closes.Angle - is.Closes.Angle)
	}
	return f, true
}

// byTwoSets takes the shift from the figures at another clearance, in proportion.
func (s *setting) byTwoSets(valve string, of rules.Clearance, at float64) flank {
	opening, closing := crank.InletOpens, crank.InletCloses
	if valve == exhaust {
		opening, closing = crank.ExhaustOpens, crank.ExhaustCloses
	}
	for _, other := range s.engine.Events {
		c, known := rules.ReadAt(s.engine, other.Value, valve)
		if !known || c.IsLift != of.IsLift || c.MeasuredAt != of.MeasuredAt || c.Engine != of.Engine || c.MM.Meets(of.MM) {
			continue
		}
		opens, ok := s.between(other, opening)
		closes, okay := s.between(other, closing)
		grows := c.MM.Mid() - at
		if !ok || !okay || opens*grows <= 0 || closes*grows >= 0 {
			continue
		}
		return flank{
			clearance: at, least: -at, most: math.Inf(1), basis: fmt.Sprintf("the figures at %s and at %s", of.Printed, c.Printed),
			shift: func(more float64) (float64, float64) {
				return opens * math.Max(more, -at) / grows, closes * math.Max(more, -at) / grows
			},
		}
	}
	return flank{}
}

// between is by how much later an event of No. 1 is in another set.
func (s *setting) between(other schema.Named[*schema.EventSet], e crank.Event) (float64, bool) {
	from, ok := s.figure(target{1, e})
	to, okay := s.printed(other, e)
	return nearest(to.after - from.after), ok && okay
}
