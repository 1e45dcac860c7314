package gear

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/convert/internal/published"
	"fourmarks.example/convert/interval"
)

func must[T any](t testing.TB) func(T, error) T {
	return func(x T, err error) T {
		t.Helper()
		require.NoError(t, err)
		return x
	}
}

// clockwise is a crankshaft for trains whose direction is not the point.
var clockwise = Turning{Sense: Clockwise, SeenFrom: "timing end"}

// train makes a train of external meshes from teeth: "28 > 45 > 56", "22 > 23 + 24 > 46".
func train(t testing.TB, text string, meshes ...Mesh) *Train {
	t.Helper()
	wheels := map[string]Wheel{}
	names := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(">+ ", r) })
	for _, name := range names {
		digits := strings.TrimLeft(name, "abcdefghijklmnopqrstuvwxyz")
		teeth, ok := new(big.Int).SetString(digits, 10)
		require.True(t, ok, name)
		wheels[name] = Wheel{Teeth: int(teeth.Int64())}
	}
	if len(meshes) == 0 {
		meshes = []Mesh{{Kind: External}}
	}
	return must[*Train](t)(ParseTrain(text, clockwise, wheels, meshes...))
}

func ratio(t testing.TB, tr *Train, wheel string) float64 {
	t.Helper()
	return toFloat(must[*big.Rat](t)(tr.Turns(wheel)))
}

const notebook = "Drivetrain Hub, notebooks-gears, geometry, chapter 3, commit 8f32185 (2021-02-22)"

