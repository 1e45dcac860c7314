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
		add := func(kind string, claim, print int, text string) {
			p := placed{f, claim, print, text}
			key := fmt.Sprint(claim, print, text)
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
					add(made[0], i, j, made[1])
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
	lengthUnit = regexp.MustCompile(`(\d) ?(in|mm)\b`)
)

// misprints returns the ways to get one text wrong: the kind and the new text.
func misprints(f *printedFigure, text string) [][2]string {
	var all [][2]string
	put := func(kind, was string) { all = append(all, [2]string{kind, was}) }
	path := f.path
	isCount := f.of != nil && f.of.known == counted || wholePath.MatchString(path)
	isAngle := f.of == angleQ || f.of == positionQ
	for _, at := range numbersIn.FindAllStringIndex(text, -1) {
		number := text[at[0]:at[1]]
		with := func(n string) string { return text[:at[0]] + n + text[at[1]:] }
		for _, d := range digitSlips(number) {
			put(d[0], with(d[1]))
		}
		if strings.ContainsAny(number, "/½¼¾⅛⅜⅝⅞⅓⅔") {
			for _, n := range fractionSlips(number) {
				put(fractionOff, with(n))
			}
		} else if !isCount && f.of != listQ && !minutesIn.MatchString(text) {
			for _, n := range pointSlips(number) {
				put(pointMoved, with(n))
			}
		}
		if isAngle && !minutesIn.MatchString(text) && at[0] == firstNumber(text) {
			for _, by := range []*big.Rat{big.NewRat(2, 1), big.NewRat(1, 2)} {
				if n, ok := times(number, by); ok {
					put(camDegrees, with(n))
				}
			}
			if n, ok := asMinutes(number); ok {
				put(minutes, with(n))
			}
		}
		if radiusPath.MatchString(path) && at[0] == firstNumber(text) {
			by := big.NewRat(2, 1)
			if strings.Contains(path, "diameter") || strings.HasSuffix(path, "bore") {
				by = big.NewRat(1, 2)
			}
			if n, ok := times(number, by); ok {
				put(halfSize, with(n))
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

var (
	wholePath  = regexp.MustCompile(`/(keyways|pitches|rows|by|cylinder|companion|on_the_rock|fully_open)$`)
	radiusPath = regexp.MustCompile(`/(rim_diameter|pitch_diameter|bore|base_radius|flank_radius|nose_radius|follower_radius)$`)
)

func firstNumber(text string) int { return numbersIn.FindStringIndex(text)[0] }

// digitSlips are the slips of single figures of a number, no leading nought made.
func digitSlips(number string) [][2]string {
	var all [][2]string
	put := func(kind, n string) {
		if !leadsWithNought(n, number) {
			all = append(all, [2]string{kind, n})
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

// leadsWithNought reports whether a number has come to begin with a nought
// that nobody would print, or lost the figures that make it a number.
func leadsWithNought(n, was string) bool {
	for _, part := range regexp.MustCompile(`\d+([.,]\d+)?|/|[.,]\d+|[.,]`).FindAllString(n, -1) {
		if part == "." || part == "," {
			return true
		}
	}
	lead := regexp.MustCompile(`(^|[/ -])0\d|/0|^0/|/$|^/|[ -]/|[.,]$|^[ -]|[ -]0/`)
	return n == "" || lead.MatchString(n) && !lead.MatchString(was)
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

// times multiplies a number, printed the way it was.
func times(number string, by *big.Rat) (string, bool) {
	n, rest, ok := readNumber(number, false)
	if !ok || rest != "" || n.is.Sign() == 0 {
		return "", false
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
		return whole.String(), true
	case strings.Contains(number, "/"):
		return strings.TrimSpace(lead + " " + left.RatString()), true
	case n.whole || strings.ContainsAny(number, "½¼¾⅛⅜⅝⅞"):
		for mark, v := range vulgar {
			if left.Cmp(big.NewRat(v[0], v[1])) == 0 {
				return lead + mark, true
			}
		}
		return "", false
	}
	places := 0
	for p := n.parts; p > 1; p /= 10 {
		places++
	}
	if new(big.Rat).Mul(is, big.NewRat(n.parts, 1)).IsInt() {
		return shownLike(number, is.FloatString(places)), true
	}
	return shownLike(number, is.FloatString(places+1)), true
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
func asMinutes(number string) (string, bool) {
	n, rest, ok := readNumber(number, false)
	if !ok || rest != "" || n.is.IsInt() {
		return "", false
	}
	whole := new(big.Int).Quo(n.is.Num(), n.is.Denom())
	left := new(big.Rat).Mul(new(big.Rat).Sub(n.is, new(big.Rat).SetInt(whole)), big.NewRat(60, 1))
	if !left.IsInt() {
		return "", false
	}
	return fmt.Sprintf("%s.%02d", whole, left.Num().Int64()), true
}

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
		other := map[string]string{"in": "mm", "mm": "in"}[text[m[4]:m[5]]]
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
