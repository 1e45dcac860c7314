package release

import (
	"encoding/hex"
	"strings"
	"unicode"
)

// Words splits a text into the words that the index knows it by: runs of letters
// and figures, in small letters.
func Words(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) })
}

// Key is the key of the index file for a word, or for the letters before the
// figures of an engine number: its first two characters in small letters, as
// they are where they are ASCII letters and figures, otherwise x and their
// UTF-8 in hexadecimal; "none" for no letters.
func Key(word string) string {
	runes := []rune(strings.ToLower(word))
	first := string(runes[:min(2, len(runes))])
	switch {
	case first == "":
		return "none"
	case strings.Trim(first, "abcdefghijklmnopqrstuvwxyz0123456789") == "":
		return first
	}
	return "x" + hex.EncodeToString([]byte(first))
}
