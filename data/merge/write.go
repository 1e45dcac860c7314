package merge

import (
	"bytes"
	"slices"
	"strings"

	"fourmarks.example/schema/text"
)

// usualStep is how far members stand in from their key where no text shows it.
const usualStep = 2

// writer puts the result together from the bytes of the three texts.
type writer struct {
	out bytes.Buffer
	eol string
}

func (m *merger) write(root *node) []byte {
	w := &writer{eol: three(m.each(func(d *document) string { return d.lineEnd }))}
	w.out.WriteString(three(m.each((*document).mark)))
	w.unix(together(m.each((*document).before)))
	if root.isFlow() {
		w.unix(w.flow(root, citation{}, 0))
	} else {
		w.members(root, 0, citation{})
		w.endLine()
	}
	w.unix(together(m.each((*document).behind)))
	return w.ended(three(m.each((*document).ending)))
}

// members writes the members of a map or list in lines of their own.
func (w *writer) members(n *node, indent int, from citation) {
	from = n.handsDown(from)
	for _, k := range n.kids {
		w.member(k, indent, from)
	}
}

func (w *writer) member(n *node, indent int, from citation) {
	w.endLine()
	w.unix(n.gap())
	switch {
	case len(n.kids) > 0:
		w.branch(n, indent, from)
	case len(n.claims) > 0:
		w.claims(n, indent)
	default:
		w.leaf(n, indent, from)
	}
}

// branch writes a map or list with its key and its comments.
func (w *writer) branch(n *node, indent int, from citation) {
	r := n.remarks()
	if n.isFlow() {
		w.above(indent, r.above)
		w.unix(strings.Repeat(" ", indent) + n.at[n.layout()].keyText() + ": " + w.flow(n, from, indent))
		w.beside(r.beside)
		w.above(indent+usualStep, r.below)
		return
	}
	step := w.head(n, r, indent)
	w.members(n, indent+step, from)
	w.above(indent+max(step, 1), r.below)
}

// head writes the comments above a key, the key, and the comments beside it, and
// returns how far in its members stand.
func (w *writer) head(n *node, r remarks, indent int) (step int) {
	at := n.at[n.layout()]
	w.above(indent, r.above)
	if !at.headed() || !slices.Equal(r.beside, at.remarks().beside) {
		w.unix(strings.Repeat(" ", indent) + at.keyText() + ":")
		w.beside(r.beside)
	} else {
		w.raw(at, at.keyLine(), at.lineEndBehindHead(), indent)
	}
	w.endLine()
	return at.step()
}

// leaf writes a member that one side gives as a whole.
func (w *writer) leaf(n *node, indent int, from citation) {
	at := n.at[n.layout()]
	r := n.remarks()
	switch {
	case at.fits(from) && !at.inFlow && r.equal(at.remarks()):
		e := at.extent()
		w.raw(at, e.Start, e.End, indent)
		return
	case !at.fits(from) && merged(at):
		w.branch(n.opened(), indent, from)
		return
	}
	source := ""
	if !at.fits(from) {
		source = at.claims()[0].Citation()
	}
	w.above(indent, r.beyond(at))
	body := strings.Repeat(" ", indent) + entry(at.keyText(), at, source, indent)
	if at.inLines() {
		head, members, _ := strings.Cut(body, "\n")
		w.unix(head)
		w.beside(r.beside)
		w.unix(members)
	} else {
		w.unix(body)
		w.beside(r.beside)
	}
	w.endLine()
	w.above(indent+usualStep, r.below)
}

// opened is a place that one side gives as a whole, with its members laid out as
// places of their own.
func (n *node) opened() *node {
	s := n.layout()
	open := &node{key: n.key, path: n.path}
	open.at[s] = n.at[s]
	for _, k := range n.at[s].members() {
		kid := &node{key: k.key, path: k.path, from: []side{s}}
		kid.at[s] = k
		open.kids = append(open.kids, kid)
	}
	return open
}

