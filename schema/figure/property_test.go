package figure

import (
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert"
)

var vulgarFractions = map[string]string{
	"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
	"⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10",
}

func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic(s)
	}
	return r
}

// drawNumber draws a number in one of the forms of print, its exact value and
// the size of its last place.
func drawNumber(t *rapid.T) (text string, value, last *big.Rat) {
	whole := rapid.IntRange(0, 359).Draw(t, "whole") // degrees of a position, too
	switch rapid.SampledFrom([]string{"whole", "decimal", "comma", "point", "fraction", "mixed", "vulgar"}).Draw(t, "form") {
	case "decimal", "comma":
		places := rapid.IntRange(1, 4).Draw(t, "places")
		digits := fmt.Sprintf("%0*d", places, rapid.IntRange(0, 9999).Draw(t, "digits")%pow10(places))
		text = fmt.Sprintf("%d.%s", whole, digits)
		value, last = rat(text), big.NewRat(1, int64(pow10(places)))
		if rapid.Bool().Draw(t, "with comma") && (places != 3 || whole == 0) {
			text = strings.Replace(text, ".", ",", 1)
		}
		return text, value, last
	case "point":
		text = fmt.Sprintf(".%03d", whole)
		return text, rat("0" + text), big.NewRat(1, 1000)
	case "fraction":
		d := rapid.SampledFrom([]int{2, 3, 8, 16, 32, 64, 100, 1000}).Draw(t, "parts")
		text = fmt.Sprintf("%d/%d", whole, d)
		return text, rat(text), big.NewRat(1, int64(d))
	case "mixed":
		d := rapid.SampledFrom([]int{2, 4, 8, 16, 32, 64}).Draw(t, "parts")
		n := rapid.IntRange(0, d-1).Draw(t, "top")
		text = fmt.Sprintf("%d%s%d%s%d", whole, rapid.SampledFrom([]string{" ", "-", "\u2009"}).Draw(t, "gap"), n, rapid.SampledFrom([]string{"/", "⁄"}).Draw(t, "stroke"), d)
		return text, new(big.Rat).Add(big.NewRat(int64(whole), 1), big.NewRat(int64(n), int64(d))), big.NewRat(1, int64(d))
	case "vulgar":
		sign := rapid.SampledFrom(slices.Sorted(mapKeys(vulgarFractions))).Draw(t, "sign")
		part := rat(vulgarFractions[sign])
		return fmt.Sprintf("%d%s", whole, sign), new(big.Rat).Add(big.NewRat(int64(whole), 1), part), new(big.Rat).SetFrac(big.NewInt(1), part.Denom())
	}
	return fmt.Sprint(whole), big.NewRat(int64(whole), 1), big.NewRat(1, 1)
}

func mapKeys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func pow10(n int) int {
	p := 1
	for range n {
		p *= 10
	}
	return p
}

// style is how prints of a kind go on after the number.
type style struct {
	kind    Kind
	endings []string
	unit    convert.Unit
}

var styles = []style{
	{Angle, []string{"", "°", " deg", " degrees", " crank deg."}, convert.Degree},
	{ReadLength, []string{" in", `"`, "in.", " inches", "″", "''"}, convert.Inch},
	{ReadLength, []string{" thou", " mils", " thousandths of an inch"}, convert.Thou},
	{NominalLength, []string{" mm", "mm.", " millimetres", "\u202fmm"}, convert.Millimetre},
	{Pressure, []string{" psi", " lb. per sq. in.", " lb/in²", " p.s.i.", " lbs/sq. in."}, convert.PoundPerSquareInch},
	{Vacuum, []string{" inHg", " in. Hg", " in.", " ins. of mercury"}, convert.InchOfMercury},
	{Volume, []string{" cc", " c.c.", " cm³"}, convert.CubicCentimetre},
	{Volume, []string{" cu in", " cub. in.", " in3"}, convert.CubicInch},
	{Power, []string{" hp", " b.h.p.", " H.P."}, convert.Horsepower},
	{Speed, []string{"", " rpm", " r.p.m.", " revs. per min."}, convert.RevPerMinute},
	{LinearSpeed, []string{" ft/min", " ft. per min."}, convert.FootPerMinute},
	{Temperature, []string{" °F", " deg. F.", "F"}, convert.Fahrenheit},
	{TemperatureRise, []string{" °C", "K"}, convert.CelsiusDegree},
	{Altitude, []string{" ft", " feet", "'"}, convert.Foot},
	{Expansion, []string{" per °C", "/K", " per deg. C."}, convert.PerCelsius},
	{TaxHorsepower, []string{"", " hp", " h.p. R.A.C."}, convert.One},
	{Position, []string{" BTDC", "° before T.D.C.", " B.T.D.C.", " deg before top dead centre", " before top"}, convert.Degree},
	{Position, []string{" in BTDC piston", `" before TDC piston`, " in BTDC rim", " in before TDC mark"}, convert.Inch},
	{RimPosition, []string{" mm ATDC", " mm after top centre straight"}, convert.Millimetre},
	{Position, []string{" teeth ABDC", " flywheel teeth after B.D.C."}, convert.One},
	{Movement, []string{"", "°", " degrees"}, convert.Degree},
	{Pitch, []string{" DP", " D.P."}, convert.DiametralPitch},
}

