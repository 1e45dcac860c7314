package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/spf13/cobra"

	"fourmarks.example/data/settle"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/schema"
)

func (p *program) settle() *cobra.Command {
	var d settle.Decision
	var path string
	var dryRun bool
	c := &cobra.Command{
		Use:   "settle ENGINE FIGURE --keep CLAIM --because REASON",
		Short: "End a disagreement about a figure, keeping every claim",
		Long: `settle says which of several claims of a figure is followed. The claims that
it rules out are set aside, each with the reason, and stay in the file; a claim
that agrees with it goes on standing as a witness.

ENGINE is an id, or words that only one engine fits. FIGURE is its path, or the
end of it. CLAIM is the key of a claim, as fourmarks show names it: the id of
its source, with its suffix where it has one.

Only the reason is put into the file. Nothing is written when more than that
would change, or when somebody changes the file in the meantime. To undo it,
take the lines or words that it added out again.`,
		Example: `  See what is said, try it, do it:

    fourmarks show penhallow/light-six inlet_closes
    fourmarks settle penhallow/light-six inlet_closes --keep penhallow-sheet-4 \
      --because "the stamp was re-cut at overhaul" --dry-run
    fourmarks settle penhallow/light-six inlet_closes --keep penhallow-sheet-4 \
      --because "the stamp was re-cut at overhaul"`,
		Args: cobra.ExactArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			d.Figure = args[1]
			return p.settled(c, path, args[0], d, dryRun)
		},
	}
	c.Flags().StringVar(&d.Keep, "keep", "", "key of the `claim` to follow")
	c.Flags().StringVar(&d.Because, "because", "", "the `reason` why the others are not followed")
	c.Flags().StringVar(&d.Variant, "variant", "", "`name` of the variant whose own claims are meant")
	c.Flags().BoolVar(&dryRun, "dry-run", false, "show what would be written, and write nothing")
	datasetFlag(c, &path)
	return c
}

// settled ends a disagreement in the file of the engine that the words identify,
// or shows how it would.
func (p *program) settled(c *cobra.Command, path, words string, d settle.Decision, dryRun bool) error {
	if path == "" {
		if own, err := ownDataset(); err != nil || !own {
			return errors.Join(fmt.Errorf("there is no folder %s with engines here; name the dataset with --data", ownFolder), err)
		}
	}
	inputs, err := p.openDataset(path)
	if err != nil {
		return err
	}
	catalogue, err := store.ReadCatalogue(c.Context(), inputs)
	if err != nil {
		return err
	}
	match, err := catalogue.One(words)
	if err != nil {
		return listed(err)
	}
	i := slices.IndexFunc(inputs, func(in lint.Input) bool { return in.Name == match.File })
	before, err := inputs[i].Read()
	if err != nil {
		return fmt.Errorf("%s: %w", match.File, err)
	}
	s, err := settle.Settle(schema.ReadFile(match.File, before), d)
	if err != nil {
		return err
	}
	if dryRun {
		name := report.Inert(match.File)
		if err := p.showDiff(diff.Diff(name, before, name, s.After)); err != nil {
			return err
		}
		p.remark("nothing is written")
		return nil
	}
	return p.writeSettled(c.Context(), match, s, store.Change{Name: match.File, Before: before, After: s.After})
}

// writeSettled writes the file and says what was done and how it is undone.
func (p *program) writeSettled(ctx context.Context, m store.Match, s *settle.Settlement, change store.Change) error {
	if err := store.Replace(ctx, []store.Change{change}); err != nil {
		return err
	}
	var b strings.Builder
	p.indented(&b, 0, m.ID+" "+s.Figure.Path)
	say := func(what string, c *schema.Claim) {
		p.indented(&b, 2, what+": "+c.Printed.Text+" ["+c.From.String()+"]")
	}
	say("followed", s.Kept)
	for _, c := range s.Witnesses {
		say("agrees", c)
	}
	for _, c := range s.Aside {
		say("set aside", c)
	}
	if len(s.Inherits) > 0 {
		p.indented(&b, 2, "inherited by "+strings.Join(s.Inherits, ", "))
	}
	if _, err := io.WriteString(p.Out, b.String()); err != nil {
		return err
	}
	p.remark("%s is written; to undo it, take `set_aside:` with its reason out of line %s", change.Name, numbersOf(s.Lines))
	return nil
}

// numbersOf lists numbers: 3, 4 and 7.
func numbersOf(lines []int) string {
	said := strings.Fields(strings.Trim(fmt.Sprint(lines), "[]"))
	if len(said) < 2 {
		return strings.Join(said, "")
	}
	return strings.Join(said[:len(said)-1], ", ") + " and " + said[len(said)-1]
}
