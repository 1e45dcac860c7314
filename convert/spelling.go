package convert

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// spellings lists every way a unit is written, in the form that [normalise]
// gives: small letters, without points and spaces, "per" as a stroke, raised
// figures as plain ones. So "Lbs. per sq. in." is found as "lbs/sqin".
var spellings = map[Unit]string{
	Degree:    "° deg degs degree degrees d",
	ArcMinute: "' arcmin arcminute arcminutes minute minutes minuteofarc minutesofarc",
	ArcSecond: "\" arcsec arcsecond arcseconds second seconds secondofarc secondsofarc",
	Turn:      "turn turns",

	Millimetre: "mm mms m/m millimetre millimetres millimeter millimeters",
	Centimetre: "cm cms centimetre centimetres centimeter centimeters",
	Metre:      "m metre metres meter meters",
	Micrometre: "µm um micron microns micrometre micrometres micrometer micrometers",
	Inch:       "in ins inch inches \"",
	Thou:       "thou thous thousandth thousandths thousandthofaninch thousandthsofaninch mil mils",
	Foot:       "ft foot feet '",
	Yard:       "yd yds yard yards",
	Mile:       "mile miles",

	CubicCentimetre: "cc ccs ccm cm3 cubcm cucm cubiccm cubiccentimetre cubiccentimetres cubiccentimeter cubiccentimeters",
	CubicMillimetre: "mm3 cumm cubicmm cubicmillimetre cubicmillimetres cubicmillimeter cubicmillimeters",
	Litre:           "l lit litre litres liter liters ltr ltrs",
	CubicMetre:      "m3 cum cubicmetre cubicmetres cubicmeter cubicmeters",
	CubicInch:       "cuin cuins cubin cubins cubicin cubicins cubicinch cubicinches in3 ins3 inch3 inches3 ci cid",

	Kilopascal:                  "kpa kilopascal kilopascals",
	Pascal:                      "pa pascal pascals",
	Hectopascal:                 "hpa hectopascal hectopascals mbar mb millibar millibars",
	Megapascal:                  "mpa megapascal megapascals",
	Bar:                         "bar bars",
	PoundPerSquareInch:          "psi psig lb lbs lb/in2 lbs/in2 lb/sqin lbs/sqin lb/sqins lbs/sqins lb/squareinch lbs/squareinch lb/inch2 lbf/in2 lbf/sqin pound/squareinch pounds/squareinch pounds/sqin pounds/in2 pounds",
	KilogramPerSquareCentimetre: "kg/cm2 kgf/cm2 kp/cm2 kgs/cm2 kg/sqcm kgs/sqcm kgf/sqcm kg/squarecm kilogram/squarecentimetre kilograms/squarecentimetre kilogrammes/squarecentimetre",
	InchOfMercury:               "inhg inshg inchhg incheshg inofhg insofhg inofmercury insofmercury inchofmercury inchesofmercury inmercury insmercury inchesmercury \"hg \"mercury \"ofmercury",
	MillimetreOfMercury:         "mmhg mmofhg mmofmercury millimetresofmercury millimetreofmercury millimetersofmercury torr",
	Atmosphere:                  "atm atms atmosphere atmospheres",

	Kilowatt:         "kw kilowatt kilowatts",
	Watt:             "w watt watts",
	Horsepower:       "hp bhp ihp shp horsepower brakehorsepower",
	MetricHorsepower: "ps cv ch metrichp metrichorsepower hpmetric",

	RevPerMinute: "rpm rev/min revs/min r/min rev/minute revs/minute revolutions/minute revolution/minute revs rev turns/minute",
	RevPerSecond: "rps rev/s rev/sec revs/sec revs/second revolutions/second",

	MetrePerSecond: "m/s m/sec metre/second metres/second metres/sec meters/second",
	FootPerMinute:  "ft/min fpm feet/min feet/minute ft/minute foot/minute",
	FootPerSecond:  "ft/s ft/sec fps feet/second feet/sec ft/second",

	Celsius:    "°c c degc degreec degreesc celsius degcelsius degreecelsius degreescelsius °celsius centigrade degcentigrade degreescentigrade °centigrade",
	Fahrenheit: "°f f degf degreef degreesf fahrenheit degfahrenheit degreefahrenheit degreesfahrenheit °fahrenheit",
	Kelvin:     "k kelvin kelvins",

	CelsiusDegree:    "°c c degc degreec degreesc celsius degcelsius degreecelsius degreescelsius °celsius centigrade degcentigrade degreescentigrade °centigrade k kelvin kelvins",
	FahrenheitDegree: "°f f degf degreef degreesf fahrenheit degfahrenheit degreefahrenheit degreesfahrenheit °fahrenheit",

	Module:         "mm mmmodule module mod m mmmod",
	DiametralPitch: "dp diametralpitch",

	PerCelsius:    "/°c /c /degc /degreec /degreesc /celsius /degcelsius /degreecelsius /°celsius /k /kelvin /degcentigrade /degreecentigrade /°centigrade",
	PerFahrenheit: "/°f /f /degf /degreef /degreesf /fahrenheit /degfahrenheit /degreefahrenheit /°fahrenheit",
}

