package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

func (p *program) tidy() *cobra.Command {
	var check bool
	c := &cobra.Command{
		Use:   "tidy [PATH…]",
		Short: "Write files in their canonical form",
		Long: `tidy puts the keys of engine and source files in the order of the format,
indents them alike and leaves every figure, quote and comment as it is. It
prints the names of the files that it changed. A file that cannot be read in
full is left alone, and so is a file written as JSON.

Either all files that need it are written or none. A file that somebody else
changes in the meantime stops it.

With --check nothing is written: the exit code is 1 when a file would change.`,
		Example: `  Put the file you have written in order:

    fourmarks tidy data/engines/penhallow/light-six.yaml

  In a check before committing:

    fourmarks tidy --check`,
		RunE: func(c *cobra.Command, paths []string) error {
			if len(paths) == 0 {
				if own, err := ownDataset(); err != nil || !own {
					return errors.Join(fmt.Errorf("there is no folder %s with engines here; name the files or folders to put in order", ownFolder), err)
				}
			}
			inputs, err := p.open(paths)
			if err != nil {
				return err
			}
			inputs = slices.DeleteFunc(inputs, func(in lint.Input) bool { return in.Context })
			changes, refused, err := p.untidy(c.Context(), inputs)
			if err != nil {
				return err
			}
			return p.write(c.Context(), changes, len(inputs), refused, check)
		},
	}
	c.Flags().BoolVar(&check, "check", false, "write nothing; say which files would change")
	return c
}

// untidy returns the changes that put the inputs in order, and how many of them
// were refused. Why is said at once.
func (p *program) untidy(ctx context.Context, inputs []lint.Input) (changes []store.Change, refused int, err error) {
	watched, end := p.watched(inputs)
	defer end()
	for _, in := range watched {
		if err := ctx.Err(); err != nil {
			return nil, 0, err
		}
		before, err := in.Read()
		var after []byte
		if err == nil {
			after, err = schema.Tidy(before)
		}
		switch {
		case err != nil:
			refused++
			p.remark("%s: left as it is: %s", in.Name, err)
		case !bytes.Equal(before, after):
			changes = append(changes, store.Change{Name: in.Name, Before: before, After: after})
		}
	}
	return changes, refused, nil
}

// write makes the changes, or only names them, and says how it went.
func (p *program) write(ctx context.Context, changes []store.Change, files, refused int, check bool) error {
	did := "changed"
	if check {
		did = "to be changed"
	} else if err := store.Replace(ctx, changes); err != nil {
		return err
	}
	for _, c := range changes {
		if _, err := fmt.Fprintln(p.Out, report.Inert(c.Name)); err != nil {
			return err
		}
	}
	p.remark("%d of %d files %s", len(changes), files, did)
	switch {
	case refused > 0 && refused == files:
		return errors.New("none of the files could be put in order")
	case refused > 0, check && len(changes) > 0:
		return errFound
	}
	return nil
}
