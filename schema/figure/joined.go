package figure

import (
	"strings"
)

// joined reads a tolerance, the end of a range or the other side of a ratio.
func (r *reader) joined(m *measured) *Error {
	back := r.pos
	r.space()
	if size := toleranceSize(r.text[r.pos:]); size > 0 {
		return r.tolerance(m, size)
	}
	if r.kind == Ratio || r.kind == SpeedRatio {
		if r.pos < len(r.text) && r.text[r.pos] == ':' {
			r.pos++
			return r.against(m)
		}
		if r.accept(wordTo) {
			return r.against(m)
		}
	}
	if r.signedTolerance() {
		return r.unequal(m)
	}
	r.accept(wordMinimum)
	r.space()
	if r.dash(m.between) {
		return r.rangeEnd(m)
	}
	r.pos = back
	return nil
}

// dash moves past what joins the ends of a range, if a number follows it: a
// dash, "to", or the "and" that belongs to "between".
func (r *reader) dash(between bool) bool {
	back := r.pos
	switch size := dashSize(r.text[r.pos:]); {
	case size > 0:
		r.pos += size
	case !r.accept(wordTo) && !(between && r.accept(wordAnd)):
		return false
	}
	r.space()
	if !r.startsNumber(r.pos) {
		r.pos = back
		return false
	}
	return true
}

func (r *reader) rangeEnd(m *measured) *Error {
	n, err := r.scan()
	if err != nil {
		return err
	}
	first := m.unit
	had := m.hasUnit
	m.hasUnit = false
	if !r.unit(m) {
		m.unit, m.hasUnit = first, had
	} else if had && m.unit != first {
		return r.fail(m.first.Start, r.pos, "the ends of the range are in two units")
	}
	if err := r.minutes(m, &n); err != nil {
		return err
	}
	if r.accept(wordMaximum) && !m.hasUnit {
		r.unit(m)
	}
	if m.first.n*n.d > n.n*m.first.d {
		return r.fail(m.first.Start, r.pos, "the range runs backwards")
	}
	m.last, m.join = n, upTo
	return nil
}

// against reads the second number of a ratio.
func (r *reader) against(m *measured) *Error {
	r.space()
	if !r.startsNumber(r.pos) {
		return r.fail(m.first.Start, r.pos, "the second number of the ratio is missing")
	}
	n, err := r.scan()
	if err != nil {
		return err
	}
	if n.n == 0 {
		return r.fail(m.first.Start, r.pos, "a ratio to 0 has no value")
	}
	m.last, m.join = n, against
	return nil
}

// tolerance reads what follows ± and belongs to the number before.
func (r *reader) tolerance(m *measured, size int) *Error {
	start := r.pos
	r.pos += size
	r.space()
	switch {
	case !m.hasFirst:
		return r.fail(start, r.pos, "a tolerance stands before its figure")
	case m.join != alone:
		return r.fail(start, r.pos, "a tolerance stands beside a range or another tolerance")
	case !r.startsNumber(r.pos):
		return r.fail(start, r.pos, "the tolerance has no number")
	}
	n, err := r.toleranceNumber(m)
	if err != nil {
		return err
	}
	m.up, m.down, m.join = n, n, within
	return nil
}

// toleranceNumber reads a number whose unit, if it has one, may be another
// of the same quantity.
func (r *reader) toleranceNumber(m *measured) (number, *Error) {
	n, err := r.scan()
	if err != nil {
		return n, err
	}
	of, had := m.unit, m.hasUnit
	m.hasUnit = false
	switch found := r.unit(m); {
	case !found:
		m.tolUnit = of
	case !had && r.spec.bare && m.unit != r.kind.Unit():
		return n, r.fail(n.Start, r.pos, "the tolerance has a unit and the figure has none").advise("give the figure its unit too")
	default:
		m.tolUnit = m.unit
	}
	if !had {
		return n, nil
	}
	m.unit, m.hasUnit = of, true
	if of.Dimension() != m.tolUnit.Dimension() || r.kind == Pitch && of != m.tolUnit {
		return n, r.fail(n.Start, r.pos, "the tolerance is in %s and the figure in %s", m.tolUnit.Name(), of.Name())
	}
	return n, nil
}

// signedTolerance reports whether a tolerance with its two sides apart follows:
// +a −b or −b +a.
func (r *reader) signedTolerance() bool {
	s := r.text[r.pos:]
	if s == "" {
		return false
	}
	if s[0] == '+' {
		return true
	}
	size := minusSize(s)
	return size > 0 && r.pos > 0 && r.text[r.pos-1] == ' ' && size < len(s) && s[size] != ' ' && strings.IndexByte(s, '+') > 0
}

// unequal reads a tolerance with its two sides apart.
func (r *reader) unequal(m *measured) *Error {
	start := r.pos
	var sides [2]number
	for i := range sides {
		r.space()
		size := minusSize(r.text[r.pos:])
		plus := size == 0 && r.pos < len(r.text) && r.text[r.pos] == '+'
		if plus {
			size = 1
		}
		r.pos += size
		r.space()
		if size == 0 || !r.startsNumber(r.pos) || i == 1 && plus == (m.up.d != 0) {
			return r.fail(start, r.pos, "a tolerance with two sides has a plus and a minus, each with its number")
		}
		n, err := r.toleranceNumber(m)
		if err != nil {
			return err
		}
		if plus {
			m.up = n
		} else {
			m.down = n
		}
		if r.pos < len(r.text) && (r.text[r.pos] == ',' || r.text[r.pos] == '/') && i == 0 {
			r.pos++
		}
	}
	m.join = within
	return nil
}

func toleranceSize(s string) int {
	for _, t := range [...]string{"±", "+/-", "+/−", "+-"} {
		if strings.HasPrefix(s, t) {
			return len(t)
		}
	}
	return 0
}

// minusSize returns the size of a hyphen or minus sign at the start of s.
func minusSize(s string) int {
	switch {
	case strings.HasPrefix(s, "-"):
		return 1
	case strings.HasPrefix(s, "−"):
		return len("−")
	}
	return 0
}

// dashSize returns the size of a hyphen, dash or ellipsis at the start of s.
func dashSize(s string) int {
	if size := minusSize(s); size > 0 {
		return size
	}
	for _, d := range [...]string{"–", "—", "...", "…"} {
		if strings.HasPrefix(s, d) {
			return len(d)
		}
	}
	return 0
}
