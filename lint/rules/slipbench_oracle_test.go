package rules_test

import (
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
)

// The oracle says whether the prints of a file really contradict one another:
// whether there are no values within what the prints stand for that satisfy all
// relations. It restates the relations as formulas of its own and decides the
// linear ones exactly; lengths that turn into angles (rim, piston travel) are
// decided by cutting up the ranges of the few dimensions that they go through,
// and products by their logarithms, with margins on the safe side.
//
// It knows nothing of cam profiles, of bands and proportions that are custom
// (piston, rod, gaps), of helical wheels and chains, of throws and stamps' order,
// nor of expansion and cranking pressure.

// answer is what the oracle makes of a file.
type answer int

const (
	holds answer = iota
	contradicts
	unreadable // a figure is no print of its kind, so there is nothing to compare
	unknown
)

// oracle remembers the prints it has read.
type oracle struct{ prints map[printKey]parsed }

type printKey struct {
	of   *quantity
	text string
}

type parsed struct {
	readings []reading
	err      error
}

func newOracle() *oracle {
	return &oracle{prints: map[printKey]parsed{}}
}

func (o *oracle) read(of *quantity, text string) ([]reading, error) {
	key := printKey{of, text}
	p, ok := o.prints[key]
	if !ok {
		p.readings, p.err = readPrint(*of, text)
		o.prints[key] = p
	}
	return p.readings, p.err
}

// judge decides a file, with the print of one figure ignored (none when freed is
// empty). culprits are figures one of which must be wrong.
func (o *oracle) judge(s *sheet, freed string) (answer, map[string]bool) {
	culprits := map[string]bool{}
	result := holds
	for _, l := range s.layers {
		w := o.world(l, freed)
		switch a := w.decide(); a {
		case contradicts:
			result = contradicts
			maps.Copy(culprits, w.culprits)
		case unreadable, unknown:
			if result != contradicts {
				result = a
			}
		}
	}
	return result, culprits
}

// restoring returns the figures each of which alone, its print ignored, lets all
// relations hold; known is false when that could not be decided for one of them.
func (o *oracle) restoring(s *sheet, culprits map[string]bool) (figures []string, known bool) {
	known = true
	for _, pointer := range slices.Sorted(maps.Keys(culprits)) {
		switch a, _ := o.judge(s, pointer); a {
		case holds:
			figures = append(figures, pointer)
		case unknown, unreadable:
			known = false
		}
	}
	return figures, known
}

// world is the relations of one layer.
type world struct {
	o        *oracle
	l        *layer
	freed    string
	culprits map[string]bool
	unread   error // a print that cannot be read
	offset   bool  // the cylinders are offset, and dead centres shift: not followed

	forms   []form
	logs    []form
	pivots  []pivot
	choices []choice
	broken  [][]string // exact relations that fail
	applied int        // relations all of whose figures are printed
}

// pivot is a dimension that turns lengths into angles.
type pivot struct {
	name   string
	lo, hi float64
	whole  bool
}

// box is a range for each pivot.
type box map[string][2]float64

// choice is one of several ways in which prints may be meant. Each way gives
// forms for a box; wide ones, when set, hold whichever it is.
type choice struct {
	ways []func(box, float64) []form
	wide func(box, float64) []form
}

// span is what the prints of a figure allow; from is its pointer.
type span struct {
	lo, hi *big.Rat
	from   string
	// first is the first standing reading.
	first reading
}

// figure returns the figure at a path unless it is freed.
func (w *world) figure(path string) *printedFigure {
	f := w.l.figures[path]
	if f == nil || f.pointer == w.freed {
		return nil
	}
	return f
}

// prints returns, for each standing claim, the readings of a figure.
func (w *world) prints(path string) (f *printedFigure, claims [][]reading) {
	f = w.figure(path)
	if f == nil {
		return nil, nil
	}
	if f.of == nil || f.of == listQ {
		return nil, nil
	}
	for _, text := range f.standing() {
		rs, err := w.o.read(f.of, text)
		if err != nil {
			w.unread = fmt.Errorf("%s: %w", path, err)
			return nil, nil
		}
		if len(rs) > 0 {
			claims = append(claims, rs)
		}
	}
	return f, claims
}

