package crank_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

func kinds(layout string) []crank.Kind {
	var all []crank.Kind
	for _, r := range layout {
		switch r {
		case 'I':
			all = append(all, crank.Inlet)
		case 'E':
			all = append(all, crank.Exhaust)
		}
	}
	return all
}

// Companions and sum rules of the firing orders whose sources stand beside them;
// the companions and sums themselves were computed by another hand except where a
// source is named for them.
func TestCompanionsAndSumRulesOfPublishedOrders(t *testing.T) {
	for _, c := range []struct {
		source     string
		order      []int
		companions []int
		sum        int // 0: the pairs differ
		valves     string
		rule       bool
	}{
		{"1-3-4-2: TM 5-3895-382-24; rule of nine: austin7.org, tswfl.org Triumphs Live April 2020 p. 7",
			[]int{1, 3, 4, 2}, []int{4, 3, 2, 1}, 5, "EIIEEIIE", true},
		{"1-2-4-3: motormayhem.net, Ford Model A; Alvis FWD Engine Notes",
			[]int{1, 2, 4, 3}, []int{4, 3, 2, 1}, 5, "EIIEEIIE", true},
		{"1-5-3-6-2-4: mopar1973man.com, companions 1/6, 5/2, 3/4; Vauxhall 20-60; rule of thirteen: common practice, no source",
			[]int{1, 5, 3, 6, 2, 4}, []int{6, 5, 4, 3, 2, 1}, 7, "EIIEEIIEEIIE", true},
		{"1-4-2-6-3-5: No. 1 with No. 6, common practice, no source",
			[]int{1, 4, 2, 6, 3, 5}, []int{6, 5, 4, 3, 2, 1}, 7, "EIEIEIIEIEIE", true},
		{"1-6-2-4-3-5, flat six: forums.pelicanparts.com 12436471, 1 and 4 companions",
			[]int{1, 6, 2, 4, 3, 5}, []int{4, 5, 6, 1, 2, 3}, 0, "EIIEEIIEEIIE", false},
		{"1-2-7-3-4-5-6-8, vee eight: Oldsmobile Aurora, maker's specification page",
			[]int{1, 2, 7, 3, 4, 5, 6, 8}, []int{4, 5, 8, 1, 2, 7, 6, 3}, 0, "EIIEEIIEEIIEEIIE", false},
		{"automonger.blogspot.com 2025/07 states the rule of nine for E I E I E I E I: refuted, valve 1 is an exhaust and 8 an inlet",
			[]int{1, 3, 4, 2}, []int{4, 3, 2, 1}, 5, "EIEIEIEI", false},
	} {
		f := must(crank.EvenFiring(c.order))
		assert.Equal(t, c.companions, must(f.Companions()), c.source)
		sum, ok, err := f.CompanionSum()
		require.NoError(t, err)
		assert.Equal(t, c.sum != 0, ok, c.source)
		assert.Equal(t, c.sum, sum, c.source)
		total, against, err := f.SumRule(kinds(c.valves))
		require.NoError(t, err)
		assert.Equal(t, 2*len(c.order)+1, total)
		assert.Equal(t, c.rule, len(against) == 0, "%s: against %v", c.source, against)
	}
}

// The vee eight and the flat six print sums that differ from pair to pair: 5, 7,
// 13, 11 and 5, 9, 7.
func TestSumsOfPairsThatDiffer(t *testing.T) {
	for _, c := range []struct{ order, sums []int }{
		{[]int{1, 6, 2, 4, 3, 5}, []int{5, 7, 9}},
		{[]int{1, 2, 7, 3, 4, 5, 6, 8}, []int{5, 7, 11, 13}},
	} {
		var sums []int
		for k, companion := range must(must(crank.EvenFiring(c.order)).Companions()) {
			if k+1 < companion {
				sums = append(sums, k+1+companion)
			}
		}
		slices.Sort(sums)
		assert.Equal(t, c.sums, sums)
	}
}

