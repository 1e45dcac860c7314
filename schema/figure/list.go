package figure

import "strings"

// list reads the items of a list, one reading each. Commas or semicolons part
// the items; where there are none, spaces do. Brackets round the whole are as
// in the file: [0, 240, 120].
func (r *reader) list() ([]Reading, *Error) {
	start, end := 0, len(r.text)
	for start < end && r.text[start] == ' ' {
		start++
	}
	for start < end && r.text[end-1] == ' ' {
		end--
	}
	if r.text[start] == '[' && r.text[end-1] == ']' && end-start > 1 {
		start, end = start+1, end-1
	}
	parts := ",;"
	if !strings.ContainsAny(r.text[start:end], parts) {
		parts = " "
	}
	var readings []Reading
	for start <= end {
		size := strings.IndexAny(r.text[start:end], parts)
		if size < 0 {
			size = end - start
		}
		reading, err := r.listItem(start, start+size)
		if err != nil {
			return nil, err
		}
		if reading != nil {
			readings = append(readings, *reading)
		} else if parts != " " {
			return nil, r.fail(start, start+size, "an item of the list is empty")
		}
		start += size + 1
	}
	if len(readings) == 0 {
		return nil, r.nothing("there is no number in it")
	}
	return readings, nil
}

// listItem reads the item from start to end; it is nil when nothing is there.
func (r *reader) listItem(start, end int) (*Reading, *Error) {
	if strings.Trim(r.text[start:end], " ") == "" {
		return nil, nil
	}
	item := reader{kind: r.spec.element, spec: r.spec.element.spec(), whole: r.whole, text: r.whole[:end], pos: start}
	readings, err := item.quantity()
	switch {
	case err != nil:
		err.Kind, err.Want = r.kind, r.kind.want()
		return nil, err
	case len(readings) > 1:
		return nil, r.fail(start, end, "an item of a list is one number")
	}
	return &readings[0], nil
}
