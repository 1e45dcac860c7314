package figure

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plain prints a number exactly: as a decimal where it ends, else as a fraction.
func plain(x *big.Rat) string {
	if x == nil {
		return "open"
	}
	if n, ends := x.FloatPrec(); ends {
		return x.FloatString(n)
	}
	return x.RatString()
}

// describe says all that a reading holds: "52 [51.5 52.5] ° crank angle ABDC".
func (r Reading) describe() string {
	parts := []string{plain(r.Value), "[" + plain(r.Lo) + " " + plain(r.Hi) + "]"}
	for _, word := range []string{r.Unit.Symbol(), r.Measure.String(), r.Datum.String()} {
		if word != "" {
			parts = append(parts, word)
		}
	}
	if r.At != NoPlace {
		parts = append(parts, "at "+r.At.String())
	}
	for _, flag := range []struct {
		set  bool
		word string
	}{{r.Mark, "mark"}, {r.Straight, "straight"}, {r.Approximate, "approximate"}, {r.Stated, "stated"}} {
		if flag.set {
			parts = append(parts, flag.word)
		}
	}
	return strings.Join(parts, " ")
}

// describe says all that a print holds.
func (p Printed) describe() string {
	switch {
	case p.Absence != "":
		return strings.TrimSuffix(string(p.Absence)+": "+p.Legible, ": ")
	case p.Kind == FiringOrder:
		return strings.Join(p.Order, " ")
	case p.Kind == Direction:
		return strings.TrimSpace(p.Direction.Sense.String() + " " + p.Direction.From)
	case p.Kind == Text:
		return p.Text
	}
	var parts []string
	for _, r := range append(p.Readings, p.List...) {
		parts = append(parts, r.describe())
	}
	return strings.Join(parts, " = ")
}

// print is one print with what is to be read in it.
type print struct {
	kind Kind
	text string
	want string
}

func check(t *testing.T, prints []print) {
	t.Helper()
	for _, p := range prints {
		got, err := Read(p.kind, p.text)
		if !assert.NoError(t, err, p.text) {
			continue
		}
		assert.Equal(t, p.want, got.describe(), p.text)
		assert.Equal(t, p.text, got.String())
		assert.Equal(t, p.kind, got.Kind)
	}
}

