package notation

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPrintsThatDoNotConvert(t *testing.T) {
	for print, want := range map[string]string{
		"":                   "nothing is written",
		"unknown":            "there is nothing to convert",
		"52 XBDC":            `"XBDC" is not understood there`,
		"7/16 in BTDC":       "add `piston` or `rim`",
		"nil":                "names no dead centre",
		"400 BTDC":           "no more than a turn",
		"1,800":              "may mark thousands or decimals",
		"12.86 fathoms":      `"fathoms" is not understood there`,
		"5.2:1":              `":1" is not understood there`,
		"52 ABDC piston":     "52 has no unit",
		"52 deg ABDC piston": "piston travel is a length, not an angle",
	} {
		_, err := Read(print)
		assert.ErrorContains(t, err, want, "%q", print)
	}
	_, err := ReadAs("cylinder", "4")
	assert.ErrorContains(t, err, "is no kind of figure that converts; they are position, temperature, movement")
	_, err = ReadAs("vacuum", "4 mm")
	assert.Error(t, err)
}

func TestNotationsThatThereAreNot(t *testing.T) {
	for _, c := range []struct{ print, to, want string }{
		{"52 ABDC", "psi", "psi is a pressure and \"52 ABDC\" is a crank position"},
		{"52 ABDC", "cubits", "is no notation and no unit known here; \"52 ABDC\" converts to degrees, minutes, BTDC"},
		{"4 thou", "rim", "is a length with its unit and has no notation in rim; it converts to"},
		{"4 thou", "psi", "psi is a pressure"},
		{"80 psi", "fraction", "is no notation"},
	} {
		f, err := Read(c.print)
		require.NoError(t, err)
		_, err = f.Wanted(c.to)
		assert.ErrorContains(t, err, c.want)
	}
}

