package figure

import (
	"fourmarks.example/convert"
)

// phrase reads words beside the number: how sure it is, what it is measured
// by, and from which dead centre.
func (r *reader) phrase(m *measured) *Error {
	start := r.pos
	if r.kind == Pitch && !m.hasFirst && r.unit(m) {
		return nil
	}
	w := r.next()
	if r.limit(m, w) {
		return nil
	}
	if r.spec.event {
		if done, err := r.crankPhrase(m, w, start); done || err != nil {
			return err
		}
	}
	switch {
	case w == wordApproximately:
		m.approx = true
		return nil
	case w == wordNil && start == m.span.Start && r.spec.zero != convert.One:
		return r.zero(m, start)
	case w == wordSea && start == m.span.Start && r.kind == Altitude && r.accept(wordLevel):
		return r.zero(m, start)
	case w == wordBetween && !m.hasFirst:
		m.between = true
		return nil
	case w == wordTeeth && r.kind == Count && m.hasFirst:
		m.measure = Teeth
		return nil
	case w == wordThings && r.kind == Count && m.hasFirst, w == wordHorsepower && r.kind == TaxHorsepower:
		return nil
	case (r.kind == ReadLength || r.kind == NominalLength) && r.place(m, w):
		return nil
	case (w == wordPlus || w == wordMinus) && m.hasFirst:
		return r.fail(start, r.pos, "the tolerance is in words").advise("write it with signs, such as ± 3 or +2 −1")
	}
	r.pos = start
	return r.unexpected()
}

// zero stores the number that a word stands for.
func (r *reader) zero(m *measured, start int) *Error {
	m.first, m.hasFirst = number{n: 0, d: 1, form: Word, Span: Span{start, r.pos}}, true
	return nil
}

// limit reads the words of a limit, the first of them w, and reports whether
// there are any.
func (r *reader) limit(m *measured, w word) bool {
	back := r.pos
	set := func(l limit, compared bool) bool {
		m.limit, m.compared = l, compared
		return true
	}
	switch w {
	case wordMinimum:
		return set(atLeast, false)
	case wordMaximum:
		return set(atMost, false)
	case wordOver:
		return set(atLeast, true)
	case wordUnder:
		return set(atMost, true)
	case wordWithin:
		return set(atMost, false)
	case wordAt:
		if r.accept(wordLeast) {
			return set(atLeast, true)
		}
		if r.accept(wordMost) {
			return set(atMost, true)
		}
	case wordUp:
		if r.accept(wordTo) {
			return set(atMost, true)
		}
	case wordLess:
		if r.accept(wordThan) {
			return set(atMost, true)
		}
	case wordMore:
		if r.accept(wordThan) {
			return set(atLeast, true)
		}
	case wordNot:
		switch {
		case r.accept(wordLess) && r.accept(wordThan), r.accept(wordUnder):
			return set(atLeast, true)
		case r.accept(wordMore) && r.accept(wordThan), r.accept(wordOver), r.accept(wordExceeding):
			return set(atMost, true)
		}
	case wordOr:
		if m.hasFirst && r.accept(wordMore, wordOver) {
			return set(atLeast, true)
		}
		if m.hasFirst && r.accept(wordLess, wordUnder) {
			return set(atMost, true)
		}
	case wordOf: // within 20 psi of one another
		if m.limit == atMost && r.accept(wordOne, wordEach) && r.accept(wordAnother) {
			return true
		}
	}
	r.pos = back
	return false
}

// place reads where a lift or clearance is measured: lift at valve, off the seat.
func (r *reader) place(m *measured, w word) bool {
	back := r.pos
	switch w {
	case wordLift:
		return true
	case wordOf:
		if r.accept(wordLift) {
			return true
		}
	case wordOff:
		r.accept(wordThe, wordIts)
		if r.accept(wordSeat) {
			m.at = AtValve
			return true
		}
	case wordAt:
		r.accept(wordThe)
		if r.accept(wordValve) {
			m.at = AtValve
			return true
		}
		if r.accept(wordTappet) {
			m.at = AtTappet
			return true
		}
	case wordValve:
		m.at = AtValve
		return true
	case wordTappet:
		m.at = AtTappet
		return true
	}
	r.pos = back
	return false
}

// crankPhrase reads what a position is measured by and counted from.
func (r *reader) crankPhrase(m *measured, w word, start int) (bool, *Error) {
	switch w {
	case wordBTDC, wordATDC, wordBBDC, wordABDC:
		m.mark = r.accept(wordMark) || m.mark
		return true, r.datum(m, BTDC+Datum(w-wordBTDC), start)
	case wordBefore, wordAfter:
		r.accept(wordThe)
		centre, ok := r.centre(m)
		if !ok {
			return false, nil
		}
		return true, r.datum(m, sided(centre, w), start)
	case wordFrom, wordOff:
		r.accept(wordThe)
		if centre, ok := r.centre(m); ok {
			return true, r.datum(m, centre, start)
		}
	case wordTDC, wordBDC, wordTop, wordBottom:
		r.pos = start
		if centre, ok := r.centre(m); ok {
			return true, r.atCentre(m, centre, start)
		}
	case wordAt, wordOn, wordOf, wordAlong, wordRound, wordBy:
		r.accept(wordThe)
		back := r.pos
		r.space()
		if centre, ok := r.centre(m); ok && (w == wordAt || w == wordOn) {
			return true, r.atCentre(m, centre, start)
		}
		r.pos = back
		r.space()
		return r.measure(m, r.next(), start)
	}
	return r.measure(m, w, start)
}

