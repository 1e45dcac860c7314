package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// form is what somebody has filled in. Texts that are empty are not written.
type form struct {
	Engine  string `json:"engine"`
	Variant string `json:"variant"`
	By      string `json:"by"`
	On      string `json:"on"`
	Note    string `json:"note"`
	// Source is a record that the dataset does not have yet; without an id there
	// is none.
	Source newSource `json:"source"`
	// From is the source of the figures and where in it.
	From string `json:"from"`
	// Entries are the figures and words, each with its path in an engine's file.
	Entries []entry `json:"entries"`
}

type newSource struct {
	ID     string      `json:"id"`
	Fields [][2]string `json:"fields"`
}

type entry struct {
	Path text.Path `json:"path"`
	Is   string    `json:"is"`
}

// compose writes a form as a contribution file.
func compose(question []byte) ([]byte, error) {
	var f form
	if err := json.Unmarshal(question, &f); err != nil {
		return nil, fmt.Errorf("the form cannot be read: %w", err)
	}
	return []byte(f.text()), nil
}

func (f form) text() string {
	root := &branch{}
	root.at("contribution").is = "1"
	for _, w := range [][2]string{{"engine", f.Engine}, {"variant", f.Variant}, {"by", f.By}, {"on", f.On}, {"note", f.Note}} {
		root.set(text.Path{w[0]}, w[1])
	}
	for _, field := range f.Source.Fields {
		if f.Source.ID != "" {
			root.set(text.Path{"sources", f.Source.ID, field[0]}, field[1])
		}
	}
	root.set(text.Path{"from"}, f.From)
	for _, e := range f.Entries {
		root.set(append(text.Path{"figures"}, e.Path...), e.Is)
	}
	var b strings.Builder
	root.write(&b, 0)
	return b.String()
}

// branch is a map of the file to be, its keys in the order in which they came,
// or one value.
type branch struct {
	key   string
	is    string
	below []*branch
}

// at returns the branch of a key, a new one if there is none.
func (b *branch) at(key string) *branch {
	for _, o := range b.below {
		if o.key == key {
			return o
		}
	}
	n := &branch{key: key}
	b.below = append(b.below, n)
	return n
}

// set puts a value at a path; one that is empty is left out.
func (b *branch) set(path text.Path, is string) {
	if is = strings.TrimSpace(is); is == "" {
		return
	}
	for _, key := range path {
		b = b.at(key)
	}
	b.is = value(path, is)
}

// value spells a text as a value. A number that a figure prints stays a number.
func value(path text.Path, is string) string {
	if path[0] == "figures" {
		if slot, ok := schema.EngineSlot(path[1:]); ok && slot.Figure && isNumber(is) {
			return is
		}
	}
	return text.Spell(is, false)
}

// isNumber reports whether a text is read as a number.
func isNumber(s string) bool {
	d := text.Parse([]byte("k: "+s+"\n"), text.DefaultLimits())
	if len(d.Problems) > 0 || d.Root == nil {
		return false
	}
	v := d.Root.Get("k")
	return v != nil && v.Kind == text.Scalar && v.Text == s && (v.Resolved() == text.Integer || v.Resolved() == text.Float)
}

const indent = "  "

func (b *branch) write(out *strings.Builder, depth int) {
	for _, n := range b.below {
		fmt.Fprintf(out, "%s%s:", strings.Repeat(indent, depth), text.Spell(n.key, false))
		if n.below == nil {
			fmt.Fprintf(out, " %s\n", n.is)
			continue
		}
		out.WriteByte('\n')
		n.write(out, depth+1)
	}
}
