package relation

import (
	"slices"
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema/figure"
)

// interchanged is the slip by which two figures of a pair change places.
const interchanged = "inlet and exhaust interchanged"

// pair is an inlet figure and its exhaust counterpart that may have changed
// places, with what each would then be.
type pair struct {
	inlet, exhaust           *Variable
	inletText, exhaustText   string
	inletWould, exhaustWould interval.Interval
}

// pairs returns the printed inlet figures that have a printed counterpart and
// could stand in its place.
func (n *Network) pairs() []pair {
	var all []pair
	for _, v := range n.variables {
		if !v.IsPrinted() || !strings.Contains(v.Path, "inlet") {
			continue
		}
		other, ok := n.byPath[strings.Replace(v.Path, "inlet", "exhaust", 1)]
		if !ok || !other.IsPrinted() || v.Figure.Text() == other.Figure.Text() {
			continue
		}
		p := pair{inlet: v, exhaust: other, inletText: likeOwn(v, other), exhaustText: likeOwn(other, v)}
		var fits, alsoFits bool
		p.inletWould, fits = v.reads(p.inletText)
		p.exhaustWould, alsoFits = other.reads(p.exhaustText)
		if fits && alsoFits {
			all = append(all, p)
		}
	}
	return all
}

// likeOwn is the other figure's print in v's place: its number with v's own
// datum, as in a table whose columns name the datums.
func likeOwn(v, other *Variable) string {
	own, r := v.firstPrint()
	theirs, o := other.firstPrint()
	if r.Datum == o.Datum {
		return theirs
	}
	number := theirs[o.Number.Start:o.Number.End]
	return own[:r.Number.Start] + number + own[r.Number.End:]
}

// firstPrint is the first standing print that speaks of the variable, and the
// reading of it that does.
func (v *Variable) firstPrint() (text string, r figure.Reading) {
	for c := range v.Figure.Standing() {
		for _, r := range c.Printed.Readings {
			if v.bind.speaks(r) {
				return c.Printed.Text, r
			}
		}
	}
	return v.Figure.Text(), figure.Reading{}
}

// interchanges returns the conflicts that one interchange explains and no single
// figure does, and the broken relations that are left.
func (n *Network) interchanges(broken, sound []*Relation) (conflicts []Conflict, left []*Relation) {
	left = broken
	for _, p := range n.pairs() {
		of := slices.DeleteFunc(slices.Clone(left), func(r *Relation) bool {
			return !slices.Contains(r.variables, p.inlet) && !slices.Contains(r.variables, p.exhaust)
		})
		if len(of) < 2 || n.oneExplains(of, sound) {
			continue
		}
		d := n.start()
		d[p.inlet.index] = p.inletWould.Intersect(p.inlet.Limits)
		d[p.exhaust.index] = p.exhaustWould.Intersect(p.exhaust.Limits)
		if n.propagate(d, n.withImplied(slices.Concat(of, sound))) != nil {
			continue
		}
		conflicts = append(conflicts, Conflict{Broken: of, Suspects: []Suspect{
			{Variable: p.inlet, MustBe: d[p.inlet.index], Slip: interchanged, Likely: p.inletText, Ordinary: true, weight: ordinary},
			{Variable: p.exhaust, MustBe: d[p.exhaust.index], Slip: interchanged, Likely: p.exhaustText, Ordinary: true, weight: ordinary},
		}})
		left = without(left, of)
	}
	return conflicts, left
}

// oneExplains reports whether a single figure explains all the broken relations.
func (n *Network) oneExplains(broken, sound []*Relation) bool {
	return slices.ContainsFunc(n.variables, func(v *Variable) bool {
		return v.IsPrinted() && len(n.explainedBy(v, broken, sound)) == len(broken)
	})
}
