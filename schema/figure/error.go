package figure

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/convert"
)

// Error says why a text cannot be read as a figure of its kind.
type Error struct {
	Kind Kind
	Text string
	// Offset and End are the bytes of Text that cannot be read.
	Offset, End int
	// Got is what is wrong, Want what the slot takes, Hint what to do about it
	// where that is known.
	Got, Want, Hint string
	// WrongUnit says that the unit is one of another quantity.
	WrongUnit bool
}

// Error is a plain sentence: what is wrong, and what to write.
func (e *Error) Error() string {
	if e.Hint != "" {
		return fmt.Sprintf("%q cannot be read: %s; %s", e.Text, e.Got, e.Hint)
	}
	return fmt.Sprintf("%q cannot be read: %s, and %s is wanted", e.Text, e.Got, e.Want)
}

// fail makes the error for the bytes from start to end of the text.
func (r *reader) fail(start, end int, got string, args ...any) *Error {
	return &Error{Kind: r.kind, Text: r.whole, Offset: start, End: max(start, end), Got: fmt.Sprintf(got, args...), Want: r.kind.want()}
}

// advise adds what to do about the error.
func (e *Error) advise(hint string, args ...any) *Error {
	e.Hint = fmt.Sprintf(hint, args...)
	return e
}

// want says what the slot takes, with an example.
func (k Kind) want() string { return k.String() + ", such as " + k.Example() + "," }

// nothing is the error for a text without a figure.
func (r *reader) nothing(got string) *Error {
	if meant := absenceMeant(r.whole); meant != "" {
		return r.fail(0, len(r.whole), "that is no word for a figure that is not there").advise("write %s", meant)
	}
	return r.fail(0, len(r.whole), "%s", got)
}

// absences are words that people write for the words that a file has.
var absences = map[string]string{
	"n/a": "none or not given", "na": "none or not given", "nk": "unknown", "not known": "unknown", "not stated": "not given",
	"unstated": "not given", "not printed": "not given", "missing": "not given", "not applicable": "none", "no": "none",
	"unreadable": "illegible", "not legible": "illegible", "tbd": "unknown", "tbc": "unknown", "null": "unknown or not given", "~": "unknown or not given",
	"unknown": "unknown", "not given": "not given", "none": "none", "-": "unknown, not given or none", "—": "unknown, not given or none", "–": "unknown, not given or none",
	"?": "unknown or illegible",
}

// absenceMeant returns the word to write instead of a near miss, or "".
func absenceMeant(text string) string {
	text = strings.ToLower(strings.Trim(text, " "))
	if meant := absences[text]; meant != "" {
		return meant
	}
	return absences[strings.Trim(text, " .!?:")]
}

// unexpected says what cannot be read at pos: a unit of another quantity, or
// something else.
func (r *reader) unexpected() *Error {
	if meant := absenceMeant(r.whole); meant != "" {
		return r.nothing("there is no number in it")
	}
	start := r.pos
	end := start
	for end < len(r.text) && r.text[end] != ' ' {
		end++
	}
	rest := r.text[start:]
	if u, size := convert.MatchUnit(rest); size >= end-start {
		if slices.Contains(r.spec.of, u.Dimension()) {
			return r.fail(start, start+size, "%s is a second unit", rest[:size]).advise("put a figure in another unit in brackets, with its number")
		}
		e := r.fail(start, start+size, "%s is %s", rest[:size], u.Dimension())
		e.WrongUnit = true
		return e
	}
	return r.fail(start, end, "%q is not understood there", r.text[start:end])
}