// sided turns a dead centre into the side of it that the word tells.
func sided(centre Datum, w word) Datum {
	d := BTDC
	if centre == BDC {
		d = BBDC
	}
	if w == wordAfter {
		d++
	}
	return d
}

// centre reads the name of a dead centre and the word mark behind it.
func (r *reader) centre(m *measured) (Datum, bool) {
	back := r.pos
	r.space()
	var d Datum
	switch r.next() {
	case wordTDC:
		d = TDC
	case wordBDC:
		d = BDC
	case wordTop:
		d = TDC
		r.deadCentre()
	case wordBottom:
		d = BDC
		r.deadCentre()
	default:
		r.pos = back
		return NoDatum, false
	}
	m.mark = r.accept(wordMark) || m.mark
	return d, true
}

// deadCentre moves past "dead centre", "centre" or "d.c.".
func (r *reader) deadCentre() {
	if r.accept(wordDeadCentre) {
		return
	}
	r.accept(wordDead)
	r.accept(wordCentre)
}

// atCentre reads a dead centre with no side: the position itself when there is
// no number.
func (r *reader) atCentre(m *measured, centre Datum, start int) *Error {
	if m.hasFirst && m.first.n != 0 {
		return r.fail(start, r.pos, "the side of the dead centre is missing").advise("say before or after")
	}
	end := r.pos
	if !m.hasFirst {
		r.space()
		if r.startsNumber(r.pos) || start != m.span.Start {
			return r.fail(start, end, "the side of the dead centre is missing").advise("say before or after")
		}
		m.first, m.hasFirst = number{n: 0, d: 1, form: Word, Span: Span{start, end}}, true
	}
	r.pos = end
	return r.datum(m, centre, start)
}

func (r *reader) datum(m *measured, d Datum, start int) *Error {
	if m.datum != NoDatum {
		return r.fail(start, r.pos, "a second dead centre is named").advise("a range is written with one, such as 10 to 12 BTDC")
	}
	m.datum = d
	return nil
}

// measure reads what a position is measured by, the word for it being w.
func (r *reader) measure(m *measured, w word, start int) (bool, *Error) {
	switch w {
	case wordPiston:
		r.accept(wordTravel)
		return true, r.measureBy(m, PistonTravel, start)
	case wordRim:
		m.straight = r.straight() || m.straight
		return true, r.measureBy(m, Rim, start)
	case wordStraight:
		r.accept(wordRule)
		m.straight = true
		r.accept(wordRim)
		return true, r.measureBy(m, Rim, start)
	case wordFlywheel:
		if r.accept(wordTeeth) {
			return true, r.measureBy(m, Teeth, start)
		}
		r.accept(wordRim)
		m.straight = r.straight() || m.straight
		return true, r.measureBy(m, Rim, start)
	case wordRing:
		r.accept(wordGear)
		if r.accept(wordTeeth) {
			return true, r.measureBy(m, Teeth, start)
		}
	case wordTeeth:
		if m.hasFirst {
			return true, r.measureBy(m, Teeth, start)
		}
	}
	return false, nil
}

// straight reads "straight rule" after the rim.
func (r *reader) straight() bool {
	back := r.pos
	r.accept(wordBy)
	if !r.accept(wordStraight) {
		r.pos = back
		return false
	}
	r.accept(wordRule)
	return true
}

func (r *reader) measureBy(m *measured, by Measure, start int) *Error {
	if r.kind == RimPosition && by != Rim {
		return r.fail(start, r.pos, "it is measured along the rim, not in %s", by)
	}
	if m.measure != NoMeasure && m.measure != by {
		return r.fail(start, r.pos, "it is measured in two ways").advise("put the second figure in brackets")
	}
	m.measure = by
	return nil
}

// share hands to every reading what the print says only once: the dead centre,
// the measure of its distances, a limit, that it is approximate.
func share(found []measured, shared *measured) {
	for i := range found {
		shared.adopt(&found[i])
	}
	for i := range found {
		found[i].inherit(shared)
	}
}

// adopt takes over from m what s lacks.
func (s *measured) adopt(m *measured) {
	if s.datum == NoDatum {
		s.datum = m.datum
	}
	if s.measure == NoMeasure && m.measure != Teeth {
		s.measure, s.straight = m.measure, m.straight
	}
	if s.limit == noLimit {
		s.limit, s.compared = m.limit, m.compared
	}
	if s.at == NoPlace {
		s.at = m.at
	}
	s.mark = s.mark || m.mark
	s.approx = s.approx || m.approx
}

// inherit takes from s what m lacks; a measure only where m is a distance.
func (m *measured) inherit(s *measured) {
	if m.datum == NoDatum {
		m.datum = s.datum
	}
	if m.measure == NoMeasure && m.unit.Dimension() == convert.Length {
		m.measure, m.straight = s.measure, s.straight
	}
	if m.limit == noLimit && m.join == alone {
		m.limit, m.compared = s.limit, s.compared
	}
	if m.at == NoPlace {
		m.at = s.at
	}
	m.mark = m.mark || s.mark
	m.approx = m.approx || s.approx
}
