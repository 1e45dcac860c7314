package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Inert returns a text that a terminal only shows: control characters, line
// ends, terminal escapes and characters that reorder or hide their neighbours
// are written out as \u{1B}, and bytes that are no UTF-8 become U+FFFD. What a
// file says passes through here before it is printed.
func Inert(s string) string {
	if isInert(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			b.WriteRune(utf8.RuneError)
		case isActive(r):
			fmt.Fprintf(&b, `\u{%X}`, r)
		default:
			b.WriteRune(r)
		}
		i += size
	}
	return b.String()
}

func isInert(s string) bool {
	return utf8.ValidString(s) && strings.IndexFunc(s, isActive) < 0
}

// isActive reports whether a character does anything but show itself: what
// Unicode calls control, format (among it all that sets the direction of text),
// private or unassigned, line ends, and what is shown as nothing at all.
func isActive(r rune) bool {
	if r < 0x7F {
		return r < ' '
	}
	return unicode.In(r, unicode.C, unicode.Zl, unicode.Zp, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// InertJSON rewrites the characters of a JSON text that are active as \uXXXX,
// which means the same to a program. In JSON text they stand in strings only.
func InertJSON(text []byte) []byte {
	var b []byte
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		if r != '\n' && isActive(r) {
			if b == nil {
				b = append(make([]byte, 0, len(text)+64), text[:i]...)
			}
			b = appendEscape(b, r)
		} else if b != nil {
			b = append(b, text[i:i+size]...)
		}
		i += size
	}
	if b == nil {
		return text
	}
	return b
}

// appendEscape appends the JSON escape of a character, two beyond U+FFFF (RFC
// 8259, section 7).
func appendEscape(b []byte, r rune) []byte {
	if r > 0xFFFF {
		r -= 0x10000
		return fmt.Appendf(b, `\u%04x\u%04x`, 0xD800+r>>10, 0xDC00+r&0x3FF)
	}
	return fmt.Appendf(b, `\u%04x`, r)
}
