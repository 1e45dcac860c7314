package main

import (
	"context"
	"errors"
	"slices"

	"github.com/spf13/cobra"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
)

func (p *program) diff() *cobra.Command {
	var path string
	var asMarkdown, asJSON bool
	c := &cobra.Command{
		Use:   "diff [REV [REV]]",
		Short: "Show which figures changed, and what that breaks or mends",
		Long: `diff compares two states of a dataset figure by figure: what was said and what
is, each with its source, which variants inherit it, which disagreements begin
or end, and which relations between figures break or are mended. How a file is
laid out does not count, and an engine is followed when its id or file changes.

Without a revision the folder is compared with what was last committed (HEAD);
with one, with that revision; with two, the first with the second. No git
program is needed.

--markdown writes the same for a pull request, --json for programs.

The exit code is 1 when a relation is newly broken, otherwise 0.`,
		Example: `  What you have changed and not yet committed:

    fourmarks diff

  What a branch adds to the main one, for its pull request:

    fourmarks diff main HEAD --markdown`,
		Args: cobra.MaximumNArgs(2),
		RunE: func(c *cobra.Command, revisions []string) error {
			if asMarkdown && asJSON {
				return errors.New("--markdown and --json are forms of one report; choose one")
			}
			before, after, err := states(path, revisions)
			if err != nil {
				return err
			}
			r, err := p.compared(c.Context(), before, after)
			if err != nil {
				return err
			}
			switch {
			case asJSON:
				err = report.WriteJSON(p.Out, r)
			case asMarkdown:
				err = changes.Markdown(p.Out, r)
			default:
				err = changes.Text(p.Out, r, p.width())
			}
			switch {
			case err != nil:
				return err
			case r.Empty():
				p.remark("nothing is said otherwise")
			case slices.ContainsFunc(r.Engines, func(e changes.Engine) bool { return len(e.Broken) > 0 }):
				return errFound
			}
			return nil
		},
	}
	c.Flags().BoolVar(&asMarkdown, "markdown", false, "write the changes in Markdown, for a pull request")
	c.Flags().BoolVar(&asJSON, "json", false, "write the changes as JSON, for programs")
	c.Flags().StringVar(&path, "data", ownFolder, "`folder` of the dataset")
	return c
}

// states returns the dataset in a folder before and after, as the revisions say.
func states(folder string, revisions []string) (before, after []lint.Input, err error) {
	from, to := "HEAD", ""
	if len(revisions) > 0 {
		from = revisions[0]
	}
	if len(revisions) > 1 {
		to = revisions[1]
	}
	return store.States(folder, from, to)
}

// compared compares two states of a dataset under the whole rule book.
func (p *program) compared(ctx context.Context, before, after []lint.Input) (*changes.Report, error) {
	watched, end := p.watched(after)
	defer end()
	return changes.Compare(ctx, before, watched, rules.All())
}
