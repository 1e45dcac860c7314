package relation

import (
	"math"
	"math/big"
	"strconv"
	"strings"

	"fourmarks.example/convert/interval"
	"fourmarks.example/schema/figure"
)

// slip is a text that may have been meant, how it became the print, and how
// ordinary that is.
type slip struct {
	name   string
	text   string
	weight float64
}

// likelySlip is the most ordinary slip that turns a text which must-be admits
// into what is printed; of two as ordinary, the one that leads nearer to its
// middle. What else the same print speaks of, it must be as the domains of those
// variables allow.
func (v *Variable) likelySlip(must interval.Interval, twins []*Variable, d domains) (name, likely string, isOrdinary bool, weight float64) {
	return mostOrdinary(v.claim.Printed.Text, v.Figure.Kind, func(text string) (off float64, ok bool) {
		is, ok := v.reads(text)
		for _, twin := range twins {
			also, speaks := twin.reads(text)
			ok = ok && (!speaks || also.Meets(d[twin.index]))
		}
		return math.Abs(is.Mid() - must.Mid()), ok && is.Meets(must)
	})
}

// reads returns what the variable would be if its figure printed a text; false
// when the text is no print of its kind, says nothing of the variable, or
// contradicts itself.
func (v *Variable) reads(text string) (interval.Interval, bool) {
	p, err := figure.Read(v.Figure.Kind, text)
	if err != nil || p.Absence != "" {
		return interval.Empty(), false
	}
	if _, _, twice := p.Disagreement(); twice {
		return interval.Empty(), false
	}
	is, ok := v.bind.printed(p)
	return is, ok && is.Meets(v.Limits)
}

// ordinary and odd weigh slips: those that everybody makes, and a digit wrong
// for no reason that can be seen (common practice, no source; tried on the
// engines that the benchmark of slips names).
const (
	ordinary = 1.0
	odd      = 0.1
)

// slips lists what may have been meant by a text, the commonest slips first.
func slips(text string, kind figure.Kind) []slip {
	var all []slip
	add := func(name string, weight float64, texts ...string) {
		for _, t := range texts {
			all = append(all, slip{name, t, weight})
		}
	}
	add("digits transposed", ordinary, transposed(text)...)
	add("before and after interchanged", ordinary, swapWords(text, [][2]string{
		{"BTDC", "ATDC"}, {"BBDC", "ABDC"}, {"B.T.D.C.", "A.T.D.C."}, {"B.B.D.C.", "A.B.D.C."}, {"before", "after"}})...)
	add("one digit misread", ordinary, misread(text, func(r byte) string { return lookalikes[r] })...)
	add("digit doubled", ordinary, undoubled(text)...)
	add("fraction misread", ordinary, fractionMisread(text)...)
	add("a fraction lost", ordinary, fractionLost(text)...)
	add("degrees and minutes read as decimals", ordinary, minutes(text)...)
	add("decimal point moved", ordinary, pointMoved(text)...)
	add("inch and millimetre interchanged", ordinary, swapWords(text, [][2]string{{" in", " mm"}, {"thou", "x 0.01 mm"}})...)
	add(doubling(kind), ordinary, doubledOrHalved(text)...)
	add("digit dropped", ordinary, dropped(text)...)
	if kind == figure.Ratio {
		add("swept volume divided by chamber volume, one too low", ordinary, oneMore(text)...)
	}
	add("top and bottom interchanged", odd, swapWords(text, [][2]string{
		{"BTDC", "BBDC"}, {"ATDC", "ABDC"}, {"B.T.D.C.", "B.B.D.C."}, {"A.T.D.C.", "A.B.D.C."}, {"top", "bottom"}})...)
	add("one digit wrong", odd, misread(text, func(r byte) string { return strings.ReplaceAll("0123456789", string(r), "") })...)
	return all
}

// lookalikes are the digits commonly taken for one another in print or by hand.
var lookalikes = map[byte]string{'3': "8", '8': "3", '1': "7", '7': "1", '5': "6", '6': "50", '0': "6", '4': "9", '9': "4"}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

func transposed(text string) []string {
	var out []string
	for i := 0; i+1 < len(text); i++ {
		if isDigit(text[i]) && isDigit(text[i+1]) && text[i] != text[i+1] {
			out = append(out, text[:i]+string(text[i+1])+string(text[i])+text[i+2:])
		}
	}
	return out
}

func misread(text string, others func(byte) string) []string {
	var out []string
	for i := range len(text) {
		if !isDigit(text[i]) {
			continue
		}
		for _, r := range others(text[i]) {
			out = append(out, text[:i]+string(r)+text[i+1:])
		}
	}
	return out
}

func swapWords(text string, pairs [][2]string) []string {
	var out []string
	for _, p := range pairs {
		for _, way := range [][2]string{p, {p[1], p[0]}} {
			if strings.Contains(text, way[0]) {
				out = append(out, strings.Replace(text, way[0], way[1], 1))
			}
		}
	}
	return out
}

// numbers returns the start and end of each plain number in a text: digits
// with at most one point, no part of a fraction.
func numbers(text string) [][2]int {
	var out [][2]int
	for i := 0; i < len(text); {
		if !isDigit(text[i]) && text[i] != '.' {
			i++
			continue
		}
		j, digits := i, 0
		for j < len(text) && (isDigit(text[j]) || text[j] == '.') {
			if isDigit(text[j]) {
				digits++
			}
			j++
		}
		fraction := j < len(text) && text[j] == '/' || i > 0 && text[i-1] == '/'
		if digits > 0 && !fraction && strings.Count(text[i:j], ".") <= 1 {
			out = append(out, [2]int{i, j})
		}
		i = j
	}
	return out
}

