package lint

import (
	"math"
	"strconv"

	"fourmarks.example/lint/relation"
)

// SuspectOf shows a suspect of a conflict in the unit that its figure is printed in.
func SuspectOf(s relation.Suspect) Suspect {
	is, unit := s.Shown()
	out := Suspect{Path: s.Variable.Path, Pointer: s.Variable.Figure.At.Pointer(), Printed: s.Variable.Text(),
		Slip: s.Slip, Likely: s.Likely, MustBe: MustBe{Unit: unit}}
	out.MustBe.Low, out.MustBe.High = bound(is.Lo), bound(is.Hi)
	return out
}

// Suspecting names the figures any one of which, set right, ends the finding.
func (f *Finding) Suspecting(all ...relation.Suspect) *Finding {
	for _, s := range relation.Ranked(all) {
		f.Suspects = append(f.Suspects, SuspectOf(s))
	}
	return f
}

// bound gives a bound with ten significant digits, without the outward
// rounding of the last bits; nil when it is open.
func bound(x float64) *float64 {
	if math.IsInf(x, 0) {
		return nil
	}
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
	if math.Abs(x) < 1e-12 {
		x = 0
	}
	return &x
}
