package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// places says where each comment of a document belongs, in file order: the
// place and the pointer of its entry or item.
func places(d *Doc) []string {
	where := map[int]string{}
	note := func(place string, comments []Comment) {
		for _, c := range comments {
			where[c.Span.Start] = string(d.Source[c.Span.Start+2:c.Span.End]) + ": " + place
		}
	}
	note("head", d.Head())
	note("tail", d.Tail())
	all := func(pointer string, a Attached) {
		note("above "+pointer, a.Above)
		note("beside "+pointer, a.Beside)
		note("inside "+pointer, a.Inside)
		note("below "+pointer, a.Below)
	}
	d.Walk(func(path Path, n *Node) bool {
		for i := range n.Entries {
			all(d.Pointer(n.Entries[i].Key), d.Attached(&n.Entries[i]))
		}
		for _, item := range n.Items {
			all(d.Pointer(item), d.AttachedItem(item))
		}
		return true
	})
	var list []string
	for _, c := range d.Comments {
		list = append(list, where[c.Span.Start])
	}
	return list
}

func TestAttached(t *testing.T) {
	for _, c := range []struct{ name, source, want string }{
		{"above and beside", "# 1\na: 1 # 2\n# 3\nb: 2\n", "1: above /a, 2: beside /a, 3: above /b"},
		{"head parted by a blank line", "# 1\n# 2\n\n# 3\na: 1\n", "1: head, 2: head, 3: above /a"},
		{"head parted by dashes", "# 1\n--- # 2\n# 3\na: 1\n", "1: head, 2: head, 3: above /a"},
		{"tail", "a: 1\n# 1\n\n# 2\n", "1: tail, 2: tail"},
		{"blank line between", "a: 1\n# 1\n\n# 2\n\nb: 2\n", "1: above /b, 2: above /b"},
		{"end of a map", "a:\n  b: 1\n  # 1\n\nc: 2\n", "1: below /a"},
		{"end of a map without blank line", "a:\n  b: 1\n  # 1\nc: 2\n", "1: below /a"},
		{"end of maps in maps", "a:\n  b:\n    c: 1\n    # 1\n  # 2\n# 3\nd: 2\n", "1: below /a/b, 2: below /a, 3: above /d"},
		{"between two columns", "a:\n    b: 1\n  # 1\nc: 2\n", "1: below /a"},
		{"end of the last map", "a:\n  b: 1\n  # 1\n# 2\n", "1: below /a, 2: tail"},
		{"further in before a sibling", "a: 1\n  # 1\nb: 2\n", "1: above /b"},
		{"further in and parted", "a: 1\n  # 1\n\nb: 2\n", "1: below /a"},
		{"further out", "a:\n# 1\n  b: 1\n # 2\n  c: 2\n", "1: above /a/b, 2: above /a/c"},
		{"carried on", "a: 1  # 1\n      # 2\n      # 3\n   # 4\nb: 2\n", "1: beside /a, 2: beside /a, 3: beside /a, 4: above /b"},
		{"carried on after a key", "a:    # 1\n      # 2\n  # 3\n  b: 1\n", "1: beside /a, 2: beside /a, 3: above /a/b"},
		{"value on the next line", "a: # 1\n  # 2\n  one # 3\nb: 2\n", "1: beside /a, 2: inside /a, 3: beside /a"},
		{"block of text", "a: | # 1\n  # no comment\n# 2\nb: 2\n", "1: beside /a, 2: above /b"},
		{"one line in braces", "a: {b: 1, c: 2} # 1\n", "1: beside /a"},
		{"braces", "a: { # 1\n  # 2\n  b: 1, # 3\n  # 4\n  c: 2 # 5\n  # 6\n  } # 7\n",
			"1: beside /a, 2: above /a/b, 3: beside /a/b, 4: above /a/c, 5: beside /a/c, 6: below /a/c, 7: beside /a"},
		{"empty brackets", "a: [ # 1\n  # 2\n  ] # 3\n", "1: beside /a, 2: inside /a, 3: beside /a"},
		{"before brackets", "a: # 1\n  # 2\n  [1] # 3\n", "1: beside /a, 2: inside /a, 3: beside /a"},
		{"brackets in brackets", "a: [[1, # 1\n  2], # 2\n  3]\n", "1: beside /a/0/0, 2: beside /a/0"},
		{"items", "# 1\n- a # 2\n# 3\n- b: 1 # 4\n  # 5\n  c: 2\n  # 6\n- # 7\n  d: 1\n",
			"1: above /0, 2: beside /0, 3: above /1, 4: beside /1/b, 5: above /1/c, 6: below /1, 7: beside /2"},
		{"items under a key in its column", "a: # 1\n# 2\n- b # 3\n# 4\n- c\n# 5\nd: 1\n",
			"1: beside /a, 2: above /a/0, 3: beside /a/0, 4: above /a/1, 5: above /d"},
		{"item on a line of its own", "-\n  # 1\n  a: 1\n- b\n", "1: above /0/a"},
		{"a whole file in braces", "# 1\n\n{ # 2\n  # 3\n  a: 1 # 4\n} # 5\n# 6\n", "1: head, 2: above /a, 3: above /a, 4: beside /a, 5: tail, 6: tail"},
		{"a whole file of nothing", "# 1\n\n{ # 2\n} # 3\n", "1: head, 2: tail, 3: tail"},
		{"a whole file of text", "# 1\n\n# 2\ntext # 3\n# 4\n", "1: head, 2: tail, 3: tail, 4: tail"},
		{"only comments", "# 1\n# 2\n", "1: tail, 2: tail"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := Parse([]byte(c.source), DefaultLimits())
			assert.Equal(t, c.want, strings.Join(places(d), ", "))
		})
	}
}