// claims writes a figure of which several claims stand, that not one side alone
// has.
func (w *writer) claims(n *node, indent int) {
	step := w.head(n, n.remarks(), indent)
	list := &node{key: "claims", path: n.path}
	for s, at := range n.at {
		if at != nil {
			list.at[s] = at.claimsMember()
		}
	}
	indent += step
	if list.at[ours] != nil || list.at[theirs] != nil {
		step = w.head(list, list.remarks(), indent)
	} else {
		w.unix(strings.Repeat(" ", indent) + "claims:\n")
		step = usualStep
	}
	indent += step
	for _, k := range n.claims {
		w.claim(n, k, indent)
	}
	w.above(indent, n.remarks().below)
}

// claim writes one claim under its source. Where a side has it so already, that is
// how it is written.
func (w *writer) claim(n *node, k *claimNode, indent int) {
	w.endLine()
	kid := &node{key: k.key}
	for s, at := range n.at {
		if at == nil || at.claimsMember() == nil {
			continue
		}
		all := at.claimsMember().members()
		if i := slices.IndexFunc(all, func(c *member) bool { return c.key == k.key }); i >= 0 {
			kid.at[s] = all[i]
		}
	}
	for _, s := range k.from {
		if kid.at[s] != nil {
			kid.from = append(kid.from, s)
		}
	}
	if len(kid.from) > 0 {
		w.unix(kid.gap())
		w.leaf(kid, indent, citation{})
		return
	}
	at := n.at[k.from[0]]
	if len(k.from) > 1 && at.manner() > n.at[k.from[1]].manner() {
		at = n.at[k.from[1]]
	}
	w.unix(strings.Repeat(" ", indent) + entry(text.Spell(k.key, false), at, beside(at), indent))
	w.endLine()
}

// beside is the source to be written beside a print that becomes one of several
// claims: its section's, also where the key says as much.
func beside(at *member) string {
	c := at.claims()[0]
	if !c.Inherited {
		return ""
	}
	return c.Citation()
}

// raw copies lines of a text, brought to an indentation.
func (w *writer) raw(m *member, start, end, indent int) {
	w.copy(m.of, shift(m.of.Source[start:end], indent-m.column()))
}

// copy writes bytes of a text with their line ends, unless that text ends its lines
// otherwise than the result.
func (w *writer) copy(d *document, b []byte) {
	if d.lineEnd == w.eol {
		w.out.Write(b)
		return
	}
	w.unix(unix(b))
}

// unix writes a text whose lines end in line feeds.
func (w *writer) unix(s string) {
	w.out.WriteString(strings.ReplaceAll(s, "\n", w.eol))
}

func (w *writer) endLine() {
	b := w.out.Bytes()
	if len(b) > 0 && b[len(b)-1] != '\n' && b[len(b)-1] != '\r' && string(b) != byteOrderMark {
		w.out.WriteString(w.eol)
	}
}

// above writes comments in lines of their own.
func (w *writer) above(indent int, comments []string) {
	for _, c := range comments {
		w.endLine()
		blank := len(c) - len(strings.TrimLeft(c, "\n"))
		w.unix(c[:blank] + strings.Repeat(" ", indent) + c[blank:] + "\n")
	}
}

// beside writes comments at the end of a line, and those that carry them on under
// them.
func (w *writer) beside(comments []string) {
	if len(comments) > 0 && !slices.Contains([]string{"\n", "\r"}, w.last()) {
		w.out.WriteString("  ")
	}
	column := w.column()
	for i, c := range comments {
		if i > 0 {
			w.unix("\n" + strings.Repeat(" ", column))
		}
		w.unix(c)
	}
	w.endLine()
}

func (w *writer) last() string {
	b := w.out.Bytes()
	return string(b[max(0, len(b)-1):])
}

func (w *writer) column() int {
	b := w.out.Bytes()
	return len(b) - 1 - bytes.LastIndexAny(b, "\r\n")
}

// ended gives the text the end of its last line, or takes it away.
func (w *writer) ended(end string) []byte {
	if end == "" {
		return bytes.TrimRight(w.out.Bytes(), "\r\n")
	}
	w.endLine()
	return w.out.Bytes()
}
