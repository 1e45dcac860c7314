package serve

import (
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// spot is what an offset of a document points at: a key, with the path of its
// value, or a value.
type spot struct {
	path text.Path
	node *text.Node
	key  bool
	at   int // the offset
}

func (d *document) spotAt(p position) (spot, bool) {
	at := d.offset(p)
	path, n := d.file().Doc.NodeAt(at)
	if n == nil || n.Kind != text.Scalar || !d.isOurs() {
		return spot{}, false
	}
	return spot{path: path, node: n, key: d.file().Doc.Root.At(path) != n, at: at}, true
}

// citedAt returns the id of the source that is named at a spot.
func (d *document) citedAt(p spot) (id string, ok bool) {
	if len(p.path) == 0 {
		return "", false
	}
	if !p.key {
		slot, _ := d.slot(p.path)
		id, _, _ = strings.Cut(strings.TrimSpace(p.node.Text), " ")
		return id, slot.Cites
	}
	slot, _ := d.slot(p.path[:len(p.path)-1])
	id, _, _ = strings.Cut(p.node.Text, "#")
	return id, slot.Named && slot.Cites || d.place.Kind == lint.EngineFile && len(p.path) == 2 && p.path[0] == "sources"
}

// engineAt returns the engine that a path of the file belongs to, the base or a
// variant, and the path within it.
func (d *document) engineAt(path text.Path) (*schema.Engine, text.Path) {
	e := d.engine()
	if len(path) > 3 && path[0] == "variants" && path[2] == "change" {
		if v, ok := e.Variants.Get(path[1]); ok && v.Engine != nil {
			return v.Engine, path[3:]
		}
	}
	return e, path
}

// figureAt returns the figure that a path of the file lies in, its engine, and
// the claim, or nil where the path is none of one.
func (d *document) figureAt(path text.Path) (e *schema.Engine, f *schema.Figure, c *schema.Claim) {
	e, below := d.engineAt(path)
	for n := len(below); n > 0; n-- {
		if f = e.Figure(strings.Join(below[:n], ".")); f == nil {
			continue
		}
		rest := below[n:]
		for i := range f.Claims {
			if len(rest) > 1 && f.Claims[i].Key == rest[1] || len(f.Claims) == 1 {
				c = &f.Claims[i]
			}
		}
		return e, f, c
	}
	return e, nil, nil
}

// partAt returns the part of a train, such as `crankshaft > idler + cam`, that
// an offset is in.
func (d *document) partAt(p spot) string {
	raw := string(d.text[p.node.Span.Start:p.node.Span.End])
	at := min(max(p.at-p.node.Span.Start, 0), len(raw))
	isBetween := func(r rune) bool { return r == '>' || r == '+' }
	start := strings.LastIndexFunc(raw[:at], isBetween) + 1
	end := len(raw)
	if i := strings.IndexFunc(raw[at:], isBetween); i >= 0 {
		end = at + i
	}
	return strings.Trim(raw[start:end], ` "'`)
}

// wheelsIn lists the wheels that a train names.
func wheelsIn(train string) []string {
	var names []string
	for _, name := range strings.FieldsFunc(train, func(r rune) bool { return r == '>' || r == '+' }) {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	return names
}