// Every print that the description of the format shows. The widths follow from
// the three classes of figure, by hand.
func TestPrintsOfTheFormat(t *testing.T) {
	check(t, []print{
		// As printed.
		{NominalLength, "13/16 in", "0.8125 [0.812 0.813] in"},
		{ReadLength, "13/16 in", "0.8125 [0.78125 0.84375] in"},
		{Position, "52½ ABDC", "52.5 [52.25 52.75] ° crank angle ABDC"},
		{Position, "52°30' ABDC", "52.5 [6299/120 6301/120] ° crank angle ABDC"},
		{ReadLength, `.004"`, "0.004 [0.0035 0.0045] in"},
		{ReadLength, "0.004 in", "0.004 [0.0035 0.0045] in"},
		{ReadLength, "4 thou", "4 [3.5 4.5] thou"},
		{Position, "10 mm BTDC piston", "10 [9.5 10.5] mm piston travel BTDC"},
		{Position, "1 3/8 in ABDC rim", "1.375 [1.3125 1.4375] in rim distance ABDC"},
		{Angle, "52", "52 [51.5 52.5] °"},
		{Angle, "52.0", "52 [51.95 52.05] °"},

		// The sketch of an engine.
		{Count, "6", "6 [6 6]"},
		{Direction, "clockwise seen from timing end", "clockwise timing end"},
		{FiringOrder, "1-4-2-6-3-5", "1 4 2 6 3 5"},
		{Angles, "0, 240, 120, 120, 240, 0", "0 [-0.5 0.5] ° = 240 [239.5 240.5] ° = 120 [119.5 120.5] ° = 120 [119.5 120.5] ° = 240 [239.5 240.5] ° = 0 [-0.5 0.5] °"},
		{Text, "E I E I E I I E I E I E", "E I E I E I I E I E I E"},
		{Ratio, "1.08", "1.08 [1.075 1.085]"},
		{NominalLength, "2 15/16 in", "2.9375 [2.937 2.938] in"},
		{NominalLength, "4 1/2 in", "4.5 [4.4995 4.5005] in"},
		{Volume, "2998 cc", "2998 [2997.5 2998.5] cc"},
		{TaxHorsepower, "20.7", "20.7 [20.65 20.75]"},
		{Ratio, "5.2", "5.2 [5.15 5.25]"},
		{NominalLength, "9 in", "9 [8.9995 9.0005] in"},
		{NominalLength, "1/8 in", "0.125 [0.1245 0.1255] in"},
		{ReadLength, "6 thou", "6 [5.5 6.5] thou"},
		{ReadLength, "20 thou", "20 [19.5 20.5] thou"},
		{ReadLength, "5/16 in", "0.3125 [0.28125 0.34375] in"},
		{ReadLength, "1 mm lift at valve", "1 [0.5 1.5] mm at valve"},
		{ReadLength, ".001 in off the seat", "0.001 [0.0005 0.0015] in at valve"},
		{Position, "3 BTDC", "3 [2.5 3.5] ° crank angle BTDC"},
		{Position, "48 ABDC", "48 [47.5 48.5] ° crank angle ABDC"},
		{Position, "47 BBDC", "47 [46.5 47.5] ° crank angle BBDC"},
		{Position, "10 ATDC", "10 [9.5 10.5] ° crank angle ATDC"},
		{Angle, "231", "231 [230.5 231.5] °"},
		{NominalLength, "0.500 in", "0.5 [0.4995 0.5005] in"},
		{Count, "28", "28 [28 28]"},
		{Angle, "22½", "22.5 [22.25 22.75] °"},
		{Pitch, "10 DP", "10 [10 10] DP"},
		{ReadLength, "2 thou", "2 [1.5 2.5] thou"},
		{Angle, "12.86", "12.86 [12.855 12.865] °"},
		{ReadLength, "1.64 in", "1.64 [1.635 1.645] in"},
		{Count, "2 teeth", "2 [2 2]"},
		{Direction, "anticlockwise seen from timing end", "anticlockwise timing end"},
		{Counts, "[19, 20]", "19 [19 19] = 20 [20 20]"},
		{NominalLength, "16 1/4 in", "16.25 [16.2495 16.2505] in"},
		{RimPosition, "0.43 in before TDC", "0.43 [0.425 0.435] in rim distance BTDC"},
		{Pressure, "80 psi", "80 [79.5 80.5] psi"},
		{Vacuum, "20 inHg", "20 [19.5 20.5] inHg"},

		// Prints that real sources use.
		{ReadLength, "0.018 in (0.45 mm)", "0.018 [0.0175 0.0185] in = 0.45 [0.445 0.455] mm"},
		{Volume, "4155 cc (253.6 cu in)", "4155 [4154.5 4155.5] cc = 253.6 [253.55 253.65] cu in"},
		{Position, "48° 30' BBDC", "48.5 [5819/120 5821/120] ° crank angle BBDC"},
		{Position, "7 1/2 BTDC", "7.5 [7.25 7.75] ° crank angle BTDC"},
		{Position, "223.5 ATDC", "223.5 [223.45 223.55] ° crank angle ATDC"},
		{Position, "1/16 in ATDC piston", "0.0625 [0.03125 0.09375] in piston travel ATDC"},
		{Position, "5/16 in BBDC piston", "0.3125 [0.28125 0.34375] in piston travel BBDC"},
		{Movement, "23 mm rim", "23 [22.5 23.5] mm rim distance"},
		{NominalLength, "203 mm", "203 [202.95 203.05] mm"},
		{Position, "8 teeth ATDC", "8 [7.5 8.5] teeth ATDC"},
		{Position, "1 3/8 in before TDC mark", "1.375 [1.3125 1.4375] in rim distance BTDC mark"},
		{ReadLength, ".010 to .013 in", "0.0115 [0.01 0.013] in stated"},
		{Position, "24 ± 3 BTDC", "24 [21 27] ° crank angle BTDC stated"},
		{Pressure, "435 psi minimum", "435 [435 open] psi stated"},
		{Pressure, "131-158 psi", "144.5 [131 158] psi stated"},
		{Pressure, "within 20 psi of one another", "20 [open 20] psi stated"},
		{Angle, "approx. 11", "11 [10 12] ° approximate"},
		{ReadLength, "0.029 in", "0.029 [0.0285 0.0295] in"},

		// When there is no plain figure.
		{Angle, "unknown", "unknown"},
		{Position, "not given", "not given"},
		{RimPosition, "none", "none"},
		{Angle, "illegible", "illegible"},
		{Angle, "37 ?/4", "illegible: 37 ?/4"},
		{Angle, "illegible: 37 ?/4", "illegible: 37 ?/4"},
		{Position, "4? ABDC", "illegible: 4? ABDC"},
	})
}

