package figure

import "strings"

// senses are the words for the two senses, without hyphens, points and spaces.
var senses = []struct {
	words string
	sense Sense
}{
	{"anticlockwise", Anticlockwise}, {"counterclockwise", Anticlockwise}, {"acw", Anticlockwise}, {"ccw", Anticlockwise},
	{"clockwise", Clockwise}, {"cw", Clockwise},
}

// rotation reads a direction of rotation and the end it is seen from.
func (r *reader) rotation() (Rotation, *Error) {
	r.space()
	start := r.pos
	for _, s := range senses {
		end, ok := r.spelled(start, s.words)
		if !ok {
			continue
		}
		r.pos = end
		from, err := r.seenFrom()
		return Rotation{Sense: s.sense, From: from}, err
	}
	return Rotation{}, r.nothing("it begins with neither clockwise nor anticlockwise")
}

// spelled reports whether the word stands at start, in any case and with points,
// hyphens or spaces between its letters, and where it ends.
func (r *reader) spelled(start int, word string) (end int, ok bool) {
	i := start
	for j := range len(word) {
		for j > 0 && i < len(r.text) && strings.IndexByte(".- ", r.text[i]) >= 0 {
			i++
		}
		if i >= len(r.text) || r.text[i]|0x20 != word[j] {
			return 0, false
		}
		i++
	}
	if i < len(r.text) && r.text[i] == '.' {
		i++
	}
	return i, i == len(r.text) || !isLetter(r.text[i])
}

// views are the words between the sense and the end it is seen from.
var views = []string{"when seen from ", "when viewed from ", "seen from ", "viewed from ", "looking from ", "looking at ", "from ", "facing ", "at "}

// seenFrom reads the end of the engine, without its article.
func (r *reader) seenFrom() (string, *Error) {
	rest := strings.Trim(r.text[r.pos:], " ,;")
	if in, ok := strings.CutPrefix(rest, "("); ok {
		if rest, ok = strings.CutSuffix(in, ")"); !ok {
			return "", r.fail(r.pos, len(r.text), "a bracket is opened and not closed")
		}
	}
	if rest == "" {
		return "", nil
	}
	for _, v := range views {
		if len(rest) < len(v) || !strings.EqualFold(rest[:len(v)], v) {
			continue
		}
		end := strings.Trim(strings.TrimPrefix(rest[len(v):], "the "), " ")
		if end == "" || strings.ContainsFunc(end, notEnd) {
			break
		}
		return end, nil
	}
	return "", r.fail(r.pos, len(r.text), "the end it is seen from is not understood").advise("say for example seen from timing end")
}

// notEnd reports whether a character stands in no name of an end.
func notEnd(c rune) bool {
	letter := 'a' <= c|0x20 && c|0x20 <= 'z'
	return !letter && !('0' <= c && c <= '9') && !strings.ContainsRune(" -./'", c)
}
