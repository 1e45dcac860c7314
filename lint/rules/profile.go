package rules

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

	"fourmarks.example/convert/cam"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// clearanceOf is the net clearance at which an event set is read, for a valve:
// a variable of a clearance set, or the lift that the set names.
func clearanceOf(n *relation.Network, set *schema.EventSet, valve string) (of relation.Expression, measuredAt string, ok bool) {
	at, ok := gapOf(n.Engine, set, valve)
	switch name, _ := strings.CutSuffix(set.ReadAt.Text, " clearance"); {
	case !ok:
		return nil, "", false
	case at.isLift:
		return relation.Constant(set.ReadAt.Text, at.reach), at.measuredAt, true
	case at.felt == nil:
		return n.Quantity("clearances."+name+"."+valve, name+" clearance, "+valve, figure.ReadLength), at.measuredAt, true
	default:
		return relation.Difference(n.Quantity("clearances."+name+"."+valve, name+" clearance, "+valve, figure.ReadLength),
			n.Quantity("clearances."+name+".felt", "gauge felt", figure.ReadLength)), at.measuredAt, true
	}
}

// byProfile is a function of the clearance that a profile gives, for a
// relation, over all the lifts that the rounding of the drawing allows. inverse
// may be nil.
func byProfile(name string, p valveCam, clearance relation.Expression,
	what func(gap interval.Interval) (interval.Interval, error), inverse func(interval.Interval) interval.Interval) relation.Expression {
	forward := lastOf(func(of interval.Interval) interval.Interval {
		gap := of.Grow(p.drawn).Intersect(interval.Of(0, p.FullLift()*0.999))
		if gap.IsEmpty() || !of.IsFinite() {
			return interval.Whole()
		}
		is, err := what(gap)
		if err != nil {
			return interval.Whole()
		}
		return is
	})
	if inverse == nil {
		inverse = func(interval.Interval) interval.Interval { return interval.Whole() }
	}
	back := lastOf(inverse)
	return relation.Function(name,
		func(args []interval.Interval) interval.Interval { return forward(args[0]) },
		func(_ int, want interval.Interval, _ []interval.Interval) interval.Interval {
			if !want.IsFinite() {
				return interval.Whole()
			}
			return back(want)
		}, clearance)
}

// lastOf remembers the last answer of a function: propagation asks again and
// again for the same clearance.
func lastOf(f func(interval.Interval) interval.Interval) func(interval.Interval) interval.Interval {
	var asked, answer interval.Interval
	known := false
	return func(a interval.Interval) interval.Interval {
		if !known || a != asked {
			asked, answer, known = a, f(a), true
		}
		return answer
	}
}

// durationOf is the duration that a profile gives at a clearance.
func durationOf(p valveCam) func(interval.Interval) (interval.Interval, error) {
	return func(gap interval.Interval) (interval.Interval, error) {
		b, err := p.EventsWithin(gap)
		return b.Duration(), err
	}
}

// clearanceFor inverts the duration of a profile.
func clearanceFor(p valveCam) func(interval.Interval) interval.Interval {
	return func(want interval.Interval) interval.Interval {
		wide, err := p.ClearanceFor(want.Lo)
		narrow, err2 := p.ClearanceFor(want.Hi)
		if err != nil || err2 != nil {
			return interval.Whole()
		}
		return interval.Of(narrow, wide).Grow(p.drawn)
	}
}

