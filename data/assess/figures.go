package assess

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/notation"
	"fourmarks.example/schema/text"
)

// expected is the figure that a reading is held against.
type expected struct {
	// after is in crank degrees after top dead centre, sigma what the print
	// leaves open.
	after, sigma float64
	path         string
	printed      string
	from         string
}

// setting is the figures of one engine, or one variant, at the clearance that was
// set while the events were read.
type setting struct {
	engine *schema.Engine
	sets   []schema.Named[*schema.EventSet]
	dims   notation.Dimensions
	// flanks say how the events of a valve move with its clearance.
	flanks map[string]flank
	// more is by how many millimetres each valve's clearance was set wider than
	// that of the figures.
	more    map[string]float64
	derived map[string]interval.Interval
	found   map[target]expected
}

// settingAt finds the figures of an engine that hold at the clearance set.
func settingAt(e *schema.Engine, r *schema.Readings) (*setting, error) {
	s := &setting{engine: e, dims: e.Dimensions(""), more: map[string]float64{}, found: map[target]expected{}}
	var refused refusals
	if s.sets = s.setsRead(r, &refused); len(s.sets) == 0 {
		return nil, refused.err()
	}
	s.flanks = map[string]flank{inlet: s.flankOf(inlet), exhaust: s.flankOf(exhaust)}
	if r.Clearance != nil {
		s.clearance(r.Clearance, inlet, r.Clearance.Inlet, &refused)
		s.clearance(r.Clearance, exhaust, r.Clearance.Exhaust, &refused)
		clear(s.found)
		for valve, f := range s.flanks {
			s.flanks[valve] = f.from(s.more[valve])
		}
	}
	return s, refused.err()
}

// setsRead returns the sets of events read at the clearance that the readings
// name, or, where they name none, that they give.
func (s *setting) setsRead(r *schema.Readings, refused *refusals) []schema.Named[*schema.EventSet] {
	if len(s.engine.Events) == 0 {
		refused.add(r.At, "%s has no figures for its events, so there is nothing to hold the readings against", s.engine.Name())
		return nil
	}
	var sets []schema.Named[*schema.EventSet]
	if r.ReadAt.Given() {
		for _, set := range s.engine.Events {
			if words(readAt(set.Value)) == words(r.ReadAt.Text) {
				sets = append(sets, set)
			}
		}
		if len(sets) == 0 {
			refused.add(r.ReadAt.At, "%s has no events read at %q; it has them at: %s", s.engine.Name(), r.ReadAt.Text, strings.Join(s.readAts(), ", "))
		}
		return sets
	}
	for _, set := range s.engine.Events {
		if s.isAt(set.Value, r.Clearance) {
			sets = append(sets, set)
		}
	}
	if len(sets) == 0 {
		refused.add(r.At, "say at which clearance the events were read: `read_at: %s`; the figures of %s are at: %s", text.Spell(s.readAts()[0], false), s.engine.Name(), strings.Join(s.readAts(), ", "))
	}
	return sets
}

