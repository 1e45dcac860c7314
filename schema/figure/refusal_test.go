package figure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each refusal says what is wrong, and what to write.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		kind       Kind
		text, want string
		marked     string // the part of the text that is pointed at; all of it when empty
	}{
		{Pressure, "12 mm", "mm is a length, and a pressure with its unit, such as 80 psi, is wanted", "mm"},
		{Angle, "52 mm", "mm is a length, and an angle in degrees, such as 52½, is wanted", "mm"},
		{ReadLength, "12 psi", "psi is a pressure", "psi"},
		{ReadLength, "12 lb. per sq. in.", "lb. per sq. in. is a pressure", "lb. per sq. in."},
		{Count, "28 mm", "mm is a length, and a whole number", "mm"},
		{Volume, "2998 mm", "mm is a length", "mm"},
		{ReadLength, "4 thou mm", "mm is a second unit; put a figure in another unit in brackets", "mm"},
		{ReadLength, "4", "4 has no unit", "4"},
		{NominalLength, "about 2 15/16", "2 15/16 has no unit", "2 15/16"},
		{ReadLength, "0.018 in (0.45)", "0.45 has no unit", "0.45"},
		{RimPosition, "1 3/8 ABDC", "1 3/8 has no unit", "1 3/8"},
		{Temperature, "60", "60 has no unit", "60"},
		{Temperature, "60°", "° is an angle", "°"},
		{Pressure, "80 psii", `"psii" is not understood there`, "psii"},

		{Position, "-5", "a position has no sign; say BTDC or ATDC, BBDC or ABDC", "-"},
		{Position, "+5 BTDC", "a position has no sign", "+"},
		{Position, "52", "the dead centre is missing; add BTDC, ATDC, BBDC or ABDC", ""},
		{Position, "52 TDC", "the side of the dead centre is missing; say before or after", "TDC"},
		{Position, "TDC 52", "the side of the dead centre is missing", "TDC"},
		{Position, "1/16 in ATDC", "it does not say what the length is measured along; add `piston` or `rim`", ""},
		{Position, "10 BTDC to 5 ATDC", `"to" is not understood`, "to"},
		{Position, "10 BTDC ATDC", "a second dead centre is named", "ATDC"},
		{Position, "10° BTDC piston", "piston travel is a length, not an angle", ""},
		{Position, "1 in ATDC piston rim", "it is measured in two ways; put the second figure in brackets", "rim"},
		{Position, "8 mm teeth ATDC", "it is measured in millimetre and in teeth", ""},
		{Position, "10 BTDC (10 ATDC)", "it holds two different figures in one unit; give each as a claim of its own", "10 ATDC"},
		{Position, "52° 30 ABDC", "a number without a sign follows the degrees; write minutes as 52°30'", "30"},
		{RimPosition, "0 t", "it is measured along the rim, not in teeth", "t"},
		{RimPosition, "0.43 in BTDC piston", "it is measured along the rim, not in piston travel", "piston"},
		{Movement, "12 BTDC", "a movement is from no dead centre", ""},
		{Angle, "52°75'", "a degree has 60 minutes and a minute 60 seconds", "75'"},
		{Angle, "24 ± 30'", "the tolerance has a unit and the figure has none; give the figure its unit too", "30'"},

		{ReadLength, "1,200 mm", "the comma may mark thousands or decimals; write 1200 or 1.200", "1,200"},
		{Volume, "1,482 litres", "the comma may mark thousands or decimals", "1,482"},
		{ReadLength, "approx.5 mm", "the point may end the word or begin the number; put a space between them", "."},
		{ReadLength, "3/0 in", "a fraction cannot have 0 below its stroke", "3/0"},
		{ReadLength, "1 3/2 in", "the fraction after a whole number must be less than one; for a range write `to`", "1 3/2"},
		{ReadLength, "12345678901 mm", "the number has more figures than a print has", "12345678901"},
		{ReadLength, "0.0000000001 mm", "the number has more figures than a print has", "0.0000000001"},
		{ReadLength, "999999999 1/999999999 mm", "the number has more figures than a print has", "999999999 1/999999999"},
		{Count, "28.5", "it is not a whole number", "28.5"},
		{Count, "28½", "it is not a whole number", "28½"},
		{Count, "-28", "a whole number has no sign", "-"},
		{Speed, "-1800", "has no sign", "-"},

		{ReadLength, ".013-.010 in", "the range runs backwards", ".013-.010 in"},
		{ReadLength, "1 in to 2 mm", "the ends of the range are in two units", "1 in to 2 mm"},
		{ReadLength, "between 5 thou", "after between, one of the two ends is missing", ""},
		{ReadLength, "± 3 thou", "a tolerance stands before its figure", "± "},
		{ReadLength, "4 thou ±", "the tolerance has no number", "±"},
		{ReadLength, "4 ± 1 ± 2 thou", "a tolerance stands beside a range or another tolerance", "± "},
		{ReadLength, "4 + 1 thou", "a tolerance with two sides has a plus and a minus", ""},
		{ReadLength, "4 +1 +2 thou", "a tolerance with two sides has a plus and a minus", ""},
		{ReadLength, "4 ± 1 psi", "psi is a pressure", "psi"},
		{ReadLength, "4 thou plus 1", "the tolerance is in words; write it with signs", "plus"},
		{Pitch, "10 DP ± 1 mm", "the tolerance is in module and the figure in diametral pitch", "1 mm"},
		{Pressure, "max 80-90 psi", "a limit and a range or tolerance stand together", ""},
		{Pressure, "80 psi =", "there is no number in it", ""},
		{Pressure, "80 psi ()", "there is no number in it", ""},
		{Pressure, "(80 psi)", "there is no number in it", ""},
		{Pressure, "80 psi (oil)", `"oil" is not understood`, "oil"},
		{ReadLength, "4 thou at seat", `"at" is not understood`, "at"},
		{ReadLength, "4 thou off", `"off" is not understood`, "off"},
		{Position, "10 before", `"before" is not understood`, "before"},
		{Position, "10 a.b.x.", `"a.b.x." is not understood`, "a.b.x."},
		{ReadLength, "4 thou supercalifragilistic", "is not understood", "supercalifragilistic"},
		{ReadLength, "1 to 3/0 in", "a fraction cannot have 0 below its stroke", ""},
		{ReadLength, "4 ± 3/0 thou", "a fraction cannot have 0 below its stroke", ""},
		{Ratio, "5:3/0", "a fraction cannot have 0 below its stroke", ""},
		{Angle, "52° 3/0'", "a fraction cannot have 0 below its stroke", ""},
		{Angle, "52° 1 1/99999999'", "the number has more figures than a print has", ""},
		{Ratio, "max 5:1", "a ratio has no limit", ""},
		{Pressure, "80 psi -", "a sign stands without a number", "-"},
		{Pressure, "80 psi (5.6 bar", "a bracket is opened and not closed", "(5.6 bar"},
		{Pressure, "80 psi (5.6 bar oil)", `"oil" is not understood`, "oil"},
		{Pressure, "80 90 psi", "a second number follows; put a figure in another unit in brackets, and a range with `to`", "90 psi"},
		{Pressure, "1 psi (2 bar) (3 kPa) (4 MPa) (5 atm)", "more readings than a figure is printed in units", ""},

		{Ratio, "5:0", "a ratio to 0 has no value", "5:0"},
		{Ratio, "5:0.0", "a ratio to 0 has no value", "5:0.0"},
		{Ratio, "5:", "the second number of the ratio is missing", "5:"},
		{Ratio, "approx. 5:0.1", "cannot be as small as 0", ""},
		{Expansion, "11.7e- per °C", "the power of ten is missing, or beyond any coefficient", "11.7e-"},
		{Expansion, "11.7e-12 per °C", "the power of ten is missing, or beyond any coefficient", "11.7e-"},
		{Expansion, "11.755555e-9 per °C", "the number has more figures than a print has", ""},

		{Angles, "0, , 120", "an item of the list is empty", " "},
		{Angles, "0, 52 mm", "mm is a length, and a list of angles in degrees", "mm"},
		{Angles, "0, 10 (20)", "it holds two different figures in one unit", "20"},
		{Counts, "19 (19), 20", "an item of a list is one number", "19 (19)"},
		{Counts, "[]", "there is no number in it", ""},
		{FiringOrder, "1-4-x", `"x" is not a cylinder`, "x"},
		{FiringOrder, "1--4", "a cylinder is missing", "-"},
		{FiringOrder, "1-4-", "a cylinder is missing at the end", ""},
		{FiringOrder, "1*4", `"*4" is not understood`, "*4"},
		{FiringOrder, "12345-1", "longer than the label of a cylinder", ""},
		{Direction, "left", "it begins with neither clockwise nor anticlockwise", "left"},
		{Direction, "clockwise sometimes", "the end it is seen from is not understood", " sometimes"},
		{Direction, "clockwise (from front", "a bracket is opened and not closed", " (from front"},
		{Direction, "clockwise seen from <b>", "the end it is seen from is not understood", ""},

		{Angle, "", "nothing is written; say whether the figure is unknown, not given, none or illegible", ""},
		{Angle, "   ", "nothing is written", ""},
		{Angle, "n/a", "that is no word for a figure that is not there; write none or not given", ""},
		{Angle, "Unknown", "write unknown", ""},
		{Angle, "-", "write unknown, not given or none", ""},
		{Angle, "?", "write unknown or illegible", ""},
		{Direction, "not stated", "write not given", ""},
		{Angle, "some", `"some" is not understood`, "some"},
		{Angle, "approx.", "there is no number in it", ""},
		{Angle, "5\x00", "control character", "\x00"},
		{Angle, "5\n6", "control character or a line break", "\n"},
		{Text, "\xff", "not text in UTF-8", "\xff"},
		{Angle, strings.Repeat("1", 401), "longer than any printed figure", "1"},
		{kinds, "5", "no such kind of figure", ""},
	} {
		p, err := Read(c.kind, c.text)
		var e *Error
		if !assert.ErrorAs(t, err, &e, c.text) {
			continue
		}
		assert.Contains(t, err.Error(), c.want)
		assert.Equal(t, Printed{Text: c.text, Kind: c.kind}, p, c.text)
		assert.Equal(t, c.text, e.Text)
		assert.NotEmpty(t, e.Want, c.text)
		require.True(t, 0 <= e.Offset && e.Offset <= e.End && e.End <= len(c.text), "%q: %d to %d", c.text, e.Offset, e.End)
		if c.marked != "" {
			assert.Equal(t, c.marked, c.text[e.Offset:e.End], c.text)
		}
		wrongUnit := strings.HasSuffix(e.Got, " is a length") || strings.HasSuffix(e.Got, " is a pressure") || strings.HasSuffix(e.Got, " is an angle")
		assert.Equal(t, wrongUnit, e.WrongUnit, c.text)
	}
}