var camProfile = &lint.Rule{
	Name:  "events/cam-profile",
	Level: lint.Error,
	Title: "Events follow from the cam's profile",
	Checks: "Where a cam's profile is given, the duration of its valve at each clearance follows from it, and so does the angle of full lift, which is one and the same for every clearance. " +
		"The full lift printed is the profile's, less at most the clearance.",
	Why: "A profile ties the events at the checking clearance to those at the running clearance, which nobody can read by feel. " +
		"A figure that breaks the tie is misread, or of another camshaft.",
	Formula: "180 + opening + closing = 2 × (closing − opening angle of the profile at the clearance); full lift = middle of the events, corrected for unequal flanks",
	Basis: "Geometry of the cam; three-arc and tangent cams as in Khurmi & Gupta, Theory of Machines, ch. 20 (from memory). " +
		"Lifts are allowed what the rounding of the drawing makes, at least a thou.",
	Accepting: "Accept it for a cam measured on a worn engine.",
	Bad: `
clearances:
  checking: {measured_at: tappet, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  checking: {read_at: checking clearance, inlet_opens: 13 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
cams:
  inlet: {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 2.250 in, nose_radius: 0.170 in, lift: 0.290 in}
`,
	Good: `
clearances:
  checking: {measured_at: tappet, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
cams:
  inlet: {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 2.250 in, nose_radius: 0.170 in, lift: 0.290 in}
`,
	Relations: func(n *relation.Network) {
		eachEventSet(n, func(v valveEvents) {
			set, _ := n.Engine.Events.Get(strings.TrimPrefix(v.path, "events."))
			for _, valve := range v.valves() {
				clearance, at, ok := clearanceOf(n, set, valve.name)
				if !ok {
					continue
				}
				p, err := valveProfile(n, valve.name, at)
				if err != nil {
					continue
				}
				n.Equal(v.path, relation.Sum(valve.stroke, valve.opens, valve.closes),
					byProfile(valve.name+" duration by its cam at", p, clearance, durationOf(p), clearanceFor(p)))
				full := n.Angle("cams."+valve.name+"."+fullLiftKey(cylinderOf(set)), valve.name+" full lift", valve.fullLift)
				n.Equal(v.path, relation.Product(relation.Number(2), full),
					relation.Sum(valve.middle, byProfile(valve.name+" flanks differ by", p, clearance, unequalFlanks(valve.name, p), nil)))
			}
		})
	},
}

// openValve is what the events of one valve say of its cam.
type openValve struct {
	name          string
	opens, closes *relation.Variable
	// stroke is from the dead centre that opening is counted from to that of
	// closing, middle twice the middle of the events, counted as full lift is.
	stroke, middle relation.Expression
	fullLift       figure.Datum
}

// valves returns the inlet, whose full lift is counted after, and the exhaust,
// whose full lift is counted before the top dead centre of overlap.
func (v valveEvents) valves() []openValve {
	return []openValve{
		{"inlet", v.inletOpens, v.inletCloses, v.down, relation.Difference(relation.Sum(v.down, v.inletCloses), v.inletOpens), figure.ATDC},
		{"exhaust", v.exhaustOpens, v.exhaustCloses, v.up, relation.Difference(relation.Sum(v.up, v.exhaustOpens), v.exhaustCloses), figure.BTDC},
	}
}

// unequalFlanks is what is to be added to twice the middle of the events for
// twice the full lift: nothing for a cam with equal flanks, else twice the sum
// of the profile's opening and closing angles. The sum is taken at the ends and
// in the middle of the range of clearances.
func unequalFlanks(valve string, p valveCam) func(interval.Interval) (interval.Interval, error) {
	return func(gap interval.Interval) (interval.Interval, error) {
		all := interval.Empty()
		for _, at := range []float64{gap.Lo, gap.Mid(), gap.Hi} {
			e, err := p.Events(at)
			if err != nil {
				return interval.Empty(), err
			}
			sum := interval.Point(2 * (e.Opens.Angle + e.Closes.Angle))
			if p.uneven > 0 {
				sum = sum.Grow(2 * p.uneven * (1/e.Opens.Speed + 1/e.Closes.Speed))
			}
			all = all.Hull(sum)
		}
		all = all.Grow(1e-6)
		if valve == "inlet" {
			return all.Neg(), nil
		}
		return all, nil
	}
}

// fullLiftKey names the crank position of a cylinder's full lift, which no file
// prints, as a figure of the cam.
func fullLiftKey(cylinder int) string {
	if cylinder == 1 {
		return "full_lift_at"
	}
	return fmt.Sprintf("full_lift_at_of_cylinder_%d", cylinder)
}

