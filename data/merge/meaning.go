package merge

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/schema/text"
)

// means returns all that the member says in one string, sources resolved: two
// members mean the same when these are equal. Order of keys, layout and comments
// do not count.
func (m *member) means() string {
	if s, known := m.of.meaning[m.id]; known {
		return s
	}
	s := m.spell()
	m.of.meaning[m.id] = s
	return s
}

func (m *member) spell() string {
	switch {
	case m.isFigure():
		parts := make([]string, 0, 1)
		for _, c := range m.claims() {
			parts = append(parts, fmt.Sprintf("%q:%s", c.Key, says(&c)))
		}
		slices.Sort(parts)
		return "figure(" + strings.Join(parts, ",") + ")"
	case m.value.Kind == text.Scalar || len(m.value.Entries)+len(m.value.Items) == 0:
		return spellNode(m.value)
	case m.value.Kind == text.List:
		return spellNode(m.value)
	case m.figure:
		return spellNode(m.value)
	}
	parts := make([]string, 0, len(m.value.Entries))
	for _, k := range m.members() {
		parts = append(parts, fmt.Sprintf("%q:%s", k.key, k.means()))
	}
	slices.Sort(parts)
	return "{" + strings.Join(parts, ",") + "}"
}

// spellNode spells a value that is taken as it stands.
func spellNode(n *text.Node) string {
	switch {
	case n.Absent:
		return "nothing"
	case n.Kind == text.Scalar:
		return fmt.Sprintf("%q", n.Text)
	case n.Kind == text.List:
		parts := make([]string, len(n.Items))
		for i, item := range n.Items {
			parts[i] = spellNode(item)
		}
		return "[" + strings.Join(parts, ",") + "]"
	}
	parts := make([]string, len(n.Entries))
	for i, e := range n.Entries {
		parts[i] = fmt.Sprintf("%q:%s", e.Key.Text, spellNode(e.Value))
	}
	slices.Sort(parts)
	return "{" + strings.Join(parts, ",") + "}"
}

// says returns what a claim says, its key and place aside.
func says(c *claims.Claim) string {
	return fmt.Sprintf("%q %q %q %t %q %q %q %q %t %q %q", c.Printed, c.Source, c.Locator, c.Empty, c.Note, c.Quote, c.SeenOn, c.SeenBy, c.Aside, c.SetAside, c.Other)
}

// isFigure reports whether the member is a figure whose claims can be told apart:
// a print, a print with remarks, or claims and nothing beside them.
func (m *member) isFigure() bool {
	if !m.figure || m.value.Kind != text.Map {
		return m.figure
	}
	all := m.value.Get("claims")
	return all == nil || all.Kind == text.Map && len(all.Entries) > 0 && len(m.value.Entries) == 1
}

// claims returns the claims of a figure.
func (m *member) claims() []claims.Claim { return m.of.within(m.path, m.value) }

// claimsMember is the member `claims` of a figure written as several claims, nil
// for one written as a single print.
func (m *member) claimsMember() *member {
	if m.value.Get("claims") == nil {
		return nil
	}
	return m.members()[0]
}

// isRemoval reports whether a claim is the word by which a variant takes a figure
// away.
func isRemoval(c *claims.Claim) bool {
	return c.Kind == claims.Print && c.Variant != "" && c.Printed == "removed" && c.Source == ""
}

// citation is a source and where in it, as a section hands it down.
type citation struct{ source, locator string }

func citationOf(c *claims.Claim) citation { return citation{c.Source, c.Locator} }

// fits reports whether the member, placed where a source holds, still says what
// it says where it stands: whether each claim that inherits its source from
// outside the member inherits the same one there.
func (m *member) fits(from citation) bool {
	switch {
	case m.isFigure():
		for _, c := range m.claims() {
			if !claimFits(&c, from) {
				return false
			}
		}
		return true
	case m.value.Kind != text.Map || m.figure:
		return true
	}
	members := m.members()
	if own := sectionSource(members); own != nil {
		from = cite(own.value.Text)
	}
	if isChange(m.path) {
		from = citation{}
	}
	return !slices.ContainsFunc(members, func(k *member) bool { return !k.fits(from) })
}

func claimFits(c *claims.Claim, from citation) bool {
	return !c.Inherited && (c.Source != "" || from == citation{} || isRemoval(c)) || c.Inherited && citationOf(c) == from
}

// sectionSource returns the member that names the source of a section.
func sectionSource(members []*member) *member {
	i := slices.IndexFunc(members, (*member).isFrom)
	if i < 0 {
		return nil
	}
	return members[i]
}

func cite(s string) citation {
	id, locator, _ := strings.Cut(strings.TrimSpace(s), " ")
	return citation{id, strings.TrimSpace(locator)}
}

// isChange reports whether a path is that of a variant's change, into which no
// source is handed down.
func isChange(path text.Path) bool {
	return len(path) == 3 && path[0] == "variants" && path[2] == "change"
}

func byID(a, b claims.Claim) int {
	return cmp.Or(strings.Compare(a.Pointer, b.Pointer), strings.Compare(a.Key, b.Key))
}
