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

// The slips of a transcriber, made in the text as it is printed.

// slip is one way to get one print wrong, or two of a pair.
type slip struct {
	kind   string
	sheet  *sheet
	places []placed
}

// placed is a print with the text put in its stead.
type placed struct {
	figure *printedFigure
	claim  int
	scalar int
	text   string
}

func (p placed) at() scalar { return p.figure.claims[p.claim].scalars[p.scalar] }

// String names the slip: the file, the figure, and what became of its text.
func (s slip) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s:", s.sheet.name, s.kind)
	for _, p := range s.places {
		fmt.Fprintf(&b, " %s %q for %q", p.figure.pointer, p.text, p.at().text)
	}
	return b.String()
}

// slipped returns the text of the file with the slip in it.
func (s slip) slipped() (string, error) {
	places := slices.Clone(s.places)
	slices.SortFunc(places, func(a, b placed) int {
		return cmp.Or(b.at().line-a.at().line, b.at().column-a.at().column)
	})
	text := s.sheet.text
	for _, p := range places {
		start, end, err := s.sheet.span(p.at())
		if err != nil {
			return "", err
		}
		text = text[:start] + p.at().raw(p.text) + text[end:]
	}
	return text, nil
}

// The kinds of slip, in the order of the table.
const (
	transposed  = "two digits transposed"
	misread     = "one digit misread"
	dropped     = "a digit dropped"
	doubled     = "a digit doubled"
	pointMoved  = "decimal point moved"
	otherSide   = "BTDC for ATDC, ABDC for BBDC"
	otherUnit   = "inch for millimetre, thou for 1/100 mm"
	camDegrees  = "cam degrees for crank degrees"
	fractionOff = "a fraction lost or misread"
	minutes     = "degrees.minutes read as decimal degrees"
	halfSize    = "diameter for radius"
	swapped     = "inlet and exhaust interchanged"
	elsewhere   = "figure of the other variant or clearance"
)

var slipKinds = []string{transposed, misread, dropped, doubled, pointMoved, otherSide, otherUnit, camDegrees, fractionOff, minutes, halfSize, swapped, elsewhere}

// slipsOf returns every slip of every figure of a sheet, no two alike.
func slipsOf(s *sheet) []slip {
	var all []slip
	for _, f := range s.figures {
		seen := map[string]bool{}
		add := func(kind string, claim, scalar int, text string) {
			p := placed{f, claim, scalar, text}
			key := fmt.Sprint(claim, scalar, text)
			if text == p.at().text || strings.TrimSpace(text) == "" || seen[key] {
				return
			}
			seen[key] = true
			all = append(all, slip{kind, s, []placed{p}})
		}
		for i, c := range f.claims {
			if c.aside {
				continue
			}
			for j, p := range c.scalars {
				if !strings.ContainsAny(p.text, "0123456789½¼¾⅛⅜⅝⅞⅓⅔") || isAbsent(p.text) {
					continue
				}
				for _, made := range misprints(f, p.text) {
					add(made.kind, i, j, made.text)
				}
			}
		}
		for _, text := range s.othersOf(f) {
			if len(f.claims) == 1 && len(f.claims[0].scalars) == 1 && !isAbsent(f.claims[0].text()) {
				add(elsewhere, 0, 0, text)
			}
		}
	}
	return append(all, s.pairs()...)
}

var (
	numbersIn  = regexp.MustCompile(`\d+[ -]\d+/\d+|\d+/\d+|\d* ?[½¼¾⅛⅜⅝⅞⅓⅔]|\d*[.,]\d+|\d+`)
	minutesIn  = regexp.MustCompile(`(\d+)° ?(\d+)'`)
	sideIn     = regexp.MustCompile(`(?i)\b([BA])(TDC|BDC)\b|\b(before|after)\b`)
	lookAlike  = map[byte]string{'3': "8", '8': "3", '1': "7", '7': "1", '5': "6", '6': "50", '0': "6", '4': "9", '9': "4"}
	lengthUnit = regexp.MustCompile(`(\d) ?(in\b|mm\b|")`)
)