// allowed is what the standing claims allow for readings in a unit, counted
// from a datum where there is one: all claims together, readings of one claim
// where they meet.
func (w *world) allowed(path, unit, datum string) (span, bool) {
	f, claims := w.prints(path)
	s := span{}
	for _, rs := range claims {
		var lo, hi *big.Rat
		spoke := false
		for _, r := range rs {
			if r.unit != unit {
				continue
			}
			a, b := r.lo, r.hi
			if datum != "" {
				a, b = recount(a, b, r.datum, datum)
			}
			switch {
			case !spoke:
				lo, hi = a, b
				if s.from == "" {
					s.first = r
				}
			case a.Cmp(hi) > 0 || b.Cmp(lo) < 0:
				lo, hi = least(lo, a), most(hi, b)
			default:
				lo, hi = most(lo, a), least(hi, b)
			}
			spoke = true
		}
		if !spoke {
			continue
		}
		if s.from == "" {
			s.from, s.lo, s.hi = f.pointer, lo, hi
			continue
		}
		s.lo, s.hi = least(s.lo, lo), most(s.hi, hi)
	}
	return s, s.from != ""
}

func least(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) < 0 {
		return a
	}
	return b
}

func most(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) > 0 {
		return a
	}
	return b
}

// recount counts an angle from another dead centre: after it for ATDC and ABDC,
// before it for the others; the turn is that which lies nearest.
func recount(lo, hi *big.Rat, from, to string) (*big.Rat, *big.Rat) {
	after := func(x *big.Rat, d string) *big.Rat {
		y := new(big.Rat).Set(x)
		if d[0] == 'b' {
			y.Neg(y)
		}
		if strings.HasSuffix(d, "bdc") {
			y.Add(y, big.NewRat(180, 1))
		}
		return y
	}
	a, b := after(lo, from), after(hi, from)
	if from[0] == 'b' {
		a, b = b, a
	}
	if strings.HasSuffix(to, "bdc") {
		a.Sub(a, big.NewRat(180, 1))
		b.Sub(b, big.NewRat(180, 1))
	}
	if to[0] == 'b' {
		a, b = b.Neg(b), a.Neg(a)
	}
	turn := big.NewRat(360, 1)
	for {
		middle := scaled(new(big.Rat).Add(a, b), 1, 2)
		switch {
		case middle.Cmp(big.NewRat(180, 1)) > 0:
			a.Sub(a, turn)
			b.Sub(b, turn)
		case middle.Cmp(big.NewRat(-180, 1)) <= 0:
			a.Add(a, turn)
			b.Add(b, turn)
		default:
			return a, b
		}
	}
}

// count returns a counted figure on which the claims agree.
func (w *world) count(path string) (int64, string, bool) {
	s, ok := w.allowed(path, "1", "")
	if !ok || s.lo.Cmp(s.hi) != 0 || !s.lo.IsInt() {
		return 0, "", false
	}
	return s.lo.Num().Int64(), s.from, true
}

// relation counts a relation that applies: all its figures are printed.
func (w *world) relation(paths ...string) {
	for _, p := range paths {
		if _, claims := w.prints(p); len(claims) == 0 {
			return
		}
	}
	w.applied++
}

func rat(n int64) *big.Rat { return big.NewRat(n, 1) }

// world builds the relations of a layer.
func (o *oracle) world(l *layer, freed string) *world {
	w := &world{o: o, l: l, freed: freed, culprits: map[string]bool{}}
	if _, ok := l.figures["/size/cylinder_offset"]; ok {
		w.offset = true
	}
	w.layout()
	w.drives()
	if len(w.broken) > 0 {
		return w // that settles it
	}
	w.twins()
	w.events()
	w.clearances()
	w.ignition()
	w.stamps()
	w.steps()
	w.size()
	return w
}

