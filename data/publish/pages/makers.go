package pages

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// maker is a maker with its engines, as the folders of the dataset have them.
type maker struct {
	ID      string
	Engines []listed
}

// listed is an engine in a list.
type listed struct{ ID, File, Title, Made, Numbers string }

// enterMaker enters an engine under its maker.
func (w *writer) enterMaker(is card) {
	id, _, _ := strings.Cut(is.ID, "/")
	m := w.makers[id]
	if m == nil {
		m = &maker{ID: id}
		w.makers[id] = m
	}
	m.Engines = append(m.Engines, listed{is.ID, engineName(is.ID, ""), is.Title, is.Made, is.Numbers})
}

// inOrder are the makers by id.
func (w *writer) inOrder() []*maker {
	return slices.SortedFunc(maps.Values(w.makers), func(a, b *maker) int { return cmp.Compare(a.ID, b.ID) })
}

// overview is what the first page says of the release.
type overview struct {
	Engines int
	// Makers is empty where there are too many to name.
	Makers []*maker
}

// mostMakers is how many makers the first page names; with more of them they
// have a page of their own.
const mostMakers = 60
