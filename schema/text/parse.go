package text

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

const (
	deepest     = 1000 // no Limits.Depth goes beyond this: reading a level takes stack
	mostListed  = 100  // Problems listed for one file
	longestKey  = 1024 // bytes up to the colon; YAML 1.2.2, example 7.22, allows as many characters
	wideMap     = 16   // entries from which duplicates are looked up, not compared
	firstNodes  = 256  // most nodes allocated at once
	nodeSpacing = 10   // bytes of source per node, about
)

// Parse reads source. It never returns nil and never panics: whatever is
// wrong is in Problems, whatever could be read is in Root and Comments. The
// time taken is linear in the length of source.
func Parse(source []byte, limits Limits) *Doc {
	defaults := DefaultLimits()
	if limits.Bytes <= 0 {
		limits.Bytes = defaults.Bytes
	}
	if limits.Depth <= 0 {
		limits.Depth = defaults.Depth
	}
	d := &Doc{Source: source}
	p := &parser{doc: d, maxDepth: min(limits.Depth, deepest)}
	if p.fits(limits.Bytes) && p.survey() {
		p.document()
	}
	p.finish()
	return d
}

// fits reports whether the source is short enough. One that is not is not even
// divided into lines.
func (p *parser) fits(limit int) bool {
	size := len(p.doc.Source)
	if size <= limit {
		return true
	}
	p.doc.lines = []int{0}
	p.report(Span{}, fmt.Sprintf("the file is %d bytes long, the limit is %d: split it", size, limit))
	return false
}

// parser holds the place of reading. Its methods move pos forward only.
type parser struct {
	doc       *Doc
	src       string
	pos       int
	lineStart int // where the line of pos starts

	maxDepth, depth int
	dashes          bool // the leading --- was read
	started         bool // something but comments was read
	conflict        bool // merge-conflict markers were met
	unlisted        int  // Problems beyond those listed

	flowParent          int  // column that bracketed text must stay right of
	flowLine            int  // start of the line with the outermost bracket
	openMaps, openLists int  // brackets being read
	torn                bool // an unclosed quote was just reported; what follows from it is not

	// Children are gathered on these stacks and cut off to exact size.
	entries []Entry
	items   []*Node
	// Chunks to cut nodes and children from: one allocation for many.
	nodeChunk  []Node
	nodes      int32 // made so far
	entryChunk []Entry
	itemChunk  []*Node
}

func (p *parser) document() {
	p.src = string(p.doc.Source)
	p.pos = p.doc.lines[0]
	p.lineStart = p.pos
	if !p.next() {
		p.report(Span{p.pos, p.pos}, "the file is empty: write at least one `key: value`")
		return
	}
	root := p.node(-1)
	p.doc.Root = root
	if p.next() {
		p.report(p.restOfLine(), p.leftover(root))
		p.skipAll()
	}
}

// leftover says why nothing can follow root.
func (p *parser) leftover(root *Node) string {
	if root.Flow {
		return "text follows the closing bracket of the whole file: put it inside, or delete it"
	}
	return "text follows the value that makes up the whole file: write `key: value` on every line"
}

// skipAll moves to the end of the source, keeping the comments on own lines.
func (p *parser) skipAll() {
	for p.next() {
		p.skipLine()
	}
}

// finish orders the Problems and says how many are not listed.
func (p *parser) finish() {
	d := p.doc
	d.Nodes = int(p.nodes)
	slices.SortStableFunc(d.Problems, func(a, b Problem) int { return cmp.Compare(a.Span.Start, b.Span.Start) })
	if p.unlisted > 0 {
		end := len(d.Source)
		d.Problems = append(d.Problems, Problem{Span{end, end}, fmt.Sprintf(
			"%d more problems are not listed: mend those above first", p.unlisted)})
	}
}

func (p *parser) report(s Span, message string) {
	if len(p.doc.Problems) >= mostListed {
		p.unlisted++
		return
	}
	p.doc.Problems = append(p.doc.Problems, Problem{s, message})
}

// next moves to the next character that is neither white space nor in a
// comment, on whatever line, and reports whether there is one.
func (p *parser) next() bool {
	for {
		if p.pos == p.lineStart {
			p.openLine()
		}
		i := skipBlanks(p.src, p.pos)
		switch {
		case i >= len(p.src):
			p.pos = i
			return false
		case isBreak(p.src[i]):
			p.newLine(i)
		case p.commentAt(i):
			p.comment(i)
		default:
			p.pos = i
			p.started = true
			return true
		}
	}
}

