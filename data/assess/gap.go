package assess

import (
	"slices"

	"gonum.org/v1/gonum/mat"

	"fourmarks.example/convert/crank"
)

// clearances lists what makes valves open late and close early: a clearance
// wider than was said, or a worn lobe; and, the other way about, a clearance
// that is narrower.
func (a *assessor) clearances() []hypothesis {
	valves := a.valvesRead()
	var all []hypothesis
	if len(valves) == 2 {
		all = append(all, a.allGaps())
		all = append(all, a.otherSets(classAllGaps)...)
	}
	for _, valve := range valves {
		cylinders := a.cylindersRead(valve)
		class := valve + " valve short or long"
		all = append(all, a.gap(WrongClearance, class, valve, 0, 1))
		if len(valves) == 1 {
			all = append(all, a.otherSets(class)...)
		}
		if len(cylinders) == 1 {
			all = append(all, a.gap(WornLobe, class, valve, cylinders[0], 0.5))
			continue
		}
		for _, k := range cylinders {
			class := valve + " valve of " + cylinderName(k) + " short or long"
			all = append(all, a.gap(WrongClearance, class, valve, k, 0.5/float64(len(cylinders))), a.gap(WornLobe, class, valve, k, 0.5/float64(len(cylinders))))
		}
	}
	return all
}

// gap is a clearance that is not what was said, of one valve or (cylinder 0) of
// all of a kind, or a lobe worn by as much. Where the flank is known the
// clearance is to be found; else the degrees by which the valve opens late and
// closes early, and those by which its flanks are unlike.
func (a *assessor) gap(cause Cause, class, valve string, cylinder int, weight float64) hypothesis {
	h := hypothesis{cause: cause, where: valve, class: class, valve: valve, cylinder: cylinder, weight: weight, sizes: first}
	moved := func(t target) bool {
		return valveOf(t.event) == valve && (cylinder == 0 || cylinder == t.cylinder)
	}
	f := a.setting.flanks[valve]
	h.spread = free(gapSpread)
	if !f.known() {
		h.spread = free(shortSpread, unevenSpread)
	}
	if cause == WornLobe {
		h.least = []float64{0}
	}
	h.late = func(found []float64, t target) float64 {
		if !moved(t) {
			return 0
		}
		return f.moves(t.event, found)
	}
	return h
}

// moves is by how much later an event comes for what was found: a clearance
// wider by so many millimetres, or degrees.
func (f flank) moves(e crank.Event, found []float64) float64 {
	switch opens := isOpening(e); {
	case f.known():
		later, closesLater := f.shift(found[0])
		if opens {
			return later
		}
		return closesLater
	case opens:
		return found[0] + found[1]
	}
	return found[1] - found[0]
}

// allGaps is a clearance of all valves that is not what was said: by nearly the
// same for inlet and exhaust.
func (a *assessor) allGaps() hypothesis {
	h := hypothesis{cause: WrongClearance, class: classAllGaps, weight: 1}
	in, out := a.setting.flanks[inlet], a.setting.flanks[exhaust]
	width, together := gapSpread, gapsTogether
	each := 1 // how many values each valve has to be found
	if !in.known() || !out.known() {
		in.shift, out.shift = nil, nil
		width, together, each = shortSpread, shortsTogether, 2
	}
	h.spread = mat.NewSymDense(2*each, nil)
	for i := range 2 * each {
		h.spread.SetSym(i, i, float64(unevenSpread*unevenSpread))
	}
	h.spread.SetSym(0, 0, float64(width*width))
	h.spread.SetSym(each, each, float64(width*width))
	h.spread.SetSym(0, each, float64(together*width*width))
	h.sizes = []int{0, each}
	h.late = func(found []float64, t target) float64 {
		if valveOf(t.event) == inlet {
			return in.moves(t.event, found[:each])
		}
		return out.moves(t.event, found[each:])
	}
	return h
}

// otherSets lists the sets of figures at other clearances: one of those may have
// been set instead.
func (a *assessor) otherSets(class string) []hypothesis {
	var all []hypothesis
	for _, other := range a.otherClearances {
		all = append(all, hypothesis{cause: WrongClearance, where: readAt(other.sets[0].Value), class: class, of: other, weight: 0.5, late: a.insteadOf(other)})
	}
	return all
}

func (a *assessor) valvesRead() []string {
	var valves []string
	for _, valve := range []string{inlet, exhaust} {
		if len(a.cylindersRead(valve)) > 0 {
			valves = append(valves, valve)
		}
	}
	return valves
}

// cylindersRead lists the cylinders on which a valve was read.
func (a *assessor) cylindersRead(valve string) []int {
	var all []int
	for _, r := range a.bench.readings {
		if valveOf(r.event) == valve && !slices.Contains(all, r.cylinder) {
			all = append(all, r.cylinder)
		}
	}
	return all
}
