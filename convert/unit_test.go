package convert

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/convert/internal/published"
)

// parse reads an exact decimal or fraction.
func parse(t *testing.T, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, s)
	return r
}

// si returns how many of the unit `of` one of u is, as a double.
func si(t *testing.T, u, of Unit) float64 {
	t.Helper()
	x, err := Exchange(big.NewRat(1, 1), u, of)
	require.NoError(t, err)
	f, _ := x.Float64()
	return f
}

func TestPublishedFactors(t *testing.T) {
	published.Table(t, []published.Source{
		{Name: "NIST SP 811, Appendix B, as transcribed in the OMG SysML v2 domain libraries, commit ee25530", Values: []published.Value{
			{What: "inch, m", Got: si(t, Inch, Metre), Printed: "2.54E-02"},
			{What: "mil, m", Got: si(t, Thou, Metre), Printed: "2.54E-05"},
			{What: "foot, m", Got: si(t, Foot, Metre), Printed: "3.048E-01"},
			{What: "yard, m", Got: si(t, Yard, Metre), Printed: "9.144E-01"},
			{What: "mile, m", Got: si(t, Mile, Metre), Printed: "1.609344E+03"},
			{What: "inch of mercury, conventional, Pa", Got: si(t, InchOfMercury, Pascal), Printed: "3.386389E+03"},
			{What: "horsepower of 550 ft lbf/s, W", Got: si(t, Horsepower, Watt), Printed: "7.456999E+02"},
			{What: "degree Fahrenheit interval, K", Got: si(t, FahrenheitDegree, CelsiusDegree), Printed: "0.5555556"},
			// The radian is not rational: its printed factors are held against one
			// another instead, 60 minutes to the degree.
			{What: "minute of arc, degrees", Got: si(t, ArcMinute, Degree) * 1.745329e-02, Printed: "2.908882E-04"},
		}},
		{Name: "a published Go unit package's pressures, beside NIST SP 811", Values: []published.Value{
			{What: "psi, Pa", Got: si(t, PoundPerSquareInch, Pascal), Printed: "6.894757E+03"},
			{What: "mmHg, conventional, Pa", Got: si(t, MillimetreOfMercury, Pascal), Printed: "1.333224E+02"},
			{What: "atm, Pa", Got: si(t, Atmosphere, Pascal), Printed: "1.01325E+05"},
			{What: "bar, Pa", Got: si(t, Bar, Pascal), Printed: "1.0E+05"},
		}},
		{Name: "UCUM 2.2, ucum-essence.xml", Values: []published.Value{
			{What: "[in_i], cm", Got: si(t, Inch, Centimetre), Printed: "2.54"},
			{What: "[ft_i], in", Got: si(t, Foot, Inch), Printed: "12"},
			{What: "[mil_i], in", Got: si(t, Thou, Inch), Printed: "0.001"},
			{What: "bar, Pa", Got: si(t, Bar, Pascal), Printed: "1E5"},
			{What: "atm, Pa", Got: si(t, Atmosphere, Pascal), Printed: "101325"},
			{What: "m[Hg], kPa", Got: 1000 * si(t, MillimetreOfMercury, Kilopascal), Printed: "133.3220",
				Wrong: "NIST's conventional millimetre is 133.3224 Pa; the two authorities differ by 3 parts in a million, and NIST's is used"},
		}},
	})
}

// The factors in full are worked out here from the definitions of 1959 (inch
// and pound) and 1901 (standard gravity), with no table of this package.
func TestFactorsInFull(t *testing.T) {
	const pound, gravity = "0.45359237", "9.80665"
	lbf := new(big.Rat).Mul(parse(t, pound), parse(t, gravity))
	inch := parse(t, "0.0254")
	for _, c := range []struct {
		name     string
		from, to Unit
		want     *big.Rat
	}{
		{"psi", PoundPerSquareInch, Pascal, new(big.Rat).Quo(lbf, new(big.Rat).Mul(inch, inch))},
		{"horsepower", Horsepower, Watt, new(big.Rat).Mul(lbf, parse(t, "167.64"))}, // 550 × 0.3048
		{"metric horsepower", MetricHorsepower, Watt, parse(t, "735.49875")},
		{"cubic inch", CubicInch, CubicCentimetre, parse(t, "16.387064")},
		{"inch of mercury", InchOfMercury, Pascal, new(big.Rat).Mul(new(big.Rat).Mul(parse(t, "13595.1"), parse(t, gravity)), inch)},
		{"kgf/cm²", KilogramPerSquareCentimetre, Pascal, parse(t, "98066.5")},
		{"millimetre of mercury", MillimetreOfMercury, Pascal, parse(t, "133.322387415")},
		{"litre", Litre, CubicInch, new(big.Rat).Quo(parse(t, "1000"), parse(t, "16.387064"))},
		{"foot a minute", FootPerMinute, MetrePerSecond, parse(t, "0.00508")},
		{"coefficient", PerFahrenheit, PerCelsius, parse(t, "1.8")},
		{"turn", Turn, ArcSecond, parse(t, "1296000")},
	} {
		got, err := Exchange(big.NewRat(1, 1), c.from, c.to)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want.RatString(), got.RatString(), c.name)
	}
}

