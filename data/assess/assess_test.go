package assess_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/assess"
	"fourmarks.example/data/cautions"
	"fourmarks.example/schema"
)

// fileEngine reads an engine of the demo dataset.
func fileEngine(t testing.TB, id string) *schema.Engine {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "engines", id+".yaml"))
	require.NoError(t, err)
	return textEngine(t, string(text))
}

func textEngine(t testing.TB, text string) *schema.Engine {
	t.Helper()
	e, problems := schema.DecodeEngine(schema.ReadFile("engine.yaml", []byte(text)))
	require.Empty(t, problems)
	return e
}

func readingsOf(t testing.TB, text string) *schema.Readings {
	t.Helper()
	r, problems := schema.DecodeReadings(schema.ReadFile("readings.yaml", []byte("readings: 1\n"+text)))
	require.Empty(t, problems, text)
	return r
}

// lightSix assesses readings of the Light Six, whose figures at the checking
// clearance are 3 BTDC, 48 ABDC, 47 BBDC and 10 ATDC, and a tooth 360/28 degrees.
func lightSix(t testing.TB, readings string) *assess.Assessment {
	t.Helper()
	a, err := assess.Assess(fileEngine(t, "penhallow/light-six"), "", readingsOf(t, "read_at: checking clearance\nuncertainty: 1\n"+readings))
	require.NoError(t, err)
	return a
}

// late are readings of the Light Six with every event a tooth (12.86°) late.
const late = "cylinders: {1: {inlet_opens: 9.5 ATDC, inlet_closes: 61.3 ABDC, exhaust_opens: 33.8 BBDC, exhaust_closes: 22.9 ATDC}}\n"

func causes(a *assess.Assessment) (would, ruledOut []string, named string) {
	for _, m := range a.Explanations[0].Causes {
		said := strings.TrimSpace(string(m.Cause) + " " + m.Where)
		switch {
		case m.Named:
			named = said
		case len(m.Against) > 0:
			ruledOut = append(ruledOut, said)
		default:
			would = append(would, said)
		}
	}
	return would, ruledOut, named
}

func TestOneToothOut(t *testing.T) {
	a := lightSix(t, late)
	assert.Equal(t, assess.Explained, a.Verdict)
	require.NotNil(t, a.Explanations[0].LateDeg)
	assert.InDelta(t, (12.5+13.3+13.2+12.9)/4, *a.Explanations[0].LateDeg, 0.05)
	assert.Contains(t, a.Says[0], "which is 1 tooth (12.86°), leaving")
	would, ruledOut, named := causes(a)
	assert.Empty(t, named, "events cannot name one")
	assert.Equal(t, []string{"a timing wheel out by whole teeth idler", "a timing wheel out by whole teeth camshaft", "dead-centre mark or pointer out", "camshaft moved on its drive"}, would)
	assert.Equal(t, []string{"flywheel refitted in another position"}, ruledOut)
	require.NotNil(t, a.Next)
	assert.Contains(t, a.Next.What, "marks of the timing wheels")
	// Seen from the timing end the camshaft runs clockwise, so forward is clockwise,
	// and the idler the other way.
	require.NotNil(t, a.Correction)
	assert.Contains(t, a.Correction.Says, "turn camshaft 1 tooth forward, out of mesh with idler (clockwise seen from timing end)")
	assert.Contains(t, a.Correction.Says, "turn idler 1 tooth forward, out of mesh with crankshaft (anticlockwise seen from timing end)")
	assert.Contains(t, a.Correction.If, "only when it is certain")
	assert.InDelta(t, *a.Explanations[0].LateDeg-360.0/28, a.Correction.LeavesDeg, 0.01)
}

func TestReadingsBesideEventsNameTheCause(t *testing.T) {
	for name, c := range map[string]struct{ more, named string }{
		"marks of the camshaft":        {"wheel_marks: {idler: meet, camshaft: 1 tooth late}\n", "a timing wheel out by whole teeth camshaft"},
		"marks of the idler":           {"wheel_marks: {idler: 1 tooth late, camshaft: meet}\n", "a timing wheel out by whole teeth idler"},
		"a stop off the mark":          {"positive_stop: {before: 17 BTDC, after: 43 ATDC}\n", "dead-centre mark or pointer out"},
		"a stop at the mark":           {"positive_stop: {before: 30 BTDC, after: 30 ATDC}\n", ""}, // either wheel would do
		"a stop at the mark and marks": {"positive_stop: {before: 30 BTDC, after: 30 ATDC}\nwheel_marks: {idler: meet, camshaft: meet}\n", "camshaft moved on its drive"},
		"marks that meet":              {"wheel_marks: {idler: meet, camshaft: meet}\n", ""},
	} {
		t.Run(name, func(t *testing.T) {
			a := lightSix(t, late+c.more)
			require.Equal(t, assess.Explained, a.Verdict)
			_, _, named := causes(a)
			assert.Equal(t, c.named, named)
		})
	}
}