func TestExtent(t *testing.T) {
	source := "# head\n\n# of a\na: 1 # beside a\n\n# of b\n\n  # more\nb:\n  c: 2\n\n  # of d\n  d: {e: 1,\n    f: 2}   # beside d\n" +
		"  # end of b\n\ng: |+\n  text\n\n# of h\nh:\n- x: 1\n  y: 2 # beside y\n# of the second\n- 2\n# tail\n"
	d := Parse([]byte(source), DefaultLimits())
	require.Empty(t, messages(d))
	extent := func(pointer string) string {
		path, ok := ParsePointer(pointer)
		require.True(t, ok)
		of := d.Root.At(path[:len(path)-1])
		s := Span{}
		if e := of.Entry(path[len(path)-1]); e != nil {
			s = d.Extent(e)
		} else {
			s = d.ItemExtent(d.Find(pointer))
		}
		return source[s.Start:s.End]
	}
	assert.Equal(t, "# of a\na: 1 # beside a\n", extent("/a"))
	assert.Equal(t, "# of b\n\n  # more\nb:\n  c: 2\n\n  # of d\n  d: {e: 1,\n    f: 2}   # beside d\n  # end of b\n", extent("/b"))
	assert.Equal(t, "  c: 2\n", extent("/b/c"))
	assert.Equal(t, "  # of d\n  d: {e: 1,\n    f: 2}   # beside d\n", extent("/b/d"))
	assert.Equal(t, "f: 2", extent("/b/d/f"))
	assert.Equal(t, "g: |+\n  text\n\n", extent("/g"))
	assert.Equal(t, "# of h\nh:\n- x: 1\n  y: 2 # beside y\n# of the second\n- 2\n", extent("/h"))
	assert.Equal(t, "- x: 1\n  y: 2 # beside y\n", extent("/h/0"))
	assert.Equal(t, "x: 1\n", extent("/h/0/x"))
	assert.Equal(t, "  y: 2 # beside y\n", extent("/h/0/y"))
	assert.Equal(t, "# of the second\n- 2\n", extent("/h/1"))
}

// TestExtentsMoveWithTheirComments sorts the entries of a map by their extents
// and finds every comment where it was: with its entry.
func TestExtentsMoveWithTheirComments(t *testing.T) {
	const source = "# of b\nb: 1 # beside b\n# of a\na:\n  c: 2\n  # end of a\n"
	d := Parse([]byte(source), DefaultLimits())
	a, b := d.Extent(d.Root.Entry("a")), d.Extent(d.Root.Entry("b"))
	moved := Parse([]byte(source[a.Start:a.End]+source[b.Start:b.End]), DefaultLimits())
	require.Empty(t, messages(moved))
	assert.Equal(t, "{a: {c: 2}, b: 1}", outline(moved.Root))
	assert.ElementsMatch(t, places(d), places(moved))
}

func TestAttachedToNothing(t *testing.T) {
	d := Parse([]byte("# 1\na: 1\n"), DefaultLimits())
	other := Parse([]byte("a: 1\n"), DefaultLimits())
	assert.Equal(t, Attached{}, d.Attached(other.Root.Entry("a")))
	assert.Equal(t, Span{}, d.Extent(other.Root.Entry("a")))
}
