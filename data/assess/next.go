package assess

import (
	"fmt"
	"math"
	"slices"

	"fourmarks.example/convert/interval"
)

// candidate is something that could be read next.
type candidate struct {
	what string
	// sigma is how closely it would be read; shows what it shows if a cause is true.
	sigma float64
	shows func(f *fitted) (value float64, words string)
}

// next returns the reading that parts the causes that remain best: the one with
// the largest disagreement between them, each pair counted by their shares. It is
// nil where one cause remains, or nothing here parts them.
func (a *assessor) next(left []*explanation) *Next {
	var standing []*fitted
	shares := map[*fitted]float64{}
	for _, x := range left {
		if named := x.named(); named != nil {
			standing = append(standing, named)
			shares[named] = x.share
			continue
		}
		for _, f := range x.standing() {
			standing = append(standing, f)
			shares[f] = math.Max(x.shares[f], remains)
		}
	}
	if len(standing) < 2 || len(left) == 1 && left[0].class == classFine {
		return nil
	}
	var best *candidate
	most := 0.0
	for _, c := range a.candidates(standing) {
		if by := c.parts(standing, shares); by > most {
			best, most = &c, by
		}
	}
	if best == nil {
		return nil
	}
	return best.told(standing)
}

// plain is the disagreement, in standard uncertainties, beyond which a reading
// parts two causes for certain; more does not count for more.
const plain = 6.0

// parts is how well a reading parts causes.
func (c *candidate) parts(standing []*fitted, shares map[*fitted]float64) float64 {
	sum := 0.0
	for i, f := range standing {
		x, _ := c.shows(f)
		for _, g := range standing[i+1:] {
			y, _ := c.shows(g)
			if apart := math.Abs(x-y) / c.sigma; apart > 2 {
				sum += math.Sqrt(shares[f]*shares[g]) * math.Min(apart, plain)
			}
		}
	}
	return sum
}

// told lists what the reading shows for each cause, those that show the same
// together.
func (c *candidate) told(standing []*fitted) *Next {
	n := &Next{What: c.what}
	for _, f := range standing {
		_, words := c.shows(f)
		i := slices.IndexFunc(n.Expected, func(e Expect) bool { return e.Shows == words })
		if i < 0 {
			i = len(n.Expected)
			n.Expected = append(n.Expected, Expect{Shows: words})
		}
		if said := f.short(); !slices.Contains(n.Expected[i].If, said) {
			n.Expected[i].If = append(n.Expected[i].If, said)
		}
	}
	return n
}

// short is a cause in a few words.
func (f *fitted) short() string {
	switch {
	case f.cause == Tooth && f.where != "":
		return f.where + " a tooth out"
	case f.cause == OtherDeadCentre:
		return "dead centre of " + f.where
	case f.cause == WrongClearance && f.cylinder != 0:
		return fmt.Sprintf("%s clearance of %s", f.valve, cylinderName(f.cylinder))
	case f.cause == WrongClearance && f.valve != "":
		return f.valve + " clearance"
	case f.cause == WrongClearance:
		return "clearance of all valves"
	case f.cause == WornLobe:
		return fmt.Sprintf("worn %s lobe of %s", f.valve, cylinderName(f.cylinder))
	case f.cause == OtherVariant:
		return "figures of " + f.of.name()
	case f.cause == Camshaft && f.drive != nil:
		return f.drive.name + " moved"
	}
	return string(f.cause)
}

