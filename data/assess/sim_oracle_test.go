package assess_test

import (
	"math"
	"strings"
)

// tells reports whether an explanation, by the program's name for it, is one that
// the readings cannot tell from the fault: it does the same to every event read,
// within a tolerance. It is worked out from the simulation's own engine, without
// noise.
func (e *engine) tells(class string, f fault, s subset, tolerance float64) bool {
	var off []float64 // by how much each event is late
	var which []int
	cylinders := s.cylinders
	if cylinders == nil {
		cylinders = []int{1}
	}
	var whose []int
	for _, k := range cylinders {
		for _, event := range s.events {
			off, which, whose = append(off, f.shift(e, k, event)), append(which, event), append(whose, k)
		}
	}
	fits := func(predict func(i int) float64) bool {
		for i := range off {
			if math.Abs(wrapped(off[i]-predict(i))) > tolerance {
				return false
			}
		}
		return true
	}
	// byOne reports whether one angle, that of the first event concerned, does for
	// all that are, and nothing for the others.
	byOne := func(concerned func(i int) bool) bool {
		for i := range off {
			if concerned(i) {
				by := off[i]
				return fits(func(j int) float64 {
					if concerned(j) {
						return by
					}
					return 0
				})
			}
		}
		return false
	}
	valve := func(i int) int { return which[i] / 2 }
	switch {
	case class == fine:
		return fits(func(int) float64 { return 0 })
	case class == alike:
		return byOne(func(int) bool { return true })
	case class == "inlet events alike":
		return byOne(func(i int) bool { return valve(i) == 0 })
	case class == "exhaust events alike":
		return byOne(func(i int) bool { return valve(i) == 1 })
	case strings.HasSuffix(class, "short or long"):
		return e.gapTells(class, off, which, whose, tolerance)
	case strings.HasPrefix(class, "figures of variant "):
		events, known := e.variants[strings.TrimPrefix(class, "figures of variant ")]
		return known && fits(func(i int) float64 {
			return e.after(which[i], events[which[i]]) - e.after(which[i], e.events[which[i]])
		})
	}
	for _, other := range e.faults(nowhere(), plainFaults) {
		if other.reads != nil && other.classes[0] == class {
			return fits(func(i int) float64 { return other.shift(e, whose[i], which[i]) })
		}
	}
	return false
}

// shift is by how many degrees a fault makes an event late.
func (f fault) shift(e *engine, cylinder, event int) float64 {
	if f.reads != nil {
		return wrapped(f.reads(event) - e.after(event, e.events[event]))
	}
	return f.late(cylinder, event)
}

// gapTells reports whether some clearance, or for want of a cam some degrees by
// which valves open late and close early, does what was done.
func (e *engine) gapTells(class string, off []float64, which, whose []int, tolerance float64) bool {
	concerned := func(i int) bool {
		switch {
		case strings.HasPrefix(class, "all"):
			return true
		case strings.HasPrefix(class, "inlet") && which[i]/2 != 0, strings.HasPrefix(class, "exhaust") && which[i]/2 != 1:
			return false
		case strings.Contains(class, "of No. 1 "):
			return whose[i] == 1
		case strings.Contains(class, "of No. "):
			return whose[i] != 1
		}
		return true
	}
	try := func(inlet, exhaust, uneven float64) bool {
		for i := range off {
			want := 0.0
			if concerned(i) {
				want = [2]float64{inlet, exhaust}[which[i]/2]
				if which[i]%2 == 1 {
					want = -want
				}
				want += uneven
			}
			if math.Abs(wrapped(off[i]-want)) > tolerance {
				return false
			}
		}
		return true
	}
	for by := -20.0; by <= 60; by += 0.25 {
		for apart := -4.0; apart <= 4; apart += 0.5 {
			if e.tables[0] != nil && by*thou > -e.clearances[0]+0.01 && (by+apart)*thou > -e.clearances[1]+0.01 {
				if try(e.short(0, by*thou), e.short(1, (by+apart)*thou), 0) {
					return true
				}
			}
			if e.tables[0] != nil {
				continue
			}
			for uneven := -1.0; uneven <= 1; uneven += 0.5 {
				if try(by, by+apart, uneven) {
					return true
				}
			}
		}
	}
	return false
}
