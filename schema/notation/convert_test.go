package notation

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema/figure"
)

// printed lists the results of a conversion as a person reads them.
func printed(t *testing.T, print string, dims map[Name]string, to ...string) []string {
	t.Helper()
	f, err := Read(print)
	require.NoError(t, err)
	w, err := f.Wanted(to...)
	require.NoError(t, err)
	c, err := f.Convert(w, given(t, dims))
	require.NoError(t, err, print)
	var list []string
	for _, r := range c.Results {
		parts := []string{string(r.Notation) + ": " + r.Printed}
		if r.Allowed != "" {
			parts = append(parts, r.Allowed)
		}
		if r.Exactly != "" {
			parts = append(parts, "exactly "+r.Exactly)
		}
		if r.Rest != "" {
			parts = append(parts, r.Rest)
		}
		list = append(list, strings.Join(parts, "; "))
	}
	return list
}

func TestPrintedResults(t *testing.T) {
	engine := map[Name]string{Stroke: "4 1/2 in", Rod: "9 in", RimDiameter: "16 1/4 in", RingTeeth: "120"}
	for _, c := range []struct {
		print string
		dims  map[Name]string
		to    []string
		want  []string
	}{
		{"52 ABDC", engine, nil, []string{
			"BTDC: 128 BTDC; 127.5 to 128.5",
			"ATDC: 232 ATDC; 231.5 to 232.5",
			"camshaft: 26.0 camshaft degrees ABDC; 25.75 to 26.25",
			"rim: 7.4 in ABDC rim; 7.30 to 7.45",
			"straight rule: 7.1 in ABDC rim by straight rule; 7.05 to 7.19",
			"piston: 0.69 in ABDC piston; 0.675 to 0.702",
			"teeth: 17.3 teeth ABDC; 17.16 to 17.50; exactly 17 1/3",
			"nearest tooth: 17 teeth ABDC; plus 1.00°",
		}},
		{"52 ABDC", engine, []string{"BBDC"}, []string{"BBDC: 308 BBDC; 307.5 to 308.5"}},
		{"223.5 ATDC", engine, []string{"ABDC", "piston"}, []string{"ABDC: 43.5 ABDC; 43.45 to 43.55", "piston: 0.484 in ABDC piston; 0.4824 to 0.4849"}},
		{"350 ATDC", engine, []string{"piston"}, []string{"piston: 0.043 in BTDC piston; 0.0385 to 0.0471"}},
		{"0 BTDC", engine, []string{"piston", "rim"}, []string{
			"piston: 0.0000 in BTDC piston; 0.00011 ATDC to 0.00011 BTDC",
			"rim: 0.0 in BTDC rim; 0.08 ATDC to 0.08 BTDC", "straight rule: 0.0 in BTDC rim by straight rule; 0.08 ATDC to 0.08 BTDC",
		}},
		{"TDC", engine, []string{"teeth"}, []string{"teeth: 0.0 teeth ATDC; 0.17 BTDC to 0.17 ATDC", "nearest tooth: 0 teeth ATDC"}},
		{"52 ABDC", map[Name]string{Stroke: "4 1/2 in"}, []string{"piston"}, []string{"piston: 0.59 to 0.74 in ABDC piston"}},
		{"48°30' BBDC", nil, []string{"degrees", "minutes", "turns"}, []string{
			"degrees: 48.50 BBDC; 48.491 to 48.509", "minutes: 48°30' BBDC; 48°29' to 48°31'", "turn: 0.13472 turn BBDC; 0.134699 to 0.134746"}},
		{"231", nil, []string{"camshaft", "turns"}, []string{"camshaft: 115.5 camshaft degrees; 115.25 to 115.75", "turn: 0.642 turn; 0.6402 to 0.6431"}},
		{"7/16 in BTDC piston", map[Name]string{Stroke: "3 1/2 in", Rod: "7 in"}, []string{"mm", "degrees"}, []string{
			"degrees: 37 BTDC; 35.8 to 38.7", "mm: 11 mm BTDC piston; 10.3 to 12.0; exactly 11.1125"}},
		{"60 °C", nil, []string{"F"}, []string{"°F: 140°F; 139.1 to 140.9"}},
		{"1 tooth", map[Name]string{WheelTeeth: "28"}, []string{"degrees", "minutes", "camshaft"}, []string{
			"degrees: 12.8571°; exactly 12 6/7", `minutes: 12°51'26"; exactly 12 6/7`, "camshaft: 6.42857 camshaft degrees; exactly 6 3/7"}},
		{"1 tooth", map[Name]string{ToothStep: "12.86"}, []string{"degrees"}, []string{"degrees: 12.86°; 12.855 to 12.865"}},
		{"1 tooth", map[Name]string{RingTeeth: "120"}, []string{"degrees"}, []string{"degrees: 3°; 1.5 to 4.5"}},
		{"13", map[Name]string{WheelTeeth: "28"}, []string{"wheel-teeth"}, []string{"wheel teeth: 1.01 teeth; 0.972 to 1.050"}},
		{"-13", nil, []string{"camshaft"}, []string{"camshaft: −6.5 camshaft degrees; −6.75 to −6.25"}},
		{"38 BTDC maximum", engine, []string{"piston", "ATDC"}, []string{"piston: at most 0.5842 in BTDC piston", "ATDC: at least 322.0 ATDC"}},
		{"7/16 in (0.4375) BTDC piston", nil, nil, []string{
			"mm: 11 mm BTDC piston; 10.3 to 12.0; exactly 11.1125", "thou: 438 thou BTDC piston; 406.2 to 468.8; exactly 437.5"}},
		{"7/16 in BTDC piston", nil, []string{"piston", "mm"}, []string{"mm: 11 mm BTDC piston; 10.3 to 12.0; exactly 11.1125"}},
		{"52 ABDC", engine, []string{"rim", "32nds"}, []string{"rim: 7 3/8 in ABDC rim; less 1 thou", "straight rule: 7 1/8 in ABDC rim by straight rule; less 1.5 thou"}},
		{"25.0 mm ABDC rim by straight rule", map[Name]string{RimDiameter: "320 mm"}, []string{"rim"}, []string{"rim: 25.0 mm ABDC rim; 24.96 to 25.09"}},
		{"4 thou", nil, nil, []string{"mm: 0.10 mm; 0.088 to 0.115; exactly 0.1016", "in: 0.004 in; 0.0035 to 0.0045"}},
		{"13.8 mm", nil, []string{"fraction"}, []string{"fraction: 35/64 in; less 3.6 thou"}},
		{"60 °F", nil, nil, []string{"°C: 15.6°C; 15.27 to 15.84; exactly 15 5/9", "K: 288.7 K; 288.42 to 288.99"}},
		{"10 DP", nil, nil, []string{"mm module: 2.54 mm module; exact"}},
		{"5,000 ft", nil, nil, []string{"m: 1524.0 m; 1523.84 to 1524.16"}},
		{"1800 rpm", nil, nil, []string{"rev/s: 30.00 rev/s; 29.991 to 30.009"}},
		{"11.7e-6 per °C", nil, nil, []string{"/°F: 0.00000650 /°F; 0.000006472 to 0.000006528"}},
	} {
		assert.Equal(t, c.want, printed(t, c.print, c.dims, c.to...), "%s to %v", c.print, c.to)
	}
}

