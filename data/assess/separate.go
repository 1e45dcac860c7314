package assess

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"

	"fourmarks.example/convert/cam"
	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
)

// What is in this file holds causes against readings other than events: wheel
// marks, a positive stop, the cylinder on the rock, a clearance felt again, the
// bolts of the flywheel.

// contradicted is what a reading that contradicts a cause adds to −2 ln of its
// evidence: one such reading in a thousand is a slip (common practice, no source).
var contradicted = -2 * math.Log(0.001)

// weigh adds to a fit what the other readings say of its cause.
func (a *assessor) weigh(f *fitted) {
	f.events = f.surprise
	a.weighMarks(f)
	a.weighStop(f)
	a.weighRevolution(f)
	a.weighFelt(f)
	a.weighBolts(f)
	if f.cause != RevolutionOut && a.revolutionOut() {
		f.surprise += contradicted
	}
	f.surprise += contradicted * float64(len(f.against))
	f.surprise -= 2 * math.Log(f.weight)
}

var markStands = regexp.MustCompile(`^([0-9]+) (?:tooth|teeth) (early|late)$`)

// teethLate reads how a wheel mark stands: by how many teeth the driven wheel is
// late.
func teethLate(print string) int {
	parts := markStands.FindStringSubmatch(print)
	if parts == nil {
		return 0
	}
	n, _ := strconv.Atoi(parts[1]) // the pattern admits digits only
	if parts[2] == "early" {
		return -n
	}
	return n
}

// weighMarks holds a cause against the marks of the timing wheels: those of the
// wheel that is out stand out by as many teeth, all others meet.
func (a *assessor) weighMarks(f *fitted) {
	for _, m := range a.read.WheelMarks {
		stands, want := teethLate(m.Value.Claims[0].Printed.Text), 0
		if f.cause == Tooth && f.where == m.Name {
			want = f.teeth
		}
		f.bears = f.movesAlike()
		switch {
		case stands == want:
		case stands == 0:
			f.against = append(f.against, fmt.Sprintf("the marks of %s meet", m.Name))
		default:
			f.against = append(f.against, fmt.Sprintf("the marks of %s stand %s", m.Name, m.Value.Claims[0].Printed.Text))
		}
	}
}

// weighStop holds a cause against the positive stop. The readings are counted
// from true top dead centre already; what is left is whether the mark was out.
func (a *assessor) weighStop(f *fitted) {
	s := a.bench.stop
	if s == nil {
		return
	}
	f.bears = f.movesAlike()
	density := func(from, sd float64) float64 {
		off := nearest(s.after - from)
		return -(float64(off*off)/float64(sd*sd) + 2*math.Log(sd))
	}
	var at float64
	switch f.cause {
	case DeadCentreMark:
		at = density(0, math.Hypot(s.sigma, movedSpread)) + a.stopSize(movedSpread)
	case Flywheel:
		at = density(0, math.Hypot(s.sigma, flywheelSpread)) + a.stopSize(flywheelSpread)
	case OtherDeadCentre:
		at = density(f.top, s.sigma)
	case AsItShould, RevolutionOut:
		at = density(0, s.sigma)
	default: // the mark may be out besides, in one engine of twenty
		at = math.Max(density(0, s.sigma), density(0, math.Hypot(s.sigma, movedSpread))+2*math.Log(0.05))
	}
	f.surprise -= at
	f.strain -= at
	switch atMark := math.Abs(s.after) < 2*s.sigma; {
	case (f.cause == DeadCentreMark || f.cause == Flywheel) && atMark:
		f.against = append(f.against, fmt.Sprintf("the positive stop puts top dead centre at the mark, within %s", degrees(2*s.sigma)))
	case f.class == classFine && math.Abs(s.after) > 3*s.sigma:
		f.against = append(f.against, fmt.Sprintf("the positive stop puts top dead centre %s past the mark", degrees(turned(s.after))))
	case f.cause == OtherDeadCentre && math.Abs(nearest(s.after-f.top)) > 2+3*s.sigma:
		f.against = append(f.against, fmt.Sprintf("the positive stop puts top dead centre %s past the mark", degrees(turned(s.after))))
	case f.cause == Camshaft && !atMark && math.Abs(f.found[0]) < 2*f.sigma[0]:
		f.against = append(f.against, "counted from the top dead centre that the positive stop found, the events are on time")
	}
}

// stopSize weighs the size of what the stop found, as the size of any fault.
func (a *assessor) stopSize(sd float64) float64 {
	s := a.bench.stop
	return 2 * math.Log((float64(s.after*s.after)+float64(s.sigma*s.sigma))/float64(sd*sd))
}

// weighRevolution holds a cause against the cylinder on the rock.
func (a *assessor) weighRevolution(f *fitted) {
	r := a.read.Revolution
	if r == nil || f.class != classFine {
		return
	}
	f.bears = true
	at, _ := r.IgnitionAt.Count()
	if out := a.revolutionOut(); out != (f.cause == RevolutionOut) {
		said := fmt.Sprintf("with the ignition at No. %d, No. %d itself is on the rock", at, at)
		if !out {
			said = fmt.Sprintf("with the ignition at No. %d, its own valves are shut", at)
		}
		f.against = append(f.against, said)
	}
}

// revolutionOut reports whether the cylinder whose spark is due was on the rock.
func (a *assessor) revolutionOut() bool {
	r := a.read.Revolution
	if r == nil {
		return false
	}
	at, ok := r.IgnitionAt.Count()
	rocks, rocking := r.OnTheRock.Count()
	return ok && rocking && rocks == at
}

