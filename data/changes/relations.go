package changes

import (
	"context"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

// identity tells a finding from others, and stays the same when the numbers in
// its message change.
type identity struct {
	rule, variant, where string
	nth                  int // among those that are otherwise the same
}

// findings are what the rules say of one file.
type findings struct {
	all      []identity // in the order of the file
	open     map[identity]Relation
	accepted map[identity]Relation
}

// has reports whether a finding is there, accepted or not.
func (f findings) has(id identity) bool {
	_, open := f.open[id]
	_, accepted := f.accepted[id]
	return open || accepted
}

// verdict holds the findings of both states by the name of the file.
type verdict struct{ before, after map[string]findings }

// judge runs the rules over the engines that differ, in both states.
func judge(ctx context.Context, before, after []lint.Input, pairs []*pair, book []*lint.Rule) (verdict, error) {
	was, is := map[string]bool{}, map[string]bool{}
	for _, p := range pairs {
		if p.before != nil {
			was[p.before.Name] = true
		}
		if p.after != nil {
			is[p.after.Name] = true
		}
	}
	var v verdict
	var err error
	if v.before, err = found(ctx, before, was, book); err != nil {
		return v, err
	}
	v.after, err = found(ctx, after, is, book)
	return v, err
}

// found lints the named files; all others are context.
func found(ctx context.Context, inputs []lint.Input, names map[string]bool, book []*lint.Rule) (map[string]findings, error) {
	if len(names) == 0 {
		return nil, ctx.Err()
	}
	linted := make([]lint.Input, len(inputs))
	for i, in := range inputs {
		in.Context = !names[in.Name]
		linted[i] = in
	}
	res, err := run.Lint(ctx, linted, run.Options{Rules: book})
	if err != nil {
		return nil, err
	}
	byFile := map[string]findings{}
	for _, f := range res.Findings {
		note(byFile, f, "")
	}
	for _, a := range res.Accepted {
		note(byFile, a.Finding, a.Reason)
	}
	return byFile, nil
}

// note keeps a finding, accepted where it has a reason.
func note(byFile map[string]findings, f *lint.Finding, reason string) {
	if f.Level == lint.Note {
		return
	}
	of, known := byFile[f.File]
	if !known {
		of = findings{open: map[identity]Relation{}, accepted: map[identity]Relation{}}
	}
	id := identity{rule: f.Rule, variant: f.Variant, where: f.Path}
	if id.where == "" {
		id.where = f.Pointer
	}
	for of.has(id) {
		id.nth++
	}
	into := of.open
	if reason != "" {
		into = of.accepted
	}
	into[id] = Relation{Rule: f.Rule, Level: f.Level, Variant: f.Variant, Path: f.Path, Message: f.Message, Reason: reason}
	of.all = append(of.all, id)
	byFile[f.File] = of
}

// tell enters in the report of an engine what the rules say otherwise.
func (v verdict) tell(p *pair, e *Engine) {
	var was, is findings
	if p.before != nil {
		was = v.before[p.before.Name]
	}
	if p.after != nil {
		is = v.after[p.after.Name]
	}
	e.Broken, e.Mended, e.Accepted = []Relation{}, []Relation{}, []Relation{}
	for _, id := range is.all {
		open, isOpen := is.open[id]
		_, wasOpen := was.open[id]
		switch {
		case isOpen && !was.has(id):
			e.Broken = append(e.Broken, open)
		case !isOpen && wasOpen:
			e.Accepted = append(e.Accepted, is.accepted[id])
		}
	}
	if p.after == nil {
		return // with the engine goes everything that was said of it
	}
	for _, id := range was.all {
		if open, wasOpen := was.open[id]; wasOpen && !is.has(id) {
			e.Mended = append(e.Mended, open)
		}
	}
}
