package rules_test

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
)

// Positions printed as lengths and teeth, and the marks that stand for them.

// position bounds an unknown, an angle from a datum, by all that a print says of
// it: degrees, piston travel, rim, teeth.
func (w *world) position(unknown, path, datum string) {
	if s, ok := w.allowed(path, "°", datum); ok {
		w.forms = append(w.forms, within(unknown, s.lo, s.hi, s.from))
		w.exact(s.first.value.Cmp(rat(360)) <= 0, s.from) // no position is further than a turn from a dead centre
	}
	for _, measure := range []string{"piston", "rim", "teeth"} {
		if s, ok := w.allowed(path, measure, ""); ok && w.oneWay(path, measure) {
			part, known := "", true
			switch measure {
			case "rim":
				part, known = w.onlyPart("rim_diameter")
			case "teeth":
				part, known = w.onlyPart("ring_teeth")
			}
			if known {
				w.distance(unknown, datum, s, measure, part)
				w.twoWays(path)
			}
		}
	}
}

// twoWays counts the relation between degrees and another measure in one print.
func (w *world) twoWays(path string) {
	if _, ok := w.allowed(path, "°", "atdc"); ok {
		w.applied++
	}
}

// oneWay reports whether all readings of a measure are counted alike.
func (w *world) oneWay(path, measure string) bool {
	_, claims := w.prints(path)
	seen := map[string]bool{}
	for _, rs := range claims {
		for _, r := range rs {
			if r.unit == measure {
				seen[fmt.Sprint(r.datum, r.straight)] = true
			}
		}
	}
	return len(seen) == 1
}

// onlyPart is the marked part with a rim, or a ring, that a print means when it
// names none.
func (w *world) onlyPart(key string) (string, bool) {
	var names []string
	for _, name := range w.l.order["/marks"] {
		if f := w.l.figures["/marks/"+name+"/"+key]; f != nil && w.l.words["/marks/"+name+"/shaft"] != "camshaft" {
			if texts := f.standing(); len(texts) > 0 && !isAbsent(texts[0]) {
				names = append(names, name)
			}
		}
	}
	switch {
	case len(names) == 1:
		return names[0], true
	case slices.Contains(names, "flywheel"):
		return "flywheel", true
	}
	return "", false
}

// distance bounds an angle by a length or a number of teeth from a dead centre.
func (w *world) distance(unknown, datum string, s span, measure, part string) {
	datumOf, from := s.first.datum, append(w.through(measure, part), s.from)
	bounded := func(angle func(box) (lo, hi float64)) func(box, float64) []form {
		return func(b box, margin float64) []form {
			lo, hi := angle(b)
			if math.IsNaN(lo) && margin > 0 {
				return nil // nothing is known
			}
			// No distance from a dead centre spans more than half a turn.
			lo, hi = lo-margin, math.Min(hi, 180)+margin
			if !(lo <= hi) {
				return []form{impossible(from...)}
			}
			a, c := new(big.Rat).SetFloat64(lo), new(big.Rat).SetFloat64(hi)
			if datum != "" {
				a, c = recount(a, c, datumOf, datum)
			}
			return []form{within(unknown, a, c, from...)}
		}
	}
	lo, hi := float64Of(s.lo), float64Of(s.hi)
	turns := 1.0
	if part != "" && w.l.words["/marks/"+part+"/shaft"] == "camshaft" {
		turns = 2
	}
	switch measure {
	case "piston":
		w.linkage()
		top := strings.HasSuffix(datumOf, "tdc")
		w.choices = append(w.choices, choice{ways: []func(box, float64) []form{bounded(func(b box) (float64, float64) { return travelAngle(lo, hi, top, b) })}})
	case "teeth":
		d := w.pivot("ring of "+part, "/marks/"+part+"/ring_teeth", "1", 40, 250, true)
		w.choices = append(w.choices, choice{ways: []func(box, float64) []form{bounded(func(b box) (float64, float64) {
			return turns * 360 * lo / b[d][1], turns * 360 * hi / b[d][0]
		})}})
	case "rim":
		d := w.pivot("rim of "+part, "/marks/"+part+"/rim_diameter", "mm", 20, 3000, false)
		along := bounded(func(b box) (float64, float64) {
			return turns * 360 * lo / (math.Pi * b[d][1]), turns * 360 * hi / (math.Pi * b[d][0])
		})
		across := bounded(func(b box) (float64, float64) {
			chord := func(x float64) float64 { return turns * 2 * math.Asin(math.Min(x, 1)) * 180 / math.Pi }
			if lo > b[d][1] {
				return 1, 0
			}
			return chord(lo / b[d][1]), chord(hi / b[d][0])
		})
		either := bounded(func(b box) (float64, float64) {
			if lo > b[d][1] {
				return turns * 360 * lo / (math.Pi * b[d][1]), turns * 360 * hi / (math.Pi * b[d][0])
			}
			return turns * 360 * lo / (math.Pi * b[d][1]), turns * 2 * math.Asin(math.Min(hi/b[d][0], 1)) * 180 / math.Pi
		})
		if s.first.straight {
			w.choices = append(w.choices, choice{ways: []func(box, float64) []form{across}})
			return
		}
		w.choices = append(w.choices, choice{ways: []func(box, float64) []form{along, across}, wide: either})
	}
}