// A flywheel goes back by whole bolts: 60° of a turn with six, 51.4° with seven.
func TestAFlywheelMovesByItsBolts(t *testing.T) {
	const out = "cylinders: {1: {inlet_opens: 57 ATDC, inlet_closes: 72 BTDC, exhaust_opens: 13 ABDC, exhaust_closes: 70 ATDC}}\npositive_stop: {before: 30 ATDC, after: 90 ATDC}\n"
	a := lightSix(t, out+"flywheel_bolts: 6\n")
	would, _, named := causes(a)
	for _, m := range a.Explanations[0].Causes {
		if m.Cause == assess.Flywheel {
			assert.Contains(t, m.Says, "by 1 of its 6 bolts")
		}
	}
	assert.Empty(t, named)
	assert.ElementsMatch(t, []string{"dead-centre mark or pointer out", "flywheel refitted in another position"}, would)
	_, _, named = causes(lightSix(t, out+"flywheel_bolts: 7\n"))
	assert.Equal(t, "dead-centre mark or pointer out", named)
}

// A mark that is out is no reason to move the camshaft.
func TestAMarkOutMovesNoCamshaft(t *testing.T) {
	a := lightSix(t, late+"positive_stop: {before: 17 BTDC, after: 43 ATDC}\n")
	assert.Nil(t, a.Correction)
}

// Both openings late: the camshaft, or clearances that are wider.
func TestWhatFitsEquallyIsSaidToDoSo(t *testing.T) {
	a := lightSix(t, "cylinders: {1: {inlet_opens: 3 ATDC, exhaust_opens: 41 BBDC}}\n")
	assert.Equal(t, assess.CannotTell, a.Verdict)
	assert.Contains(t, strings.Join(a.Says, " "), "cannot tell")
	assert.Contains(t, strings.Join(a.Says, " "), "The first two fit the readings equally well")
	_, _, named := causes(a)
	assert.Empty(t, named)
	var classes []string
	for _, x := range a.Explanations {
		classes = append(classes, x.Class)
	}
	assert.Subset(t, classes, []string{"all events alike", "all valves short or long"})
	require.NotNil(t, a.Next)
	assert.Contains(t, a.Next.What, "closes of No. 1")
	assert.GreaterOrEqual(t, len(a.Next.Expected), 2)
	assert.Nil(t, a.Correction, "nothing is moved before it is known what is wrong")
}

func TestEveryKindOfExplanation(t *testing.T) {
	for name, c := range map[string]struct{ readings, class, says string }{
		"as it should be":           {"cylinders: {1: {inlet_opens: 2 BTDC, inlet_closes: 48.5 ABDC, exhaust_opens: 47 BBDC, exhaust_closes: 10.5 ATDC}}", "as it should be", "within the uncertainty"},
		"the running clearance":     {"cylinders: {1: {inlet_opens: 12 BTDC, inlet_closes: 57 ABDC, exhaust_opens: 54.5 BBDC, exhaust_closes: 17.5 ATDC}}", "all valves short or long", "as at the running clearance"},
		"one valve short":           {"cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, exhaust_opens: 42 BBDC, exhaust_closes: 5 ATDC}}", "exhaust valve short or long", "exhaust clearance of"},
		"one valve of two short":    {"cylinders: {1: {exhaust_opens: 47 BBDC, exhaust_closes: 10 ATDC}, 6: {exhaust_opens: 41 BBDC, exhaust_closes: 4 ATDC}}", "exhaust valve of No. 6 short or long", "exhaust valve of No. 6 opens late and closes early"},
		"inlet and exhaust":         {"cylinders: {1: {inlet_opens: 47 BBDC, inlet_closes: 10 ATDC, exhaust_opens: 3 BTDC, exhaust_closes: 48 ABDC}}", "inlet and exhaust interchanged", "interchanged"},
		"turned backwards":          {"cylinders: {1: {inlet_opens: 48 BBDC, inlet_closes: 3 ATDC, exhaust_opens: 10 BTDC, exhaust_closes: 47 ABDC}}", "engine turned backwards", "against its running direction"},
		"before for after":          {"cylinders: {1: {inlet_opens: 3 ATDC, inlet_closes: 48 BBDC, exhaust_opens: 47 ABDC, exhaust_closes: 10 BTDC}}", "before and after interchanged", "other side of its dead centre"},
		"the later variant":         {"cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: [52 ABDC, 52.2 ABDC, 51.9 ABDC], exhaust_opens: 47 BBDC, exhaust_closes: 10 ATDC}}", "figures of variant series-2", "variant series-2"},
		"another cylinder's centre": {"cylinders: {1: {inlet_opens: 117 ATDC, inlet_closes: 12 BTDC, exhaust_opens: 73 ABDC, exhaust_closes: 50 BBDC}}", "all events alike", "120° ± "},
	} {
		t.Run(name, func(t *testing.T) {
			a := lightSix(t, c.readings)
			assert.Equal(t, assess.Explained, a.Verdict, a.Says)
			assert.Equal(t, c.class, a.Explanations[0].Class)
			assert.Contains(t, strings.Join(a.Says, " "), c.says)
		})
	}
}