var fullLift = &lint.Rule{
	Name:      "events/full-lift",
	Level:     lint.Warning,
	Title:     "The full lift printed is the profile's",
	Checks:    "The valve lift printed is the full lift of the cam's profile, taken to the valve through the rocker ratio, less at most the clearance.",
	Why:       "Lift is the one figure of a cam that can be measured in a minute. When it differs, the profile belongs to another camshaft.",
	Formula:   "lift at valve = lift at tappet × rocker ratio, less the clearance where the source takes it off",
	Basis:     "Geometry.",
	Accepting: "Accept it for a worn cam, measured.",
	Bad: `
lifts: {lift_at: tappet, inlet: 0.390 in, from: sheet p. 2}
cams:
  inlet: {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 2.250 in, nose_radius: 0.170 in, lift: 0.290 in}
`,
	Good: `
lifts: {lift_at: tappet, inlet: 0.290 in, from: sheet p. 2}
cams:
  inlet: {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 2.250 in, nose_radius: 0.170 in, lift: 0.290 in}
`,
	Engine: func(p *lint.Pass) {
		l := p.Engine.Lifts
		if l == nil {
			return
		}
		at := cmp.Or(l.LiftAt.Text, "valve")
		for valve, f := range map[string]*schema.Figure{"inlet": l.Inlet, "exhaust": l.Exhaust} {
			printed, ok := intervalOf(f)
			profile, err := valveProfile(p.Relations, valve, at)
			if !ok || err != nil {
				continue
			}
			least := profile.full.Sub(widestGap(p.Engine, valve, at))
			if !printed.Meets(least.Hull(profile.full)) {
				p.ReportFigure(f, "the %s lift is printed %s, and the cam's profile lifts the %s %s; one of the two is of another camshaft", valve, f.Text(), at, inUnitOf(profile.full, f))
			}
		}
	},
}

// widestGap is the widest clearance by which a lift may be printed less than the
// cam's: that of the valve's clearances at the place, or, where none is given
// there, any that a valve may have.
func widestGap(e *schema.Engine, valve, at string) interval.Interval {
	widest := interval.Empty()
	for _, c := range e.Clearances {
		if g, ok := gapAt(c.Value, valve); ok && g.measuredAt == at {
			widest = widest.Hull(g.net)
		}
	}
	if widest.IsEmpty() {
		return interval.Point(mostClearance)
	}
	return widest
}

var badProfile = &lint.Rule{
	Name:      "events/profile-impossible",
	Level:     lint.Error,
	Title:     "A cam that cannot be made",
	Checks:    "The dimensions of a cam make a closed, smooth profile on which its follower can run.",
	Why:       "One misread radius makes a cam that no engine has. Nothing can be computed from it.",
	Basis:     "Geometry.",
	Accepting: "There is nothing to accept: correct the dimension, or leave the profile out.",
	Bad: `
cams:
  inlet: {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 0.250 in, nose_radius: 0.170 in, lift: 0.290 in}
`,
	Good: `
cams:
  inlet: {from: sheet p. 2, lift_at: tappet, profile: three-arc, follower: flat, base_radius: 0.500 in, flank_radius: 2.250 in, nose_radius: 0.170 in, lift: 0.290 in}
`,
	Engine: func(p *lint.Pass) {
		for _, c := range p.Engine.Cams {
			if _, err := profileOf(c.Value); err != nil && !errors.Is(err, errNoProfile) {
				p.Report(c.Key, "the %s cam cannot be: %s (lengths in millimetres)", c.Name, err).About("cams." + c.Name)
			}
		}
	},
}

// twoReadings calls do with every event that two sets give for one cylinder, read
// at two gaps of which the first is the narrower.
func twoReadings(e *schema.Engine, do func(v valveEvent, narrow, wide schema.Named[*schema.EventSet], less, more gap)) {
	for _, a := range e.Events {
		for _, b := range e.Events {
			if cylinderOf(a.Value) != cylinderOf(b.Value) {
				continue
			}
			for _, v := range fourEvents {
				less, ok := gapOf(e, a.Value, v.valve)
				more, okay := gapOf(e, b.Value, v.valve)
				if ok && okay && less.below(more, e) {
					do(v, a, b, less, more)
				}
			}
		}
	}
}

func cylinderOf(set *schema.EventSet) int {
	if n, ok := set.Cylinder.Count(); ok {
		return n
	}
	return 1
}

