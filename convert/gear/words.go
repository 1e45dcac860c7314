package gear

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// String tells the move in words, each place with the direction and the end it
// is seen from: "turn camshaft 2 teeth forward, out of mesh with idler
// (clockwise seen from timing end)".
func (m Move) String() string {
	places := make([]string, len(m.Places))
	for i, p := range m.Places {
		places[i] = m.at(p)
	}
	return strings.Join(places, ", or ")
}

func (m Move) at(p Place) string {
	way := direction(m.CrankDeg)
	switch m.counts {
	case byTeeth:
		return fmt.Sprintf("turn %s %s %s, %s (%s)", p.Part, plural(m.Moved, "tooth", "teeth"), way, p.Against, m.seen(p))
	case byHoles:
		return fmt.Sprintf("turn %s %s, %s (forward is %s)", p.Part, p.Against, m.rings(), p.Turning)
	case byKeyways:
		return fmt.Sprintf("turn %s %s of %d %s, %s (%s)", p.Part, plural(m.Moved, "keyway", "keyways"), m.size[0], way, p.Against, m.seen(p))
	}
	return fmt.Sprintf("fit the %s that turns %s %s crank degrees %s, %s (%s)", m.fitting, p.Part, number(m.CrankDeg), way, p.Against, m.seen(p))
}

// rings tells the holes to move in either ring.
func (m Move) rings() string {
	var parts []string
	for i, h := range m.Holes {
		if h != 0 {
			parts = append(parts, fmt.Sprintf("%s %s in the ring of %d", plural(abs(h), "hole", "holes"), direction(float64(h)), m.size[i]))
		}
	}
	return strings.Join(parts, " and ")
}

// seen tells the way the part is turned.
func (m Move) seen(p Place) string {
	if m.CrankDeg < 0 {
		return p.Turning.Reversed().String()
	}
	return p.Turning.String()
}

// direction names a move by the way the part runs.
func direction(by float64) string {
	if by < 0 {
		return "back"
	}
	return "forward"
}

// String tells the moves and what they leave.
func (c Correction) String() string {
	moves := make([]string, len(c.Moves))
	for i, m := range c.Moves {
		moves[i] = m.String()
	}
	what := strings.Join(moves, "; ")
	if what == "" {
		what = "move nothing"
	}
	tolerance := number(c.ToleranceDeg)
	if !c.Within {
		return fmt.Sprintf("nothing comes within %s°; nearest: %s: leaves %s", tolerance, what, late(c.LateDeg))
	}
	return fmt.Sprintf("%s: leaves %s, within %s°", what, late(c.LateDeg), tolerance)
}

func late(deg float64) string {
	switch {
	case deg > 0:
		return number(deg) + "° late"
	case deg < 0:
		return number(deg) + "° early"
	}
	return "nothing"
}

// number prints a magnitude to a hundredth, or a smaller one to its first digit.
func number(x float64) string {
	x = math.Abs(x)
	if 0 < x && x < 0.01 {
		return strconv.FormatFloat(x, 'g', 1, 64)
	}
	text := strconv.FormatFloat(x, 'f', 2, 64)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

func plural(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
