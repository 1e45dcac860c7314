package forms

import (
	_ "embed"
	"html/template"
	"io"
	"strings"
)

var (
	//go:embed sheet.html.tmpl
	layout string
	//go:embed sheet.css
	stylesheet string

	page = template.Must(template.New("sheet").Funcs(template.FuncMap{
		"css":       func() template.CSS { return template.CSS(stylesheet) },
		"joined":    func(marks []string) string { return strings.Join(marks, " ") },
		"isSources": func(s Section) bool { return s.Title == sourcesTitle },
		"isOrdered": func(s Section) bool { return s.Title == lastStepTitle },
	}).Parse(layout))
)

// HTML writes a document as one page with everything in it. drawing is the
// timing diagram as SVG, where there is one.
func HTML(w io.Writer, d Document, drawing string) error {
	return page.Execute(w, struct {
		Document
		Drawing template.HTML
	}{d, template.HTML(drawing)}) // our own SVG, whose words are escaped where it is drawn
}
