package figure

import "strings"

// list reads the items of a list, one reading each. Commas, semicolons or the
// word "and" part the items; where there are none, spaces do. Brackets round
// the whole are as in the file: [0, 240, 120].
func (r *reader) list() ([]Reading, *Error) {
	start, end := trimmed(r.text, 0, len(r.text))
	if r.text[start] == '[' && r.text[end-1] == ']' && end-start > 1 {
		start, end = trimmed(r.text, start+1, end-1)
	}
	if start == end {
		return nil, r.nothing("there is no number in it")
	}
	bySpaces := true
	if _, size := parting(r.text[start:end], false); size > 0 {
		bySpaces = false
	}
	var readings []Reading
	for {
		length, size := parting(r.text[start:end], bySpaces)
		reading, err := r.listItem(start, start+length)
		if err != nil {
			return nil, err
		}
		readings = append(readings, reading)
		if size == 0 {
			return readings, nil
		}
		start += length + size
	}
}

// parting returns how long the first item is, and the size of what parts it
// from the next: 0 behind the last.
func parting(s string, bySpaces bool) (length, size int) {
	for i := range len(s) {
		switch {
		case s[i] == ',' || s[i] == ';':
			return i, 1
		case s[i] == ' ' && bySpaces:
			return i, len(s[i:]) - len(strings.TrimLeft(s[i:], " "))
		case strings.HasPrefix(s[i:], " and "):
			return i, len(" and ")
		}
	}
	return len(s), 0
}

// trimmed returns the part of s from start to end without spaces at its ends.
func trimmed(s string, start, end int) (int, int) {
	for start < end && s[start] == ' ' {
		start++
	}
	for start < end && s[end-1] == ' ' {
		end--
	}
	return start, end
}

// listItem reads the item from start to end.
func (r *reader) listItem(start, end int) (Reading, *Error) {
	if from, to := trimmed(r.text, start, end); from == to {
		return Reading{}, r.fail(start, end, "an item of the list is empty")
	}
	item := reader{kind: r.spec.element, spec: r.spec.element.spec(), whole: r.whole, text: r.whole[:end], pos: start}
	readings, err := item.quantity()
	switch {
	case err != nil:
		err.Kind, err.Want = r.kind, r.kind.want()
		return Reading{}, err
	case len(readings) > 1:
		return Reading{}, r.fail(start, end, "an item of a list is one number")
	}
	return readings[0], nil
}
