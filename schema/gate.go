package schema

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"fourmarks.example/schema/text"
)

// gate holds the file against the JSON Schema itself. The decoder has already
// said in its own words what it saw; the gate speaks only of places where it
// said nothing. What the decoder vouches for is left out.
func (d *decoder) gate(s *jsonschema.Schema) {
	var invalid *jsonschema.ValidationError
	if err := s.Validate(d.file.Doc.Root.ValueWithout(d.vouched)); err == nil || !errors.As(err, &invalid) {
		return
	}
	told := map[*text.Node]bool{}
	for _, p := range d.problems {
		told[p.At.Node] = true
	}
	for _, e := range leaves(invalid) {
		n := d.named(e)
		if told[n] || told[d.keyAt(e.InstanceLocation)] || d.toldWithin(n) {
			continue
		}
		told[n] = true
		d.problem(layer{}, Violation, n, "%s", sentence(n, e))
	}
}

// named returns the node that a violation is about: the key for a key that is
// not written as it should be, else the value.
func (d *decoder) named(e *jsonschema.ValidationError) *text.Node {
	pointer := instance(e)
	if badKey(e) {
		up, key := pointer[:strings.LastIndexByte(pointer, '/')], lastPart(pointer)
		if entry := d.file.Doc.Find(up).Entry(key); entry != nil {
			return entry.Key
		}
	}
	if n := d.file.Doc.Find(pointer); n != nil {
		return n
	}
	return d.file.Doc.Root
}

// instance is the JSON Pointer of the value; the validator escapes it as a URL.
func instance(e *jsonschema.ValidationError) string {
	if p, err := url.PathUnescape(e.InstanceLocation); err == nil {
		return p
	}
	return e.InstanceLocation
}

func badKey(e *jsonschema.ValidationError) bool {
	return strings.Contains(e.KeywordLocation, "/propertyNames") && strings.Contains(e.InstanceLocation, "/")
}

// lastPart is the last part of a JSON Pointer, unescaped.
func lastPart(pointer string) string {
	return strings.NewReplacer("~1", "/", "~0", "~").Replace(pointer[strings.LastIndexByte(pointer, '/')+1:])
}

// toldWithin reports whether a problem was already told of something at or
// below the node.
func (d *decoder) toldWithin(n *text.Node) bool {
	for _, p := range d.problems {
		if s := p.At.Node.Span; n.Span.Start <= s.Start && s.End <= n.Span.End {
			return true
		}
	}
	return false
}

// keyAt returns the key whose value is at a JSON Pointer; nil for the root and
// for items of a list.
func (d *decoder) keyAt(pointer string) *text.Node {
	path, ok := text.ParsePointer(pointer)
	if !ok || len(path) == 0 {
		return nil
	}
	last := len(path) - 1
	if e := d.file.Doc.Root.At(path[:last]).Entry(path[last]); e != nil {
		return e.Key
	}
	return nil
}

func leaves(e *jsonschema.ValidationError) []*jsonschema.ValidationError {
	if len(e.Causes) == 0 {
		return []*jsonschema.ValidationError{e}
	}
	var all []*jsonschema.ValidationError
	for _, c := range e.Causes {
		all = append(all, leaves(c)...)
	}
	return all
}

// sentence words a violation from the keyword that failed and what the schema
// says at that place.
func sentence(n *text.Node, e *jsonschema.ValidationError) string {
	document, fragment, _ := strings.Cut(e.AbsoluteKeywordLocation, "#")
	parent, keyword := fragment, fragment
	if i := strings.LastIndexByte(fragment, '/'); i >= 0 {
		parent, keyword = fragment[:i], fragment[i+1:]
	}
	key, is := short(lastPart(instance(e))), at(document, parent)
	if badKey(e) {
		return fmt.Sprintf("the key %q is not written as one here should be: %s", key, is.describe())
	}
	switch keyword {
	case "const":
		return fmt.Sprintf("`%s` must be %v, the version that this program reads", key, is.Const)
	case "minProperties", "minItems", "minLength":
		return fmt.Sprintf("`%s` is empty; write what belongs in it, or leave it out", key)
	case "maxLength", "maxItems", "maxProperties":
		return fmt.Sprintf("`%s` is too long", key)
	case "required":
		return fmt.Sprintf("`%s` lacks a key that it needs: %s", key, strings.Join(is.Required, ", "))
	}
	if n.Kind == text.Scalar {
		return fmt.Sprintf("`%s` cannot be %q: %s", key, short(n.Text), is.describe())
	}
	return fmt.Sprintf("`%s` is not of the form wanted here: %s", key, is.describe())
}

// short cuts a text to what a message can quote.
func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

// node is one place in a schema.
type node struct {
	Property
	Required []string `json:"required"`
}

func (s node) describe() string {
	var parts []string
	if s.Title != "" {
		parts = append(parts, strings.ToLower(s.Title[:1])+s.Title[1:])
	}
	if s.Description != "" {
		parts = append(parts, strings.TrimSuffix(s.Description, "."))
	}
	if len(s.Examples) > 0 {
		parts = append(parts, fmt.Sprintf("for example `%v`", s.Examples[0]))
	}
	if len(parts) == 0 {
		return "letters a to z, digits and hyphens"
	}
	return strings.Join(parts, "; ")
}

var schemaTrees = sync.OnceValue(func() map[string]any {
	trees := map[string]any{}
	for url, text := range schemaTexts {
		var tree any
		if err := json.Unmarshal(text, &tree); err != nil {
			panic(err)
		}
		trees[url] = tree
	}
	return trees
})

// at returns what a schema says at a JSON Pointer.
func at(document, pointer string) node {
	found := schemaTrees()[document]
	for _, part := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		m, ok := found.(map[string]any)
		if !ok {
			return node{}
		}
		found = m[lastPart("/"+part)]
	}
	var n node
	if b, err := json.Marshal(found); err != nil || json.Unmarshal(b, &n) != nil {
		return node{}
	}
	return n
}