// impossible is a form that nothing satisfies.
func impossible(from ...string) form {
	return form{of: map[string]int64{"nothing": 1}, lo: rat(1), hi: rat(0), from: from}
}

func float64Of(x *big.Rat) float64 { f, _ := x.Float64(); return f }

// through are the figures that a measure goes through.
func (w *world) through(measure, part string) []string {
	var all []string
	for _, path := range map[string][]string{
		"piston": {"/size/stroke", "/size/rod_centres"},
		"rim":    {"/marks/" + part + "/rim_diameter"},
		"teeth":  {"/marks/" + part + "/ring_teeth"},
	}[measure] {
		if f := w.figure(path); f != nil {
			all = append(all, f.pointer)
		}
	}
	return all
}

// pivot makes a dimension a pivot: what its print allows, or anything from lo to hi.
func (w *world) pivot(name, path, unit string, lo, hi float64, whole bool) string {
	for _, p := range w.pivots {
		if p.name == name {
			return name
		}
	}
	if s, ok := w.allowed(path, unit, ""); ok {
		lo, hi = float64Of(s.lo), float64Of(s.hi)
	}
	w.pivots = append(w.pivots, pivot{name, lo, hi, whole})
	return name
}

// The pivots of the linkage: the stroke, and the rod itself or in strokes where
// it is not printed. Any rod of 1.4 to 2.5 strokes is allowed then.
const (
	strokePivot = "stroke"
	rodPivot    = "rod"
	ratioPivot  = "rod in strokes"
)

func (w *world) linkage() {
	w.pivot(strokePivot, "/size/stroke", "mm", 20, 600, false)
	if s, ok := w.allowed("/size/rod_centres", "mm", ""); ok {
		w.pivot(rodPivot, "/size/rod_centres", "mm", float64Of(s.lo), float64Of(s.hi), false)
		return
	}
	w.pivot(ratioPivot, "", "", 1.4, 2.5, false)
}

// travelAngle is the angle from a dead centre at which the piston has travelled
// from lo to hi: from the triangle of crank, rod and cylinder, at the corners of
// the box. Within it the angle grows or falls with each dimension all the way,
// but for rods hardly longer than the throw, where the margin of angles covers
// what a box as narrow as a print adds.
func travelAngle(lo, hi float64, top bool, b box) (float64, float64) {
	from, to := math.Inf(1), math.Inf(-1)
	rods := b[rodPivot]
	ratios, inStrokes := b[ratioPivot]
	corners, short, beyond := 0, 0, false
	for _, stroke := range b[strokePivot] {
		if inStrokes {
			rods = [2]float64{ratios[0] * stroke, ratios[1] * stroke}
		}
		for _, rod := range rods {
			corners++
			switch {
			case rod <= stroke/2:
				short++
			case lo > stroke:
				beyond = true
			default:
				from = math.Min(from, pistonAngle(math.Max(lo, 0), stroke/2, rod, top))
				to = math.Max(to, pistonAngle(math.Min(hi, stroke), stroke/2, rod, top))
			}
		}
	}
	switch {
	case short > 0 && short < corners:
		return math.NaN(), math.NaN()
	case from > to:
		return 1, 0 // further than the piston goes, or a rod that the crank cannot pass
	case beyond:
		return from, 180
	}
	return from, to
}

