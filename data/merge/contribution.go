package merge

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// Contribution adds what a contribution file says to the dataset: its figures to
// the engine, also where that has moved to another id, and which is started if the
// dataset does not have it, and the sources it brings. The engine's file is the first of the additions; a source that the dataset
// has already, and that the contribution says nothing new of, is none.
//
// A contribution adds claims and never changes one: where it says of a figure, from
// the same source, something else than the dataset has, that is a conflict.
//
// It is an error, naming each line, when the file is not of the format, has no word
// of where its figures were read, or brings a figure that names no source or one
// nobody has a record of; and when it is for a variant that the engine does not have.
func Contribution(f *schema.File, files Files) ([]*Addition, error) {
	c, problems := schema.DecodeContribution(f)
	if err := refuse(f, problems); err != nil {
		return nil, err
	}
	id, err := goesBy(c.Engine.Text, files)
	if err != nil {
		return nil, err
	}
	present, err := files(lint.EngineFile, id)
	if err != nil {
		return nil, err
	}
	e, _ := schema.DecodeEngine(schema.ReadFile(f.Name, present))
	if err := place(f, c, e, present != nil); err != nil {
		return nil, err
	}
	if err := recorded(f, c, e, files); err != nil {
		return nil, err
	}
	engine, err := add(lint.EngineFile, id, present, overlay(f, c, e, id))
	if err != nil {
		return nil, err
	}
	return withSources([]*Addition{engine}, f, c, files)
}

// place checks that what is contributed has a place to go to.
func place(f *schema.File, c *schema.Contribution, e *schema.Engine, known bool) error {
	at := func(w schema.Word, format string, args ...any) error {
		line, column := w.At.Position()
		return fmt.Errorf("%s:%d:%d: %s", f.Name, line, column, fmt.Sprintf(format, args...))
	}
	if !known {
		switch {
		case c.Variant.Given():
			return at(c.Variant, "the dataset has no engine %s, and so no variant of it; contribute the engine first", c.Engine.Text)
		case !c.Figures.Title.Given():
			return at(c.Engine, "the dataset has no engine %s; to start it, give its `title:` under `figures:`, or correct the id", c.Engine.Text)
		}
		return nil
	}
	if !c.Variant.Given() {
		return nil
	}
	var names []string
	for _, v := range e.Variants {
		names = append(names, v.Name)
	}
	switch {
	case len(names) == 0:
		return at(c.Variant, "%s has no variants", c.Engine.Text)
	case !slices.Contains(names, c.Variant.Text):
		return at(c.Variant, "%s has no variant %q; it has %s", c.Engine.Text, c.Variant.Text, strings.Join(names, ", "))
	case c.Figures.Title.Given():
		return at(c.Figures.Title, "a title is the whole engine's, and this contribution is for a variant; leave it out")
	case c.Figures.Made.Given():
		return at(c.Figures.Made, "the years made are the whole engine's, and this contribution is for a variant; leave them out")
	}
	return nil
}

// recorded checks that there is a record of every source that figures are from.
func recorded(f *schema.File, c *schema.Contribution, e *schema.Engine, files Files) error {
	own, engines := recordsOf(c.Sources), recordsOf(e.Sources)
	var faults []string
	for _, figure := range c.All() {
		for i := range figure.Claims {
			claim := &figure.Claims[i]
			fault, err := unsourced(&claims.Claim{Path: figure.Path, Source: claim.From.Source}, files, func(id string) bool { return own(id) || engines(id) })
			if err != nil {
				return err
			}
			if fault != "" {
				line, column := claim.At.Position()
				faults = append(faults, fmt.Sprintf("%s:%d:%d: %s", f.Name, line, column, fault))
			}
		}
	}
	if len(faults) > 0 {
		return errors.New(strings.Join(faults, "\n"))
	}
	return nil
}

// withSources adds the sources that a contribution brings.
func withSources(all []*Addition, f *schema.File, c *schema.Contribution, files Files) ([]*Addition, error) {
	root := (&document{Doc: f.Doc, file: f}).rootMember()
	for _, s := range c.Sources {
		present, err := files(lint.SourceFile, s.Name)
		if err != nil {
			return nil, err
		}
		record := root.find("sources").find(s.Name)
		a, err := add(lint.SourceFile, s.Name, present, []byte(record.unfolded(0)))
		if err != nil {
			return nil, err
		}
		if a.New || len(a.Changed)+len(a.Conflicts) > 0 {
			all = append(all, a)
		}
	}
	return all, nil
}

// find returns the member of a map under a key.
func (m *member) find(key string) *member {
	all := m.members()
	return all[slices.IndexFunc(all, func(k *member) bool { return k.key == key })]
}

// unfolded writes the members of a map in lines of their own, at a column.
func (m *member) unfolded(column int) string {
	if m.inLines() {
		return strings.TrimPrefix(m.region(column), "\n") + "\n"
	}
	var b strings.Builder
	for _, k := range m.members() {
		b.WriteString(strings.Repeat(" ", column) + entry(k.keyText(), k, "", column) + "\n")
	}
	return b.String()
}

// overlay writes what is contributed as the engine's file would, were there nothing
// else in it.
func overlay(f *schema.File, c *schema.Contribution, e *schema.Engine, id string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "format: 1\nengine: %s\n", id)
	if !c.Figures.Title.Given() {
		fmt.Fprintf(&b, "title: %s\n", text.Spell(e.Title.Text, false))
	}
	column := 0
	var within text.Path
	if c.Variant.Given() {
		column, within = 3*usualStep, text.Path{"variants", c.Variant.Text, "change"}
		fmt.Fprintf(&b, "variants:\n  %s:\n    change:\n", text.Spell(c.Variant.Text, false))
	}
	root := (&document{Doc: f.Doc, file: f}).rootMember()
	b.WriteString(root.find("figures").unfolded(column))
	return sourced(b.Bytes(), within, c.From.String())
}

// sourced gives the sections below a path the source that holds for the whole of a
// contribution, where they have figures that name none.
func sourced(source []byte, within text.Path, from string) []byte {
	if from == "" {
		return source
	}
	f := schema.ReadFile("", source)
	d := &document{Doc: f.Doc, kind: lint.EngineFile, file: f, claims: claims.Of(lint.EngineFile, f)}
	out := source
	var inserted int
	put := func(at int, s string) {
		out = slices.Insert(slices.Clone(out), at+inserted, []byte(s)...)
		inserted += len(s)
	}
	var visit func(path text.Path, n *text.Node)
	visit = func(path text.Path, n *text.Node) {
		if n == nil || n.Kind != text.Map || len(n.Entries) == 0 {
			return
		}
		slot, ok := schema.EngineSlot(append(slices.Clone(path), "from"))
		if !ok || !slot.Cites {
			for _, e := range n.Entries {
				visit(append(slices.Clone(path), e.Key.Text), e.Value)
			}
			return
		}
		switch first := &n.Entries[0]; {
		case n.Get("from") != nil || !slices.ContainsFunc(d.within(path, n), sourceless):
		case n.Flow && first.Key.Style == text.DoubleQuoted:
			put(first.Key.Span.Start, `"from": `+text.Quote(from)+", ")
		case n.Flow:
			put(first.Key.Span.Start, "from: "+text.Spell(from, true)+", ")
		default:
			margin := first.Key.Span.Start - d.lineStart(first.Key.Span.Start)
			put(d.Extent(first).Start, strings.Repeat(" ", margin)+"from: "+text.Spell(from, false)+"\n")
		}
	}
	visit(within, d.Root.At(within))
	return out
}
