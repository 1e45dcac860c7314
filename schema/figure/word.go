package figure

// word is a word that prints use beside their numbers.
type word uint8

const (
	unknownWord word = iota

	// Words that may be initials with points.
	wordBTDC
	wordATDC
	wordBBDC
	wordABDC
	wordTDC
	wordBDC
	wordDeadCentre
	wordHorsepower
	lastInitials = wordHorsepower
)

const (
	wordTop word = lastInitials + 1 + iota
	wordBottom
	wordDead
	wordCentre
	wordBefore
	wordAfter
	wordFrom
	wordOff
	wordOn
	wordAt
	wordThe
	wordIts
	wordOf
	wordMark

	wordPiston
	wordTravel
	wordRim
	wordAlong
	wordRound
	wordBy
	wordStraight
	wordRule
	wordFlywheel
	wordRing
	wordGear
	wordTeeth
	wordCrank

	wordThings
	wordLift
	wordSeat
	wordValve
	wordTappet
	wordNil
	wordSea
	wordLevel

	wordApproximately
	wordMinimum
	wordMaximum
	wordLeast
	wordMost
	wordLess
	wordMore
	wordOver
	wordUnder
	wordExceeding
	wordThan
	wordNot
	wordUp
	wordTo
	wordWithin
	wordBetween
	wordAnd
	wordOr
	wordOne
	wordEach
	wordAnother
	wordPlus
	wordMinus
)

// lexicon holds the words in small letters, initials without their points.
// T.C. and B.C. for the two centres, and upper and lower for top and bottom,
// are American usage, from memory; inner and outer are those of J. B. Rathbun,
// Practical Hand-Book of Gas, Oil and Steam Engines, sections 137 and 138.
var lexicon = map[string]word{
	"btdc": wordBTDC, "btc": wordBTDC, "atdc": wordATDC, "atc": wordATDC,
	"bbdc": wordBBDC, "bbc": wordBBDC, "abdc": wordABDC, "abc": wordABDC,
	"tdc": wordTDC, "tc": wordTDC, "udc": wordTDC, "bdc": wordBDC, "bc": wordBDC, "ldc": wordBDC,
	"top": wordTop, "upper": wordTop, "inner": wordTop,
	"bottom": wordBottom, "lower": wordBottom, "outer": wordBottom,
	"dead": wordDead, "centre": wordCentre, "center": wordCentre, "dc": wordDeadCentre,
	"before": wordBefore, "bef": wordBefore, "b": wordBefore,
	"after": wordAfter, "aft": wordAfter, "past": wordAfter, "a": wordAfter,
	"from": wordFrom, "off": wordOff, "on": wordOn, "at": wordAt, "the": wordThe, "its": wordIts, "of": wordOf,
	"mark": wordMark,

	"piston": wordPiston, "travel": wordTravel, "stroke": wordTravel,
	"rim": wordRim, "along": wordAlong, "round": wordRound, "around": wordRound, "by": wordBy,
	"straight": wordStraight, "rule": wordRule, "flywheel": wordFlywheel, "pulley": wordFlywheel,
	"ring": wordRing, "gear": wordGear, "tooth": wordTeeth, "teeth": wordTeeth, "t": wordTeeth,
	"crank": wordCrank, "crankshaft": wordCrank,

	"cylinder": wordThings, "cylinders": wordThings, "cyl": wordThings, "cyls": wordThings,
	"hole": wordThings, "holes": wordThings, "keyway": wordThings, "keyways": wordThings,
	"link": wordThings, "links": wordThings, "pitches": wordThings, "row": wordThings, "rows": wordThings,
	"turn": wordThings, "turns": wordThings, "revolution": wordThings, "revolutions": wordThings, "revs": wordThings,
	"spark": wordThings, "sparks": wordThings, "valves": wordThings, "bearings": wordThings,
	"hp": wordHorsepower, "rac": wordHorsepower, "sae": wordHorsepower, "alam": wordHorsepower, "nacc": wordHorsepower, "horsepower": wordHorsepower,

	"lift": wordLift, "seat": wordSeat, "valve": wordValve, "tappet": wordTappet,
	"nil": wordNil, "zero": wordNil, "sea": wordSea, "level": wordLevel,

	"approx": wordApproximately, "approximately": wordApproximately, "about": wordApproximately, "abt": wordApproximately,
	"circa": wordApproximately, "c": wordApproximately, "ca": wordApproximately, "say": wordApproximately, "nearly": wordApproximately, "roughly": wordApproximately,
	"minimum": wordMinimum, "min": wordMinimum, "maximum": wordMaximum, "max": wordMaximum,
	"least": wordLeast, "most": wordMost, "less": wordLess, "more": wordMore,
	"over": wordOver, "above": wordOver, "under": wordUnder, "below": wordUnder, "exceeding": wordExceeding,
	"than": wordThan, "not": wordNot, "no": wordNot, "up": wordUp, "to": wordTo, "within": wordWithin,
	"between": wordBetween, "and": wordAnd, "or": wordOr, "one": wordOne, "each": wordEach, "another": wordAnother, "other": wordAnother,
	"plus": wordPlus, "minus": wordMinus,
}

// longestWord is more than the longest word of the lexicon has letters.
const longestWord = 16

// next reads the word at r.pos and moves behind it; it is unknownWord, and
// r.pos stays, when no word of the lexicon stands there. Of initials one after
// another the longest word is taken: in "h.p. R.A.C." that is "h.p.".
func (r *reader) next() word {
	var letters [longestWord]byte
	found, size := unknownWord, 0
	for end, pointed := r.pos, false; ; pointed = true {
		start := end
		for end < len(r.text) && isLetter(r.text[end]) {
			if size == longestWord {
				return found
			}
			letters[size] = r.text[end] | 0x20
			size++
			end++
		}
		next, after, more := r.initial(start, end)
		if w := lexicon[string(letters[:size])]; w != unknownWord && !(pointed && w > lastInitials) {
			found, r.pos = w, after
		}
		if !more {
			return found
		}
		end = next
	}
}

// initial looks at the letters from start to end: after is where the word ends
// with them, and more says that they are an initial with another, at next, as in
// T.D.C. and B. T. D. C.
func (r *reader) initial(start, end int) (next, after int, more bool) {
	if end >= len(r.text) || r.text[end] != '.' || end == start || r.digitAt(end+1) {
		return end, end, false
	}
	after = end + 1
	if end-start > 1 {
		return after, after, false
	}
	if after < len(r.text) && isLetter(r.text[after]) {
		return after, after, true
	}
	next = after
	for next < len(r.text) && r.text[next] == ' ' {
		next++
	}
	return next, after, next+1 < len(r.text) && isLetter(r.text[next]) && r.text[next+1] == '.'
}

// accept moves past the word at r.pos, with the space before it, if it is one
// of those wanted.
func (r *reader) accept(wanted ...word) bool {
	back := r.pos
	r.space()
	w := r.next()
	for _, x := range wanted {
		if w == x {
			return true
		}
	}
	r.pos = back
	return false
}

// space moves past spaces and the hyphen of a compound word.
func (r *reader) space() {
	for r.pos < len(r.text) {
		size := spaceSize(r.text[r.pos:])
		if size == 0 && r.text[r.pos] == '-' && r.pos > 0 && isLetter(r.text[r.pos-1]) && r.pos+1 < len(r.text) && isLetter(r.text[r.pos+1]) {
			size = 1
		}
		if size == 0 {
			return
		}
		r.pos += size
	}
}