// bySpelling finds a unit by its dimension and normal spelling.
var bySpelling = func() (index [dimensions]map[string]Unit) {
	for d := range index {
		index[d] = make(map[string]Unit)
	}
	for u, words := range spellings {
		for _, w := range strings.Fields(words) {
			index[u.Dimension()][w] = u
		}
	}
	return index
}()

// UnknownUnitError says that words name no unit of the dimensions wanted.
type UnknownUnitError struct {
	Words   string
	Nearest string // the known spelling nearest to the words
	Is      Unit   // the unit of another dimension that the words do name, or One
}

func (e *UnknownUnitError) Error() string {
	if e.Is != One {
		return fmt.Sprintf("%s is %s", e.Words, e.Is.Dimension())
	}
	return fmt.Sprintf("%q is not a unit known here; the nearest is %q", e.Words, e.Nearest)
}

// ParseUnit returns the unit that the words name, in any spelling of period
// print: "in.", `"`, "lbs. per sq. in.", "c.c.". It looks among the dimensions
// given, or among all; where two of them share a spelling (`"` is an inch and a
// second of arc) the first wins. The error is an *UnknownUnitError.
func ParseUnit(words string, of ...Dimension) (Unit, error) {
	words = strings.TrimSpace(words)
	if u, n := MatchUnit(words, of...); n > 0 && n == len(words) {
		return u, nil
	}
	unknown := &UnknownUnitError{Words: words, Nearest: nearest(words, of)}
	if u, n := MatchUnit(words); n > 0 && n == len(words) {
		unknown.Is = u
	}
	return One, unknown
}

// MatchUnit returns the unit with the longest spelling that s begins with, and
// how many bytes of s spell it: 0 when there is none. Dimensions are looked
// through as in [ParseUnit]. A spelling ends where a word ends: "inlet" does
// not begin with an inch.
func MatchUnit(s string, of ...Dimension) (Unit, int) {
	if len(of) == 0 {
		of = all
	}
	n := normalise(s)
	for i := n.cuts - 1; i >= 0; i-- {
		c := n.cut[i]
		for _, d := range of {
			if u, ok := d.spelled()[string(n.text[:c.normal])]; ok {
				return u, int(c.source)
			}
		}
	}
	return One, 0
}

// Spellings returns every normal spelling of the dimension's units, sorted:
// small letters, without points and spaces, "per" as a stroke.
func (d Dimension) Spellings() []string {
	return slices.Sorted(maps.Keys(d.spelled()))
}

func (d Dimension) spelled() map[string]Unit {
	if d >= dimensions {
		return nil
	}
	return bySpelling[d]
}

const (
	longestSpelling = 48
	mostWords       = 5
)

// normal is the beginning of a text in the form that spellings have, with the
// places where a word ends: a unit may end only there.
type normal struct {
	text [longestSpelling]byte
	size int
	cut  [mostWords]struct{ normal, source uint8 }
	cuts int
}

// put appends bytes; it reports whether they fit.
func (n *normal) put(s string) bool {
	if n.size+len(s) > longestSpelling {
		return false
	}
	n.size += copy(n.text[n.size:], s)
	return true
}

// putWord appends a word in small letters.
func (n *normal) putWord(word string) bool {
	if n.size+len(word) > longestSpelling {
		return false
	}
	for i := range len(word) {
		n.text[n.size+i] = word[i] | 0x20
	}
	n.size += len(word)
	return true
}

// endWord marks that a word ends before the i-th byte of the source.
func (n *normal) endWord(i int) bool {
	if n.cuts == mostWords || i > math.MaxUint8 {
		return false
	}
	n.cut[n.cuts].normal, n.cut[n.cuts].source = uint8(n.size), uint8(i)
	n.cuts++
	return true
}