// twins are prints in two units, which must agree but for a last place cut off.
func (w *world) twins() {
	for _, path := range slices.Sorted(maps.Keys(w.l.figures)) {
		f, claims := w.prints(path)
		for _, rs := range claims {
			for i, a := range rs {
				for _, b := range rs[i+1:] {
					if a.unit == b.unit && a.datum == b.datum && a.straight == b.straight && !agree(a, b) {
						w.broken = append(w.broken, []string{f.pointer})
					}
				}
			}
		}
	}
}

func agree(a, b reading) bool {
	meet := func(lo, hi, lo2, hi2 *big.Rat) bool { return lo.Cmp(hi2) <= 0 && lo2.Cmp(hi) <= 0 }
	la, ha := a.cutOff()
	lb, hb := b.cutOff()
	return meet(a.lo, a.hi, b.lo, b.hi) || meet(la, ha, b.lo, b.hi) || meet(a.lo, a.hi, lb, hb)
}

// eventKeys are the figures of an event set that are crank positions, and the
// dead centre each is counted from.
var eventKeys = []struct{ key, datum string }{
	{"inlet_opens", "btdc"}, {"inlet_closes", "abdc"}, {"exhaust_opens", "bbdc"}, {"exhaust_closes", "atdc"},
	{"inlet_lobe_centre", "atdc"}, {"exhaust_lobe_centre", "btdc"},
}

