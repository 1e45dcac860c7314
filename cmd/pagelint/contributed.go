package main

import (
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// contributed returns an engine's file with the figures of a contribution in
// place of its own, each with its source. It is there to be judged, and is not
// what a merge makes of the two: that keeps every claim.
func contributed(base string, contribution *text.Doc) (string, error) {
	doc := text.Parse([]byte(base), text.DefaultLimits())
	if len(doc.Problems) > 0 {
		return "", fmt.Errorf("the engine's file cannot be read: %s", doc.Problems[0].Message)
	}
	c := overlay{root: grown(doc, "", doc.Root), from: contribution}
	for _, s := range entries(contribution.Root.Get("sources")) {
		c.root.at("sources").put(grown(contribution, s.Key.Text, s.Value))
	}
	if variant := scalar(contribution.Root, "variant"); variant != "" {
		c.under = text.Path{"variants", variant, "change"}
	}
	c.lay(nil, contribution.Root.Get("figures"), scalar(contribution.Root, "from"))
	var b strings.Builder
	c.root.write(&b, 0)
	tidy, err := schema.Tidy([]byte(b.String()))
	if err != nil { // what is wrong with it is for the linter to say
		return b.String(), nil
	}
	return string(tidy), nil
}

// overlay lays the figures of a contribution over an engine.
type overlay struct {
	root  *branch
	from  *text.Doc
	under text.Path // where a variant's changes stand
}

// lay lays what stands at a path of the contribution; source is what the nearest
// section names.
func (o *overlay) lay(path text.Path, n *text.Node, source string) {
	if n == nil {
		return
	}
	slot, known := schema.EngineSlot(path)
	if known && !slot.Figure && n.Kind == text.Map {
		if own := scalar(n, "from"); own != "" && len(path) > 0 && path[len(path)-1] != "numbers" {
			source = own
		}
		for _, e := range n.Entries {
			if e.Key.Text != "from" || path != nil && path[len(path)-1] == "numbers" {
				o.lay(append(slices.Clone(path), e.Key.Text), e.Value, source)
			}
		}
		return
	}
	at := o.root
	for _, key := range slices.Concat(o.under, path) {
		at = at.at(key)
	}
	is := grown(o.from, at.key, n)
	if known && slot.Figure {
		is = sourced(is, source)
	}
	*at = *is
}

// sourced is a figure written as a map that names its source.
func sourced(is *branch, source string) *branch {
	switch {
	case is.below == nil:
		value := *is
		value.key = "is"
		is = &branch{key: is.key, below: []*branch{&value}}
	case slices.ContainsFunc(is.below, func(b *branch) bool { return b.key == "claims" || b.key == "from" }):
		return is
	}
	if source != "" {
		is.put(&branch{key: "from", is: text.Spell(source, false)})
	}
	return is
}

// put puts a branch in, in place of one with its key.
func (b *branch) put(n *branch) { *b.at(n.key) = *n }

func entries(n *text.Node) []text.Entry {
	if n == nil {
		return nil
	}
	return n.Entries
}

// grown is a part of a document as a branch.
func grown(doc *text.Doc, key string, n *text.Node) *branch {
	b := &branch{key: key}
	switch {
	case n.Kind == text.Map:
		b.below = []*branch{}
		for _, e := range n.Entries {
			b.below = append(b.below, grown(doc, e.Key.Text, e.Value))
		}
		if len(b.below) == 0 {
			b.is, b.below = "{}", nil
		}
	case n.Kind == text.List:
		var items []string
		for _, item := range n.Items {
			items = append(items, spelled(doc, item, true))
		}
		b.is = "[" + strings.Join(items, ", ") + "]"
	case !n.Absent:
		b.is = spelled(doc, n, false)
	}
	return b
}

// spelled is a scalar as it is written, as long as that is on one line and means
// the same where it comes to stand.
func spelled(doc *text.Doc, n *text.Node, flow bool) string {
	written := string(doc.Source[n.Span.Start:n.Span.End])
	switch {
	case strings.Contains(written, "\n"):
		return text.Quote(n.Text)
	case flow && n.Style == text.Plain && !isNumber(n.Text):
		return text.Spell(n.Text, flow)
	}
	return written
}
