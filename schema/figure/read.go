package figure

import (
	"strings"
	"unicode/utf8"
)

// longest bounds the text of a figure in bytes.
const longest = 400

// reader reads one text. Its methods move pos forward; those that may find
// nothing put it back.
type reader struct {
	kind Kind
	spec *spec
	// whole is the print; text is whole up to the end of the part that is
	// being read, so that places in one are places in the other.
	whole, text string
	pos         int

	found  [mostReadings]measured
	count  int
	shared measured // what is said once for all readings
}

// mostReadings is more units than one figure is printed in.
const mostReadings = 4

// Read reads a text as a figure of a kind. A word for an absent figure is read
// for every kind. The error is an *Error.
func Read(kind Kind, text string) (Printed, error) {
	p := Printed{Text: text, Kind: kind}
	r := reader{kind: kind, spec: kind.spec(), whole: text, text: text}
	if err := r.check(); err != nil {
		return p, err
	}
	if p.Absence, p.Legible = r.absence(); p.Absence != "" {
		return p, nil
	}
	if err := r.into(&p); err != nil {
		return Printed{Text: text, Kind: kind}, err
	}
	return p, nil
}

// into reads what is not an absence.
func (r *reader) into(p *Printed) *Error {
	switch r.spec.form {
	case quantity:
		readings, err := r.quantity()
		p.Readings = readings
		return err
	case list:
		readings, err := r.list()
		p.List = readings
		return err
	case order:
		labels, err := r.order()
		p.Order = labels
		return err
	case direction:
		rotation, err := r.rotation()
		p.Direction = rotation
		return err
	}
	return nil
}

// check refuses texts that hold no figure of any kind.
func (r *reader) check() error {
	if r.kind >= kinds {
		return r.fail(0, len(r.text), "no such kind of figure is known")
	}
	if len(r.text) > longest && r.kind != Text {
		return r.fail(longest, len(r.text), "it is longer than any printed figure")
	}
	blank := true
	for i := 0; i < len(r.text); {
		c := r.text[i]
		if c > ' ' && c < utf8.RuneSelf-1 {
			blank = false
			i++
			continue
		}
		size := 1
		switch {
		case c >= utf8.RuneSelf:
			var ch rune
			if ch, size = utf8.DecodeRuneInString(r.text[i:]); ch == utf8.RuneError && size == 1 {
				return r.fail(i, i+1, "it is not text in UTF-8")
			}
			blank = false
		case c != ' ':
			return r.fail(i, i+1, "it holds a control character or a line break")
		}
		i += size
	}
	if blank {
		return r.fail(0, len(r.text), "nothing is written").advise("say whether the figure is unknown, not given, none or illegible")
	}
	return nil
}

// absence reads the words for an absent figure, and figures that cannot be read
// in full: those with a question mark in place of what cannot be read.
func (r *reader) absence() (Absence, string) {
	s := strings.Trim(r.text, " ")
	switch Absence(s) {
	case Unknown, NotGiven, None, Illegible:
		return Absence(s), ""
	}
	if rest, ok := strings.CutPrefix(s, string(Illegible)); ok && (rest[0] == ' ' || rest[0] == ':') {
		return Illegible, strings.TrimLeft(rest, " :")
	}
	if r.kind != Text && strings.IndexByte(s, '?') >= 0 && strings.ContainsFunc(s, isFigure) {
		return Illegible, s
	}
	return "", ""
}

// isFigure reports whether a character is a figure or a vulgar fraction.
func isFigure(c rune) bool {
	if '0' <= c && c <= '9' {
		return true
	}
	_, _, size := vulgar(string(c))
	return size > 0
}
