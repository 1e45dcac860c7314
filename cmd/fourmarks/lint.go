package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"github.com/spf13/cobra"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

// linting is what a run of lint was asked to do.
type linting struct {
	program     *program
	book        []*lint.Rule
	since       string
	fix, dryRun bool
	report      func(*linted) error
	accepted    bool
}

// linted is what came of it.
type linted struct {
	linting
	inputs []lint.Input
	result run.Result
	took   time.Duration
}

func (p *program) lint() *cobra.Command {
	l := linting{program: p}
	var require string
	c := &cobra.Command{
		Use:   "lint [PATH…]",
		Short: "Check engine and source files",
		Long: `lint checks engine and source files: that they can be read, that their figures
agree with one another, and that each has a source. A path is a file or a
folder; without one it is the folder data, or the dataset in the program.

Each finding says what is wrong with the numbers in it, shows the line, works
the sum out and names the figures that can be the slip. Other forms of report,
one at a time, are for programs: --json, --sarif, --junit, --ci, --oneline.

With --since REV only what a change touches is checked: the files that differ
from the git revision REV, committed or not, and the engines that rest on a
source that changed. No git program is needed.

With --fix what is safe to mend is mended first: the layout of the text, a key
that stands in the wrong section, an acceptance that keeps nothing. No fix
touches a figure as its source prints it. --fix --dry-run shows the changes as
a unified diff and makes none.

The exit code is 0 when no error or warning stands, 1 when one does, 2 when
nothing could be checked.`,
		Example: `  Check the file you are writing:

    fourmarks lint data/engines/penhallow/light-six.yaml

  Fail where a figure that sets an engine rests on one source alone:

    fourmarks lint --require confirmed

  See what could be mended, and mend it:

    fourmarks lint --fix --dry-run
    fourmarks lint --fix

  On a server, the lines of a pull request:

    fourmarks lint --since origin/main --ci`,
	}
	chosen := reportFlags(c)
	c.Flags().BoolVar(&l.accepted, "accepted", false, "show the accepted findings too, with their reasons")
	c.Flags().StringVar(&require, "require", "", "least `standing` of the figures an engine is set by: "+strings.Join(rules.Requirable(), ", "))
	c.Flags().StringVar(&l.since, "since", "", "check only what changed since the git `revision`, and what depends on it")
	c.Flags().BoolVar(&l.fix, "fix", false, "mend first what is safe to mend")
	c.Flags().BoolVar(&l.dryRun, "dry-run", false, "with --fix: show the changes, make none and check nothing else")
	c.RunE = func(c *cobra.Command, paths []string) (err error) {
		if l.report, err = chosen(); err != nil {
			return err
		}
		if l.book, err = bookWith(require); err != nil {
			return err
		}
		if l.dryRun && !l.fix {
			return errors.New("--dry-run goes with --fix")
		}
		inputs, err := l.open(c.Context(), paths)
		if err != nil {
			return err
		}
		if l.fix {
			if err := l.mend(c.Context(), inputs); err != nil || l.dryRun {
				return err
			}
		}
		return l.lint(c.Context(), inputs)
	}
	return c
}

// bookWith is the rule book, with the rule that requires a standing if one is
// given.
func bookWith(standing string) ([]*lint.Rule, error) {
	book := rules.All()
	if standing == "" {
		return book, nil
	}
	r, err := rules.Require(standing)
	return append(book, r), err
}

// open returns what is to be checked at the paths.
func (l *linting) open(ctx context.Context, paths []string) ([]lint.Input, error) {
	if len(paths) == 0 && (l.fix || l.since != "") {
		if own, err := ownDataset(); err != nil || !own {
			return nil, errors.Join(fmt.Errorf("there is no folder %s with engines here; name the files or folders to check", ownFolder), err)
		}
	}
	inputs, err := l.program.open(paths)
	if err != nil || l.since == "" {
		return inputs, err
	}
	inputs, err = store.Since(ctx, inputs, l.since)
	if err == nil && len(checked(inputs)) == 0 {
		l.program.remark("nothing to check has changed since %s", l.since)
	}
	return inputs, err
}

// checked are the inputs that are not only there for what they say of others.
func checked(inputs []lint.Input) []lint.Input {
	return slices.DeleteFunc(slices.Clone(inputs), func(in lint.Input) bool { return in.Context })
}

// lint checks the inputs and reports.
func (l *linting) lint(ctx context.Context, inputs []lint.Input) error {
	read, readable := readCounted(inputs)
	watched, end := l.program.watched(read)
	started := time.Now()
	res, err := run.Lint(ctx, watched, run.Options{Rules: l.book})
	end()
	if err != nil {
		return err
	}
	if err := l.report(&linted{*l, inputs, res, time.Since(started)}); err != nil {
		return err
	}
	switch {
	case len(checked(inputs)) > 0 && !readable():
		return errors.New("none of the files could be read")
	case res.Failed():
		return errFound
	}
	return nil
}

// readCounted returns the inputs such that readable tells afterwards whether
// any of those to be checked could be read.
func readCounted(inputs []lint.Input) (counted []lint.Input, readable func() bool) {
	var good atomic.Bool
	counted = make([]lint.Input, len(inputs))
	for i, in := range inputs {
		if read := in.Read; !in.Context {
			in.Read = func() ([]byte, error) {
				b, err := read()
				if err == nil {
					good.Store(true)
				}
				return b, err
			}
		}
		counted[i] = in
	}
	return counted, good.Load
}
