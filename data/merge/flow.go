package merge

import (
	"strings"
)

// flow writes the members of a place in braces or brackets, with the marks and
// blanks between them as one of the sides has them.
func (w *writer) flow(n *node, from citation, column int) string {
	from = n.handsDown(from)
	at := n.at[n.layout()]
	all := at.members()
	src := at.of.Source
	opening := unix(src[at.value.Span.Start:all[0].id.Span.Start])
	closing := unix(src[all[len(all)-1].bodyEnd():at.value.Span.End])
	between := "," + opening[1:]
	if len(all) > 1 {
		between = unix(src[all[0].bodyEnd():all[1].id.Span.Start])
	} else if between == "," {
		between = ", "
	}
	parts := make([]string, len(n.kids))
	for i, k := range n.kids {
		parts[i] = w.flowMember(k, from, column)
	}
	return opening + strings.Join(parts, between) + closing
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
