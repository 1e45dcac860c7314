package merge

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// side names one of the three texts.
type side int

const (
	base side = iota
	ours
	theirs
)

func (s side) String() string { return [...]string{"the base", "ours", "theirs"}[s] }

// document is one of the three texts, read.
type document struct {
	*text.Doc
	kind    lint.InputKind
	file    *schema.File
	claims  []claims.Claim
	meaning map[*text.Node]string // see means
	decoded func() decoded
	lineEnd string // how most of its lines end
}

// decoded is a file as the format has it.
type decoded struct {
	engine   *schema.Engine // nil for other files
	problems []schema.Problem
}

func readDocument(kind lint.InputKind, name string, s side, source []byte) (*document, error) {
	f := schema.ReadFile(name, source)
	d := &document{Doc: f.Doc, kind: kind, file: f, meaning: map[*text.Node]string{}}
	d.decoded, d.lineEnd = sync.OnceValue(d.decode), lineEndOf(source)
	if line := markerLine(source); line > 0 {
		return nil, fmt.Errorf("%s: line %d of %s is a marker of an unfinished merge; finish that merge first", name, line, s)
	}
	if len(d.Problems) > 0 {
		line, column := d.Position(d.Problems[0].Span.Start)
		return nil, fmt.Errorf("%s: line %d, column %d of %s: %s", name, line, column, s, d.Problems[0].Message)
	}
	if d.Root == nil || d.Root.Kind != text.Map {
		return nil, fmt.Errorf("%s: %s holds no keys, so there is nothing to merge by", name, s)
	}
	d.claims = claims.Of(kind, f)
	return d, nil
}

func (d *document) decode() decoded {
	var out decoded
	switch d.kind {
	case lint.EngineFile:
		out.engine, out.problems = schema.DecodeEngine(d.file)
	case lint.SourceFile:
		_, out.problems = schema.DecodeSource(d.file)
	case lint.MovedFile:
		_, out.problems = schema.DecodeMoved(d.file)
	}
	return out
}

// markerLine returns the number of the first line that is a conflict marker of a
// textual merge, 0 when there is none.
func markerLine(source []byte) int {
	for i, line := range bytes.Split(source, []byte("\n")) {
		line = bytes.TrimRight(line, "\r")
		for _, mark := range []string{"<<<<<<<", "=======", ">>>>>>>", "|||||||"} {
			if rest, ok := bytes.CutPrefix(line, []byte(mark)); ok && (len(rest) == 0 || rest[0] == ' ') {
				return i + 1
			}
		}
	}
	return 0
}

// slot returns what the format lets stand at a path.
func (d *document) slot(path text.Path) (schema.Slot, bool) {
	switch d.kind {
	case lint.EngineFile:
		return schema.EngineSlot(path)
	case lint.SourceFile:
		return schema.SourceSlot(path)
	}
	return schema.Slot{}, false
}

// within returns the claims and values of a node and below it.
func (d *document) within(path text.Path, n *text.Node) []claims.Claim {
	from, _ := slices.BinarySearchFunc(d.claims, n.Span.Start, func(c claims.Claim, at int) int { return c.Span.Start - at })
	pointer := path.String()
	to := from
	for to < len(d.claims) && d.claims[to].Span.Start <= n.Span.End && covers(pointer, d.claims[to].Pointer) {
		to++
	}
	return d.claims[from:to:to]
}

// covers reports whether a JSON Pointer names a place or what that is in.
func covers(outer, inner string) bool {
	rest, ok := strings.CutPrefix(inner, outer)
	return ok && (rest == "" || rest[0] == '/')
}

// member is an entry of a map or an item of a list, in one of the texts.
type member struct {
	of     *document
	path   text.Path  // of an item that of its list
	key    string     // of an item its text
	id     *text.Node // the key, or the item itself
	value  *text.Node
	inFlow bool
	spot   schema.Spot
	figure bool // the format has a figure here
	// gap is where the blank lines before it start.
	gap int
}

// rootMember stands for the whole document.
func (d *document) rootMember() *member {
	m := &member{of: d, id: d.Root, value: d.Root}
	switch d.kind {
	case lint.EngineFile:
		m.spot = schema.EngineSpot()
	case lint.SourceFile:
		m.spot = schema.SourceSpot()
	}
	return m
}

// members returns what a map or list holds.
func (m *member) members() []*member {
	n := m.value
	out := make([]*member, 0, len(n.Entries)+len(n.Items))
	gap := 0
	if !n.Flow {
		gap = m.lineEndBehindHead()
	}
	add := func(k *member, extent text.Span) {
		k.of, k.inFlow, k.gap, k.path = m.of, n.Flow, min(gap, extent.Start), m.path
		if !k.isItem() {
			k.path, k.spot = append(m.path[:len(m.path):len(m.path)], k.key), m.spot.Down(k.key)
			k.figure = k.spot.Figure()
		}
		gap = extent.End
		out = append(out, k)
	}
	for i := range n.Entries {
		e := &n.Entries[i]
		add(&member{key: e.Key.Text, id: e.Key, value: e.Value}, m.of.Extent(e))
	}
	for _, item := range n.Items {
		add(&member{key: item.Text, id: item, value: item}, m.of.ItemExtent(item))
	}
	return out
}

