package figure

import (
	"errors"

	"fourmarks.example/convert"
)

// Respelling is a unit misspelled in a print, and how it is spelled.
type Respelling struct {
	Wrong Span
	Right string
}

// Respell returns the slip of the pen in the unit of a print that cannot be read:
// one letter wrong, left out, too many, or two exchanged. It is false unless one
// unit alone can be meant and the print can be read with it. The figure itself is
// never touched.
func Respell(kind Kind, text string) (Respelling, bool) {
	_, err := Read(kind, text)
	var unread *Error
	if !errors.As(err, &unread) || kind >= kinds {
		return Respelling{}, false
	}
	right, ok := convert.Respell(text[unread.Offset:unread.End], kind.spec().of...)
	if !ok {
		return Respelling{}, false
	}
	if _, err := Read(kind, text[:unread.Offset]+right+text[unread.End:]); err != nil {
		return Respelling{}, false
	}
	return Respelling{Wrong: Span{unread.Offset, unread.End}, Right: right}, true
}