// drawPrint draws a print that must be read, its exact value and half width.
func drawPrint(t *rapid.T) (kind Kind, text string, value, half *big.Rat, unit convert.Unit) {
	s := rapid.SampledFrom(styles).Draw(t, "style")
	number, value, last := drawNumber(t)
	text = number + rapid.SampledFrom(s.endings).Draw(t, "ending")
	half = last.Quo(last, big.NewRat(2, 1))
	switch {
	case s.unit == convert.DiametralPitch:
		half = new(big.Rat)
	case s.kind == NominalLength && isWhole(number):
		half = big.NewRat(1, 20)
	case s.kind == NominalLength:
		half = big.NewRat(1, 200)
	}
	return s.kind, text, value, half, s.unit
}

func isWhole(number string) bool {
	return !strings.ContainsFunc(number, func(c rune) bool { return c < '0' || '9' < c })
}

// A print made from a value reads back as that value, to the last digit, with
// the width of its last place.
func TestPrintsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, text, value, half, unit := drawPrint(t)
		p, err := Read(kind, text)
		if err != nil {
			t.Fatal(err)
		}
		r := p.Readings[0]
		if p.String() != text || len(p.Readings) != 1 || r.Value.Cmp(value) != 0 || r.Unit != unit {
			t.Fatalf("%q reads as %s", text, p.describe())
		}
		if got := new(big.Rat).Sub(r.Hi, value); got.Cmp(half) != 0 || got.Cmp(new(big.Rat).Sub(value, r.Lo)) != 0 {
			t.Fatalf("%q reads as %s, half width %s wanted", text, p.describe(), half)
		}
		if whole := text[r.Span.Start:r.Span.End]; whole != strings.TrimRight(text, " ") {
			t.Fatalf("the reading is only %q of %q", whole, text)
		}
		if n := r.Number; n.Start != 0 || n.End <= n.Start {
			t.Fatalf("number of %q at %v", text, n)
		}
	})
}

// Converting a reading keeps what it holds: the interval in working units holds
// the exact bounds in the printed unit.
func TestIntervalHoldsTheReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, text, value, _, unit := drawPrint(t)
		if unit == convert.DiametralPitch && value.Sign() == 0 {
			return
		}
		p, err := Read(kind, text)
		if err != nil {
			t.Fatal(err)
		}
		r := p.Readings[0]
		in := r.Interval()
		v, lo, hi, err := r.In(unit.Dimension().Base())
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []*big.Rat{v, lo, hi} {
			if new(big.Rat).SetFloat64(in.Lo).Cmp(x) > 0 || new(big.Rat).SetFloat64(in.Hi).Cmp(x) < 0 {
				t.Fatalf("%q: %v does not hold %s", text, in, x)
			}
		}
	})
}

// A stated range or tolerance is the interval.
func TestStatedIntervals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, x, _ := drawNumber(t)
		b, y, _ := drawNumber(t)
		if x.Cmp(y) > 0 {
			a, b, x, y = b, a, y, x
		}
		p, err := Read(ReadLength, a+" to "+b+" mm")
		if err != nil {
			t.Fatal(err)
		}
		if r := p.Readings[0]; r.Lo.Cmp(x) != 0 || r.Hi.Cmp(y) != 0 || !r.Stated {
			t.Fatalf("%s to %s reads as %s", a, b, p.describe())
		}
		p, err = Read(Position, a+"° ± "+b+"° BTDC")
		if err != nil {
			t.Fatal(err)
		}
		r := p.Readings[0]
		if r.Value.Cmp(x) != 0 || new(big.Rat).Sub(r.Hi, r.Value).Cmp(y) != 0 || new(big.Rat).Sub(r.Value, r.Lo).Cmp(y) != 0 {
			t.Fatalf("%s ± %s reads as %s", a, b, p.describe())
		}
	})
}

