package claims

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// Of takes a file apart, in the order of the file. Of a key that stands twice
// every value is listed. A file in which nothing can be read says nothing.
func Of(kind lint.InputKind, f *schema.File) []Claim {
	if root := f.Doc.Root; root == nil || root.Kind != text.Scalar && len(root.Entries)+len(root.Items) == 0 {
		return nil
	}
	r := &reader{}
	r.value(at{spot: spotOf(kind)}, f.Doc.Root)
	return r.claims
}

func spotOf(kind lint.InputKind) schema.Spot {
	switch kind {
	case lint.EngineFile:
		return schema.EngineSpot()
	case lint.SourceFile:
		return schema.SourceSpot()
	}
	return schema.Spot{}
}

// at is a place on the way down the tree.
type at struct {
	spot    schema.Spot
	pointer string // within the file
	path    string // within the engine
	depth   int
	within  int // 1 below `variants`, 2 in a variant, 3 in its change
	variant string
	from    citation // the source that holds here
}

// citation is a source and where in it.
type citation struct{ source, locator string }

func cite(s string) citation {
	id, locator, _ := strings.Cut(strings.TrimSpace(s), " ")
	return citation{id, strings.TrimSpace(locator)}
}

// variantParts are how far down a variant's change is: variants, its name, change.
const variantParts = 3

func (a at) down(key string) at {
	below := at{spot: a.spot.Down(key), pointer: a.pointer + "/" + text.Escape(key), depth: a.depth + 1, within: a.within, variant: a.variant, from: a.from}
	if below.path = key; a.path != "" {
		below.path = a.path + "." + key
	}
	switch {
	case a.depth == 0 && key == "variants", a.depth == 1 && a.within == 1:
		below.within++
		if a.depth == 1 {
			below.variant = key
		}
	case a.depth == 2 && a.within == 2 && key == "change":
		below.within, below.path, below.from = variantParts, "", citation{}
	}
	return below
}

type reader struct{ claims []Claim }

// value reads whatever stands at a place.
func (r *reader) value(a at, n *text.Node) {
	switch {
	case a.spot.Figure():
		r.figure(a, n)
	case len(n.Entries) > 0:
		a.from = sourceOf(a, n)
		for i := range n.Entries {
			r.value(a.down(n.Entries[i].Key.Text), n.Entries[i].Value)
		}
	case len(n.Items) > 0 && distinct(n.Items):
		for _, item := range n.Items {
			r.word(a, item)
			r.claims[len(r.claims)-1].Key = item.Text
		}
	case len(n.Items) > 0:
		a.spot = schema.Spot{}
		for i, item := range n.Items {
			r.value(a.down(strconv.Itoa(i)), item)
		}
	default:
		r.word(a, n)
	}
}

// distinct reports whether each item of a list is one text, and no two are alike.
func distinct(items []*text.Node) bool {
	seen := map[string]bool{}
	for _, item := range items {
		if item.Kind != text.Scalar || item.Absent || seen[item.Text] {
			return false
		}
		seen[item.Text] = true
	}
	return true
}

// sourceOf returns the source of the figures in a section.
func sourceOf(a at, section *text.Node) citation {
	from := section.Get("from")
	if from == nil || from.Kind != text.Scalar || !a.spot.Down("from").From() {
		return a.from
	}
	return cite(from.Text)
}

func (r *reader) word(a at, n *text.Node) {
	c := r.claim(a, n)
	c.Kind = Word
	if a.spot.From() {
		c.Kind = From
		from := cite(n.Text)
		c.Source, c.Locator = from.source, from.locator
	}
	c.print(n)
	r.claims = append(r.claims, c)
}

// claim starts the claim or value at a place.
func (r *reader) claim(a at, n *text.Node) Claim {
	return Claim{
		ID: ID{Pointer: a.pointer}, Variant: a.variant, Path: a.path,
		Span: n.Span, PrintSpan: n.Span,
	}
}

