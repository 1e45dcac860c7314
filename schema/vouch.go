package schema

import (
	"strings"

	"fourmarks.example/schema/text"
)

// Most of a file is prints and plain words. The decoder has looked at each of
// them already: whatever the reader of a kind of figure reads, its pattern in the
// schema admits (a test of schema/figure holds it to that), and a plain word has
// nothing to satisfy but to be one. Passing them through the schema once more
// would take longer than everything else, so they are vouched for and left out,
// and so are sections and groups that hold nothing else. What is left is what
// only the schema knows. A fuzz test holds the two together: where the decoder
// has no problem, the whole file passes the whole schema.

// Lengths that the schema allows; see the definitions of words and citations.
const (
	longestWord     = 20000
	longestCitation = 400
	longestName     = 80
)

// vouchWord vouches for words that YAML too takes for words.
func (d *decoder) vouchWord(n *text.Node) {
	if n.Kind == text.Scalar && !n.Absent && 0 < len(n.Text) && len(n.Text) <= longestWord && n.Resolved() == text.String {
		d.vouched[n] = true
	}
}

// vouchCitation vouches for a source id of small letters, digits and hyphens,
// with or without a place in it.
func (d *decoder) vouchCitation(n *text.Node) {
	id, _, _ := strings.Cut(n.Text, " ")
	switch {
	case len(n.Text) > longestCitation || strings.ContainsAny(n.Text, "\n\r\u2028\u2029") || n.Resolved() != text.String:
	case id == "" || id[0] == '-' || strings.Trim(id, "abcdefghijklmnopqrstuvwxyz0123456789-") != "":
	default:
		d.vouched[n] = true
	}
}

// vouchSection vouches for a section all of whose values are vouched for.
func (d *decoder) vouchSection(n *text.Node) {
	for i := range n.Entries {
		if !d.vouched[n.Entries[i].Value] {
			return
		}
	}
	d.vouched[n] = true
}

// vouchGroup vouches for a group when all its entries and their names can be
// vouched for; otherwise for none of them, so that the schema still counts them.
func (d *decoder) vouchGroup(n *text.Node) {
	all := len(n.Entries) > 0
	for i := range n.Entries {
		all = all && d.vouched[n.Entries[i].Value] && isName(n.Entries[i].Key.Text)
	}
	if all {
		d.vouched[n] = true
		return
	}
	for i := range n.Entries {
		delete(d.vouched, n.Entries[i].Value)
	}
}

// keepMaps takes back what was vouched for of the maps below a node.
func (d *decoder) keepMaps(n *text.Node) {
	for i := range n.Entries {
		if v := n.Entries[i].Value; v.Kind == text.Map {
			delete(d.vouched, v)
			d.keepMaps(v)
		}
	}
}

// isName reports whether a key is a name that every group admits.
func isName(s string) bool {
	if s == "" || len(s) > longestName || s[0] == '-' {
		return false
	}
	return strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") == ""
}
