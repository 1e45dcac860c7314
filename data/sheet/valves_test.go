package sheet_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/sheet"
	"fourmarks.example/schema/figure"
)

// Mates as published, or as the rule of the trade gives them.
func TestValvesAreSetWithTheCompanionOnTheRock(t *testing.T) {
	const events = "events: {running: {read_at: not given, inlet_opens: 10 BTDC, inlet_closes: 50 ABDC, exhaust_opens: 50 BBDC, exhaust_closes: 15 ATDC}}\n"
	for _, c := range []struct {
		name, layout, source string
		mates                string // on the rock: at firing TDC
	}{
		{"four 1-3-4-2", "cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2", "check values 13, rule of companions", "4:1 2:3 1:4 3:2"},
		{"four 1-2-4-3", "cylinders: 4, arrangement: in-line, firing_order: 1-2-4-3", "check values 13", "4:1 3:2 1:4 2:3"},
		{"six", "cylinders: 6, arrangement: in-line, firing_order: 1-5-3-6-2-4", "mopar1973man.com: 1/6, 5/2, 3/4", "6:1 2:5 4:3 1:6 5:2 3:4"},
		{"six 1-4-2-6-3-5", "cylinders: 6, arrangement: in-line, firing_order: 1-4-2-6-3-5", "common practice, no source", "6:1 3:4 5:2 1:6 4:3 2:5"},
		{"flat six", `cylinders: 6, arrangement: flat, firing_order: 1-6-2-4-3-5, firing_intervals: "120, 120, 120, 120, 120, 120"`,
			"forums.pelicanparts.com 12436471: 1 and 4 mates; check values 13", "4:1 3:6 5:2 1:4 6:3 2:5"},
		{"vee eight", `cylinders: 8, arrangement: vee, firing_order: 1-2-7-3-4-5-6-8, firing_intervals: "90, 90, 90, 90, 90, 90, 90, 90"`,
			"maker's specification page; check values 13: 1/4, 2/5, 7/6, 3/8", "4:1 5:2 6:7 8:3 1:4 2:5 7:6 3:8"},
		{"eight in line", `cylinders: 8, arrangement: in-line, firing_order: 1-6-2-5-8-3-7-4, throws: "0, 180, 90, 270, 270, 90, 180, 0"`,
			"common practice, no source: the numbers of companions make nine", "8:1 3:6 7:2 4:5 1:8 6:3 2:7 5:4"},
		{"flat twin", `cylinders: 2, arrangement: flat, firing_order: 1-2, throws: "0, 180", banks: "0, 180"`, "geometry: both pistons reach TDC together", "2:1 1:2"},
		{"parallel twin, pins together", `cylinders: 2, arrangement: in-line, firing_order: 1-2, throws: "0, 0"`, "geometry", "2:1 1:2"},
		{"narrow vee twin", `cylinders: 2, arrangement: vee, firing_order: 1-2, throws: "0, 0", banks: "0, 50"`, "geometry: 50° apart, none on the rock", "-:1 -:2"},
		{"three", `cylinders: 3, arrangement: in-line, firing_order: 1-3-2, throws: "0, 120, 240"`, "geometry", "-:1 -:3 -:2"},
		{"five radial", `cylinders: 5, arrangement: radial, firing_order: 1-3-5-2-4, throws: "0, 0, 0, 0, 0", banks: "0, 72, 144, 216, 288"`, "geometry", "-:1 -:3 -:5 -:2 -:4"},
		{"single", "cylinders: 1, arrangement: single, firing_order: 1", "one cylinder", "-:1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := made(t, written(t, "layout: {cycle: four-stroke, "+c.layout+"}\n"+events), sheet.Options{})
			require.Empty(t, s.Valves.Why)
			var mates []string
			for _, p := range s.Valves.Positions {
				rock := "-"
				if len(p.OnTheRock) > 0 {
					rock = strings.Trim(fmt.Sprint(p.OnTheRock), "[]")
				}
				mates = append(mates, fmt.Sprintf("%s:%d", rock, p.Fires))
			}
			assert.Equal(t, c.mates, strings.Join(mates, " "), c.source)
		})
	}
}

