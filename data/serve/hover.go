package serve

import (
	"context"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/text"
)

func (s *session) hover(_ context.Context, d *document, p positionParams) (any, error) {
	at, ok := d.spotAt(p.Position)
	if !ok {
		return nil, nil
	}
	c := newCard(s.editor.TextDocument.Hover.ContentFormat)
	if !s.describe(c, d, at) {
		return nil, nil
	}
	return hover{Contents: c.markup(), Range: d.spanOf(at.node)}, nil
}

// describe writes what is known of a spot; false when that is nothing.
func (s *session) describe(c *card, d *document, at spot) bool {
	if id, ok := d.citedAt(at); ok {
		return s.sourceCard(c, d, id)
	}
	if at.key && len(at.path) == 3 && at.path[0] == "accepted" {
		return s.ruleCard(c, at.node.Text)
	}
	if d.place.Kind == lint.EngineFile {
		e, f, claim := d.figureAt(at.path)
		if at.key && len(at.path) == 2 && at.path[0] == "accepted" {
			f = e.Figure(at.node.Text)
		}
		isPrint := claim != nil && claim.At.Node.Span.Start <= at.at && at.at <= claim.At.Node.Span.End
		if f != nil && (isPrint || at.path[0] == "accepted") {
			s.figureCard(c, d, e, f, claim)
			return true
		}
	}
	return d.keyCard(c, at.path)
}

// keyCard says what a key is for, as the schema has it.
func (d *document) keyCard(c *card, path text.Path) bool {
	for len(path) > 0 {
		above, key := path[:len(path)-1], path[len(path)-1]
		slot, ok := d.slot(above)
		if !ok {
			return false
		}
		if !slot.Named && slot.Section != "" {
			is, ok := schema.Describe(slot.Section, key)
			if !ok {
				return false
			}
			property(c, is)
			return true
		}
		path = above // the name is the file's own: what it is a name of is said above
	}
	return false
}

// property writes what the schema says of a key.
func property(c *card, is schema.Property) {
	if is.Title != "" {
		c.heading("%s", is.Title)
	}
	if is.Description != "" {
		c.line("%s", is.Description)
	}
	if len(is.Enum) > 0 {
		c.line("One of: %s.", strings.Join(is.Enum, ", "))
	}
	for _, example := range is.Examples {
		c.line("For example: %v", example)
	}
}

func (s *session) ruleCard(c *card, name string) bool {
	r, ok := s.rule(name)
	if !ok {
		return false
	}
	c.heading("%s", r.Title)
	c.line("%s", r.Checks)
	c.line("%s", r.Accepting)
	c.line("More: fourmarks explain %s", r.Name)
	return true
}

func (s *session) sourceCard(c *card, d *document, id string) bool {
	is, ok := s.lookup(d, d.engine())(id)
	if !ok {
		c.line("There is no record of the source %s.", id)
		return true
	}
	c.heading("%s", is.Title.Text)
	var said []string
	for _, w := range []schema.Word{is.Author, is.ContainerTitle, is.Publisher, is.Issued, is.Edition, is.Number, is.By, is.On, is.With} {
		if w.Given() {
			said = append(said, w.Text)
		}
	}
	if len(said) > 0 {
		c.line("%s", strings.Join(said, ", "))
	}
	if grade, ok := schema.Describe("source", "grade"); ok && is.Grade.Given() {
		c.line("%s: %s", grade.Title, is.Grade.Text)
	}
	if is.Copies.Given() {
		c.line("Copies %s, and is no witness beside it.", is.Copies.Text)
	}
	if is.Note.Given() {
		c.line("%s", is.Note.Text)
	}
	return true
}

// cited is a citation in words: title, grade and where in it.
func cited(from schema.Citation, lookup schema.Register) string {
	if !from.Given() {
		return "no source that is named"
	}
	is, ok := lookup(from.Source)
	if !ok {
		return from.String() + " (no record of it)"
	}
	words := is.Title.Text
	if is.Grade.Given() {
		words += " (" + is.Grade.Text + ")"
	}
	if from.Locator != "" {
		words += ", " + from.Locator
	}
	return words
}