// pointMoved moves the decimal point of each number by one and two places.
func pointMoved(text string) []string {
	var out []string
	for _, n := range numbers(text) {
		whole, part, _ := strings.Cut(text[n[0]:n[1]], ".")
		digits := whole + part
		for _, shift := range []int{-1, 1, -2, 2} {
			at := len(whole) + shift
			padded := digits
			for at < 1 {
				padded, at = "0"+padded, at+1
			}
			for at > len(padded) {
				padded += "0"
			}
			moved := strings.TrimLeft(padded[:at], "0")
			if moved == "" {
				moved = "0"
			}
			if at < len(padded) {
				moved += "." + padded[at:]
			}
			out = append(out, text[:n[0]]+moved+text[n[1]:])
		}
	}
	return out
}

var vulgar = []string{"½", "¼", "¾"}

// fractionLost adds a fraction to a whole number, or takes one away.
func fractionLost(text string) []string {
	var out []string
	for _, v := range append([]string{" 1/2", " 1/4", " 3/4"}, vulgar...) {
		if strings.Contains(text, v) {
			return []string{strings.Replace(text, v, "", 1)}
		}
	}
	for _, n := range numbers(text) {
		if strings.Contains(text[n[0]:n[1]], ".") {
			continue
		}
		for _, v := range vulgar {
			out = append(out, text[:n[1]]+v+text[n[1]:])
		}
	}
	return out
}

// fractionMisread changes the numerator or the denominator of a fraction to
// another of the workshop's.
func fractionMisread(text string) []string {
	slash := strings.IndexByte(text, '/')
	if slash < 1 {
		return nil
	}
	i, j := slash, slash+1
	for i > 0 && isDigit(text[i-1]) {
		i--
	}
	for j < len(text) && isDigit(text[j]) {
		j++
	}
	var out []string
	for _, den := range []string{"2", "4", "8", "16", "32", "64"} {
		out = append(out, text[:slash+1]+den+text[j:])
	}
	for _, num := range []string{"1", "3", "5", "7", "9", "11", "13", "15", "17", "19", "21", "23", "25", "27", "29", "31"} {
		out = append(out, text[:i]+num+text[slash:])
	}
	return out
}

// minutes reads 48.30 as 48°30′ and the reverse.
func minutes(text string) []string {
	var out []string
	for _, n := range numbers(text) {
		whole, part, ok := strings.Cut(text[n[0]:n[1]], ".")
		if ok && len(part) == 2 && part < "60" {
			out = append(out, text[:n[0]]+whole+"°"+part+"'"+strings.TrimPrefix(text[n[1]:], "°"))
		}
	}
	if whole, rest, ok := strings.Cut(text, "°"); ok {
		if part, after, ok := strings.Cut(strings.TrimSpace(rest), "'"); ok {
			out = append(out, whole+"."+part+"°"+after)
		}
	}
	return out
}

// oneMore adds one to a ratio that is large enough to be one of compression
// (the slip is printed at blacksunlight.com, Studebaker tips).
func oneMore(text string) []string {
	var out []string
	for _, n := range numbers(text) {
		whole, part, hasPart := strings.Cut(text[n[0]:n[1]], ".")
		value, err := strconv.Atoi(whole)
		if err != nil || value < 3 {
			continue
		}
		more := strconv.Itoa(value + 1)
		if hasPart {
			more += "." + part
		}
		out = append(out, text[:n[0]]+more+text[n[1]:])
	}
	return out
}

// undoubled takes one of two equal neighbouring digits away.
func undoubled(text string) []string {
	var out []string
	for i := 0; i+1 < len(text); i++ {
		if isDigit(text[i]) && text[i] == text[i+1] {
			out = append(out, text[:i]+text[i+1:])
		}
	}
	return out
}

// dropped puts back a digit that was lost, in any place of each number but behind
// its decimals: that would only be a closer print of the same.
func dropped(text string) []string {
	var out []string
	for _, n := range numbers(text) {
		last := n[1]
		if strings.Contains(text[n[0]:n[1]], ".") {
			last--
		}
		for i := n[0]; i <= last; i++ {
			for d := '0'; d <= '9'; d++ {
				out = append(out, text[:i]+string(d)+text[i:])
			}
		}
	}
	return out
}

// doubling is how a print comes to be twice or half of what was meant.
func doubling(kind figure.Kind) string {
	switch kind {
	case figure.Angle, figure.Position:
		return "camshaft and crankshaft degrees interchanged"
	case figure.NominalLength, figure.ReadLength:
		return "radius and diameter interchanged"
	}
	return "taken double or half"
}

// doubledOrHalved doubles and halves the first number of a print.
func doubledOrHalved(text string) []string {
	all := numbers(text)
	if len(all) == 0 {
		return nil
	}
	n := all[0]
	digits := text[n[0]:n[1]]
	var out []string
	for _, by := range []struct{ up, down int64 }{{2, 1}, {1, 2}} {
		if s, ok := timesExactly(digits, by.up, by.down); ok {
			out = append(out, text[:n[0]]+s+text[n[1]:])
		}
	}
	return out
}

// timesExactly multiplies a decimal number exactly and writes it without losing a place.
func timesExactly(digits string, up, down int64) (string, bool) {
	r, ok := new(big.Rat).SetString(digits)
	if !ok {
		return "", false
	}
	_, part, _ := strings.Cut(digits, ".")
	places := len(part)
	if down > 1 {
		places++
	}
	s := r.Mul(r, big.NewRat(up, down)).FloatString(places)
	if strings.Contains(s, ".") && len(part) == 0 {
		s = strings.TrimSuffix(s, ".0")
	}
	return s, true
}
