package pages

import (
	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

// sourcesOf sets the records of an engine's sources out.
func sourcesOf(e *release.Engine) []source {
	all := make([]source, len(e.Sources))
	for i, s := range e.Sources {
		all[i] = source{Source: s, Anchor: sourceAnchor(s.ID), Name: citationOf(s.ID, "").Name, About: aboutSource(s)}
	}
	return all
}

// aboutSource lists what a record says beside its title, its grade and what it
// copies, under the titles of the schema.
func aboutSource(s release.Source) []word {
	var all []word
	for _, part := range []struct{ key, is string }{
		{"author", s.Author}, {"container-title", s.ContainerTitle}, {"publisher", s.Publisher}, {"issued", s.Issued}, {"edition", s.Edition},
		{"volume", s.Volume}, {"number", s.Number}, {"page", s.Page}, {"type", s.Type}, {"language", s.Language}, {"archive", s.Archive},
		{"URL", s.URL}, {"accessed", s.Accessed}, {"by", s.By}, {"on", s.On}, {"with", s.With}, {"rights", s.Rights}, {"note", s.Note},
	} {
		if part.is == "" {
			continue
		}
		name := part.key
		if p, ok := schema.Describe("source", part.key); ok && p.Title != "" {
			name = p.Title
		}
		all = append(all, word{part.key, name, []string{part.is}})
	}
	return all
}