var twoClearances = &lint.Rule{
	Name:      "events/two-clearances",
	Level:     lint.Error,
	Title:     "More clearance opens later and closes earlier",
	Checks:    "Of two sets of events read at two clearances, the one at the wider clearance opens no earlier and closes no later. Each valve is looked at by its own clearance, less the gauge it is felt with; clearances of a cold and of a hot engine, or measured at different places of unequal rockers, are not compared.",
	Why:       "When it is the other way round the two sets are interchanged, and the engine would be timed at the wrong clearance.",
	Basis:     "Geometry of the cam.",
	Accepting: "Accept it when the two sets are of different camshafts; better, make a variant.",
	Bad: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: sheet p. 1}
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  running: {read_at: running clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
  checking: {read_at: checking clearance, inlet_opens: 12 BTDC, from: sheet p. 1}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: sheet p. 1}
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  running: {read_at: running clearance, inlet_opens: 12 BTDC, from: sheet p. 1}
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
`,
	Relations: func(n *relation.Network) {
		twoReadings(n.Engine, func(v valveEvent, narrow, wide schema.Named[*schema.EventSet], _, _ gap) {
			at := func(set string) *relation.Variable { return n.Angle("events."+set+"."+v.key, v.title, v.datum) }
			n.AtMost("events."+wide.Name, at(wide.Name), at(narrow.Name))
		})
	},
}

var flankSpeed = &lint.Rule{
	Name:  "events/flank-speed",
	Level: lint.Warning,
	Title: "Two clearances imply a flank that a tappet can follow",
	Checks: "Between the events at two clearances the valve moves by the difference of the clearances. The crank degrees between them lie between what the fastest flank and the slowest ramp allow: " +
		"about 0.1 and 13 for each thou at the valve. So do the crank degrees printed for a ramp to take up a clearance.",
	Why: "A shift far too small or too large means that one of the clearances is in the wrong unit, or that the sets are of different camshafts.",
	Basis: "Slowest: half of 0.020 in taken up in 128 crank degrees (Vauxhall 20-60 shop manual, sec. 432, as its text layer reads). Fastest: a flat follower's contact would leave a 2 in foot " +
		"(" + commonPractice + ").",
	Accepting: "Accept it when both sets were measured and agree with the cam.",
	Bad: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: sheet p. 1}
  checking: {measured_at: valve, engine: cold, inlet: 6 thou, exhaust: 6 thou, from: sheet p. 1}
events:
  running: {read_at: running clearance, inlet_opens: 52 BTDC, from: sheet p. 1}
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
`,
	Good: `
clearances:
  running: {measured_at: valve, engine: cold, inlet: 4 thou, exhaust: 4 thou, from: sheet p. 1}
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  running: {read_at: running clearance, inlet_opens: 12 BTDC, from: sheet p. 1}
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		twoReadings(p.Engine, func(v valveEvent, narrow, wide schema.Named[*schema.EventSet], less, more gap) {
			from, to := v.of(narrow.Value), v.of(wide.Value)
			early, given := angleOf(p.Engine, from, v.datum)
			late, both := angleOf(p.Engine, to, v.datum)
			if !given || !both || early.Hi < late.Lo {
				return // moving the wrong way is the matter of events/two-clearances
			}
			shift := early.Sub(late)
			if possible, ok := flankAllows(p.Engine, less, more); ok && !shift.Meets(possible) {
				p.ReportFigure(to, "%s moves from %s to %s, %s, between %s and %s; a flank can make that %.1f° to %s, so a clearance may be in the wrong unit, or the sets of two camshafts",
					v.title, from.Text(), to.Text(), wholeDegrees(shift.Mid()), less.text, more.text, possible.Lo, wholeDegrees(possible.Hi)).
					Involving(from).See(from.At, "%s: %s", v.title, from.Text())
			}
		})
		for _, c := range p.Engine.Clearances {
			for valve, f := range map[string]*schema.Figure{"inlet": c.Value.InletTakenUp, "exhaust": c.Value.ExhaustTakenUp} {
				over, ok := intervalOf(f)
				g, given := gapAt(c.Value, valve)
				none := gap{net: interval.Point(0), reach: interval.Point(0), measuredAt: g.measuredAt}
				if possible, known := flankAllows(p.Engine, none, g); ok && given && known && !over.Meets(possible) {
					p.ReportFigure(f, "the %s clearance of the %s, %s, is taken up in %s degrees by the print, and a ramp or flank makes that %.1f to %.0f; look whether the unit is right",
						c.Name, valve, g.text, f.Text(), possible.Lo, possible.Hi).Involving(g.figure)
				}
			}
		}
	},
}

// flankAllows is by how many crank degrees one event can move from a narrower to
// a wider gap.
func flankAllows(e *schema.Engine, less, more gap) (interval.Interval, bool) {
	if ratio, known := rockerRatioOf(e); known {
		less, more = less.atValve(ratio), more.atValve(ratio)
	}
	grows := more.reach.Sub(less.reach)
	if less.isLift && more.isLift {
		grows = more.net.Sub(less.net)
	}
	possible, err := cam.PossibleShift(grows.Div(interval.Point(inchInMillimetres)))
	return possible, err == nil
}

const inchInMillimetres = 25.4

// sameCams is how many degrees the events of two cylinders of one engine may
// differ before they are not counted from their own dead centres.
const sameCams = 8.0

var otherCylinders = &lint.Rule{
	Name:  "events/cylinders",
	Level: lint.Warning,
	Title: "The events of another cylinder are those of No. 1",
	Checks: "Events given for another cylinder at the same clearance, each counted from its own dead centres, differ from those of No. 1 by no more than eight degrees. Sets that do not say at which clearance are compared when they are of one source. " +
		"When they differ by the firing interval instead, they were counted from No. 1's dead centre.",
	Why:       "All cams of a kind are alike. A cylinder whose events lie elsewhere is counted from the wrong dead centre, or the camshaft is bent.",
	Formula:   "event of cylinder k, from its own dead centre = event of No. 1",
	Basis:     commonPractice + ".",
	Accepting: "Accept it for engines whose cylinders are timed differently on purpose, as some vee-twins are.",
	Bad: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}
events:
  first: {read_at: 1 mm lift at valve, cylinder: 1, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
  third: {read_at: 1 mm lift at valve, cylinder: 3, inlet_opens: 33 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
`,
	Good: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}
