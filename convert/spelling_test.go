package convert

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPeriodSpellings(t *testing.T) {
	for u, words := range map[Unit][]string{
		Inch:                        {"in", "in.", "ins", "ins.", "Inch", "inches", `"`, "″", "”", "''"},
		Thou:                        {"thou", "thou.", "mil", "mils", "thousandths of an inch"},
		Millimetre:                  {"mm", "m.m.", "m/m", "MM", "millimetres"},
		Micrometre:                  {"µm", "μm", "microns"},
		Foot:                        {"ft", "ft.", "feet", "'", "′"},
		CubicCentimetre:             {"cc", "c.c.", "C.C.", "cm3", "cm³", "cm^3", "cub. cm.", "cubic centimetres"},
		CubicInch:                   {"cu in", "cu. in.", "cub. in.", "cubic inches", "cu.in.", "in3", "in³", "in.³", "c.i.d.", "cu-in"},
		CubicMillimetre:             {"mm3", "mm³"},
		Litre:                       {"l", "L", "litres", "liter"},
		Degree:                      {"deg", "deg.", "degs.", "degrees", "°", "º"},
		ArcMinute:                   {"minutes", "arc minute", "arcmin."},
		PoundPerSquareInch:          {"psi", "p.s.i.", "P.S.I.", "lb/in2", "lb/in²", "lb. per sq. in.", "lbs per sq in", "lb per square inch", "lb./sq. in.", "lb", "pounds per square inch"},
		KilogramPerSquareCentimetre: {"kg/cm2", "kg/cm²", "kgf/cm2", "kg per sq. cm."},
		InchOfMercury:               {"inHg", "in Hg", "in. Hg", "ins. of mercury", "inches of mercury", `" Hg`, `"Hg`},
		MillimetreOfMercury:         {"mmHg", "mm Hg", "mm. of mercury", "torr"},
		Horsepower:                  {"hp", "h.p.", "H.P.", "b.h.p.", "bhp", "horsepower", "brake horse-power"},
		MetricHorsepower:            {"PS", "ps", "CV", "ch", "metric hp"},
		RevPerMinute:                {"rpm", "r.p.m.", "R.P.M.", "rev/min", "revs. per min.", "revolutions per minute"},
		FootPerMinute:               {"ft/min", "ft. per min.", "feet per minute", "f.p.m."},
		MetrePerSecond:              {"m/s", "m. per sec.", "metres per second"},
		Celsius:                     {"°C", "° C", "deg C", "deg. C.", "C", "degrees Celsius", "degrees centigrade"},
		Fahrenheit:                  {"°F", "deg. F.", "F", "degrees Fahrenheit"},
		Module:                      {"mm module", "module", "mod.", "mm"},
		DiametralPitch:              {"DP", "D.P.", "diametral pitch"},
		PerCelsius:                  {"per °C", "/°C", "/K", "per deg. C.", "per degree C"},
		PerFahrenheit:               {"per °F", "/F", "per degree Fahrenheit"},
	} {
		for _, w := range words {
			got, err := ParseUnit(w, u.Dimension())
			require.NoError(t, err, w)
			assert.Equal(t, u.Name(), got.Name(), w)
		}
	}
}

func TestUnknownUnits(t *testing.T) {
	for _, c := range []struct {
		words string
		of    []Dimension
		want  string
	}{
		{"tohu", []Dimension{Length}, `"tohu" is not a unit known here; the nearest is "thou"`},
		{"psii", nil, `"psii" is not a unit known here; the nearest is "psi"`},
		{"mm", []Dimension{Pressure}, "mm is a length"},
		{"lb/sq.inn", []Dimension{Pressure}, `"lb/sq.inn" is not a unit known here; the nearest is "lb/sqin"`},
		{"", []Dimension{Length}, `"" is not a unit known here; the nearest is "\""`},
		{"furlongs of the old measure that nobody ever printed on an engine sheet", nil, ""},
	} {
		_, err := ParseUnit(c.words, c.of...)
		var unknown *UnknownUnitError
		require.ErrorAs(t, err, &unknown, c.words)
		if c.want != "" {
			assert.Equal(t, c.want, err.Error())
		}
	}
}

