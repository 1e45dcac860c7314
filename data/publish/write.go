package publish

import (
	"cmp"
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"fourmarks.example/data/release"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
	"fourmarks.example/schema"
)

// Options says what to publish.
type Options struct {
	// Inputs are the files of a dataset, as data/store opens a folder.
	Inputs []lint.Input
	// Name is the release's own name; it may be empty.
	Name string
	// Require is the least standing of the figures published, one of
	// [rules.Requirable]; empty for all figures.
	Require string
	// DespiteErrors publishes a dataset in which the linter finds errors. Each
	// engine says how many it has.
	DespiteErrors bool
	// Earlier is what the figures are compared with; nil for nothing.
	Earlier Earlier
	// Forms are forms besides those of this package.
	Forms []NewForm
}

// ErrorsFound says that the linter finds errors in the dataset, so that it was
// not published.
type ErrorsFound struct{ Result run.Result }

func (e *ErrorsFound) Error() string {
	return fmt.Sprintf("errors that the linter finds in the dataset: %d", e.Result.Count(lint.Error))
}

// Write makes a release of a dataset in a folder. The folder must not exist, be
// empty, or hold an earlier release, which is replaced as a whole once the new
// one is complete: after a failure all is as it was. The same dataset and
// options give the same bytes.
func Write(ctx context.Context, dir string, o Options) (*release.Release, error) {
	if o.Require != "" && !slices.Contains(rules.Requirable(), o.Require) {
		return nil, fmt.Errorf("%q is not a standing that can be required; one of: %s", o.Require, strings.Join(rules.Requirable(), ", "))
	}
	t, err := newTarget(dir)
	if err != nil {
		return nil, err
	}
	found, err := run.Lint(ctx, o.Inputs, run.Options{Rules: rules.All()})
	if err != nil {
		return nil, err
	}
	if found.Count(lint.Error) > 0 && !o.DespiteErrors {
		return nil, &ErrorsFound{found}
	}
	root, err := t.begin()
	if err != nil {
		return nil, err
	}
	defer t.discard()
	folder := newFolder(root)
	defer folder.abandon()
	is, err := writeTo(ctx, folder, o, found)
	if err != nil {
		return nil, err
	}
	return is, t.replace(ctx)
}

// writeTo writes a release into an empty folder.
func writeTo(ctx context.Context, folder *Folder, o Options, found run.Result) (*release.Release, error) {
	w := &writer{options: o, found: verdicts(found), sources: map[string]release.Source{}, published: map[string]bool{}, release: &release.Release{
		Format: release.Version, Name: o.Name, Required: o.Require, Standings: release.Standings{},
		Errors: found.Count(lint.Error), Warnings: found.Count(lint.Warning)}}
	if err := w.read(ctx); err != nil {
		return nil, err
	}
	forms, err := w.open(folder)
	defer func() {
		for _, form := range forms {
			_ = form.Close() // what matters of a form is said by its End
		}
	}()
	if err != nil {
		return nil, err
	}
	p := &pass{forms: forms, prepare: w.prepare, done: w.count}
	if err := p.run(ctx, len(w.engines)); err != nil {
		return nil, err
	}
	whole := w.whole()
	for _, form := range forms {
		if err := cmp.Or(ctx.Err(), form.End(whole)); err != nil {
			return nil, err
		}
	}
	return w.release, folder.manifest()
}

// verdict is what the linter says of one file.
type verdict struct {
	errors int
	// contradicts is set where figures contradict one another, accepted or not.
	contradicts bool
}

func verdicts(found run.Result) map[string]verdict {
	arithmetic := map[string]bool{}
	for _, r := range rules.All() {
		arithmetic[r.Name] = r.Relations != nil
	}
	of := map[string]verdict{}
	note := func(f *lint.Finding, stands bool) {
		v := of[f.File]
		if stands && f.Level == lint.Error {
			v.errors++
		}
		v.contradicts = v.contradicts || arithmetic[f.Rule] && f.Level > lint.Note
		of[f.File] = v
	}
	for _, f := range found.Findings {
		note(f, true)
	}
	for _, a := range found.Accepted {
		note(a.Finding, false)
	}
	return of
}

// writer is the making of one release.
type writer struct {
	options Options
	found   map[string]verdict
	engines []lint.Input // by id
	records map[string]*schema.Source
	moves   []schema.Move

	// What is gathered while the engines pass.
	release   *release.Release
	sources   map[string]release.Source
	published map[string]bool
}

