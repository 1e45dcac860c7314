package assess

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/notation"
)

// target is something that a cause predicts: an event of a cylinder, or, with no
// event, by how many degrees true top dead centre comes after the marked one.
type target struct {
	cylinder int
	event    crank.Event
}

func (t target) isStop() bool { return t.event == 0 }

// reading is what was read of one target, all its repeats taken together.
type reading struct {
	target
	// after is in crank degrees after the marked top dead centre of the cylinder.
	after float64
	// limit is how far it may be off either way, sigma its standard uncertainty.
	limit, sigma float64
	prints       []string
	at           schema.Place
}

// bench is what was measured, in degrees.
type bench struct {
	readings []reading
	// stop is the positive stop, or nil.
	stop *reading
	// backlash in crank degrees, and which way the engine was turned.
	backlash   float64
	approached string
	bolts      int
	remarks    []string
}

// usual is how far a reading may be off when nobody says (common practice, no
// source), in crank degrees, by the way it was read.
var usual = map[string]float64{"feel": 2, "feeler": 1.5, "paper": 1, "dial": 0.5, "": 2}

// finest is the least that a reading may be off: no disc is read closer.
const finest = 0.1

// measure turns readings into degrees, with the dimensions of the engine.
func measure(e *schema.Engine, r *schema.Readings) (*bench, error) {
	m := &measuring{readings: r, dims: dimensions(e, r), bench: &bench{approached: r.Approached.Text}}
	m.howClose()
	if n, given := r.FlywheelBolts.Count(); given {
		m.bench.bolts = n
	}
	for _, c := range r.Cylinders {
		m.cylinder(e, c)
	}
	if r.PositiveStop != nil {
		m.positiveStop(r.PositiveStop)
	}
	if len(m.all) == 0 && len(m.bench.readings) < 2 {
		m.add(r.At, "there are fewer than two events to go by; read at least two, under `cylinders`")
	}
	return m.bench, m.err()
}

type measuring struct {
	refusals
	readings *schema.Readings
	dims     notation.Dimensions
	limit    float64
	bench    *bench
}

// dimensions are those of the engine, or of the rim and ring that were used.
func dimensions(e *schema.Engine, r *schema.Readings) notation.Dimensions {
	dims := e.Dimensions(r.CountedOn.Text)
	for name, f := range map[notation.Name]*schema.Figure{notation.RimDiameter: r.RimDiameter, notation.RingTeeth: r.RingTeeth} {
		if c := f.First(); c != nil {
			dims[name] = notation.Dimension{Printed: c.Printed, From: "the readings"}
		}
	}
	return dims
}

// howClose works out how far a reading may be off, and the backlash.
func (m *measuring) howClose() {
	m.limit = usual[m.readings.ReadBy.Text]
	if f := m.readings.Uncertainty; f.First() != nil {
		is, err := m.convert(f, "degrees")
		if err != nil {
			m.add(f.At, "%s", err)
			return
		}
		m.limit = math.Max(is.middle, finest)
	} else {
		how := "nobody says how they were read, which may be"
		if by := m.readings.ReadBy.Text; by != "" {
			how = "readings by " + by + " may be"
		}
		m.bench.remarks = append(m.bench.remarks, fmt.Sprintf("No uncertainty is given: %s ±%s off (common practice).", how, degrees(m.limit)))
	}
	if m.bench.approached == "against" {
		m.bench.remarks = append(m.bench.remarks, "The engine was turned against its running direction up to the readings, so that backlash is in all of them. Turn in the running direction only; after turning too far, go back a quarter turn and come up again.")
	}
	if f := m.readings.Backlash; f.First() != nil {
		is, err := m.convert(f, "degrees")
		switch {
		case err != nil:
			m.add(f.At, "%s", err)
		case is.middle < 0 || is.middle > 20:
			m.add(f.At, "a backlash of %s crank degrees cannot be; measure how far the crank turns before the camshaft follows", f.Text())
		default:
			m.bench.backlash = is.middle
		}
	}
}

