package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

// The exit codes.
const (
	exitFine   = 0 // notes are fine
	exitFound  = 1 // an error or warning stands, or a file would change
	exitFailed = 2 // it could not be done
)

// Streams are what the program reads and writes.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// errFound ends a command that did its work and found something; what it found
// has been said.
var errFound = errors.New("something was found")

// Run is the whole program: it runs the command that the arguments name and
// returns the exit code. A cancelled context stops it and leaves everything as
// it was.
func Run(ctx context.Context, args []string, streams Streams, env func(string) string) int {
	p := &program{Streams: streams, env: env}
	root := p.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil:
		return exitFine
	case errors.Is(err, errFound):
		return exitFound
	case errors.Is(err, context.Canceled):
		p.remark("stopped; nothing was changed")
	default:
		p.complain(err)
	}
	return exitFailed
}

// program is what all commands share.
type program struct {
	Streams
	env func(string) string
}

// remark says something that is not a result.
func (p *program) remark(format string, args ...any) {
	fmt.Fprintf(p.Err, "%s\n", report.Inert(fmt.Sprintf(format, args...)))
}

// complain says what could not be done; an error of several lines is several.
func (p *program) complain(err error) {
	for i, line := range strings.Split(strings.TrimSpace(err.Error()), "\n") {
		lead := "fourmarks: "
		if i > 0 {
			lead = "  "
		}
		p.remark("%s%s", lead, line)
	}
}

func (p *program) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "fourmarks",
		Short:         "The setting figures of old engines: written down once, checked, found, shown",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          knownCommand,
		RunE: func(*cobra.Command, []string) error {
			_, err := io.WriteString(p.Out, welcome)
			return err
		},
	}
	root.SetIn(p.In)
	root.SetOut(p.Out)
	root.SetErr(p.Err)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return fmt.Errorf("%w\n%s --help shows how it is used", err, c.CommandPath())
	})
	root.AddCommand(
		p.lint(),
		p.explain(),
		p.tidy(),
		p.find(),
		p.show(),
		p.convert(),
		p.serve(),
		p.setup(),
		p.merge(),
		p.settle(),
		p.diff(),
		p.sheet(),
		p.assess(),
		p.history(),
		p.publish(),
		p.importTable(),
		p.newEngine(),
	)
	return root
}

// knownCommand refuses a word that is no command and names those near to it.
func knownCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	if near := schema.Nearest(args[0], names, 1); len(near) > 0 {
		return fmt.Errorf("there is no command %q; did you mean %s?", args[0], near[0])
	}
	return fmt.Errorf("there is no command %q; there are: %s", args[0], strings.Join(names, ", "))
}

const welcome = `fourmarks keeps the setting figures of old engines: valve timing, clearances,
gears, ignition. Each figure stands once, as its source prints it, with the
source beside it, and is checked against everything else known of the engine.

Three things to try first:

  fourmarks find light six                which engine is it
  fourmarks show penhallow/light-six      its figures, their sources, how far to trust them
  fourmarks lint                          check a dataset, or a file you are writing

fourmarks --help lists every command.
`
