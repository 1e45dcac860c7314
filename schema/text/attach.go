package text

import "sort"

// Attached holds the comments that belong to one entry or list item. Every
// comment of a file belongs to exactly one, or to its Head or Tail.
type Attached struct {
	// Above are the own lines before it: those since the sibling before it
	// (or since the line that opens the collection) which are not Below that
	// sibling.
	Above []Comment
	// Beside is the comment at the end of one of its lines, with the own
	// lines directly beneath that carry it on in the same column.
	Beside []Comment
	// Inside are comments within its value that no member of the value has:
	// in empty brackets, or between a key and the value under it.
	Inside []Comment
	// Below are the own lines after its value that are indented further than
	// it is: the end of its map, as it were. Behind a value without lines of
	// its own they count only if a blank line, or the end of the collection,
	// parts them from the entry that follows.
	Below []Comment
}

// attachments is what the comments of a document belong to.
type attachments struct {
	of         map[*Node]*Attached // by key of the entry, or by item
	extents    map[*Node]Span      // likewise
	head, tail []Comment
}

// Attached returns the comments of an entry of this document.
func (d *Doc) Attached(e *Entry) Attached { return d.attachedTo(e.Key) }

// AttachedItem returns the comments of a list item of this document.
func (d *Doc) AttachedItem(item *Node) Attached { return d.attachedTo(item) }

// Head returns the comments at the start of the file that a blank line or
// `---` parts from the first entry.
func (d *Doc) Head() []Comment { return d.attachments().head }

// Tail returns the comments after the last entry that are not indented, and
// all comments of a file without entries that are not its Head.
func (d *Doc) Tail() []Comment { return d.attachments().tail }

// Extent returns the bytes that an entry of a block map owns: whole lines from
// the first of its comments, or its key, to the line end after the last. The
// first entry of a map that starts on the line of a dash owns its line from
// the key on. Extents of siblings never overlap, and between them are only
// blank lines. An entry in braces owns its key and value, nothing more.
func (d *Doc) Extent(e *Entry) Span { return d.attachments().extents[e.Key] }

// ItemExtent is Extent for an item of a list. In a block list it starts with
// the line of the dash.
func (d *Doc) ItemExtent(item *Node) Span { return d.attachments().extents[item] }

func (d *Doc) attachedTo(owner *Node) Attached {
	if a := d.attachments().of[owner]; a != nil {
		return *a
	}
	return Attached{}
}

func (d *Doc) attachments() *attachments {
	d.attachOnce.Do(func() { d.attached = attach(d) })
	return d.attached
}

// attacher walks tree and comments together, both in file order.
type attacher struct {
	*attachments
	d    *Doc
	rest []Comment // not yet given to anything
	last Comment   // the one given last
	to   *Node     // its owner, if it is Beside that
}

func attach(d *Doc) *attachments {
	a := &attacher{
		attachments: &attachments{of: map[*Node]*Attached{}, extents: map[*Node]Span{}},
		d:           d, rest: d.Comments,
	}
	if d.Root == nil {
		a.tail = a.rest
		return a.attachments
	}
	a.takeHead()
	if d.Root.Kind != Scalar {
		a.members(d.Root, nil, len(d.Source))
	}
	a.tail = a.rest
	return a.attachments
}

// takeHead takes the comments that stand apart from the start of the root:
// all but those on own lines right above it.
func (a *attacher) takeHead() {
	start := a.d.lineAt(a.d.Root.Span.Start)
	before := a.before(a.d.Root.Span.Start)
	apart := before
	for apart > 0 {
		c := a.rest[apart-1]
		if !c.Own || a.d.lineAt(c.Span.Start) != start-(before-apart)-1 {
			break
		}
		apart--
	}
	a.head, a.rest = a.rest[:apart], a.rest[apart:]
}

// before returns how many of the comments that are left start before offset.
func (a *attacher) before(offset int) int {
	return sort.Search(len(a.rest), func(i int) bool { return a.rest[i].Span.Start >= offset })
}

// touches reports whether only comments stand on the lines from the next
// comment, the first of n, to the line of offset.
func (a *attacher) touches(n, offset int) bool {
	return a.d.lineAt(offset)-a.d.lineAt(a.rest[0].Span.Start) == n
}

// members gives comments to the members of n and all below. What is left over
// inside brackets goes to owner; limit is where the next text after n starts.
func (a *attacher) members(n, owner *Node, limit int) {
	count := len(n.Entries) + len(n.Items)
	start := firstStart(n)
	for i := range count {
		id, value, _ := n.member(i)
		next := a.startAfter(n, i, limit)
		a.above(id, start)
		a.value(id, value, next)
		a.after(n, id, value, start, next, i == count-1)
		a.extent(n, id, value, start)
		start = next
	}
	if n.Flow && count == 0 {
		a.inside(owner, n.Span.End)
	}
}

// startAfter returns where what follows member i of n starts: another member,
// the closing bracket, or whatever starts at limit.
func (a *attacher) startAfter(n *Node, i, limit int) int {
	if i+1 < len(n.Entries)+len(n.Items) {
		_, _, start := n.member(i + 1)
		if n.Kind == List && !n.Flow {
			return a.dash(n.Items[i].Span.End, start)
		}
		return start
	}
	if n.Flow {
		return n.Span.End
	}
	return limit
}