func TestTheOtherRevolution(t *testing.T) {
	const fine = "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, exhaust_opens: 47 BBDC, exhaust_closes: 10 ATDC}}\n"
	a := lightSix(t, fine)
	assert.True(t, a.Sound())
	assert.Contains(t, strings.Join(a.Says, " "), "whole turn of the crank out events cannot tell")

	out := lightSix(t, fine+"revolution: {ignition_at: 1, on_the_rock: 1}\n")
	assert.False(t, out.Sound())
	assert.Contains(t, out.Says[0], "a whole turn of the crank (360°) out")

	right := lightSix(t, fine+"revolution: {ignition_at: 1, on_the_rock: 6}\n")
	assert.True(t, right.Sound())
	_, ruledOut, named := causes(right)
	assert.Equal(t, "as it should be", named)
	assert.Equal(t, []string{"a turn of the crank out"}, ruledOut)
}

// A clearance felt again parts a wrong clearance from a worn lobe. By the drawing
// of the exhaust cam 5 crank degrees later and earlier is what the valve does at
// 35 thou in place of 20 (the arcs of the test's own geometry, below).
func TestClearanceOrWornLobe(t *testing.T) {
	const short = "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, exhaust_opens: 42 BBDC, exhaust_closes: 5 ATDC}}\n"
	_, _, named := causes(lightSix(t, short))
	assert.Empty(t, named)
	_, _, named = causes(lightSix(t, short+"clearance: {felt_again: {exhaust: 20 thou}}\n"))
	assert.Equal(t, "worn lobe exhaust", named)

	table := arcs{0.5 * 25.4, 2.3 * 25.4, 0.205 * 25.4, 0.29 * 25.4}.lifts()
	wide := 20.0
	for opens(table, 20*thou/1.08)-opens(table, wide*thou/1.08) < 5 {
		wide += 0.1
	}
	_, _, named = causes(lightSix(t, short+"clearance: {felt_again: {exhaust: "+decimal(wide)+" thou}}\n"))
	assert.Equal(t, "clearance not what was said exhaust", named)
}

// Readings at a clearance for which no figure is printed are held against what
// the cam makes of the figures.
func TestFiguresAreTakenToTheClearanceThatWasSet(t *testing.T) {
	table := arcs{0.5 * 25.4, 2.25 * 25.4, 0.17 * 25.4, 0.29 * 25.4}.lifts()
	shift := opens(table, 20*thou/1.08) - opens(table, 12*thou/1.08)
	require.Less(t, shift, -3.0)
	e := fileEngine(t, "penhallow/light-six")
	a, err := assess.Assess(e, "", readingsOf(t, "read_at: checking clearance\nuncertainty: 1\nclearance: {measured_at: valve, inlet: 12 thou, exhaust: 20 thou}\ncylinders: {1: {inlet_opens: "+
		decimal(3-shift)+" BTDC, inlet_closes: "+decimal(48-shift)+" ABDC, exhaust_opens: 47 BBDC, exhaust_closes: 10 ATDC}}\n"))
	require.NoError(t, err)
	assert.Equal(t, "as it should be", a.Explanations[0].Class)
	assert.InDelta(t, 0, a.Compared[0].LateDeg, 0.3)
	assert.InDelta(t, 0, a.Compared[1].LateDeg, 0.3)
}

// The tests' own figures of backlash: a closing valve reads early by up to all of
// it, so that 2° early says nothing where the backlash is 2°.
func TestBacklashExcusesAnEarlyClosing(t *testing.T) {
	const readings = "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 45.5 ABDC, exhaust_opens: 47 BBDC, exhaust_closes: 7.5 ATDC}}\n"
	without := lightSix(t, "approached: running\n"+readings)
	with := lightSix(t, "approached: running\nbacklash: 3\n"+readings)
	assert.NotEqual(t, "as it should be", without.Explanations[0].Class)
	assert.Equal(t, "as it should be", with.Explanations[0].Class)
}

