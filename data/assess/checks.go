package assess

import (
	"fmt"
	"math"
	"math/big"

	"fourmarks.example/convert/air"
	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
)

// checks holds cranking pressures and vacuum against the engine's figures, at
// the altitude where the engine stands.
func (a *assessor) checks() []Check {
	read, figures := a.read.Checks, a.setting.engine.Checks
	if read == nil {
		return []Check{}
	}
	if figures == nil {
		figures = &schema.Checks{}
	}
	a.conditions(read, figures)
	all := a.pressures(read, figures)
	if c, ok := a.vacuum(read, figures); ok {
		all = append(all, c)
	}
	return all
}

// conditions remarks where the engine was not as the figures want it.
func (a *assessor) conditions(read *schema.ReadChecks, figures *schema.Checks) {
	for what, both := range map[string][2]schema.Word{"engine": {read.Engine, figures.Engine}, "throttle": {read.Throttle, figures.Throttle}} {
		if both[0].Given() && both[1].Given() && both[0].Text != both[1].Text {
			a.bench.remarks = append(a.bench.remarks, fmt.Sprintf("The figures for pressures are with the %s %s, and it was %s.", what, both[1].Text, both[0].Text))
		}
	}
	if len(read.Compression) > 0 && read.Altitude.First() == nil && figures.Altitude.First() != nil {
		a.bench.remarks = append(a.bench.remarks, "No altitude is given where the pressures were read; they are taken to be from the altitude of the figures.")
	}
}

// ambient are the pressures of the air, in pascals, where the engine stands and
// where the figures hold: at sea level when neither says.
func (a *assessor) ambient(read *schema.ReadChecks, figures *schema.Checks) (here, there float64) {
	at := func(f *schema.Figure, otherwise float64) float64 {
		r, ok := f.Reading()
		if !ok {
			return otherwise
		}
		p, err := air.Pressure(r.Interval().Mid() / 1000)
		if err != nil {
			return otherwise
		}
		return p
	}
	there = at(figures.Altitude, air.SeaLevel)
	return at(read.Altitude, there), there
}

// pressures holds each cylinder's cranking pressure against the figure, which is
// in proportion to the pressure of the air (air.CrankingPressure), and the
// highest against the lowest.
func (a *assessor) pressures(read *schema.ReadChecks, figures *schema.Checks) []Check {
	if len(read.Compression) == 0 {
		return nil
	}
	here, there := a.ambient(read, figures)
	want, known := nominal(figures.Compression)
	want = want.Mul(interval.Point(here / there))
	var all []Check
	low, high := math.Inf(1), math.Inf(-1)
	var weak []string
	for _, c := range read.Compression {
		is, ok := allowed(c.Value)
		if !ok {
			continue
		}
		low, high = math.Min(low, is.Mid()), math.Max(high, is.Mid())
		one := Check{What: "pressure of No. " + c.Name, Read: c.Value.Text(), Sound: true, Says: "no figure says what it should be"}
		if known {
			one.Figure, one.From, one.Here = figures.Compression.Text(), cited(figures.Compression), pressure(want, c.Value)
			one.Sound, one.Says = is.Hi >= want.Lo, "as it should be"
			switch {
			case is.Hi < want.Lo:
				one.Says = "low"
				weak = append(weak, c.Name)
			case is.Lo > want.Hi:
				one.Says = "above the figure: carbon, or oil in the cylinder"
			}
		}
		all = append(all, one)
	}
	if c, ok := a.uneven(read, figures, high-low); ok {
		all = append(all, c)
	}
	a.remarkWeak(weak, len(read.Compression))
	return all
}

