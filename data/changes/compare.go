package changes

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"

	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Compare says what differs between two states of a dataset. Files are matched
// by their names and engines by their ids, those that the record of moved ids
// has renamed among them. Inputs that are context are there for what they say of
// others and are not compared. The rules of the book are run over the engines
// that differ, before and after. A cancelled context stops the work with its
// error.
func Compare(ctx context.Context, before, after []lint.Input, book []*lint.Rule) (*Report, error) {
	was, is, err := differing(ctx, before, after)
	if err != nil {
		return nil, err
	}
	r := &Report{Engines: []Engine{}, Records: records(was, is)}
	pairs, err := pairEngines(was, is, moves(after))
	if err != nil {
		return nil, err
	}
	judged, err := judge(ctx, before, after, pairs, book)
	if err != nil {
		return nil, err
	}
	for _, p := range pairs {
		e := p.engine(before, after)
		judged.tell(p, &e)
		if e.Fate != Kept || len(e.Figures)+len(e.Words)+len(e.Unread)+len(e.Broken)+len(e.Mended)+len(e.Accepted) > 0 || e.MovedFrom != "" {
			r.Engines = append(r.Engines, e)
		}
	}
	return r, nil
}

// version is one state of a file that differs from the other.
type version struct {
	lint.Input
	file   *schema.File
	claims []claims.Claim
	unread string // why it cannot be read in full
}

func newVersion(in lint.Input, b []byte, err error) *version {
	v := &version{Input: in, file: schema.ReadFile(in.Name, b)}
	switch problems := v.file.Doc.Problems; {
	case err != nil:
		v.unread = err.Error()
	case len(problems) > 0:
		line, _ := v.file.Doc.Position(problems[0].Span.Start)
		v.unread = fmt.Sprintf("line %d: %s", line, problems[0].Message)
	}
	v.claims = claims.Of(in.Kind, v.file)
	return v
}

// differing returns the versions of the files that are not the same, each side
// by name.
func differing(ctx context.Context, before, after []lint.Input) (was, is map[string]*version, err error) {
	was, is = map[string]*version{}, map[string]*version{}
	old := byName(before)
	for _, in := range after {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if in.Context {
			delete(old, in.Name)
			continue
		}
		now, nowErr := in.Read()
		then, known := old[in.Name]
		delete(old, in.Name)
		if !known {
			is[in.Name] = newVersion(in, now, nowErr)
			continue
		}
		b, err := then.Read()
		if err == nil && nowErr == nil && bytes.Equal(b, now) {
			continue
		}
		was[in.Name], is[in.Name] = newVersion(then, b, err), newVersion(in, now, nowErr)
	}
	for name, in := range old {
		if !in.Context {
			b, err := in.Read()
			was[name] = newVersion(in, b, err)
		}
	}
	return was, is, nil
}

func byName(inputs []lint.Input) map[string]lint.Input {
	m := make(map[string]lint.Input, len(inputs))
	for _, in := range inputs {
		m[in.Name] = in
	}
	return m
}

// moves reads the record of moved ids of a dataset.
func moves(inputs []lint.Input) []schema.Move {
	var all []schema.Move
	for _, in := range inputs {
		if in.Kind != lint.MovedFile {
			continue
		}
		if b, err := in.Read(); err == nil {
			moved, _ := schema.DecodeMoved(schema.ReadFile(in.Name, b))
			all = append(all, moved...)
		}
	}
	return all
}

// records compares the files that hold no engines.
func records(was, is map[string]*version) []Record {
	all := []Record{}
	for _, name := range unionOf(was, is) {
		b, a := was[name], is[name]
		v := cmp.Or(a, b)
		if v.Kind == lint.EngineFile {
			continue
		}
		r := Record{ID: v.ID, File: name, Fate: fate(b, a), Unread: unread(b, a), Words: []Word{}}
		for _, c := range between(b, a) {
			r.Words = append(r.Words, word(c))
		}
		if r.Fate != Kept || len(r.Words)+len(r.Unread) > 0 {
			all = append(all, r)
		}
	}
	return all
}

func unionOf(was, is map[string]*version) []string {
	names := slices.AppendSeq(slices.Collect(maps.Keys(was)), maps.Keys(is))
	slices.Sort(names)
	return slices.Compact(names)
}

func fate(b, a *version) Fate {
	switch {
	case b == nil:
		return New
	case a == nil:
		return Gone
	}
	return Kept
}

// unread says which of the two versions cannot be read in full, and why.
func unread(b, a *version) []string {
	all := []string{}
	if b != nil && b.unread != "" {
		all = append(all, "before: "+b.unread)
	}
	if a != nil && a.unread != "" {
		all = append(all, "now: "+a.unread)
	}
	return all
}

// between compares two versions of a file, either of which may be missing.
func between(b, a *version) []Change {
	var was, is []claims.Claim
	if b != nil {
		was = b.claims
	}
	if a != nil {
		is = a.claims
	}
	return Between(was, is)
}
