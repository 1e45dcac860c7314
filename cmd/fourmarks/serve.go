package main

import (
	"errors"

	"github.com/spf13/cobra"

	"fourmarks.example/data/serve"
)

func (p *program) serve() *cobra.Command {
	c := &cobra.Command{
		Use:   "serve",
		Short: "Check and explain files in your editor as you type",
		Long: `serve is for an editor to start: it speaks the Language Server Protocol over
standard input and output. The editor then shows findings as you type, what is
known of a figure under the cursor, and what can be written at it; it leads from
a citation to its source, and offers fixes. Nothing is written to disk.

The exit code is 0 after an orderly shutdown, 1 when the editor left without one,
2 when what it sent could not be read.`,
		Example: `  What an editor is to start for YAML files in a dataset:

    fourmarks serve`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if _, ok := terminalOf(p.In); ok {
				p.remark("this waits for an editor; CONTRIBUTING.md says how to set one up. Ctrl-C ends it")
			}
			err := serve.Serve(c.Context(), p.In, p.Out)
			if errors.Is(err, serve.ErrNoShutdown) {
				return errFound
			}
			return err
		},
	}
	c.Flags().Bool("stdio", true, "speak over standard input and output; there is no other way")
	return c
}
