package rules_test

import (
	"maps"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
)

// mostNodes bounds the search; beyond it the oracle does not know.
const mostNodes = 400

// angleMargin is more than an angle in floating point can be out, in degrees, and
// far less than any print tells.
const angleMargin = 1e-5

// decide says whether the relations of a layer can all hold.
func (w *world) decide() answer {
	if path, freed := w.freedCount(); freed {
		return w.anyCount(path)
	}
	if w.unread != nil {
		return unreadable
	}
	if len(w.broken) > 0 {
		for _, from := range w.broken {
			w.blame(from)
		}
		return contradicts
	}
	if w.offset {
		return unknown
	}
	start := box{}
	for _, p := range w.pivots {
		if p.lo > p.hi || p.hi <= 0 {
			return unknown
		}
		start[p.name] = [2]float64{math.Max(p.lo, 1e-3), p.hi}
	}
	chosen := make([]int, len(w.choices))
	for i := range chosen {
		chosen[i] = -1
		if len(w.choices[i].ways) == 1 {
			chosen[i] = 0
		}
	}
	nodes := 0
	return w.search(start, chosen, &nodes)
}

func (w *world) blame(figures []string) {
	for _, f := range figures {
		if f != "" {
			w.culprits[f] = true
		}
	}
}

// freedCount returns the path of the figure that is freed, if it is a count that
// exact relations use.
func (w *world) freedCount() (path string, freed bool) {
	for path, f := range w.l.figures {
		if w.freed == "" || f.pointer != w.freed {
			continue
		}
		if strings.HasSuffix(path, "/teeth") && f.of == countQ || path == "/layout/cylinders" || path == "/ignition/sparks_per_turn" {
			return path, true
		}
	}
	return "", false
}

// mostCount is the most that is tried of every count; beyond it only those that
// are in a ratio of small numbers to a count of the file.
const mostCount = 150