func TestSumRules(t *testing.T) {
	for _, c := range []struct {
		name, layout, source string
		sum                  int
		holds                bool
	}{
		{"four", "cylinders: 4, firing_order: 1-3-4-2, valve_order: E I I E E I I E", "rule of nine: austin7.org; tswfl.org April 2020 p. 7; fordbarn.com 1820771", 9, true},
		{"four 1-2-4-3", "cylinders: 4, firing_order: 1-2-4-3, valve_order: E I I E E I I E", "rule of nine", 9, true},
		{"four not mirrored", "cylinders: 4, firing_order: 1-3-4-2, valve_order: E I E I E I E I", "FLAG-20 of the check values: a published rule of nine that pairs unlike valves", 9, false},
		{"six", "cylinders: 6, firing_order: 1-5-3-6-2-4, valve_order: E I I E E I I E E I I E", "rule of thirteen: common practice, no source", 13, true},
		{"eight", `cylinders: 8, firing_order: 1-6-2-5-8-3-7-4, throws: "0, 180, 90, 270, 270, 90, 180, 0", valve_order: E I I E E I I E E I I E E I I E`, "2n + 1: common practice, no source", 17, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := made(t, written(t, "layout: {cycle: four-stroke, arrangement: in-line, "+c.layout+"}\n"), sheet.Options{})
			require.NotNil(t, s.Valves.SumRule)
			assert.Equal(t, c.sum, s.Valves.SumRule.Sum, c.source)
			assert.Equal(t, c.holds, s.Valves.SumRule.Holds, c.source)
		})
	}
}

// Thermo King manual p. 50 sets all eight valves of a four at two positions, TDC
// of No. 1 and of No. 4, four valves at each. That two do for a six as well, No. 1
// and No. 6, six valves at each, is common practice, no source.
func TestTwoPositionsDo(t *testing.T) {
	for _, c := range []struct {
		engine string
		fires  []int
		each   int
	}{{"penhallow/twelve", []int{1, 4}, 4}, {"quillaby/ten", []int{1, 4}, 4}, {"penhallow/light-six", []int{1, 6}, 6}} {
		s := made(t, demo(t, c.engine), sheet.Options{})
		assert.Equal(t, c.fires, s.Valves.Shortest, c.engine)
		for _, p := range s.Valves.Positions {
			if slices.Contains(c.fires, p.Fires) {
				assert.Len(t, slices.Concat(p.Set, p.Also), c.each, "%s, No. %d", c.engine, p.Fires)
			}
		}
	}
}

// What engines print of setting their valves is what the table says.
func TestTableAgreesWithPrintedAdjustments(t *testing.T) {
	checked := 0
	for _, e := range everyEngine(t) {
		if e.Setting == nil {
			continue
		}
		s := made(t, e, sheet.Options{})
		for _, a := range e.Setting.Adjustments {
			k, ok := a.Value.OnTheRock.Count()
			if !ok || len(s.Valves.Positions) == 0 {
				continue
			}
			for _, p := range s.Valves.Positions {
				if slices.Contains(p.OnTheRock, k) {
					for _, valve := range strings.Split(a.Value.Valves.Text, ", ") {
						assert.True(t, slices.ContainsFunc(p.Set, func(v sheet.ValveMargin) bool { return v.Valve == valve }), "%s: %s with %d on the rock", e.Name(), valve, k)
						checked++
					}
				}
			}
		}
	}
	assert.Greater(t, checked, 15)
}

// The margins are found again by turning each engine by hundredths of a degree
// until a valve moves: whether it is open is looked up from its printed events
// alone.
func TestMarginsByTurningTheEngine(t *testing.T) {
	const step = 0.01
	checked := 0
	for _, e := range everyEngine(t) {
		if e.Variant != "" {
			continue
		}
		s := made(t, e, sheet.Options{})
		i := slices.IndexFunc(s.Events, func(set sheet.EventSet) bool { return set.Name == s.Valves.Events })
		if i < 0 {
			continue
		}
		fires := map[int]float64{}
		for _, p := range s.Valves.Positions {
			fires[p.Fires] = p.After
		}
		for _, p := range s.Valves.Positions {
			for _, v := range slices.Concat(p.Set, p.Also) {
				var kind string
				var cylinder int
				_, err := fmt.Sscanf(v.Valve, "%s %d", &kind, &cylinder)
				require.NoError(t, err)
				opens, closes, ok := printedArc(e, s.Events[i].Name, kind)
				if !ok || v.Since == nil {
					continue
				}
				isOpen := func(position float64) bool {
					own := math.Mod(position-fires[cylinder]+1440, 720)
					return math.Mod(own-opens+720, 720) < math.Mod(closes-opens+720, 720)
				}
				turned := func(sign float64) float64 {
					for x := 0.0; x < 720; x += step {
						if isOpen(p.After + sign*x) {
							return x
						}
					}
					return math.NaN()
				}
				assert.InDelta(t, turned(-1), (v.Since.Low+v.Since.High)/2, 2*step, "%s: %s since, at %g", e.Name(), v.Valve, p.After)
				assert.InDelta(t, turned(+1), (v.Until.Low+v.Until.High)/2, 2*step, "%s: %s until, at %g", e.Name(), v.Valve, p.After)
				checked++
			}
		}
	}
	assert.Greater(t, checked, 60)
}

