package report_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
)

func TestSuspicion(t *testing.T) {
	low, high := 8.0, 40.0
	within := lint.MustBe{Low: &low, High: &high, Unit: "thou"}
	order := lint.Suspect{Path: "layout.firing_order", Pointer: "/layout/firing_order", Printed: "1-3-3-2", Slip: "one digit wrong", Likely: "1-3-4-2"}
	gap := lint.Suspect{Path: "ignition.plug_gap", Pointer: "/ignition/plug_gap", Printed: "200 thou", MustBe: within}
	const several = "The slip can be in one of these, the likeliest first:"
	for name, c := range map[string]struct {
		finding lint.Finding
		heading string
		lines   []string
	}{
		"nobody":         {lint.Finding{}, "", nil},
		"itself":         {lint.Finding{Level: lint.Error, Figures: []string{order.Pointer}, Suspects: []lint.Suspect{order}}, "", []string{"Perhaps 1-3-4-2 is meant (one digit wrong)."}},
		"out of bounds":  {lint.Finding{Level: lint.Error, Figures: []string{gap.Pointer}, Suspects: []lint.Suspect{gap}}, "", []string{"It must be 8 to 40 thou."}},
		"unlikely":       {lint.Finding{Level: lint.Warning, Figures: []string{gap.Pointer}, Suspects: []lint.Suspect{gap}}, "", []string{"It should be 8 to 40 thou."}},
		"nothing known":  {lint.Finding{Figures: []string{"/a"}, Suspects: []lint.Suspect{{Pointer: "/a", Printed: "?"}}}, "", nil},
		"one of several": {lint.Finding{Figures: []string{gap.Pointer, "/other"}, Suspects: []lint.Suspect{gap}}, "The slip can be in:", []string{"ignition.plug_gap, printed 200 thou: must be 8 to 40 thou"}},
		"two": {lint.Finding{Figures: []string{gap.Pointer, order.Pointer}, Suspects: []lint.Suspect{order, gap}}, several,
			[]string{"layout.firing_order, printed 1-3-3-2: perhaps 1-3-4-2 (one digit wrong)", "ignition.plug_gap, printed 200 thou: must be 8 to 40 thou"}},
	} {
		t.Run(name, func(t *testing.T) {
			heading, lines := report.Suspicion(&c.finding)
			assert.Equal(t, c.heading, heading)
			assert.Equal(t, c.lines, lines)
		})
	}
}
