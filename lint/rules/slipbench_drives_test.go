package rules_test

import (
	"math/big"
	"slices"
	"strconv"
	"strings"
)

// The relations of trains of wheels, and of what they drive.

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