// The pair of 17 and 35 teeth that the notebook works through.
func notebookValues(t *testing.T) []published.Value {
	f := Form{NormalModule: 1, HelixDeg: 15, PressureDeg: 20}
	p := must[Pitches](t)(f.Pitches())
	d1 := must[Dimensions](t)(f.Wheel(17, 0.2))
	d2 := must[Dimensions](t)(f.Wheel(35, -0.1))
	pair := must[Pair](t)(f.Pair(External, [2]int{17, 35}, [2]float64{0.2, -0.1}))
	w := must[Working](t)(pair.At(27.5))
	cone := must[Dimensions](t)(Form{NormalModule: 2 * math.Cos(math.Pi/6) / 12, HelixDeg: 30, PressureDeg: 20}.Wheel(12, 0))

	omega1 := 100 * 2 * math.Pi / 60
	omega2 := omega1 * 17 / 35
	// Path of contact from tip circles, base circles and the working angle.
	path := math.Sqrt(d1.TipDiameter*d1.TipDiameter-d1.BaseDiameter*d1.BaseDiameter)/2 +
		math.Sqrt(d2.TipDiameter*d2.TipDiameter-d2.BaseDiameter*d2.BaseDiameter)/2 -
		27.5*math.Sin(rad(w.PressureDeg))
	free := func(diameter float64) float64 { return printedBacklashDeg(t, diameter) }
	return []published.Value{
		{What: "transverse module", Got: p.TransverseModule, Printed: "1.035276"},
		{What: "transverse pressure angle", Got: p.TransversePressureDeg, Printed: "20.646896"},
		{What: "pitch diameter 1", Got: d1.ReferenceDiameter, Printed: "17.599695"},
		{What: "pitch diameter 2", Got: d2.ReferenceDiameter, Printed: "36.234666"},
		{What: "base diameter 1", Got: d1.BaseDiameter, Printed: "16.469288"},
		{What: "base diameter 2", Got: d2.BaseDiameter, Printed: "33.907359"},
		{What: "tip diameter 1", Got: d1.TipDiameter, Printed: "19.999695"},
		{What: "tip diameter 2", Got: d2.TipDiameter, Printed: "38.034666"},
		{What: "root diameter 1", Got: d1.RootDiameter, Printed: "15.499695"},
		{What: "root diameter 2", Got: d2.RootDiameter, Printed: "33.534666"},
		{What: "reference centre distance", Got: pair.ReferenceCentreDistance, Printed: "26.917181"},
		{What: "zero-backlash centre distance", Got: pair.CentreDistance, Printed: "27.015921"},
		{What: "working pressure angle", Got: w.PressureDeg, Printed: "23.660563"},
		{What: "working pitch diameter 1", Got: w.Diameters[0], Printed: "17.980769"},
		{What: "working pitch diameter 2", Got: w.Diameters[1], Printed: "37.019231"},
		{What: "transverse pitch", Got: p.Transverse, Printed: "3.252416"},
		{What: "normal pitch", Got: p.Normal, Printed: "3.141593"},
		{What: "axial pitch", Got: p.Axial, Printed: "12.138182"},
		{What: "base helix angle", Got: p.BaseHelixDeg, Printed: "14.076095"},
		{What: "lead 1", Got: d1.Lead, Printed: "206.349093"},
		{What: "ratio", Got: 1 / ratio(t, train(t, "17 > 35"), "35"), Printed: "2.058824"},
		{What: "speed of 2 at 100 rpm", Got: 100 * ratio(t, train(t, "17 > 35"), "35"), Printed: "48.571429"},
		{What: "transverse diametral pitch", Got: 25.4 / p.TransverseModule, Printed: "24.534516"},
		{What: "normal diametral pitch", Got: must[interval.Interval](t)(ModuleOfDiametralPitch(interval.Point(1))).Mid(), Printed: "25.4"},
		{What: "radial backlash", Got: 27.5 - pair.CentreDistance, Printed: "0.484079"},
		{What: "tip clearance", Got: 27.5 - d1.TipDiameter/2 - d2.RootDiameter/2, Printed: "0.732819"},
		{What: "normal base pitch, table 2", Got: p.NormalBase, Printed: "2.952131"},
		{What: "transverse base pitch", Got: p.TransverseBase, Printed: "3.043517"},
		{What: "path of contact", Got: path, Printed: "3.252964"},
		{What: "transverse contact ratio", Got: path / p.TransverseBase, Printed: "1.068817"},
		{What: "overlap ratio, face width 9", Got: 9 / p.Axial, Printed: "0.741462"},
		{What: "lead at radius 1, helix 30", Got: cone.Lead, Printed: "10.88"},

		{What: "FLAG-13 normal base pitch, table 1", Got: p.NormalBase, Printed: "9.274394", Wrong: "π applied twice"},
		{What: "FLAG-13 cause", Got: math.Pi * p.NormalBase, Printed: "9.274394"},
		{What: "FLAG-14 pitch line velocity, mm/s", Got: omega1 * w.Diameters[0] / 2, Printed: "188.294175", Wrong: "diameter times angular speed instead of radius"},
		{What: "FLAG-14 cause", Got: omega1 * w.Diameters[0], Printed: "188.294175"},
		{What: "FLAG-14 corrected", Got: omega1 * w.Diameters[0] / 2, Printed: "94.147"},
		{What: "circumferential backlash", Got: w.Backlash, Printed: "0.424197", Wrong: "taken as if the working angle held all the way from the centre distance without backlash; the teeth leave 0.403734"},
		{What: "circumferential backlash, cause", Got: 2 * (27.5 - pair.CentreDistance) * math.Tan(rad(w.PressureDeg)), Printed: "0.424197"},
		{What: "FLAG-33 angular backlash 1, degrees", Got: free(w.Diameters[0]), Printed: "0.047183", Wrong: "printed as degrees, but it is radians"},
		{What: "FLAG-33 angular backlash 2, degrees", Got: free(w.Diameters[1]), Printed: "0.022918", Wrong: "printed as degrees, but it is radians"},
		{What: "FLAG-33 cause 1", Got: rad(free(w.Diameters[0])), Printed: "0.047183"},
		{What: "FLAG-33 cause 2", Got: rad(free(w.Diameters[1])), Printed: "0.022918"},
		{What: "FLAG-34 sum of sliding velocities, m/s", Got: (omega1 + omega2) * path / 1000, Printed: "50.61", Wrong: "18.476 and 32.134 are millimetres a second, not metres"},
		{What: "FLAG-34 corrected, mm/s", Got: (omega1 + omega2) * path, Printed: "50.61"},
	}
}

// printedBacklashDeg returns the notebook's backlash of 0.424197 mm in degrees
// of the wheel with the given working pitch diameter.
func printedBacklashDeg(t *testing.T, diameter float64) float64 {
	return must[interval.Interval](t)(BacklashDeg(interval.Point(0.424197), interval.Point(diameter))).Mid()
}

