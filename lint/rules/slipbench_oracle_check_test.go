package rules_test

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The benchmark's own tools are held to tables, to brute force and to
// witnesses: a tool that measures must be surer than what it measures.

// What prints stand for, worked out by hand from the widths documented with
// package figure.
func TestSlipReader(t *testing.T) {
	inch := func(n, d int64) *big.Rat { return new(big.Rat).Mul(big.NewRat(n, d), inchMM) }
	for _, c := range []struct {
		of     *quantity
		text   string
		unit   string
		datum  string
		lo, hi *big.Rat
	}{
		{positionQ, "52 ABDC", "°", "abdc", big.NewRat(103, 2), big.NewRat(105, 2)},
		{positionQ, "52.0 ABDC", "°", "abdc", big.NewRat(5195, 100), big.NewRat(5205, 100)},
		{positionQ, "54½ BBDC", "°", "bbdc", big.NewRat(217, 4), big.NewRat(219, 4)},
		{positionQ, "48° 30' BBDC", "°", "bbdc", big.NewRat(5819, 120), big.NewRat(5821, 120)},
		{positionQ, "24° ± 3° BTDC", "°", "btdc", rat(21), rat(27)},
		{positionQ, "15° AFTER inner dead center", "°", "atdc", big.NewRat(29, 2), big.NewRat(31, 2)},
		{positionQ, "TDC", "°", "atdc", big.NewRat(-1, 2), big.NewRat(1, 2)},
		{positionQ, "5/16 in BBDC piston", "piston", "bbdc", inch(9, 32), inch(11, 32)},
		{positionQ, "2½ teeth ATDC", "teeth", "atdc", big.NewRat(9, 4), big.NewRat(11, 4)},
		{angleQ, "approximately 11", "°", "", rat(10), rat(12)},
		{movementQ, "23 mm rim", "rim", "", big.NewRat(45, 2), big.NewRat(47, 2)},
		{ratioQ, "1.5", "1", "", big.NewRat(3, 2), big.NewRat(3, 2)},
		{ratioQ, "0.7", "1", "", big.NewRat(65, 100), big.NewRat(75, 100)},
		{numberQ, "16:10", "1", "", big.NewRat(8, 5), big.NewRat(8, 5)},
		{rimQ, "0.43 in before TDC", "rim", "btdc", inch(85, 200), inch(87, 200)},
		{angleQ, "-2½", "°", "", big.NewRat(-11, 4), big.NewRat(-9, 4)},
		{nominalQ, "2 15/16 in", "mm", "", inch(5874, 2000), inch(5876, 2000)},
		{nominalQ, "68 mm", "mm", "", big.NewRat(6795, 100), big.NewRat(6805, 100)},
		{nominalQ, "73.0 mm", "mm", "", big.NewRat(72995, 1000), big.NewRat(73005, 1000)},
		{nominalQ, "105.025 ± .025 mm", "mm", "", big.NewRat(105000, 1000), big.NewRat(105050, 1000)},
		{gapQ, "4 thou", "mm", "", inch(7, 2000), inch(9, 2000)},
		{gapQ, `.004"`, "mm", "", inch(7, 2000), inch(9, 2000)},
		{gapQ, "0,10 mm", "mm", "", big.NewRat(95, 1000), big.NewRat(105, 1000)},
		{gapQ, "1/64 to 1/32 in", "mm", "", inch(1, 64), inch(1, 32)},
		{gapQ, "nil", "mm", "", inch(-1, 2000), inch(1, 2000)},
		{volumeQ, "1,198 cc", "cc", "", big.NewRat(11975, 10), big.NewRat(11985, 10)},
		{numberQ, "17:1", "1", "", big.NewRat(33, 2), big.NewRat(35, 2)},
		{rpmQ, "2,600 rpm", "rpm", "", big.NewRat(25995, 10), big.NewRat(26005, 10)},
		{countQ, "28", "1", "", rat(28), rat(28)},
	} {
		rs, err := readPrint(*c.of, c.text)
		require.NoError(t, err, c.text)
		require.Len(t, rs, 1, c.text)
		assert.Equal(t, []string{c.unit, c.datum, c.lo.RatString(), c.hi.RatString()},
			[]string{rs[0].unit, rs[0].datum, rs[0].lo.RatString(), rs[0].hi.RatString()}, c.text)
	}
	for _, twins := range []string{"0.018 in (0.45 mm)", "0,45 mm (0.018 in)"} {
		rs, err := readPrint(*gapQ, twins)
		require.NoError(t, err)
		assert.Len(t, rs, 2)
	}
	for _, text := range []string{"52 ABDC 3", "4 8/4 in", "48° 70'", "12 parsecs"} {
		_, err := readPrint(*nominalQ, text)
		assert.Error(t, err, text)
	}
}

