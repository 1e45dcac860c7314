package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// requireSound checks what must hold of any document, broken ones included.
func requireSound(t require.TestingT, d *Doc) {
	whole := Span{0, len(d.Source)}
	last := 0
	for _, p := range d.Problems {
		requireInside(t, p.Span, whole, "problem")
		require.LessOrEqual(t, last, p.Span.Start, "problems are in order")
		require.NotEmpty(t, p.Message)
		last = p.Span.Start
	}
	last = 0
	for _, c := range d.Comments {
		requireInside(t, c.Span, whole, "comment")
		require.LessOrEqual(t, last, c.Span.Start, "comments are in order and apart")
		last = c.Span.End
		require.Equal(t, byte('#'), d.Source[c.Span.Start])
	}
	if d.Root == nil {
		require.NotEmpty(t, d.Problems, "nothing was read and nothing said")
	} else {
		requireNode(t, d, d.Root, whole)
	}
	requireOneOwner(t, d)
	for offset := 0; offset <= len(d.Source); offset += 1 + len(d.Source)/100 {
		_, n := d.NodeAt(offset)
		if n != nil {
			require.GreaterOrEqual(t, n.Span.End, offset)
		}
	}
}

func requireInside(t require.TestingT, inner, outer Span, what string) {
	require.True(t, outer.Start <= inner.Start && inner.Start <= inner.End && inner.End <= outer.End,
		"%s %v within %v", what, inner, outer)
}

// requireNode checks that spans are nested, in order, and show what they hold.
func requireNode(t require.TestingT, d *Doc, n *Node, outer Span) {
	requireInside(t, n.Span, outer, "node")
	require.False(t, n.Absent && (n.Text != "" || n.Span.Start != n.Span.End))
	require.True(t, n.Kind == Map || n.Entries == nil)
	require.True(t, n.Kind == List || n.Items == nil)
	from := n.Span.Start
	for _, e := range n.Entries {
		require.NotNil(t, e.Key)
		require.NotNil(t, e.Value)
		requireNode(t, d, e.Key, Span{from, n.Span.End})
		requireNode(t, d, e.Value, Span{e.Key.Span.End, n.Span.End})
		from = e.Value.Span.End
	}
	for _, item := range n.Items {
		require.NotNil(t, item)
		requireNode(t, d, item, Span{from, n.Span.End})
		from = item.Span.End
	}
	if n.Kind == Scalar && n.Style == Plain && !n.Absent {
		shown := string(d.Source[n.Span.Start:n.Span.End])
		if strings.ContainsAny(shown, "\n\r") {
			shown, n = foldAgain(shown), &Node{Text: foldAgain(n.Text)}
		}
		require.Equal(t, shown, n.Text)
	}
}

// foldAgain leaves the words of a text, whatever the white space between.
func foldAgain(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" \t\r\n", r) }), " ")
}

// requirePointers checks that every value of a document without duplicate
// keys can be named and found again.
func requirePointers(t require.TestingT, d *Doc) {
	d.Walk(func(path Path, n *Node) bool {
		pointer := path.String()
		require.Same(t, n, d.Find(pointer), pointer)
		require.Equal(t, pointer, d.Pointer(n))
		for i := range n.Entries {
			key := n.Entries[i].Key
			require.Equal(t, append(append(Path{}, path...), key.Text).String(), d.Pointer(key))
			_, at := d.NodeAt(key.Span.Start)
			require.Same(t, key, at)
		}
		return true
	})
}

// requireOneOwner checks that each comment belongs to one place, and that
// extents are apart and leave out nothing but blank lines.
func requireOneOwner(t require.TestingT, d *Doc) {
	owned := map[int]int{}
	count := func(groups ...[]Comment) {
		for _, g := range groups {
			for _, c := range g {
				owned[c.Span.Start]++
			}
		}
	}
	count(d.Head(), d.Tail())
	for _, a := range d.attachments().of {
		count(a.Above, a.Beside, a.Inside, a.Below)
	}
	require.Len(t, owned, len(d.Comments), "every comment has an owner")
	for at, n := range owned {
		require.Equal(t, 1, n, "owners of the comment at %d", at)
	}
	d.Walk(func(_ Path, n *Node) bool {
		end := 0
		for i := range n.Entries {
			s := d.Extent(&n.Entries[i])
			requireInside(t, s, Span{end, len(d.Source)}, "extent")
			requireInside(t, n.Entries[i].Key.Span, s, "key in extent")
			requireInside(t, n.Entries[i].Value.Span, s, "value in extent")
			end = s.End
		}
		for _, item := range n.Items {
			s := d.ItemExtent(item)
			requireInside(t, s, Span{end, len(d.Source)}, "extent of item")
			requireInside(t, item.Span, s, "item in extent")
			end = s.End
		}
		return true
	})
}

// requireNoGaps checks that the extents of block siblings have only blank
// lines between them; broken lines aside, nothing else has no owner.
func requireNoGaps(t require.TestingT, d *Doc) {
	d.Walk(func(_ Path, n *Node) bool {
		var extents []Span
		for i := range n.Entries {
			extents = append(extents, d.Extent(&n.Entries[i]))
		}
		for _, item := range n.Items {
			extents = append(extents, d.ItemExtent(item))
		}
		for i := 1; i < len(extents) && !n.Flow; i++ {
			between := string(d.Source[extents[i-1].End:extents[i].Start])
			require.Empty(t, strings.Trim(between, " \t\r\n"), "between siblings of %s", d.Pointer(n))
		}
		return true
	})
}

func TestAcceptedAreSound(t *testing.T) {
	for _, source := range accepted {
		d := Parse([]byte(source), DefaultLimits())
		requireSound(t, d)
		requirePointers(t, d)
		requireNoGaps(t, d)
	}
}