// misprint is a text got wrong.
type misprint struct{ kind, text string }

// misprints returns the ways to get one text of a figure wrong.
func misprints(f *printedFigure, text string) []misprint {
	var all []misprint
	put := func(kind, was string) { all = append(all, misprint{kind, was}) }
	for i, at := range numbersIn.FindAllStringIndex(text, -1) {
		number := text[at[0]:at[1]]
		made := digitSlips(number)
		if !minutesIn.MatchString(text) {
			made = append(made, valueSlips(f, number, i == 0)...)
		}
		for _, m := range made {
			if !(isCount(f) && m.text == "0") { // nobody prints that there are none
				put(m.kind, text[:at[0]]+m.text+text[at[1]:])
			}
		}
	}
	if m := minutesIn.FindStringSubmatchIndex(text); m != nil {
		put(minutes, text[:m[0]]+text[m[2]:m[3]]+"."+text[m[4]:m[5]]+text[m[1]:])
	}
	if m := sideIn.FindStringIndex(text); m != nil {
		put(otherSide, text[:m[0]]+swapSide(text[m[0]:m[1]])+text[m[1]:])
	}
	for _, n := range unitSlips(text) {
		put(otherUnit, n)
	}
	return all
}

// valueSlips are the slips of a number as a whole; the first of a print is that
// which doubling and halving are of.
func valueSlips(f *printedFigure, number string, first bool) []misprint {
	var all []misprint
	put := func(kind string, texts ...string) {
		for _, t := range texts {
			all = append(all, misprint{kind, t})
		}
	}
	if strings.ContainsAny(number, "/½¼¾⅛⅜⅝⅞⅓⅔") {
		put(fractionOff, fractionSlips(number)...)
	} else if !isCount(f) && f.of != listQ {
		put(pointMoved, pointSlips(number)...)
	}
	if !first {
		return all
	}
	twice, half := times(number, big.NewRat(2, 1)), times(number, big.NewRat(1, 2))
	switch {
	case f.of == angleQ || f.of == positionQ:
		put(camDegrees, slices.Concat(twice, half)...)
		put(minutes, asMinutes(number)...)
	case radius.MatchString(f.path):
		put(halfSize, twice...)
	case diameter.MatchString(f.path):
		put(halfSize, half...)
	}
	return all
}

// isCount reports whether a figure counts things.
func isCount(f *printedFigure) bool {
	return f.of != nil && f.of.known == counted || f.of == nil && counts.MatchString(f.path)
}

var (
	counts   = regexp.MustCompile(`/(keyways|pitches|rows|by|cylinder|companion|on_the_rock|fully_open)$`)
	radius   = regexp.MustCompile(`_radius$`)
	diameter = regexp.MustCompile(`/(rim_diameter|pitch_diameter|bore)$`)
)

// digitSlips are the slips of single digits of a number.
func digitSlips(number string) []misprint {
	var all []misprint
	put := func(kind, n string) {
		if isPrintable(n, number) {
			all = append(all, misprint{kind, n})
		}
	}
	digits := []int{}
	for i := range number {
		if number[i] >= '0' && number[i] <= '9' {
			digits = append(digits, i)
		}
	}
	for k, i := range digits {
		if k+1 < len(digits) && !strings.ContainsAny(number[i:digits[k+1]], "/ -") {
			j := digits[k+1]
			b := []byte(number)
			b[i], b[j] = b[j], b[i]
			put(transposed, string(b))
		}
		for _, as := range []byte(lookAlike[number[i]]) {
			b := []byte(number)
			b[i] = as
			put(misread, string(b))
		}
		put(dropped, number[:i]+number[i+1:])
		put(doubled, number[:i]+number[i:i+1]+number[i:])
	}
	return all
}

// unprintable finds what no number is printed as: led by a nought, or a part of
// it gone.
var unprintable = regexp.MustCompile(`^$|(^|[/ -])0\d|/0|^0/|[ -]0/|/$|^/|[ -]/|[.,]$|^[ -]`)

