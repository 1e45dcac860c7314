package publish

import (
	"strconv"
	"strings"

	"fourmarks.example/data/release"
)

const (
	cslFile    = "sources.csl.json"
	bibtexFile = "sources.bib"
)

// bibliography writes the sources for programs that manage and print references.
type bibliography struct{ folder *Folder }

func newBibliography(f *Folder) (Form, error) { return bibliography{f}, nil }

func (b bibliography) Prepare(*Prepared) (any, error) { return nil, nil }
func (b bibliography) Add(any) error                  { return nil }
func (b bibliography) Close() error                   { return nil }

func (b bibliography) End(w *Whole) error {
	items := make([]cslItem, len(w.Sources))
	for i, s := range w.Sources {
		items[i] = csl(s)
	}
	if err := putJSON(b.folder, cslFile, items); err != nil {
		return err
	}
	return b.folder.Put(bibtexFile, bibtex(w.Sources))
}

// cslItem is a source in CSL JSON, the input of the Citation Style Language's
// processors. What it has no variable for stands under custom.
type cslItem struct {
	ID             string            `json:"id"`
	Type           string            `json:"type"`
	Title          string            `json:"title,omitempty"`
	Author         []cslName         `json:"author,omitempty"`
	Publisher      string            `json:"publisher,omitempty"`
	Issued         *cslDate          `json:"issued,omitempty"`
	Accessed       *cslDate          `json:"accessed,omitempty"`
	Edition        string            `json:"edition,omitempty"`
	Page           string            `json:"page,omitempty"`
	ContainerTitle string            `json:"container-title,omitempty"`
	Volume         string            `json:"volume,omitempty"`
	Number         string            `json:"number,omitempty"`
	Language       string            `json:"language,omitempty"`
	Archive        string            `json:"archive,omitempty"`
	URL            string            `json:"URL,omitempty"`
	Note           string            `json:"note,omitempty"`
	Custom         map[string]string `json:"custom,omitempty"`
}

// cslName is a name that is not taken apart: a source may be by a drawing office.
type cslName struct {
	Literal string `json:"literal"`
}

type cslDate struct {
	Parts   [][]int `json:"date-parts,omitempty"`
	Literal string  `json:"literal,omitempty"`
}

// cslTypes are the types that the Citation Style Language 1.0.2 knows.
var cslTypes = func() map[string]bool {
	known := map[string]bool{}
	for _, name := range strings.Fields(`article article-journal article-magazine article-newspaper bill book broadcast chapter classic
		collection dataset document entry entry-dictionary entry-encyclopedia figure graphic hearing interview legal_case legislation
		manuscript map motion_picture musical_score pamphlet paper-conference patent performance periodical personal_communication post
		post-weblog regulation report review review-book software song speech standard thesis treaty webpage`) {
		known[name] = true
	}
	return known
}()

func csl(s release.Source) cslItem {
	item := cslItem{ID: s.ID, Type: "document", Title: s.Title, Publisher: s.Publisher, Issued: cslDateOf(s.Issued), Accessed: cslDateOf(s.Accessed),
		Edition: s.Edition, Page: s.Page, ContainerTitle: s.ContainerTitle, Volume: s.Volume, Number: s.Number, Language: s.Language,
		Archive: s.Archive, URL: s.URL, Note: s.Note}
	if cslTypes[s.Type] {
		item.Type = s.Type
	}
	if s.Author != "" {
		item.Author = []cslName{{s.Author}}
	}
	for _, own := range []struct{ key, is string }{{"grade", s.Grade}, {"by", s.By}, {"on", s.On}, {"with", s.With}, {"copies", s.Copies}, {"rights", s.Rights}} {
		if own.is == "" {
			continue
		}
		if item.Custom == nil {
			item.Custom = map[string]string{}
		}
		item.Custom[own.key] = own.is
	}
	return item
}

// cslDateOf takes 1929, 1929-02 and 1929-02-11 apart; other words stay whole.
func cslDateOf(date string) *cslDate {
	if date == "" {
		return nil
	}
	if parts := dateParts(date); parts != nil {
		return &cslDate{Parts: [][]int{parts}}
	}
	return &cslDate{Literal: date}
}

// dateParts are year, month and day of a date written as in ISO 8601; nil for
// another.
func dateParts(date string) []int {
	parts := strings.Split(date, "-")
	if len(parts) > 3 || len(parts[0]) != 4 {
		return nil
	}
	var out []int
	for i, p := range parts {
		n, err := strconv.Atoi(p)
		if err != nil || i > 0 && (len(p) != 2 || n < 1 || n > [...]int{9999, 12, 31}[i]) {
			return nil
		}
		out = append(out, n)
	}
	return out
}
