package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

// outlined is what outline is asked: the file of an engine, empty for one that is
// new, and the variant, empty for the base.
type outlined struct {
	Text    string `json:"text"`
	Variant string `json:"variant"`
}

// part is a section that figures can be written in.
type part struct {
	Path  text.Path `json:"path"`
	Title string    `json:"title"`
	// Named says that the path ends in a name that the file chooses.
	Named bool `json:"named"`
	// Begun says that the engine has it.
	Begun  bool    `json:"begun"`
	Fields []field `json:"fields"`
}

// field is a figure, or a word, of a part.
type field struct {
	Key         string   `json:"key"`
	Title       string   `json:"title"`
	Description string   `json:"description"`
	Example     string   `json:"example"`
	Choices     []string `json:"choices"`
	Figure      bool     `json:"figure"`
	// Now is what the file prints, as one text, and From its source.
	Now  string `json:"now"`
	From string `json:"from"`
}

// outline lists the parts of an engine, those it has first, each with what can be
// written in it: what a form asks for.
func outline(question []byte) ([]byte, error) {
	var q outlined
	if err := json.Unmarshal(question, &q); err != nil {
		return nil, fmt.Errorf("the question cannot be read: %w", err)
	}
	o := outliner{now: map[string]printed{}}
	if q.Text != "" {
		if err := o.read(q); err != nil {
			return nil, err
		}
	}
	o.add(nil)
	return json.Marshal(o.parts)
}

// printed is what a file has at a path.
type printed struct{ is, from string }

type outliner struct {
	now   map[string]printed // by the path as a JSON Pointer
	order []text.Path        // of sections, as they come
	parts []part
}

// read notes what the engine or variant has.
func (o *outliner) read(q outlined) error {
	e, _ := schema.DecodeEngine(schema.ReadFile("engine.yaml", []byte(q.Text)))
	if q.Variant != "" {
		v, ok := e.Variants.Get(q.Variant)
		if !ok || v.Engine == nil {
			return fmt.Errorf("the engine has no variant %q", q.Variant)
		}
		e = v.Engine
	}
	for _, f := range e.Figures() {
		var prints []string
		from := ""
		for _, c := range f.Claims {
			if !c.SetAside.Given() && !slices.Contains(prints, c.Printed.Text) {
				prints = append(prints, c.Printed.Text)
				from = c.From.String()
			}
		}
		o.note(inEngine(f.At), printed{strings.Join(prints, " or "), from})
	}
	for _, w := range e.Words() {
		if !w.Source {
			o.note(inEngine(w.At), printed{is: w.Text})
		}
	}
	return nil
}

func (o *outliner) note(path text.Path, is printed) {
	if len(path) < 2 {
		return
	}
	o.now[path.String()] = is
	if section := path[:len(path)-1]; !slices.ContainsFunc(o.order, func(p text.Path) bool { return slices.Equal(p, section) }) {
		o.order = append(o.order, section)
	}
}

// inEngine is where a value stands in its engine: in the base, or in what a
// variant changes.
func inEngine(at schema.Place) text.Path {
	path, _ := text.ParsePointer(at.Pointer())
	if len(path) > 3 && path[0] == "variants" && path[2] == "change" {
		return path[3:]
	}
	return path
}

// newName stands for a name that the file has yet to choose.
const newName = "…"

// add adds the parts below a path: those that the engine has, and after them what
// can be begun.
func (o *outliner) add(at text.Path) {
	slot, ok := schema.EngineSlot(at)
	if !ok || slot.Figure || len(at) > 0 && slices.Contains(notAsked, at[0]) {
		return
	}
	if slot.Named {
		for _, name := range o.names(at) {
			o.add(append(slices.Clone(at), name))
		}
		if !slices.Contains(at, newName) {
			o.add(append(slices.Clone(at), newName))
		}
		return
	}
	if len(at) > 0 {
		o.parts = append(o.parts, o.part(at, slot))
	}
	for _, key := range slot.Keys {
		if below, ok := schema.EngineSlot(append(slices.Clone(at), key)); ok && (below.Section != "" || below.Named) {
			o.add(append(slices.Clone(at), key))
		}
	}
}

// notAsked are the keys of an engine that figures are not contributed to.
var notAsked = []string{"sources", "variants", "accepted", "format", "engine", "title", "made", "note"}

// names are those the engine has for a map whose keys the file chooses.
func (o *outliner) names(at text.Path) []string {
	var names []string
	for _, p := range o.order {
		if len(p) > len(at) && slices.Equal(p[:len(at)], at) && !slices.Contains(names, p[len(at)]) {
			names = append(names, p[len(at)])
		}
	}
	return names
}

func (o *outliner) part(at text.Path, slot schema.Slot) part {
	parent, _ := schema.EngineSlot(at[:len(at)-1])
	p := part{Path: at, Title: titleOf(at), Named: parent.Named, Fields: []field{}}
	p.Begun = slices.ContainsFunc(o.order, func(s text.Path) bool { return slices.Equal(s, at) })
	for _, key := range slot.Keys {
		path := append(slices.Clone(at), key)
		below, ok := schema.EngineSlot(path)
		if !ok || below.Named || below.Cites || key == "note" || key == "cautions" || !below.Figure && below.Section != "" {
			continue
		}
		about, _ := schema.Describe(slot.Section, key)
		f := field{Key: key, Title: about.Title, Description: about.Description, Choices: below.Choices, Figure: below.Figure}
		if len(about.Examples) > 0 {
			f.Example = fmt.Sprint(about.Examples[0])
		}
		if f.Title == "" {
			f.Title = strings.ReplaceAll(key, "_", " ")
		}
		now := o.now[path.String()]
		f.Now, f.From = now.is, now.from
		p.Fields = append(p.Fields, f)
	}
	return p
}

// titleOf names a part by the schema's titles and the file's own names.
func titleOf(at text.Path) string {
	var names []string
	for i, key := range at {
		slot, _ := schema.EngineSlot(at[:i])
		name := key
		if p, ok := schema.Describe(slot.Section, key); ok && p.Title != "" {
			name = p.Title
		}
		names = append(names, name)
	}
	return strings.Join(names, " · ")
}