// Twelve decimals, as worked out in decimal arithmetic of 40 digits (Python's
// decimal module) from the same definitions.
func TestFactorsToTwelveDecimals(t *testing.T) {
	for _, c := range []struct {
		from, to Unit
		want     string
	}{
		{PoundPerSquareInch, Pascal, "6894.757293168361"},
		{Horsepower, Watt, "745.699871582270"},
		{InchOfMercury, Pascal, "3386.388640341000"},
		{Litre, CubicInch, "61.023744094732"},
	} {
		got, err := Exchange(big.NewRat(1, 1), c.from, c.to)
		require.NoError(t, err)
		assert.Equal(t, c.want, Fixed(got, 12), c.from.Name())
	}
}

// Thou to millimetres, computed by hand: a thou is 0.0254 mm.
func TestThouTable(t *testing.T) {
	for thou, mm := range map[string]string{
		"1": "0.0254", "4": "0.1016", "5": "0.127", "7": "0.1778", "10": "0.254", "12": "0.3048", "18": "0.4572",
		"19": "0.4826", "20": "0.508", "25": "0.635", "40": "1.016", "53": "1.3462",
	} {
		got, err := Exchange(parse(t, thou), Thou, Millimetre)
		require.NoError(t, err)
		assert.Zero(t, got.Cmp(parse(t, mm)), thou)
	}
}

// Degrees and minutes: 48°30' is the exhaust opening of the Long 360 tractor
// (manual p. 19), 19°49' a valve angle of a Laverda (motorcycleinstitute.tk).
func TestDegreesAndMinutes(t *testing.T) {
	for _, c := range []struct{ degrees, minutes, want string }{
		{"48", "30", "48.5"}, {"32", "30", "32.5"}, {"37", "30", "37.5"}, {"20", "44", "20.7333"}, {"19", "49", "19.8167"},
	} {
		got, err := Exchange(parse(t, c.minutes), ArcMinute, Degree)
		require.NoError(t, err)
		got.Add(got, parse(t, c.degrees))
		places := len(c.want) - len("48.")
		assert.Equal(t, c.want, Fixed(got, places))
	}
}

// 32 °F is 0 °C and 212 °F is 100 °C by definition of the scales; 59 °F is the
// 15 °C of the standard atmosphere.
func TestTemperatures(t *testing.T) {
	for _, c := range []struct {
		from     string
		unit, to Unit
		want     string
	}{
		{"32", Fahrenheit, Celsius, "0"}, {"212", Fahrenheit, Celsius, "100"}, {"59", Fahrenheit, Kelvin, "288.15"},
		{"-40", Celsius, Fahrenheit, "-40"}, {"0", Kelvin, Celsius, "-273.15"}, {"180", FahrenheitDegree, CelsiusDegree, "100"},
	} {
		got, err := Exchange(parse(t, c.from), c.unit, c.to)
		require.NoError(t, err)
		assert.Zero(t, got.Cmp(parse(t, c.want)), "%s %s", c.from, c.unit)
	}
}

// 24.534516 and 25.4 teeth to the inch are the transverse and normal diametral
// pitches of the pair with a module of 1 mm in the Drivetrain Hub notebook
// "Helical Gears", commit 8f32185; 10 DP is a module of 2.54 mm exactly.
func TestDiametralPitch(t *testing.T) {
	got, err := Exchange(parse(t, "1"), Module, DiametralPitch)
	require.NoError(t, err)
	assert.Equal(t, "25.4", got.FloatString(1))
	got, err = Exchange(parse(t, "10"), DiametralPitch, Module)
	require.NoError(t, err)
	assert.Zero(t, got.Cmp(parse(t, "2.54")))
	got, err = Exchange(parse(t, "1.035276"), Module, DiametralPitch)
	require.NoError(t, err)
	assert.Equal(t, "24.5345", Fixed(got, 4))
}

func TestEveryUnitIsComplete(t *testing.T) {
	names, codes := map[string]bool{}, map[string]Unit{}
	for u := range units {
		assert.NotEmpty(t, u.Name())
		assert.NotEmpty(t, u.UCUM(), u.Name())
		assert.Positive(t, u.Factor().Sign(), u.Name())
		assert.False(t, names[u.Name()], "two units are called %s", u.Name())
		names[u.Name()] = true
		if other, taken := codes[u.UCUM()]; taken {
			assert.NotEqual(t, other.Dimension(), u.Dimension(), "%s and %s share a code", u.Name(), other.Name())
		}
		codes[u.UCUM()] = u
		if u != One {
			assert.NotEmpty(t, spellings[u], u.Name())
			assert.NotEmpty(t, u.Symbol(), u.Name())
		}
		assert.Contains(t, u.Dimension().Units(), u)
	}
	for d := range dimensions {
		base := d.Base()
		assert.Equal(t, d, base.Dimension(), d.String())
		assert.Equal(t, "1", base.Factor().RatString(), d.String())
		assert.NotEmpty(t, d.String())
	}
}
