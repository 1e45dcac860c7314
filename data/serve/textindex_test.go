package serve

import (
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestPositions(t *testing.T) {
	const s = "a½é\r\n😀b\rc\n" // the face is two units of UTF-16, four bytes of UTF-8
	cases := []struct {
		count  encoding
		at     position
		offset int
	}{
		{utf16Units, position{0, 0}, 0},
		{utf16Units, position{0, 2}, 3},
		{utf16Units, position{0, 3}, 5},
		{utf16Units, position{1, 0}, 7},
		{utf16Units, position{1, 2}, 11},
		{utf16Units, position{1, 3}, 12},
		{utf16Units, position{2, 1}, 14},
		{utf16Units, position{3, 0}, 15},
		{utf8Bytes, position{0, 3}, 3},
		{utf8Bytes, position{1, 4}, 11},
	}
	for _, c := range cases {
		x := indexText([]byte(s), c.count)
		assert.Equal(t, c.offset, x.offset(c.at), "%s %v", c.count, c.at)
		assert.Equal(t, c.at, x.position(c.offset), "%s %d", c.count, c.offset)
	}
	x := indexText([]byte(s), utf16Units)
	assert.Equal(t, 5, x.offset(position{0, 99}), "beyond a line is its end")
	assert.Equal(t, 15, x.offset(position{99, 0}), "beyond the text is its end")
	assert.Equal(t, 7, x.offset(position{1, 1}), "within a character is its start")
	assert.Equal(t, position{0, 3}, x.position(6), "between CR and LF is the end of the line")
	assert.Equal(t, position{3, 0}, x.position(99))
	assert.Equal(t, position{0, 0}, x.position(-1))
	assert.Equal(t, 15, x.offset(position{1<<32 - 1, 1<<32 - 1}))
}

// The position of a character is counted anew: by splitting the text into lines
// and encoding what stands before it.
func TestPositionsOfEveryCharacter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ab½é😀\r\n\u2028"))).Draw(t, "text")
		x8, x16 := indexText([]byte(s), utf8Bytes), indexText([]byte(s), utf16Units)
		for offset := 0; offset <= len(s); offset++ {
			if offset < len(s) && !utf8.RuneStart(s[offset]) || offset > 0 && offset < len(s) && s[offset-1] == '\r' && s[offset] == '\n' {
				continue
			}
			before := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(s[:offset])
			line := before[strings.LastIndexByte(before, '\n')+1:]
			n := uint32(strings.Count(before, "\n"))
			at8 := position{n, uint32(len(line))}
			at16 := position{n, uint32(len(utf16.Encode([]rune(line))))}
			if got := x8.position(offset); got != at8 {
				t.Fatalf("%q %d: %v, not %v", s, offset, got, at8)
			}
			if got := x16.position(offset); got != at16 {
				t.Fatalf("%q %d: %v, not %v", s, offset, got, at16)
			}
			if x8.offset(at8) != offset || x16.offset(at16) != offset {
				t.Fatalf("%q %d: %d, %d", s, offset, x8.offset(at8), x16.offset(at16))
			}
		}
	})
}
