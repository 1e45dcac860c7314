package store

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fourmarks.example/schema"
)

// Query is what somebody knows of an engine. Zero values say nothing.
type Query struct {
	Words  string
	Year   int
	Number string
}

// Match is an engine that fits a query.
type Match struct {
	Entry
	// Variant is the series that the year and number are of; empty for the base,
	// or where neither was asked for.
	Variant string `json:"variant"`
	// Because says why the engine is named though it is not called so: an id
	// that moved, or years and numbers that its file does not give.
	Because string `json:"because"`

	score int
	// guessed is set when a word fits only if it was written with a slip.
	guessed bool
}

// Find returns the engines that fit, the best first. An engine fits when each
// word stands in its id, names or remarks, or nearly does, and neither year nor
// number rules it out. An id that is no longer used finds what took its place.
func (c *Catalogue) Find(q Query) []Match {
	if moved, ok := c.moved(strings.TrimSpace(q.Words)); ok {
		return moved
	}
	wanted := tokens(q.Words)
	var found []Match
	for _, e := range c.Entries {
		m := Match{Entry: e}
		m.score, m.guessed = e.score(wanted)
		if m.score == 0 && len(wanted) > 0 {
			continue
		}
		if (q.Year != 0 || q.Number != "") && !m.narrow(q, len(wanted) > 0) {
			continue
		}
		found = append(found, m)
	}
	slices.SortStableFunc(found, func(a, b Match) int { return cmp.Compare(b.score, a.score) })
	return found
}

// moved returns the engines that took the place of an id no longer used.
func (c *Catalogue) moved(id string) ([]Match, bool) {
	move := slices.IndexFunc(c.Moves, func(m schema.Move) bool { return m.From == id })
	if move < 0 {
		return nil, false
	}
	now, err := schema.Follow(id, c.Moves)
	if err != nil {
		return nil, false
	}
	var found []Match
	for _, e := range c.Entries {
		if slices.Contains(now, e.ID) {
			found = append(found, Match{Entry: e, Because: fmt.Sprintf("%s moved: %s", id, c.Moves[move].Because)})
		}
	}
	return found, len(found) > 0
}

// narrow looks for the series that the year and number of a query are of, and
// reports false when they rule the engine out. Where the file does not give
// them they rule out nothing, as long as the engine was asked for by name.
func (m *Match) narrow(q Query, named bool) bool {
	base := Series{Made: m.Made, rangeOf: m.rangeOf}
	unsure := false
	// The base comes last: a series that fits says more.
	for _, s := range append(slices.Clone(m.Variants), base) {
		says := q.Year != 0 && s.Made != "" || q.Number != "" && s.rangeOf.Given()
		if s.Name != "" && !says {
			continue
		}
		if !s.rangeOf.Given() {
			s.rangeOf = base.rangeOf
		}
		switch max(madeIn(cmp.Or(s.Made, base.Made), q.Year), numbered(s.rangeOf, q.Number)) {
		case yes:
			m.Variant = s.Name
			return true
		case unknown:
			unsure = true
		}
	}
	m.Because = "its file does not give the years or numbers that would tell"
	return named && unsure
}

// answer to whether a year or number is of a series; of two the greater counts.
type answer int

const (
	yes answer = iota
	unknown
	no
)

func madeIn(made string, year int) answer {
	first, last, ok := schema.Years(made)
	switch {
	case year == 0:
		return yes
	case !ok:
		return unknown
	case first <= year && year <= last:
		return yes
	}
	return no
}

func numbered(r schema.NumberRange, number string) answer {
	switch {
	case number == "":
		return yes
	case !r.Given():
		return unknown
	case r.Contains(number):
		return yes
	}
	return no
}

// score rates how well an engine fits the words; 0 when a word fits nothing.
// Names count more than remarks, whole words more than parts.
func (e Entry) score(wanted []string) (total int, guessed bool) {
	names := tokens(e.ID + " " + e.Title + " " + e.AlsoCalled)
	remarks := tokens(e.Made + " " + e.Looks + " " + e.Numbers.Found)
	for _, v := range e.Variants {
		names = append(names, tokens(v.Name+" "+v.Title)...)
	}
	for _, w := range wanted {
		name, remark := fit(w, names), fit(w, remarks)
		if name+remark == 0 {
			return 0, false
		}
		guessed = guessed || max(name, remark) == nearly
		total += max(4*name, remark)
	}
	return total, guessed
}

// How well a word fits another, from not at all to the same.
const (
	nowise = iota
	nearly
	within
	begins
	same
)

// fit rates how well a word fits the best of others.
func fit(word string, others []string) int {
	best := nowise
	for _, o := range others {
		switch {
		case o == word:
			return same
		case strings.HasPrefix(o, word):
			best = max(best, begins)
		case len(word) > 2 && strings.Contains(o, word):
			best = max(best, within)
		}
	}
	if best == nowise && len(word) > 3 && len(schema.Nearest(word, others, 1)) > 0 {
		return nearly
	}
	return best
}

// tokens splits a text into words of letters or figures, in small letters.
func tokens(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) })
}

// NotOne says that words name no engine, or more than one.
type NotOne struct {
	Words string
	// Candidates are the engines they could name, Near the ids that look alike
	// when there are none.
	Candidates []Match
	Near       []string
}

func (e *NotOne) Error() string {
	switch {
	case len(e.Candidates) > 1:
		return fmt.Sprintf("%q can be any of %d engines", e.Words, len(e.Candidates))
	case len(e.Near) > 0:
		return fmt.Sprintf("there is no engine %q; near to it: %s", e.Words, strings.Join(e.Near, ", "))
	}
	return fmt.Sprintf("there is no engine %q", e.Words)
}

// One returns the engine that an id, a name or other words identify: all but one
// must be ruled out, and no slip of the pen is made good, for the figures of
// another engine do harm. The error is a [*NotOne] when there is none or more
// than one.
func (c *Catalogue) One(words string) (Match, error) {
	words = strings.TrimSpace(words)
	if words == "" {
		return Match{}, errors.New("name an engine: its id, or words that only it fits")
	}
	if i := slices.IndexFunc(c.Entries, func(e Entry) bool { return e.ID == words }); i >= 0 {
		return Match{Entry: c.Entries[i]}, nil
	}
	found := c.Find(Query{Words: words})
	sure := slices.DeleteFunc(slices.Clone(found), func(m Match) bool { return m.guessed })
	if called := slices.DeleteFunc(slices.Clone(sure), func(m Match) bool { return !m.called(words) }); len(called) == 1 {
		sure = called
	}
	switch len(sure) {
	case 1:
		return sure[0], nil
	case 0:
		return Match{}, &NotOne{Words: words, Near: c.near(words, found)}
	}
	return Match{}, &NotOne{Words: words, Candidates: sure}
}

// near returns the ids that may be meant: of the engines that fit but for a
// slip, otherwise those that look alike.
func (c *Catalogue) near(words string, guesses []Match) []string {
	const most = 3
	var ids []string
	for _, m := range guesses[:min(most, len(guesses))] {
		ids = append(ids, m.ID)
	}
	if ids == nil {
		return schema.Nearest(words, c.ids(), most)
	}
	return ids
}

// called reports whether words are the engine's title or other name, whole.
func (e Entry) called(words string) bool {
	is := func(name string) bool { return slices.Equal(tokens(name), tokens(words)) }
	return is(e.Title) || is(e.AlsoCalled) || is(e.ID)
}

func (c *Catalogue) ids() []string {
	ids := make([]string, len(c.Entries))
	for i, e := range c.Entries {
		ids[i] = e.ID
	}
	return ids
}
