package assess_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// subset is what is read.
type subset struct {
	name      string
	events    []int
	cylinders []int
	// marks, stop, felt, rock say which other readings are taken.
	marks, stop, felt, rock bool
	repeats                 int
}

var fourEvents = []int{io, ic, eo, ec}

var subsets = []subset{
	{name: "four events of No. 1", events: fourEvents},
	{name: "four events, each three times", events: fourEvents, repeats: 3},
	{name: "four events of two cylinders", events: fourEvents, cylinders: []int{1, 2}},
	{name: "inlet opens, inlet closes, exhaust closes", events: []int{io, ic, ec}},
	{name: "inlet opens and closes", events: []int{io, ic}},
	{name: "exhaust opens and closes", events: []int{eo, ec}},
	{name: "both openings", events: []int{io, eo}},
	{name: "inlet opens, exhaust closes", events: []int{io, ec}},
	{name: "four events and the wheel marks", events: fourEvents, marks: true},
	{name: "four events and a positive stop", events: fourEvents, stop: true},
	{name: "four events, wheel marks and positive stop", events: fourEvents, marks: true, stop: true},
	{name: "four events and clearances felt again", events: fourEvents, felt: true},
	{name: "four events and the cylinder on the rock", events: fourEvents, rock: true},
}

// noise is how readings scatter.
type noise struct {
	name string
	// limit is what the reader says; off draws by how much a reading is off.
	limit float64
	off   func(*rand.Rand) float64
}

func even(limit float64) func(*rand.Rand) float64 {
	return func(r *rand.Rand) float64 { return limit * (2*r.Float64() - 1) }
}

var noises = []noise{
	{"±½°, evenly", 0.5, even(0.5)},
	{"±1°, evenly", 1, even(1)},
	{"±1°, normally (σ = 1°/√3)", 1, func(r *rand.Rand) float64 { return r.NormFloat64() / math.Sqrt(3) }},
	{"±2°, evenly", 2, even(2)},
}

// readings writes a file of readings of an engine with a fault.
func (e *engine) readings(f fault, s subset, n noise, random *rand.Rand) string {
	var b strings.Builder
	fmt.Fprintf(&b, "readings: 1\nread_at: %s\nread_by: paper\nuncertainty: %g\ncylinders:\n", quoted(e.readAt), n.limit)
	var truly [4]float64 // the engine is as its prints allow
	for i := range truly {
		truly[i] = e.half * (2*random.Float64() - 1)
	}
	cylinders := s.cylinders
	if cylinders == nil {
		cylinders = []int{1}
	}
	for _, k := range cylinders {
		fmt.Fprintf(&b, "  %d:\n", k)
		for _, event := range s.events {
			at := e.after(event, e.events[event]) + truly[event]
			if f.reads != nil {
				at = f.reads(event) + truly[event]
			} else {
				at += f.late(k, event)
			}
			prints := make([]string, max(s.repeats, 1))
			for i := range prints {
				prints[i] = e.position(at + n.off(random))
			}
			fmt.Fprintf(&b, "    %s: [%s]\n", eventKeys[event], strings.Join(prints, ", "))
		}
	}
	if s.marks && len(e.wheels) > 0 {
		b.WriteString("wheel_marks:\n")
		for _, w := range e.wheels {
			fmt.Fprintf(&b, "  %s: %s\n", w.name, stands(f.marks[w.name]))
		}
	}
	if s.stop {
		stopped := func(at float64) string { return e.position(at + f.top + n.off(random)) }
		fmt.Fprintf(&b, "positive_stop: {before: %s, after: %s}\n", stopped(-30), stopped(30))
	}
	if s.felt && e.clearances[0] > 0 {
		felt := func(v int) string {
			return fmt.Sprintf("%.1f thou", (e.clearances[v]+f.wider[v])/thou+random.Float64()-0.5)
		}
		fmt.Fprintf(&b, "clearance: {felt_again: {inlet: %s, exhaust: %s}}\n", felt(0), felt(1))
	}
	if s.rock && e.companion > 0 {
		on := e.companion
		if f.onRocks {
			on = 1
		}
		fmt.Fprintf(&b, "revolution: {ignition_at: 1, on_the_rock: %d}\n", on)
	}
	return b.String()
}

// position writes degrees after top dead centre as a person would, from the
// nearer dead centre; deg may be of any size.
func (e *engine) position(deg float64) string {
	deg = wrapped(deg)
	switch {
	case deg > 90:
		return below(deg - e.lower())
	case deg < -90:
		return below(deg + 360 - e.lower())
	case deg < 0:
		return fmt.Sprintf("%.1f BTDC", -deg)
	}
	return fmt.Sprintf("%.1f ATDC", deg)
}

// lower is bottom dead centre, in degrees after top dead centre.
func (e *engine) lower() float64 {
	if e.bottom > 0 {
		return e.bottom
	}
	return 180
}

func below(deg float64) string {
	if deg < 0 {
		return fmt.Sprintf("%.1f BBDC", -deg)
	}
	return fmt.Sprintf("%.1f ABDC", deg)
}

// wrapped is an angle within half a turn.
func wrapped(deg float64) float64 { return deg - 360*math.Round(deg/360) }

func stands(teeth int) string {
	word, n := "late", teeth
	if n < 0 {
		word, n = "early", -n
	}
	switch n {
	case 0:
		return "meet"
	case 1:
		return "1 tooth " + word
	}
	return fmt.Sprintf("%d teeth %s", n, word)
}

func quoted(s string) string { return `"` + strings.ReplaceAll(s, `"`, `\"`) + `"` }

func decimal(x float64) string { return fmt.Sprintf("%.1f", x) }