// uneven holds the difference of the cylinders against the figure for it.
func (a *assessor) uneven(read *schema.ReadChecks, figures *schema.Checks, apart float64) (Check, bool) {
	most, known := allowed(figures.CompressionSpread)
	if !known || len(read.Compression) < 2 {
		return Check{}, false
	}
	is := interval.Point(apart)
	c := Check{What: "pressures apart", Read: pressure(is, read.Compression[0].Value), Figure: figures.CompressionSpread.Text(), From: cited(figures.CompressionSpread), Sound: apart <= most.Hi, Says: "as it should be"}
	if !c.Sound {
		c.Says = "uneven"
	}
	return c, true
}

// remarkWeak says where to look for low pressures (common practice, no source).
func (a *assessor) remarkWeak(weak []string, all int) {
	switch n := len(weak); {
	case n == 0:
	case n == all && n > 1:
		a.bench.remarks = append(a.bench.remarks, "All cylinders are low alike: look at cranking speed, throttle, gauge and valve timing before rings and valves.")
	case n == 2:
		a.bench.remarks = append(a.bench.remarks, fmt.Sprintf("No. %s and No. %s are low: if they are neighbours, look at the gasket between them.", weak[0], weak[1]))
	default:
		a.bench.remarks = append(a.bench.remarks, "A cylinder that stays low has a valve that does not seat, too little clearance, or leaks past the rings; a little oil in the cylinder raises the last only.")
	}
}

// vacuum holds the manifold vacuum against the figure: the manifold's absolute
// pressure is taken not to change with altitude, as air.VacuumAtAltitude does.
func (a *assessor) vacuum(read *schema.ReadChecks, figures *schema.Checks) (Check, bool) {
	is, ok := allowed(read.Vacuum)
	if !ok {
		return Check{}, false
	}
	c := Check{What: "vacuum", Read: read.Vacuum.Text(), Sound: true, Says: "no figure says what it should be"}
	want, known := nominal(figures.Vacuum)
	if !known {
		return c, true
	}
	here, there := a.ambient(read, figures)
	want = want.Abs().Sub(interval.Point((there - here) / 1000))
	c.Figure, c.From, c.Here, c.Says = figures.Vacuum.Text(), cited(figures.Vacuum), pressure(want, read.Vacuum), "as it should be"
	switch is = is.Abs(); {
	case is.Hi < want.Lo:
		c.Sound, c.Says = false, "low: late valve or ignition timing, or air drawn in past a joint"
	case is.Lo > want.Hi:
		c.Says = "above the figure"
	}
	return c, true
}

// allowed is what a print allows, in its kind's working unit.
func allowed(f *schema.Figure) (interval.Interval, bool) {
	r, ok := f.Reading()
	if !ok {
		return interval.Empty(), false
	}
	return r.Interval(), true
}

// near is how far a pressure may be from a bare figure, which is neither a range
// nor a limit: a tenth (common practice, no source).
const near = 0.1

// nominal is what a figure for a pressure or vacuum allows.
func nominal(f *schema.Figure) (interval.Interval, bool) {
	is, ok := allowed(f)
	if r, _ := f.Reading(); ok && !r.Stated {
		is = is.Mul(interval.Of(1-near, 1+near))
	}
	return is, ok
}

func cited(f *schema.Figure) string {
	if c := f.First(); c != nil {
		return c.From.String()
	}
	return ""
}

// pressure prints an interval of kilopascals in the unit that a reading is in.
func pressure(kPa interval.Interval, like *schema.Figure) string {
	r, ok := like.Reading()
	if !ok {
		return ""
	}
	one := big.NewRat(1, 1)
	return between(kPa.Div(r.Unit.Interval(one, one))) + " " + r.Unit.Symbol()
}

// between prints an interval to whole numbers, or to tenths where it is small.
func between(is interval.Interval) string {
	places := 0
	if math.Abs(is.Lo) < 20 {
		places = 1
	}
	low, high := decimals(is.Lo, places), decimals(is.Hi, places)
	switch {
	case math.IsInf(is.Hi, 1):
		return low + " or more"
	case math.IsInf(is.Lo, -1):
		return high + " or less"
	case low == high:
		return low
	}
	return low + " to " + high
}