// Values computed independently (another program, double precision) from the
// same pair; the notebook does not print them.
func notebookComputed(t *testing.T) []published.Value {
	f := Form{NormalModule: 1, HelixDeg: 15, PressureDeg: 20}
	w := must[Working](t)(must[Pair](t)(f.Pair(External, [2]int{17, 35}, [2]float64{0.2, -0.1})).At(27.5))
	turned := func(teeth int) float64 {
		return must[interval.Interval](t)(RotationFromTravel(interval.Point(1), interval.Point(15), interval.Point(1), teeth)).Mid()
	}
	return []published.Value{
		{What: "lead 2", Got: must[Dimensions](t)(f.Wheel(35, -0.1)).Lead, Printed: "424.836367"},
		{What: "rotation of 1 for 1 mm", Got: turned(17), Printed: "1.744616"},
		{What: "rotation of 2 for 1 mm", Got: turned(35), Printed: "0.847385"},
		{What: "FLAG-33 corrected 1, degrees", Got: printedBacklashDeg(t, w.Diameters[0]), Printed: "2.7034"},
		{What: "FLAG-33 corrected 2, degrees", Got: printedBacklashDeg(t, w.Diameters[1]), Printed: "1.3131"},
	}
}

// The pair of 12 and 60 teeth: inputs from memory of a gear maker's technical
// reference, outputs computed independently and not compared with its print.
func shiftedPairValues(t *testing.T) []published.Value {
	f := Form{NormalModule: 3, HelixDeg: 30, PressureDeg: 20}
	p := must[Pitches](t)(f.Pitches())
	d1 := must[Dimensions](t)(f.Wheel(12, 0.09809))
	d2 := must[Dimensions](t)(f.Wheel(60, 0))
	pair := must[Pair](t)(f.Pair(External, [2]int{12, 60}, [2]float64{0.09809, 0}))
	w := must[Working](t)(pair.At(pair.CentreDistance))
	tip1, tip2 := d1.TipDiameter-2*pair.Shortening, d2.TipDiameter-2*pair.Shortening
	return []published.Value{
		{What: "transverse module", Got: p.TransverseModule, Printed: "3.46410"},
		{What: "transverse pressure angle", Got: p.TransversePressureDeg, Printed: "22.79588"},
		{What: "involute of the working angle", Got: involute(rad(pair.WorkingPressureDeg)), Printed: "0.0234052"},
		{What: "working pressure angle", Got: pair.WorkingPressureDeg, Printed: "23.11263"},
		{What: "centre distance factor y", Got: (pair.CentreDistance - pair.ReferenceCentreDistance) / 3, Printed: "0.09745"},
		{What: "centre distance", Got: pair.CentreDistance, Printed: "125.000"},
		{What: "pitch diameter 1", Got: d1.ReferenceDiameter, Printed: "41.569"},
		{What: "pitch diameter 2", Got: d2.ReferenceDiameter, Printed: "207.846"},
		{What: "base diameter 1", Got: d1.BaseDiameter, Printed: "38.322"},
		{What: "base diameter 2", Got: d2.BaseDiameter, Printed: "191.611"},
		{What: "working pitch diameter 1", Got: w.Diameters[0], Printed: "41.667"},
		{What: "working pitch diameter 2", Got: w.Diameters[1], Printed: "208.333"},
		{What: "addendum 1", Got: (tip1 - d1.ReferenceDiameter) / 2, Printed: "3.292"},
		{What: "addendum 2", Got: (tip2 - d2.ReferenceDiameter) / 2, Printed: "2.998"},
		{What: "whole depth", Got: (tip1 - d1.RootDiameter) / 2, Printed: "6.748"},
		{What: "tip diameter 1", Got: tip1, Printed: "48.154"},
		{What: "tip diameter 2", Got: tip2, Printed: "213.842"},
		{What: "root diameter 1", Got: d1.RootDiameter, Printed: "34.658"},
		{What: "root diameter 2", Got: d2.RootDiameter, Printed: "200.346"},
		{What: "reference centre distance", Got: pair.ReferenceCentreDistance, Printed: "124.7077"},
		{What: "lead 1", Got: d1.Lead, Printed: "226.1947"},
		{What: "lead 2", Got: d2.Lead, Printed: "1130.9734"},
		{What: "backlash where there is none", Got: w.Backlash, Printed: "0.000000000"},
	}
}

