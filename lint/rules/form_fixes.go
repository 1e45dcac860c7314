package rules

import (
	"slices"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
	"fourmarks.example/schema/text"
)

// takeOut offers to take out the acceptances that keep nothing: those of one
// rule, or with them all of a place or the whole section where nothing else is
// left. It offers nothing where a remark would go too, and nothing while the
// file cannot be read in full or a source is not known: then rules may be silent
// that would not be.
func takeOut(p *lint.Pass, unused []lint.Outcome, one lint.Outcome) *lint.Fix {
	if len(p.Problems) > 0 || citesUnknown(p) {
		return nil
	}
	isUnused := func(path, rule string) bool {
		return slices.ContainsFunc(unused, func(o lint.Outcome) bool { return o.Path == path && o.Rule == rule })
	}
	allUnused := func(at text.Entry) bool {
		return !slices.ContainsFunc(at.Value.Entries, func(rule text.Entry) bool { return !isUnused(at.Key.Text, rule.Key.Text) })
	}
	doc := p.File.Doc
	holder, key := doc.Root, "accepted"
	if slices.ContainsFunc(doc.Root.Get(key).Entries, func(at text.Entry) bool { return !allUnused(at) }) {
		holder, key = doc.Root.Get(key), one.Path
		if !allUnused(*holder.Entry(key)) {
			holder, key = holder.Get(key), one.Rule
		}
	}
	span := entrySpan(doc, holder, key)
	if slices.ContainsFunc(doc.Comments, func(c text.Comment) bool { return c.Span.Start < span.End && span.Start < c.Span.End }) {
		return nil
	}
	return &lint.Fix{Title: "take out what accepts nothing", Edits: []lint.Edit{{Start: span.Start, End: span.End}}}
}

// citesUnknown reports whether a source is cited of which there is no record.
func citesUnknown(p *lint.Pass) bool {
	for _, one := range p.Engine.All() {
		for _, c := range one.Citations() {
			if _, known := p.LookUp(c.Source); !known {
				return true
			}
		}
	}
	return false
}

// entrySpan is what goes with an entry when it is taken out of its map: whole
// lines, or in braces the comma that parts it from another.
func entrySpan(doc *text.Doc, holder *text.Node, key string) text.Span {
	i := slices.IndexFunc(holder.Entries, func(e text.Entry) bool { return e.Key.Text == key })
	e := &holder.Entries[i]
	switch {
	case !holder.Flow:
		return doc.Extent(e)
	case i+1 < len(holder.Entries):
		return text.Span{Start: e.Key.Span.Start, End: holder.Entries[i+1].Key.Span.Start}
	case i > 0:
		return text.Span{Start: holder.Entries[i-1].Value.Span.End, End: e.Value.Span.End}
	}
	return text.Span{Start: e.Key.Span.Start, End: e.Value.Span.End}
}

// moveHome offers to move a key that its section does not have to the one
// section that has it. It offers nothing where the move could change anything
// else: where the other section has the key already or names another source, or
// where a key of nearly that name belongs where it stands.
func moveHome(p *lint.Pass, problem schema.Problem) *lint.Fix {
	at := problem.At
	path, _ := text.ParsePointer(at.Pointer())
	if p.Engine == nil || len(path) == 0 || len(path) > 2 || len(p.File.Doc.Problems) > 0 {
		return nil
	}
	root, key := p.File.Doc.Root, path[len(path)-1]
	here, found := schema.EngineSlot(path[:len(path)-1])
	home, hasHome := homeOf(key)
	if !found || here.Named || !hasHome || schema.DidYouMean(key, here.Keys) != "" {
		return nil
	}
	from, to := root.At(path[:len(path)-1]), root.Get(home)
	if from.Flow || len(from.Entries) < 2 || to == nil || to.Kind != text.Map || to.Flow || to.Get(key) != nil {
		return nil
	}
	e := from.Entry(key)
	if !onOneLine(p.File.Doc, e) || !readsAs(e.Value, text.Path{home, key}) || !hasOwnSource(e.Value) && sourceOf(from) != sourceOf(to) {
		return nil
	}
	return &lint.Fix{Title: "move `" + key + "` to `" + home + "`", Edits: moved(p.File.Doc, e, to)}
}

