package schema

import (
	"slices"
	"strings"

	"fourmarks.example/schema/figure"
)

// Standing is how far a figure is established. It is computed from its claims,
// never written in a file.
type Standing int

const (
	// Absent: no source gives a value.
	Absent Standing = iota
	// Unsourced: a value stands without a source.
	Unsourced
	// SingleSource: one independent witness.
	SingleSource
	// Confirmed: two or more independent witnesses agree.
	Confirmed
	// Disputed: claims that stand cannot all be right.
	Disputed
	// Settled: a disagreement was ended by setting claims aside.
	Settled
)

// String returns the standing in the words used in reports and data.
func (s Standing) String() string {
	return [...]string{"absent", "unsourced", "single-source", "confirmed", "disputed", "settled"}[s]
}

// Standings lists every standing there is.
func Standings() []Standing {
	return []Standing{Absent, Unsourced, SingleSource, Confirmed, Disputed, Settled}
}

// Register looks up source records by id.
type Register func(id string) (*Source, bool)

// StandingOf works out how far the figure is established. Sources that copy
// one another, directly or by way of others, count as one witness.
func StandingOf(f *Figure, lookup Register) Standing {
	claims := slices.Collect(f.Standing())
	switch {
	case len(claims) == 0:
		return Absent
	case !agree(claims):
		return Disputed
	case len(f.Given()) > len(claims):
		return Settled
	}
	witnesses := map[string]bool{}
	for _, c := range claims {
		if c.From.Given() {
			witnesses[lookup.Root(c.From.Source)] = true
		}
	}
	switch len(witnesses) {
	case 0:
		return Unsourced
	case 1:
		return SingleSource
	}
	return Confirmed
}

// Tally says how far an engine is established: how many of its figures have
// each standing. A variant counts what it inherits.
func Tally(e *Engine, lookup Register) map[Standing]int {
	tally := map[Standing]int{}
	for _, f := range e.Figures() {
		tally[StandingOf(f, lookup)]++
	}
	return tally
}

// agree reports whether all claims can be right at once: words when they are
// the same, numbers when some value lies within the rounding of every print.
func agree(claims []*Claim) bool {
	for i, a := range claims {
		for _, b := range claims[i+1:] {
			if !Agree(a, b) {
				return false
			}
		}
	}
	return true
}

// Agree reports whether two claims can both be right. Readings that cannot be
// compared, such as degrees with piston travel, do not contradict one another.
func Agree(a, b *Claim) bool {
	p, q := a.Printed, b.Printed
	if len(p.Readings) == 0 || len(q.Readings) == 0 {
		return sameWords(p, q)
	}
	for _, r := range p.Readings {
		for _, o := range q.Readings {
			if r.Measure == o.Measure && r.Unit.Dimension() == o.Unit.Dimension() && !crankMeets(r, o) {
				return false
			}
		}
	}
	return true
}

// sameWords compares prints that are not numbers.
func sameWords(p, q figure.Printed) bool {
	switch {
	case len(p.Order) > 0 || len(q.Order) > 0:
		return slices.Equal(p.Order, q.Order)
	case len(p.List) > 0 || len(q.List) > 0:
		return slices.EqualFunc(p.List, q.List, func(a, b figure.Reading) bool { return a.Interval().Meets(b.Interval()) })
	case p.Direction.Sense != figure.NoSense && p.Direction.From != "" && q.Direction.From != "" && p.Direction.From != q.Direction.From:
		return true // seen from different ends: not to be compared as words
	case p.Direction.Sense != figure.NoSense:
		return p.Direction.Sense == q.Direction.Sense
	}
	return strings.EqualFold(strings.Join(strings.Fields(p.Text), " "), strings.Join(strings.Fields(q.Text), " "))
}

// crankMeets compares two readings of one measure, counted from one datum.
func crankMeets(r, o figure.Reading) bool {
	is := r.Interval()
	if r.Measure == figure.CrankAngle {
		return o.Datum.Recount(is, r.Datum).Meets(o.Interval())
	}
	return r.Datum == o.Datum && is.Meets(o.Interval())
}

// Root returns the id from which a source's word comes: the source itself, or
// what it copies, followed to the end. A circle of copies has no root but
// itself: its least id is returned.
func (lookup Register) Root(id string) string {
	path := []string{id}
	for {
		s, ok := lookup(id)
		if !ok || !s.Copies.Given() {
			return id
		}
		id = s.Copies.Text
		if i := slices.Index(path, id); i >= 0 {
			return slices.Min(path[i:])
		}
		path = append(path, id)
	}
}
