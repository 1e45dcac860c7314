package figure

import (
	"strings"

	"fourmarks.example/convert"
)

// measured is a reading while it is being read: what the print says, before
// what follows from it.
type measured struct {
	first    number
	hasFirst bool
	negative bool
	between  bool // the word between stands before

	last    number // of a range; of a ratio, what the first is held against
	join    join
	up      number // of a tolerance
	down    number
	tolUnit convert.Unit

	limit    limit
	compared bool // the limit is put as a comparison: less than, above
	approx   bool

	unit     convert.Unit
	hasUnit  bool
	measure  Measure
	straight bool
	datum    Datum
	mark     bool
	at       Place

	span Span
}

// join says how a second number belongs to the first.
type join uint8

const (
	alone   join = iota
	upTo         // a range
	against      // a ratio
	within       // a tolerance
)

type limit uint8

const (
	noLimit limit = iota
	atLeast
	atMost
)

// quantity reads one figure in one or more units.
func (r *reader) quantity() ([]Reading, *Error) {
	for bracket := false; ; {
		m, err := r.measured()
		if err == nil && !(bracket && m.isEmpty()) {
			err = r.keep(m)
		}
		if err != nil {
			return nil, err
		}
		if r.pos >= len(r.text) {
			return r.readings()
		}
		if bracket, err = r.separator(); err != nil {
			return nil, err
		}
	}
}

// isEmpty reports whether nothing was read.
func (m *measured) isEmpty() bool { return m.span.End == 0 }

// keep stores a reading, or words without a number that hold for all readings.
func (r *reader) keep(m measured) *Error {
	switch {
	case !m.hasFirst && !m.isEmpty() && r.count > 0:
		r.shared.adopt(&m)
		return nil
	case !m.hasFirst:
		return r.nothing("there is no number in it")
	case r.count == mostReadings:
		return r.fail(m.span.Start, m.span.End, "it has more readings than a figure is printed in units")
	}
	r.found[r.count] = m
	r.count++
	return nil
}

// separator moves past what stands between two readings: a sign, the word or,
// or a whole bracket with the reading in it.
func (r *reader) separator() (bracket bool, err *Error) {
	switch r.text[r.pos] {
	case '(', '[':
		return true, r.bracketed()
	case '=', '/', ';', ',':
		r.pos++
		return false, nil
	}
	if r.accept(wordOr) {
		return false, nil
	}
	return false, r.unexpected()
}

// bracketed reads what is in brackets, and leaves pos behind them.
func (r *reader) bracketed() *Error {
	start, closing := r.pos, byte(')')
	if r.text[start] == '[' {
		closing = ']'
	}
	length := strings.IndexByte(r.text[start:], closing)
	if length < 0 {
		return r.fail(start, len(r.text), "a bracket is opened and not closed")
	}
	rest, end := r.text, start+length
	r.text, r.pos = r.text[:end], start+1
	m, err := r.measured()
	switch {
	case err != nil:
		return err
	case r.pos < end:
		return r.unexpected()
	}
	r.text, r.pos = rest, end+1
	return r.keep(m)
}

// measured reads items in the order in which the print has them, up to the end
// or to a separator.
func (r *reader) measured() (measured, *Error) {
	r.space()
	m := measured{span: Span{Start: r.pos}}
	for {
		r.space()
		if r.pos >= len(r.text) || r.atSeparator(&m) {
			return m, nil
		}
		if err := r.item(&m); err != nil {
			return m, err
		}
		m.span.End = r.pos
	}
}

func (r *reader) atSeparator(m *measured) bool {
	switch r.text[r.pos] {
	case '(', '[', '=', '/', ';':
		return true
	case ',':
		return m.hasFirst || r.count > 0
	case 'o', 'O':
		return m.hasFirst && r.otherwise()
	}
	return false
}

// otherwise reports whether "or" stands at pos between two readings, and not in
// "or more".
func (r *reader) otherwise() bool {
	back := r.pos
	or := r.next() == wordOr && !r.accept(wordMore, wordOver, wordLess, wordUnder)
	r.pos = back
	return or
}

// item reads one item: a number with its unit, a sign or a phrase.
func (r *reader) item(m *measured) *Error {
	c := r.text[r.pos]
	switch {
	case r.startsNumber(r.pos):
		if c == '.' && r.pos > 0 && isLetter(r.text[r.pos-1]) {
			return r.fail(r.pos, r.pos+1, "the point may end the word or begin the number").advise("put a space between them")
		}
		return r.number(m)
	case isLetter(c):
		return r.phrase(m)
	}
	if size := toleranceSize(r.text[r.pos:]); size > 0 {
		return r.tolerance(m, size)
	}
	if size := minusSize(r.text[r.pos:]); size > 0 || c == '+' {
		return r.sign(m, max(size, 1))
	}
	for _, s := range [...]struct {
		print string
		limit limit
	}{{"<=", atMost}, {">=", atLeast}, {"≤", atMost}, {"≥", atLeast}, {"<", atMost}, {">", atLeast}, {"~", noLimit}, {"≈", noLimit}} {
		if !strings.HasPrefix(r.text[r.pos:], s.print) {
			continue
		}
		r.pos += len(s.print)
		if s.limit == noLimit {
			m.approx = true
			return nil
		}
		m.limit, m.compared = s.limit, true
		return nil
	}
	return r.unexpected()
}

// sign reads a plus or minus before the number.
func (r *reader) sign(m *measured, size int) *Error {
	minus := r.text[r.pos] != '+'
	start := r.pos
	r.pos += size
	r.space()
	switch {
	case m.hasFirst && minus && r.startsNumber(r.pos):
		return r.fail(start, r.pos, "a second number follows a minus").advise("for a range write `to`")
	case !m.hasFirst && !r.startsNumber(r.pos):
		return r.nothing("a sign stands without a number")
	case m.hasFirst:
		return r.fail(start, start+size, "a sign stands without a number")
	case r.spec.event:
		return r.fail(start, start+size, "a position has no sign").advise("say BTDC or ATDC, BBDC or ABDC")
	case !r.spec.signed:
		return r.fail(start, start+size, "%s has no sign", r.kind)
	}
	m.negative = minus
	return nil
}
