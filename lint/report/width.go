package report

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Width returns how many columns a terminal gives a text.
func Width(s string) int {
	n := 0
	for _, r := range s {
		n += runeWidth(r)
	}
	return n
}

// runeWidth is 0 for marks that stand on the character before, 2 for the
// characters that East Asian type sets wide, else 1.
func runeWidth(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul), 0xFF01 <= r && r <= 0xFF60, 0x3000 <= r && r <= 0x303E,
		0x1F300 <= r && r <= 0x1FAFF:
		return 2
	}
	return 1
}

// Wrap breaks a text at its spaces into lines of at most width columns. A word
// that is longer is broken where it must be, behind a hyphen where it has one.
func Wrap(s string, width int) []string {
	width = max(width, 2)
	var lines []string
	line, used := "", 0
	for _, word := range strings.Fields(s) {
		w := Width(word)
		if used > 0 && used+1+w <= width {
			line, used = line+" "+word, used+1+w
			continue
		}
		if used > 0 {
			lines = append(lines, line)
		}
		for w > width {
			head := Cut(word, width, "")
			if hyphen := strings.LastIndexByte(head, '-'); hyphen > 0 { // between two words rather than in one
				head = head[:hyphen+1]
			}
			lines = append(lines, head)
			word = word[len(head):]
			w = Width(word)
		}
		line, used = word, w
	}
	if used > 0 || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// Cut shortens a text to width columns, ending with the given sign when
// something was cut off.
func Cut(s string, width int, sign string) string {
	if Width(s) <= width {
		return s
	}
	room, end := width-Width(sign), 0
	for end < len(s) {
		r, size := utf8.DecodeRuneInString(s[end:])
		if room -= runeWidth(r); room < 0 {
			break
		}
		end += size
	}
	return s[:end] + sign
}
