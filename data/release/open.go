package release

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"os"
	"regexp"
	"strings"
)

// Dataset is a release, opened for reading. It reads a file when it is asked for
// something that stands there, so that one engine costs one small file. It may
// be used by several goroutines at once.
type Dataset struct {
	files fs.FS
	// About is what the release holds and what it leaves out.
	About Release
	moved map[string]Redirect
}

// Open opens a release: os.DirFS of its folder, an embedded one, or a
// zip.Reader. A release of a later major version is refused.
func Open(files fs.FS) (*Dataset, error) {
	d := &Dataset{files: files, moved: map[string]Redirect{}}
	if err := d.read("release.json", &d.About); err != nil {
		return nil, fmt.Errorf("this is no release: %w", err)
	}
	if err := readable(d.About.Format); err != nil {
		return nil, err
	}
	var redirects Redirects
	if err := d.read("redirects.json", &redirects); err != nil {
		return nil, err
	}
	for _, m := range redirects.Moved {
		d.moved[m.From] = m
	}
	return d, nil
}

// OpenFolder opens a release in a folder on disk.
func OpenFolder(dir string) (*Dataset, error) { return Open(os.DirFS(dir)) }

// readable refuses a format of another major version.
func readable(format string) error {
	ours, _, _ := strings.Cut(Version, ".")
	if major, _, _ := strings.Cut(format, "."); major != ours {
		return fmt.Errorf("the release is of the published format %q, and this package reads %s", format, ours)
	}
	return nil
}

func (d *Dataset) read(name string, into any) error {
	b, err := fs.ReadFile(d.files, name)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(b, into); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

// isID reports whether a text can be an id, so that it can be part of a path.
var isID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*$`).MatchString

// UnknownError says that a release holds no engine of an id.
type UnknownError struct{ ID string }

func (e *UnknownError) Error() string { return fmt.Sprintf("the release holds no engine %q", e.ID) }

// SplitError says that an id stands for several engines now: which of them is
// meant, only somebody who knows the engine can say.
type SplitError struct{ Redirect }

func (e *SplitError) Error() string {
	return fmt.Sprintf("%s is now %s: %s", e.From, strings.Join(e.To, " and "), e.Because)
}

// Engine returns an engine by its id, or by one that it had before: ids may be
// relied on for ever. The error is an [*UnknownError], a [*SplitError], or says
// what cannot be read.
func (d *Dataset) Engine(id string) (*Engine, error) {
	if m, ok := d.moved[id]; ok {
		if len(m.To) > 1 {
			return nil, &SplitError{m}
		}
		id = m.To[0]
	}
	if !isID(id) {
		return nil, &UnknownError{id}
	}
	var e Engine
	err := d.read("engines/"+id+".json", &e)
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && e.ID != id:
		return nil, &UnknownError{id}
	case err != nil:
		return nil, err
	}
	return &e, nil
}

// Engines yields every engine in the order of ids, one at a time. An error ends
// it.
func (d *Dataset) Engines() iter.Seq2[*Engine, error] {
	return func(yield func(*Engine, error) bool) {
		for n := 0; ; n++ {
			more, err := d.lines(fmt.Sprintf("lines/engines-%04d.jsonl", n), func(e *Engine) bool { return yield(e, nil) })
			if errors.Is(err, fs.ErrNotExist) {
				return
			}
			if err != nil {
				yield(nil, err)
				return
			}
			if !more {
				return
			}
		}
	}
}

// lines yields the engines of one file; false when it was told to stop.
func (d *Dataset) lines(name string, yield func(*Engine) bool) (more bool, err error) {
	file, err := d.files.Open(name)
	if err != nil {
		return false, err
	}
	defer file.Close()
	lines := json.NewDecoder(bufio.NewReader(file))
	for lines.More() {
		e := &Engine{}
		if err := lines.Decode(e); err != nil {
			return false, fmt.Errorf("%s: %w", name, err)
		}
		if !yield(e) {
			return false, nil
		}
	}
	return true, nil
}

// Entries returns what tells each engine from the others, in the order of ids.
func (d *Dataset) Entries() ([]Entry, error) {
	var all Engines
	err := d.read("engines.json", &all)
	return all.Engines, err
}

// Sources returns the records of all sources, by id.
func (d *Dataset) Sources() ([]Source, error) {
	var all Sources
	err := d.read("sources.json", &all)
	return all.Sources, err
}

// Units returns the units that figures are in.
func (d *Dataset) Units() ([]Unit, error) {
	var all Units
	err := d.read("units.json", &all)
	return all.Units, err
}

// Changes returns the figures that changed since the release before; nil when
// this one does not say.
func (d *Dataset) Changes() (*Changes, error) {
	var all Changes
	err := d.read("changes.json", &all)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return &all, err
}

// Redirects returns where ids that are no longer used lead, by the id.
func (d *Dataset) Redirects() map[string]Redirect {
	all := make(map[string]Redirect, len(d.moved))
	for id, m := range d.moved {
		all[id] = m
	}
	return all
}