// print takes the text of a value.
func (c *Claim) print(n *text.Node) {
	c.PrintSpan = n.Span
	c.Printed = n.Text
	if n.Kind == text.List {
		items := make([]string, len(n.Items))
		for i, item := range n.Items {
			items[i] = item.Text
		}
		c.Printed = strings.Join(items, ", ")
	}
	c.Empty = n.Absent || n.Kind != text.Scalar && len(n.Items) == 0
}

// isPrint reports whether a value is one text, or a list of texts.
func isPrint(n *text.Node) bool {
	for _, item := range n.Items {
		if item.Kind != text.Scalar {
			return false
		}
	}
	return n.Kind != text.Map
}

// figure reads a figure in any of its forms.
func (r *reader) figure(a at, n *text.Node) {
	claims := n.Get("claims")
	if claims == nil || claims.Kind != text.Map || len(claims.Entries) == 0 {
		r.claims = append(r.claims, r.one(a, n, a.from, true))
		return
	}
	for i := range claims.Entries {
		e := &claims.Entries[i]
		id, _, _ := strings.Cut(e.Key.Text, "#")
		c := r.one(a, e.Value, citation{source: id}, false)
		c.Key = e.Key.Text
		r.claims = append(r.claims, c)
	}
	for i := range n.Entries { // beside the claims nothing belongs; it is kept all the same
		if e := &n.Entries[i]; e.Value != claims {
			r.value(a.down(e.Key.Text), e.Value)
		}
	}
}

// one reads what one source says, with the source that holds where it names
// none itself. That a variant takes a figure away is nothing a source says.
func (r *reader) one(a at, n *text.Node, from citation, inherits bool) Claim {
	c := r.claim(a, n)
	c.Source, c.Locator, c.Inherited = from.source, from.locator, inherits && from.source != ""
	switch {
	case isPrint(n):
		c.print(n)
	case n.Kind == text.List:
		c.Empty = true
		c.parts(text.Path{"is"}, n)
	default:
		c.Empty = true
		c.parts(nil, n)
	}
	if a.within == variantParts && n.Kind == text.Scalar && n.Text == "removed" {
		c.Source, c.Locator, c.Inherited = "", "", false
	}
	c.Key = c.Source
	return c
}

// part takes what stands at a path within a claim.
func (c *Claim) part(path text.Path, n *text.Node) {
	pointer := path.String()
	if pointer == "/is" && isPrint(n) {
		c.print(n)
		return
	}
	if n.Kind != text.Scalar {
		c.parts(path, n)
		return
	}
	switch pointer {
	case "/from":
		from := cite(n.Text)
		c.Source, c.Locator, c.Inherited = from.source, from.locator, false
	case "/note":
		c.Note = n.Text
	case "/quote":
		c.Quote = n.Text
	case "/set_aside":
		c.Aside, c.SetAside = true, n.Text
	case "/seen/on":
		c.SeenOn = n.Text
	case "/seen/by":
		c.SeenBy = n.Text
	default:
		c.other(pointer, n.Text)
	}
}

// parts takes a map or list within a claim: the claim itself, when it was last
// seen, or something that does not belong.
func (c *Claim) parts(path text.Path, n *text.Node) {
	if len(path) > 0 && len(n.Entries)+len(n.Items) == 0 {
		c.other(path.String(), "")
	}
	path = path[:len(path):len(path)]
	for i := range n.Entries {
		c.part(append(path, n.Entries[i].Key.Text), n.Entries[i].Value)
	}
	for i, item := range n.Items {
		c.part(append(path, strconv.Itoa(i)), item)
	}
}

// other keeps what has no place in a claim, in an order of its own so that the
// order of keys in the file does not count.
func (c *Claim) other(pointer, s string) {
	o := Other{Pointer: pointer, Text: s}
	i, _ := slices.BinarySearchFunc(c.Other, o, func(a, b Other) int {
		return cmp.Or(strings.Compare(a.Pointer, b.Pointer), strings.Compare(a.Text, b.Text))
	})
	c.Other = slices.Insert(c.Other, i, o)
}