// normalise reads words, strokes and unit signs up to the first byte that can
// be none of them.
func normalise(s string) (n normal) {
	for i := 0; i < len(s); {
		if size := gap(s, i); size > 0 {
			i += size
			continue
		}
		end := i
		for end < len(s) && isLetter(s[end]) {
			end++
		}
		switch {
		case s[i] == '/' || strings.EqualFold(s[i:end], "per"):
			if !n.put("/") {
				return n
			}
			i = max(end, i+1)
			continue
		case end > i:
			power, size := raised(s[end:])
			if !n.putWord(s[i:end]) || !n.put(power) {
				return n
			}
			end += size
			if end < len(s) && s[end] == '.' {
				end++
			}
		default:
			token, size := sign(s[i:])
			if size == 0 || !n.put(token) {
				return n
			}
			end = i + size
		}
		if !n.endWord(end) {
			return n
		}
		i = end
	}
	return n
}

// gap returns the size of a space at s[i:], or of a hyphen between two words.
func gap(s string, i int) int {
	switch {
	case s[i] == ' ':
		return 1
	case s[i] == '-' && i > 0 && (isLetter(s[i-1]) || s[i-1] == '.') && i+1 < len(s) && isLetter(s[i+1]):
		return 1
	}
	switch r, size := utf8.DecodeRuneInString(s[i:]); r {
	case noBreakSpace, thinSpace, narrowNoBreakSpace:
		return size
	}
	return 0
}

const (
	noBreakSpace       = '\u00a0'
	thinSpace          = '\u2009'
	narrowNoBreakSpace = '\u202f'
)

// sign returns the normal form of a sign that is a unit or part of one.
func sign(s string) (normal string, size int) {
	r, size := utf8.DecodeRuneInString(s)
	switch r {
	case '°', 'º', '˚':
		return "°", size
	case '\'', '′', '’', '‘':
		if strings.HasPrefix(s[size:], s[:size]) {
			return `"`, 2 * size
		}
		return "'", size
	case '"', '″', '”', '“':
		return `"`, size
	case 'µ', 'μ':
		return "µ", size
	}
	return "", 0
}

// raised reads a second or third power after a letter.
func raised(s string) (power string, size int) {
	for _, p := range [...]struct{ print, power string }{{"²", "2"}, {"³", "3"}, {".²", "2"}, {".³", "3"}, {"^2", "2"}, {"^3", "3"}, {"2", "2"}, {"3", "3"}} {
		if strings.HasPrefix(s, p.print) && !digitAt(s, len(p.print)) {
			return p.power, len(p.print)
		}
	}
	return "", 0
}

func digitAt(s string, i int) bool { return i < len(s) && '0' <= s[i] && s[i] <= '9' }

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }

// nearest returns the spelling in the dimensions with the fewest letters
// changed, added or left out from the words.
func nearest(words string, of []Dimension) string {
	if len(of) == 0 {
		of = all
	}
	n := normalise(words)
	from := string(n.text[:n.size])
	if n.size == 0 {
		from = strings.ToLower(words[:min(len(words), longestSpelling)])
	}
	best, least := "", len(from)+longestSpelling
	for _, d := range of {
		for _, s := range d.Spellings() {
			if steps := distance(from, s); steps < least {
				best, least = s, steps
			}
		}
	}
	return best
}

// distance is the edit distance of V. Levenshtein (Soviet Physics Doklady 10,
// 1966), kept one row at a time.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// leastRespelled is how many letters a word must have for one of them to be wrong.
const leastRespelled = 3

// Respell returns the spelling of a unit that words miss by one slip of the pen:
// a letter wrong, left out, too many, or two neighbours exchanged. It is false
// when the words have fewer than three letters, and unless one unit alone of the
// dimensions, or of all, can be meant; of its spellings the shortest is returned.
func Respell(words string, of ...Dimension) (spelling string, ok bool) {
	n := normalise(words)
	wrong := string(n.text[:n.size])
	if len(wrong) < leastRespelled {
		return "", false
	}
	if len(of) == 0 {
		of = all
	}
	var meant Unit
	for _, d := range of {
		for _, s := range d.Spellings() {
			u := d.spelled()[s]
			switch {
			case !oneSlip(wrong, s):
			case spelling != "" && u != meant:
				return "", false
			case spelling == "" || len(s) < len(spelling):
				spelling, meant = s, u
			}
		}
	}
	return spelling, spelling != ""
}

// oneSlip reports whether a is b with one letter wrong, left out or too many, or
// with two neighbours exchanged.
func oneSlip(a, b string) bool {
	if distance(a, b) == 1 {
		return true
	}
	if len(a) != len(b) {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}
