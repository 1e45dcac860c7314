package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/intake"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
)

// correctionsFile is the list of cells to be corrected, beside the contributions.
const correctionsFile = "to-correct.csv"

func (p *program) importTable() *cobra.Command {
	o := importOptions{to: "contributions"}
	c := &cobra.Command{
		Use:   "import FILE.csv [--mapping FILE]",
		Short: "Bring in a spreadsheet, each row as a contribution",
		Long: `import reads a spreadsheet that was saved as CSV. Without --mapping it proposes
from the headers which column holds which figure, and prints that as a mapping to
be looked over and completed: who contributes, from which source.

With --mapping each row becomes a contribution file in the folder --to, with its
source, to be merged with fourmarks merge. Figures are taken as they stand in
their cells, with the unit or dead centre that the header gives. A column that no
figure is known for goes along as a remark.

What cannot be read is listed cell by cell, on the terminal and in the file
` + correctionsFile + `. Correct the spreadsheet and import it again: files that say the
same are left alone, and no other is written over unless --replace is given.

The exit code is 0 when every cell was read, 1 when some are to be corrected, and
2 when it could not be done.`,
		Example: `  Have a mapping proposed, look it over, see what it would come to, and do it:

    fourmarks import club.csv > club.yaml
    fourmarks import club.csv --mapping club.yaml --dry-run
    fourmarks import club.csv --mapping club.yaml
    fourmarks merge contributions/*.yaml --dry-run`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("name one spreadsheet, saved as CSV: fourmarks import club.csv")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return p.imported(c.Context(), args[0], o) },
	}
	c.Flags().StringVar(&o.mapping, "mapping", "", "`file` that says what each column holds")
	c.Flags().StringVar(&o.to, "to", o.to, "`folder` for the contribution files")
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "show what would be written, and write nothing")
	c.Flags().BoolVar(&o.replace, "replace", false, "write over files that say something else")
	c.Flags().BoolVar(&o.asJSON, "json", false, "write the outcome as JSON, for programs")
	datasetFlag(c, &o.data)
	return c
}

type importOptions struct {
	mapping, to, data       string
	dryRun, replace, asJSON bool
}

func (p *program) imported(ctx context.Context, name string, o importOptions) error {
	source, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	table, err := intake.ReadTable(source)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if o.mapping == "" {
		p.remark("this is a proposal: keep it in a file, look it over, and give it with --mapping")
		_, err := p.Out.Write(intake.Propose(table))
		return err
	}
	text, err := os.ReadFile(o.mapping)
	if err != nil {
		return err
	}
	m, err := intake.ReadMapping(o.mapping, text, table)
	if err != nil {
		return err
	}
	inputs, err := p.openDataset(o.data)
	if err != nil {
		return err
	}
	made, wrong := intake.Import(table, m, known(inputs))
	if len(made)+len(wrong) == 0 {
		return fmt.Errorf("%s: %w", name, intake.ErrNothing)
	}
	if !o.dryRun {
		if err := writeImported(ctx, made, wrong, o); err != nil {
			return err
		}
	}
	return p.showImported(made, wrong, o)
}

// known tells which sources and engines the dataset has.
func known(inputs []lint.Input) intake.Known {
	has := func(kind lint.InputKind) func(string) bool {
		return func(id string) bool {
			return slices.ContainsFunc(inputs, func(in lint.Input) bool { return in.Kind == kind && in.ID == id })
		}
	}
	return intake.Known{Source: has(lint.SourceFile), Engine: has(lint.EngineFile)}
}

// writeImported writes the contributions and the list of corrections, or nothing
// when one of the files is there already with something else in it.
func writeImported(ctx context.Context, made []intake.Contribution, wrong []intake.Correction, o importOptions) error {
	for _, c := range made {
		name := filepath.Join(o.to, c.Name)
		switch there, err := os.ReadFile(name); {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return err
		case !bytes.Equal(there, c.Text) && !o.replace:
			return fmt.Errorf("%s is there already and says something else; nothing was written: give another folder with --to, or --replace", name)
		}
	}
	if err := os.MkdirAll(o.to, 0o755); err != nil {
		return err
	}
	for _, c := range made {
		if err := store.WriteFile(ctx, filepath.Join(o.to, c.Name), c.Text); err != nil {
			return err
		}
	}
	list, err := intake.Corrections(wrong)
	if err != nil {
		return err
	}
	return store.WriteFile(ctx, filepath.Join(o.to, correctionsFile), list)
}

func (p *program) showImported(made []intake.Contribution, wrong []intake.Correction, o importOptions) error {
	figures := 0
	for _, c := range made {
		figures += c.Figures
	}
	if o.asJSON {
		type file struct {
			Row     int    `json:"row"`
			Engine  string `json:"engine"`
			Figures int    `json:"figures"`
			File    string `json:"file"`
		}
		files := make([]file, len(made))
		for i, c := range made {
			files[i] = file{c.Row, c.Engine, c.Figures, filepath.ToSlash(filepath.Join(o.to, c.Name))}
		}
		if wrong == nil {
			wrong = []intake.Correction{}
		}
		if err := report.WriteJSON(p.Out, map[string]any{"contributions": files, "corrections": wrong}); err != nil {
			return err
		}
	} else {
		var b strings.Builder
		for _, c := range made {
			p.indented(&b, 0, fmt.Sprintf("row %d  %s, %d figures: %s", c.Row, c.Engine, c.Figures, filepath.ToSlash(filepath.Join(o.to, c.Name))))
		}
		for _, w := range wrong {
			p.indented(&b, 0, fmt.Sprintf("%s%d  %s: %s", w.Column, w.Row, w.Header, w.Why))
		}
		if _, err := io.WriteString(p.Out, b.String()); err != nil {
			return err
		}
	}
	done := "written to " + o.to
	if o.dryRun {
		done = "would be written to " + o.to
	}
	p.remark("%d contributions with %d figures %s; %d cells to correct", len(made), figures, done, len(wrong))
	if len(wrong) > 0 {
		return errFound
	}
	return nil
}