// newLine moves past the line end at i.
func (p *parser) newLine(i int) {
	p.pos = afterBreak(p.src, i)
	p.lineStart = p.pos
}

// commentAt reports whether a comment starts at i.
func (p *parser) commentAt(i int) bool {
	return i < len(p.src) && p.src[i] == '#' && (i == p.lineStart || isBlank(p.src[i-1]))
}

// comment takes the comment at i and moves to its end.
func (p *parser) comment(i int) {
	end := lineEnd(p.src, i)
	own := skipBlanks(p.src, p.lineStart) == i
	p.doc.Comments = append(p.doc.Comments, Comment{Span{i, end}, own})
	p.pos = end
}

// openLine looks at the start of a line for what no line may start with.
func (p *parser) openLine() {
	if kind := markerAt(p.src, p.lineStart); kind != noMarker {
		p.marker(kind)
		return
	}
	p.refuseTabs(p.lineStart)
}

// refuseTabs reports a tab in the indentation of the line that starts at i,
// unless nothing but a comment follows.
func (p *parser) refuseTabs(i int) {
	for i < len(p.src) && p.src[i] == ' ' {
		i++
	}
	if i >= len(p.src) || p.src[i] != '\t' {
		return
	}
	end := skipBlanks(p.src, i)
	if end < len(p.src) && !isBreak(p.src[end]) && p.src[end] != '#' {
		p.report(Span{i, end}, "a tab indents this line: use spaces")
	}
}

// marker is a line that is about the file instead of in it.
type marker int

const (
	noMarker  marker = iota
	documents        // --- or ...
	directive        // %
	conflict         // <<<<<<< and its kin
)

// markerAt returns the kind of marker on the line that starts at i.
func markerAt(src string, i int) marker {
	if i >= len(src) {
		return noMarker
	}
	switch c := src[i]; c {
	case '%':
		return directive
	case '-', '.':
		if i+2 < len(src) && src[i+1] == c && src[i+2] == c && gapAt(src, i+3) {
			return documents
		}
	case '<', '=', '>', '|':
		run := i
		for run < len(src) && src[run] == c {
			run++
		}
		if run-i == 7 && gapAt(src, run) {
			return conflict
		}
	}
	return noMarker
}

// marker deals with the marker on this line and moves past it.
func (p *parser) marker(kind marker) {
	line := Span{p.lineStart, lineEnd(p.src, p.lineStart)}
	switch kind {
	case conflict:
		p.conflict = true
		p.report(line, "an unresolved merge: keep what is right of both versions and delete the marker lines")
	case directive:
		p.report(line, "a directive has no place in this format: delete the line")
	case documents:
		if p.leadingDashes() {
			return
		}
		p.report(line, "a file holds one document: delete this line, or move what follows to a file of its own")
	}
	p.pos = line.End
}

// leadingDashes accepts one `---` alone on its line before all else.
func (p *parser) leadingDashes() bool {
	if p.started || p.dashes || p.src[p.lineStart] != '-' {
		return false
	}
	i := skipBlanks(p.src, p.lineStart+3)
	if i < len(p.src) && !isBreak(p.src[i]) && !p.commentAt(i) {
		return false
	}
	p.dashes = true
	p.pos = i
	return true
}

func (p *parser) column() int { return p.pos - p.lineStart }

// peek returns the character at pos, 0 at the end.
func (p *parser) peek() byte {
	if p.pos < len(p.src) {
		return p.src[p.pos]
	}
	return 0
}

// indicator reports whether c stands at pos as an indicator: with a gap
// after it, or, in flow text, a flow indicator.
func (p *parser) indicator(c byte, flow bool) bool {
	return p.peek() == c && (gapAt(p.src, p.pos+1) || flow && isFlowIndicator(p.src[p.pos+1]))
}

// atLineEnd skips blanks and reports whether the line ends there or goes on
// with a comment.
func (p *parser) atLineEnd() bool {
	p.pos = skipBlanks(p.src, p.pos)
	return p.pos >= len(p.src) || isBreak(p.src[p.pos]) || p.commentAt(p.pos)
}

