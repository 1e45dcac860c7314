package relation

import (
	"cmp"
	"math"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// Outside returns the suspect of a check that a figure fails by itself: it is
// not where it can be at all. Positions are counted from the datum; of other
// figures it is NoDatum. The check must concern a claim that speaks so.
func Outside(f *schema.Figure, datum figure.Datum, must interval.Interval) Suspect {
	b := binding{datum: datum}
	if datum != figure.NoDatum {
		b.measure = figure.CrankAngle
	}
	v := b.variable(f, b.first(f))
	s := Suspect{Variable: v, MustBe: must}
	s.Slip, s.Likely, s.Ordinary, s.weight = v.likelySlip(must, nil, nil)
	return s
}

// Unfit returns the suspect of a check that one claim of a figure fails by
// itself, where what it has to be is no interval. fits says whether a print in
// its place would pass the check.
func Unfit(f *schema.Figure, c *schema.Claim, fits func(figure.Printed) bool) Suspect {
	s := Suspect{Variable: binding{}.variable(f, c), MustBe: interval.Whole()}
	s.Slip, s.Likely, s.Ordinary, s.weight = mostOrdinary(c.Printed.Text, f.Kind, func(text string) (off float64, ok bool) {
		p, err := figure.Read(f.Kind, text)
		return 0, err == nil && p.Absence == "" && fits(p)
	})
	return s
}

// variable is a figure in no network.
func (b binding) variable(f *schema.Figure, c *schema.Claim) *Variable {
	v := &Variable{Path: f.Path, Title: f.Key, Figure: f, Limits: limits(f.Kind), claim: c, bind: b}
	v.Printed, _ = b.printed(c.Printed)
	v.Scale = Scale{Unit: unitOf(f.Kind, b), Datum: b.datum, working: b}
	v.scaleLike(c)
	return v
}

// longest is the longest text, in bytes, in which slips are looked for: a firing
// order of eighteen cylinders, and twice as much.
const longest = 100

// mostOrdinary weighs the ordinary slips that turn a text which fits into the
// one printed, and returns one of them with that text: one that needs no more
// decimals than are printed, then the most ordinary, then the one less off. The
// weight is that of all of them together: a figure that many slips explain is
// likelier to be the wrong one than a figure that one explains. The empty name
// and weight 0 say that none does.
func mostOrdinary(printed string, kind figure.Kind, fits func(text string) (off float64, ok bool)) (name, likely string, isOrdinary bool, weight float64) {
	best := slip{}
	least, longer := math.Inf(1), true
	if len(printed) > longest {
		return "", "", false, 0
	}
	seen := map[string]bool{printed: true}
	for _, s := range slips(printed, kind) {
		if seen[s.text] {
			continue
		}
		seen[s.text] = true
		off, ok := fits(s.text)
		if !ok {
			continue
		}
		weight += s.weight
		lengthens := decimals(s.text) > decimals(printed)
		if cmp.Or(fewer(lengthens, longer), cmp.Compare(s.weight, best.weight), cmp.Compare(least, off)) > 0 {
			best, least, longer = s, off, lengthens
		}
	}
	return best.name, best.text, best.weight >= ordinary, weight
}

// fewer is positive when the first is false and the second true.
func fewer(a, b bool) int {
	switch {
	case b && !a:
		return 1
	case a && !b:
		return -1
	}
	return 0
}

// decimals counts the digits behind the points of a text.
func decimals(text string) int {
	n, behind := 0, false
	for i := range len(text) {
		switch {
		case text[i] == '.':
			behind = true
		case !isDigit(text[i]):
			behind = false
		case behind:
			n++
		}
	}
	return n
}
