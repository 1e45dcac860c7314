package notation

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/convert"
	"fourmarks.example/schema/figure"
)

// printedIs holds a value against a printed number: it agrees within half the
// last printed place.
func printedIs(t *testing.T, printed string, got float64, about string) {
	t.Helper()
	p, err := figure.Read(figure.Angle, printed)
	require.NoError(t, err)
	is := p.Readings[0].Interval()
	assert.True(t, is.Grow(1e-9).Contains(got), "%s: printed %s, converted %.6g", about, printed, got)
}

// The source of each value stands beside it.
func TestPublishedConversions(t *testing.T) {
	for _, c := range []struct {
		source, print string
		dims          map[Name]string
		to            []string
		printed       string
	}{
		{"Alvis front-wheel drive, maker's manual p. 16 fig. 12, quoted at hells-confetti.com, Engine Notes: pressure plate of 320 mm, 10° = 27.9 mm",
			"10 ATDC", map[Name]string{RimDiameter: "320 mm"}, []string{"rim"}, "27.9"},
		{"the same", "27.9 mm ATDC rim", map[Name]string{RimDiameter: "320 mm"}, []string{"degrees"}, "10"},
		{"US Army TM 5-3895-382-24, p. 310: one tooth is 23 mm on a pulley of 203 mm (28 teeth are inferred, not printed)",
			"1 tooth", map[Name]string{WheelTeeth: "28", RimDiameter: "203 mm"}, []string{"rim"}, "23"},
		{"the same: 0.91 in (the print is rounded from 23 mm, and the tenth of an inch is what agrees)",
			"1 tooth", map[Name]string{WheelTeeth: "28", RimDiameter: "203 mm"}, []string{"rim", "in"}, "0.9"},
		{"the same: 35 mm on 310 mm", "1 tooth", map[Name]string{WheelTeeth: "28", RimDiameter: "310 mm"}, []string{"rim"}, "35"},
		{"the same: 37 mm on 327 mm", "1 tooth", map[Name]string{WheelTeeth: "28", RimDiameter: "327 mm"}, []string{"rim"}, "37"},
		{"Vauxhall 20-60, shop manual sec. 433: 25° ATDC, also printed as 8 teeth; 115 teeth are inferred from the two",
			"8 teeth ATDC", map[Name]string{RingTeeth: "115"}, []string{"degrees"}, "25"},
		{"the same", "25 ATDC", map[Name]string{RingTeeth: "115"}, []string{"teeth"}, "8"},
		{"Long 360, manual p. 19: 48° 30'", "48° 30' BBDC", nil, []string{"degrees"}, "48.5"},
		{"the same: 0.45 mm (0.018 in)", "0.45 mm", nil, []string{"in"}, "0.018"},
		{"the same: 10.000 mm (0.394 in)", "10.000 mm", nil, []string{"in"}, "0.394"},
		{"Triumph T100S, tribsa.blogspot.com, Cam timing continued: exhaust centre 79.5 after BDC, which is 100.5 before TDC",
			"79.5 ABDC", nil, []string{"BTDC"}, "100.5"},
		{"Westerbeke 11A, manual: 478.5 psi (33.6 kg/cm2)", "478.5 psi", nil, []string{"kg/cm2"}, "33.6"},
		{"the same: minimum 435.0 psi (30.6 kg/cm2)", "435.0 psi minimum", nil, []string{"kg/cm2"}, "30.6"},
		{"Subaru, subaruport.ru: −60.0 kPa = −450 mmHg = −17.72 inHg", "60.0 kPa", nil, []string{"mmHg"}, "450"},
		{"the same", "60.0 kPa", nil, []string{"inHg"}, "17.72"},
		{"Tecumseh TVT691, manual p. 61: 42.18 cu in, 691 cc", "42.18 cu in", nil, []string{"cc"}, "691"},
		{"Drivetrain Hub, Chapter 3, Helical Gears (2021): normal module 1 mm is a diametral pitch of 25.4", "module 1", nil, []string{"DP"}, "25.4"},
		{"Kia 1.8: 1793 cc, 109.4 cu in", "1793 cc", nil, []string{"cu in"}, "109.4"},
		{"altitude 5000 ft as 1524 m, from the definition of the foot (NIST SP 811, B)", "5,000 ft", nil, []string{"m"}, "1524"},
	} {
		f, err := Read(c.print)
		require.NoError(t, err, c.source)
		r := one(t, f, given(t, c.dims), c.to...)
		printedIs(t, c.printed, double(r.Value), c.source)
		requireRedone(t, r.Working)
	}
}

// One tooth of 27 or 29 does not give the printed distances.
func TestPublishedToothFitsOneWheelOnly(t *testing.T) {
	f, err := Read("1 tooth")
	require.NoError(t, err)
	for teeth, fits := range map[string]bool{"27": false, "28": true, "29": false} {
		agree := 0
		for diameter, printed := range map[string]float64{"203 mm": 23, "310 mm": 35, "327 mm": 37} { // TM 5-3895-382-24, p. 310
			r := one(t, f, given(t, map[Name]string{WheelTeeth: teeth, RimDiameter: diameter}), "rim")
			if math.Abs(double(r.Value)-printed) <= 0.5 {
				agree++
			}
		}
		assert.Equal(t, fits, agree == 3, "%s teeth agree with %d of the three", teeth, agree)
	}
}