// Every published print that the project was checked against, under its source.
func TestPublishedPrints(t *testing.T) {
	for source, prints := range map[string][]print{
		"Ford Model A reference page, motormayhem.net": {
			{Position, "7 1/2 BTDC", "7.5 [7.25 7.75] ° crank angle BTDC"}, {Position, "48.5 ABDC", "48.5 [48.45 48.55] ° crank angle ABDC"},
			{Position, "51½ BBDC", "51.5 [51.25 51.75] ° crank angle BBDC"}, {Position, "4.5 ATDC", "4.5 [4.45 4.55] ° crank angle ATDC"},
			{ReadLength, "0.287 in", "0.287 [0.2865 0.2875] in"}, {FiringOrder, "1-2-4-3", "1 2 4 3"}, {TaxHorsepower, "SAE 24.03 hp", "24.03 [24.025 24.035]"},
			{Volume, "200.5 in3", "200.5 [200.45 200.55] cu in"}, {NominalLength, "3.875 in", "3.875 [3.8745 3.8755] in"}, {NominalLength, "4.250 in", "4.25 [4.2495 4.2505] in"},
		},
		"A.J.S. Model 16 manual, p. 36": {
			{Position, "36° before T.D.C.", "36 [35.5 36.5] ° crank angle BTDC"}, {Position, "51° after B.D.C.", "51 [50.5 51.5] ° crank angle ABDC"},
			{ReadLength, "valve 0.001 in off seat", "0.001 [0.0005 0.0015] in at valve"}, {ReadLength, "0.008 in", "0.008 [0.0075 0.0085] in"},
		},
		"Long 360 tractor manual, p. 19": {
			{Position, "48 deg 30 min BBDC", "48.5 [5819/120 5821/120] ° crank angle BBDC"}, {ReadLength, "0.45 mm (0.018 in)", "0.45 [0.445 0.455] mm = 0.018 [0.0175 0.0185] in"},
			{ReadLength, "0.250 mm (0.010 in)", "0.25 [0.2495 0.2505] mm = 0.01 [0.0095 0.0105] in"}, {ReadLength, "10.000 mm (0.394 in)", "10 [9.9995 10.0005] mm = 0.394 [0.3935 0.3945] in"},
		},
		"Oldsmobile Aurora 4.0 V8 specification page": {
			{ReadLength, "0.100 mm lift", "0.1 [0.0995 0.1005] mm"}, {Angle, "244", "244 [243.5 244.5] °"}, {Angle, "22°", "22 [21.5 22.5] °"},
		},
		"Vauxhall 20-60 shop manual, sections 432 and 433": {
			{Angle, "37-1/4", "37.25 [37.125 37.375] °"}, {Angle, "37-1/4 crank deg", "37.25 [37.125 37.375] °"}, {Position, "8 teeth after TDC", "8 [7.5 8.5] teeth ATDC"},
			{Position, "25 ATDC", "25 [24.5 25.5] ° crank angle ATDC"}, {FiringOrder, "1,5,3,6,2,4", "1 5 3 6 2 4"}, {ReadLength, "0.007 in", "0.007 [0.0065 0.0075] in"},
			{Position, "0 BTDC", "0 [-0.5 0.5] ° crank angle BTDC"}, {Pressure, "20 lb/in2 max", "20 [open 20] psi stated"},
		},
		"Triumph twins, tribsa.blogspot.com 2013/06": {
			{Position, "100.5 ATDC", "100.5 [100.45 100.55] ° crank angle ATDC"}, {Position, "79.5 ABDC", "79.5 [79.45 79.55] ° crank angle ABDC"},
			{ReadLength, "0.020 in", "0.02 [0.0195 0.0205] in"}, {Position, "34 BTDC +/-3 deg", "34 [31 37] ° crank angle BTDC stated"},
		},
		"slant six worked example, forabodiesonly.com 1970493881": {
			{Position, "108° ATDC", "108 [107.5 108.5] ° crank angle ATDC"}, {Angle, "228 degrees", "228 [227.5 228.5] °"},
		},
		"J. B. Rathbun, Practical Hand-Book, sections 137 and 138": {
			{Position, "15° after inner dead center", "15 [14.5 15.5] ° crank angle ATDC"}, {Position, "35° after the outer dead center", "35 [34.5 35.5] ° crank angle ABDC"},
			{Position, "40° before outer dead center", "40 [39.5 40.5] ° crank angle BBDC"}, {Angle, "-5", "-5 [-5.5 -4.5] °"},
		},
		"Ford Operator's Manual 1922, p. 12": {
			{Position, "piston 5/16 in from bottom centre", "0.3125 [0.28125 0.34375] in piston travel BDC"}, {Position, "top centre", "0 [-0.5 0.5] ° crank angle TDC"},
			{Position, "piston 1/16 in after top centre", "0.0625 [0.03125 0.09375] in piston travel ATDC"}, {Position, "9/16 in after bottom centre, piston", "0.5625 [0.53125 0.59375] in piston travel ABDC"},
			{ReadLength, "1/64 min to 1/32 max in", "0.0234375 [0.015625 0.03125] in stated"}, {NominalLength, "3 3/8 in", "3.375 [3.3745 3.3755] in"},
		},
		"Alvis FWD, manual p. 16, hells-confetti.com": {
			{NominalLength, "68 mm", "68 [67.95 68.05] mm"}, {NominalLength, "102 mm", "102 [101.95 102.05] mm"}, {Volume, "1482 cc", "1482 [1481.5 1482.5] cc"},
			{NominalLength, "320 mm", "320 [319.95 320.05] mm"}, {Position, "27.9 mm ATDC rim", "27.9 [27.85 27.95] mm rim distance ATDC"},
			{Position, "38.6 deg BTDC", "38.6 [38.55 38.65] ° crank angle BTDC"}, {Direction, "clockwise from rear", "clockwise rear"}, {Direction, "anticlockwise", "anticlockwise"},
		},
		"Velocette KSS instruction book, dunhackin.com": {
			{Count, "22T", "22 [22 22]"}, {Count, "44 T", "44 [44 44]"}, {Count, "up to 21 revolutions", "21 [open 21] stated"},
		},
		"Velocette M engines, newenglandzen.blogspot.com 2022": {
			{ReadLength, ".053 in.", "0.053 [0.0525 0.0535] in"}, {Angle, "280", "280 [279.5 280.5] °"},
		},
		"US Army TM 5-3895-382-24, pp. 240 and 310": {
			{Volume, "4 litres (243 in3)", "4 [3.5 4.5] L = 243 [242.5 243.5] cu in"}, {Ratio, "16:1", "16 [15.5 16.5]"}, {FiringOrder, "1-3-4-2", "1 3 4 2"},
			{Direction, "clockwise from front", "clockwise front"}, {ReadLength, "1.50 mm (0.059 in)", "1.5 [1.495 1.505] mm = 0.059 [0.0585 0.0595] in"},
			{Position, "9 BTDC ± 2½", "9 [6.5 11.5] ° crank angle BTDC stated"}, {Movement, "23 mm (0.91 in) rim", "23 [22.5 23.5] mm rim distance = 0.91 [0.905 0.915] in rim distance"},
		},
		"BSA WM20, wdbsa.nl": {
			{Position, "7/16 in (0.4375) BTDC piston", "0.4375 [0.40625 0.46875] in piston travel BTDC = 0.4375 [0.43745 0.43755] in piston travel BTDC"},
			{ReadLength, "0.012 in", "0.012 [0.0115 0.0125] in"},
		},
		"Westerbeke 11A manual": {
			{Pressure, "478.5 psi (33.6 kg/cm2)", "478.5 [478.45 478.55] psi = 33.6 [33.55 33.65] kgf/cm²"},
			{Pressure, "minimum 435.0 psi (30.6 kg/cm2)", "435 [435 open] psi stated = 30.6 [30.6 open] kgf/cm² stated"}, {Ratio, "20:1", "20 [19.5 20.5]"},
		},
		"manifold vacuum: subaruport.ru and TM 10-3930-653-14&P": {
			{Vacuum, "< -60.0 kPa = -450 mmHg", "60 [60 open] kPa stated = 450 [450 open] mmHg stated"}, {Vacuum, "-430 mmHg", "430 [429.5 430.5] mmHg"},
			{Pressure, "< 1.0 kg/cm2 (14 psi)", "1 [open 1] kgf/cm² stated = 14 [open 14] psi stated"}, {Vacuum, "17-22 inHg", "19.5 [17 22] inHg stated"},
		},
		"swept volumes: boat and aero engines, BMW twins, Kawasaki KLX650": {
			{Volume, "549.78 in3 (9.01 L)", "549.78 [549.775 549.785] cu in = 9.01 [9.005 9.015] L"}, {Volume, "473.1 cc (28.86 in3)", "473.1 [473.05 473.15] cc = 28.86 [28.855 28.865] cu in"},
			{Volume, "651879 mm3 = 651 cc", "651879 [651878.5 651879.5] mm³ = 651 [650.5 651.5] cc"}, {NominalLength, "70.0 mm", "70 [69.995 70.005] mm"},
		},
		"W. D. Callister, Fundamentals of Materials Science, table B.6": {
			{Expansion, "11.7e-6 per C", "0.0000117 [0.00001165 0.00001175] /°C"}, {Expansion, "6.5 x 10^-6 per F", "0.0000065 [0.00000645 0.00000655] /°F"},
		},
		"chains: rover-classics.co.uk, triumphstag.net, Austin A40 p. 65": {
			{NominalLength, "0.375 in (9.525 mm)", "0.375 [0.3745 0.3755] in = 9.525 [9.52 9.53] mm"}, {Count, "52 pitches", "52 [52 52]"},
		},
		"valve angles of a Laverda, motorcycleinstitute.tk": {
			{Angle, "20 deg 44 min", "311/15 [20.725 2489/120] °"}, {Angle, "19° 49′", "1189/60 [2377/120 19.825] °"},
		},
	} {
		t.Run(source, func(t *testing.T) { check(t, prints) })
	}
}