// Marking a figure approximate never narrows it.
func TestApproximateWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, text, _, _, _ := drawPrint(t)
		plain, err := Read(kind, text)
		if err != nil {
			t.Fatal(err)
		}
		approx, err := Read(kind, "about "+text)
		if err != nil {
			t.Fatal(err)
		}
		a, b := plain.Readings[0], approx.Readings[0]
		if b.Lo.Cmp(a.Lo) > 0 || b.Hi.Cmp(a.Hi) < 0 || b.Value.Cmp(a.Value) != 0 || !b.Approximate {
			t.Fatalf("%s became %s", plain.describe(), approx.describe())
		}
	})
}

// invariants are what holds of every print that is read.
func invariants(kind Kind, text string, p Printed) error {
	if p.Text != text || p.String() != text || p.Kind != kind {
		return fmt.Errorf("%q became %q", text, p.Text)
	}
	if p.Absence != "" && (p.Readings != nil || p.List != nil || p.Order != nil || p.Direction != Rotation{}) {
		return fmt.Errorf("%q is %s and has a figure", text, p.Absence)
	}
	for _, r := range slices.Concat(p.Readings, p.List) {
		switch {
		case r.Value == nil || r.Lo == nil && r.Hi == nil:
			return fmt.Errorf("%q says nothing", text)
		case r.Lo != nil && r.Lo.Cmp(r.Value) > 0, r.Hi != nil && r.Value.Cmp(r.Hi) > 0:
			return fmt.Errorf("%q: %s is outside its interval", text, p.describe())
		case r.Denominator < 1:
			return fmt.Errorf("%q has no last place", text)
		case r.Span.Start > r.Number.Start || r.Number.Start >= r.Number.End || r.Number.End > r.Span.End || r.Span.End > len(text):
			return fmt.Errorf("%q: number %v in %v", text, r.Number, r.Span)
		case !utf8.ValidString(text[r.Span.Start:r.Span.End]) || !utf8.ValidString(text[r.Number.Start:r.Number.End]):
			return fmt.Errorf("%q: a span cuts a character", text)
		case !slices.Contains([]convert.Dimension{convert.Number, kind.Unit().Dimension(), convert.Length}, r.Unit.Dimension()):
			return fmt.Errorf("%q is in %s", text, r.Unit.Name())
		}
	}
	if !patterns[kind].MatchString(text) {
		return fmt.Errorf("%q is read as %s and its pattern does not admit it", text, kind)
	}
	return nil
}

var patterns = func() (all [kinds]*regexp.Regexp) {
	for k := range kinds {
		all[k] = regexp.MustCompile(k.Pattern())
	}
	return all
}()

// Whatever is made of the pieces of prints, in whatever order, is read within
// the invariants or refused; a pattern admits all that is read.
func TestPiecesOfPrints(t *testing.T) {
	pieces := []string{
		"52", "½", "2 15/16", ".004", "0,45", "1,800", "1 800", "30'", "16", "-", "–", "to", "±", "+", "(", ")", "[", "]", "=", "/", ",", ";", ":", "or", "and", "between",
		" ", " ", " ", "\u00a0", "in", "in.", `"`, "mm", "thou", "°", "deg", "min", "max.", "psi", "lb. per sq. in.", "inHg", "rpm", "cc", "DP", "module", "per °C", "e-6", "× 10⁻⁶", "hp", "°F",
		"BTDC", "A.B.D.C.", "after", "before", "top", "bottom", "dead", "centre", "T.D.C.", "mark", "piston", "rim", "straight", "rule", "teeth", "flywheel", "on", "at", "the", "from", "of", "along",
		"approx.", "c.", "~", "<", "≥", "at least", "not more than", "within", "nil", "zero", "sea level", "unknown", "illegible", "?", "clockwise", "seen from", "timing end", "1-4-2-3", "L", "crank", "lift", "valve", "off seat", "3/32nds", "a", "b",
	}
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		kind := Kind(rapid.IntRange(0, int(kinds)-1).Draw(t, "kind"))
		var text strings.Builder
		for range rapid.IntRange(1, 7).Draw(t, "length") {
			text.WriteString(rapid.SampledFrom(pieces).Draw(t, "piece"))
		}
		p, err := Read(kind, text.String())
		if err != nil {
			return
		}
		read++
		if err := invariants(kind, text.String(), p); err != nil {
			t.Fatal(err)
		}
	})
	assert.Positive(t, read)
}