// restOfLine is the span from pos to the end of the line without trailing
// blanks and comment.
func (p *parser) restOfLine() Span {
	end := p.pos
	for i := p.pos; i < len(p.src) && !isBreak(p.src[i]) && !p.commentAt(i); i++ {
		if !isBlank(p.src[i]) {
			end = i + 1
		}
	}
	return Span{p.pos, end}
}

// skipLine moves to the end of the line, or to the comment that ends it.
func (p *parser) skipLine() { p.pos = p.restOfLine().End }

// skipDeeper moves past this line and all that follow indented further than
// column.
func (p *parser) skipDeeper(column int) {
	for p.skipLine(); p.next() && p.column() > column; p.skipLine() {
	}
}

// enter counts one more collection and reports whether there is room for it.
// Without room it has said so.
func (p *parser) enter(at Span) bool {
	if p.depth < p.maxDepth {
		p.depth++
		return true
	}
	p.report(at, fmt.Sprintf(
		"more than %d levels inside one another: write this flatter", p.maxDepth))
	return false
}

func (p *parser) leave() { p.depth-- }

func (p *parser) newNode(kind Kind, s Span) *Node {
	if len(p.nodeChunk) == cap(p.nodeChunk) {
		size := min(firstNodes, 4+(len(p.src)-s.Start)/nodeSpacing)
		p.nodeChunk = make([]Node, 0, size)
	}
	p.nodeChunk = append(p.nodeChunk, Node{Kind: kind, Span: s, Index: p.nodes})
	p.nodes++
	return &p.nodeChunk[len(p.nodeChunk)-1]
}

// absent makes the value that is not there.
func (p *parser) absent(at int) *Node {
	n := p.newNode(Scalar, Span{at, at})
	n.Absent = true
	return n
}

// takeEntries cuts the entries gathered since mark off the stack.
func (p *parser) takeEntries(mark int) []Entry {
	taken := cut(&p.entryChunk, p.entries[mark:])
	p.entries = p.entries[:mark]
	return taken
}

func (p *parser) takeItems(mark int) []*Node {
	taken := cut(&p.itemChunk, p.items[mark:])
	p.items = p.items[:mark]
	return taken
}

// cut copies from into a chunk, a new one when it does not fit.
func cut[T any](chunk *[]T, from []T) []T {
	if len(from) == 0 {
		return nil
	}
	if cap(*chunk)-len(*chunk) < len(from) {
		*chunk = make([]T, 0, max(64, len(from)))
	}
	start := len(*chunk)
	*chunk = append(*chunk, from...)
	return (*chunk)[start:len(*chunk):len(*chunk)]
}

// checkKeys reports merge keys and duplicates among the keys of a map.
func (p *parser) checkKeys(entries []Entry) {
	if len(entries) < wideMap {
		for i := range entries {
			p.checkKey(entries[i].Key, firstWith(entries[:i], entries[i].Key.Text))
		}
		return
	}
	seen := make(map[string]*Node, len(entries))
	for i := range entries {
		key := entries[i].Key
		p.checkKey(key, seen[key.Text])
		if seen[key.Text] == nil {
			seen[key.Text] = key
		}
	}
}

func firstWith(entries []Entry, text string) *Node {
	for i := range entries {
		if entries[i].Key.Text == text {
			return entries[i].Key
		}
	}
	return nil
}

// checkKey looks at one key; first is an earlier one of the same text, or nil.
func (p *parser) checkKey(key, first *Node) {
	if key.Style == Plain && key.Text == "<<" {
		p.report(key.Span, "merge keys are not used here: write the entries out")
	}
	if first == nil || p.conflict || key.Absent {
		return
	}
	if len(p.doc.Problems) >= mostListed {
		p.unlisted++ // a file of duplicates is not worth that many sentences
		return
	}
	p.report(key.Span, fmt.Sprintf(
		"the key %s stands on line %d and again on line %d: keep one of them",
		quoteForMessage(key.Text), p.doc.lineAt(first.Span.Start), p.doc.lineAt(key.Span.Start)))
}

// quoteForMessage shows a text from the file in a message: shortened, on one
// line, and without what could upset a terminal.
func quoteForMessage(s string) string {
	const most = 40
	count := 0
	for i := range s {
		if count == most {
			s = s[:i] + "…"
			break
		}
		count++
	}
	s = strings.Map(func(r rune) rune {
		if allowedRune(r) {
			return r
		}
		return utf8.RuneError
	}, s)
	return "`" + strings.Join(strings.Fields(s), " ") + "`"
}
