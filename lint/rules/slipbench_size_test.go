package rules_test

import (
	"math"
	"math/big"
	"slices"
)

// The relations of dimensions, as sums of logarithms.

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
		lo, hi := w.roughly(p+"piston_speed", "m/s", s, reading.toTens)
		w.logs = append(w.logs, logWithin(map[string]int64{"stroke": 1, "rated_speed": 1}, lo, hi, math.Log(2.0/60000), s.from))
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
		lo, hi := w.roughly(p+"taxable_horsepower", "1", s, reading.cutOff)
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
// it, rounded to the nearest ten, cut off after its last place, or worked out
// with π = 3.14.
func (w *world) volume(perCC float64, from string) {
	s, ok := w.allowed("/size/swept_volume", "cc", "")
	constant := func(pi float64) float64 { return math.Log(pi/4) + perCC }
	exact := logWithin(map[string]int64{"volume": 1, "bore": -2, "stroke": -1}, rat(1), rat(1), -constant(math.Pi), from)
	w.logs = append(w.logs, exact)
	if !ok {
		return
	}
	w.relation("/size/swept_volume", "/size/bore", "/size/stroke", "/layout/cylinders")
	lo, hi := w.roughly("/size/swept_volume", "cc", s, reading.toTens)
	printed := logWithin(map[string]int64{"volume": 1}, lo, hi, 0, s.from)
	lo, hi = w.roughly("/size/swept_volume", "cc", s, reading.cutOff)
	cut := logWithin(map[string]int64{"volume": 1}, lo, hi, 0, s.from)
	rough := logWithin(map[string]int64{"bore": 2, "stroke": 1}, s.lo, s.hi, constant(3.14), s.from, from)
	way := func(f form) func(box, float64) []form { return func(box, float64) []form { return []form{f} } }
	w.choices = append(w.choices, choice{ways: []func(box, float64) []form{way(printed), way(cut), way(rough)}})
}

// roughly is what the first print of a figure allows when each of its readings may
// have been rounded in another way too: cut off, or to the nearest ten.
func (w *world) roughly(path, unit string, s span, way func(reading) (lo, hi *big.Rat)) (lo, hi *big.Rat) {
	lo, hi = s.lo, s.hi
	_, claims := w.prints(path)
	for i, r := range claims[0] {
		if r.unit != unit {
			continue
		}
		a, b := way(r)
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
