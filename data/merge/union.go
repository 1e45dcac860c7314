package merge

import (
	"errors"
	"fmt"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Files looks up a file of the dataset that is added to: an engine's or a source's
// by its id, or the record of moved ids, which has none. It is nil where the dataset
// has no such file.
type Files func(kind lint.InputKind, id string) ([]byte, error)

// Addition is what somebody adds to one file of a dataset.
type Addition struct {
	Kind lint.InputKind
	ID   string
	// New says that the dataset does not have the file yet.
	New bool
	*Result
}

// Whole adds all that a whole engine file says to the engine's file in the dataset.
// Whoever sends such a file may have started from any version, or from none, so
// nothing is held against what it does not say: every claim of either stands, and
// where the two say different things of one claim, that is a conflict.
//
// It is an error, naming each line, when the file is not of the format, and when it
// brings a figure that names no source or a source nobody has a record of.
func Whole(f *schema.File, files Files) (*Addition, error) {
	e, problems := schema.DecodeEngine(f)
	if err := refuse(f, problems); err != nil {
		return nil, err
	}
	id, err := goesBy(e.ID.Text, files)
	if err != nil {
		return nil, err
	}
	if id != e.ID.Text {
		line, column := e.ID.At.Position()
		return nil, fmt.Errorf("%s:%d:%d: %s has moved and is %s now; give it that id", f.Name, line, column, e.ID.Text, id)
	}
	present, err := files(lint.EngineFile, id)
	if err != nil {
		return nil, err
	}
	var faults []string
	known := map[claims.ID]claims.Claim{}
	for _, c := range claims.Of(lint.EngineFile, schema.ReadFile(f.Name, present)) {
		known[c.ID] = c
	}
	for _, c := range claims.Of(lint.EngineFile, f) {
		if was, ok := known[c.ID]; ok && claims.Same(&was, &c) || c.Kind != claims.Print || isRemoval(&c) {
			continue
		}
		fault, err := unsourced(&c, files, recordsOf(e.Sources))
		if err != nil {
			return nil, err
		}
		if fault != "" {
			line, column := f.Doc.Position(c.PrintSpan.Start)
			faults = append(faults, fmt.Sprintf("%s:%d:%d: %s", f.Name, line, column, fault))
		}
	}
	if len(faults) > 0 {
		return nil, errors.New(strings.Join(faults, "\n"))
	}
	return add(lint.EngineFile, id, present, f.Doc.Source)
}

// goesBy returns the id by which the dataset has an engine now: another than the one
// given where that has moved. It is an error when it has become several engines.
func goesBy(id string, files Files) (string, error) {
	record, err := files(lint.MovedFile, "")
	if err != nil || record == nil {
		return id, err
	}
	f := schema.ReadFile("moved.yaml", record)
	moves, problems := schema.DecodeMoved(f)
	if err := refuse(f, problems); err != nil {
		return "", err
	}
	now, err := schema.Follow(id, moves)
	switch {
	case err != nil:
		return "", err
	case len(now) != 1:
		return "", fmt.Errorf("%s has become several engines; say which of them this is of: %s", id, strings.Join(now, ", "))
	}
	return now[0], nil
}

// refuse makes problems of a file one error, a line for each.
func refuse(f *schema.File, problems []schema.Problem) error {
	if len(problems) == 0 {
		return nil
	}
	faults := make([]string, len(problems))
	for i, p := range problems {
		line, column := p.At.Position()
		faults[i] = fmt.Sprintf("%s:%d:%d: %s", f.Name, line, column, p.Message)
	}
	return errors.New(strings.Join(faults, "\n"))
}

// recordsOf returns a look-up of source records.
func recordsOf(all schema.Group[*schema.Source]) func(id string) bool {
	return func(id string) bool {
		_, ok := all.Get(id)
		return ok
	}
}

// unsourced says what is wrong with the source of a claim, "" when it names one that
// is on record, with what is added or in the dataset.
func unsourced(c *claims.Claim, files Files, own func(id string) bool) (string, error) {
	switch {
	case c.Source == "":
		return fmt.Sprintf("`%s` names no source; say after `from:` where it was read", c.Path), nil
	case own(c.Source):
		return "", nil
	}
	record, err := files(lint.SourceFile, c.Source)
	if err != nil || record != nil {
		return "", err
	}
	return fmt.Sprintf("`%s` is from %s, and there is no record of that source; add one under `sources:`", c.Path, c.Source), nil
}

// add adds what a text says to a file of a dataset, or starts the file with it.
func add(kind lint.InputKind, id string, present, text []byte) (*Addition, error) {
	a := &Addition{Kind: kind, ID: id, New: present == nil}
	name := "engines/" + id + ".yaml"
	if kind == lint.SourceFile {
		name = "sources/" + id + ".yaml"
	}
	var err error
	if a.New {
		a.Result, err = started(kind, name, text)
	} else {
		a.Result, err = union(kind, name, present, text)
	}
	if err != nil {
		return nil, err
	}
	return a, nil
}

// started is the result of starting a file: its canonical text.
func started(kind lint.InputKind, name string, source []byte) (*Result, error) {
	f := schema.ReadFile(name, source)
	tidy, err := f.Tidy()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	r := &Result{Text: tidy}
	for _, c := range claims.Of(kind, schema.ReadFile(name, tidy)) {
		r.Changed = append(r.Changed, Change{Claim: c, By: Theirs})
	}
	return r, nil
}

// union merges what is added to a text into it.
func union(kind lint.InputKind, name string, present, added []byte) (*Result, error) {
	m, err := newMerger(kind, name, Base{}, present, added)
	if err != nil {
		return nil, err
	}
	m.union, m.docs[base] = true, m.docs[theirs]
	return m.merge()
}
