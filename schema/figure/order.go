package figure

import "strings"

// order reads a firing order: labels of cylinders with hyphens, dashes, commas,
// strokes, arrows or spaces between them. A label is a number, or letters and a
// number: 1L, R4. Figures without anything between them are one cylinder each:
// 153624.
func (r *reader) order() ([]string, *Error) {
	var labels []string
	parted := true // a separator other than a space stands before
	for r.pos < len(r.text) {
		start := r.pos
		for r.pos < len(r.text) && (isDigit(r.text[r.pos]) || isLetter(r.text[r.pos])) {
			r.pos++
		}
		if r.pos > start {
			label := r.text[start:r.pos]
			if !strings.ContainsFunc(label, isFigure) {
				return nil, r.fail(start, r.pos, "%q is not a cylinder", label)
			}
			labels, parted = append(labels, label), false
			continue
		}
		size := orderMark(r.text[r.pos:])
		blank := spaceSize(r.text[r.pos:])
		switch {
		case blank > 0:
			size = blank
		case size == 0:
			return nil, r.unexpected()
		case parted:
			return nil, r.fail(r.pos, r.pos+size, "a cylinder is missing")
		default:
			parted = true
		}
		r.pos += size
	}
	switch {
	case len(labels) == 0:
		return nil, r.nothing("there is no number in it")
	case parted:
		return nil, r.fail(len(r.text), len(r.text), "a cylinder is missing at the end")
	case len(labels) == 1 && !strings.ContainsFunc(labels[0], notFigure):
		return strings.Split(labels[0], ""), nil
	}
	for _, l := range labels {
		if len(l) > longestLabel {
			return nil, r.fail(0, len(r.text), "%q is longer than the label of a cylinder", l)
		}
	}
	return labels, nil
}

// longestLabel is as many characters as the label of a cylinder has.
const longestLabel = 4

func notFigure(c rune) bool { return c < '0' || '9' < c }

// orderMark returns the size of what parts two cylinders.
func orderMark(s string) int {
	if size := dashSize(s); size > 0 {
		return size
	}
	for _, m := range [...]string{",", ";", "/", "→", ">"} {
		if strings.HasPrefix(s, m) {
			return len(m)
		}
	}
	return 0
}
