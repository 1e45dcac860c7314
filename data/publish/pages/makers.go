package pages

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"fourmarks.example/data/release"
)

// maker is a maker with its engines, as the folders of the dataset have them.
type maker struct {
	ID      string
	Engines []listed
}

// listed is an engine in a list.
type listed struct{ ID, File, Title, Made, Numbers string }

func (w *Writer) enterMaker(e *release.Engine) {
	id, _, _ := strings.Cut(e.ID, "/")
	m := w.makers[id]
	if m == nil {
		m = &maker{ID: id}
		w.makers[id] = m
	}
	m.Engines = append(m.Engines, listed{e.ID, engineName(e.ID, ""), e.Title, e.Made, numbersText(e.Numbers)})
}

// inOrder are the makers by id.
func (w *Writer) inOrder() []*maker {
	return slices.SortedFunc(maps.Values(w.makers), func(a, b *maker) int { return cmp.Compare(a.ID, b.ID) })
}

// overview is what the first page says of the release.
type overview struct {
	Engines int
	Makers  []*maker
}

// mostMakers is how many makers the first page names; with more of them they
// have a page of their own.
const mostMakers = 60

func (w *Writer) overview() overview {
	o := overview{Engines: w.engines}
	if len(w.makers) <= mostMakers {
		o.Makers = w.inOrder()
	}
	return o
}

func (w *Writer) writeMakers() error {
	makers := w.inOrder()
	f, err := w.page("makers.html", page{Name: "pages/makers.html", Title: "Makers", Here: "engines", Content: makers})
	if err != nil {
		return err
	}
	files := []file{f}
	for _, m := range makers {
		if f, err = w.page("maker.html", page{Name: "pages/makers/" + fileName(m.ID) + ".html", Title: m.ID, Here: "engines", Content: m}); err != nil {
			return err
		}
		files = append(files, f)
	}
	return w.putAll(files)
}