// member returns the node that stands for member i of n, its value, and where
// it starts (for an item after its dash).
func (n *Node) member(i int) (id, value *Node, start int) {
	if n.Kind == Map {
		e := n.Entries[i]
		return e.Key, e.Value, e.Key.Span.Start
	}
	return n.Items[i], n.Items[i], n.Items[i].Span.Start
}

// dash returns the offset of the first dash that starts a line between offset
// and limit, limit when there is none.
func (a *attacher) dash(offset, limit int) int {
	for _, line := range a.d.lines[a.d.lineAt(offset):] {
		i := skipBlanks(a.d.Source, line)
		if i < limit && a.d.Source[i] == '-' && gapAt(a.d.Source, i+1) {
			return i
		}
	}
	return limit
}

func (a *attacher) owned(id *Node) *Attached {
	if a.of[id] == nil {
		a.of[id] = &Attached{}
	}
	return a.of[id]
}

func (a *attacher) take() Comment {
	c := a.rest[0]
	a.rest = a.rest[1:]
	a.last, a.to = c, nil
	return c
}

// above gives the comments before start to the member that starts there.
func (a *attacher) above(id *Node, start int) {
	for len(a.rest) > 0 && a.rest[0].Span.Start < start {
		o := a.owned(id)
		o.Above = append(o.Above, a.take())
	}
}

// inside gives the comments before end to owner. Without one they are left to
// the tail.
func (a *attacher) inside(owner *Node, end int) {
	for owner != nil && len(a.rest) > 0 && a.rest[0].Span.Start < end {
		if a.beside(owner) {
			continue
		}
		o := a.owned(owner)
		o.Inside = append(o.Inside, a.take())
	}
}

// beside gives the next comment to id if it ends a line of it, or carries on
// a comment that does.
func (a *attacher) beside(id *Node) bool {
	c := a.rest[0]
	if c.Own && !(a.to == id && a.carriesOn(c)) {
		return false
	}
	o := a.owned(id)
	o.Beside = append(o.Beside, a.take())
	a.to = id
	return true
}

// carriesOn reports whether c stands right under the last comment.
func (a *attacher) carriesOn(c Comment) bool {
	return a.d.lineAt(c.Span.Start) == a.d.lineAt(a.last.Span.Start)+1 &&
		a.d.columnOf(c.Span.Start) == a.d.columnOf(a.last.Span.Start)
}

// value gives the comments within the value of id.
func (a *attacher) value(id, value *Node, next int) {
	if value.Kind == Scalar {
		a.inside(id, value.Span.Start)
		for len(a.rest) > 0 && a.rest[0].Span.Start < value.Span.End && a.beside(id) {
		}
		return
	}
	if value.Flow {
		a.inside(id, value.Span.Start)
	}
	for len(a.rest) > 0 && a.rest[0].Span.Start < firstStart(value) && a.beside(id) {
	}
	a.members(value, id, next)
}

// firstStart returns where the first member of n starts, the end of n when
// there is none.
func firstStart(n *Node) int {
	if len(n.Entries)+len(n.Items) == 0 {
		return n.Span.End
	}
	if !n.Flow {
		return n.Span.Start
	}
	_, _, start := n.member(0)
	return start
}

// after gives the comments between the value of id and next that belong to
// what stands before them.
func (a *attacher) after(n, id, value *Node, start, next int, last bool) {
	left := a.before(next)
	for ; left > 0; left-- {
		if a.beside(id) {
			continue
		}
		if !a.isBelow(n, value, start, next, left, last) {
			return
		}
		o := a.owned(id)
		o.Below = append(o.Below, a.take())
	}
}

// isBelow reports whether the next comment, an own line and the first of left
// before next, is Below the member of n that starts at start.
func (a *attacher) isBelow(n, value *Node, start, next, left int, last bool) bool {
	if n.Flow {
		return last
	}
	if a.d.columnOf(a.rest[0].Span.Start) <= a.d.columnOf(start) {
		return false
	}
	hasLines := value.Kind != Scalar && !value.Flow
	return hasLines || last || !a.touches(left, next)
}

// extent notes what the member of n that starts at start owns.
func (a *attacher) extent(n, id, value *Node, start int) {
	end := max(start, id.Span.End, value.Span.End)
	if n.Flow {
		a.extents[id] = Span{start, end}
		return
	}
	first := start
	if o := a.of[id]; o != nil && len(o.Above) > 0 {
		first = o.Above[0].Span.Start
	}
	if line := a.d.lines[a.d.lineAt(first)-1]; skipBlanks(a.d.Source, line) == first {
		first = line
	}
	// The comment given last is this member's, or stands before it.
	a.extents[id] = Span{first, a.d.lineLimit(a.d.lineAt(max(end, a.last.Span.End)))}
}

// columnOf returns the column of offset in bytes, from 0.
func (d *Doc) columnOf(offset int) int { return offset - d.lines[d.lineAt(offset)-1] }
