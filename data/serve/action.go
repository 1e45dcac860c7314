package serve

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

const quickFix = "quickfix"

// codeActions offers what can be done about the findings in a range: the fix
// that a finding carries, accepting it, and for a source without a record to
// write one or to cite another.
func (s *session) codeActions(ctx context.Context, d *document, p codeActionParams) (any, error) {
	actions := []codeAction{}
	wanted := func(kind string) bool { return kind == quickFix || kind == "" }
	if s.editor.TextDocument.CodeAction.CodeActionLiteralSupport == nil || len(p.Context.Only) > 0 && !slices.ContainsFunc(p.Context.Only, wanted) {
		return actions, nil
	}
	found, err := s.findings(ctx, d)
	if err != nil {
		return nil, err
	}
	start, end := d.offset(p.Range.Start), d.offset(p.Range.End)
	for _, f := range found {
		at := d.rangeOf(f)
		if d.offset(at.Start) > end || d.offset(at.End) < start {
			continue
		}
		for _, o := range s.offers(d, f) {
			actions = append(actions, codeAction{Title: o.title, Kind: quickFix, Diagnostics: []diagnostic{s.diagnostic(d, f)},
				IsPreferred: o.preferred, Edit: s.workspaceEdit(d, o.edits)})
		}
	}
	return actions, nil
}

// offer is a change that deals with a finding.
type offer struct {
	title     string
	edits     []lint.Edit
	preferred bool
}

func (s *session) offers(d *document, f *lint.Finding) []offer {
	var all []offer
	if f.Fix != nil {
		all = append(all, offer{title: f.Fix.Title, edits: f.Fix.Edits, preferred: true})
	}
	if f.Rule == unknownSource {
		all = append(all, s.sourceOffers(d, f)...)
	}
	if s.isAcceptable(f) {
		if edit, ok := d.insertion([]string{"accepted", f.Path, f.Rule}, empty); ok {
			all = append(all, offer{title: fmt.Sprintf("accept this finding at %s (the reason is yours to write)", f.Path), edits: []lint.Edit{edit}})
		}
	}
	return all
}

// empty is a value that the linter refuses until somebody writes it.
const empty = `""`

// isAcceptable reports whether an entry under `accepted:` can keep a finding.
func (s *session) isAcceptable(f *lint.Finding) bool {
	r, ok := s.rule(f.Rule)
	return f.Path != "" && ok && raisesAcceptable(r)
}

// rule returns the rule of that name.
func (s *session) rule(name string) (*lint.Rule, bool) {
	i := slices.IndexFunc(s.book, func(r *lint.Rule) bool { return r.Name == name })
	if i < 0 {
		return nil, false
	}
	return s.book[i], true
}

// raisesAcceptable reports whether findings of a rule can be accepted at all.
// What is wrong with a file or a dataset as such is mended.
func raisesAcceptable(r *lint.Rule) bool {
	return r.Dataset == nil && r.Afterwards == nil && !strings.HasPrefix(r.Accepting, "This cannot be accepted")
}

const unknownSource = "sources/unknown"

// sourceOffers deals with a source that has no record: a record with what the
// format requires left to be written, or the known source nearest to it.
func (s *session) sourceOffers(d *document, f *lint.Finding) []offer {
	_, n := d.file().Doc.NodeAt(d.offset(d.rangeOf(f).Start))
	if n == nil {
		return nil
	}
	id, _, _ := strings.Cut(strings.TrimSpace(n.Text), " ")
	id, _, _ = strings.Cut(id, "#")
	var all []offer
	if near := schema.Nearest(id, s.citable(d), 1); len(near) > 0 {
		at := n.Span.Start + strings.Index(string(d.text[n.Span.Start:n.Span.End]), id)
		all = append(all, offer{title: "cite " + near[0] + " instead", edits: []lint.Edit{{Start: at, End: at + len(id), Text: near[0]}}})
	}
	if edit, ok := d.insertion([]string{"sources", id}, fmt.Sprintf("{title: %s, grade: %s}", empty, empty)); ok {
		all = append(all, offer{title: "write a record of " + id + " in this file", edits: []lint.Edit{edit}})
	}
	return all
}

// workspaceEdit is a change of the document in the form that the editor knows.
func (s *session) workspaceEdit(d *document, edits []lint.Edit) workspaceEdit {
	changes := d.textEdits(edits)
	if !s.editor.Workspace.WorkspaceEdit.DocumentChanges {
		return workspaceEdit{Changes: map[string][]textEdit{d.uri: changes}}
	}
	one := documentEdit{Edits: changes}
	one.TextDocument.URI, one.TextDocument.Version = d.uri, d.version
	return workspaceEdit{DocumentChanges: []documentEdit{one}}
}

func (d *document) textEdits(edits []lint.Edit) []textEdit {
	out := make([]textEdit, len(edits))
	for i, e := range edits {
		out[i] = textEdit{Range: d.span(e.Start, e.End), NewText: e.Text}
	}
	return out
}
