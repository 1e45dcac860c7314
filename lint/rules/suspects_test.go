package rules

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
)

// suspicion is a file with a slip in it: the finding's rule, its first suspect,
// and what may have been meant, where a slip tells.
type suspicion struct {
	name, rule, text       string
	pointer, likely, slips string
}

// A finding names the figure that slipped first. What was meant is the text from
// which each slip was made, or what the other figures come to.
func TestFirstSuspects(t *testing.T) {
	const (
		order     = "layout: {cylinders: 4, firing_order: %s, numbered_from: front, from: handbook p. 6}\n"
		intervals = "layout: {cylinders: 3, firing_order: 1-3-2, firing_intervals: \"240, 240, 204\", numbered_from: front, from: handbook p. 6}\n"
		coupled   = "drives: {magneto: {speed: 1.5, coupling: {rings: [%s], step: %s, crank_step: %s}, from: sheet p. 1}}\n"
		// 25° are 8 teeth of 115 (Vauxhall 20-60 shop manual, sec. 433); 10° on 320 mm is 27.9 mm (hells-confetti.com).
		stamped = "marks: {flywheel: {rim_diameter: 320 mm, ring_teeth: 115, from: sheet p. 2, stamps: {A: {%s}}}}\n"
		size    = "size: {stroke: 4 in, rod_centres: 7 in, from: handbook p. 6}\n"
	)
	with := func(text string, parts ...string) string {
		for _, part := range parts {
			text = strings.Replace(text, "%s", part, 1)
		}
		return text
	}
	for _, c := range []suspicion{
		{"a cylinder twice", "order/permutation", with(order, "1-3-3-2"), "/layout/firing_order", "1-3-4-2", "one digit wrong"},
		{"digits of intervals", "order/intervals", intervals, "/layout/firing_intervals", "240, 240, 240", "digits transposed"},
		{"two units", "form/twin-units", "size: {bore: 3.14 in (97.7 mm), from: handbook p. 6}\n", "/size/bore", "3.14 in (79.7 mm)", ""},
		{"not to be read", "form/unread-figure", "size: {stroke: 100 in (3.94 in) (2), from: handbook p. 6}\n", "/size/stroke", "", ""},
		{"more than a turn", "form/unread-figure", timed("inlet_closes: 488 ABDC"), "/events/handbook/inlet_closes", "48 ABDC", "digit doubled"},
		{"a wide clearance", "clearances/magnitude", "clearances: {running: {measured_at: valve, engine: cold, inlet: .40 in, from: handbook p. 6}}\n", "/clearances/running/inlet", "", ""},
		{"interchanged clearances", "clearances/checking-below-running", "clearances:\n  running: {measured_at: valve, engine: cold, inlet: 4 thou, from: handbook p. 6}\n  checking: {measured_at: valve, engine: cold, inlet: 2 thou, from: handbook p. 6}\n",
			"/clearances/checking/inlet", "", ""},
		{"an unlikely side", "events/side", timed("inlet_closes: 48 BBDC"), "/events/handbook/inlet_closes", "48 ABDC", "before and after interchanged"},
		{"an unlikely side in piston travel", "events/side", size + timed("inlet_closes: 0.60 in BBDC piston"), "/events/handbook/inlet_closes", "0.60 in ABDC piston", "before and after interchanged"},
		{"an unlikely event", "events/band", timed("exhaust_opens: 97 BBDC"), "/events/handbook/exhaust_opens", "", ""},

		// 360° over the least common multiple of 19 and 20 is 0.947°, at one and a half
		// times engine speed 0.632° of the crank (da7c.co.uk, magneto coupling).
		{"a ring", "drives/coupling", with(coupled, "19, 29", "0.947", "0.632"), "/drives/magneto/coupling/rings", "19, 20", ""},
		{"a step", "drives/coupling", with(coupled, "19, 20", "0.974", "0.632"), "/drives/magneto/coupling/step", "0.947", "digits transposed"},

		{"the side of a rim distance", "marks/rim-distance", with(stamped, "means: inlet_opens, angle: 10 BTDC, rim: 27.9 mm after TDC"), "/marks/flywheel/stamps/A/rim", "27.9 mm before TDC", "before and after interchanged"},
		{"the side of teeth", "marks/ring-teeth", with(stamped, "means: exhaust_closes, angle: 25 ATDC, teeth: 8 teeth BTDC"), "/marks/flywheel/stamps/A/teeth", "8 teeth ATDC", "before and after interchanged"},
		{"more than half a ring", "marks/ring-teeth", with(stamped, "means: exhaust_closes, teeth: 88 teeth ATDC"), "/marks/flywheel/stamps/A/teeth", "8 teeth ATDC", "digit doubled"},
		{"further than the stroke", "events/notations", size + timed("inlet_closes: 99/16 in ABDC piston"), "/events/handbook/inlet_closes", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := slices.DeleteFunc(lintExample(t, c.text).Findings, func(f *lint.Finding) bool { return f.Rule != c.rule })
			require.Len(t, found, 1, "%v", messages(found))
			require.NotEmpty(t, found[0].Suspects)
			first := found[0].Suspects[0]
			assert.Equal(t, c.pointer, first.Pointer, "%v", found[0].Suspects)
			if c.likely != "" {
				assert.Equal(t, c.likely, first.Likely)
			}
			if c.slips != "" {
				assert.Equal(t, c.slips, first.Slip)
			}
		})
	}
}

// A rod that all events in piston travel are out with is named, and what it must
// be holds the right one: 7 in, the travels being worked out from the triangle of
// crank, rod and cylinder with it.
func TestRodIsSuspected(t *testing.T) {
	found := lintExample(t, "size: {stroke: 4 in, rod_centres: 9.7 in, from: handbook p. 6}\n"+
		timed("inlet_closes: 50.0 ABDC (0.545 in piston)", "exhaust_opens: 60.0 BBDC (0.782 in piston)")).Findings
	suspected := false
	for _, f := range found {
		for _, s := range f.Suspects {
			if s.Pointer == "/size/rod_centres" {
				suspected = true
				require.NotNil(t, s.MustBe.Low)
				require.NotNil(t, s.MustBe.High)
				assert.True(t, *s.MustBe.Low <= 7 && 7 <= *s.MustBe.High, "%v to %v", *s.MustBe.Low, *s.MustBe.High)
			}
		}
	}
	assert.True(t, suspected, "%v", messages(found))
}
