package figure

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/convert"
)

// examples parts the examples of a kind.
func examples(k Kind) []string {
	all := strings.ReplaceAll(k.Example(), " or ", "|")
	if k.spec().form != list {
		all = strings.ReplaceAll(all, ", ", "|")
	}
	return strings.Split(all, "|")
}

// Every kind says what it is and shows a print that it reads and its pattern
// admits; every word for an absence is read for every kind.
func TestEveryKindIsComplete(t *testing.T) {
	for k := range kinds {
		require.NotEmpty(t, k.String())
		require.NotEmpty(t, k.Example(), k.String())
		for _, example := range examples(k) {
			p, err := Read(k, example)
			require.NoError(t, err, k.String())
			assert.NoError(t, invariants(k, example, p))
		}
		for _, word := range []string{"unknown", "not given", "none", "illegible", " none ", "illegible: 3? 1/4"} {
			p, err := Read(k, word)
			require.NoError(t, err, "%s %s", k, word)
			assert.NotEmpty(t, p.Absence)
			assert.NoError(t, invariants(k, word, p))
		}
	}
	assert.Equal(t, Text.String(), Kind(200).String())
}

func TestWorkingUnits(t *testing.T) {
	for k, want := range map[Kind]convert.Unit{
		Text: convert.One, Count: convert.One, Counts: convert.One, Ratio: convert.One, Angle: convert.Degree, Angles: convert.Degree, Position: convert.Degree, RimPosition: convert.Millimetre,
		Movement: convert.Degree, NominalLength: convert.Millimetre, ReadLength: convert.Millimetre, Volume: convert.CubicCentimetre, Pressure: convert.Kilopascal, Vacuum: convert.Kilopascal,
		Power: convert.Kilowatt, TaxHorsepower: convert.One, Speed: convert.RevPerMinute, LinearSpeed: convert.MetrePerSecond, Temperature: convert.Celsius, TemperatureRise: convert.CelsiusDegree,
		Altitude: convert.Millimetre, Pitch: convert.Module, Expansion: convert.PerCelsius, FiringOrder: convert.One, Direction: convert.One, SpeedRatio: convert.One,
	} {
		assert.Equal(t, want.Name(), k.Unit().Name(), k.String())
	}
}

func TestReadingInAnotherUnit(t *testing.T) {
	p, err := Read(ReadLength, "4 thou")
	require.NoError(t, err)
	r := p.Readings[0]
	value, lo, hi, err := r.In(convert.Millimetre) // a thou is 0.0254 mm
	require.NoError(t, err)
	assert.Equal(t, "0.1016 0.0889 0.1143", plain(value)+" "+plain(lo)+" "+plain(hi))
	text, err := r.Print(convert.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, "0.10", text)
	_, err = r.Print(convert.Degree)
	assert.ErrorContains(t, err, "thou is a length and degree is an angle")
	_, _, _, err = r.In(convert.Degree)
	assert.Error(t, err)

	p, err = Read(Pressure, "435 psi minimum")
	require.NoError(t, err)
	in := p.Readings[0].Interval()
	assert.InDelta(t, 2999.22, in.Lo, 0.01) // 435 × 6.894757 kPa, NIST
	assert.False(t, in.IsFinite())
	text, err = p.Readings[0].Print(convert.Bar)
	require.NoError(t, err)
	assert.Equal(t, "29.9922", text)
}

// The widths of the format's three classes, said in working units.
func ExampleRead() {
	for _, p := range []struct {
		kind Kind
		text string
	}{
		{Position, "52½ ABDC"}, {ReadLength, "4 thou"}, {NominalLength, "2 15/16 in"}, {Count, "28"}, {Pressure, "435 psi minimum"},
	} {
		f, err := Read(p.kind, p.text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		r := f.Readings[0]
		fmt.Println(f, r.Measure, r.Datum, r.Interval())
	}
	// Output:
	// 52½ ABDC crank angle ABDC [52.25, 52.75]
	// 4 thou   [0.0889, 0.1143]
	// 2 15/16 in   [74.5998, 74.6252]
	// 28   [28, 28]
	// 435 psi minimum   [2999.219423, +Inf]
}

func ExampleRead_refused() {
	_, err := Read(Pressure, "12 mm")
	fmt.Println(err)
	_, err = Read(Position, "1/16 in ATDC")
	fmt.Println(err)
	// Output:
	// "12 mm" cannot be read: mm is a length, and a pressure with its unit, such as 80 psi, is wanted
	// "1/16 in ATDC" cannot be read: it does not say what the length is measured along; add `piston` or `rim`
}

func ExamplePrinted_Disagreement() {
	f, _ := Read(ReadLength, "0.018 in (4.5 mm)")
	one, other, found := f.Disagreement()
	fmt.Println(found, one.Interval(), other.Interval())
	// Output: true [0.4445, 0.4699] [4.45, 4.55]
}