// isPrintable reports whether a number may be printed as it has come to be, or
// was as odd before.
func isPrintable(n, was string) bool {
	return !unprintable.MatchString(n) || unprintable.MatchString(was) && n != ""
}

// fractionSlips are a fraction lost, and one read with another numerator.
func fractionSlips(number string) []string {
	var all []string
	n, _, ok := readNumber(number, false)
	if !ok {
		return nil
	}
	whole := new(big.Int).Quo(n.is.Num(), n.is.Denom())
	if whole.Sign() > 0 {
		all = append(all, whole.String())
	}
	i := strings.Index(number, "/")
	if i < 0 {
		for _, other := range []string{"¼", "½", "¾"} {
			for mark := range vulgar {
				if strings.Contains(number, mark) {
					all = append(all, strings.Replace(number, mark, other, 1))
				}
			}
		}
		return all
	}
	j := strings.LastIndexAny(number[:i], " -") + 1
	top, _ := strconv.ParseInt(number[j:i], 10, 64)
	bottom, _ := strconv.ParseInt(number[i+1:], 10, 64)
	for _, t := range []int64{top - 2, top + 2} {
		if t > 0 && t < bottom {
			all = append(all, number[:j]+strconv.FormatInt(t, 10)+number[i:])
		}
	}
	return all
}

// pointSlips are a decimal point moved by one place either way.
func pointSlips(number string) []string {
	mark := "."
	i := strings.IndexAny(number, ".,")
	if i >= 0 {
		mark = number[i : i+1]
	}
	whole, places := number, ""
	if i >= 0 {
		whole, places = number[:i], number[i+1:]
	}
	var all []string
	switch {
	case places == "":
		all = append(all, whole+"0")
	case len(places) == 1:
		all = append(all, whole+places)
	default:
		all = append(all, whole+places[:1]+mark+places[1:])
	}
	if whole != "" && whole != "0" {
		all = append(all, whole[:len(whole)-1]+mark+whole[len(whole)-1:]+places)
	} else if places != "" {
		all = append(all, whole+mark+"0"+places)
	}
	for i, n := range all {
		trimmed := strings.TrimLeft(n, "0")
		if trimmed == "" || trimmed[0] == '.' || trimmed[0] == ',' {
			if whole != "" {
				trimmed = "0" + trimmed
			}
		}
		all[i] = trimmed
	}
	return all
}

// times multiplies a number, printed the way it was; nothing where it cannot be.
func times(number string, by *big.Rat) []string {
	n, rest, ok := readNumber(number, false)
	if !ok || rest != "" || n.is.Sign() == 0 {
		return nil
	}
	is := new(big.Rat).Mul(n.is, by)
	whole := new(big.Int).Quo(is.Num(), is.Denom())
	left := new(big.Rat).Sub(is, new(big.Rat).SetInt(whole))
	lead := ""
	if whole.Sign() > 0 {
		lead = whole.String()
	}
	switch {
	case left.Sign() == 0 && (n.whole || strings.ContainsAny(number, "/½¼¾⅛⅜⅝⅞")):
		return []string{whole.String()}
	case strings.Contains(number, "/"):
		return []string{strings.TrimSpace(lead + " " + left.RatString())}
	case n.whole || strings.ContainsAny(number, "½¼¾⅛⅜⅝⅞"):
		for mark, v := range vulgar {
			if left.Cmp(big.NewRat(v[0], v[1])) == 0 {
				return []string{lead + mark}
			}
		}
		return nil
	}
	places := len(strconv.FormatInt(n.parts, 10)) - 1
	if !new(big.Rat).Mul(is, big.NewRat(n.parts, 1)).IsInt() {
		places++
	}
	return []string{shownLike(number, is.FloatString(places))}
}

// shownLike gives a decimal the mark and the leading nought that another has.
func shownLike(number, decimal string) string {
	if strings.HasPrefix(number, ".") {
		decimal = strings.TrimPrefix(decimal, "0")
	}
	if strings.Contains(number, ",") {
		return strings.Replace(decimal, ".", ",", 1)
	}
	return decimal
}