// The event tells which of the two dead centres of the cycle is meant.
func TestFromFiringTDC(t *testing.T) {
	for _, c := range []struct{ print, event, want, stroke string }{
		{"52 ABDC", "inlet_closes", "592° after firing TDC", "compression"},
		{"3 BTDC", "inlet opens", "357° after firing TDC", "exhaust"},
		{"10 ATDC", "exhaust-closes", "370° after firing TDC", "induction"},
		{"47 BBDC", "exhaust_opens", "133° after firing TDC", "power"},
		{"38 BTDC", "ignition", "682° after firing TDC", "compression"},
		{"5 ATDC", "ignition", "5° after firing TDC", "power"},
		{"109 BTDC", "exhaust_lobe_centre", "251° after firing TDC", "exhaust"},
		{"223.5 ATDC", "inlet_closes", "583.5° after firing TDC", "compression"},
	} {
		f, err := Read(c.print)
		require.NoError(t, err)
		r := one(t, f, given(t, map[Name]string{Event: c.event}), "firing")
		assert.Equal(t, c.want, r.Printed)
		assert.Contains(t, fmt.Sprint(r.Working), "on the "+c.stroke+" stroke")
	}
}

// With an offset the dead centres of the piston are not half a turn apart, and
// the convention decides.
func TestOffsetCylinder(t *testing.T) {
	dims := map[Name]string{Stroke: "3 3/4 in", Rod: "7 1/4 in", Offset: "1/4 in", DeadCentre: "crank"}
	assert.Equal(t, []string{"ATDC: 224.0 ATDC; 223.95 to 224.05"}, printed(t, "44.0 ABDC", dims, "ATDC"))
	dims[DeadCentre] = "piston"
	assert.Equal(t, []string{"ATDC: 225.1 ATDC; 225.03 to 225.16"}, printed(t, "44.0 ABDC", dims, "ATDC"))
	f, err := Read("TDC")
	require.NoError(t, err)
	dims[DeadCentre] = "crank"
	r := one(t, f, given(t, dims), "piston")
	assert.Positive(t, double(r.Low), "the crank's TDC is not the piston's")
	assert.Contains(t, r.Printed, "BTDC", "but before it")
	f, err = Read("0.00 in BTDC piston")
	require.NoError(t, err)
	assert.Contains(t, one(t, f, given(t, dims), "degrees").Printed, "ATDC", "the piston's comes after the crank's")
	dims[Offset] = "0 in"
	assert.Equal(t, []string{"ATDC: 224.0 ATDC; 223.95 to 224.05"}, printed(t, "44.0 ABDC", dims, "ATDC"))
}

