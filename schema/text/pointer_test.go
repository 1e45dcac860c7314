package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestPointersOfTheStandard follows the examples of RFC 6901, section 5.
func TestPointersOfTheStandard(t *testing.T) {
	d := Parse([]byte(`{
      "foo": ["bar", "baz"],
      "": 0,
      "a/b": 1,
      "c%d": 2,
      "e^f": 3,
      "g|h": 4,
      "i\\j": 5,
      "k\"l": 6,
      " ": 7,
      "m~n": 8
   }`), DefaultLimits())
	require.Empty(t, messages(d))
	assert.Same(t, d.Root, d.Find(""))
	assert.Equal(t, List, d.Find("/foo").Kind)
	for pointer, want := range map[string]string{
		"/foo/0": "bar", "/": "0", "/a~1b": "1", "/c%d": "2", "/e^f": "3", "/g|h": "4", "/i\\j": "5", "/k\"l": "6", "/ ": "7", "/m~0n": "8",
	} {
		n := d.Find(pointer)
		require.NotNil(t, n, pointer)
		assert.Equal(t, want, n.Text)
		assert.Equal(t, pointer, d.Pointer(n))
	}
	for _, pointer := range []string{"foo", "/foo/2", "/foo/-", "/foo/00", "/foo/-1", "/foo/+1", "/foo/bar", "/foo/0/x", "/x/y", "/m~n", "/m~2n", "/m~"} {
		assert.Nil(t, d.Find(pointer), pointer)
	}
}

func TestParsePointer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := Path(rapid.SliceOf(rapid.StringOf(rapid.SampledFrom([]rune("ab~/01 ½")))).Draw(t, "path"))
		back, ok := ParsePointer(path.String())
		require.True(t, ok)
		require.Equal(t, []string(path), append([]string{}, back...))
	})
}

func TestPointerFromElsewhere(t *testing.T) {
	d := Parse([]byte("a:\n  b: 1\n"), DefaultLimits())
	other := Parse([]byte("a:\n  b: 1\n"), DefaultLimits())
	assert.Equal(t, "", d.Pointer(other.Find("/a/b")))
	assert.Equal(t, "", d.Pointer(nil))
	assert.Equal(t, "/a/b", d.Pointer(d.Root.Get("a").Entry("b").Key))
}

func TestNodeAt(t *testing.T) {
	// ^ stands before the offset that is asked for.
	for _, c := range []struct{ source, pointer, shown string }{
		{"^a: 1\n", "/a", "a"},
		{"a^: 1\n", "/a", "a"},
		{"a:^ 1\n", "/a", "1"},
		{"a: ^1\n", "/a", "1"},
		{"a: 1^\n", "/a", "1"},
		{"a:^\nb: 1\n", "/a", ""},
		{"a: 1\n^\nb: 1\n", "", "a: 1\n\nb: 1"},
		{"a:\n  b: 1\n  ^c: 2\n", "/a/c", "c"},
		{"a:\n^  b: 1\n", "/a", "b: 1"},
		{"a: {b: 1,^ c: [2, 3]}\n", "/a", "{b: 1, c: [2, 3]}"},
		{"a: {b: 1, c: [2, ^3]}\n", "/a/c/1", "3"},
		{"a: {b: 1, c: [2, 3]^}\n", "/a/c", "[2, 3]"},
		{"a:\n- x\n^- y\n", "/a", "- x\n- y"},
		{"a:\n- x\n- ^y\n", "/a/1", "y"},
	} {
		offset := strings.IndexByte(c.source, '^')
		source := strings.Replace(c.source, "^", "", 1)
		d := Parse([]byte(source), DefaultLimits())
		path, n := d.NodeAt(offset)
		require.NotNil(t, n, c.source)
		assert.Equal(t, c.pointer, path.String(), c.source)
		assert.Equal(t, c.shown, source[n.Span.Start:n.Span.End], c.source)
	}
	d := Parse([]byte("# c\n\na: 1\n\n"), DefaultLimits())
	for _, offset := range []int{-1, 0, 4, 10, 99} {
		_, n := d.NodeAt(offset)
		assert.Nil(t, n, offset)
	}
	_, n := Parse(nil, DefaultLimits()).NodeAt(0)
	assert.Nil(t, n)
}

func TestWalk(t *testing.T) {
	d := Parse([]byte("a:\n  b: [1, {c: 2}]\n  d:\ne/f: 3\n"), DefaultLimits())
	var seen []string
	d.Walk(func(path Path, n *Node) bool {
		seen = append(seen, path.String())
		return path.String() != "/a/b/1"
	})
	assert.Equal(t, []string{"", "/a", "/a/b", "/a/b/0", "/a/b/1", "/a/d", "/e~1f"}, seen)
	Parse(nil, DefaultLimits()).Walk(func(Path, *Node) bool { t.Error("nothing to visit"); return true })
}

func TestGet(t *testing.T) {
	d := Parse([]byte("a: {b: 1, b: 2}\nc: [1]\n"), DefaultLimits())
	assert.Equal(t, "1", d.Root.Get("a").Get("b").Text, "the first of duplicates")
	assert.Nil(t, d.Root.Get("x"))
	assert.Nil(t, d.Root.Get("x").Get("y"))
	assert.Nil(t, d.Root.Get("c").Get("0"))
	assert.Nil(t, d.Root.Entry("x"))
	assert.Equal(t, "c", d.Root.Entry("c").Key.Text)
}