// lineEndBehindHead returns where the lines of a block map's members may start:
// after the line of the key and the comments that stand beside it.
func (m *member) lineEndBehindHead() int {
	if m.value == m.of.Root {
		return m.extent().Start
	}
	at := m.id.Span.End
	for _, c := range m.attached().Beside {
		if c.Span.Start < firstMember(m.value) {
			at = c.Span.End
		}
	}
	return m.of.lineAfter(at)
}

// firstMember returns where the first member of a map or list starts.
func firstMember(n *text.Node) int {
	switch {
	case len(n.Entries) > 0:
		return n.Entries[0].Key.Span.Start
	case len(n.Items) > 0:
		return n.Items[0].Span.Start
	}
	return n.Span.End
}

// lineAfter returns where the line after that of an offset starts.
func (d *document) lineAfter(offset int) int {
	for i := offset; i < len(d.Source); i++ {
		switch {
		case d.Source[i] == '\n', d.Source[i] == '\r' && (i+1 == len(d.Source) || d.Source[i+1] != '\n'):
			return i + 1
		}
	}
	return len(d.Source)
}

// lineStart returns where the line of an offset starts.
func (d *document) lineStart(offset int) int {
	for offset > 0 && d.Source[offset-1] != '\n' && d.Source[offset-1] != '\r' {
		offset--
	}
	return offset
}

func (m *member) isItem() bool { return m.id == m.value }

func (m *member) attached() text.Attached {
	if m.isItem() {
		return m.of.AttachedItem(m.id)
	}
	return m.of.Attached(&text.Entry{Key: m.id, Value: m.value})
}

// extent is what the member owns, with its comments: whole lines in a block map.
func (m *member) extent() text.Span {
	switch {
	case m.value == m.of.Root:
		return m.rootExtent()
	case m.isItem():
		return m.of.ItemExtent(m.id)
	}
	return m.of.Extent(&text.Entry{Key: m.id, Value: m.value})
}

// rootExtent runs from the first member's to the last member's, or is the root
// itself where it is written in braces.
func (m *member) rootExtent() text.Span {
	n := m.value
	if n.Flow || len(n.Entries) == 0 {
		return n.Span
	}
	return text.Span{Start: m.of.Extent(&n.Entries[0]).Start, End: m.of.Extent(&n.Entries[len(n.Entries)-1]).End}
}

// column returns the column of the key or dash in bytes, from 0.
func (m *member) column() int {
	if !m.isItem() {
		return m.id.Span.Start - m.of.lineStart(m.id.Span.Start)
	}
	start := m.keyLine()
	return len(m.of.Source[start:]) - len(bytes.TrimLeft(m.of.Source[start:], " "))
}

// keyLine returns where the line of the key or dash starts.
func (m *member) keyLine() int {
	at := m.id.Span.Start
	if m.isItem() && !m.inFlow {
		at = m.extent().Start
		if a := m.attached().Above; len(a) > 0 {
			at = m.of.lineAfter(a[len(a)-1].Span.End)
		}
		for at < m.id.Span.Start && blank(m.of.Source[at:m.of.lineAfter(at)]) {
			at = m.of.lineAfter(at)
		}
		return at
	}
	return m.of.lineStart(at)
}

func blank(line []byte) bool { return len(bytes.TrimSpace(line)) == 0 }

// raw is the whole of the member as written, blank lines before it included, with
// line feeds between lines: two versions with the same raw text look the same.
func (m *member) raw() string {
	e := m.extent()
	return unix(m.of.Source[min(m.gap, e.Start):e.End])
}

func unix(b []byte) string {
	return strings.ReplaceAll(strings.ReplaceAll(string(b), "\r\n", "\n"), "\r", "\n")
}

// holdsMap and holdsList tell what the member is to be merged as. A list is merged
// by its items only where each is one text and none stands twice.
func (m *member) holdsMap() bool {
	return m.value.Kind == text.Map && len(m.value.Entries) > 0 && !m.figure
}

func (m *member) holdsList() bool {
	if m.value.Kind != text.List || len(m.value.Items) == 0 || m.figure {
		return false
	}
	seen := map[string]bool{}
	for _, item := range m.value.Items {
		if item.Kind != text.Scalar || item.Absent || seen[item.Text] {
			return false
		}
		seen[item.Text] = true
	}
	return true
}

// isFrom reports whether the member is the source of a section.
func (m *member) isFrom() bool {
	return m.spot.From() && !m.isItem() && m.value.Kind == text.Scalar
}
