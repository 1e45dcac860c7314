package main

import (
	"context"
	"strings"

	"github.com/rogpeppe/go-internal/diff"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/run"
)

// mend makes the safe fixes of the inputs and says what it did, or shows what it
// would do.
func (l *linting) mend(ctx context.Context, inputs []lint.Input) error {
	watched, end := l.program.watched(inputs)
	fixed, err := run.Fix(ctx, watched, run.Options{Rules: l.book})
	end()
	if err != nil {
		return err
	}
	if l.dryRun {
		return l.program.preview(fixed, len(checked(inputs)))
	}
	changes := make([]store.Change, len(fixed))
	for i, f := range fixed {
		changes[i] = store.Change{Name: f.Name, Before: f.Before, After: f.After}
	}
	if err := store.Replace(ctx, changes); err != nil {
		return err
	}
	for _, f := range fixed {
		l.program.remark("%s: %s", f.Name, strings.Join(f.Titles, "; "))
	}
	l.program.remark("%d of %d files mended", len(fixed), len(checked(inputs)))
	return nil
}

// preview shows as a unified diff what fixing would change.
func (p *program) preview(fixed []run.Fixed, files int) error {
	for _, f := range fixed {
		name := report.Inert(f.Name)
		if err := p.showDiff(diff.Diff(name, f.Before, name, f.After)); err != nil {
			return err
		}
	}
	p.remark("%d of %d files to be mended", len(fixed), files)
	return nil
}

// showDiff writes a unified diff. On a terminal what a terminal would act on is
// written out; elsewhere the diff is one to apply.
func (p *program) showDiff(unified []byte) error {
	for line := range strings.Lines(string(unified)) {
		if isTerminal(p.Out) {
			line = report.Inert(strings.TrimSuffix(line, "\n")) + "\n"
		}
		if _, err := p.Out.Write([]byte(line)); err != nil {
			return err
		}
	}
	return nil
}
