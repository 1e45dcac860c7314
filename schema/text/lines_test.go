package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPosition(t *testing.T) {
	for _, c := range []struct {
		source       string
		offset       int
		line, column int
	}{
		{"ab\ncd", 0, 1, 1}, {"ab\ncd", 2, 1, 3}, {"ab\ncd", 3, 2, 1}, {"ab\ncd", 5, 2, 3}, {"ab\ncd", 99, 2, 3}, {"ab\ncd", -1, 1, 1},
		{"½ß\nc", 2, 1, 2}, {"½ß\nc", 4, 1, 3}, {"½ß\nc", 5, 2, 1}, {"😀x", 4, 1, 2}, {"e\u0301x", 3, 1, 3},
		{"a\r\nb", 1, 1, 2}, {"a\r\nb", 2, 1, 2}, {"a\r\nb", 3, 2, 1},
		{"a\rb\n\nc", 2, 2, 1}, {"a\rb\n\nc", 4, 3, 1}, {"a\rb\n\nc", 5, 4, 1},
		{"\uFEFFab\nc", 0, 1, 1}, {"\uFEFFab\nc", 3, 1, 1}, {"\uFEFFab\nc", 4, 1, 2}, {"\uFEFFab\nc", 6, 2, 1},
		{"", 0, 1, 1}, {"a\n", 2, 2, 1}, {"\xff\xffa", 2, 1, 3},
	} {
		line, column := Parse([]byte(c.source), DefaultLimits()).Position(c.offset)
		assert.Equal(t, []int{c.line, c.column}, []int{line, column}, "%q at %d", c.source, c.offset)
	}
}

func TestLine(t *testing.T) {
	d := Parse([]byte("\uFEFFa: 1\r\nb: ½\rc: 3\n\nd:"), DefaultLimits())
	for n, want := range map[int]string{-1: "", 0: "", 1: "a: 1", 2: "b: ½", 3: "c: 3", 4: "", 5: "d:", 6: ""} {
		assert.Equal(t, want, d.Line(n), n)
	}
}

func TestOffset(t *testing.T) {
	d := Parse([]byte("\uFEFFa: 1\r\nb: ½x\n"), DefaultLimits())
	for _, c := range [][3]int{
		{1, 1, 3}, {1, 5, 7}, {1, 9, 7}, {2, 1, 9}, {2, 4, 12}, {2, 5, 14}, {2, 0, 9}, {3, 1, 16}, {4, 1, 16}, {0, 5, 3}, {-1, 1, 3},
	} {
		assert.Equal(t, c[2], d.Offset(c[0], c[1]), "%v", c)
	}
}

// TestPositionThereAndBack checks that Offset undoes Position at every
// character of any valid text, and against a plain count of lines and runes.
func TestPositionThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.StringOf(rapid.SampledFrom([]rune("ab ½😀:\n\n\r"))).Draw(t, "source")
		d := Parse([]byte(source), DefaultLimits())
		line, column := 1, 1
		for offset, r := range source {
			if r == '\n' && offset > 0 && source[offset-1] == '\r' {
				continue // the second half of a line end
			}
			gotLine, gotColumn := d.Position(offset)
			wantLine, wantColumn := line, column
			require.Equal(t, [2]int{wantLine, wantColumn}, [2]int{gotLine, gotColumn}, "%q at %d", source, offset)
			require.Equal(t, offset, d.Offset(gotLine, gotColumn), "%q", source)
			column++
			if r == '\n' || r == '\r' {
				line, column = line+1, 1
			}
		}
	})
}
