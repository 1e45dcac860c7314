package sheet

import (
	"slices"

	"fourmarks.example/schema"
)

// Source is a place in a source, with the mark that figures carry for it.
type Source struct {
	Mark    string `json:"mark"`
	ID      string `json:"id"`
	Locator string `json:"locator"`
	Title   string `json:"title"`
	Author  string `json:"author"`
	Issued  string `json:"issued"`
	Grade   string `json:"grade"`
	Copies  string `json:"copies"`
}

// marks gives each place in a source a mark, in the order in which they are met.
type marks struct {
	lookup schema.Register
	cited  []schema.Citation
}

// of is the mark of a citation; empty for none.
func (k *marks) of(c schema.Citation) string {
	if !c.Given() {
		return ""
	}
	i := slices.IndexFunc(k.cited, func(o schema.Citation) bool { return o.String() == c.String() })
	if i < 0 {
		i = len(k.cited)
		k.cited = append(k.cited, c)
	}
	return letters(i)
}

// letters counts a, b, … z, aa, ab, …
func letters(i int) string {
	const alphabet = 26
	if i < alphabet {
		return string(rune('a' + i))
	}
	return letters(i/alphabet-1) + string(rune('a'+i%alphabet))
}

func (k *marks) list() []Source {
	all := []Source{}
	for i, c := range k.cited {
		s := Source{Mark: letters(i), ID: c.Source, Locator: c.Locator}
		if is, ok := k.lookup(c.Source); ok {
			s.Title, s.Author, s.Issued, s.Grade, s.Copies = is.Title.Text, is.Author.Text, is.Issued.Text, is.Grade.Text, is.Copies.Text
		}
		all = append(all, s)
	}
	return all
}