// Twin prints that published pages give in two units agree within what each
// print allows; those that the pages get wrong do not.
func TestTwinPrints(t *testing.T) {
	for _, c := range []struct {
		kind   Kind
		text   string
		agrees bool
	}{
		{ReadLength, "0.45 mm (0.018 in)", true},          // Long 360, manual p. 19
		{ReadLength, "10.000 mm (0.394 in)", true},        // same
		{ReadLength, "0.250 mm (0.010 in)", true},         // same
		{ReadLength, "1.50 mm (0.059 in)", true},          // TM 5-3895-382-24
		{Volume, "4 litres (243 in3)", true},              // same
		{Movement, "23 mm (0.91 in) rim", true},           // same
		{Movement, "35 mm (1.38 in) rim", true},           // same
		{Movement, "37 mm (1.46 in) rim", true},           // same
		{Pressure, "478.5 psi (33.6 kg/cm2)", true},       // Westerbeke 11A
		{Pressure, "435.0 psi (30.6 kg/cm2)", true},       // same
		{Vacuum, "-60.0 kPa = -450 mmHg", true},           // subaruport.ru
		{NominalLength, "0.375 in (9.525 mm)", true},      // Austin A40, p. 65
		{NominalLength, "146 mm (5.748 in)", true},        // Datsun pick-up manual 1977, p. 74
		{Volume, "549.78 in3 (9.01 L)", true},             // Hall-Scott A-7
		{Volume, "42.18 in3 (691 cc)", true},              // Tecumseh V-twin, p. 61
		{Volume, "1793 cc (109.4 in3)", true},             // Kia 1.8
		{Volume, "473.1 cc (28.86 in3)", false},           // BMW R45: cc times 0.061, not 0.06102
		{Volume, "651879 mm3 = 651 cc", false},            // KLX650: the last digit was cut off, not rounded
		{ReadLength, "1 in = 25.4 cm", false},             // kelvin.leadhoster.com: cm for mm
		{ReadLength, "0.20 in (0.020 in)", false},         // tribsa.blogspot.com: the point moved
		{ReadLength, "0.018 in (4.5 mm)", false},          // the point moved, by hand
		{NominalLength, "2 15/16 in (75 mm)", true},       // 74.6125 mm, by hand
		{NominalLength, "2 15/16 in (74 mm)", false},      // same
		{Position, "10° BTDC (7/16 in piston)", true},     // two measures: not compared here
		{Position, "TDC (0 mm piston)", true},             // same
		{Power, "50 bhp (37 kW)", true},                   // 37.285 kW, by hand
		{Pressure, "minimum 435 psi (30.6 kg/cm2)", true}, // limits meet
		{Pitch, "10 DP (2.54 mm module)", true},           // exact
	} {
		p, err := Read(c.kind, c.text)
		if c.text == "0.20 in (0.020 in)" { // one unit: the print itself is refused
			assert.ErrorContains(t, err, "two different figures in one unit")
			continue
		}
		require.NoError(t, err, c.text)
		require.Len(t, p.Readings, 2, c.text)
		_, _, found := p.Disagreement()
		assert.Equal(t, c.agrees, !found, c.text)
		a, b := p.Readings[0], p.Readings[1]
		if a.Unit.Dimension() == b.Unit.Dimension() {
			assert.Equal(t, c.agrees, a.Interval().Meets(b.Interval()), "in doubles: %s", c.text)
		}
	}
}
