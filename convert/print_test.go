package convert

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// decimal converts a print with its half width and prints it again.
func decimal(t *testing.T, value, half string, from, to Unit) string {
	t.Helper()
	x, h := parse(t, value), parse(t, half)
	lo, hi, err := ExchangeBounds(new(big.Rat).Sub(x, h), new(big.Rat).Add(x, h), from, to)
	require.NoError(t, err)
	y, err := Exchange(x, from, to)
	require.NoError(t, err)
	return Decimal(y, lo, hi)
}

func TestJustifiedDigits(t *testing.T) {
	for _, c := range []struct {
		value, half string
		from, to    Unit
		want        string
	}{
		// NIST SP 811 (2008), B.7.2: 36 ft is 10.9728 m, given as 11.0 m.
		{"36", "1/2", Foot, Metre, "11.0"},
		// The Long 360's gap (manual p. 19): 0.45 mm (0.018 in), and its lift 10.000 mm (0.394 in), printed there shorter than the rule allows.
		{"0.45", "0.005", Millimetre, Inch, "0.0177"},
		// Computed by hand from 25.4: the last place stays within the width of the print.
		{"4", "1/2", Thou, Millimetre, "0.10"},
		{"0.018", "0.0005", Inch, Millimetre, "0.46"},
		{"13/16", "1/32", Inch, Millimetre, "21"},
		{"2.9375", "0.0005", Inch, Millimetre, "74.61"},
		{"80", "1/2", PoundPerSquareInch, Kilopascal, "552"},
		{"478.5", "0.05", PoundPerSquareInch, KilogramPerSquareCentimetre, "33.642"},
		{"231", "1/2", Degree, Degree, "231"},
		// Exact prints keep all their digits, or six.
		{"10", "0", DiametralPitch, Module, "2.54"},
		{"12", "0", DiametralPitch, Module, "2.11667"},
		{"28", "0", One, One, "28"},
	} {
		assert.Equal(t, c.want, decimal(t, c.value, c.half, c.from, c.to), "%s %s", c.value, c.from)
	}
}

func TestOpenBoundsPrintSixDigits(t *testing.T) {
	for x, want := range map[string]string{"2999.2194": "2999.22", "1/3": "0.333333", "0.000012345678": "0.0000123457", "0": "0", "1234567.8": "1234568", "-1/8": "-0.125"} {
		assert.Equal(t, want, Decimal(parse(t, x), parse(t, x), nil))
	}
}

// NIST SP 811 (2008), B.7.1: a digit 5 with nothing behind it rounds to even.
func TestTiesGoToEven(t *testing.T) {
	for _, c := range []struct {
		x, want string
		places  int
	}{
		{"0.25", "0.2", 1}, {"0.35", "0.4", 1}, {"0.2500001", "0.3", 1}, {"-0.25", "-0.2", 1}, {"2.5", "2", 0}, {"3.5", "4", 0}, {"-3.5", "-4", 0}, {"0.04", "0.0", 1}, {"7", "7", -1},
	} {
		assert.Equal(t, c.want, Fixed(parse(t, c.x), c.places), c.x)
	}
}

func TestNearestFraction(t *testing.T) {
	for _, c := range []struct {
		inches           string
		parts            int
		nearest, said    string
		residualThouTens string
	}{
		{"13/16", 64, "13/16", "13/16 in", "0.0"},
		{"2.9375", 64, "2 15/16", "2 15/16 in", "0.0"},
		{"0.43", 64, "7/16", "7/16 in − 7.5 thou", "-7.5"},
		{"0.4375", 16, "7/16", "7/16 in", "0.0"},
		{"0.3937", 64, "25/64", "25/64 in + 3.1 thou", "3.1"},
		{"1.003", 64, "1", "1 in + 3 thou", "3.0"},
		{"-0.75", 8, "-3/4", "-3/4 in", "0.0"},
		{"0.002", 64, "0", "0 in + 2 thou", "2.0"},
		{"1.375", 4, "1 1/2", "1 1/2 in − 125 thou", "-125.0"}, // midway: to the even quarter
	} {
		f, err := NearestFraction(parse(t, c.inches), c.parts)
		require.NoError(t, err)
		assert.Equal(t, c.nearest, f.String())
		assert.Equal(t, c.said, f.Describe())
		assert.Equal(t, c.residualThouTens, Fixed(new(big.Rat).Mul(f.Residual, big.NewRat(1000, 1)), 1))
	}
	for _, parts := range []int{0, -64} {
		_, err := NearestFraction(big.NewRat(1, 2), parts)
		assert.ErrorContains(t, err, "positive number of parts")
	}
}

// The printed value rounds by no more than the width that the interval leaves,
// and one digit fewer would not keep to that.
func TestDecimalKeepsWhatThePrintSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := big.NewRat(rapid.Int64Range(-1e9, 1e9).Draw(t, "x"), rapid.Int64Range(1, 1e5).Draw(t, "parts"))
		half := big.NewRat(rapid.Int64Range(1, 1e6).Draw(t, "half"), rapid.Int64Range(1, 1e6).Draw(t, "of"))
		text := Decimal(x, new(big.Rat).Sub(x, half), new(big.Rat).Add(x, half))
		got, ok := new(big.Rat).SetString(text)
		if !ok {
			t.Fatal(text)
		}
		off := new(big.Rat).Sub(got, x)
		bound := half
		if one := big.NewRat(1, 2); bound.Cmp(one) > 0 { // whole digits are always printed
			bound = one
		}
		if off.Abs(off).Cmp(bound) > 0 {
			t.Fatalf("%s prints as %s", x.RatString(), text)
		}
	})
}

func TestFractionLeavesHalfAPartAtMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := big.NewRat(rapid.Int64Range(-1e6, 1e6).Draw(t, "x"), rapid.Int64Range(1, 1e4).Draw(t, "of"))
		parts := rapid.SampledFrom([]int{1, 2, 8, 16, 32, 64, 100}).Draw(t, "parts")
		f, err := NearestFraction(x, parts)
		if err != nil {
			t.Fatal(err)
		}
		if sum := new(big.Rat).Add(f.Nearest, f.Residual); sum.Cmp(x) != 0 {
			t.Fatalf("%s + %s is not %s", f.Nearest, f.Residual, x)
		}
		if r := new(big.Rat).Abs(f.Residual); r.Cmp(big.NewRat(1, int64(2*parts))) > 0 {
			t.Fatalf("%s is left", r)
		}
	})
}

func ExampleDecimal() {
	// A clearance of "4 thou" is known to half a thou.
	lo, hi, _ := ExchangeBounds(big.NewRat(7, 2), big.NewRat(9, 2), Thou, Millimetre)
	x, _ := Exchange(big.NewRat(4, 1), Thou, Millimetre)
	fmt.Println(Decimal(x, lo, hi), "mm")
	// Output: 0.10 mm
}

func ExampleNearestFraction() {
	inches, _ := Exchange(big.NewRat(279, 10), Millimetre, Inch)
	f, _ := NearestFraction(inches, 64)
	fmt.Println(f.Describe())
	// Output: 1 3/32 in + 4.7 thou
}

func ExampleParseUnit() {
	u, _ := ParseUnit("lbs. per sq. in.")
	fmt.Println(u.Name(), u.UCUM())
	_, err := ParseUnit("tohu", Length)
	fmt.Println(err)
	// Output:
	// pound per square inch [psi]
	// "tohu" is not a unit known here; the nearest is "thou"
}