// With E I E I E I E I the rule of nine pairs the exhaust of No. 1 with the inlet
// of No. 4. That inlet is shut only if it closes before about 70 ABDC (computed by
// another hand).
func TestRuleOfNineOnTheWrongLayoutDependsOnInletClosing(t *testing.T) {
	f := must(crank.EvenFiring([]int{1, 3, 4, 2}))
	for _, c := range []struct {
		inletCloses float64
		shut        bool
	}{{48, true}, {69, true}, {71, false}, {85, false}} {
		e := must(crank.CustomaryEvents(10, c.inletCloses, 50, 10)) // exhaust lobe centre 110 BTDC
		fullyOpen := must(crank.LobeCentre(e.ExhaustOpens, e.ExhaustCloses))
		require.Equal(t, 250.0, fullyOpen)
		margins := must(f.Margins(e, fullyOpen))
		inletOf4 := margins[6]
		require.Equal(t, crank.Valve{Cylinder: 4, Kind: crank.Inlet}, inletOf4.Valve)
		assert.Equal(t, c.shut, inletOf4.Margin > 0, "inlet closes %g ABDC: margin %g", c.inletCloses, inletOf4.Margin)
		assert.InDelta(t, 70-c.inletCloses, inletOf4.Margin, 1e-9)
	}
}

// A manual that sets a four in two positions (Thermo King, p. 50: TDC of No. 1,
// then of No. 4, four valves each).
func TestTwoPositionsSetAFour(t *testing.T) {
	f := must(crank.EvenFiring([]int{1, 3, 4, 2}))
	e := must(crank.CustomaryEvents(10, 50, 50, 10))
	table := must(f.RockTable(e, 20))
	require.Len(t, table, 4)
	one, four := table[0], table[2]
	assert.Equal(t, 1, one.Fires)
	assert.Equal(t, []int{4}, one.OnTheRock)
	assert.Equal(t, 4, four.Fires)
	assert.Equal(t, []int{1}, four.OnTheRock)
	assert.Equal(t, 360.0, four.Position)
	var set []string
	for _, v := range append(one.Set, four.Set...) {
		set = append(set, v.String())
	}
	assert.Len(t, one.Set, 4)
	assert.Len(t, four.Set, 4)
	assert.ElementsMatch(t, []string{"inlet 1", "exhaust 1", "inlet 2", "exhaust 2", "inlet 3", "exhaust 3", "inlet 4", "exhaust 4"}, set)
}

func TestMarginByHand(t *testing.T) {
	// Inlet opens 10 BTDC (350), closes 50 ABDC (590): open for 240.
	for _, c := range []struct{ at, margin float64 }{
		{350, 0}, {590, 0}, {351, -1}, {470, -120}, {589, -1}, {600, 10}, {340, 10}, {0, 130}, {110, 240}, {720, 130},
	} {
		assert.Equal(t, c.margin, must(crank.Margin(350, 590, c.at)), "%g", c.at)
	}
}

func TestMarginLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFiring(t)
		e, err := crank.CustomaryEvents(quarters(t, "io", -20, 60), quarters(t, "ic", 0, 90), quarters(t, "eo", 0, 90), quarters(t, "ec", -20, 60))
		if err != nil {
			t.Fatal(err)
		}
		inlet := must(crank.Duration(e.InletOpens, e.InletCloses))
		position := rapid.Float64Range(0, 719).Draw(t, "position")
		step := rapid.Float64Range(0, 1).Draw(t, "step")
		before, after := must(f.Margins(e, position)), must(f.Margins(e, position+step))
		for i := range before {
			if math.Abs(before[i].Margin-after[i].Margin) > step+1e-9 {
				t.Fatalf("%v: margin jumps from %g to %g in %g degrees", before[i].Valve, before[i].Margin, after[i].Margin, step)
			}
		}
		// Furthest from its events a valve is half of what is left; deepest open,
		// half its duration.
		middle := must(crank.LobeCentre(e.InletOpens, e.InletCloses))
		if m := must(crank.Margin(e.InletOpens, e.InletCloses, middle+360)); m != (720-inlet)/2 {
			t.Fatalf("%v: opposite full lift the margin is %g", e, m)
		}
		if m := must(crank.Margin(e.InletOpens, e.InletCloses, middle)); m != -inlet/2 {
			t.Fatalf("%v: at full lift the margin is %g", e, m)
		}
		for _, row := range must(f.LiftTable(e, 0)) {
			companion := must(f.Companions())[row.Open.Cylinder-1]
			if companion == 0 {
				continue
			}
			of := crank.Valve{Cylinder: companion, Kind: row.Open.Kind}
			if !slices.ContainsFunc(row.Set, func(m crank.ValveMargin) bool { return m.Valve == of }) {
				t.Fatalf("%v: with %v fully open its companion's cannot be set: %v", e, row.Open, row.Set)
			}
			if !slices.IsSortedFunc(row.Set, func(a, b crank.ValveMargin) int { return cmp.Compare(b.Margin, a.Margin) }) {
				t.Fatalf("%v is not sorted by margin", row.Set)
			}
		}
		for _, row := range must(f.RockTable(e, 5)) {
			own := []crank.Valve{{Cylinder: row.Fires, Kind: crank.Inlet}, {Cylinder: row.Fires, Kind: crank.Exhaust}}
			for _, v := range own {
				if !slices.ContainsFunc(row.Set, func(m crank.ValveMargin) bool { return m.Valve == v }) {
					t.Fatalf("%v: at its firing TDC %v cannot be set", e, v)
				}
			}
		}
	})
}

