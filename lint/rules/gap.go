package rules

import (
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// gap is what parts a valve from its tappet, or lifts it, while its events are
// read, in millimetres.
type gap struct {
	// net is the clearance, less the thinner gauge that is felt, or the lift.
	net interval.Interval
	// reach is the lift of the cam at the event: that of the valve and the
	// clearance that has to be taken up first.
	reach      interval.Interval
	isLift     bool
	measuredAt string
	engine     string         // cold, hot, or "" where not said
	figure     *schema.Figure // the clearance; nil for a lift
	felt       *schema.Figure // the thinner gauge; nil where there is none
	text       string
}

// gapOf returns the gap at which a set is read, for a valve; false when it is
// not given.
func gapOf(e *schema.Engine, set *schema.EventSet, valve string) (gap, bool) {
	if name, ok := strings.CutSuffix(set.ReadAt.Text, " clearance"); ok {
		return gapAt(clearanceSet(e, name), valve)
	}
	p, err := figure.Read(figure.ReadLength, set.ReadAt.Text)
	if err != nil || len(p.Readings) == 0 {
		return gap{}, false
	}
	r := p.Readings[0]
	g := gap{net: r.Interval(), reach: r.Interval(), isLift: true, measuredAt: r.At.String(), text: set.ReadAt.Text}
	if g.measuredAt != "tappet" {
		g.measuredAt = "valve"
		running, ok := gapAt(clearanceSet(e, "running"), valve)
		if !ok || running.measuredAt == "tappet" {
			running.net = interval.Of(0, mostClearance)
		}
		g.reach = g.net.Hull(g.net.Add(running.net))
	}
	return g, g.net.IsFinite()
}

// gapAt returns the gap of a set of clearances, for a valve.
func gapAt(c *schema.Clearance, valve string) (gap, bool) {
	if c == nil {
		return gap{}, false
	}
	f := c.Inlet
	if valve == "exhaust" {
		f = c.Exhaust
	}
	is, ok := intervalOf(f)
	g := gap{net: is, measuredAt: c.MeasuredAt.Text, engine: c.Engine.Text, figure: f, text: f.Text()}
	if felt, given := intervalOf(c.Felt); given {
		g.net, g.felt, g.text = is.Sub(felt), c.Felt, f.Text()+" felt with "+c.Felt.Text()
	}
	g.reach = g.net
	return g, ok && g.net.IsFinite()
}

// below reports whether one gap of an engine is surely narrower than another.
// Gaps of a cold and of a hot engine are not compared, and those measured at
// different places only where the rocker ratio is known.
func (g gap) below(o gap, e *schema.Engine) bool {
	ratio, known := rockerRatioOf(e)
	switch given := g.measuredAt != "" && o.measuredAt != ""; {
	case g.engine != o.engine && g.engine != "" && o.engine != "":
		return false
	case g.measuredAt == o.measuredAt, known && ratio.Contains(1), !known && !given:
	case !known || !given:
		return false
	default:
		g, o = g.atValve(ratio), o.atValve(ratio)
	}
	if g.isLift == o.isLift {
		return g.net.Hi < o.net.Lo
	}
	return g.reach.Hi < o.reach.Lo
}

// atValve is what a gap comes to at the valve.
func (g gap) atValve(ratio interval.Interval) gap {
	if g.measuredAt == "tappet" {
		g.net, g.reach, g.measuredAt = g.net.Mul(ratio), g.reach.Mul(ratio), "valve"
	}
	return g
}