// A spelling that two dimensions share goes to the first that is asked for.
func TestSharedSpellings(t *testing.T) {
	for _, c := range []struct {
		words string
		of    []Dimension
		want  Unit
	}{
		{`"`, []Dimension{Length, Angle}, Inch}, {`"`, []Dimension{Angle, Length}, ArcSecond},
		{"'", []Dimension{Length, Angle}, Foot}, {"'", []Dimension{Angle}, ArcMinute},
		{"°C", []Dimension{Temperature}, Celsius}, {"°C", []Dimension{TemperatureRise}, CelsiusDegree},
		{"mm", []Dimension{Pitch}, Module}, {"mm", nil, Millimetre},
	} {
		got, err := ParseUnit(c.words, c.of...)
		require.NoError(t, err, c.words)
		assert.Equal(t, c.want.Name(), got.Name(), c.words)
	}
}

// A unit ends where a word ends, and takes as many words as it can.
func TestMatchUnit(t *testing.T) {
	for _, c := range []struct {
		text string
		of   Dimension
		want Unit
		size int
	}{
		{"in ABDC on rim", Length, Inch, 2}, {"in. A.B.D.C.", Length, Inch, 3}, {"inlet", Length, One, 0},
		{"in. Hg", Length, Inch, 3}, {"in. Hg at idle", Pressure, InchOfMercury, 6},
		{"lb. per sq. in. cold", Pressure, PoundPerSquareInch, 15}, {"° C", Angle, Degree, 2}, {"teeth", Length, One, 0},
		{"", Length, One, 0}, {"½ in", Length, One, 0}, {"mm", dimensions, One, 0},
	} {
		got, size := MatchUnit(c.text, c.of)
		assert.Equal(t, c.want.Name(), got.Name(), c.text)
		assert.Equal(t, c.size, size, c.text)
	}
}

func TestEverySpellingIsInNormalForm(t *testing.T) {
	for u, words := range spellings {
		for _, w := range strings.Fields(words) {
			n := normalise(w)
			assert.Equal(t, w, string(n.text[:n.size]))
			got, err := ParseUnit(w, u.Dimension())
			require.NoError(t, err, w)
			assert.Equal(t, u.Name(), got.Name(), "%q is listed twice", w)
		}
	}
}

// What is printed beside a number never breaks the reading of the unit.
func TestMatchUnitStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune(`inlbspermHg./ °'"³23µ cC-`+"\u00a0\u2009é"))).Draw(t, "text")
		d := Dimension(rapid.IntRange(0, int(dimensions)-1).Draw(t, "dimension"))
		u, n := MatchUnit(s, d)
		if n < 0 || n > len(s) || n > 0 && u.Dimension() != d {
			t.Fatalf("%q: %s, %d", s, u.Name(), n)
		}
		if n == 0 {
			return
		}
		if again, err := ParseUnit(s[:n], d); err != nil || again != u {
			t.Fatalf("%q is %s in its text and %s alone", s[:n], u.Name(), again.Name())
		}
	})
}

func FuzzParseUnit(f *testing.F) {
	for _, s := range []string{"in", `"`, "lbs. per sq. in.", "c.c.", "°C", "per °F", "½", "\xff", strings.Repeat("in ", 100)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if u, err := ParseUnit(s); err == nil && u == One {
			t.Fatalf("%q is a plain number", s)
		}
	})
}

func BenchmarkMatchUnit(b *testing.B) {
	for _, s := range []string{"in ABDC on rim", "lb. per sq. in."} {
		b.Run(s, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, n := MatchUnit(s, Length, Pressure); n == 0 {
					b.Fatal(s)
				}
			}
		})
	}
}
