package assess_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/assess"
)

// The pressure of the standard atmosphere at 5000 ft is 632.4 mmHg or 0.832 of
// that at sea level (U.S. Standard Atmosphere, 1976, table; from memory).
func TestPressuresFollowTheAir(t *testing.T) {
	e := textEngine(t, `format: 1
engine: a/b
title: B
layout: {cycle: four-stroke, cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2}
events: {timing: {read_at: not given, inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}
checks: {compression: 100 to 110 psi, compression_spread: within 10 psi of one another, vacuum: 18 to 21 inHg, engine: hot, altitude: sea level}
`)
	a, err := assess.Assess(e, "", readingsOf(t, "read_at: not given\ncylinders: {1: {inlet_opens: 3 BTDC, inlet_closes: 48 ABDC}}\n"+
		"checks: {compression: {1: 84 psi, 2: 88 psi, 3: 70 psi, 4: 86 psi}, vacuum: 13.5 inHg, altitude: \"5,000 ft\", engine: cold}\n"))
	require.NoError(t, err)
	require.Len(t, a.Checks, 6)
	var sound []bool
	for _, c := range a.Checks {
		sound = append(sound, c.Sound)
	}
	assert.Equal(t, []bool{true, true, false, true, false, true}, sound) // 83.2 to 91.5 psi here; 18 psi apart
	assert.Equal(t, "83 to 92 psi", a.Checks[0].Here)
	assert.Equal(t, "low", a.Checks[2].Says)
	// 5.03 inHg less air above: 12.97 to 15.97.
	assert.Equal(t, "13 to 16 inHg", a.Checks[5].Here)
	assert.Contains(t, a.Remarks, "The figures for pressures are with the engine hot, and it was cold.")
	assert.False(t, a.Sound(), "a low cylinder is something")
}

func TestPressuresWithoutFigures(t *testing.T) {
	a, err := assess.Assess(fileEngine(t, "quillaby/seven"), "", readingsOf(t, "read_at: running clearance\ncylinders: {1: {inlet_opens: 6 ATDC, inlet_closes: 40 ABDC}}\nchecks: {compression: {1: 84 psi}, vacuum: 18 inHg}\n"))
	require.NoError(t, err)
	for _, c := range a.Checks {
		assert.True(t, c.Sound)
		assert.NotEmpty(t, c.Says)
	}
}

// All low alike is seldom a valve; two neighbours are a gasket.
func TestWhereToLook(t *testing.T) {
	e := fileEngine(t, "penhallow/light-six") // 80 psi
	look := func(pressures string) string {
		a, err := assess.Assess(e, "", readingsOf(t, "read_at: running clearance\ncylinders: {1: {inlet_opens: 12 BTDC, inlet_closes: 57 ABDC}}\nchecks: {compression: "+pressures+"}\n"))
		require.NoError(t, err)
		return a.Remarks[len(a.Remarks)-1]
	}
	assert.Contains(t, look("{1: 60 psi, 2: 61 psi, 3: 60 psi}"), "All cylinders are low alike")
	assert.Contains(t, look("{1: 80 psi, 2: 61 psi, 3: 60 psi}"), "No. 2 and No. 3 are low: if they are neighbours")
	assert.Contains(t, look("{1: 80 psi, 2: 61 psi, 3: 80 psi}"), "a valve that does not seat")
}