// measuredIn is a figure in degrees.
type measuredIn struct{ middle, half float64 }

// convert turns a reading into a notation of degrees.
func (m *measuring) convert(f *schema.Figure, to string) (measuredIn, error) {
	c := f.First()
	if c == nil {
		return measuredIn{}, errors.New("there is no figure here; leave the key out")
	}
	return inDegrees(c.Printed, to, m.dims)
}

// inDegrees converts a print to degrees, counted from a datum for a position.
func inDegrees(p figure.Printed, to string, dims notation.Dimensions) (measuredIn, error) {
	f, err := notation.Of(p)
	if err != nil {
		return measuredIn{}, err
	}
	wanted, err := f.Wanted(to)
	if err != nil {
		return measuredIn{}, err
	}
	done, err := f.Convert(wanted, dims)
	var missing *notation.Missing
	switch {
	case errors.As(err, &missing):
		return measuredIn{}, fmt.Errorf("%s needs the %s, which neither the engine's file nor the readings give", missing.For, names(missing.AnyOf))
	case err != nil:
		return measuredIn{}, err
	case done.Results[0].Low == nil || done.Results[0].High == nil:
		return measuredIn{}, fmt.Errorf("%q is a limit; write what was read", p.Text)
	}
	is := done.Results[0]
	lo, _ := is.Low.Float64()
	hi, _ := is.High.Float64()
	middle := (lo + hi) / 2
	if is.Value != nil {
		middle, _ = is.Value.Float64()
	}
	return measuredIn{middle, (hi - lo) / 2}, nil
}

func names(dims []notation.Name) string {
	all := make([]string, len(dims))
	for i, d := range dims {
		all[i] = d.Means()
	}
	return strings.Join(all, " or the ")
}

// cylinder reads the events of one cylinder.
func (m *measuring) cylinder(e *schema.Engine, c schema.Named[*schema.ReadCylinder]) {
	number, err := strconv.Atoi(c.Name)
	if err != nil {
		return // the decoder has said so
	}
	if most, known := e.Figure("layout.cylinders").Count(); known && number > most {
		m.add(c.Key, "there is no cylinder %d; %s has %d", number, e.Name(), most)
		return
	}
	for _, event := range fourEvents {
		prints := readOf(c.Value, event)
		if len(prints) == 0 {
			continue
		}
		if r, ok := m.event(target{number, event}, prints); ok {
			m.bench.readings = append(m.bench.readings, r)
		}
	}
}

// event takes the repeats of one event together.
func (m *measuring) event(t target, prints []*schema.Figure) (reading, bool) {
	r := reading{target: t, limit: m.limit, at: prints[0].At}
	dims := notation.Dimensions{notation.Event: {Printed: figure.Printed{Text: keyOf(t.event)}}}
	for name, d := range m.dims {
		dims[name] = d
	}
	offs := make([]float64, 0, len(prints))
	for _, f := range prints {
		if len(f.Claims) > 1 {
			m.add(f.At, "a reading is not a figure with claims; write several readings of it as a list")
			return r, false
		}
		c := f.First()
		if c == nil {
			m.add(f.At, "%s was not read; leave it out", t.event)
			return r, false
		}
		is, err := inDegrees(c.Printed, "ATDC", dims)
		if err != nil {
			m.add(f.At, "%s", err)
			return r, false
		}
		if len(offs) == 0 {
			r.after = is.middle
		}
		offs = append(offs, nearest(is.middle-r.after))
		r.limit = math.Max(r.limit, is.half)
		r.prints = append(r.prints, c.Printed.Text)
	}
	if !m.agree(t, prints, offs, r.limit) {
		return r, false
	}
	r.after += mean(offs)
	r.sigma = math.Max(r.limit/math.Sqrt(3), spread(offs)) / math.Sqrt(float64(len(offs)))
	return r, true
}

