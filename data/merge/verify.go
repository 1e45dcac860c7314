package merge

import (
	"fmt"
	"slices"

	"fourmarks.example/data/claims"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// verify reads the merged text again and holds it to what was decided: it says
// that and nothing else, has the remarks of both sides, and is no worse a file of
// the format than they are.
func (m *merger) verify(root *node) error {
	d, err := readDocument(m.kind, m.name, ours, m.result.Text)
	if err != nil {
		return fmt.Errorf("the merged text would not read again, so nothing is merged: %w", err)
	}
	if err := sameClaims(root.outcome(), d.claims); err != nil {
		return fmt.Errorf("%s: %w, so nothing is merged", m.name, err)
	}
	for _, s := range []side{ours, theirs} {
		if m.union && s == theirs {
			continue // what adds nothing is left as it is, and so are its remarks
		}
		if lost := m.lostRemark(m.docs[s], d); lost != "" {
			return fmt.Errorf("%s: the remark %q of %s would be lost, so nothing is merged", m.name, lost, s)
		}
	}
	if worse := m.newProblem(d); worse != "" {
		return fmt.Errorf("%s: the merged text would not be a file of the format, though each side is, so nothing is merged: %s", m.name, worse)
	}
	m.merged = d
	return nil
}

// sameClaims compares the claims that were decided on with those that are written.
func sameClaims(want, got []claims.Claim) error {
	want, got = slices.SortedFunc(slices.Values(want), byID), slices.SortedFunc(slices.Values(got), byID)
	for i := range max(len(want), len(got)) {
		switch {
		case i >= len(got) || i < len(want) && byID(want[i], got[i]) < 0:
			return fmt.Errorf("what %s says would be lost", nameOf(want[i].ID))
		case i >= len(want) || byID(want[i], got[i]) > 0:
			return fmt.Errorf("something would appear at %s that neither side has", nameOf(got[i].ID))
		case !claims.Same(&want[i], &got[i]):
			return fmt.Errorf("what %s says would change", nameOf(got[i].ID))
		}
	}
	return nil
}

// nameOf names a claim in a sentence.
func nameOf(id claims.ID) string {
	if id.Key == "" {
		return "`" + id.Pointer + "`"
	}
	return "`" + id.Pointer + "` (" + id.Key + ")"
}

// lostRemark returns a comment that a side has put at a place of the result, and
// that the result does not have.
func (m *merger) lostRemark(from, result *document) string {
	if len(from.Comments) == 0 {
		return ""
	}
	had, has := map[string]bool{}, map[string]bool{}
	if b := m.docs[base]; b != nil && !m.union {
		for _, c := range b.Comments {
			had[(&member{of: b}).comment(c)] = true
		}
	}
	for _, c := range result.Comments {
		has[(&member{of: result}).comment(c)] = true
	}
	places := map[string]bool{}
	result.Walk(func(path text.Path, _ *text.Node) bool {
		places[path.String()] = true
		return true
	})
	lost := ""
	from.Walk(func(path text.Path, n *text.Node) bool {
		for i := range n.Entries {
			a := from.Attached(&n.Entries[i])
			for _, c := range slices.Concat(a.Above, a.Beside, a.Inside, a.Below) {
				s := (&member{of: from}).comment(c)
				if had[s] || has[s] {
					continue
				}
				place := append(path, n.Entries[i].Key.Text).String()
				if places[place] && !m.inConflict(claims.ID{Pointer: place}) {
					lost = s
				}
			}
		}
		return lost == ""
	})
	return lost
}

// inConflict reports whether a claim, or the place it is at, is in a conflict. What
// is said of a figure that has a claim in conflict is not for that.
func (m *merger) inConflict(id claims.ID) bool {
	return slices.ContainsFunc(m.result.Conflicts, func(c Conflict) bool {
		return c.ID == id || c.Key == "" && covers(c.Pointer, id.Pointer) || id.Key == "" && c.Pointer != "" && covers(c.Pointer, id.Pointer)
	})
}

// newProblem returns what the decoder has against the result that it has against
// neither side.
func (m *merger) newProblem(result *document) string {
	known := map[string]bool{}
	for _, s := range []side{ours, theirs} {
		for _, p := range m.docs[s].decoded().problems {
			known[p.Message], known[about(p)] = true, true
		}
	}
	for _, p := range result.decoded().problems {
		if !known[p.Message] && !known[about(p)] {
			return p.Message
		}
	}
	return ""
}

// about tells what a problem is about, wherever it stands.
func about(p schema.Problem) string {
	return fmt.Sprintf("%d %s", p.Kind, p.At.File.Doc.Source[p.At.Node.Span.Start:p.At.Node.Span.End])
}