// The tables of this package's tests are admitted by the patterns too.
func TestPatternsAdmitEveryPrint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, text, _, _, _ := drawPrint(t)
		before := rapid.SampledFrom([]string{"", "about ", "max. ", "not less than ", "~ ", "≤ ", "c. "}).Draw(t, "before")
		p, err := Read(kind, before+text)
		if err != nil {
			t.Fatal(err)
		}
		if err := invariants(kind, before+text, p); err != nil {
			t.Fatal(err)
		}
	})
}

// A pattern refuses what has neither figure nor known word, and a length in
// another quantity's unit.
func TestPatternsRefuse(t *testing.T) {
	for k := Count; k < kinds; k++ {
		for _, nonsense := range []string{"", " ", "apple", "to be measured", "Unknown", "n/a", "?", "-", "()", "in", "°", "<script>", "52\n", "5;\x00"} {
			if k == Position && nonsense == "to be measured" {
				continue
			}
			assert.False(t, patterns[k].MatchString(nonsense), "%s admits %q", k, nonsense)
		}
	}
	for _, c := range []struct {
		kind Kind
		text string
	}{
		{ReadLength, "4"}, {ReadLength, "4 psi"}, {ReadLength, "4 apples"}, {NominalLength, "68"}, {Pressure, "80"}, {Pressure, "80 cc"}, {Volume, "2998"}, {Volume, "2998 psi"},
		{Power, "50"}, {Power, "50 mm"}, {Temperature, "60"}, {Temperature, "60 psi"}, {LinearSpeed, "1000"}, {Altitude, "5000"}, {Expansion, "11.7e-6"}, {Expansion, "11.7e-6 °C"},
		{Vacuum, "20"}, {RimPosition, "20"}, {FiringOrder, "a-b"}, {Direction, "left"}, {Direction, "52"}, {Pitch, "10"},
	} {
		assert.False(t, patterns[c.kind].MatchString(c.text), "%s admits %q", c.kind, c.text)
		_, err := Read(c.kind, c.text)
		assert.Error(t, err, c.text)
	}
	assert.True(t, patterns[Text].MatchString("E I E I"))
	assert.False(t, patterns[Text].MatchString("  "))
}

// The patterns keep to what RE2 and ECMAScript (with and without its u flag)
// have in common, and never repeat a repetition.
func TestPatternsAreCommonGround(t *testing.T) {
	allowed := regexp.MustCompile(`\\(?:[\-.?\[\]]|x[0-9a-f]{2})`)
	for k := range kinds {
		p := k.Pattern()
		require.True(t, strings.HasPrefix(p, "^") && strings.HasSuffix(p, "$"), p)
		rest := allowed.ReplaceAllString(p, "")
		assert.NotContains(t, rest, `\`, "%s", k)
		assert.NotContains(t, strings.ReplaceAll(rest, "(?:", ""), "(?", "%s", k)
		assert.NotRegexp(t, `\)[*+{]`, rest, "%s repeats a group", k)
		assert.NotContains(t, rest, "{", "%s", k)
		for _, c := range p {
			assert.LessOrEqual(t, c, '\uffff', "%s", k)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"52½ ABDC", "48° 30' BBDC", "1 3/8 in before TDC mark", "0.018 in (0.45 mm)", "24 ± 3", "2.000 +.002 -.001 in", "131-158 psi", "within 20 psi of one another", "approx. 11",
		"37 ?/4", "illegible: 37", "10 DP", "11.7e-6 per °C", "[0, 240, 120]", "1-4-2-6-3-5", "clockwise seen from timing end", "1,800 r.p.m.", "< -60.0 kPa = -450 mmHg", "16 to 1", "nil", "0·45 mm", "~DP 12", "8 t ATDC", "sea level", "\xff½",
	} {
		for k := range kinds {
			f.Add(uint8(k), s)
		}
	}
	f.Fuzz(func(t *testing.T, k uint8, text string) {
		kind := Kind(k) % kinds
		p, err := Read(kind, text)
		if err == nil {
			if err := invariants(kind, text, p); err != nil {
				t.Fatal(err)
			}
			_, _, _ = p.Disagreement()
			for _, r := range p.Readings {
				_ = r.Interval()
			}
			return
		}
		e := err.(*Error)
		if e.Offset < 0 || e.Offset > e.End || e.End > len(text) || e.Got == "" || e.Want == "" {
			t.Fatalf("%q: %+v", text, e)
		}
	})
}