// Ford Model T, Operator's Manual 1922, p. 12: piston positions. The angles are
// worked out with the cosine rule; stroke and rods are from memory.
func TestModelTPistonPositions(t *testing.T) {
	for _, c := range []struct {
		print   string
		degrees [3]float64 // with rods of 6.75, 7 and 7.25 in
	}{
		{"1/16 in ATDC piston", [3]float64{12.62, 12.67, 12.72}},
		{"9/16 in ABDC piston", [3]float64{51.12, 50.81, 50.54}},
		{"5/16 in BBDC piston", [3]float64{38.11, 37.86, 37.63}},
	} {
		f, err := Read(c.print)
		require.NoError(t, err)
		for i, rod := range []string{"6.75 in", "7 in", "7.25 in"} {
			r := one(t, f, given(t, map[Name]string{Stroke: "4 in", Rod: rod}), "degrees")
			assert.InDelta(t, c.degrees[i], double(r.Value), 0.005, "%s with a rod of %s", c.print, rod)
			requireRedone(t, r.Working)
		}
		unknown := one(t, f, given(t, map[Name]string{Stroke: "4 in"}), "degrees")
		assert.Nil(t, unknown.Value, "which rod it is, nothing says")
		for _, degrees := range c.degrees {
			assert.True(t, double(unknown.Low) <= degrees && degrees <= double(unknown.High), "%s: %s", c.print, unknown.Printed)
		}
	}
}

// The manual gives the exhaust opening as 5/16 in from bottom centre: the event
// says on which side.
func TestModelTSideFollowsFromTheEvent(t *testing.T) {
	for event, datum := range map[string]string{"exhaust_opens": "BBDC", "inlet_closes": "ABDC"} {
		f, err := Read("5/16 in from bottom centre piston")
		require.NoError(t, err)
		r := one(t, f, given(t, map[Name]string{Stroke: "4 in", Rod: "7 in", Event: event}), "degrees")
		assert.Contains(t, r.Printed, datum)
		assert.InDelta(t, 37.86, double(r.Value), 0.005)
	}
}

// BSA WM20, wdbsa.nl, Clearances and fits: 7/16 in (0.4375) BTDC, full advance.
// Stroke 94 mm and rod 7 1/2 in are from memory; the angle by the cosine rule.
func TestBSAAdvance(t *testing.T) {
	f, err := Read("7/16 in (0.4375) BTDC piston")
	require.NoError(t, err)
	r := one(t, f, given(t, map[Name]string{Stroke: "94 mm", Rod: "7 1/2 in"}), "degrees")
	throw, rod, height := 47.0, 190.5, 47.0+190.5-11.1125
	want := math.Acos((throw*throw+height*height-rod*rod)/(2*throw*height)) * 180 / math.Pi
	assert.InDelta(t, want, double(r.Value), 1e-9)
	assert.Equal(t, "36 BTDC", r.Printed)
	requireRedone(t, r.Working)
}

// Piston travel in parts of the stroke, worked out from the textbook's formula
// for rods of 3, 4 and 5 throws; 56.35 % at 90° with 4 is also in Machinery's
// Handbook (from memory).
func TestPistonTravelTable(t *testing.T) {
	for rod, table := range map[string]map[string]float64{
		"150 mm": {"10": 1.0111, "50": 22.8332, "90": 58.5786, "130": 87.1120, "170": 99.4919},
		"200 mm": {"10": 0.9482, "50": 21.5625, "90": 56.3508, "130": 85.8413, "170": 99.4289},
		"250 mm": {"10": 0.9104, "50": 20.8122, "90": 55.0510, "130": 85.0909, "170": 99.3912},
	} {
		for degrees, want := range table {
			f, err := Read(degrees + " ATDC")
			require.NoError(t, err)
			r := one(t, f, given(t, map[Name]string{Stroke: "100 mm", Rod: rod}), "piston")
			assert.InDelta(t, want, double(r.Value), 0.00005, "%s with %s", degrees, rod)
		}
	}
}

// Thou to millimetres is exact: 25.4 mm to the inch by definition (NIST SP 811).
func TestThouAreExact(t *testing.T) {
	for print, want := range map[string]string{"1 thou": "0.0254", "4 thou": "0.1016", ".007 in": "0.1778", ".053 in": "1.3462", "19 thou": "0.4826", "13/16 in": "20.6375"} {
		f, err := Read(print)
		require.NoError(t, err)
		r := one(t, f, nil, "mm")
		assert.True(t, r.Exact)
		assert.Equal(t, want, r.Value.FloatString(4), print)
	}
	f, err := Read("20 inHg")
	require.NoError(t, err)
	assert.Equal(t, convert.Kilopascal, one(t, f, nil, "kPa").Unit)
}
