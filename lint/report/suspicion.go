package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/lint"
)

// Suspicion says which figures can be the slip, a line each, the likeliest
// first, under a heading. A finding about one figure and no other has named it;
// then there is no heading, and a line only where more is known: what the figure
// must be, which slip would explain it. The lines are as the file has them: see
// Inert.
func Suspicion(f *lint.Finding) (heading string, lines []string) {
	if isAlone(f) {
		if said := alone(f); said != "" {
			lines = []string{said}
		}
		return "", lines
	}
	for _, s := range f.Suspects {
		lines = append(lines, suspected(s))
	}
	switch len(lines) {
	case 0:
		return "", nil
	case 1:
		return "The slip can be in:", lines
	}
	return "The slip can be in one of these, the likeliest first:", lines
}

// isAlone reports whether a finding is about one figure only, its suspect.
func isAlone(f *lint.Finding) bool {
	if len(f.Suspects) != 1 {
		return false
	}
	return !slices.ContainsFunc(f.Figures, func(at string) bool { return at != f.Suspects[0].Pointer })
}

// alone says in a sentence what the only figure of a finding must be, or should
// where it is not an error, and what may have been meant; "" when neither is known.
func alone(f *lint.Finding) string {
	s, verb := f.Suspects[0], "should"
	if f.Level == lint.Error {
		verb = "must"
	}
	is, meant := isBounded(s.MustBe), s.Slip != ""
	switch {
	case is && meant:
		return fmt.Sprintf("It %s be %s; perhaps %s is meant (%s).", verb, Bounds(s.MustBe), s.Likely, s.Slip)
	case is:
		return fmt.Sprintf("It %s be %s.", verb, Bounds(s.MustBe))
	case meant:
		return fmt.Sprintf("Perhaps %s is meant (%s).", s.Likely, s.Slip)
	}
	return ""
}

func isBounded(m lint.MustBe) bool { return m.Low != nil || m.High != nil }

// suspected says of a suspect what it must be, and which slip would explain it.
func suspected(s lint.Suspect) string {
	name := s.Path
	if name == "" {
		name = s.Pointer
	}
	said := fmt.Sprintf("%s, printed %s", name, s.Printed)
	before := ": "
	if isBounded(s.MustBe) {
		said += before + "must be " + Bounds(s.MustBe)
		before = "; "
	}
	if s.Slip != "" {
		said += fmt.Sprintf("%sperhaps %s (%s)", before, s.Likely, s.Slip)
	}
	return said
}

// Bounds says in words between which values a figure must lie.
func Bounds(m lint.MustBe) string {
	unit := m.Unit
	if unit != "" && !strings.HasPrefix(unit, "°") {
		unit = " " + unit
	}
	switch {
	case m.Low == nil && m.High == nil:
		return "of any size"
	case m.Low == nil:
		return "at most " + Number(*m.High) + unit
	case m.High == nil:
		return "at least " + Number(*m.Low) + unit
	}
	low, high := Number(*m.Low), Number(*m.High)
	if low == high {
		return low + unit
	}
	return low + " to " + high + unit
}

// Number shows a number with at most five significant digits.
func Number(x float64) string {
	s := strconv.FormatFloat(x, 'g', 5, 64)
	if short, err := strconv.ParseFloat(s, 64); err == nil {
		s = strconv.FormatFloat(short, 'f', -1, 64)
	}
	if s == "-0" {
		return "0"
	}
	return strings.Replace(s, "-", "−", 1)
}
