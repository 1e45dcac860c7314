package rules_test

import (
	"cmp"
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A reader of prints of the benchmark's own: it shares nothing with the program's
// and knows only the forms that the engines of the benchmark use. What a print
// stands for is documented with package figure and restated here.

// precision is how closely a print of a quantity is known.
type precision int

const (
	rounded precision = iota // half its last place either way
	counted                  // exact
	geared                   // as teeth make it: fractions and quarters exact, else rounded
	nominal                  // ±0.0005 in, ±0.005 mm, whole millimetres ±0.05 mm
)

// quantity says how the prints of a figure are read.
type quantity struct {
	known precision
	// bare is the unit of a number without one.
	bare string
	// grouped numbers may part thousands by a comma.
	grouped bool
	// event prints are crank positions or movements: by degrees, piston travel,
	// rim or teeth.
	event bool
	// apart events are movements, from no dead centre.
	apart bool
	// nothing is how far either way nil stands for; nil where it is no figure.
	nothing *big.Rat
	// along is what a length of an event is measured along without saying so.
	along string
}

// reading is one value of a print in a base unit: degrees, millimetres, cubic
// centimetres, turns a minute, metres a second, or a plain number.
type reading struct {
	unit   string // "°", "mm", "cc", "rpm", "m/s", "1"; of an event also "piston", "rim", "teeth"
	datum  string
	lo, hi *big.Rat
	value  *big.Rat
	place  *big.Rat // one of its last place
	// tens says that it is a whole number that ends in nought.
	tens           bool
	straight       bool
	stated, approx bool
}

// cutOff is what the reading stands for if it was cut off after its last place.
func (r reading) cutOff() (lo, hi *big.Rat) {
	if r.stated {
		return r.lo, r.hi
	}
	return r.value, new(big.Rat).Add(r.value, r.place)
}

// toTens is what the reading stands for if it may be rounded to the nearest ten.
func (r reading) toTens() (lo, hi *big.Rat) {
	if r.stated || !r.tens {
		return r.lo, r.hi
	}
	five := scaled(r.place, 5, 1)
	return new(big.Rat).Sub(r.value, five), new(big.Rat).Add(r.value, five)
}

type unit struct {
	base string
	is   *big.Rat
}

var inchMM = big.NewRat(254, 10)

var units = map[string]unit{
	"°": {"°", big.NewRat(1, 1)}, "deg": {"°", big.NewRat(1, 1)}, "degrees": {"°", big.NewRat(1, 1)},
	"in": {"mm", inchMM}, "in.": {"mm", inchMM}, "inch": {"mm", inchMM}, "inches": {"mm", inchMM}, `"`: {"mm", inchMM},
	"thou": {"mm", big.NewRat(254, 10000)}, "mm": {"mm", big.NewRat(1, 1)}, "cm": {"mm", big.NewRat(10, 1)},
	"cc": {"cc", big.NewRat(1, 1)}, "cm3": {"cc", big.NewRat(1, 1)}, "cu. cm": {"cc", big.NewRat(1, 1)}, "mm3": {"cc", big.NewRat(1, 1000)}, "mm³": {"cc", big.NewRat(1, 1000)},
	"cu in": {"cc", cubicInch}, "cu.in.": {"cc", cubicInch}, "cubic inches": {"cc", cubicInch}, "cid": {"cc", cubicInch}, "in3": {"cc", cubicInch},
	"l": {"cc", big.NewRat(1000, 1)}, "liter": {"cc", big.NewRat(1000, 1)}, "liters": {"cc", big.NewRat(1000, 1)},
	"rpm": {"rpm", big.NewRat(1, 1)},
	"m/s": {"m/s", big.NewRat(1, 1)}, "ft/min": {"m/s", big.NewRat(3048, 600000)},
}

var cubicInch = new(big.Rat).Mul(inchMM, new(big.Rat).Mul(inchMM, new(big.Rat).Mul(inchMM, big.NewRat(1, 1000))))

// unitNames has the longer of two units that begin alike first.
var unitNames = func() []string {
	var names []string
	for name := range units {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
	return names
}()

var vulgar = map[string][2]int64{"½": {1, 2}, "¼": {1, 4}, "¾": {3, 4}, "⅛": {1, 8}, "⅜": {3, 8}, "⅝": {5, 8}, "⅞": {7, 8}, "⅓": {1, 3}, "⅔": {2, 3}}

var (
	numberForm  = regexp.MustCompile(`^(\d+)[ -](\d+)/(\d+)|^(\d+)/(\d+)|^(\d*) ?([½¼¾⅛⅜⅝⅞⅓⅔])|^(\d*[.,]\d+)|^(\d+)`)
	groupedForm = regexp.MustCompile(`^\d{1,3}(,\d{3})+`)
	bracketForm = regexp.MustCompile(`^(.*?)\(([^()]*)\)(.*)$`)
	minuteForm  = regexp.MustCompile(`^(\d+)\s*['′]`)
	wordForm    = regexp.MustCompile(`[a-z]+`)
)

// number is a printed number.
type number struct {
	is    *big.Rat
	parts int64 // the denominator of its last place
	whole bool
}

// readNumber reads the number at the start of s.
func readNumber(s string, grouped bool) (n number, rest string, ok bool) {
	if m := groupedForm.FindString(s); grouped && m != "" {
		whole, _ := strconv.ParseInt(strings.ReplaceAll(m, ",", ""), 10, 64)
		return number{big.NewRat(whole, 1), 1, true}, s[len(m):], true
	}
	m := numberForm.FindStringSubmatch(s)
	if m == nil {
		return n, s, false
	}
	whole := func(i int) int64 { x, _ := strconv.ParseInt(cmp.Or(m[i], "0"), 10, 64); return x }
	mixed := func(w, top, bottom int64) number {
		if bottom == 0 || w > 0 && top >= bottom {
			return number{} // nobody prints such a fraction
		}
		return number{new(big.Rat).Add(big.NewRat(w, 1), big.NewRat(top, bottom)), bottom, false}
	}
	switch {
	case m[1] != "":
		n = mixed(whole(1), whole(2), whole(3))
	case m[4] != "":
		n = mixed(0, whole(4), whole(5))
	case m[7] != "":
		n = mixed(whole(6), vulgar[m[7]][0], vulgar[m[7]][1])
	case m[8] != "":
		text := strings.Replace(m[8], ",", ".", 1)
		_, places, _ := strings.Cut(text, ".")
		n.is, _ = new(big.Rat).SetString("0" + text)
		n.parts = 1
		for range places {
			n.parts *= 10
		}
	default:
		n = number{big.NewRat(whole(9), 1), 1, true}
	}
	return n, s[len(m[0]):], n.is != nil
}

// readUnit reads the unit at the start of s.
func readUnit(s string) (name, rest string) {
	t := strings.TrimLeft(s, " ")
	for _, u := range unitNames {
		after, found := strings.CutPrefix(t, u)
		letter := u[len(u)-1] >= 'a' && u[len(u)-1] <= 'z'
		if found && !(letter && after != "" && after[0] >= 'a' && after[0] <= 'z') {
			return u, after
		}
	}
	return "", s
}

// isAbsent reports whether a print says that there is no figure.
func isAbsent(text string) bool {
	switch text {
	case "unknown", "not given", "none", "removed", "":
		return true
	}
	return strings.HasPrefix(text, "illegible")
}

// readPrint reads a print: one reading, or several when it is printed in several
// units. An error says that this reader does not understand it, which does not
// mean that nobody can.
func readPrint(q quantity, text string) ([]reading, error) {
	if isAbsent(text) {
		return nil, nil
	}
	text = strings.ToLower(strings.TrimSpace(text))
	inner := ""
	if m := bracketForm.FindStringSubmatch(text); m != nil {
		text, inner = strings.TrimSpace(m[1]+" "+strings.TrimSpace(m[3])), m[2]
	}
	parts := strings.Split(text, " = ")
	if inner != "" {
		parts = append(parts, inner)
	}
	var all []reading
	for i, part := range parts {
		var before *reading
		if i > 0 {
			before = &all[0]
		}
		r, err := readPart(q, strings.TrimSpace(part), before)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", text, err)
		}
		all = append(all, r)
	}
	return all, nil
}

// readPart reads one reading; first is the one it stands beside.
func readPart(q quantity, s string, first *reading) (reading, error) {
	r := reading{}
	for _, word := range []string{"approximately ", "approx. ", "approx ", "about ", "circa "} {
		if after, ok := strings.CutPrefix(s, word); ok {
			r.approx, s = true, after
		}
	}
	after, negative := strings.CutPrefix(s, "-")
	n, rest, ok := readNumber(after, q.grouped)
	if !ok {
		return readWords(q, s)
	}
	if q.bare == "1" && !negative {
		if ratio, done, err := readRatio(q, n, rest); done {
			return ratio, err
		}
	}
	name, rest := readUnit(rest)
	if m := minuteForm.FindStringSubmatch(strings.TrimLeft(rest, " ")); m != nil && name == "°" && n.whole {
		minutes, _ := strconv.ParseInt(m[1], 10, 64)
		if minutes > 59 {
			return r, fmt.Errorf("there are not %d minutes in a degree", minutes)
		}
		n = number{new(big.Rat).Add(n.is, big.NewRat(minutes, 60)), 60, false}
		rest = strings.TrimLeft(rest, " ")[len(m[0]):]
	}
	if negative {
		n.is = new(big.Rat).Neg(n.is)
	}
	last, tolerance := number{}, number{}
	switch t := strings.TrimLeft(rest, " "); {
	case strings.HasPrefix(t, "±"):
		tolerance, rest, ok = readNumber(strings.TrimLeft(strings.TrimPrefix(t, "±"), " "), false)
	case strings.HasPrefix(t, "to "):
		last, rest, ok = readNumber(strings.TrimLeft(t[3:], " "), q.grouped)
	}
	if !ok {
		return r, fmt.Errorf("a number is missing")
	}
	if tolerance.is != nil || last.is != nil {
		second, after := readUnit(rest)
		if second != "" && name != "" && second != name {
			return r, fmt.Errorf("two units")
		}
		name, rest = cmp.Or(name, second), after
	}
	if err := r.words(q, rest, first); err != nil {
		return r, err
	}
	return r.settle(q, n, last, tolerance, name, first)
}

// readRatio reads a plain number, or two that a colon or the word to puts against
// each other: 17:1, 5.2 to 1. Two whole numbers are exact, but for a second that
// is 1.
func readRatio(q quantity, n number, rest string) (r reading, done bool, err error) {
	t := strings.TrimLeft(rest, " ")
	for _, sign := range []string{":", "to "} {
		against, ok := strings.CutPrefix(t, sign)
		if !ok {
			continue
		}
		m, after, ok := readNumber(strings.TrimLeft(against, " "), false)
		if !ok || after != "" || m.is.Sign() == 0 {
			return r, true, fmt.Errorf("half a ratio")
		}
		if m.is.Cmp(rat(1)) != 0 {
			return quotient(n, m), true, nil
		}
		t = ""
	}
	if t != "" {
		return r, false, nil
	}
	r, err = r.settle(q, n, number{}, number{}, "", nil)
	return r, true, err
}

// quotient is the ratio of two printed numbers.
func quotient(n, m number) reading {
	half := func(x number) *big.Rat {
		if n.whole && m.whole {
			return new(big.Rat)
		}
		return big.NewRat(1, 2*x.parts)
	}
	least := func(x number) *big.Rat { return new(big.Rat).Sub(x.is, half(x)) }
	most := func(x number) *big.Rat { return new(big.Rat).Add(x.is, half(x)) }
	return reading{unit: "1", value: new(big.Rat).Quo(n.is, m.is), lo: new(big.Rat).Quo(least(n), most(m)), hi: new(big.Rat).Quo(most(n), least(m)), stated: true}
}

// readWords reads a dead centre or nothing at all, which stand for zero.
func readWords(q quantity, s string) (reading, error) {
	zero := reading{value: new(big.Rat), stated: true}
	switch {
	case s != "tdc" && s != "bdc" && s != "nil" || q.nothing == nil:
		return zero, fmt.Errorf("a word where a number is wanted")
	case q.event && s == "bdc":
		zero.unit, zero.datum = "°", "abdc"
	case q.event:
		zero.unit, zero.datum = "°", "atdc"
	default:
		zero.unit = cmp.Or(q.bare, "mm")
	}
	zero.lo, zero.hi = new(big.Rat).Neg(q.nothing), q.nothing
	return zero, nil
}

// words reads what stands behind the number.
func (r *reading) words(q quantity, s string, first *reading) error {
	before, after := false, false
	if strings.ContainsAny(s, "0123456789") {
		return fmt.Errorf("a number too many")
	}
	for _, w := range wordForm.FindAllString(s, -1) {
		switch w {
		case "btdc", "atdc", "bbdc", "abdc":
			r.datum = w
		case "before":
			before = true
		case "after":
			after = true
		case "tdc", "inner", "top", "bdc", "outer", "bottom":
			side := "a"
			if before {
				side = "b"
			} else if !after {
				return fmt.Errorf("a dead centre without a side")
			}
			end := "tdc"
			if strings.HasPrefix(w, "b") || w == "outer" {
				end = "bdc"
			}
			r.datum = side + end
		case "piston", "rim":
			r.unit = w
		case "teeth", "tooth":
			r.unit = "teeth"
		case "straight":
			r.unit, r.straight = "rim", true
		case "dead", "centre", "center", "rule", "of", "flywheel", "the":
		default:
			return fmt.Errorf("the word %q", w)
		}
	}
	if first != nil {
		r.datum = cmp.Or(r.datum, first.datum)
	}
	return nil
}

// settle works out what the numbers stand for.
func (r reading) settle(q quantity, n, last, tolerance number, name string, first *reading) (reading, error) {
	if name == "" && first != nil && first.place != nil && q.bare == "" && r.unit == "" {
		// 7/16 in (0.4375): the same once more, in the same unit.
		r = reading{unit: first.unit, datum: first.datum, lo: first.lo, hi: first.hi, value: first.value, place: first.place, stated: true}
		return r, nil
	}
	u, known := units[name]
	switch {
	case !known && r.unit == "teeth":
		u = unit{"teeth", big.NewRat(1, 1)}
	case !known && q.event:
		u = units["°"]
	case !known && q.bare != "":
		u = unit{q.bare, big.NewRat(1, 1)}
	case !known:
		return r, fmt.Errorf("no unit")
	}
	switch {
	case q.event && u.base == "mm":
		r.unit = cmp.Or(r.unit, q.along)
		if r.unit == "" && first != nil && (first.unit == "piston" || first.unit == "rim") {
			r.unit = first.unit
		}
		if r.unit == "" {
			return r, fmt.Errorf("a length along nothing")
		}
	case q.event:
		r.unit = u.base
	case q.bare != "" && q.bare != u.base:
		return r, fmt.Errorf("a unit of something else")
	default:
		r.unit = u.base
	}
	if q.event && !q.apart && r.datum == "" {
		return r, fmt.Errorf("no dead centre")
	}
	if q.known == counted && (!n.whole || n.is.Sign() < 0) {
		return r, fmt.Errorf("not a whole number")
	}
	r.value = new(big.Rat).Mul(n.is, u.is)
	r.place = new(big.Rat).Mul(big.NewRat(1, n.parts), u.is)
	r.tens = n.whole && new(big.Rat).Quo(n.is, rat(10)).IsInt()
	half := r.half(q, n, u, name, first != nil)
	switch {
	case tolerance.is != nil:
		half, r.stated = new(big.Rat).Mul(tolerance.is, u.is), true
	case last.is != nil:
		r.lo, r.hi, r.stated = r.value, new(big.Rat).Mul(last.is, u.is), true
		if r.lo.Cmp(r.hi) > 0 {
			return r, fmt.Errorf("a range that runs backwards")
		}
		r.value = scaled(new(big.Rat).Add(r.lo, r.hi), 1, 2)
		return r, nil
	case r.approx:
		half = scaled(half, 2, 1)
		if twentieth := scaled(new(big.Rat).Abs(r.value), 1, 20); twentieth.Cmp(half) > 0 {
			half = twentieth
		}
	}
	r.lo, r.hi = new(big.Rat).Sub(r.value, half), new(big.Rat).Add(r.value, half)
	return r, nil
}

// half is how far either way the truth may lie from a plain number.
func (r reading) half(q quantity, n number, u unit, name string, second bool) *big.Rat {
	last := scaled(r.place, 1, 2)
	switch {
	case q.known == counted:
		return new(big.Rat)
	case q.known == geared && (n.parts == 1 || n.parts%10 != 0 || new(big.Rat).Mul(n.is, rat(4)).IsInt()):
		return new(big.Rat)
	case q.known == rounded, q.known == geared:
		return last
	}
	half := big.NewRat(1, 200)
	switch {
	case name != "mm":
		half = new(big.Rat).Mul(big.NewRat(1, 2000), inchMM)
	case n.whole:
		half = big.NewRat(1, 20)
	}
	if second && last.Cmp(half) > 0 {
		return last
	}
	return half
}
