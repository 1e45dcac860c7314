package assess_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

// Moving every reading by one angle is found as that angle.
func TestAnAngleIsFoundAsItIs(t *testing.T) {
	e := fileEngine(t, "penhallow/eighteen") // 4 BTDC, 48 ABDC, 46 BBDC, 6 ATDC
	figures := [4]float64{-4, 228, 134, 6}
	rapid.Check(t, func(t *rapid.T) {
		by := rapid.Float64Range(4, 24).Draw(t, "by")
		if rapid.Bool().Draw(t, "early") {
			by = -by
		}
		var b strings.Builder
		for i, at := range figures {
			fmt.Fprintf(&b, "%s: %s, ", eventKeys[i], (&engine{}).position(at+by))
		}
		r, problems := schema.DecodeReadings(schema.ReadFile("r.yaml", []byte("readings: 1\nread_at: checking clearance\nuncertainty: 1\ncylinders: {1: {"+strings.TrimSuffix(b.String(), ", ")+"}}\n")))
		require.Empty(t, problems)
		a, err := assess.Assess(e, "", r)
		require.NoError(t, err)
		require.Equal(t, "all events alike", a.Explanations[0].Class)
		require.Equal(t, assess.Explained, a.Verdict)
		assert.InDelta(t, by, *a.Explanations[0].LateDeg, 0.1+0.002*math.Abs(by))
		for _, m := range a.Explanations[0].Causes {
			assert.False(t, m.Named, "events name none")
			if m.Cause == assess.Tooth {
				assert.InDelta(t, float64(m.Teeth)*15, by, 3.5)
			}
		}
	})
}

// In which order cylinders and events stand in the file does not matter.
func TestOrderInTheFileDoesNotMatter(t *testing.T) {
	one := lightSix(t, "cylinders: {1: {inlet_opens: 9 ATDC, inlet_closes: 61 ABDC}, 6: {exhaust_opens: 34 BBDC, exhaust_closes: 24 ATDC}}\n")
	two := lightSix(t, "cylinders: {6: {exhaust_closes: 24 ATDC, exhaust_opens: 34 BBDC}, 1: {inlet_closes: 61 ABDC, inlet_opens: 9 ATDC}}\n")
	assert.Equal(t, one.Verdict, two.Verdict)
	assert.InDelta(t, *one.Explanations[0].LateDeg, *two.Explanations[0].LateDeg, 1e-6)
	assert.Equal(t, one.Explanations[0].Says, two.Explanations[0].Says)
}

// A stop holds the piston of an offset cylinder at unequal angles. Here the crank
// is turned in small steps until the piston stands as low on either side; the
// marks are right, and the assessment has to say so.
func TestAStopOnAnOffsetCylinder(t *testing.T) {
	height := func(deg float64) float64 {
		at := deg * math.Pi / 180
		return 1.875*math.Cos(at) + math.Sqrt(7.25*7.25-math.Pow(1.875*math.Sin(at)-0.25, 2))
	}
	top := 0.0
	for deg := -5.0; deg < 5; deg += 1e-4 {
		if height(deg) > height(top) {
			top = deg
		}
	}
	before, after := top-60, top+40.0
	for height(after) > height(before) {
		after += 1e-4
	}
	require.Greater(t, math.Abs((after-top)-(top-before)), 0.3, "the cylinder is offset enough to matter")
	a, err := assess.Assess(fileEngine(t, "quillaby/ten"), "", readingsOf(t, fmt.Sprintf("read_at: running clearance\nuncertainty: 0.1\ncylinders: {1: {inlet_opens: 4.0 BTDC, inlet_closes: 44.0 ABDC, exhaust_opens: 46.0 BBDC, exhaust_closes: 7.0 ATDC}}\n"+
		"positive_stop: {before: %.3f BTDC, after: %.3f ATDC}\n", top-before, after-top)))
	require.NoError(t, err)
	for _, c := range a.Compared {
		assert.InDelta(t, 0, c.LateDeg, 0.05, c.Event)
	}
	assert.Equal(t, "as it should be", a.Explanations[0].Class)
}

// Two camshafts with an intermediate wheel in common: one of its teeth moves both.
func TestAWheelInCommonMovesBothCamshafts(t *testing.T) {
	e := textEngine(t, `format: 1
engine: a/b
title: B
layout: {cycle: four-stroke, cylinders: 1, rotation: clockwise seen from timing side}
events: {timing: {read_at: not given, inlet_opens: 20 BTDC, inlet_closes: 50 ABDC, exhaust_opens: 50 BBDC, exhaust_closes: 20 ATDC}}
drives:
  inlet camshaft: {train: crankshaft > half speed wheel > inlet wheel, wheels: {crankshaft: {teeth: 24}, half speed wheel: {teeth: 48}, inlet wheel: {teeth: 48}}}
  exhaust camshaft: {train: crankshaft > half speed wheel > exhaust wheel, wheels: {crankshaft: {teeth: 24}, half speed wheel: {teeth: 48}, exhaust wheel: {teeth: 48}}}
`)
	a, err := assess.Assess(e, "", readingsOf(t, "read_at: not given\nuncertainty: 1\ncylinders: {1: {inlet_opens: 5 BTDC, inlet_closes: 65 ABDC, exhaust_opens: 35 BBDC, exhaust_closes: 35 ATDC}}\nwheel_marks: {half speed wheel: 1 tooth late, inlet wheel: meet, exhaust wheel: meet}\n"))
	require.NoError(t, err)
	assert.Equal(t, "all events alike", a.Explanations[0].Class)
	_, _, named := causes(a)
	assert.Equal(t, "a timing wheel out by whole teeth half speed wheel", named)
	require.NotNil(t, a.Correction)
	assert.Contains(t, a.Correction.Says, "turn half speed wheel 1 tooth forward")
}
