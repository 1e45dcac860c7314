package rules

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/convert/cam"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// profileOf builds the profile of a cam, its lift in millimetres where the
// file measures it: at the valve or at the tappet.
func profileOf(c *schema.Cam) (cam.Profile, error) {
	length := func(f *schema.Figure) float64 {
		is, ok := intervalOf(f)
		if !ok {
			return 0
		}
		return is.Mid()
	}
	follower := cam.Follower{Kind: cam.FollowerKind(c.Follower.Text), Radius: length(c.FollowerRadius)}
	p, err := shapeOf(c, length, follower)
	if err != nil || c.RampHeight.First() == nil || c.RampLength.First() == nil {
		return p, err
	}
	height, over := length(c.RampHeight), length(c.RampLength)
	return cam.Ramp{Height: height, Speed: height / over}.Under(p)
}

func shapeOf(c *schema.Cam, length func(*schema.Figure) float64, follower cam.Follower) (cam.Profile, error) {
	switch c.Profile.Text {
	case "three-arc":
		return cam.ThreeArc{BaseRadius: length(c.BaseRadius), FlankRadius: length(c.FlankRadius), NoseRadius: length(c.NoseRadius), Lift: length(c.Lift), Follower: follower}.Profile()
	case "tangent":
		if c.NoseRadius.First() == nil {
			t, err := cam.TangentOver(length(c.Rise), length(c.BaseRadius), length(c.Lift), follower)
			if err != nil {
				return cam.Profile{}, err
			}
			return t.Profile()
		}
		return cam.Tangent{BaseRadius: length(c.BaseRadius), NoseRadius: length(c.NoseRadius), Lift: length(c.Lift), Follower: follower}.Profile()
	case "table", "":
		return tableOf(c)
	}
	return cam.Rise{Form: cam.Form(c.Profile.Text), Lift: length(c.Lift), Angle: length(c.Rise)}.Profile()
}

func tableOf(c *schema.Cam) (cam.Profile, error) {
	if len(c.Table) == 0 {
		return cam.Profile{}, errNoProfile
	}
	var t cam.Table
	for _, row := range c.Table {
		var at float64
		if _, err := fmt.Sscanf(row.Name, "%g", &at); err != nil {
			return cam.Profile{}, fmt.Errorf("the angle %q of the lift table is no number", row.Name)
		}
		is, ok := intervalOf(row.Value)
		if !ok {
			return cam.Profile{}, errNoProfile
		}
		t = append(t, cam.Point{Angle: at, Lift: is.Mid()})
	}
	slices.SortFunc(t, func(a, b cam.Point) int { return cmp.Compare(a.Angle, b.Angle) })
	return t.Profile()
}

var errNoProfile = errors.New("the cam's profile is not given")

// valveProfile is a cam's profile as the lift at the place where a clearance is
// measured.
func valveProfile(e *schema.Engine, valve, measuredAt string) (cam.Profile, error) {
	c, ok := e.Cams.Get(valve)
	if !ok {
		return cam.Profile{}, errNoProfile
	}
	p, err := profileOf(c)
	if err != nil || c.LiftAt.Text == measuredAt || measuredAt == "" || !c.LiftAt.Given() {
		return p, err
	}
	ratio, ok := intervalOf(e.Figure("layout.rocker_ratio"))
	switch {
	case !ok:
		return p, nil // without rockers of unequal arms the two are one
	case measuredAt == "valve":
		return p.AtValve(ratio.Mid())
	}
	return p.AtTappet(ratio.Mid())
}

// drawn is by how much a lift may differ for the rounding of the dimensions a
// cam is drawn with, in millimetres: about a thou.
const drawn = 0.02

// clearanceOf is the net clearance at which an event set is read, for a valve:
// a variable of a clearance set, or the lift that the set names.
func clearanceOf(n *relation.Network, set *schema.EventSet, valve string) (of relation.Expression, measuredAt string, ok bool) {
	words := set.ReadAt.Text
	if name, is := strings.CutSuffix(words, " clearance"); is {
		c := clearanceSet(n.Engine, name)
		if c == nil {
			return nil, "", false
		}
		gap := n.Quantity("clearances."+name+"."+valve, name+" clearance, "+valve, figure.ReadLength)
		if c.Felt.First() == nil {
			return gap, c.MeasuredAt.Text, true
		}
		return relation.Difference(gap, n.Quantity("clearances."+name+".felt", "gauge felt", figure.ReadLength)), c.MeasuredAt.Text, true
	}
	p, err := figure.Read(figure.ReadLength, words)
	if err != nil || len(p.Readings) == 0 {
		return nil, "", false
	}
	at := p.Readings[0].At.String()
	if at == "" {
		at = "valve"
	}
	return relation.Constant(words, p.Readings[0].Interval()), at, true
}

