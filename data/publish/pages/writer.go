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

	"fourmarks.example/data/history"
	"fourmarks.example/data/publish"
)

//go:embed assets
var assets embed.FS

//go:embed worker.js
var worker []byte

//go:embed templates
var templateFiles embed.FS

// Options says how pages are written.
type Options struct {
	// Release is the name of the release; empty where it has none.
	Release string
	// Linter is the script that cmd/pagelint writes. Without it there is no page
	// by which to contribute.
	Linter []byte
	// History tells what became of the figures of an engine, by commit; nil where
	// it is not to be shown. It is called from many goroutines at once, and returns
	// nil for an engine that it knows nothing of.
	History func(id string) (*history.History, error)
}

// IsLinter reports whether a script is one that cmd/pagelint writes.
func IsLinter(script []byte) bool {
	return bytes.HasPrefix(script, []byte("globalThis.fourmarksLinter = {"))
}

// New returns the web pages as a form of a release.
func New(o Options) publish.NewForm {
	return func(f *publish.Folder) (publish.Form, error) { return newWriter(o, f.Put) }
}

// newWriter prepares the pages of a release whose files are written by write.
func newWriter(o Options, write func(name string, content []byte) error) (*writer, error) {
	functions := template.FuncMap{"prefix": prefix, "fileName": fileName, "engineName": engineName, "anchor": anchor}
	t, err := template.New("").Funcs(functions).ParseFS(templateFiles, "templates/*.html")
	if err != nil {
		return nil, err
	}
	return &writer{options: o, write: write, templates: t, index: newIndex(write), makers: map[string]*maker{}}, nil
}

// writer writes the pages of one release.
type writer struct {
	options   Options
	write     func(name string, content []byte) error
	templates *template.Template
	index     *index
	makers    map[string]*maker
	engines   int
}

// engine is an engine to be shown.
type engine struct {
	*publish.Prepared
	history *history.History // nil where it is not known
}

// rendered is the pages of one engine, made and not yet written.
type rendered struct {
	entered
	files []file
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

func (w *writer) page(template string, p page) (file, error) {
	p.Release, p.Contribute = w.options.Release, len(w.options.Linter) > 0
	var b bytes.Buffer
	if err := w.templates.ExecuteTemplate(&b, template, p); err != nil {
		return file{}, fmt.Errorf("%s: %w", p.Name, err)
	}
	return file{p.Name, b.Bytes()}, nil
}

// Prepare makes the pages of an engine.
func (w *writer) Prepare(p *publish.Prepared) (any, error) {
	e := engine{Prepared: p}
	if w.options.History != nil {
		h, err := w.options.History(p.Published.ID)
		if err != nil {
			return nil, err
		}
		e.history = h
	}
	r := &rendered{entered: enter(p.Published, p.Engine)}
	all, err := seriesOf(e)
	if err != nil {
		return nil, err
	}
	for _, s := range all {
		page, err := w.page("engine.html", page{Name: "pages/engines/" + s.File + ".html", Title: s.FullTitle(), Here: "engines", Content: s})
		if err != nil {
			return nil, err
		}
		r.files = append(r.files, page)
		if s.Sheet != nil {
			r.files = append(r.files, file{"pages/sheets/" + s.File + ".html", s.Sheet})
		}
	}
	data, err := scriptFile("data/"+engineName(p.Published.ID, ""), dataOf(e, all))
	r.files = append(r.files, data)
	return r, err
}

// Add writes the pages of an engine.
func (w *writer) Add(prepared any) error {
	r := prepared.(*rendered)
	w.engines++
	w.enterMaker(r.card)
	if err := w.index.add(r.entered); err != nil {
		return err
	}
	return w.put(r.files)
}

func (w *writer) put(files []file) error {
	for _, f := range files {
		if err := w.write(f.name, f.content); err != nil {
			return err
		}
	}
	return nil
}

// End writes the pages of the release as a whole, and those that ids which are
// no longer used lead to.
func (w *writer) End(whole *publish.Whole) error {
	if err := w.index.close(); err != nil {
		return err
	}
	makers := w.inOrder()
	overview := overview{Engines: w.engines}
	if len(makers) <= mostMakers {
		overview.Makers = makers
	}
	type pageOf struct {
		template string
		page
	}
	all := []pageOf{
		{"find.html", page{Name: "index.html", Title: "Find an engine", Here: "find", Scripts: []string{"find.js"}, Content: overview}},
		{"makers.html", page{Name: "pages/makers.html", Title: "Makers", Here: "engines", Content: makers}},
		{"compare.html", page{Name: "pages/compare.html", Title: "Compare two engines", Here: "compare", Scripts: []string{"find.js", "pick.js", "compare.js"}}},
		{"about.html", page{Name: "pages/about.html", Title: "What the words mean", Here: "about"}},
	}
	if len(w.options.Linter) > 0 {
		all = append(all, pageOf{"contribute.html", page{Name: "pages/contribute.html", Title: "Add or dispute a figure", Here: "contribute",
			Scripts: []string{"find.js", "pick.js", "linter.js", "contribute.js"}}})
	}
	for _, m := range makers {
		all = append(all, pageOf{"maker.html", page{Name: "pages/makers/" + fileName(m.ID) + ".html", Title: m.ID, Here: "engines", Content: m}})
	}
	for _, m := range whole.Moved {
		all = append(all, pageOf{"moved.html", page{Name: "pages/engines/" + engineName(m.From, "") + ".html", Title: m.From, Here: "engines", Content: m}})
	}
	for _, p := range all {
		f, err := w.page(p.template, p.page)
		if err != nil {
			return err
		}
		if err := w.put([]file{f}); err != nil {
			return err
		}
	}
	return w.writeAssets()
}

// Close has nothing to let go of.
func (w *writer) Close() error { return nil }

func (w *writer) writeAssets() error {
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
		return w.write(path.Join("pages", name), b)
	})
}

// writeLinter writes the linter, and with it the script that runs it beside a
// page: one that lies in a folder cannot start a script from another file there.
func (w *writer) writeLinter() error {
	if len(w.options.Linter) == 0 {
		return nil
	}
	code, err := json.Marshal(string(worker))
	if err != nil {
		return err
	}
	return w.write("pages/assets/pagelint.js", fmt.Appendf(slices.Clip(w.options.Linter), "globalThis.fourmarksLinter.worker = %s;\n", code))
}