// On one side the stroke of an offset cylinder is shorter than half a turn: what
// lies beyond its end is counted from the other dead centre.
func TestBeyondTheStrokeOfAnOffsetCylinder(t *testing.T) {
	dims := map[Name]string{Stroke: "100 mm", Rod: "130 mm", Offset: "15 mm", DeadCentre: "piston"}
	assert.Contains(t, printed(t, "173 BTDC", dims, "piston")[0], "ABDC", "the stroke is of 174 degrees, and its prints may leave it less")
	assert.Contains(t, printed(t, "172 BTDC", dims, "piston")[0], "BTDC")
	assert.Contains(t, printed(t, "176 BTDC", dims, "piston")[0], "BBDC")
	assert.Contains(t, printed(t, "172 ATDC", dims, "piston")[0], "ATDC")
}

func TestTeethOfTheWheelGoBeforeAPrintedStep(t *testing.T) {
	assert.Equal(t, []string{"degrees: 12.8571°; exactly 12 6/7"}, printed(t, "1 tooth", map[Name]string{WheelTeeth: "28", ToothStep: "12.9"}, "degrees"))
}

func TestWhatWasUsedAndWhatIsLacking(t *testing.T) {
	f, err := Read("52 ABDC")
	require.NoError(t, err)
	dims := given(t, map[Name]string{Stroke: "4 1/2 in", RingTeeth: "120", WheelTeeth: "28"})
	c, err := f.Convert(Wanted{}, dims)
	require.NoError(t, err)
	var used []string
	for _, u := range c.Used {
		used = append(used, fmt.Sprintf("%s: %s (%s)", u.What, u.Text, u.From))
	}
	assert.Equal(t, []string{"stroke: 4 1/2 in (--stroke)", "rod: not given: 1.4 to 2.5 strokes (common practice, no source)", "ring-teeth: 120 (--ring-teeth)"}, used)
	require.Len(t, c.Lacking, 1, "the straight rule wants no more than the rim")
	assert.Equal(t, []Name{RimDiameter}, c.Lacking[0].AnyOf)
	require.Len(t, c.Remarks, 1)
	assert.Contains(t, c.Remarks[0], "The rod is not given")
	assert.Equal(t, Caution, c.Caution)

	f, err = Read("80 psi")
	require.NoError(t, err)
	c, err = f.Convert(Wanted{}, nil)
	require.NoError(t, err)
	assert.Empty(t, c.Caution, "nothing is set by a pressure")
}