func pairValues(t *testing.T, rows ...[5]string) []published.Value {
	var out []published.Value
	for _, r := range rows {
		var z [2]int
		for i := range z {
			n, ok := new(big.Int).SetString(r[i], 10)
			require.True(t, ok)
			z[i] = int(n.Int64())
		}
		m := must[Meeting](t)(MeetAgain(z[0], z[1]))
		name := r[0] + "/" + r[1]
		out = append(out,
			published.Value{What: name + " tooth meetings", Got: float64(m.Teeth), Printed: r[2]},
			published.Value{What: name + " pinion turns", Got: float64(m.First), Printed: r[3]},
			published.Value{What: name + " wheel turns", Got: float64(m.Second), Printed: r[4]})
	}
	return out
}

func chainValues(t *testing.T) []published.Value {
	var out []published.Value
	for _, c := range []struct {
		teeth int
		want  string
	}{
		{17, "51.837"}, {18, "54.852"}, {19, "57.869"}, {20, "60.888"}, {21, "63.908"},
		{23, "69.951"}, {34, "103.231"}, {36, "109.287"}, {38, "115.344"}, {42, "127.459"},
	} {
		out = append(out, published.Value{What: "pitch diameter", Got: must[float64](t)(ChainPitchDiameter(9.525, c.teeth)), Printed: c.want})
	}
	return out
}

func TestPublishedSources(t *testing.T) {
	hunting := must[Meeting](t)(MeetAgain(11, 31))
	step19 := must[*big.Rat](t)(Coupling{19, 20}.Step())
	meets := func(tr *Train, marked ...string) float64 {
		n := must[*big.Int](t)(tr.MeetAgain(marked...))
		return float64(n.Int64())
	}
	magneto := train(t, "30 > 20")
	coupling := must[Adjustment](t)(magneto.Coupling("20", Coupling{19, 20}))
	bevels := []Mesh{{Kind: Bevel}}
	overhead := train(t, "22 > a23 + b23 > 44", bevels...)

	published.Table(t, []published.Source{
		{Name: notebook, Values: notebookValues(t)},
		{Name: "computed independently for the same pair", Values: notebookComputed(t)},
		{Name: "pair 12/60: inputs from memory, outputs computed independently", Values: shiftedPairValues(t)},
		{
			Name: "Encyclopaedia Britannica, 11th ed., vol. 17, Mechanics, eqs. 20-22 (rule; pairs computed from it)",
			Values: pairValues(t,
				[5]string{"22", "23", "506", "23", "22"},
				[5]string{"23", "44", "1012", "44", "23"},
				[5]string{"16", "32", "32", "2", "1"},
				[5]string{"24", "32", "96", "4", "3"},
				[5]string{"28", "56", "56", "2", "1"}),
		},
		{
			Name: "Gleason, Gear Technology Solutions, p. 96",
			Values: pairValues(t,
				[5]string{"11", "30", "330", "30", "11"},
				[5]string{"11", "31", "341", "31", "11"},
				[5]string{"21", "22", "462", "22", "21"}),
		},
		{
			Name: "geartechnology.com, keyword page hunting mesh",
			Values: []published.Value{
				{What: "FLAG-15 pinion turns of 11/31", Got: float64(hunting.First), Printed: "341", Wrong: "the product counts tooth meetings, not turns"},
				{What: "FLAG-15 cause", Got: float64(hunting.Teeth), Printed: "341"},
			},
		},
		{
			Name: "B. Hayes, On the Teeth of Wheels, American Scientist 88 (2000), 296-300",
			Values: []published.Value{
				{What: "6/200 x 5/216", Got: 1 / ratio(t, train(t, "a6 > 200 + b5 > 216"), "216"), Printed: "1440"},
				{What: "6/72 x 6/60 x 5/60", Got: 1 / ratio(t, train(t, "a6 > 72 + b6 > a60 + c5 > b60"), "b60"), Printed: "1440"},
			},
		},
		{
			Name: "da7c.co.uk, technical torque articles, magneto coupling",
			Values: []published.Value{
				{What: "steps of 20 and 19 in one turn", Got: 360 / toFloat(step19), Printed: "380"},
			},
		},
		{
			Name: "computed: coupling of 19 and 20 on a magneto at 1.5",
			Values: []published.Value{
				{What: "step at the magneto", Got: toFloat(step19), Printed: "0.947"},
				{What: "step at the crankshaft", Got: toFloat(coupling.StepDeg()), Printed: "0.632"},
			},
		},
		{
			Name: "Velocette KSS/KTS Mk II instruction book, dunhackin.com, Checking the valve timing (P03)",
			Values: []published.Value{
				{What: "(22/23)(23/44), crank turns for one of the camshaft", Got: 1 / ratio(t, overhead, "44"), Printed: "2"},
				{What: "computed: turns of the flywheels until the bottom bevels meet", Got: meets(overhead, "a23"), Printed: "23"},
				{What: "computed: turns of the flywheels until all meet", Got: meets(overhead), Printed: "46"},
				{What: "at most so many turns of the flywheels to find the mark", Got: meets(overhead, "a23") - 1, Printed: "21", Wrong: "22 may be needed; 21 is the most in turns of the bottom bevel, or 23 put for 22 teeth"},
				{What: "the same in turns of the bottom bevel", Got: float64(must[Meeting](t)(MeetAgain(22, 23)).Second - 1), Printed: "21"},
			},
		},
		{
			Name: "cld.bz/bookdata/QLPD1h, page 15 (motorcycle manual): three keyways, thirds of a tooth (rule; counts ours)",
			Values: []published.Value{
				{What: "a pinion of 22 teeth", Got: 1 / toFloat(must[*big.Rat](t)(KeywayStep(3, 22))), Printed: "3"},
				{What: "a pinion of 23 teeth", Got: 1 / toFloat(must[*big.Rat](t)(KeywayStep(3, 23))), Printed: "3"},
			},
		},
		{
			Name: "computed: four holes at 90 degrees, half a tooth only where teeth leave 2 when divided by 4",
			Values: []published.Value{
				{What: "22 teeth", Got: toFloat(must[*big.Rat](t)(KeywayStep(4, 22))), Printed: "0.50"},
				{What: "24 teeth", Got: toFloat(must[*big.Rat](t)(KeywayStep(4, 24))), Printed: "1.00"},
				{What: "23 teeth", Got: toFloat(must[*big.Rat](t)(KeywayStep(4, 23))), Printed: "0.25"},
			},
		},
		{Name: "ISO 606 and ANSI B29.1, pitch 0.375 in: formula from memory, values computed", Values: chainValues(t)},
		{
			Name: "common practice, no source: travel that turns helical wheels by whole teeth",
			Values: []published.Value{
				{What: "1.64 in at 22.5 degrees and 10 DP, teeth", Got: must[interval.Interval](t)(TeethTurned(interval.Point(1.64*25.4), interval.Point(22.5), interval.Point(2.54))).Mid(), Printed: "2.00"},
			},
		},
	})
}