// homeOf returns the one section that has a key, when that is a section of
// which a file has one.
func homeOf(key string) (section string, found bool) {
	homes := sectionsWith(key, nil)
	if len(homes) != 1 || len(homes[0]) != 1 {
		return "", false
	}
	return homes[0][0], true
}

// sectionsWith returns the paths below a path of all sections that have a key.
// One whose name the file chooses is called any.
func sectionsWith(key string, path text.Path) []text.Path {
	slot, _ := schema.EngineSlot(path)
	if len(path) > 0 && (slot.Figure || path[0] == "variants" || path[0] == "sources") {
		return nil
	}
	keys := slot.Keys
	if slot.Named {
		keys = []string{"any"}
	}
	var found []text.Path
	if slices.Contains(slot.Keys, key) {
		found = append(found, path)
	}
	for _, k := range keys {
		found = append(found, sectionsWith(key, append(slices.Clone(path), k))...)
	}
	return found
}

// onOneLine reports whether an entry is written on one line, comments aside.
func onOneLine(doc *text.Doc, e *text.Entry) bool {
	first, _ := doc.Position(e.Key.Span.Start)
	last, _ := doc.Position(e.Value.Span.End)
	return first == last
}

// readsAs reports whether a value can stand at a path as what that takes.
func readsAs(n *text.Node, path text.Path) bool {
	slot, _ := schema.EngineSlot(path)
	switch {
	case !slot.Figure:
		return n.Kind == text.Scalar
	case n.Kind == text.Scalar:
		_, err := figure.Read(slot.Kind, n.Text)
		return err == nil
	}
	return n.Kind == text.Map
}

// hasOwnSource reports whether a figure names its source itself.
func hasOwnSource(n *text.Node) bool { return n.Get("from") != nil || n.Get("claims") != nil }

// sourceOf is what a section says its figures are from.
func sourceOf(section *text.Node) string {
	if from := section.Get("from"); from != nil {
		return from.Text
	}
	return ""
}

// moved takes the lines of an entry out and puts them at the end of a section,
// indented as that is.
func moved(doc *text.Doc, e *text.Entry, to *text.Node) []lint.Edit {
	span := doc.Extent(e)
	_, column := doc.Position(to.Entries[0].Key.Span.Start)
	end := doc.Extent(&to.Entries[len(to.Entries)-1]).End
	var lines strings.Builder
	if end > 0 && doc.Source[end-1] != '\n' { // the last line of the file has no line end
		lines.WriteByte('\n')
	}
	for line := range strings.Lines(string(doc.Source[span.Start:span.End])) {
		lines.WriteString(strings.Repeat(" ", column-1) + strings.TrimLeft(line, " "))
	}
	if !strings.HasSuffix(lines.String(), "\n") {
		lines.WriteByte('\n')
	}
	edits := []lint.Edit{{Start: end, End: end, Text: lines.String()}, {Start: span.Start, End: span.End}}
	if span.Start < end {
		slices.Reverse(edits)
	}
	return edits
}

// respell offers to spell a unit that was misspelled: the figure stays as it is.
// It offers nothing where the file's text is not the print letter by letter.
func respell(p *lint.Pass, problem schema.Problem) *lint.Fix {
	n := problem.At.Node
	if problem.Figure == nil || n.Kind != text.Scalar {
		return nil
	}
	unit, ok := figure.Respell(problem.Figure.Kind, n.Text)
	if !ok {
		return nil
	}
	start := n.Span.Start + strings.Index(string(p.File.Doc.Source[n.Span.Start:n.Span.End]), n.Text)
	if start < n.Span.Start {
		return nil
	}
	return &lint.Fix{Title: "spell the unit `" + unit.Right + "`", Edits: []lint.Edit{{Start: start + unit.Wrong.Start, End: start + unit.Wrong.End, Text: unit.Right}}}
}
