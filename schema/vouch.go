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
		d.vouched[n.Index] = true
	}
}

// vouchCitation vouches for a source id of small letters, digits and hyphens,
// with or without a place in it.
func (d *decoder) vouchCitation(n *text.Node) {
	id, _, _ := strings.Cut(n.Text, " ")
	switch {
	case len(n.Text) > longestCitation || strings.ContainsAny(n.Text, "\n\r\u2028\u2029") || n.Resolved() != text.String:
	case !isID(id):
	default:
		d.vouched[n.Index] = true
	}
}

// vouchSection vouches for a section all of whose values are vouched for.
func (d *decoder) vouchSection(n *text.Node) {
	for i := range n.Entries {
		if !d.vouched[n.Entries[i].Value.Index] {
			return
		}
	}
	d.vouched[n.Index] = true
}

// vouchWords vouches for a list of plain words.
func (d *decoder) vouchWords(n *text.Node) {
	for _, item := range n.Items {
		if item.Kind != text.Scalar || item.Absent || item.Text == "" || item.Resolved() != text.String {
			return
		}
	}
	if len(n.Items) > 0 {
		d.vouched[n.Index] = true
	}
}

// vouchPrint vouches for a print that was read.
func (d *decoder) vouchPrint(n *text.Node, f field) {
	if f.numeric || n.Kind == text.List || n.Resolved() == text.String {
		d.vouched[n.Index] = true
	}
}

// vouchClaim vouches for one claim with its remarks, once its print was read.
func (d *decoder) vouchClaim(n *text.Node, f field) {
	for i := range n.Entries {
		if v := n.Entries[i].Value; !d.remarkVouched(n.Entries[i].Key.Text, v, f) {
			return
		}
	}
	d.vouched[n.Index] = true
}

// remarkVouched reports whether the schema has nothing to say of one key of a claim.
func (d *decoder) remarkVouched(key string, v *text.Node, f field) bool {
	switch key {
	case "is":
		d.vouchPrint(v, f)
		return d.vouched[v.Index]
	case "from":
		d.vouchCitation(v)
		return d.vouched[v.Index]
	case "note", "quote":
		d.vouchWord(v)
		return d.vouched[v.Index]
	case "set_aside":
		return v.Kind == text.Scalar && !v.Absent && v.Resolved() == text.String
	}
	return false // `seen` is rare, and its date is the schema's to judge
}

// vouchClaims vouches for a figure that holds nothing but claims, all vouched
// for; otherwise for none of them, so that the schema still counts them.
func (d *decoder) vouchClaims(fig, claims *text.Node) {
	all := len(fig.Entries) == 1 && len(claims.Entries) > 0
	for i := range claims.Entries {
		all = all && d.vouched[claims.Entries[i].Value.Index] && isID(claims.Entries[i].Key.Text)
	}
	if all {
		d.vouched[fig.Index] = true
		return
	}
	for i := range claims.Entries {
		d.vouched[claims.Entries[i].Value.Index] = false
	}
}

// vouchGroup vouches for a group when all its entries and their names can be
// vouched for; otherwise for none of them, so that the schema still counts them.
func (d *decoder) vouchGroup(n *text.Node, is shape) {
	named, least := isName, 1
	if is == tableShape {
		named, least = isDegrees, 2
	}
	all := len(n.Entries) >= least
	for i := range n.Entries {
		all = all && d.vouched[n.Entries[i].Value.Index] && named(n.Entries[i].Key.Text)
	}
	if all {
		d.vouched[n.Index] = true
		return
	}
	for i := range n.Entries {
		d.vouched[n.Entries[i].Value.Index] = false
	}
}

// vouchVariants vouches for the variants of an engine, once all of them are resolved.
func (d *decoder) vouchVariants(n *text.Node) {
	if n == nil || n.Kind != text.Map {
		return
	}
	for i := range n.Entries {
		if v := n.Entries[i].Value; v.Kind == text.Map {
			d.vouchSection(v)
		}
	}
	d.vouchGroup(n, groupShape)
}

// vouchChange vouches for what a variant changes; otherwise it takes back what
// was vouched for of the maps below, which the schema counts.
func (d *decoder) vouchChange(n *text.Node) {
	if len(n.Entries) > 0 {
		d.vouchSection(n)
	}
	if !d.vouched[n.Index] {
		d.keepMaps(n)
	}
}

// keepMaps takes back what was vouched for of the maps below a node.
func (d *decoder) keepMaps(n *text.Node) {
	for i := range n.Entries {
		if v := n.Entries[i].Value; v.Kind == text.Map {
			d.vouched[v.Index] = false
			d.keepMaps(v)
		}
	}
}

const (
	smallLetters = "abcdefghijklmnopqrstuvwxyz"
	letters      = smallLetters + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	digits       = "0123456789"
)

// isName reports whether a key is a name that every group admits.
func isName(s string) bool {
	return len(s) <= longestName && s != "" && strings.Trim(s, letters+digits+" ._+/-") == "" && strings.IndexByte(" ._+/-", s[0]) < 0
}

// isID reports whether a text is the id of a source.
func isID(s string) bool {
	return s != "" && s[0] != '-' && strings.Trim(s, smallLetters+digits+"-") == ""
}

// isDegrees reports whether a key is a whole number of degrees, as a table of lift has them.
func isDegrees(s string) bool {
	s = strings.TrimPrefix(s, "-")
	return s != "" && strings.Trim(s, digits) == ""
}