// events are the sums of one set: durations, overlap, lobe centres, separation.
func (w *world) events() {
	for _, set := range w.l.order["/events"] {
		p := "/events/" + set + "/"
		for _, e := range eventKeys {
			w.position(p+e.key, p+e.key, e.datum)
		}
		sum := func(key string, less int64, of map[string]int64, times int64) {
			if s, ok := w.allowed(p+key, "°", ""); ok {
				lo := new(big.Rat).Sub(scaled(s.lo, times, 1), rat(less))
				hi := new(big.Rat).Sub(scaled(s.hi, times, 1), rat(less))
				w.forms = append(w.forms, form{of: of, lo: lo, hi: hi, from: []string{s.from}})
			}
		}
		sum("inlet_duration", 180, map[string]int64{p + "inlet_opens": 1, p + "inlet_closes": 1}, 1)
		sum("exhaust_duration", 180, map[string]int64{p + "exhaust_opens": 1, p + "exhaust_closes": 1}, 1)
		sum("overlap", 0, map[string]int64{p + "inlet_opens": 1, p + "exhaust_closes": 1}, 1)
		sum("lobe_separation", 0, map[string]int64{p + "inlet_lobe_centre": 1, p + "exhaust_lobe_centre": 1}, 2)
		w.forms = append(w.forms,
			form{of: map[string]int64{p + "inlet_lobe_centre": 2, p + "inlet_closes": -1, p + "inlet_opens": 1}, lo: rat(180), hi: rat(180)},
			form{of: map[string]int64{p + "exhaust_lobe_centre": 2, p + "exhaust_opens": -1, p + "exhaust_closes": 1}, lo: rat(180), hi: rat(180)})
		w.relation(p+"inlet_duration", p+"inlet_opens", p+"inlet_closes")
		w.relation(p+"exhaust_duration", p+"exhaust_opens", p+"exhaust_closes")
		w.relation(p+"overlap", p+"inlet_opens", p+"exhaust_closes")
		w.relation(p+"inlet_lobe_centre", p+"inlet_opens", p+"inlet_closes")
		w.relation(p+"exhaust_lobe_centre", p+"exhaust_opens", p+"exhaust_closes")
		w.relation(p+"lobe_separation", p+"inlet_lobe_centre", p+"exhaust_lobe_centre")
	}
	w.twoClearances()
}

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
				w.relation(path)
			}
		}
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
	from := s.first.datum
	bounded := func(angle func(box) (lo, hi float64)) func(box, float64) []form {
		return func(b box, margin float64) []form {
			lo, hi := angle(b)
			if math.IsNaN(lo) || math.IsNaN(hi) || math.IsInf(hi, 1) {
				if margin > 0 {
					return nil // nothing is known
				}
				return []form{impossible(s.from)}
			}
			lo, hi = lo-margin, hi+margin
			if lo > hi {
				return []form{impossible(s.from)}
			}
			a, c := new(big.Rat).SetFloat64(lo), new(big.Rat).SetFloat64(hi)
			if datum != "" && from != "" {
				a, c = recount(a, c, from, datum)
			}
			return []form{within(unknown, a, c, append(w.through(measure, part), s.from)...)}
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
		top := strings.HasSuffix(from, "tdc")
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
// the box, for the angle grows or falls with each dimension all the way as long
// as the rod is longer than the stroke.
func travelAngle(lo, hi float64, top bool, b box) (float64, float64) {
	from, to := math.Inf(1), math.Inf(-1)
	rods := b[rodPivot]
	ratios, inStrokes := b[ratioPivot]
	for _, stroke := range b[strokePivot] {
		if inStrokes {
			rods = [2]float64{ratios[0] * stroke, ratios[1] * stroke}
		}
		for _, rod := range rods {
			if rod <= stroke {
				return math.NaN(), math.NaN()
			}
			if lo > stroke {
				continue
			}
			from = math.Min(from, pistonAngle(math.Max(lo, 0), stroke/2, rod, top))
			to = math.Max(to, pistonAngle(math.Min(hi, stroke), stroke/2, rod, top))
		}
	}
	if from > to {
		return 1, 0 // further than the piston goes
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

// twoClearances: at a wider gap a valve opens no earlier and closes no later.
func (w *world) twoClearances() {
	sets := w.l.order["/events"]
	clearance := func(set string) (string, bool) {
		return strings.CutSuffix(w.l.words["/events/"+set+"/read_at"], " clearance")
	}
	cylinder := func(set string) string {
		if f := w.l.figures["/events/"+set+"/cylinder"]; f != nil {
			return strings.Join(f.standing(), " ")
		}
		return "1"
	}
	for i, a := range sets {
		for _, b := range sets[i+1:] {
			ca, ok := clearance(a)
			cb, okay := clearance(b)
			pa, pb := "/clearances/"+ca+"/", "/clearances/"+cb+"/"
			if !ok || !okay || ca == cb || cylinder(a) != cylinder(b) || w.l.words[pa+"measured_at"] != w.l.words[pb+"measured_at"] ||
				w.l.words[pa+"engine"] != w.l.words[pb+"engine"] {
				continue
			}
			if w.l.figures[pa+"felt"] != nil || w.l.figures[pb+"felt"] != nil {
				continue
			}
			for _, valve := range []string{"inlet", "exhaust"} {
				w.widerOpensLater(valve, a, b, pa+valve, pb+valve)
			}
		}
	}
}

func (w *world) widerOpensLater(valve, a, b, gapA, gapB string) {
	ga, ok := w.allowed(gapA, "mm", "")
	gb, okay := w.allowed(gapB, "mm", "")
	if !ok || !okay {
		return
	}
	way := func(narrow, wide, narrowGap, wideGap string) func(box, float64) []form {
		return func(box, float64) []form {
			fs := []form{{of: map[string]int64{narrowGap: 1, wideGap: -1}, hi: rat(0)}}
			for _, key := range []string{"_opens", "_closes"} {
				fs = append(fs, form{of: map[string]int64{"/events/" + wide + "/" + valve + key: 1, "/events/" + narrow + "/" + valve + key: -1}, hi: rat(0)})
			}
			return fs
		}
	}
	ways := []func(box, float64) []form{way(a, b, gapA, gapB), way(b, a, gapB, gapA)}
	if ga.lo.Cmp(gb.lo) > 0 {
		slices.Reverse(ways)
	}
	w.choices = append(w.choices, choice{ways: ways})
	for _, key := range []string{"_opens", "_closes"} {
		w.relation("/events/"+a+"/"+valve+key, "/events/"+b+"/"+valve+key, gapA, gapB)
	}
}

// clearances: each within its print, the running no wider than the checking.
func (w *world) clearances() {
	for _, set := range w.l.order["/clearances"] {
		for _, key := range []string{"inlet", "exhaust", "felt"} {
			path := "/clearances/" + set + "/" + key
			if s, ok := w.allowed(path, "mm", ""); ok {
				w.forms = append(w.forms, within(path, s.lo, s.hi, s.from))
			}
		}
	}
	net := func(set, valve string, times int64, of map[string]int64) bool {
		path := "/clearances/" + set + "/" + valve
		of[path] = times
		if felt := "/clearances/" + set + "/felt"; w.l.figures[felt] != nil {
			of[felt] = -times // what the gauge fills is no clearance
		}
		return w.l.figures[path] != nil
	}
	for _, valve := range []string{"inlet", "exhaust"} {
		of := map[string]int64{}
		if net("running", valve, 1, of) && net("checking", valve, -1, of) {
			w.forms = append(w.forms, form{of: of, hi: rat(0)})
			w.relation("/clearances/running/"+valve, "/clearances/checking/"+valve)
		}
	}
}

// ignition: retard is not before advance, and the range is their difference.
func (w *world) ignition() {
	p := "/ignition/"
	for _, key := range []string{"fixed", "advance", "fully_retarded"} {
		w.position(p+key, p+key, "btdc")
	}
	_, a := w.l.figures[p+"advance"]
	_, r := w.l.figures[p+"fully_retarded"]
	if !a || !r {
		return
	}
	difference := map[string]int64{p + "advance": 1, p + "fully_retarded": -1}
	w.forms = append(w.forms, form{of: difference, lo: rat(0)})
	w.relation(p+"advance", p+"fully_retarded")
	if s, ok := w.allowed(p+"range", "°", ""); ok {
		w.forms = append(w.forms, form{of: difference, lo: s.lo, hi: s.hi, from: []string{s.from}})
		w.relation(p+"advance", p+"fully_retarded", p+"range")
	}
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

// train is the shafts of a drive, each with its wheels.
func (w *world) train(drive string) [][]string {
	var shafts [][]string
	for _, shaft := range strings.Split(w.l.words[drive+"/train"], ">") {
		var wheels []string
		for _, wheel := range strings.Split(shaft, "+") {
			wheels = append(wheels, escaped(strings.TrimSpace(wheel)))
		}
		shafts = append(shafts, wheels)
	}
	if len(shafts) < 2 {
		return nil
	}
	return shafts
}

// fraction is a ratio of products of counts, with the figures they come from.
type fraction struct {
	is   *big.Rat
	from []string
	ok   bool
}

func (w *world) teeth(drive, wheel string) fraction {
	n, from, ok := w.count(drive + "/wheels/" + wheel + "/teeth")
	if ok && n == 0 {
		w.exact(false, from) // a wheel has teeth
	}
	if !ok || n == 0 {
		return fraction{}
	}
	return fraction{rat(n), []string{from}, true}
}

// speeds are the turns of each shaft of a train for one of the crankshaft, as
// far as the teeth tell. Where a shaft has one wheel, it passes the motion on
// and its teeth do not matter beyond it.
func (w *world) speeds(drive string, shafts [][]string) []fraction {
	all := []fraction{{rat(1), nil, true}}
	for i := 1; i < len(shafts); i++ {
		driver := shafts[i-1][len(shafts[i-1])-1]
		a, b, before := w.teeth(drive, driver), w.teeth(drive, shafts[i][0]), all[i-1]
		if i > 1 && len(shafts[i-1]) == 1 { // an idler: from the wheel before it
			j := i - 1
			for j > 0 && len(shafts[j]) == 1 {
				j--
			}
			a, before = w.teeth(drive, shafts[j][len(shafts[j])-1]), all[j]
		}
		f := fraction{ok: a.ok && b.ok && before.ok, from: slices.Concat(before.from, a.from, b.from)}
		if f.ok {
			f.is = new(big.Rat).Mul(before.is, new(big.Rat).Quo(a.is, b.is))
		}
		all = append(all, f)
	}
	return all
}

// drives: speeds, sparks, tooth steps, when marks meet, couplings.
func (w *world) drives() {
	twoStroke := w.l.words["/layout/cycle"] == "two-stroke"
	for _, name := range w.l.order["/drives"] {
		d := "/drives/" + name
		camshaft := strings.Contains(name, "camshaft")
		printed, given := w.allowed(d+"/speed", "1", "")
		shafts := w.train(d)
		end := fraction{}
		if shafts != nil {
			speeds := w.speeds(d, shafts)
			end = speeds[len(speeds)-1]
			w.meeting(d, speeds)
		}
		half := fraction{big.NewRat(1, 2), nil, true}
		if camshaft && !twoStroke {
			if given {
				w.agrees(printed, half)
			}
			if end.ok {
				w.exact(end.is.Cmp(half.is) == 0, end.from...)
				w.applied++
			}
		}
		if !camshaft && given && end.ok {
			w.agrees(printed, end)
			w.applied++
		}
		w.sparks(name, printed, given, end, twoStroke)
		w.coupling(d, printed, given)
	}
}

// agrees notes that a printed number and an exact one are the same.
func (w *world) agrees(printed span, f fraction) {
	w.exact(printed.lo.Cmp(f.is) <= 0 && f.is.Cmp(printed.hi) <= 0, append(slices.Clone(f.from), printed.from)...)
}

// exact notes a relation that holds exactly or not at all.
func (w *world) exact(ok bool, from ...string) {
	if !ok {
		w.broken = append(w.broken, from)
	}
}

func (w *world) sparks(drive string, printed span, given bool, end fraction, twoStroke bool) {
	if w.l.words["/ignition/drive"] != drive {
		return
	}
	sparks, from, ok := w.count("/ignition/sparks_per_turn")
	cylinders, from2, okay := w.count("/layout/cylinders")
	froms := []string{from, from2}
	switch {
	case !ok || !okay:
		return
	case given:
	case end.ok && w.l.figures["/drives/"+drive+"/speed"] == nil:
		printed = span{lo: end.is, hi: end.is}
		froms = append(froms, end.from...)
	default:
		return
	}
	firings := rat(cylinders)
	if !twoStroke {
		firings = big.NewRat(cylinders, 2)
	}
	if sparks == 0 {
		w.exact(false, from)
		return
	}
	w.agrees(printed, fraction{firings.Quo(firings, rat(sparks)), froms, true})
	w.applied++
}

// meeting: all marks meet after the least number of crank turns in which every
// shaft makes whole turns.
func (w *world) meeting(drive string, speeds []fraction) {
	printed, from, ok := w.count(drive + "/marks_meet_after")
	turns, froms := big.NewInt(1), []string{from}
	for _, s := range speeds {
		if !s.ok {
			return
		}
		common := new(big.Int).GCD(nil, nil, turns, s.is.Denom())
		turns.Mul(turns, new(big.Int).Quo(s.is.Denom(), common))
		froms = append(froms, s.from...)
	}
	if ok {
		w.exact(turns.Cmp(big.NewInt(printed)) == 0, froms...)
		w.applied++
	}
}

// coupling: the least step is a turn over the least common multiple of the rings.
func (w *world) coupling(drive string, speed span, given bool) {
	f := w.figure(drive + "/coupling/rings")
	if f == nil || len(f.standing()) != 1 {
		return
	}
	var rings []int64
	for _, text := range strings.Split(f.standing()[0], ",") {
		n, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64)
		if err != nil || n < 1 {
			return
		}
		rings = append(rings, n)
	}
	if len(rings) != 2 {
		return
	}
	common := new(big.Int).GCD(nil, nil, big.NewInt(rings[0]), big.NewInt(rings[1])).Int64()
	step := big.NewRat(360*common, rings[0]*rings[1])
	check := func(key string, lo, hi *big.Rat, from ...string) {
		if s, ok := w.allowed(drive+"/coupling/"+key, "°", ""); ok {
			w.exact(s.lo.Cmp(hi) <= 0 && lo.Cmp(s.hi) <= 0, append(from, s.from, f.pointer)...)
			w.applied++
		}
	}
	check("step", step, step)
	if given && speed.lo.Sign() > 0 {
		check("crank_step", new(big.Rat).Quo(step, speed.hi), new(big.Rat).Quo(step, speed.lo), speed.from)
	}
}

// steps: one tooth at one of the meshes of a train, in crank degrees; and what it
// comes to on a marked part.
func (w *world) steps() {
	for _, name := range w.l.order["/drives"] {
		d := "/drives/" + name
		unknown := d + "/tooth_step"
		if s, ok := w.allowed(unknown, "°", ""); ok {
			w.forms = append(w.forms, within(unknown, s.lo, s.hi, s.from))
		}
		shafts := w.train(d)
		if shafts == nil {
			continue
		}
		speeds := w.speeds(d, shafts)
		var ways []func(box, float64) []form
		seen := map[string]bool{}
		complete := true
		for i := 0; i+1 < len(shafts); i++ {
			z := w.teeth(d, shafts[i][len(shafts[i])-1])
			if !z.ok || !speeds[i].ok {
				complete = false
				break
			}
			step := new(big.Rat).Quo(rat(360), new(big.Rat).Mul(z.is, speeds[i].is))
			from := append(slices.Clone(z.from), speeds[i].from...)
			if !seen[step.String()] {
				seen[step.String()] = true
				ways = append(ways, func(box, float64) []form { return []form{within(unknown, step, step, from...)} })
			}
		}
		if complete {
			w.choices = append(w.choices, choice{ways: ways})
			w.relation(unknown)
		}
	}
	for _, part := range w.l.order["/marks"] {
		path := "/marks/" + part + "/tooth_step"
		for _, measure := range []string{"rim", "teeth"} {
			if s, ok := w.allowed(path, measure, ""); ok {
				w.distance("/drives/camshaft/tooth_step", "", s, measure, part)
				dimension := map[string]string{"rim": "rim_diameter", "teeth": "ring_teeth"}[measure]
				w.relation(path, "/marks/"+part+"/"+dimension, "/drives/camshaft/tooth_step")
			}
		}
	}
}

// size: volume, rating, compression and piston speed, as sums of logarithms.
func (w *world) size() {
	p := "/size/"
	bound := func(key, unit string) {
		if s, ok := w.allowed(p+key, unit, ""); ok && !(key == "stroke" && w.isPivot(strokePivot)) {
			w.logs = append(w.logs, logWithin(map[string]int64{key: 1}, s.lo, s.hi, 0, s.from))
		}
	}
	bound("bore", "mm")
	bound("stroke", "mm")
	bound("chamber_volume", "cc")
	bound("rated_speed", "rpm")
	if w.isPivot(strokePivot) {
		from := w.through("piston", "")
		w.choices = append(w.choices, choice{ways: []func(box, float64) []form{func(b box, margin float64) []form {
			f := form{of: map[string]int64{"stroke": 1}, from: from}
			f.lo, f.hi = new(big.Rat).SetFloat64(math.Log(b[strokePivot][0])), new(big.Rat).SetFloat64(math.Log(b[strokePivot][1]))
			return []form{f}
		}}})
	}
	if s, ok := w.allowed(p+"piston_speed", "m/s", ""); ok {
		w.logs = append(w.logs, logWithin(map[string]int64{"stroke": 1, "rated_speed": 1}, s.lo, s.hi, math.Log(2.0/60000), s.from))
	}
	w.relation(p+"piston_speed", p+"stroke", p+"rated_speed")
	n, from, ok := w.count("/layout/cylinders")
	if !ok || n == 0 {
		w.exact(!ok, from) // an engine has cylinders
		return
	}
	perCC := math.Log(float64(n) / 1000)
	w.volume(perCC, from)
	if s, ok := w.allowed(p+"taxable_horsepower", "1", ""); ok {
		lo, hi := w.cutOff(p+"taxable_horsepower", "1", s)
		constant := math.Log(float64(n) / (2.5 * 25.4 * 25.4))
		w.logs = append(w.logs, logWithin(map[string]int64{"bore": 2}, lo, hi, constant, s.from, from))
		w.relation(p+"taxable_horsepower", p+"bore")
	}
	if s, ok := w.allowed(p+"compression_ratio", "1", ""); ok {
		lo, hi := new(big.Rat).Sub(s.lo, rat(1)), new(big.Rat).Sub(s.hi, rat(1))
		if hi.Sign() <= 0 {
			w.broken = append(w.broken, []string{s.from})
			return
		}
		w.logs = append(w.logs, logWithin(map[string]int64{"volume": 1, "chamber_volume": -1}, lo, hi, -math.Log(float64(n)), s.from, from))
		w.relation(p+"compression_ratio", p+"chamber_volume", p+"swept_volume")
	}
}

func (w *world) isPivot(name string) bool {
	return slices.ContainsFunc(w.pivots, func(p pivot) bool { return p.name == name })
}

// volume: π/4 times bore squared, stroke and cylinders; or, as some sheets have
// it, worked out with π = 3.14, or cut off after its last place.
func (w *world) volume(perCC float64, from string) {
	s, ok := w.allowed("/size/swept_volume", "cc", "")
	constant := func(pi float64) float64 { return math.Log(pi/4) + perCC }
	exact := logWithin(map[string]int64{"volume": 1, "bore": -2, "stroke": -1}, rat(1), rat(1), -constant(math.Pi), from)
	w.logs = append(w.logs, exact)
	if !ok {
		return
	}
	w.relation("/size/swept_volume", "/size/bore", "/size/stroke", "/layout/cylinders")
	printed := logWithin(map[string]int64{"volume": 1}, s.lo, s.hi, 0, s.from)
	lo, hi := w.cutOff("/size/swept_volume", "cc", s)
	cut := logWithin(map[string]int64{"volume": 1}, lo, hi, 0, s.from)
	rough := logWithin(map[string]int64{"bore": 2, "stroke": 1}, s.lo, s.hi, constant(3.14), s.from, from)
	way := func(f form) func(box, float64) []form { return func(box, float64) []form { return []form{f} } }
	w.choices = append(w.choices, choice{ways: []func(box, float64) []form{way(printed), way(cut), way(rough)}})
}

// cutOff is what the first print of a figure allows when it may be rounded or cut
// off, each of its readings for itself.
func (w *world) cutOff(path, unit string, s span) (lo, hi *big.Rat) {
	lo, hi = s.lo, s.hi
	_, claims := w.prints(path)
	for i, r := range claims[0] {
		if r.unit != unit {
			continue
		}
		a, b := r.cutOff()
		a, b = least(a, r.lo), most(b, r.hi)
		if i > 0 {
			a, b = most(a, lo), least(b, hi)
		}
		lo, hi = a, b
	}
	return least(lo, s.lo), most(hi, s.hi)
}

// logMargin is more than logarithms in floating point can be out, in either direction.
const logMargin = 1e-9

// logWithin bounds a sum of logarithms plus a constant. Prints that may be zero
// or less have no lower bound.
func logWithin(of map[string]int64, lo, hi *big.Rat, constant float64, from ...string) form {
	f := form{of: of, from: from}
	if lo.Sign() > 0 {
		f.lo = new(big.Rat).SetFloat64(math.Log(float64Of(lo)) - constant)
	}
	f.hi = new(big.Rat).SetFloat64(math.Log(math.Max(float64Of(hi), 1e-300)) - constant)
	return f
}

// layout: the firing order names every cylinder once, and its intervals make up
// the cycle.
func (w *world) layout() {
	if f := w.figure("/layout/firing_order"); f != nil && len(f.standing()) == 1 && !isAbsent(f.standing()[0]) {
		if n, from, ok := w.count("/layout/cylinders"); ok {
			numbers := strings.FieldsFunc(f.standing()[0], func(r rune) bool { return r < '0' || r > '9' })
			slices.Sort(numbers)
			var all []string
			for i := range n {
				all = append(all, strconv.FormatInt(i+1, 10))
			}
			slices.Sort(all)
			w.exact(slices.Equal(numbers, all), from, f.pointer)
			w.applied++
		}
	}
	if f := w.figure("/layout/firing_intervals"); f != nil && len(f.standing()) == 1 {
		sum := new(big.Rat)
		for _, text := range strings.Split(f.standing()[0], ",") {
			n, rest, ok := readNumber(strings.TrimSpace(text), false)
			if !ok || rest != "" {
				return
			}
			sum.Add(sum, n.is)
		}
		turns := int64(720)
		if w.l.words["/layout/cycle"] == "two-stroke" {
			turns = 360
		}
		w.exact(sum.Cmp(rat(turns)) == 0, f.pointer)
	}
}
