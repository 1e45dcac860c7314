package relation

import (
	"math"
	"strconv"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/convert/interval"
	"fourmarks.example/schema/figure"
)

// writer writes an expression: in words, or with numbers in place of names.
type writer struct {
	strings.Builder
	numbers domains // nil: words
}

func (w *writer) text(s string) { w.WriteString(s) }

func (w *writer) grouped(brackets bool, write func()) {
	if brackets {
		w.WriteByte('(')
	}
	write()
	if brackets {
		w.WriteByte(')')
	}
}

func (w *writer) variable(v *Variable) {
	if w.numbers == nil {
		w.WriteString(v.Words())
		return
	}
	w.WriteString(v.number(w.numbers[v.index]))
}

// Words is the quantity's name in a working, with the datum its angle is counted from.
func (v *Variable) Words() string {
	if d := v.bind.datum.String(); d != "" {
		return v.Title + " (" + d + ")"
	}
	return v.Title
}

// number shows one value of a working: the printed value itself when the
// variable is printed, otherwise what is left of its domain.
func (v *Variable) number(is interval.Interval) string {
	if v.IsPrinted() {
		is = v.asPrinted()
	}
	unit := v.Scale.Unit
	if v.isAngleFrom() || unit == convert.Degree || unit == convert.One {
		return bounds(is)
	}
	return bounds(v.Scale.inUnit(is)) + " " + v.Scale.symbol()
}

// isAngleFrom reports whether the variable is an angle from a dead centre, which
// a working shows as a bare number.
func (v *Variable) isAngleFrom() bool {
	return v.bind.measure == figure.CrankAngle && v.bind.datum != figure.NoDatum
}

// asPrinted is the printed value itself, in working units from the working datum.
func (v *Variable) asPrinted() interval.Interval {
	r, _ := v.bind.reading(v.claim.Printed)
	is := v.bind.count(r.Unit.Interval(r.Value, r.Value), r.Datum)
	return interval.Point(is.Mid())
}

// bounds shows an interval as one number where both ends read alike, else as a range.
func bounds(is interval.Interval) string {
	lo, hi := plain(is.Lo), plain(is.Hi)
	switch {
	case is.IsEmpty():
		return "nothing"
	case lo == hi:
		return lo
	case math.IsInf(is.Lo, -1) && math.IsInf(is.Hi, 1):
		return "?"
	case math.IsInf(is.Hi, 1):
		return "at least " + lo
	case math.IsInf(is.Lo, -1):
		return "at most " + hi
	}
	return lo + " to " + hi
}

// plain prints a number with five significant digits at most, without a
// trailing point or an exponent where it can be read without one.
func plain(x float64) string {
	if x == 0 || math.Abs(x) < 1e-9 {
		return "0"
	}
	if math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	places := 4 - int(math.Floor(math.Log10(math.Abs(x))))
	places = max(0, min(places, 9))
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.ContainsRune(s, '.') {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return strings.Replace(s, "-", "−", 1)
}

// Formula is the relation in words: inlet duration = 180 + inlet opens (BTDC) + ….
// One that follows from others is those others.
func (r *Relation) Formula() string {
	if len(r.from) > 1 {
		all := make([]string, len(r.from))
		for i, f := range r.from {
			all[i] = f.Formula()
		}
		return strings.Join(all, "; and ")
	}
	w := &writer{}
	r.writeTo(w)
	return w.String()
}

func (r *Relation) writeTo(w *writer) {
	r.Left.write(w, levelSum)
	if r.AtMost {
		w.text(" ≤ ")
	} else {
		w.text(" = ")
	}
	r.Right.write(w, levelSum)
}

// Sides is what the two sides of the relation come to within the rounding of
// the prints, in the unit of the left side where that is one quantity.
func (r *Relation) Sides(n *Network) (left, right string) {
	d := n.start()
	l, rt := r.Left.value(d), r.Right.value(d)
	v, ok := r.Left.(*Variable)
	if !ok || v.isAngleFrom() {
		return bounds(l), bounds(rt)
	}
	unit := ""
	if v.Scale.Unit != convert.Degree && v.Scale.symbol() != "" {
		unit = " " + v.Scale.symbol()
	}
	return bounds(v.Scale.inUnit(l)) + unit, bounds(v.Scale.inUnit(rt)) + unit
}

// Numbers is the relation with the printed numbers in it.
func (r *Relation) Numbers(n *Network) string {
	d := n.start()
	left, right := r.Left.value(d), r.Right.value(d)
	w := &writer{numbers: d}
	r.Left.write(w, levelSum)
	switch {
	case r.AtMost && left.Lo <= right.Hi:
		w.text(" ≤ ")
	case r.AtMost:
		w.text(" > ")
	case left.Meets(right):
		w.text(" = ")
	default:
		w.text(" ≠ ")
	}
	r.Right.write(w, levelSum)
	return w.String()
}

// Working is the relation in words, with the printed numbers in it, and what
// each side comes to within the rounding of the prints.
func (r *Relation) Working(n *Network) []string {
	left, right := r.Sides(n)
	return []string{r.Formula(), r.Numbers(n), "within rounding: " + left + " against " + right}
}
