package serve

import (
	"context"
	"errors"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema/text"
)

// symbols lists the sections and figures of a document.
func (s *session) symbols(_ context.Context, d *document, _ documentParams) (any, error) {
	root := d.file().Doc.Root
	if root == nil || root.Kind != text.Map || !d.isOurs() {
		return []documentSymbol{}, nil
	}
	tree := d.outline(nil, root)
	if s.editor.TextDocument.DocumentSymbol.HierarchicalDocumentSymbolSupport {
		return tree, nil
	}
	return d.flat([]symbolInformation{}, tree, ""), nil
}

func (d *document) outline(path text.Path, n *text.Node) []documentSymbol {
	all := []documentSymbol{}
	for i := range n.Entries {
		e := &n.Entries[i]
		at := append(path[:len(path):len(path)], e.Key.Text)
		one := documentSymbol{Name: e.Key.Text, Kind: symbolString, SelectionRange: d.spanOf(e.Key),
			Range: d.span(e.Key.Span.Start, max(e.Key.Span.End, e.Value.Span.End))}
		if one.Name == "" {
			continue // the protocol allows no symbol without a name
		}
		slot, _ := d.slot(at)
		switch {
		case slot.Figure:
			one.Kind, one.Detail = symbolNumber, d.printAt(at, e.Value)
		case e.Value.Kind == text.Map:
			one.Kind, one.Children = symbolNamespace, d.outline(at, e.Value)
		default:
			one.Detail = printed(e.Value)
		}
		all = append(all, one)
	}
	return all
}

// printAt is the print of a figure: of the first claim that stands, where it can
// be read.
func (d *document) printAt(path text.Path, n *text.Node) string {
	if d.place.Kind == lint.EngineFile {
		if _, f, _ := d.figureAt(path); f != nil {
			return f.Text()
		}
	}
	return printed(n)
}

// printed is a value in one line.
func printed(n *text.Node) string {
	const most = 80
	line := n.Text
	if n.Kind == text.List {
		var items []string
		for _, item := range n.Items {
			items = append(items, item.Text)
		}
		line = strings.Join(items, ", ")
	}
	line = strings.Join(strings.Fields(line), " ")
	if r := []rune(line); len(r) > most {
		line = string(r[:most]) + "…"
	}
	return line
}

func (d *document) flat(all []symbolInformation, tree []documentSymbol, container string) []symbolInformation {
	for _, one := range tree {
		all = append(all, symbolInformation{Name: one.Name, Kind: one.Kind, ContainerName: container, Location: location{URI: d.uri, Range: one.Range}})
		all = d.flat(all, one.Children, strings.TrimPrefix(container+"."+one.Name, "."))
	}
	return all
}

// format returns the edits that put a document in its canonical form: those of
// the finding that says it is not.
func (s *session) format(ctx context.Context, d *document, _ documentParams) (any, error) {
	if d.lost != "" {
		return nil, errors.New(d.lost)
	}
	if !d.isOurs() {
		return nil, nil
	}
	if _, err := d.file().Tidy(); err != nil {
		return nil, err
	}
	found, err := s.findings(ctx, d)
	if err != nil {
		return nil, err
	}
	edits := []textEdit{}
	for _, f := range found {
		if f.Rule == canonical && f.Fix != nil {
			edits = d.textEdits(f.Fix.Edits)
		}
	}
	return edits, nil
}

// canonical is the rule about the form of the text.
const canonical = "form/canonical"