// candidates lists what could be read to part the causes that remain.
func (a *assessor) candidates(standing []*fitted) []candidate {
	all := a.eventsToRead()
	has := func(causes ...Cause) bool {
		return slices.ContainsFunc(standing, func(f *fitted) bool { return slices.Contains(causes, f.cause) })
	}
	if a.bench.stop == nil && has(DeadCentreMark, Flywheel, OtherDeadCentre) {
		all = append(all, a.stopToRead())
	}
	if has(Tooth) && len(a.read.WheelMarks) < a.driven() {
		all = append(all, candidate{what: "how the marks of the timing wheels stand, at every mesh", sigma: 1.0 / 6, shows: func(f *fitted) (float64, string) {
			if f.cause != Tooth || f.where == "" {
				return 0, "all marks meet"
			}
			way := "late"
			if f.teeth < 0 {
				way = "early"
			}
			apart := float64(slices.IndexFunc(standing, func(g *fitted) bool { return g == f }) + 1)
			return apart, fmt.Sprintf("%s stands %s %s", f.where, plural(abs(f.teeth), "tooth", "teeth"), way)
		}})
	}
	if has(WornLobe, WrongClearance) && (a.read.Clearance == nil || a.read.Clearance.FeltAgain == nil) {
		all = append(all, a.gapsToFeel()...)
	}
	return all
}

// driven is the number of driven wheels with a name.
func (a *assessor) driven() int {
	n := 0
	for _, d := range a.drives {
		for _, m := range d.meshes {
			if m.wheel != "" {
				n++
			}
		}
	}
	return n
}

// eventsToRead are the events of the cylinders read: those that were not, and
// those that could be read again more closely.
func (a *assessor) eventsToRead() []candidate {
	var all []candidate
	var cylinders []int
	for _, t := range a.data.targets {
		if !slices.Contains(cylinders, t.cylinder) {
			cylinders = append(cylinders, t.cylinder)
		}
	}
	closely := 0.5 / math.Sqrt(3) // as by dial
	for _, k := range cylinders {
		for _, e := range fourEvents {
			t := target{k, e}
			x, known := a.setting.figure(t)
			if !known {
				continue
			}
			c := candidate{what: fmt.Sprintf("%s of %s", e, cylinderName(k)), sigma: math.Hypot(usual["paper"]/math.Sqrt(3), x.sigma),
				shows: func(f *fitted) (float64, string) {
					by := f.late(f.found, t)
					if math.IsNaN(by) {
						return 0, "unknown"
					}
					return by, placed(e, x.after+by)
				}}
			if slices.Contains(a.data.targets, t) {
				c.what, c.sigma = c.what+" once more, as closely as a dial allows", math.Hypot(closely, x.sigma)*math.Sqrt2
			}
			all = append(all, c)
		}
	}
	return all
}

// stopToRead is a positive stop, which shows by how much the mark is out.
func (a *assessor) stopToRead() candidate {
	return candidate{what: "a positive stop against the piston, on both sides of top dead centre", sigma: usual["paper"] / math.Sqrt(6), shows: func(f *fitted) (float64, string) {
		if f.cause != DeadCentreMark && f.cause != Flywheel && f.cause != OtherDeadCentre {
			return 0, "top dead centre at its mark"
		}
		by := f.late(f.found, target{})
		return by, fmt.Sprintf("top dead centre %s past its mark", degrees(turned(by)))
	}}
}

// gapsToFeel are the clearances of the valves read.
func (a *assessor) gapsToFeel() []candidate {
	var all []candidate
	for _, valve := range a.valvesRead() {
		said, known := a.setting.said(valve)
		if !known {
			continue
		}
		all = append(all, candidate{what: fmt.Sprintf("the %s clearance, felt again", valve), sigma: feltWithin, shows: func(f *fitted) (float64, string) {
			as := "as it was said"
			if f.cause != WrongClearance || f.valve != "" && f.valve != valve {
				return 0, as
			}
			wider := a.wider(f, valve)
			switch {
			case wider.Meets(interval.Point(0).Grow(feltWithin)):
				return 0, as
			case wider.IsFinite() && wider.Width() < 10*feltWithin:
				return wider.Mid(), "about " + inUnits(said.MM.Mid()+wider.Mid())
			case wider.Lo > 0:
				return 1, "wider than it was said"
			}
			return -1, "narrower than it was said"
		}})
	}
	return all
}
