package figure

import (
	"fmt"
	"strings"
)

// Error says why a text cannot be read as a figure of its kind.
type Error struct {
	Kind Kind
	Text string
	// Offset and End are the bytes of Text that cannot be read.
	Offset, End int
	// Want is what the slot takes, Got what stands there instead.
	Want, Got string
	// WrongUnit says that the unit is one of another quantity.
	WrongUnit bool
}

// Error is a plain sentence: what is wrong, and what to write.
func (e *Error) Error() string {
	return fmt.Sprintf("%q cannot be read: %s; write %s", e.Text, e.Got, e.Want)
}

// fail makes the error for the bytes from start to end of the text.
func (r *reader) fail(start, end int, format string, args ...any) *Error {
	return &Error{Kind: r.kind, Text: r.whole, Offset: start, End: max(start, end), Want: r.want(), Got: fmt.Sprintf(format, args...)}
}

// want says what the slot takes, with an example.
func (r *reader) want() string { return r.kind.String() + ", such as " + r.kind.Example() }

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
