package publish

import (
	"cmp"
	"slices"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// source is the id under which a source is published: that of the register, or,
// for a record in the engine's own file, with the engine's id before it.
func (m *model) source(id string) string {
	if id == "" {
		return ""
	}
	if !slices.Contains(m.cited, id) {
		m.cited = append(m.cited, id)
	}
	return m.named(id)
}

func (m *model) named(id string) string {
	if _, own := m.own.Get(id); own {
		return m.engine + ":" + id
	}
	return id
}

// citation is a citation as written, with the id under which its source is
// published.
func (m *model) citation(written string) string {
	id, locator, more := strings.Cut(written, " ")
	if more {
		return m.source(id) + " " + locator
	}
	return m.source(id)
}

// sources are the records of all sources cited and of those they copy, by id.
func (m *model) sources() []release.Source {
	var all []release.Source
	for i := 0; i < len(m.cited); i++ { // a record may add what it copies
		s, _ := m.register(m.cited[i])
		all = append(all, m.record(m.cited[i], s))
	}
	slices.SortFunc(all, func(a, b release.Source) int { return cmp.Compare(a.ID, b.ID) })
	return all
}

// record is a source as it is published; of one without a record only the id.
func (m *model) record(id string, s *schema.Source) release.Source {
	if s == nil {
		return release.Source{ID: m.named(id)}
	}
	return release.Source{ID: m.named(id), Type: s.Type.Text, Title: s.Title.Text, Author: s.Author.Text, Publisher: s.Publisher.Text,
		Issued: s.Issued.Text, Edition: s.Edition.Text, Page: s.Page.Text, ContainerTitle: s.ContainerTitle.Text, Volume: s.Volume.Text,
		Number: s.Number.Text, Accessed: s.Accessed.Text, Language: s.Language.Text, Archive: s.Archive.Text, URL: s.URL.Text,
		Grade: s.Grade.Text, By: s.By.Text, On: s.On.Text, With: s.With.Text, Copies: m.source(s.Copies.Text), Rights: s.Rights.Text,
		Note: s.Note.Text}
}