// Every slip changes the text of its own figure and of no other, and the file
// stays one that can be read.
func TestSlipsAreMadeWhereTheyAreSaid(t *testing.T) {
	for _, b := range newField(t, 4).engines {
		was := textsOf(b.sheet)
		kinds := map[string]bool{}
		for _, s := range slipsOf(b.sheet) {
			if kinds[s.kind+figureOf(outcome{slip: s})] {
				continue // one of each kind and figure
			}
			kinds[s.kind+figureOf(outcome{slip: s})] = true
			text, err := s.slipped()
			require.NoError(t, err)
			after, err := readSheet(s.sheet.name, text)
			require.NoError(t, err, "%s", s)
			is := textsOf(after)
			require.Len(t, is, len(was), "%s", s)
			changed := map[string]bool{}
			for pointer := range was {
				if was[pointer] != is[pointer] {
					changed[pointer] = true
				}
			}
			want := map[string]bool{}
			for _, p := range s.places {
				want[p.figure.pointer] = true
			}
			require.Equal(t, want, changed, "%s", s)
		}
	}
}

func textsOf(s *sheet) map[string]string {
	all := map[string]string{}
	for _, f := range s.figures {
		var texts []string
		for _, c := range f.claims {
			texts = append(texts, c.text())
		}
		all[f.pointer] = strings.Join(texts, " | ")
	}
	return all
}

// Ordinary slips are what the trade means by them.
func TestKindsOfSlip(t *testing.T) {
	for _, c := range []struct {
		of              *quantity
		path, text      string
		kind, want, not string
	}{
		{positionQ, "/events/a/inlet_opens", "48 BTDC", transposed, "84 BTDC", "48 BBDC"},
		{positionQ, "/events/a/inlet_opens", "10 BTDC", transposed, "", "01 BTDC"},
		{positionQ, "/events/a/inlet_opens", "48 BTDC", misread, "98 BTDC", "58 BTDC"},
		{positionQ, "/events/a/inlet_opens", "48 BTDC", otherSide, "48 ATDC", ""},
		{positionQ, "/events/a/inlet_opens", "48 BTDC", camDegrees, "24 BTDC", ""},
		{positionQ, "/events/a/inlet_opens", "47 BTDC", camDegrees, "23½ BTDC", ""},
		{positionQ, "/events/a/inlet_opens", "52½ BTDC", minutes, "52.30 BTDC", ""},
		{positionQ, "/events/a/inlet_opens", "48° 30' BTDC", minutes, "48.30 BTDC", ""},
		{positionQ, "/events/a/inlet_opens", "52½ BTDC", fractionOff, "52 BTDC", ""},
		{nominalQ, "/size/bore", "2 15/16 in", fractionOff, "2 13/16 in", ""},
		{nominalQ, "/size/bore", "68 mm", otherUnit, "68 in", ""},
		{nominalQ, "/marks/a/rim_diameter", "16 1/4 in", halfSize, "8 1/8 in", ""},
		{gapQ, "/clearances/a/inlet", "4 thou", pointMoved, "40 thou", ""},
		{gapQ, "/clearances/a/inlet", "4 thou", otherUnit, "0.04 mm", ""},
		{gapQ, "/clearances/a/inlet", "0,25 mm", otherUnit, "25 thou", ""},
		{gapQ, "/clearances/a/inlet", `.004"`, pointMoved, `.04"`, ""},
		{gapQ, "/clearances/a/inlet", `.004"`, otherUnit, ".004 mm", ""},
		{countQ, "/drives/a/wheels/b/teeth", "30", dropped, "3", "0"},
		{countQ, "/layout/cylinders", "6", doubled, "66", "6.0"},
	} {
		var made []string
		for _, m := range misprints(&printedFigure{path: c.path, of: c.of}, c.text) {
			if m.kind == c.kind {
				made = append(made, m.text)
			}
			assert.NotEqual(t, c.not, m.text, "%s: %s", c.text, m.kind)
		}
		if c.want != "" {
			assert.Contains(t, made, c.want, "%s: %s", c.text, c.kind)
		}
	}
}