// words is a name with blanks and case made alike.
func words(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// readAt is where a set of events is read.
func readAt(set *schema.EventSet) string { return cmp.Or(set.ReadAt.Text, "not given") }

// readAts lists where the engine's events are read.
func (s *setting) readAts() []string {
	var all []string
	for _, set := range s.engine.Events {
		if at := readAt(set.Value); !slices.Contains(all, at) {
			all = append(all, at)
		}
	}
	return all
}

// isAt reports whether a set of events is read at a clearance that was set.
func (s *setting) isAt(set *schema.EventSet, c *schema.SetClearance) bool {
	if c == nil || c.Inlet.First() == nil && c.Exhaust.First() == nil {
		return false
	}
	for valve, f := range map[string]*schema.Figure{inlet: c.Inlet, exhaust: c.Exhaust} {
		is, given := millimetres(f)
		of, known := rules.ReadAt(s.engine, set, valve)
		if given && (!known || of.IsLift || !of.MM.Meets(is) || c.MeasuredAt.Given() && of.MeasuredAt != "" && c.MeasuredAt.Text != of.MeasuredAt) {
			return false
		}
	}
	return true
}

// millimetres is a length that was read.
func millimetres(f *schema.Figure) (interval.Interval, bool) {
	r, ok := f.Reading()
	return r.Interval(), ok
}

// said is the clearance or lift that the figures of a valve hold at.
func (s *setting) said(valve string) (rules.Clearance, bool) {
	return rules.ReadAt(s.engine, s.sets[0].Value, valve)
}

// clearance works out by how much a valve's clearance was set wider than that of
// the figures.
func (s *setting) clearance(c *schema.SetClearance, valve string, f *schema.Figure, refused *refusals) {
	is, given := millimetres(f)
	of, known := s.said(valve)
	if !given || !known || of.IsLift {
		return
	}
	ratio, knownRatio := rules.RockerRatio(s.engine)
	switch at := c.MeasuredAt.Text; {
	case at == of.MeasuredAt || of.MeasuredAt == "" || knownRatio && ratio.Contains(1):
	case at == "" && knownRatio:
		refused.add(f.At, "say where the clearance was measured: `measured_at: valve` or `measured_at: tappet`; with a rocker of %s it makes a difference", s.engine.Figure("layout.rocker_ratio").Text())
		return
	case !knownRatio:
		refused.add(f.At, "the figures hold for a clearance at the %s, and the rocker ratio is not known: measure it there", of.MeasuredAt)
		return
	case at == "tappet":
		is = is.Mul(ratio)
	default:
		is = is.Div(ratio)
	}
	if is.Meets(of.MM) {
		return
	}
	if !s.flanks[valve].known() {
		refused.add(f.At, "the %s figures are at %s and hold for no other clearance, because the cam is not known: set %s and read again", valve, of.Printed, of.Printed)
		return
	}
	s.more[valve] = is.Mid() - of.MM.Mid()
}

// figure returns what an event of a cylinder should be; false where no figure
// says so.
func (s *setting) figure(t target) (expected, bool) {
	if x, known := s.found[t]; known {
		return x, x.path != ""
	}
	x := s.closest(t)
	if f := s.flanks[valveOf(t.event)]; x.path != "" && s.more[valveOf(t.event)] != 0 {
		opens, closes := f.shift(-s.more[valveOf(t.event)])
		opens, closes = -opens, -closes
		if isOpening(t.event) {
			x.after += opens
		} else {
			x.after += closes
		}
		x.printed += ", taken to the clearance set"
	}
	s.found[t] = x
	return x, x.path != ""
}

// closest is the figure known most closely among the sets of the cylinder, or of
// No. 1 where it has none of its own.
func (s *setting) closest(t target) expected {
	var best expected
	for _, own := range []bool{true, false} {
		for _, set := range s.sets {
			if (cylinderOf(set.Value) == t.cylinder) != own {
				continue
			}
			x, ok := s.printed(set, t.event)
			switch {
			case !ok:
			case best.path == "":
				best = x
			case math.Abs(nearest(x.after-best.after)) > math.Sqrt(3)*(x.sigma+best.sigma):
				best = best.or(x)
			case x.sigma < best.sigma:
				best = x
			}
		}
		if best.path != "" {
			return best
		}
	}
	return best
}

// or is what two figures allow that do not agree: either, and all between.
func (x expected) or(y expected) expected {
	half := math.Sqrt(3)
	other := x.after + nearest(y.after-x.after)
	low, high := math.Min(x.after-half*x.sigma, other-half*y.sigma), math.Max(x.after+half*x.sigma, other+half*y.sigma)
	x.after, x.sigma = (low+high)/2, (high-low)/(2*half)
	x.printed += " or " + y.printed
	return x
}

func cylinderOf(set *schema.EventSet) int {
	if n, ok := set.Cylinder.Count(); ok {
		return n
	}
	return 1
}

// printed is the figure of an event in a set: all that its standing claims
// allow, or what the other figures of the set leave it.
func (s *setting) printed(set schema.Named[*schema.EventSet], e crank.Event) (expected, bool) {
	f := printedOf(set.Value, e)
	dims := notation.Dimensions{notation.Event: {Printed: figure.Printed{Text: keyOf(e)}}}
	for name, d := range s.dims {
		dims[name] = d
	}
	x := expected{path: "events." + set.Name + "." + keyOf(e)}
	low, high, spoke := 0.0, 0.0, false
	for c := range f.Standing() {
		is, err := inDegrees(c.Printed, "ATDC", dims)
		if err != nil {
			continue
		}
		if !spoke {
			x.after, x.printed, x.from, spoke = is.middle, c.Printed.Text, c.From.String(), true
			low, high = is.middle-is.half, is.middle+is.half
			continue
		}
		middle := x.after + nearest(is.middle-x.after)
		low, high = math.Min(low, middle-is.half), math.Max(high, middle+is.half)
		if !strings.Contains(x.printed, c.Printed.Text) {
			x.printed += " or " + c.Printed.Text
		}
	}
	if !spoke {
		return s.follows(x, e)
	}
	x.after, x.sigma = (low+high)/2, (high-low)/(2*math.Sqrt(3))
	return x, true
}

// follows is an event that is not printed, where durations, lobe centres or the
// cam leave it no room.
func (s *setting) follows(x expected, e crank.Event) (expected, bool) {
	if s.derived == nil {
		s.derived = map[string]interval.Interval{}
		for _, d := range rules.Network(s.engine).Derive() {
			if s.engine.Figure(d.Variable.Path).First() == nil {
				s.derived[d.Variable.Path] = d.Value
			}
		}
	}
	value, known := s.derived[x.path]
	is := figure.ATDC.Recount(value, customaryDatum(e))
	const useful = 10.0 // degrees; what is known less closely decides nothing
	if !known || !is.IsFinite() || is.Width() > useful {
		return expected{}, false
	}
	x.after, x.sigma, x.printed, x.from = is.Mid(), is.Width()/(2*math.Sqrt(3)), placed(e, is.Mid())+" (follows from the others)", "derived"
	return x, true
}

// bottom is where bottom dead centre lies, in degrees after top dead centre: with
// an offset cylinder the piston is not there at half a turn.
func (s *setting) bottom() float64 {
	p, err := figure.Read(figure.Position, "0.0 ABDC")
	if err != nil {
		return oneTurn / 2
	}
	is, err := inDegrees(p, "ATDC", s.dims)
	if err != nil {
		return oneTurn / 2
	}
	return is.middle
}

// name is the engine or variant in words.
func (s *setting) name() string {
	if s.engine.Variant != "" {
		return fmt.Sprintf("variant %s", s.engine.Variant)
	}
	return "the base"
}
