package assess_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"fourmarks.example/data/assess"
)

// The events by their places in an engine's figures.
const (
	io = iota
	ic
	eo
	ec
)

// fault is one thing made wrong: what it does to events, and what other readings
// show of it.
type fault struct {
	cause assess.Cause
	where string
	// class is how the program calls the explanations that it may be given by.
	classes []string
	// late is how many degrees each event of a cylinder comes late; reads, where it
	// is set, is where the reader finds an event instead, in degrees after top dead
	// centre.
	late  func(cylinder, event int) float64
	reads func(event int) float64
	// top is by how much true top dead centre comes after the mark.
	top float64
	// marks are the teeth by which wheels stand late.
	marks map[string]int
	// wider is by how much the clearances were wider than said, in millimetres.
	wider   [2]float64
	feels   bool // that this can be felt
	onRocks bool // No. 1 is on the rock when its spark is due
}

// after is where an event lies in degrees after top dead centre.
func (e *engine) after(event int, deg float64) float64 {
	return [4]float64{-deg, e.lower() + deg, e.lower() - deg, deg}[event]
}

const (
	fine  = "as it should be"
	alike = "all events alike"
)

// sizes are how large faults are: moves in degrees, gaps in thou.
type sizes struct {
	name                string
	leastMove, mostMove float64
	leastGap, mostGap   float64
}

var (
	plainFaults = sizes{"plain faults: moves of 4 to 20°, clearances off by 7 to 15 thou", 4, 20, 7, 15}
	smallFaults = sizes{"small faults: moves of 1½ to 4°, clearances off by 2 to 7 thou", 1.5, 4, 2, 7}
)

// faults makes every fault of the design that an engine can have, of random size.
func (e *engine) faults(random *rand.Rand, sizes sizes) []fault {
	sign := func() float64 { return float64(2*random.IntN(2) - 1) }
	between := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	whole := func(by float64) func(int, int) float64 { return func(int, int) float64 { return by } }
	all := []fault{{cause: assess.AsItShould, classes: []string{fine}, late: whole(0)}, {cause: assess.RevolutionOut, classes: []string{fine}, late: whole(0), onRocks: true}}
	for _, w := range e.wheels {
		for _, teeth := range []int{1, -1, 2, -2} {
			all = append(all, e.tooth(w, teeth))
		}
	}
	mark := sign() * between(sizes.leastMove, sizes.mostMove)
	all = append(all, fault{cause: assess.DeadCentreMark, classes: []string{alike}, late: whole(mark), top: mark})
	bolts := sign() * 60 * float64(1+random.IntN(2))
	all = append(all, fault{cause: assess.Flywheel, classes: []string{alike}, late: whole(bolts), top: bolts})
	if by := sign() * between(sizes.leastMove, sizes.mostMove); len(e.wheels) > 0 && e.wheels[0].valve == 0 {
		all = append(all, fault{cause: assess.Camshaft, classes: []string{alike}, late: whole(by)})
	}
	for _, k := range sorted(e.tops) {
		// What comes so many degrees after No. 1's dead centre comes that many fewer
		// after a later one.
		before := -e.tops[k]
		all = append(all, fault{cause: assess.OtherDeadCentre, where: fmt.Sprintf("No. %d", k), classes: []string{alike}, late: whole(before), top: before})
		break
	}
	all = append(all, e.gapFaults(random, sizes)...)
	all = append(all,
		fault{cause: assess.Interchanged, classes: []string{string(assess.Interchanged)}, reads: func(event int) float64 { o := [4]int{eo, ec, io, ic}[event]; return e.after(o, e.events[o]) }},
		fault{cause: assess.Backwards, classes: []string{string(assess.Backwards)}, reads: func(event int) float64 { o := [4]int{ic, io, ec, eo}[event]; return e.after(o, -e.events[o]) }},
		fault{cause: assess.DiscReversed, classes: []string{"before and after interchanged"}, reads: func(event int) float64 { return e.after(event, -e.events[event]) }})
	for name, events := range e.variants {
		all = append(all, fault{cause: assess.OtherVariant, where: name, classes: []string{"figures of variant " + name}, late: func(_, event int) float64 {
			return e.after(event, events[event]) - e.after(event, e.events[event])
		}})
	}
	return all
}

func sorted(m map[int]float64) []int {
	var keys []int
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func (e *engine) tooth(w wheel, teeth int) fault {
	class := alike
	if w.valve > 0 {
		class = []string{"", "inlet events alike", "exhaust events alike"}[w.valve]
	}
	return fault{cause: assess.Tooth, where: w.name, classes: []string{class}, marks: map[string]int{w.name: teeth}, late: func(_, event int) float64 {
		if valve := 1 + event/2; w.valve != 0 && w.valve != valve {
			return 0
		}
		return float64(teeth) * w.step
	}}
}

// gapFaults are clearances that were not what was said, and worn lobes. Where the
// simulation does not know the cam the valve opens late and closes early by
// degrees.
func (e *engine) gapFaults(random *rand.Rand, sizes sizes) []fault {
	valves := [2]string{"inlet", "exhaust"}
	var all []fault
	add := func(cause assess.Cause, valve int, wider float64, only int) {
		f := fault{cause: cause, late: func(cylinder, event int) float64 {
			v := event / 2
			if valve >= 0 && v != valve || only > 0 && cylinder != only {
				return 0
			}
			short := e.short(v, wider)
			if event%2 == 1 {
				return -short
			}
			return short
		}}
		f.classes = []string{"all valves short or long"}
		if valve >= 0 {
			f.where = valves[valve]
			f.classes = []string{valves[valve] + " valve short or long", fmt.Sprintf("%s valve of No. 1 short or long", valves[valve])}
		}
		if cause == assess.WrongClearance && e.tables[0] != nil {
			f.feels = true
			for v := range 2 {
				if valve < 0 || v == valve {
					f.wider[v] = wider
				}
			}
		}
		all = append(all, f)
	}
	if e.other != nil {
		all = append(all, fault{cause: assess.WrongClearance, where: "the other set", classes: []string{"all valves short or long"}, late: func(_, event int) float64 {
			return e.after(event, e.other[event]) - e.after(event, e.events[event])
		}, feels: true, wider: [2]float64{e.otherGaps[0] - e.clearances[0], e.otherGaps[1] - e.clearances[1]}})
	}
	size := func() float64 { return (sizes.leastGap + (sizes.mostGap-sizes.leastGap)*random.Float64()) * thou }
	add(assess.WrongClearance, -1, size(), 0)
	add(assess.WrongClearance, random.IntN(2), size(), 0)
	for v := range 2 {
		add(assess.WornLobe, v, size(), 1)
	}
	if e.clearances[0] > 12*thou {
		add(assess.WrongClearance, -1, -(sizes.leastGap+1)*thou, 0)
	}
	return all
}

// short is by how many degrees a valve opens late and closes early when its
// clearance is wider, in its own geometry or, for want of a cam, two thirds of a
// degree for each thou.
func (e *engine) short(valve int, wider float64) float64 {
	table := e.tables[valve]
	if table == nil {
		return wider / thou / 1.5
	}
	at, ratio := e.clearances[valve], math.Max(e.rocker, 1)
	return opens(table, at/ratio) - opens(table, (at+wider)/ratio)
}
