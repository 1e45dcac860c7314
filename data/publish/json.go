package publish

import (
	"errors"
	"fmt"

	"fourmarks.example/data/release"
)

// The files that stand once in a release.
const (
	releaseFile   = "release.json"
	enginesFile   = "engines.json"
	sourcesFile   = "sources.json"
	redirectsFile = "redirects.json"
	unitsFile     = "units.json"
)

// perLinesFile is how many engines stand in one file of JSON Lines.
const perLinesFile = 1000

// jsonForm writes one file an engine, the same as JSON Lines in files of a
// thousand, and what stands once.
type jsonForm struct {
	folder *Folder
	lines  *File
	list   *File
	number int
}

func newJSON(f *Folder) (Form, error) {
	list, err := f.Create(enginesFile)
	if err != nil {
		return nil, err
	}
	_, err = fmt.Fprintf(list, `{"published_format":%q,"engines":[`, release.Version)
	return &jsonForm{folder: f, list: list}, err
}

// jsonEngine is one engine for the files that hold many.
type jsonEngine struct{ line, entry []byte }

func (j *jsonForm) Prepare(p *Prepared) (any, error) {
	entry, err := encode(p.Entry)
	if err != nil {
		return nil, err
	}
	return jsonEngine{line: p.JSON, entry: entry[:len(entry)-1]}, j.folder.Put(p.Entry.File, p.JSON)
}

func (j *jsonForm) Add(prepared any) error {
	e := prepared.(jsonEngine)
	if j.number%perLinesFile == 0 {
		if err := j.endLines(); err != nil {
			return err
		}
		var err error
		if j.lines, err = j.folder.Create(fmt.Sprintf("lines/engines-%04d.jsonl", j.number/perLinesFile)); err != nil {
			return err
		}
	}
	if _, err := j.lines.Write(e.line); err != nil {
		return err
	}
	separator := ",\n"
	if j.number == 0 {
		separator = "\n"
	}
	j.number++
	if _, err := j.list.WriteString(separator); err != nil {
		return err
	}
	_, err := j.list.Write(e.entry)
	return err
}

func (j *jsonForm) endLines() error {
	if j.lines == nil {
		return nil
	}
	lines := j.lines
	j.lines = nil
	return lines.Close()
}

func (j *jsonForm) End(w *Whole) error {
	if err := j.endLines(); err != nil {
		return err
	}
	if _, err := j.list.WriteString("\n]}\n"); err != nil {
		return err
	}
	if err := j.list.Close(); err != nil {
		return err
	}
	for _, m := range w.Moved {
		m.Format = release.Version
		if err := putJSON(j.folder, engineFile(m.From), m); err != nil {
			return err
		}
	}
	for name, value := range map[string]any{
		releaseFile:   w.Release,
		sourcesFile:   release.Sources{Format: release.Version, Sources: append([]release.Source{}, w.Sources...)},
		redirectsFile: release.Redirects{Format: release.Version, Moved: append([]release.Redirect{}, w.Moved...)},
		unitsFile:     release.Units{Format: release.Version, Units: units()},
	} {
		if err := putJSON(j.folder, name, value); err != nil {
			return err
		}
	}
	types, err := typescript()
	if err != nil {
		return err
	}
	return errors.Join(j.folder.Put("release.schema.json", release.Schema), j.folder.Put(typesFile, []byte(types)))
}

func (j *jsonForm) Close() error { return nil }