// read reads what engines refer to, and puts the engines in order.
func (w *writer) read(ctx context.Context) error {
	w.records = map[string]*schema.Source{}
	for _, in := range w.options.Inputs {
		if err := ctx.Err(); err != nil {
			return err
		}
		switch in.Kind {
		case lint.EngineFile:
			if !in.Context {
				w.engines = append(w.engines, in)
			}
		case lint.SourceFile:
			w.record(in)
		case lint.MovedFile:
			if b, err := in.Read(); err == nil {
				w.moves, _ = schema.DecodeMoved(schema.ReadFile(in.Name, b))
			}
		}
	}
	slices.SortStableFunc(w.engines, func(a, b lint.Input) int { return cmp.Compare(a.ID, b.ID) })
	return nil
}

// record keeps the record of a source, as far as it can be read.
func (w *writer) record(in lint.Input) {
	if b, err := in.Read(); err == nil {
		w.records[in.ID], _ = schema.DecodeSource(schema.ReadFile(in.Name, b))
	}
}

// origins are the ids that engines had before they were renamed, by the id they
// have now; not those of engines that were split.
func (w *writer) origins() map[string]string {
	from := map[string]string{}
	for _, m := range w.moves {
		if to, err := schema.Follow(m.From, w.moves); err == nil && len(to) == 1 {
			from[to[0]] = m.From
		}
	}
	return from
}

// open makes the forms of this package and those asked for.
func (w *writer) open(folder *Folder) (forms []Form, err error) {
	all := []NewForm{newJSON, newIndex, newCSV, newSQLite, newParquet, newBibliography}
	if w.options.Earlier != nil {
		all = append(all, newChanges(w.options.Earlier, w.origins()))
	}
	for _, newForm := range slices.Concat(all, w.options.Forms, []NewForm{newPackage}) {
		form, err := newForm(folder)
		if err != nil {
			return forms, err
		}
		forms = append(forms, form)
	}
	return forms, nil
}

// count adds an engine to what is known of the whole.
func (w *writer) count(t *turn) {
	r := w.release
	r.LeftOut = added(r.LeftOut, t.leftOut)
	if t.is == nil {
		r.Withheld = append(r.Withheld, *t.withheld)
		return
	}
	e := t.is.Published
	w.published[strings.Clone(e.ID)] = true // a part of the file's text would keep all of it in memory
	r.Engines++
	r.Variants += len(e.Variants)
	each(e, func(_ string, s *release.Series) { r.Standings = added(r.Standings, s.Standings) })
	for _, s := range e.Sources {
		if _, known := w.sources[s.ID]; !known {
			s = detached(s)
			w.sources[s.ID] = s
		}
	}
}

// detached is a source whose texts are copies, so that they do not keep the
// files in memory of which they are parts.
func detached(s release.Source) release.Source {
	of := reflect.ValueOf(&s).Elem()
	for i := range of.NumField() {
		of.Field(i).SetString(strings.Clone(of.Field(i).String()))
	}
	return s
}

// added is the sum of two counts; none where both are empty.
func added(to, more release.Standings) release.Standings {
	for standing, n := range more {
		if to == nil {
			to = release.Standings{}
		}
		to[standing] += n
	}
	return to
}

// whole is what the forms are told at the end.
func (w *writer) whole() *Whole {
	whole := &Whole{Release: w.release, published: w.published}
	for _, s := range w.sources {
		whole.Sources = append(whole.Sources, s)
	}
	slices.SortFunc(whole.Sources, func(a, b release.Source) int { return cmp.Compare(a.ID, b.ID) })
	w.release.Sources = len(whole.Sources)
	for _, m := range w.moves {
		to, err := schema.Follow(m.From, w.moves)
		to = slices.DeleteFunc(to, func(id string) bool { return !w.published[id] })
		if err != nil || len(to) == 0 || !isID(m.From) || w.published[m.From] {
			continue
		}
		slices.Sort(to)
		whole.Moved = append(whole.Moved, release.Redirect{From: m.From, To: slices.Compact(to), Because: m.Because})
	}
	slices.SortFunc(whole.Moved, func(a, b release.Redirect) int { return cmp.Compare(a.From, b.From) })
	return whole
}