events:
  first: {read_at: 1 mm lift at valve, cylinder: 1, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
  third: {read_at: 1 mm lift at valve, cylinder: 3, inlet_opens: 4 BTDC, inlet_closes: 48 ABDC, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		when, noOrder := firing(p.Engine)
		for i, a := range p.Engine.Events {
			for _, b := range p.Engine.Events[i+1:] {
				k, j := cylinderOf(b.Value), cylinderOf(a.Value)
				if k == j || !readAlike(a.Value, b.Value) || isTwoStroke(p.Engine) {
					continue
				}
				later := math.NaN()
				if noOrder == nil && 1 <= min(k, j) && max(k, j) <= len(when) {
					later = when[k-1] - when[j-1]
				}
				for _, v := range fourEvents {
					compareCylinders(p, v, a.Value, b.Value, later)
				}
			}
		}
	},
}

// readAlike reports whether the events of two sets are read at one clearance or
// lift, as far as is known: sets that do not say are alike when they come from
// one source.
func readAlike(a, b *schema.EventSet) bool {
	at := a.ReadAt.Text
	return at == b.ReadAt.Text && (at != "" && !isAbsence(at) || a.From.Source == b.From.Source)
}

// compareCylinders reports an event of two cylinders that differs too much, b's
// cylinder firing later by so many degrees, NaN where that is not known.
func compareCylinders(p *lint.Pass, v valveEvent, a, b *schema.EventSet, later float64) {
	one, other := v.of(a), v.of(b)
	x, ok := angleOf(p.Engine, one, v.datum)
	y, okay := angleOf(p.Engine, other, v.datum)
	if !ok || !okay || x.Grow(sameCams).Meets(y) {
		return
	}
	if isBefore(v.datum) {
		later = -later
	}
	why := "look at both again"
	if meetsTurns(y.Grow(sameCams), x.Mid()+later) {
		why = fmt.Sprintf("it fits the dead centre of No. %d, so it may be counted from there", cylinderOf(a))
	}
	p.ReportFigure(other, "%s of No. %d is %s, and of No. %d %s; %s", v.title, cylinderOf(b), other.Text(), cylinderOf(a), one.Text(), why).
		Involving(one).See(one.At, "No. %d: %s", cylinderOf(a), one.Text())
}
