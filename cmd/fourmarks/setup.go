package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/spf13/cobra"

	"fourmarks.example/schema"
)

func (p *program) setup() *cobra.Command {
	c := &cobra.Command{
		Use:   "setup",
		Short: "Write the files that make a dataset's repository check itself",
		Long: `setup shows, writes or checks files that a repository of engines and sources
needs beside them. A file that is there already with another text is never
written over: the difference is shown instead.`,
		Example: `  What a server would run, and what would run before each commit:

    fourmarks setup ci

  Write the files into the repository here:

    fourmarks setup ci --write`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(p.setupCI(), p.setupEditor(), p.setupGit())
	return c
}

func (p *program) setupCI() *cobra.Command {
	return p.setupOf(&cobra.Command{
		Use:   "ci [DIR]",
		Short: "A workflow for the server and a check before each commit",
		Long: `setup ci shows three files for a repository with a dataset:

  .github/workflows/fourmarks.yml   checks everything on a push, and what changed
                                    on a pull request, on its lines
  .githooks/pre-commit              refuses a commit that does not pass
  .pre-commit-config.yaml           the same for users of the pre-commit program

The workflow builds the program from its source: a git submodule .fourmarks, or
the repository and commit named by the variables FOURMARKS_REPOSITORY and
FOURMARKS_COMMIT of the repository's settings. The actions it uses are pinned to
commits, and it may read and nothing else.

With --write the files are written to DIR, or here; with --check the exit code
is 1 when one is missing or is not as this program would write it.`,
		Example: `  Write them for a dataset whose engines lie in engines/ at the top:

    fourmarks setup ci --data . --write
    git config core.hooksPath .githooks

  Later, see whether they are current:

    fourmarks setup ci --data . --check`,
	}, func(folder string) ([]kitFile, error) {
		return kitFiles(folder, map[string]string{
			".github/workflows/fourmarks.yml": "ci/workflow.yml",
			".githooks/pre-commit":            "ci/pre-commit",
			".pre-commit-config.yaml":         "ci/pre-commit.yaml",
		})
	})
}

func (p *program) setupEditor() *cobra.Command {
	return p.setupOf(&cobra.Command{
		Use:   "editor [DIR]",
		Short: "Settings for editors",
		Long: `setup editor shows the settings with which editors check and explain engine
files as you type:

  .editorconfig            indents and line ends, for any editor
  .helix/languages.toml    starts fourmarks serve in Helix
  .nvim.lua                starts fourmarks serve in Neovim
  .vscode/settings.json    completes keys in VS Code with its YAML extension, by
                           the JSON Schemas in .schema/

Any other editor that speaks the Language Server Protocol is to start
"fourmarks serve" for YAML files.

With --write the files are written to DIR, or here; with --check the exit code
is 1 when one is missing or is not as this program would write it.`,
		Example: `  Write them into the repository here:

    fourmarks setup editor --write`,
	}, func(folder string) ([]kitFile, error) {
		files, err := kitFiles(folder, map[string]string{
			".editorconfig":         "editor/editorconfig",
			".helix/languages.toml": "editor/helix.toml",
			".nvim.lua":             "editor/nvim.lua",
			".vscode/settings.json": "editor/vscode.json",
		})
		return append(files,
			kitFile{name: ".schema/engine.json", text: bundledSchema(), long: true},
			kitFile{name: ".schema/source.json", text: schema.SourceSchema(), long: true}), err
	})
}

// setupOf completes a command that shows, writes or checks files for a dataset in
// a folder.
func (p *program) setupOf(c *cobra.Command, of func(folder string) ([]kitFile, error)) *cobra.Command {
	var write, check bool
	var folder string
	c.Args = cobra.MaximumNArgs(1)
	c.Flags().BoolVar(&write, "write", false, "write the files")
	c.Flags().BoolVar(&check, "check", false, "say whether the files are there and current")
	c.Flags().StringVar(&folder, "data", ownFolder, "`folder` of the dataset in the repository; . for the top")
	c.MarkFlagsMutuallyExclusive("write", "check")
	c.RunE = func(c *cobra.Command, args []string) error {
		files, err := of(folder)
		switch {
		case err != nil:
			return err
		case (write || check) && len(args) > 0:
			return p.setupIn(c.Context(), args[0], files, write)
		case write || check:
			return p.setupIn(c.Context(), ".", files, write)
		case len(args) > 0:
			return errors.New("a folder goes with --write or --check; without them the files are only shown")
		}
		return p.showKit(files)
	}
	return c
}

// showKit shows what would be written.
func (p *program) showKit(files []kitFile) error {
	var b strings.Builder
	for i, f := range files {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "==> %s\n", f.name)
		if f.long {
			fmt.Fprintf(&b, "(%d lines)\n", bytes.Count(f.text, []byte("\n")))
			continue
		}
		b.Write(f.text)
	}
	_, err := io.WriteString(p.Out, b.String())
	return err
}

// setupIn writes the files that are missing in a folder, or only says which are
// not as they would be written. A file with another text is never touched.
func (p *program) setupIn(ctx context.Context, folder string, files []kitFile, write bool) error {
	dir, err := os.OpenRoot(folder)
	if err != nil {
		return fmt.Errorf("%s: %w", folder, plainCause(err))
	}
	defer dir.Close()
	missing, different, err := compare(dir, files)
	switch {
	case err != nil:
		return err
	case !write:
		return p.sayStanding(files, missing, different)
	case len(different) > 0:
		return p.refuse(different)
	case len(missing) == 0:
		p.remark("nothing to do: the files are there and current")
		return nil
	}
	if err := create(ctx, dir, missing); err != nil {
		return err
	}
	for _, f := range missing {
		if _, err := fmt.Fprintln(p.Out, f.name); err != nil {
			return err
		}
	}
	p.remark("%d of %d files written", len(missing), len(files))
	return nil
}

// sayStanding says which files are missing or different.
func (p *program) sayStanding(files, missing []kitFile, different []differing) error {
	var b strings.Builder
	for _, f := range missing {
		fmt.Fprintf(&b, "%s: missing\n", f.name)
	}
	for _, d := range different {
		fmt.Fprintf(&b, "%s: different\n", d.name)
	}
	if _, err := io.WriteString(p.Out, b.String()); err != nil {
		return err
	}
	p.remark("%d of %d files current", len(files)-len(missing)-len(different), len(files))
	if b.Len() > 0 {
		return errFound
	}
	return nil
}

// refuse shows how files differ from what would be written in their place.
func (p *program) refuse(different []differing) error {
	for _, d := range different {
		if err := p.showDiff(diff.Diff(d.name, d.is, d.name, d.text)); err != nil {
			return err
		}
	}
	return errors.New("nothing was written: files with another text are there\nmake the changes shown by hand, or move the file away and try again")
}