// printedArc is where a valve opens and closes on its cylinder's circle, read
// from degrees printed from the customary dead centres.
func printedArc(e engine, set, kind string) (opens, closes float64, ok bool) {
	read := func(key string, before, after figure.Datum, centre float64) (float64, bool) {
		r, ok := e.Figure("events." + set + "." + key).Reading()
		if !ok || r.Measure != figure.CrankAngle {
			return 0, false
		}
		x, _ := r.Value.Float64()
		switch r.Datum {
		case before:
			return centre - x, true
		case after:
			return centre + x, true
		}
		return 0, false
	}
	if kind == "inlet" {
		opens, ok = read("inlet_opens", figure.BTDC, figure.ATDC, 360)
		closes, both := read("inlet_closes", figure.BBDC, figure.ABDC, 540)
		return opens, closes, ok && both
	}
	opens, ok = read("exhaust_opens", figure.BBDC, figure.ABDC, 180)
	closes, both := read("exhaust_closes", figure.BTDC, figure.ATDC, 360)
	return opens, closes, ok && both
}

func TestWithoutEventsItSaysOnWhatItRests(t *testing.T) {
	s := made(t, written(t, "layout: {cycle: four-stroke, cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2}\n"), sheet.Options{})
	assert.Contains(t, s.Valves.Basis, "common practice, no source")
	require.Len(t, s.Valves.Positions, 4)
	for _, p := range s.Valves.Positions {
		require.Len(t, p.Set, 2)
		assert.Nil(t, p.Set[0].Since)
		assert.Nil(t, p.Set[0].Spare)
		assert.Empty(t, p.Also, "nothing is said of valves whose events are not known")
	}
	assert.Empty(t, s.Valves.Shortest)
}

func TestWhereThereIsNoTableItSaysWhy(t *testing.T) {
	for name, c := range map[string]struct{ yaml, why string }{
		"order not known": {"layout: {cycle: four-stroke, cylinders: 4}\n", "do not tell which cylinder stands where"},
		"two-stroke":      {"layout: {cycle: two-stroke, cylinders: 2, arrangement: in-line, firing_order: 1-2}\n", "no valves to set"},
	} {
		t.Run(name, func(t *testing.T) {
			s := made(t, written(t, c.yaml), sheet.Options{})
			assert.Contains(t, s.Valves.Why, c.why)
			assert.Empty(t, s.Valves.Positions)
		})
	}
}

// An automatic inlet has no clearance: only the exhaust is set.
func TestOnlyValvesWithAClearanceAreSet(t *testing.T) {
	s := made(t, demo(t, "hollincrake/six-horse"), sheet.Options{})
	for _, p := range s.Valves.Positions {
		for _, v := range p.Set {
			assert.Equal(t, "exhaust 1", v.Valve)
		}
	}
}

// A valve that stands on its ramp at its own firing TDC has no margin to spare.
func TestAValveOnItsRampHasNothingToSpare(t *testing.T) {
	s := made(t, written(t, `
layout: {cycle: four-stroke, cylinders: 1, arrangement: single, firing_order: 1}
events: {running: {read_at: not given, inlet_opens: 60 BTDC, inlet_closes: 110 ABDC, exhaust_opens: 178 BBDC, exhaust_closes: 170 ATDC}}
`), sheet.Options{})
	require.Len(t, s.Valves.Positions, 1)
	v := s.Valves.Positions[0].Set[1]
	assert.Equal(t, "exhaust 1", v.Valve)
	require.NotNil(t, v.Spare)
	assert.Negative(t, *v.Spare, "2° before it opens the ramp has begun")
	assert.Empty(t, s.Valves.Shortest)
}