// agree reports whether repeats are of one thing: none is further from the
// middle of all than three times what a reading may be off. Of two that differ
// nothing tells which is wrong.
func (m *measuring) agree(t target, prints []*schema.Figure, offs []float64, limit float64) bool {
	middle := median(offs)
	if len(offs) == 2 && math.Abs(offs[1]) > 4*limit {
		m.add(prints[1].At, "%s of No. %d was read as %s and as %s, %s apart, where a reading may be ±%s off; one of the two is wrong: read it again",
			t.event, t.cylinder, prints[0].Text(), prints[1].Text(), degrees(math.Abs(offs[1])), degrees(limit))
		return false
	}
	good := true
	for i, off := range offs {
		if len(offs) > 2 && math.Abs(off-middle) > 3*limit {
			good = false
			m.add(prints[i].At, "%s of No. %d was read as %s here, %s from the middle of its repeats, where a reading may be ±%s off; strike it out or read it again",
				t.event, t.cylinder, prints[i].Text(), degrees(math.Abs(off-middle)), degrees(limit))
		}
	}
	return good
}

// positiveStop works out by how much true top dead centre comes after the marked
// one: it lies midway between the two places where the stop holds the piston.
func (m *measuring) positiveStop(s *schema.PositiveStop) {
	cylinder := 1
	if n, given := s.Cylinder.Count(); given {
		cylinder = n
	}
	var at [2]measuredIn
	for i, f := range []*schema.Figure{s.Before, s.After} {
		if f.First() == nil {
			m.add(s.At, "a positive stop is read on both sides of top dead centre: `before` and `after`")
			return
		}
		var err error
		if at[i], err = m.convert(f, "ATDC"); err != nil {
			m.add(f.At, "%s", err)
			return
		}
	}
	between := turned(at[1].middle - at[0].middle)
	if between == 0 || between >= oneTurn/2 {
		m.add(s.After.At, "the stop held the piston at %s coming up and at %s going down, and top dead centre does not lie between them; are the two interchanged?", s.Before.Text(), s.After.Text())
		return
	}
	limit := math.Max(m.limit, math.Max(at[0].half, at[1].half))
	m.bench.stop = &reading{target: target{cylinder: cylinder}, after: nearest(at[0].middle + between/2 + m.stopSkew(between)), limit: limit / math.Sqrt2, sigma: limit / math.Sqrt(6),
		prints: []string{s.Before.Text(), s.After.Text()}, at: s.At}
}

// stopSkew is what is to be added to the middle of a stop's readings where the
// cylinder is offset: the piston is as far down at unequal angles before and
// after its dead centre. Degrees are counted from the dead centre that the
// engine's file counts from.
func (m *measuring) stopSkew(between float64) float64 {
	var l crank.Linkage
	for name, into := range map[notation.Name]*float64{notation.Stroke: &l.Stroke, notation.Rod: &l.Rod, notation.Offset: &l.Offset} {
		d, given := m.dims[name]
		if !given || len(d.Readings) == 0 {
			return 0
		}
		*into = d.Readings[0].Interval().Mid()
	}
	after := between / 2
	for range 20 { // the two angles are nearly equal, so this settles at once
		down, err := l.Travel(after, crank.ATDC)
		if err != nil {
			return 0
		}
		before, err := l.Angle(down, crank.BTDC)
		if err != nil {
			return 0
		}
		after += (between - before - after) / 2
	}
	skew := between/2 - after
	if m.dims[notation.DeadCentre].Text == "crank" {
		if top, _, err := l.DeadCentres(); err == nil {
			skew -= top
		}
	}
	return skew
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// spread is the standard deviation of three or more values, else 0.
func spread(x []float64) float64 {
	if len(x) < 3 {
		return 0
	}
	middle, sum := mean(x), 0.0
	for _, v := range x {
		sum += float64((v - middle) * (v - middle))
	}
	return math.Sqrt(sum / float64(len(x)-1))
}

func median(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}