// movesAlike reports whether a cause moves all events, or all of a camshaft, alike:
// wheel marks and a positive stop part these from one another.
func (f *fitted) movesAlike() bool {
	return slices.Contains([]Cause{Tooth, Camshaft, DeadCentreMark, Flywheel, OtherDeadCentre}, f.cause)
}

// feltWithin is how closely a clearance is felt again, in millimetres: about a
// thou and a half (common practice, no source).
const feltWithin = 0.04

// weighFelt holds a cause against a clearance that was felt again: a wrong
// clearance is found as wrong as it was, beside a worn lobe it is as it was said.
func (a *assessor) weighFelt(f *fitted) {
	if f.cause != WrongClearance && f.cause != WornLobe || a.read.Clearance == nil || a.read.Clearance.FeltAgain == nil {
		return
	}
	again := a.read.Clearance.FeltAgain
	for valve, fig := range map[string]*schema.Figure{inlet: again.Inlet, exhaust: again.Exhaust} {
		is, given := millimetres(fig)
		said, known := a.setting.said(valve)
		if !given || !known || f.valve != "" && f.valve != valve {
			continue
		}
		f.bears = true
		found := is.Sub(said.MM.Add(interval.Point(a.setting.more[valve]))).Grow(feltWithin)
		if !a.wider(f, valve).Meets(found) {
			f.against = append(f.against, fmt.Sprintf("the %s clearance was felt again as %s", valve, fig.Text()))
		}
	}
	slices.Sort(f.against)
}

// wider is by how many millimetres a cause makes the clearance of a valve wider
// than was said.
func (a *assessor) wider(f *fitted, valve string) interval.Interval {
	switch flank := a.setting.flanks[valve]; {
	case f.cause == WornLobe:
		return interval.Point(0)
	case f.of != nil:
		from, ok := a.setting.said(valve)
		to, okay := f.of.said(valve)
		if !ok || !okay {
			return interval.Whole()
		}
		return to.MM.Sub(from.MM)
	case flank.known() && len(f.found) > 0:
		i := 0
		if f.valve == "" && valve == exhaust {
			i = len(f.found) / 2
		}
		return interval.Point(f.found[i]).Grow(2 * f.sigma[i])
	}
	return a.widerUnknown(f, valve)
}

// widerUnknown bounds by how much a clearance was wider from the degrees by which
// the valve opened late and closed early, where the cam is not known.
func (a *assessor) widerUnknown(f *fitted, valve string) interval.Interval {
	i := 0
	if f.valve == "" && valve == exhaust {
		i = len(f.found) / 2
	}
	short := f.found[i]
	perMM, err := cam.PossibleShift(interval.Point(1 / millimetresInInch))
	if err != nil || perMM.Lo <= 0 {
		return interval.Whole()
	}
	return interval.Point(short).Div(perMM)
}

const millimetresInInch = 25.4

// weighBolts holds a refitted flywheel against its bolts: it moves by whole
// steps of them, and no flywheel has more than twelve (common practice, no source).
func (a *assessor) weighBolts(f *fitted) {
	if f.cause != Flywheel {
		return
	}
	by, sigma := a.stop(), 0.0
	if a.bench.stop != nil {
		sigma = a.bench.stop.sigma
	} else if len(f.found) > 0 {
		by, sigma = f.found[0], f.sigma[0]
	}
	off := 2 + 3*sigma
	if n := a.bench.bolts; n > 0 {
		step := oneTurn / float64(n)
		if rest := math.Abs(by - step*math.Round(by/step)); rest > off || math.Abs(by) < step/2 {
			f.against = append(f.against, fmt.Sprintf("its %d bolts move it by %s at a time", n, degrees(step)))
		}
		return
	}
	if math.Abs(by) < fewestBoltsStep-off {
		f.against = append(f.against, fmt.Sprintf("a flywheel moves by whole bolts, %s or more with twelve", degrees(fewestBoltsStep)))
	}
}

// checkSeparating refuses readings that speak of what the engine does not have.
func (a *assessor) checkSeparating() error {
	var refused refusals
	var wheels []string
	for _, d := range a.drives {
		for _, m := range d.meshes {
			if m.wheel != "" && !slices.Contains(wheels, m.wheel) {
				wheels = append(wheels, m.wheel)
			}
		}
	}
	for _, m := range a.read.WheelMarks {
		if !slices.Contains(wheels, m.Name) {
			refused.add(m.Key, "%s has no driven timing wheel %q; it has: %s", a.setting.engine.Name(), m.Name, orNone(wheels))
		}
	}
	if r := a.read.Revolution; r != nil {
		a.checkRevolution(r, &refused)
	}
	return refused.err()
}

// checkRevolution refuses a cylinder on the rock that neither the right nor the
// wrong revolution puts there.
func (a *assessor) checkRevolution(r *schema.Revolution, refused *refusals) {
	at, ok := r.IgnitionAt.Count()
	rocks, rocking := r.OnTheRock.Count()
	if !ok || !rocking || at == rocks || a.firing == nil {
		return
	}
	companions, err := a.firing.Companions()
	if err != nil || at > len(companions) {
		return
	}
	if want := companions[at-1]; want != rocks {
		should := "none"
		if want != 0 {
			should = cylinderName(want)
		}
		refused.add(r.OnTheRock.At, "with the ignition at No. %d the cylinder on the rock is %s, or No. %d itself when the camshaft is a turn out; it cannot be No. %d. Is the ignition at another cylinder?", at, should, at, rocks)
	}
}

func orNone(words []string) string {
	if len(words) == 0 {
		return "none that is described"
	}
	return listed(words, "and")
}

func cylinderName(k int) string { return fmt.Sprintf("No. %d", k) }