func TestPrintsThatDisagreeAreRemarkedOn(t *testing.T) {
	f, err := Read("0.018 in (0.54 mm)")
	require.NoError(t, err)
	c, err := f.Convert(Wanted{}, nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"The print says two things that cannot both be right: 0.018 in and 0.54 mm. The first is converted."}, c.Remarks)

	f, err = Read("12° BTDC (0,9 mm piston)")
	require.NoError(t, err)
	c, err = f.Convert(Wanted{}, nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"The print says it in two ways; 12° BTDC is converted."}, c.Remarks)

	f, err = Read("10 ATDC")
	require.NoError(t, err)
	w, err := f.Wanted("rim")
	require.NoError(t, err)
	c, err = f.Convert(w, given(t, map[Name]string{RimDiameter: "about 320 mm (16 in)"}))
	require.NoError(t, err)
	require.Len(t, c.Remarks, 2)
	assert.Contains(t, c.Remarks[0], "only given approximately")
	assert.Contains(t, c.Remarks[1], "cannot both be right")
}

// Below about 20 degrees a straight rule cannot tell the rim from its chord.
func TestWhetherARuleCanTell(t *testing.T) {
	for degrees, cannot := range map[string]bool{"10": true, "19": true, "23": false, "52": false} {
		f, err := Read(degrees + " ABDC")
		require.NoError(t, err)
		r := one(t, f, given(t, map[Name]string{RimDiameter: "16 1/4 in"}), "straight rule")
		said := fmt.Sprint(r.Working)
		assert.Equal(t, cannot, strings.Contains(said, "cannot tell the two apart"), said)
		assert.Equal(t, !cannot, strings.Contains(said, "a tape or a strip of paper"), said)
	}
}

// The kinds of print are called as the schema calls them.
func TestKindsAreThoseOfTheSchema(t *testing.T) {
	var s struct {
		Defs map[string]json.RawMessage `json:"$defs"`
	}
	contract, err := os.ReadFile("../engine.schema.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(contract, &s))
	for _, k := range kinds {
		assert.Contains(t, s.Defs, k.name)
		f, err := ReadAs(k.name, strings.Split(k.kind.Example(), ",")[0])
		if err == nil {
			assert.Equal(t, k.kind, f.Kind)
		}
	}
	f, err := ReadAs("dimension", "13/16 in")
	require.NoError(t, err)
	assert.Equal(t, "20.64 mm", one(t, f, nil, "mm").Printed, "a dimension is known more closely than a reading")
}

func TestFiguresOfFiles(t *testing.T) {
	p, err := figure.Read(figure.RimPosition, "0.43 in before TDC")
	require.NoError(t, err)
	f, err := Of(p)
	require.NoError(t, err)
	assert.Equal(t, "3.03 BTDC", one(t, f, given(t, map[Name]string{RimDiameter: "16 1/4 in"}), "degrees").Printed)
	for kind, print := range map[figure.Kind]string{figure.Count: "28", figure.Angles: "0, 240", figure.Position: "illegible 37 ?/4"} {
		p, err := figure.Read(kind, print)
		require.NoError(t, err)
		_, err = Of(p)
		assert.Error(t, err, print)
	}
}