// candidates are the counts to try in the place of one that is freed.
func (w *world) candidates() []int64 {
	seen := map[int64]bool{}
	for n := range int64(mostCount) {
		seen[n+1] = true
	}
	for path, f := range w.l.figures {
		n, _, ok := w.count(path)
		if f.of != countQ || !ok {
			continue
		}
		for times := range int64(4) {
			for over := range int64(4) {
				if n*(times+1)%(over+1) == 0 {
					seen[n*(times+1)/(over+1)] = true
				}
			}
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// anyCount tries counts in the place of the one freed.
func (w *world) anyCount(path string) answer {
	result := contradicts
	for _, n := range w.candidates() {
		l := w.l.copied(w.l.name)
		l.figures[path] = &printedFigure{pointer: w.freed + " tried", path: path, of: countQ, claims: []claim{{scalars: []scalar{{text: strconv.FormatInt(n, 10)}}}}}
		switch w.o.world(l, "").decide() {
		case holds:
			return holds
		case unknown:
			result = unknown
		}
	}
	return result
}

// search decides a box and what has been chosen so far.
func (w *world) search(b box, chosen []int, nodes *int) answer {
	*nodes++
	if *nodes > mostNodes {
		return unknown
	}
	if ok, culprits := w.possible(b, chosen, true); !ok {
		w.blame(culprits)
		return contradicts
	}
	middle := box{}
	for _, p := range w.pivots {
		m := math.Sqrt(b[p.name][0] * b[p.name][1])
		if p.whole {
			m = math.Round(m)
		}
		middle[p.name] = [2]float64{m, m}
	}
	guess := slices.Clone(chosen)
	for i := range guess {
		guess[i] = max(guess[i], 0)
	}
	if ok, _ := w.possible(middle, guess, false); ok {
		return holds
	}
	if i := slices.Index(chosen, -1); i >= 0 {
		result := contradicts
		for way := range w.choices[i].ways {
			next := slices.Clone(chosen)
			next[i] = way
			switch w.search(b, next, nodes) {
			case holds:
				return holds
			case unknown:
				result = unknown
			}
		}
		return result
	}
	return w.halves(b, chosen, nodes)
}

// halves cuts the range of the pivot that is widest for its size in two.
func (w *world) halves(b box, chosen []int, nodes *int) answer {
	widest, by := -1, 0.0
	for i, p := range w.pivots {
		r := b[p.name]
		if wide := r[1]/r[0] - 1; wide > by && !(p.whole && r[1] <= r[0]) {
			widest, by = i, wide
		}
	}
	if widest < 0 || by < 1e-7 {
		return unknown
	}
	p := w.pivots[widest]
	cut := math.Sqrt(b[p.name][0] * b[p.name][1])
	low, high := maps.Clone(b), maps.Clone(b)
	low[p.name], high[p.name] = [2]float64{b[p.name][0], cut}, [2]float64{cut, b[p.name][1]}
	if p.whole {
		cut = math.Floor(cut)
		low[p.name], high[p.name] = [2]float64{b[p.name][0], cut}, [2]float64{cut + 1, b[p.name][1]}
	}
	first := w.search(low, chosen, nodes)
	if first == holds {
		return holds
	}
	second := w.search(high, chosen, nodes)
	if second == holds {
		return holds
	}
	if first == unknown || second == unknown {
		return unknown
	}
	return contradicts
}

// possible decides the linear forms of a box: with margins outward, so that
// "no" is sure, or inward, so that "yes" is.
func (w *world) possible(b box, chosen []int, outward bool) (bool, []string) {
	margin := angleMargin
	if !outward {
		margin = -angleMargin
	}
	angles, logs := slices.Clone(w.forms), slices.Clone(w.logs)
	add := func(fs []form) {
		for _, f := range fs {
			if isLog(f) {
				logs = append(logs, f)
			} else {
				angles = append(angles, f)
			}
		}
	}
	for i, c := range w.choices {
		switch {
		case chosen[i] >= 0:
			add(c.ways[chosen[i]](b, margin))
		case c.wide != nil:
			add(c.wide(b, margin))
		}
	}
	for i := range logs {
		logs[i] = widened(logs[i], outward)
	}
	if ok, culprits := parts(logs); !ok {
		return false, culprits
	}
	return parts(angles)
}

var logNames = map[string]bool{"bore": true, "stroke": true, "volume": true, "chamber_volume": true, "rated_speed": true}

func isLog(f form) bool {
	for name := range f.of {
		return logNames[name]
	}
	return false
}

// widened moves the bounds of a form outward by the margin of logarithms, or
// inward; a value that is fixed is left to one direction of it.
func widened(f form, outward bool) form {
	by := new(big.Rat).SetFloat64(logMargin)
	if !outward {
		by.Neg(by)
		if f.lo != nil && f.hi != nil && f.lo.Cmp(f.hi) == 0 {
			by.SetInt64(0)
		}
	}
	if f.lo != nil {
		f.lo = new(big.Rat).Sub(f.lo, by)
	}
	if f.hi != nil {
		f.hi = new(big.Rat).Add(f.hi, by)
	}
	return f
}

// parts decides forms that share no unknown apart.
func parts(forms []form) (bool, []string) {
	group := map[string]string{}
	var root func(string) string
	root = func(name string) string {
		if group[name] == name {
			return name
		}
		return root(group[name])
	}
	for _, f := range forms {
		first := ""
		for name := range f.of {
			if group[name] == "" {
				group[name] = name
			}
			if first == "" {
				first = root(name)
			}
			group[root(name)] = first
		}
	}
	together := map[string][]form{}
	var roots []string
	for _, f := range forms {
		for name := range f.of {
			r := root(name)
			if together[r] == nil {
				roots = append(roots, r)
			}
			together[r] = append(together[r], f)
			break
		}
	}
	for _, r := range roots {
		if ok, culprits := satisfiable(together[r]); !ok {
			return false, culprits
		}
	}
	return true, nil
}