func TestRepeatsCount(t *testing.T) {
	once := lightSix(t, late)
	often := lightSix(t, "cylinders: {1: {inlet_opens: [9.5 ATDC, 9.9 ATDC, 10.1 ATDC, 9.9 ATDC], inlet_closes: [61.3 ABDC, 60.8 ABDC, 60.5 ABDC], exhaust_opens: 33.8 BBDC, exhaust_closes: 22.9 ATDC}}\n")
	assert.Less(t, *often.Explanations[0].UncertaintyDeg, *once.Explanations[0].UncertaintyDeg)
}

// One event read wrongly: nothing fits, and the reading is named.
func TestTheOddReadingIsNamed(t *testing.T) {
	a := lightSix(t, "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, exhaust_opens: 47 BBDC, exhaust_closes: 30 ATDC}}\n")
	assert.Equal(t, assess.NothingFits, a.Verdict)
	assert.Contains(t, strings.Join(a.Says, " "), "Without exhaust closes of No. 1 one thing explains the others (as it should be)")
	assert.Nil(t, a.Next)
	assert.Nil(t, a.Correction)
}

func TestMarksAgainstEventsAreSaid(t *testing.T) {
	a := lightSix(t, "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC, exhaust_opens: 47 BBDC, exhaust_closes: 10 ATDC}}\nwheel_marks: {camshaft: 1 tooth late}\n")
	assert.Equal(t, assess.NothingFits, a.Verdict)
	assert.Contains(t, strings.Join(a.Says, " "), "the marks of camshaft stand 1 tooth late")
}

// Chainwheel with three keyways, and keys of 2 and 4 degrees.
func TestCorrectionUsesWhatTheEngineAllows(t *testing.T) {
	e := fileEngine(t, "aubrelle/six-cv")
	// 5.45° is a third of its tooth of 16.36: one keyway on, less five teeth.
	a, err := assess.Assess(e, "", readingsOf(t, "read_at: checking clearance\nuncertainty: 1\ncylinders: {1: {inlet_opens: 6.4 ATDC, inlet_closes: 44.5 ABDC, exhaust_opens: 35.6 BBDC, exhaust_closes: 2.4 ATDC}}\n"+
		"positive_stop: {before: 30 BTDC, after: 30 ATDC}\nwheel_marks: {camshaft: meet}\n"))
	require.NoError(t, err)
	_, _, named := causes(a)
	assert.Equal(t, "camshaft moved on its drive", named)
	require.NotNil(t, a.Correction)
	assert.Empty(t, a.Correction.If)
	assert.LessOrEqual(t, a.Correction.LeavesDeg, 1.0)
	assert.Contains(t, a.Correction.Says, "within 1°")
}

func TestTwoCamshaftsAreToldApart(t *testing.T) {
	var two *engine
	for i := range 8 {
		if e := generated(i); e.wheels[0].valve != 0 {
			two = e
		}
	}
	ev := two.events
	a, err := assess.Assess(textEngine(t, two.text), "", readingsOf(t, "read_at: checking clearance\nuncertainty: 1\ncylinders: {1: {inlet_opens: "+printed(io, ev[io]-20, "%.1f")+
		", inlet_closes: "+printed(ic, ev[ic]+20, "%.1f")+", exhaust_opens: "+printed(eo, ev[eo], "%.1f")+", exhaust_closes: "+printed(ec, ev[ec], "%.1f")+"}}\n"))
	require.NoError(t, err)
	assert.Equal(t, "inlet events alike", a.Explanations[0].Class)
	assert.Contains(t, a.Says[0], "very inlet event is 20°")
	would, _, _ := causes(a)
	assert.Contains(t, would, "a timing wheel out by whole teeth inlet wheel")
	require.NotNil(t, a.Correction)
	assert.Equal(t, "inlet camshaft", a.Correction.Drive)
}

func TestCautionsStandOnEveryAssessment(t *testing.T) {
	e := fileEngine(t, "penhallow/light-six")
	for _, readings := range []string{late, "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\n", "checks: {vacuum: 18 inHg}\n"} {
		a, err := assess.Assess(e, "", readingsOf(t, "read_at: checking clearance\n"+readings+"\n"))
		if strings.HasPrefix(readings, "checks") {
			require.Error(t, err)
			continue
		}
		require.NoError(t, err)
		assert.Equal(t, cautions.For(e), a.Cautions)
	}
}