// asMinutes writes degrees and minutes with a point between, as some sheets do:
// 54½, which is 54° 30′, as 54.30.
func asMinutes(number string) []string {
	n, rest, ok := readNumber(number, false)
	if !ok || rest != "" || n.is.IsInt() {
		return nil
	}
	whole := new(big.Int).Quo(n.is.Num(), n.is.Denom())
	left := new(big.Rat).Mul(new(big.Rat).Sub(n.is, new(big.Rat).SetInt(whole)), rat(60))
	if !left.IsInt() {
		return nil
	}
	return []string{fmt.Sprintf("%s.%02d", whole, left.Num().Int64())}
}

// swapSide puts the other side of a dead centre.
func swapSide(word string) string {
	swap := map[string]string{"before": "after", "after": "before", "Before": "After", "After": "Before", "BEFORE": "AFTER", "AFTER": "BEFORE"}
	if other, ok := swap[word]; ok {
		return other
	}
	return map[byte]string{'B': "A", 'A': "B", 'b': "a", 'a': "b"}[word[0]] + word[1:]
}

var (
	thouIn   = regexp.MustCompile(`^(\d+) thou\b`)
	hundreds = regexp.MustCompile(`^0[.,](\d\d) mm\b`)
)

// unitSlips put the other unit behind the same number, or read a hundredth of a
// millimetre as a thou.
func unitSlips(text string) []string {
	var all []string
	if m := lengthUnit.FindStringSubmatchIndex(text); m != nil {
		other := map[string]string{"in": "mm", "mm": "in", `"`: " mm"}[text[m[4]:m[5]]]
		all = append(all, text[:m[4]]+other+text[m[5]:])
	}
	if m := thouIn.FindStringSubmatch(text); m != nil && len(m[1]) < 3 {
		n, _ := strconv.Atoi(m[1])
		all = append(all, fmt.Sprintf("0.%02d mm", n)+text[len(m[0]):])
	}
	if m := hundreds.FindStringSubmatch(text); m != nil {
		all = append(all, strings.TrimLeft(m[1], "0")+" thou"+text[len(m[0]):])
	}
	return all
}

// othersOf are the texts that may be pasted in a figure's place: those of the
// other layers, and of the same figure at the other clearances.
func (s *sheet) othersOf(f *printedFigure) []string {
	var all []string
	add := func(o *printedFigure) {
		if o != nil && o != f && len(o.claims) == 1 && len(o.claims[0].scalars) == 1 && !isAbsent(o.claims[0].text()) {
			all = append(all, o.claims[0].text())
		}
	}
	for _, l := range s.layers {
		add(l.figures[f.path])
	}
	parts := strings.Split(f.path, "/")
	if len(parts) == 4 && (parts[1] == "events" || parts[1] == "clearances") {
		for _, name := range s.layers[0].order["/"+parts[1]] {
			add(s.layers[0].figures["/"+parts[1]+"/"+name+"/"+parts[3]])
		}
	}
	return all
}

// pairs interchanges the prints of inlet and exhaust.
func (s *sheet) pairs() []slip {
	var all []slip
	for _, f := range s.figures {
		last := f.path[strings.LastIndex(f.path, "/")+1:]
		if !strings.HasPrefix(last, "inlet") || f.pointer != f.path {
			continue
		}
		o := s.layers[0].figures[strings.TrimSuffix(f.path, last)+"exhaust"+strings.TrimPrefix(last, "inlet")]
		if o == nil || len(f.claims) != 1 || len(o.claims) != 1 || isAbsent(f.claims[0].text()) || isAbsent(o.claims[0].text()) {
			continue
		}
		a, b := f.claims[0].scalars[0].text, o.claims[0].scalars[0].text
		if a != b && f.claims[0].scalars[0].quoted == o.claims[0].scalars[0].quoted {
			all = append(all, slip{swapped, s, []placed{{f, 0, 0, b}, {o, 0, 0, a}}})
		}
	}
	return all
}
