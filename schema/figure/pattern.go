package figure

import (
	"slices"
	"strings"
	"unicode/utf8"

	"fourmarks.example/convert"
)

// Pieces of patterns. They use only what RE2 and ECMAScript understand alike,
// with or without its u flag: no classes by name, no flags, no lookaround. Each
// repeated class excludes what may follow it, so that matching takes time in
// proportion to the text.
const (
	spaces   = " \u00a0\u2009\u202f" // plain, no-break, thin, narrow no-break
	controls = `\x00-\x1f\x7f`
	figures  = `0-9¼-¾⅐-⅞`
	dashes   = `–—−…\-`

	anything = `[^` + controls + `]*`
	gap      = `[` + spaces + `]*`
	// before is what stands before the first number.
	signs  = `.·~≈<>=≤≥+` + dashes + spaces
	before = `[A-Za-z` + signs + `]*`
	// numbers is what one or more numbers and their signs consist of.
	numbers = figures + `.·,⁄±+` + dashes + spaces
	// after is whatever may follow the number, or the number and its unit.
	after = `[A-Za-z` + numbers + `/;:()=°º˚'"′’‘″”“~≈<>≤≥²³^µμ×⁰¹⁴-⁹⁻\[\]]*`

	noFigure = ` *(?:unknown|not given|none|illegible) *| *illegible[ :]` + anything
	hidden   = `[^?` + figures + controls + `]*(?:[` + figures + `][^?` + controls + `]*\?|\?[^` + figures + controls + `]*[` + figures + `])` + anything
	nilWord  = `[Nn][Ii][Ll]|[Zz][Ee][Rr][Oo]`
	minWord  = `[Mm][Ii][Nn](?:[Ii][Mm][Uu][Mm])?\.?`
	maxWord  = `[Mm][Aa][Xx](?:[Ii][Mm][Uu][Mm])?\.?`
	joinWord = `[Tt][Oo]|[Aa][Nn][Dd]`
	endings  = `(?:th|nd|rd)s?`
	centres  = `(?:(?:[Oo][Nn]|[Aa][Tt])` + gap + `)?(?:[Tt][Hh][Ee]` + gap + `)?` +
		`(?:[TtBbUuLl][. ]*(?:[Dd][. ]*)?[Cc]|[Tt][Oo][Pp]|[Uu][Pp][Pp][Ee][Rr]|[Ii][Nn][Nn][Ee][Rr]|[Bb][Oo][Tt][Tt][Oo][Mm]|[Ll][Oo][Ww][Ee][Rr]|[Oo][Uu][Tt][Ee][Rr])`
	seaLevel = `[Ss][Ee][Aa]` + `[` + spaces + `\-]+` + `[Ll][Ee][Vv][Ee][Ll]`
	labels   = `[A-Za-z]*[0-9][A-Za-z0-9.,;/→>` + dashes + spaces + `]*`
)

// Pattern is a regular expression for the "pattern" of a JSON Schema. It admits
// every text that [Read] accepts for the kind, and refuses what has neither a
// figure, with a unit where the kind needs one, nor one of the words that stand
// for a figure. It is no substitute for Read.
func (k Kind) Pattern() string {
	s := k.spec()
	if s.form == free {
		return `^ *[^ ` + controls + `]` + anything + `$`
	}
	forms := []string{noFigure, hidden}
	switch s.form {
	case order:
		forms = append(forms, gap+labels)
	case direction:
		forms = append(forms, gap+`(?:`+sensePattern()+`)`+after)
	case list:
		forms = append(forms, `[[,;`+before[1:]+`[`+figures+`]`+after)
		s = s.element.spec()
	case quantity:
		forms = append(forms, s.numberPattern(k))
	}
	if s.zero != convert.One {
		forms = append(forms, gap+`(?:\[`+gap+`)?(?:`+nilWord+`)`+after)
	}
	if s.from == required {
		forms = append(forms, gap+centres+after)
	}
	if k == Altitude {
		forms = append(forms, gap+seaLevel+after)
	}
	return `^(?:` + strings.Join(forms, `|`) + `)$`
}

// numberPattern is the pattern of a number and, where the kind needs it, a unit.
func (s *spec) numberPattern(k Kind) string {
	head := before + `[` + figures + `]`
	if s.bare {
		return head + after
	}
	run := numbers + `/`
	if k == Expansion { // the stroke is the unit's, and a power of ten is the number's
		run = numbers + `eEx×^²³¹⁰⁴-⁹⁻`
	}
	part := `[` + run + `]*(?:` + endings + `[` + run + `]*)?`
	pattern := head + part + `(?:` + minWord + part + `)?(?:(?:` + joinWord + `)` + part + `)?(?:` + maxWord + gap + `)?` + unitPattern(s.of) + after
	switch k {
	case Pitch: // the unit may come first: module 2.5
		pattern += `|[` + signs + `]*[A-Za-z]` + head + after
	case Vacuum: // an inch of a gauge is one of mercury
		pattern += `|` + head + part + `["″”“'′’‘]` + after
	}
	return pattern
}

// unitPattern is the beginning of a unit's spelling: its first two letters.
func unitPattern(of []convert.Dimension) string {
	second := map[rune]string{} // by first letter; "" when any may follow
	for _, d := range of {
		for _, spelling := range d.Spellings() {
			one, size := utf8.DecodeRuneInString(spelling)
			two, _ := utf8.DecodeRuneInString(spelling[size:])
			known, met := second[one]
			switch {
			case two < 'a' || two > 'z' || met && known == "":
				second[one] = ""
			case !strings.ContainsRune(known, two):
				second[one] = known + string(two)
			}
		}
	}
	var starts []string
	for one, twos := range second {
		start := signPattern(one)
		if twos != "" {
			both := strings.Split(twos+strings.ToUpper(twos), "")
			slices.Sort(both)
			start += `[.` + spaces + `-]*[` + strings.Join(both, "") + `]`
		}
		starts = append(starts, start)
	}
	slices.Sort(starts)
	return `(?:` + strings.Join(starts, `|`) + `)`
}

// signPattern is a letter in either case, or every print of a unit sign.
func signPattern(c rune) string {
	switch c {
	case '/':
		return `(?:/|[Pp][Ee][Rr])`
	case '°':
		return `[°º˚]`
	case '\'':
		return `['′’‘]`
	case '"':
		return `["″”“'′’‘]`
	case 'µ':
		return `[µμ]`
	}
	return `[` + strings.ToUpper(string(c)) + string(c) + `]`
}

// sensePattern is the words for the senses of rotation as spelled accepts them.
func sensePattern() string {
	var all []string
	for _, s := range senses {
		var letters []string
		for _, c := range s.words {
			letters = append(letters, signPattern(c))
		}
		all = append(all, strings.Join(letters, `[. \-]*`))
	}
	return strings.Join(all, `|`)
}
