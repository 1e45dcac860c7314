package merge

import (
	"strings"
)

// flow writes the members of a place in braces or brackets, with the marks and
// blanks between them as one of the sides has them.
func (w *writer) flow(n *node, from citation, column int) string {
	from = n.handsDown(from)
	opening, between, closing := n.at[n.layout()].marks()
	parts := make([]string, len(n.kids))
	for i, k := range n.kids {
		parts[i] = w.flowMember(k, from, column)
	}
	return opening + strings.Join(parts, between) + closing
}

// marks returns what stands before, between and behind the members of a map or list
// in braces or brackets.
func (m *member) marks() (opening, between, closing string) {
	all, src := m.members(), m.of.Source
	if len(all) == 0 {
		return "{", ", ", "}"
	}
	opening = unix(src[m.value.Span.Start:all[0].id.Span.Start])
	closing = unix(src[all[len(all)-1].bodyEnd():m.value.Span.End])
	switch {
	case len(all) > 1:
		between = unix(src[all[0].bodyEnd():all[1].id.Span.Start])
	case len(opening) > 1:
		between = "," + opening[1:]
	default:
		between = ", "
	}
	return opening, between, closing
}

func (w *writer) flowMember(n *node, from citation, column int) string {
	at := n.at[n.layout()]
	switch {
	case len(n.kids) > 0:
		return at.keyText() + ": " + w.flow(n, from, column)
	case len(n.claims) > 0:
		return at.keyText() + ": {" + at.plain("claims") + ": {" + w.flowClaims(n, column) + "}}"
	case at.fits(from):
		return unix(at.of.Source[at.id.Span.Start:at.bodyEnd()])
	case merged(at):
		return at.keyText() + ": " + w.flow(n.opened(), from, column)
	}
	return entry(at.keyText(), at, at.claims()[0].Citation(), column)
}

func (w *writer) flowClaims(n *node, column int) string {
	var parts []string
	for _, k := range n.claims {
		at := n.at[k.from[0]]
		if list := at.claimsMember(); list != nil {
			for _, c := range list.members() {
				if c.key == k.key {
					parts = append(parts, unix(c.of.Source[c.id.Span.Start:c.bodyEnd()]))
				}
			}
			continue
		}
		parts = append(parts, entry(at.plain(k.key), at, beside(at), column))
	}
	return strings.Join(parts, ", ")
}
