package pages

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/schema"
)

//go:embed assets
var assets embed.FS

//go:embed worker.js
var worker []byte

//go:embed templates
var templateFiles embed.FS

// Options says how pages are written.
type Options struct {
	// Put writes a file of the release; names have forward slashes. It is called
	// by one goroutine at a time, in an order that depends on the dataset alone.
	Put func(name string, content []byte) error
	// Name is the name of the release; empty where it has none.
	Name string
	// Linter is the script that cmd/pagelint writes. Without it there is no page
	// by which to contribute.
	Linter []byte
}

// Engine is an engine to be shown.
type Engine struct {
	Published *release.Engine
	// File is the engine as it was read, and Register finds its sources.
	File     *schema.Engine
	Register schema.Register
	// History is what happened to its figures, the latest first; nil where it is
	// not known.
	History []Event
}

// Event is a change of a figure.
type Event struct {
	On, By   string
	Path     string
	Variant  string
	Was, Now string
	Because  string
}

// Writer writes the pages of one release.
type Writer struct {
	options   Options
	templates *template.Template
	index     *index
	makers    map[string]*maker
	engines   int
}

// New prepares the pages of a release.
func New(o Options) (*Writer, error) {
	t, err := template.New("").Funcs(template.FuncMap{"prefix": prefix, "fileName": fileName, "anchor": anchor}).ParseFS(templateFiles, "templates/*.html")
	if err != nil {
		return nil, err
	}
	return &Writer{options: o, templates: t, index: newIndex(o.Put), makers: map[string]*maker{}}, nil
}

// Rendered is the pages of one engine, made and not yet written.
type Rendered struct {
	engine Engine
	files  []file
}

type file struct {
	name    string
	content []byte
}

// page is what every page has.
type page struct {
	// Name is the file's name in the release.
	Name  string
	Title string
	// Here is the entry of the menu that the page belongs to.
	Here       string
	Release    string
	Contribute bool
	// Scripts are loaded beside the one that every page has.
	Scripts []string
	Content any
}

// prefix leads from a page back to the root of the release.
func prefix(name string) string { return strings.Repeat("../", strings.Count(name, "/")) }

func (w *Writer) page(template string, p page) (file, error) {
	p.Release, p.Contribute = w.options.Name, len(w.options.Linter) > 0
	var b bytes.Buffer
	if err := w.templates.ExecuteTemplate(&b, template, p); err != nil {
		return file{}, fmt.Errorf("%s: %w", p.Name, err)
	}
	return file{p.Name, b.Bytes()}, nil
}

// Render makes the pages of an engine. It may be called from many goroutines at
// once.
func (w *Writer) Render(e Engine) (*Rendered, error) {
	r := &Rendered{engine: e}
	all := seriesOf(e)
	for _, s := range all {
		page, err := w.page("engine.html", page{Name: "pages/engines/" + s.File + ".html", Title: s.FullTitle(), Here: "engines", Content: s})
		if err != nil {
			return nil, err
		}
		r.files = append(r.files, page)
	}
	data, err := scriptFile("data/"+engineName(e.Published.ID, ""), dataOf(e, all))
	r.files = append(r.files, data)
	return r, err
}

// Add writes the pages of an engine. Engines come in the order of their ids.
func (w *Writer) Add(r *Rendered) error {
	w.engines++
	w.enterMaker(r.engine.Published)
	if err := w.index.add(r.engine); err != nil {
		return err
	}
	return w.putAll(r.files)
}

func (w *Writer) putAll(files []file) error {
	for _, f := range files {
		if err := w.options.Put(f.name, f.content); err != nil {
			return err
		}
	}
	return nil
}

// wholePage is a page of the release as a whole.
type wholePage struct {
	template string
	page     page
}

// Close writes the pages of the release as a whole.
func (w *Writer) Close() error {
	if err := w.index.close(); err != nil {
		return err
	}
	if err := w.writeMakers(); err != nil {
		return err
	}
	whole := []wholePage{
		{"find.html", page{Name: "index.html", Title: "Find an engine", Here: "find", Scripts: []string{"find.js"}, Content: w.overview()}},
		{"compare.html", page{Name: "pages/compare.html", Title: "Compare two engines", Here: "compare", Scripts: []string{"find.js", "pick.js", "compare.js"}}},
		{"about.html", page{Name: "pages/about.html", Title: "What the words mean", Here: "about"}},
	}
	if len(w.options.Linter) > 0 {
		whole = append(whole, wholePage{"contribute.html", page{Name: "pages/contribute.html", Title: "Add or dispute a figure", Here: "contribute",
			Scripts: []string{"find.js", "pick.js", "linter.js", "contribute.js"}}})
	}
	for _, p := range whole {
		f, err := w.page(p.template, p.page)
		if err != nil {
			return err
		}
		if err := w.putAll([]file{f}); err != nil {
			return err
		}
	}
	return w.writeAssets()
}

func (w *Writer) writeAssets() error {
	if err := w.writeLinter(); err != nil {
		return err
	}
	return fs.WalkDir(assets, "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := assets.ReadFile(name)
		if err != nil {
			return err
		}
		return w.options.Put(path.Join("pages", name), b)
	})
}

// writeLinter writes the linter, and with it the script that runs it beside a
// page: one that lies in a folder cannot start a script from another file there.
func (w *Writer) writeLinter() error {
	if len(w.options.Linter) == 0 {
		return nil
	}
	code, err := json.Marshal(string(worker))
	if err != nil {
		return err
	}
	return w.options.Put("pages/assets/pagelint.js", fmt.Appendf(slices.Clip(w.options.Linter), "globalThis.fourmarksLinter.worker = %s;\n", code))
}
