package assess_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

// Readings that cannot be used are refused, with the line and column of the one
// that is to blame. The first line of each file is `readings: 1`.
func TestBadReadingsAreRefusedByPlace(t *testing.T) {
	const at = "read_at: checking clearance\nuncertainty: 1\n"
	for name, c := range map[string]struct {
		engine, readings string
		want             []string
	}{
		"an outlier among repeats": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: [3 BTDC, 4 BTDC, 13 BTDC], inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:4:47: inlet opens of No. 1 was read as 13 BTDC here, 9° from the middle of its repeats"}},
		"two that differ": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: [3 BTDC, 13 BTDC], inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:4:39: ", "3 BTDC and as 13 BTDC, 10° apart", "one of the two is wrong"}},
		"no such cylinder": {"penhallow/light-six", at + "cylinders: {7: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:4:13: there is no cylinder 7", "has 6"}},
		"one event": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: 3 BTDC}}",
			[]string{"fewer than two events"}},
		"no clearance named": {"penhallow/light-six", "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}",
			[]string{"say at which clearance the events were read", "running clearance, checking clearance"}},
		"another clearance": {"penhallow/light-six", "read_at: hot clearance\ncylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:2:10: ", "has no events read at \"hot clearance\"; it has them at: running clearance, checking clearance"}},
		"a clearance that no figure is for": {"garrowmoor/model-k", "read_at: running clearance\nclearance: {measured_at: valve, inlet: 25 thou, exhaust: 25 thou}\ncylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:3:40: the inlet figures are at 0.012 in (0.30 mm)", "because the cam is not known"}},
		"no rim diameter": {"aubrelle/duo-500", "read_at: running clearance\ncylinders: {1: {inlet_opens: 1/2 in ATDC rim, inlet_closes: 40 ABDC}}",
			[]string{"readings.yaml:3:30: ", "needs the diameter of the rim, which neither the engine's file nor the readings give"}},
		"opening for closing": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: 48 ABDC, inlet_closes: 3 BTDC}}",
			[]string{"readings.yaml:4:53: the inlet of No. 1 was read to open at 48 ABDC and to close at 3 BTDC, which is open for 129°", "they are interchanged"}},
		"a stop on one side": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\npositive_stop: {before: 29 ATDC, after: 31 BTDC}",
			[]string{"readings.yaml:5:41: ", "top dead centre does not lie between them; are the two interchanged?"}},
		"a wheel it does not have": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\nwheel_marks: {distributor: meet}",
			[]string{"readings.yaml:5:15: ", "no driven timing wheel \"distributor\"; it has: idler and camshaft"}},
		"a cylinder that cannot rock": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\nrevolution: {ignition_at: 1, on_the_rock: 3}",
			[]string{"readings.yaml:5:43: with the ignition at No. 1 the cylinder on the rock is No. 6", "it cannot be No. 3"}},
		"a backlash of half a turn": {"penhallow/light-six", at + "backlash: 90\ncylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:4:11: a backlash of 90 crank degrees cannot be"}},
		"a limit": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: 3 BTDC minimum, inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:4:30: ", "is a limit; write what was read"}},
		"a word for nothing": {"penhallow/light-six", at + "cylinders: {1: {inlet_opens: unknown, inlet_closes: 48 ABDC}}",
			[]string{"readings.yaml:4:30: inlet opens was not read; leave it out"}},
		"a valve that nothing drives": {"hollincrake/six-horse", "read_at: running clearance\ncylinders: {1: {inlet_opens: 3 BTDC, exhaust_opens: 16 3/4 in BBDC rim, exhaust_closes: 4 in ATDC rim}}",
			[]string{"readings.yaml:3:30: ", "has no such event", "\"none\""}},
	} {
		t.Run(name, func(t *testing.T) {
			a, err := assess.Assess(fileEngine(t, c.engine), "", readingsOf(t, c.readings))
			require.Error(t, err, "%v", a)
			refused := (*assess.Refused)(nil)
			require.ErrorAs(t, err, &refused)
			for _, want := range c.want {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
}

// Figures that do not say at which clearance they hold are asked for as such.
func TestFiguresThatDoNotSayAtWhichClearance(t *testing.T) {
	e := textEngine(t, "format: 1\nengine: a/b\ntitle: B\nevents: {timing: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\n")
	const read = "uncertainty: 1\ncylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\n"
	_, err := assess.Assess(e, "", readingsOf(t, read))
	assert.ErrorContains(t, err, "`read_at: not given`")
	a, err := assess.Assess(e, "", readingsOf(t, "read_at: not given\n"+read))
	require.NoError(t, err)
	assert.True(t, a.Sound())
}

func TestATwoStrokeHasNoCamshaft(t *testing.T) {
	e := textEngine(t, "format: 1\nengine: a/b\ntitle: B\nlayout: {cycle: two-stroke, cylinders: 1}\n")
	_, err := assess.Assess(e, "", readingsOf(t, "read_at: not given\n"))
	assert.ErrorContains(t, err, "two-stroke")
}

func TestAnotherVariantIsRefusedByName(t *testing.T) {
	_, err := assess.Assess(fileEngine(t, "penhallow/light-six"), "series-9", readingsOf(t, "read_at: checking clearance\n"))
	assert.ErrorContains(t, err, "no variant series-9")
}

// Whatever a file of readings holds, it is assessed or refused: never a panic,
// never an answer that is not a number.
func FuzzAssess(f *testing.F) {
	f.Add("read_at: checking clearance\ncylinders: {1: {inlet_opens: [3 BTDC, 4 BTDC], inlet_closes: 48 ABDC}, 6: {exhaust_closes: 3 in ATDC rim}}\npositive_stop: {before: 31 BTDC, after: 29 ATDC}\n")
	f.Add("read_at: running clearance\nclearance: {measured_at: valve, inlet: 9 thou, felt_again: {inlet: 9 thou}}\nbacklash: 2\napproached: against\ncylinders: {1: {inlet_opens: 99 BTDC, exhaust_opens: 180 BBDC}}\nwheel_marks: {idler: 1 tooth late}\nflywheel_bolts: 6\n")
	f.Add("read_at: checking clearance\ncylinders: {1: {inlet_opens: 0 BTDC, inlet_closes: 0 ABDC}}\nrevolution: {ignition_at: 1, on_the_rock: 1}\nchecks: {compression: {1: 60 psi}, vacuum: 18 inHg, altitude: \"9,000 ft\"}\n")
	e := fileEngine(f, "penhallow/light-six")
	f.Fuzz(func(t *testing.T, text string) {
		r, problems := schema.DecodeReadings(schema.ReadFile("readings.yaml", []byte("readings: 1\n"+text)))
		if len(problems) > 0 {
			return
		}
		a, err := assess.Assess(e, "", r)
		if err != nil {
			return
		}
		total := 0.0
		for _, x := range a.Explanations {
			assert.GreaterOrEqual(t, x.Share, 0.0)
			total += x.Share
		}
		assert.LessOrEqual(t, total, 1.0000001)
		for _, c := range a.Compared {
			assert.LessOrEqual(t, c.LateDeg, 180.0)
			assert.GreaterOrEqual(t, c.LateDeg, -180.0)
		}
	})
}