// Forms that a point satisfies are found satisfiable.
func TestSolverFindsWhatThereIs(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		unknowns := rapid.IntRange(1, 5).Draw(rt, "unknowns")
		point := make([]*big.Rat, unknowns)
		for i := range point {
			point[i] = big.NewRat(rapid.Int64Range(-40, 40).Draw(rt, "value"), 4)
		}
		var forms []form
		for range rapid.IntRange(1, 9).Draw(rt, "forms") {
			f := randomForm(rt, unknowns)
			at := new(big.Rat)
			for name, times := range f.of {
				at.Add(at, scaled(point[name[0]-'a'], times, 1))
			}
			f.lo = new(big.Rat).Sub(at, big.NewRat(rapid.Int64Range(0, 3).Draw(rt, "below"), 2))
			f.hi = new(big.Rat).Add(at, big.NewRat(rapid.Int64Range(0, 3).Draw(rt, "above"), 2))
			if rapid.Bool().Draw(rt, "open") {
				f.lo = nil
			}
			forms = append(forms, f)
		}
		ok, culprits := satisfiable(forms)
		require.True(rt, ok, "%v", culprits)
	})
}

func randomForm(rt *rapid.T, unknowns int) form {
	f := form{of: map[string]int64{}}
	for len(f.of) == 0 {
		for i := range unknowns {
			if times := rapid.Int64Range(-2, 2).Draw(rt, "times"); times != 0 {
				f.of[string(rune('a'+i))] = times
			}
		}
	}
	return f
}

// Forms whose sum is nothing and must be more than nothing are found to exclude
// one another, and so are those of them that are named.
func TestSolverFindsWhatThereIsNot(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		unknowns := rapid.IntRange(1, 4).Draw(rt, "unknowns")
		sum := map[string]int64{}
		total := new(big.Rat)
		var forms []form
		for i := range rapid.IntRange(1, 4).Draw(rt, "forms") {
			f := randomForm(rt, unknowns)
			f.lo = big.NewRat(rapid.Int64Range(-9, 9).Draw(rt, "least"), 2)
			f.from = []string{fmt.Sprint(i)}
			total.Add(total, f.lo)
			for name, times := range f.of {
				sum[name] += times
			}
			forms = append(forms, f)
		}
		last := form{of: map[string]int64{}, from: []string{"last"}}
		for name, times := range sum {
			if times != 0 {
				last.of[name] = times
			}
		}
		if len(last.of) == 0 {
			rt.Skip("nothing is left to bound")
		}
		last.hi = new(big.Rat).Sub(total, big.NewRat(1, 8))
		forms = append(forms, last)
		ok, culprits := satisfiable(forms)
		require.False(rt, ok)
		ok, _ = satisfiable(slices.DeleteFunc(forms, func(f form) bool { return !slices.Contains(culprits, f.from[0]) }))
		assert.False(rt, ok, "those named do not exclude one another: %v", culprits)
	})
}