func TestValveErrorsSayWhatIsWrong(t *testing.T) {
	f := must(crank.EvenFiring([]int{1, 3, 4, 2}))
	e := must(crank.CustomaryEvents(10, 50, 50, 10))
	_, _, tooFew := f.SumRule(kinds("EIIE"))
	_, _, twice := f.SumRule(kinds("EIIEEEIE"))
	_, _, unknown := f.SumRule(make([]crank.Kind, 8))
	_, _, firing := crank.Firing{}.SumRule(nil)
	noInlet := crank.Events{ExhaustOpens: 130, ExhaustCloses: 370}
	noExhaust := crank.Events{InletOpens: 350, InletCloses: 590}
	for what, err := range map[string]error{
		"same angle":                          second(crank.Margin(5, 5, 0)),
		"the crank angle is NaN":              second(crank.Margin(0, 5, math.NaN())),
		"the position of the engine":          second(f.Margins(e, math.Inf(1))),
		"inlet: the valve opens and closes":   second(f.Margins(noInlet, 0)),
		"exhaust: the valve opens and closes": second(f.Margins(noExhaust, 0)),
		"inlet: the valve":                    second(f.LiftTable(noInlet, 0)),
		"exhaust: the valve":                  second(f.LiftTable(noExhaust, 0)),
		"the margin needed":                   second(f.RockTable(e, -1)),
		"the margin needed is NaN":            second(f.LiftTable(e, math.NaN())),
		"No. 1 fires at":                      second(crank.Firing{3}.RockTable(e, 0)),
		"firing angles of 0":                  second(crank.Firing{}.LiftTable(e, 0)),
		"4 valves for 4 cylinders":            tooFew,
		"cylinder 3 must have one inlet":      twice,
		"cylinder 1 must have one inlet":      unknown,
		"of 0 cylinders":                      firing,
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
}

func TestBaseCircleHoldsMarginsOfEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		opens := rapid.Float64Range(0, 719).Draw(t, "opens")
		duration := rapid.Float64Range(150, 330).Draw(t, "duration")
		half := rapid.Float64Range(0, 2).Draw(t, "half")
		at := rapid.Float64Range(0, 719).Draw(t, "at")
		closes := opens + duration
		since, until, err := crank.BaseCircle(interval.Of(opens-half, opens+half), interval.Of(closes-half, closes+half), at)
		require.NoError(t, err)
		margin, err := crank.Margin(opens, closes, at)
		require.NoError(t, err)
		const hair = 1e-9 // at the event itself either side is right
		switch {
		case margin < -hair:
			assert.True(t, since.IsEmpty() && until.IsEmpty())
			return
		case margin < hair:
			return
		}
		assert.InDelta(t, margin, min(since.Mid(), until.Mid()), 1e-9)
		assert.InDelta(t, 720-duration, since.Mid()+until.Mid(), 1e-9, "what the duration leaves of the cycle")
		assert.InDelta(t, 2*half, since.Width(), 1e-9)
		assert.InDelta(t, 2*half, until.Width(), 1e-9)
	})
}

func TestBaseCircleRefusesWhatIsNotKnown(t *testing.T) {
	_, _, err := crank.BaseCircle(interval.Empty(), interval.Point(540), 0)
	assert.ErrorContains(t, err, "opening")
	_, _, err = crank.BaseCircle(interval.Point(340), interval.Whole(), 0)
	assert.ErrorContains(t, err, "closing")
}