func pistonAngle(travel, throw, rod float64, top bool) float64 {
	pin := throw + rod - travel // from the crankshaft to the piston pin
	if !top {
		pin = rod - throw + travel
	}
	cos := (throw*throw + pin*pin - rod*rod) / (2 * throw * pin)
	angle := math.Acos(math.Max(-1, math.Min(1, cos))) * 180 / math.Pi
	if !top {
		return 180 - angle
	}
	return angle
}

// stampMeans are the figures that a stamp can mark and the datum of each.
var stampMeans = map[string]struct{ event, ignition, datum string }{
	"inlet_opens": {"inlet_opens", "", "btdc"}, "inlet_closes": {"inlet_closes", "", "abdc"},
	"exhaust_opens": {"exhaust_opens", "", "bbdc"}, "exhaust_closes": {"exhaust_closes", "", "atdc"},
	"inlet_full_open": {"inlet_lobe_centre", "", "atdc"}, "exhaust_full_open": {"exhaust_lobe_centre", "", "btdc"},
	"firing": {"", "fixed", "btdc"}, "full_advance": {"", "advance", "btdc"}, "full_retard": {"", "fully_retarded", "btdc"},
}

// stamps: a mark's angle, rim distance and teeth are those of what it marks.
func (w *world) stamps() {
	for _, part := range w.l.order["/marks"] {
		for _, stamp := range w.l.order["/marks/"+part+"/stamps"] {
			p := "/marks/" + part + "/stamps/" + stamp
			m, ok := stampMeans[w.l.words[p+"/means"]]
			if !ok {
				continue
			}
			unknown := p
			if path := w.marked(p, m.event, m.ignition); path != "" {
				unknown = path
			}
			if s, ok := w.allowed(p+"/angle", "°", m.datum); ok {
				w.forms = append(w.forms, within(unknown, s.lo, s.hi, s.from))
				w.relation(p+"/angle", unknown)
			}
			for _, of := range [][2]string{{"rim", "rim"}, {"teeth", "teeth"}} {
				if s, ok := w.allowed(p+"/"+of[0], of[1], ""); ok && w.oneWay(p+"/"+of[0], of[1]) {
					w.distance(unknown, m.datum, s, of[1], part)
					dimension := map[string]string{"rim": "rim_diameter", "teeth": "ring_teeth"}[of[1]]
					angle := unknown
					if angle == p {
						angle = p + "/angle"
					}
					w.relation(p+"/"+of[0], "/marks/"+part+"/"+dimension, angle)
				}
			}
			w.stampedClearance(p, m.event)
		}
	}
}

// marked is the path of the figure that a stamp marks; "" when that cannot be told.
func (w *world) marked(stamp, event, ignition string) string {
	if ignition != "" {
		path := "/ignition/" + ignition
		if f := w.l.figures[path]; ignition == "fixed" && (f == nil || len(f.standing()) == 0 || isAbsent(f.standing()[0])) {
			return ""
		}
		return path
	}
	sets := w.l.order["/events"]
	name, given := w.l.words[stamp+"/clearance"]
	if !given {
		if len(sets) == 1 {
			return "/events/" + sets[0] + "/" + event
		}
		return ""
	}
	for _, set := range sets {
		if set == name || w.l.words["/events/"+set+"/read_at"] == name+" clearance" {
			return "/events/" + set + "/" + event
		}
	}
	return ""
}

// stampedClearance: the clearance stamped is that of the sheet that it names.
func (w *world) stampedClearance(stamp, event string) {
	s, ok := w.allowed(stamp+"/clearance_stamped", "mm", "")
	name := w.l.words[stamp+"/clearance"]
	valve, _, _ := strings.Cut(event, "_")
	if !ok || name == "" || valve == "" {
		return
	}
	path := "/clearances/" + name + "/" + valve
	if w.l.figures[path] != nil {
		w.forms = append(w.forms, within(path, s.lo, s.hi, s.from))
		w.relation(stamp+"/clearance_stamped", path)
	}
}