// byProfile is a function of the clearance that a profile gives, for a
// relation, over all the lifts that the rounding of the drawing allows. inverse
// may be nil.
func byProfile(name string, p cam.Profile, clearance relation.Expression,
	what func(gap interval.Interval) (interval.Interval, error), inverse func(interval.Interval) interval.Interval) relation.Expression {
	forward := lastOf(func(of interval.Interval) interval.Interval {
		gap := of.Grow(drawn).Intersect(interval.Of(0, p.FullLift()*0.999))
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
func durationOf(p cam.Profile) func(interval.Interval) (interval.Interval, error) {
	return func(gap interval.Interval) (interval.Interval, error) {
		b, err := p.EventsWithin(gap)
		return b.Duration(), err
	}
}

// clearanceFor inverts the duration of a profile.
func clearanceFor(p cam.Profile) func(interval.Interval) interval.Interval {
	return func(want interval.Interval) interval.Interval {
		wide, err := p.ClearanceFor(want.Lo)
		narrow, err2 := p.ClearanceFor(want.Hi)
		if err != nil || err2 != nil {
			return interval.Whole()
		}
		return interval.Of(narrow, wide).Grow(drawn)
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
		"Lifts are allowed a thou for the rounding of the drawing.",
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
			for _, valve := range []struct {
				name           string
				opens, closes  *relation.Variable
				closesFromFull float64 // from full lift's dead centre to that of closing
			}{{"inlet", v.inletOpens, v.inletCloses, 180}, {"exhaust", v.exhaustOpens, v.exhaustCloses, 0}} {
				clearance, at, ok := clearanceOf(n, set, valve.name)
				if !ok {
					continue
				}
				p, err := valveProfile(n.Engine, valve.name, at)
				if err != nil {
					continue
				}
				n.Equal(v.path, relation.Sum(degrees180, valve.opens, valve.closes),
					byProfile("duration by the "+valve.name+" cam at ", p, clearance, durationOf(p), clearanceFor(p)))
				full := n.Angle("cams."+valve.name+".full_lift", valve.name+" full lift", fullLiftDatum(valve.name))
				n.Equal(v.path, relation.Product(relation.Number(2), full), relation.Sum(middle(valve.name, valve.opens, valve.closes),
					byProfile("difference of the "+valve.name+" cam's flanks at ", p, clearance, unequalFlanks(valve.name, p), nil)))
			}
		})
	},
}

// fullLiftDatum is how full lift is counted: the inlet's after, the exhaust's
// before the top dead centre of overlap.
func fullLiftDatum(valve string) figure.Datum {
	if valve == "inlet" {
		return figure.ATDC
	}
	return figure.BTDC
}

// middle is twice the middle of a valve's events, counted as its full lift is.
func middle(valve string, opens, closes *relation.Variable) relation.Expression {
	if valve == "inlet" {
		return relation.Difference(relation.Sum(degrees180, closes), opens)
	}
	return relation.Difference(relation.Sum(degrees180, opens), closes)
}

// unequalFlanks is what is to be added to twice the middle of the events for
// twice the full lift: nothing for a cam with equal flanks, else twice the sum
// of the profile's opening and closing angles. The sum is taken at the ends and
// in the middle of the range of clearances.
func unequalFlanks(valve string, p cam.Profile) func(interval.Interval) (interval.Interval, error) {
	return func(gap interval.Interval) (interval.Interval, error) {
		all := interval.Empty()
		for _, at := range []float64{gap.Lo, gap.Mid(), gap.Hi} {
			e, err := p.Events(at)
			if err != nil {
				return interval.Empty(), err
			}
			all = all.Hull(interval.Point(2 * (e.Opens.Angle + e.Closes.Angle)))
		}
		all = all.Grow(1e-6)
		if valve == "inlet" {
			return all.Neg(), nil
		}
		return all, nil
	}
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
		at := l.LiftAt.Text
		if at == "" {
			at = "valve"
		}
		for valve, f := range map[string]*schema.Figure{"inlet": l.Inlet, "exhaust": l.Exhaust} {
			printed, ok := intervalOf(f)
			profile, err := valveProfile(p.Engine, valve, at)
			if !ok || err != nil {
				continue
			}
			full := profile.FullLift()
			if !printed.Meets(interval.Of(full-mostClearance, full).Grow(drawn)) {
				p.ReportFigure(f, "the %s lift is printed %s, and the cam's profile lifts %s", valve, f.Text(), inUnitOf(interval.Point(full), f))
			}
		}
	},
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

// readAtClearance calls do with every pair of event sets of one cylinder that
// are read at two clearances measured at one place, the narrower first.
func readAtClearance(e *schema.Engine, do func(narrow, wide string, cNarrow, cWide *schema.Clearance)) {
	at := func(set schema.Named[*schema.EventSet]) *schema.Clearance {
		name, ok := strings.CutSuffix(set.Value.ReadAt.Text, " clearance")
		if !ok {
			return nil
		}
		return clearanceSet(e, name)
	}
	for _, a := range e.Events {
		for _, b := range e.Events {
			ca, cb := at(a), at(b)
			if ca == nil || cb == nil || ca == cb || ca.MeasuredAt.Text != cb.MeasuredAt.Text || cylinderOf(a.Value) != cylinderOf(b.Value) {
				continue
			}
			x, ok := intervalOf(ca.Inlet)
			y, okay := intervalOf(cb.Inlet)
			if ok && okay && x.Hi < y.Lo {
				do(a.Name, b.Name, ca, cb)
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
	Checks:    "Of two sets of events read at two clearances, the one at the wider clearance opens no earlier and closes no later.",
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
		readAtClearance(n.Engine, func(narrow, wide string, _, _ *schema.Clearance) {
			for _, v := range fourEvents {
				n.AtMost("events."+wide, n.Angle("events."+wide+"."+v.key, inSet(n.Engine, wide, v.title), v.datum),
					n.Angle("events."+narrow+"."+v.key, inSet(n.Engine, narrow, v.title), v.datum))
			}
		})
	},
}

var flankSpeed = &lint.Rule{
	Name:  "events/flank-speed",
	Level: lint.Warning,
	Title: "Two clearances imply a flank that a tappet can follow",
	Checks: "Between the events at two clearances the valve moves by the difference of the clearances. The crank degrees between them lie between what the fastest flank and the slowest ramp allow: " +
		"about 0.1 and 13 for each thou at the valve.",
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
		readAtClearance(p.Engine, func(narrow, wide string, cn, cw *schema.Clearance) {
			for _, v := range fourEvents {
				less, more := cn.Inlet, cw.Inlet
				if strings.HasPrefix(v.key, "exhaust") {
					less, more = cn.Exhaust, cw.Exhaust
				}
				checkFlank(p, v, narrow, wide, less, more, cn.MeasuredAt.Text)
			}
		})
	},
}

const inchInMillimetres = 25.4

func checkFlank(p *lint.Pass, v valveEvent, narrow, wide string, less, more *schema.Figure, at string) {
	a, ok := intervalOf(less)
	b, okay := intervalOf(more)
	early, given := crankAngle(p.Engine.Figure("events."+narrow+"."+v.key), v.datum)
	late, both := crankAngle(p.Engine.Figure("events."+wide+"."+v.key), v.datum)
	if !ok || !okay || !given || !both || a.Hi >= b.Lo || early.Hi < late.Lo {
		return
	}
	gap := b.Sub(a).Div(interval.Point(inchInMillimetres))
	if ratio, known := intervalOf(p.Engine.Figure("layout.rocker_ratio")); known && at == "tappet" {
		gap = gap.Mul(ratio)
	}
	possible, err := cam.PossibleShift(gap)
	shift := early.Sub(late)
	if err != nil || shift.Meets(possible) {
		return
	}
	f := p.Engine.Figure("events." + wide + "." + v.key)
	p.ReportFigure(f, "%s moves from %s to %s, %s, while the clearance grows from %s to %s; a flank can make that %s to %s", v.title,
		p.Engine.Figure("events."+narrow+"."+v.key).Text(), f.Text(), wholeDegrees(shift.Mid()), less.Text(), more.Text(),
		fmt.Sprintf("%.1f°", possible.Lo), wholeDegrees(possible.Hi)).Involving(less, more, p.Engine.Figure("events."+narrow+"."+v.key))
}

// sameCams is how many degrees the events of two cylinders of one engine may
// differ before they are not counted from their own dead centres.
const sameCams = 8.0

var otherCylinders = &lint.Rule{
	Name:  "events/cylinders",
	Level: lint.Warning,
	Title: "The events of another cylinder are those of No. 1",
	Checks: "Events given for another cylinder at the same clearance, each counted from its own dead centres, differ from those of No. 1 by no more than eight degrees. " +
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
				if a.Value.ReadAt.Text != b.Value.ReadAt.Text || cylinderOf(a.Value) == cylinderOf(b.Value) {
					continue
				}
				for _, v := range fourEvents {
					x, ok := crankAngle(v.of(a.Value), v.datum)
					y, okay := crankAngle(v.of(b.Value), v.datum)
					if !ok || !okay || x.Grow(sameCams).Meets(y) {
						continue
					}
					why := ""
					if k, j := cylinderOf(b.Value), cylinderOf(a.Value); noOrder == nil && k <= len(when) && j <= len(when) {
						if interval := when[k-1] - when[j-1]; together(y.Mid(), signedWay(v, x.Mid(), interval)) {
							why = fmt.Sprintf("; it fits the dead centre of No. %d, so it may be counted from there", j)
						}
					}
					f := v.of(b.Value)
					p.ReportFigure(f, "%s of No. %d is %s, and of No. %d %s%s", v.title, cylinderOf(b.Value), f.Text(), cylinderOf(a.Value), v.of(a.Value).Text(), why).
						Involving(v.of(a.Value))
				}
			}
		}
	},
}

// signedWay is an event of a cylinder that fires later by an interval, counted
// from No. 1's dead centre the way the event is counted.
func signedWay(v valveEvent, is, later float64) float64 {
	if isBefore(v.datum) {
		return is - later
	}
	return is + later
}