func TestWhatCannotBeConverted(t *testing.T) {
	for _, c := range []struct {
		print string
		to    string
		dims  map[Name]string
		want  string
	}{
		{"52 ABDC", "rim", nil, "a distance along the rim needs the diameter of the rim (--rim-diameter), which is not given"},
		{"52 ABDC", "straight rule", nil, "needs the diameter of the rim (--rim-diameter)"},
		{"52 ABDC", "piston", nil, "piston travel needs the stroke of the piston (--stroke), which is not given"},
		{"52 ABDC", "teeth", nil, "needs the number of teeth of the ring gear (--ring-teeth)"},
		{"52 ABDC", "firing", nil, "needs the event at the position (--event)"},
		{"12.86", "wheel teeth", nil, "(--wheel-teeth) or the crank degrees for one tooth of the timing wheels (--tooth-step)"},
		{"1 tooth", "degrees", nil, "(--wheel-teeth) or the"},
		{"8 teeth ATDC", "degrees", nil, "(--ring-teeth)"},
		{"8 teeth ATDC", "mm", map[Name]string{RingTeeth: "100"}, "teeth have no unit"},
		{"10 mm BTDC piston", "degrees", nil, "(--stroke)"},
		{"10 mm BTDC piston", "degrees", map[Name]string{Stroke: "unknown"}, "(--stroke)"},
		{"200 mm BTDC piston", "degrees", map[Name]string{Stroke: "100 mm"}, "is longer than the stroke, 100 mm"},
		{"400 mm BTDC rim", "degrees", map[Name]string{RimDiameter: "100 mm"}, "is longer than the circumference of the rim, 314.1593 mm"},
		{"120 mm BTDC rim by straight rule", "degrees", map[Name]string{RimDiameter: "100 mm"}, "is longer than the diameter of the rim"},
		{"200 teeth BTDC", "degrees", map[Name]string{RingTeeth: "100"}, "is more than once round a ring of 100 teeth"},
		{"52 ABDC", "piston", map[Name]string{Stroke: "100 mm", Rod: "50 mm"}, "the crank cannot turn"},
		{"52 ABDC", "piston", map[Name]string{Stroke: "100 mm", Rod: "150 mm", Offset: "10 mm"}, "the part whose dead centres degrees are counted from, piston or crank (--dead-centre)"},
		{"52 ABDC", "ATDC", map[Name]string{Stroke: "100 mm", Rod: "150 mm", Offset: "10 mm"}, "(--dead-centre)"},
		{"52 ABDC", "ATDC", map[Name]string{Offset: "10 mm", DeadCentre: "piston"}, "(--stroke)"},
		{"12.86", "piston", map[Name]string{Stroke: "100 mm"}, "piston travel needs a position"},
		{"12.86", "ATDC", nil, "is counted from no dead centre"},
		{"12.86", "firing", nil, "is counted from no dead centre"},
		{"3 mm piston", "degrees", map[Name]string{Stroke: "100 mm"}, "names no dead centre"},
		{"52 ABDC", "wheel teeth", map[Name]string{WheelTeeth: "28"}, "is a position"},
		{"720", "rim", map[Name]string{RimDiameter: "100 mm"}, "more than once round the rim"},
		{"223.5 ATDC", "straight rule", map[Name]string{RimDiameter: "100 mm"}, "more than half way round the rim"},
		{"52 ABDC", "camshaft", map[Name]string{Cycle: "two-stroke"}, "has no camshaft at half speed"},
		{"52 ABDC", "firing", map[Name]string{Cycle: "two-stroke"}, "one of firing"},
		{"180 ATDC", "firing", map[Name]string{Event: "ignition"}, "either of two dead centres could be meant"},
		{"5/16 in from bottom centre piston", "degrees", map[Name]string{Stroke: "4 in"}, "does not say on which side of BDC: write before or after, or give --event inlet_closes"},
		{"5/16 in from top centre piston", "degrees", map[Name]string{Stroke: "4 in", Event: "inlet_opens"}, "does not say on which side of TDC: write before or after"},
		{"52 ABDC", "mm", nil, "ask for rim or piston beside mm"},
		{"38 BTDC maximum", "minutes", nil, "is a limit; ask for it in degrees"},
		{"52 ABDC", "teeth", map[Name]string{RingTeeth: "20000"}, "it must be a whole number up to 10000"},
		{"52 ABDC", "rim", map[Name]string{RimDiameter: "300 mm minimum"}, "greater than zero, and not a limit"},
		{"52 ABDC", "teeth", map[Name]string{RingTeeth: "0"}, "greater than zero"},
	} {
		f, err := Read(c.print)
		require.NoError(t, err, c.print)
		w, err := f.Wanted(c.to)
		require.NoError(t, err, c.print)
		_, err = f.Convert(w, given(t, c.dims))
		assert.ErrorContains(t, err, c.want, "%s to %s", c.print, c.to)
	}
}

func TestDimensionsThatCannotBeRead(t *testing.T) {
	for _, c := range []struct {
		name        Name
		print, want string
	}{
		{Stroke, "4 1/2", "the stroke: "},
		{RimDiameter, "large", "the rim diameter: "},
		{RingTeeth, "115½", "it is not a whole number"},
		{Event, "lunch", `"lunch" is no event; write one of ignition, exhaust_opens`},
		{DeadCentre, "flywheel", "write one of piston, crank"},
		{Cycle, "three-stroke", "write one of four-stroke, two-stroke"},
	} {
		_, err := ReadDimension(c.name, c.print, "--x")
		assert.ErrorContains(t, err, c.want)
	}
	for _, n := range Names() {
		assert.NotEmpty(t, n.Means())
		_, err := ReadDimension(n, n.Example(), "--x")
		assert.NoError(t, err, n)
		assert.Equal(t, strings.ToLower(string(n)), string(n))
	}
}

// A rim that no engine has is refused with the reason, also where a print on it
// is turned into degrees.
func TestARimThatCannotBe(t *testing.T) {
	d, err := ReadDimension(RimDiameter, "99999999 in", "--rim-diameter")
	require.NoError(t, err)
	for _, print := range []string{"3 in ABDC rim", "3 in ABDC rim by straight rule", "52 ABDC"} {
		f, err := Read(print)
		require.NoError(t, err)
		for _, to := range []string{"degrees", "rim"} {
			if f.isAngle() && to == "degrees" {
				continue
			}
			w, err := f.Wanted(to)
			require.NoError(t, err)
			_, err = f.Convert(w, Dimensions{RimDiameter: d})
			assert.ErrorContains(t, err, "rim diameter", "%s to %s", print, to)
		}
	}
}
