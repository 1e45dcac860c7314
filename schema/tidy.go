package schema

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/schema/text"
)

// Tidy returns the canonical text of an engine file, a source file, a contribution
// or the record of moved ids. Two files that say the same, remarks included, have one
// canonical text but for their blank lines and comments:
//
//   - keys stand in the order of the JSON Schema, unknown ones behind them;
//     where the file chooses the keys, in the order of the file;
//   - two spaces to a level, one behind a colon, two before a comment at the end
//     of a line; no blanks at the end of a line, line feeds between lines, one
//     at the end, no byte order mark;
//   - what stands in braces or brackets stays there while it fits on its line of
//     100 characters and holds no comment; else each member gets its own line;
//   - a blank line stays where it parts two entries, several become one;
//   - comments stay with the entry they belong to.
//
// No scalar is changed: neither its text nor its quotes. The result is read
// again and compared before it is returned. A file written as JSON, in braces
// throughout, is returned as it is: programs write those.
//
// It is an error when the file cannot be read in full, holds no keys, or when
// the result would not say the same.
func Tidy(source []byte) ([]byte, error) { return ReadFile("", source).Tidy() }

// Tidy is the function Tidy for a file that has been read.
func (f *File) Tidy() ([]byte, error) {
	d := f.Doc
	if len(d.Problems) > 0 {
		p := d.Problems[0]
		line, column := d.Position(p.Span.Start)
		return nil, fmt.Errorf("line %d, column %d: %s", line, column, p.Message)
	}
	if d.Root.Kind != text.Map {
		return nil, errors.New("the file holds no keys, so there is nothing to put in order")
	}
	if d.Root.Flow {
		return d.Source, nil
	}
	w := &tidyWriter{doc: d}
	w.out.Grow(len(d.Source) + len(d.Source)/8)
	w.document(orderOf(d.Root))
	out := w.out.Bytes()
	if bytes.Equal(out, d.Source) {
		return d.Source, nil
	}
	again := text.Parse(out, text.DefaultLimits())
	if err := sameContent(d, again); err != nil {
		return nil, fmt.Errorf("the canonical text would not say the same, so nothing is changed: %w", err)
	}
	return out, nil
}

// sameContent returns an error unless both texts have the same keys and
// scalars, notation included, and the same comments on each entry.
func sameContent(a, b *text.Doc) error {
	if len(b.Problems) > 0 {
		line, _ := b.Position(b.Problems[0].Span.Start)
		return fmt.Errorf("its line %d cannot be read: %s", line, b.Problems[0].Message)
	}
	if err := sameNode(nil, a.Root, b.Root); err != nil {
		return err
	}
	x, y := remarks(a), remarks(b)
	for i := range max(len(x), len(y)) {
		switch {
		case i >= len(y) || i < len(x) && x[i] < y[i]:
			return fmt.Errorf("the comment of %s would be lost", x[i])
		case i >= len(x) || x[i] > y[i]:
			return fmt.Errorf("a comment would be added to %s", y[i])
		}
	}
	return nil
}

func sameNode(path text.Path, a, b *text.Node) error {
	switch {
	case a.Kind != b.Kind || a.Style != b.Style || a.Text != b.Text || a.Absent != b.Absent:
		return fmt.Errorf("`%s` would change", path)
	case len(a.Entries) != len(b.Entries) || len(a.Items) != len(b.Items):
		return fmt.Errorf("`%s` would lose or gain a member", path)
	}
	x, y := byKey(a.Entries), byKey(b.Entries)
	for i := range x {
		below := append(path, x[i].Key.Text)
		if err := sameNode(below, x[i].Key, y[i].Key); err != nil {
			return err
		}
		if err := sameNode(below, x[i].Value, y[i].Value); err != nil {
			return err
		}
	}
	for i := range a.Items {
		if err := sameNode(append(path, fmt.Sprint(i)), a.Items[i], b.Items[i]); err != nil {
			return err
		}
	}
	return nil
}

func byKey(entries []text.Entry) []text.Entry {
	return slices.SortedFunc(slices.Values(entries), func(a, b text.Entry) int { return cmp.Compare(a.Key.Text, b.Key.Text) })
}

// remarks lists the comments of a text, each behind the place it belongs to.
func remarks(d *text.Doc) []string {
	if len(d.Comments) == 0 {
		return nil
	}
	var all []string
	note := func(place string, comments ...[]text.Comment) {
		for _, c := range slices.Concat(comments...) {
			all = append(all, place+": "+commentText(d, c))
		}
	}
	attached := func(place string, a text.Attached) { note(place, a.Above, a.Beside, a.Inside, a.Below) }
	d.Walk(func(path text.Path, n *text.Node) bool {
		for i := range n.Entries {
			attached("`"+append(path, n.Entries[i].Key.Text).String()+"`", d.Attached(&n.Entries[i]))
		}
		for i, item := range n.Items {
			attached("`"+append(path, fmt.Sprint(i)).String()+"`", d.AttachedItem(item))
		}
		return true
	})
	note("the head of the file", d.Head())
	note("the end of the file", d.Tail())
	slices.Sort(all)
	return all
}

// commentText is a comment without the blanks behind it.
func commentText(d *text.Doc, c text.Comment) string {
	return strings.TrimRight(string(d.Source[c.Span.Start:c.Span.End]), " \t")
}
