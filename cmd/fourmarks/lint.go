package main

import (
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"time"

	"github.com/spf13/cobra"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

func (p *program) lint() *cobra.Command {
	var asJSON, accepted bool
	var require string
	c := &cobra.Command{
		Use:   "lint [PATH…]",
		Short: "Check engine and source files",
		Long: `lint checks engine and source files: that they can be read, that their figures
agree with one another, and that each has a source. A path is a file or a
folder; without one it is the folder data, or the dataset in the program.

Each finding says what is wrong with the numbers in it, shows the line, works
the sum out and names the figures that can be the slip.

The exit code is 0 when no error or warning stands, 1 when one does, 2 when
nothing could be checked.`,
		Example: `  Check the file you are writing:

    fourmarks lint data/engines/penhallow/light-six.yaml

  Fail where a figure that sets an engine rests on one source alone:

    fourmarks lint --require confirmed`,
		RunE: func(c *cobra.Command, paths []string) error {
			book := rules.All()
			if require != "" {
				r, err := rules.Require(require)
				if err != nil {
					return err
				}
				book = append(book, r)
			}
			inputs, err := p.open(paths)
			if err != nil {
				return err
			}
			read, readable := readCounted(inputs)
			watched, end := p.watched(read)
			started := time.Now()
			res, err := run.Lint(c.Context(), watched, run.Options{Rules: book})
			end()
			if err != nil {
				return err
			}
			if asJSON {
				err = report.JSON(p.Out, res)
			} else {
				o := report.Options{Source: sourceOf(inputs), Width: p.width(), Colour: p.colour(), Accepted: accepted}
				if isTerminal(p.Out) { // elsewhere the same files give the same bytes
					o.Elapsed = time.Since(started)
				}
				err = report.Text(p.Out, res, o)
			}
			switch {
			case err != nil:
				return err
			case !readable():
				return errors.New("none of the files could be read")
			case res.Failed():
				return errFound
			}
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "write the findings as JSON, for programs")
	c.Flags().BoolVar(&accepted, "accepted", false, "show the accepted findings too, with their reasons")
	c.Flags().StringVar(&require, "require", "", "least `standing` of the figures an engine is set by: "+strings.Join(rules.Requirable(), ", "))
	return c
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

// sourceOf returns how a report reads the files that it quotes.
func sourceOf(inputs []lint.Input) func(string) ([]byte, error) {
	byName := make(map[string]lint.Input, len(inputs))
	for _, in := range inputs {
		byName[in.Name] = in
	}
	return func(name string) ([]byte, error) {
		in, ok := byName[name]
		if !ok {
			return nil, fmt.Errorf("%s is not among the files", name)
		}
		return in.Read()
	}
}