// P09, US Army TM 5-3895-382-24: one tooth of the camshaft wheel is 23 mm on a
// pulley of 203 mm, 35 on 310 and 37 on 327. The number of teeth is not
// printed; of all crankshaft wheels 28 alone fits the three.
func TestToothCountFromRimDistances(t *testing.T) {
	var fit []int
	for teeth := 10; teeth <= 60; teeth++ {
		pair := must[*Train](t)(NewTrain(clockwise, [][]Wheel{{{Name: "crankshaft", Teeth: teeth}}, {{Name: "camshaft", Teeth: 2 * teeth}}}, []Mesh{{Kind: External}}))
		step := toFloat(must[*big.Rat](t)(pair.ToothStep("camshaft")))
		fits := true
		for _, rim := range []struct{ diameter, distance float64 }{{203, 23}, {310, 35}, {327, 37}} {
			fits = fits && math.Abs(math.Pi*rim.diameter*step/360-rim.distance) <= 0.5
		}
		if fits {
			fit = append(fit, teeth)
		}
	}
	require.Equal(t, []int{28}, fit)
}

// The chain lengths printed for Rover 2000 (rover-classics.co.uk, engine2000),
// Triumph Stag (triumphstag.net, engine_mk1) and Austin A40 (manualshelf.com,
// p. 65) are even.
func TestPublishedChainsAreEven(t *testing.T) {
	for _, pitches := range []int{74, 78, 104, 106, 52} {
		require.NoError(t, CheckPitches(pitches))
		require.ErrorContains(t, CheckPitches(pitches+1), "cranked link")
	}
}
