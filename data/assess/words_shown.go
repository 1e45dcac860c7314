package assess

import (
	"fmt"
	"strings"
)

// Says tells how late an event is, and within what.
func (c Compared) Says() string {
	if !c.Out {
		return within(c.LateDeg, c.UncertaintyDeg/2) + ": as it should be"
	}
	return within(c.LateDeg, c.UncertaintyDeg/2)
}

// Numbers tells what decides for or against an explanation.
func (x Explanation) Numbers() string {
	return percent(x.Share) + " of the evidence; " + x.HowWell()
}

// HowWell tells how well an explanation fits.
func (x Explanation) HowWell() string {
	return fmt.Sprintf("misfit %s on %s, as large or larger by chance in %s", decimals(x.Misfit, 1),
		plural(x.Freedom, "degree of freedom", "degrees of freedom"), percent(x.Chance))
}

// Line tells a cause, and whether it would do.
func (m Member) Line() string {
	switch {
	case len(m.Against) > 0:
		return "ruled out: " + m.Says + " (" + strings.Join(m.Against, "; ") + ")"
	case m.Named:
		return "it is this: " + m.Says
	}
	return "would do: " + m.Says
}

// Wanted tells the figure of a check, and what it comes to where the engine stands.
func (c Check) Wanted() string {
	if c.Here == "" {
		return c.Figure
	}
	return c.Here + " here (" + c.Figure + ")"
}

// Sound reports whether all that was read is as it should be.
func (a *Assessment) Sound() bool {
	for _, c := range a.Checks {
		if !c.Sound {
			return false
		}
	}
	if a.Verdict == NotRead {
		return true
	}
	return a.Verdict == Explained && a.Explanations[0].Class == classFine && !named(a.Explanations[0].Causes, RevolutionOut)
}

func named(causes []Member, cause Cause) bool {
	for _, m := range causes {
		if m.Named && m.Cause == cause {
			return true
		}
	}
	return false
}
