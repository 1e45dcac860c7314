package publish

import (
	"fmt"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/lint/report"
)

// bibtexTypes are BibTeX's names for types of the Citation Style Language; the
// rest is misc.
var bibtexTypes = map[string]string{"book": "book", "pamphlet": "booklet", "chapter": "incollection", "report": "techreport",
	"article": "article", "article-journal": "article", "article-magazine": "article", "article-newspaper": "article",
	"paper-conference": "inproceedings", "thesis": "phdthesis", "manuscript": "unpublished"}

// containers are what BibTeX calls the whole that something is part of.
var containers = map[string]string{"article": "journal"}

var bibtexMonths = strings.Fields("jan feb mar apr may jun jul aug sep oct nov dec")

// bibtex writes the sources as a BibTeX database.
func bibtex(sources []release.Source) []byte {
	var b strings.Builder
	taken := map[string]bool{}
	for _, s := range sources {
		kind := bibtexTypes[s.Type]
		if kind == "" {
			kind = "misc"
		}
		fmt.Fprintf(&b, "@%s{%s", kind, bibtexKey(s.ID, taken))
		put := func(name, is string) {
			if is != "" {
				fmt.Fprintf(&b, ",\n  %s = {%s}", name, is)
			}
		}
		whole := func(is string) string { // kept as it is: no change of case, no taking apart of names
			if is == "" {
				return ""
			}
			return "{" + bibtexText(is) + "}"
		}
		put("title", whole(s.Title))
		put("author", whole(s.Author))
		put("publisher", bibtexText(s.Publisher))
		year, month := bibtexDate(s.Issued)
		put("year", year)
		if month != "" {
			fmt.Fprintf(&b, ",\n  month = %s", month)
		}
		container := containers[kind]
		if container == "" {
			container = "booktitle"
		}
		put(container, bibtexText(s.ContainerTitle))
		put("volume", bibtexText(s.Volume))
		put("number", bibtexText(s.Number))
		put("edition", bibtexText(s.Edition))
		put("pages", bibtexText(s.Page))
		put("url", bibtexURL(s.URL))
		put("note", bibtexText(bibtexNote(s)))
		b.WriteString("\n}\n\n")
	}
	return []byte(b.String())
}

// bibtexNote holds what BibTeX has no field for.
func bibtexNote(s release.Source) string {
	var parts []string
	issued := ""
	if len(dateParts(s.Issued)) == 3 { // to the day, for which BibTeX has no field
		issued = s.Issued
	}
	for _, p := range []struct{ lead, is string }{{"", s.Note}, {"issued ", issued}, {"accessed ", s.Accessed}, {"held by ", s.Archive}, {"evidence: ", s.Grade}, {"by ", s.By},
		{"on ", s.On}, {"with ", s.With}, {"copies ", s.Copies}, {"language: ", s.Language}, {"rights: ", s.Rights}} {
		if p.is != "" {
			parts = append(parts, p.lead+strings.TrimSuffix(p.is, "."))
		}
	}
	return strings.Join(parts, "; ")
}

// bibtexDate is the year and the name of the month; a date in words is a year.
func bibtexDate(date string) (year, month string) {
	parts := dateParts(date)
	if parts == nil {
		return bibtexText(date), ""
	}
	if len(parts) > 1 {
		month = bibtexMonths[parts[1]-1]
	}
	return fmt.Sprint(parts[0]), month
}

// bibtexKey is an id as a key of BibTeX, of characters that mean nothing to it.
func bibtexKey(id string, taken map[string]bool) string {
	clean := strings.Map(func(r rune) rune {
		if r < 0x80 && (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-./:_", r)) {
			return r
		}
		return '-'
	}, id)
	key := clean
	for n := 2; taken[key]; n++ {
		key = fmt.Sprintf("%s-%d", clean, n)
	}
	taken[key] = true
	return key
}

var bibtexEscapes = strings.NewReplacer(`\`, `\textbackslash{}`, "{", `\textbraceleft{}`, "}", `\textbraceright{}`, "$", `\$`, "&", `\&`,
	"#", `\#`, "%", `\%`, "_", `\_`, "~", `\textasciitilde{}`, "^", `\textasciicircum{}`)

// bibtexText is a text that BibTeX and TeX set as it is. Braces become commands,
// for BibTeX counts those after a backslash too.
func bibtexText(s string) string { return bibtexEscapes.Replace(report.Inert(s)) }

var bibtexURLEscapes = strings.NewReplacer(`\`, "%5C", "{", "%7B", "}", "%7D", " ", "%20", "%", `\%`, "#", `\#`)

// bibtexURL is an address in which nothing ends the field or begins a command.
func bibtexURL(s string) string { return bibtexURLEscapes.Replace(report.Inert(s)) }