// Whether four events, two durations and an overlap can all be right, against
// trying every event at the ends and in the middle of its half degree: the sums
// chain each event to the next, so that where anything fits, such values fit.
func TestOracleAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var events [4]int
		for i := range events {
			events[i] = rapid.IntRange(2, 6).Draw(rt, "event")
		}
		about := func(x int) int { return x + rapid.IntRange(-2, 2).Draw(rt, "off") }
		inlet, exhaust, overlap := about(180+events[0]+events[1]), about(180+events[2]+events[3]), about(events[0]+events[3])
		text := fmt.Sprintf("events:\n  a: {inlet_opens: %d BTDC, inlet_closes: %d ABDC, exhaust_opens: %d BBDC, exhaust_closes: %d ATDC, inlet_duration: %d, exhaust_duration: %d, overlap: %d}\n",
			events[0], events[1], events[2], events[3], inlet, exhaust, overlap)
		s, err := readSheet("a", text)
		require.NoError(rt, err)
		is, _ := newOracle().judge(s, "")
		fits := false
		near := func(halves, print int) bool { return math.Abs(float64(halves)/2-float64(print)) <= 0.5 }
		for i := range 81 {
			var x [4]int
			for k, n := 0, i; k < 4; k, n = k+1, n/3 {
				x[k] = 2*events[k] + n%3 - 1
			}
			fits = fits || near(360+x[0]+x[1], inlet) && near(360+x[2]+x[3], exhaust) && near(x[0]+x[3], overlap)
		}
		require.Equal(rt, fits, is == holds, text)
	})
}

// A rim distance, and a piston's travel, contradict their angle just when the
// ranges they stand for do not meet.
func TestOracleOfLengths(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		angle := rapid.IntRange(5, 60).Draw(rt, "angle")
		diameter := rapid.IntRange(200, 500).Draw(rt, "diameter")
		off := rapid.Float64Range(-3, 3).Draw(rt, "off")
		tenths := math.Round((math.Pi*float64(diameter)*float64(angle)/360 + off) * 10)
		if tenths < 1 {
			rt.Skip("no distance")
		}
		text := fmt.Sprintf("marks:\n  w:\n    rim_diameter: %d mm\n    stamps:\n      A: {means: inlet_opens, angle: %d BTDC, rim: %.1f mm before TDC}\n", diameter, angle, tenths/10)
		s, err := readSheet("a", text)
		require.NoError(rt, err)
		meets := func(of func(angle, diameter float64) float64) bool {
			lo, hi := of(float64(angle)-0.5, float64(diameter)-0.05), of(float64(angle)+0.5, float64(diameter)+0.05)
			return lo <= tenths/10+0.05 && tenths/10-0.05 <= hi
		}
		along := meets(func(a, d float64) float64 { return math.Pi * d * a / 360 })
		across := meets(func(a, d float64) float64 { return d * math.Sin(a/2*math.Pi/180) })
		is, _ := newOracle().judge(s, "")
		require.Equal(rt, along || across, is == holds, text)
	})
}

// The published slips, and sums that are right, are told apart.
func TestOracleOnPublishedEngines(t *testing.T) {
	f := newField(t, 0)
	o := newOracle()
	want := map[string]answer{"ford/model-a-infobox": contradicts, "packard/clipper-six-1946": contradicts, "yamaha/yzf-r6": contradicts,
		"ford/model-a": holds, "chrysler/slant-six": holds, "ford/model-t": holds, "alvis/fwd": holds, "velocette/kss-mk-ii": holds}
	for _, b := range f.engines {
		if is, ok := want[b.id]; ok {
			got, _ := o.judge(b.sheet, "")
			assert.Equal(t, is, got, b.id)
			delete(want, b.id)
		}
	}
	assert.Empty(t, want, "engines that are not there")
	for _, b := range f.engines {
		if b.id == "ford/model-a-infobox" {
			restoring, known := o.restoring(b.sheet, map[string]bool{"/size/stroke": true, "/size/bore": true, "/size/swept_volume": true, "/layout/cylinders": true})
			assert.True(t, known)
			assert.Equal(t, []string{"/size/bore", "/size/stroke", "/size/swept_volume"}, restoring)
		}
	}
}

// Wilson's interval for 10 of 20 (from memory: 0.299 to 0.701) and for all of few.
func TestWilson(t *testing.T) {
	lo, hi := wilson(10, 20)
	assert.InDelta(t, 0.299, lo, 0.001)
	assert.InDelta(t, 0.701, hi, 0.001)
	lo, hi = wilson(5, 5)
	assert.InDelta(t, 0.566, lo, 0.001)
	assert.InDelta(t, 1, hi, 1e-9)
}
