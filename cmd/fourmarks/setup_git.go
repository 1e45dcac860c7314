package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/branch"
)

func (p *program) setupGit() *cobra.Command {
	var write, check bool
	var folder string
	c := &cobra.Command{
		Use:   "git [DIR]",
		Short: "Have git merge engine files by their figures",
		Long: `setup git shows what makes git itself merge the files of a dataset by their
figures, in git merge as in rebase, cherry-pick and revert:

  .gitattributes   is committed and names the driver for the files
  two settings     say what the driver is; git takes no programs from a
                   repository that was fetched, so each clone is given them

git calls a driver only for a file that both sides changed, not for one that was
removed on one side or moved and changed much; fourmarks merge knows these cases,
and fourmarks merge --audit looks into a merge that git made.

With --write both are added to the repository of DIR, or here; lines that are
there stay. With --check the exit code is 1 where git would not call the driver,
with the reason.`,
		Example: `  Set a clone up, and see whether it is:

    fourmarks setup git --write
    fourmarks setup git --check`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := gitSetup(folder)
			switch {
			case err != nil:
				return err
			case !write && !check && len(args) > 0:
				return errors.New("a folder goes with --write or --check; without them the lines are only shown")
			case !write && !check:
				return p.showGitSetup(s)
			}
			dir := "."
			if len(args) > 0 {
				dir = args[0]
			}
			return p.setupGitIn(c.Context(), dir, s, write)
		},
	}
	c.Flags().BoolVar(&write, "write", false, "add the lines and settings")
	c.Flags().BoolVar(&check, "check", false, "say whether git calls the driver")
	c.Flags().StringVar(&folder, "data", ownFolder, "`folder` of the dataset in the repository; . for the top")
	c.MarkFlagsMutuallyExclusive("write", "check")
	return c
}

func gitSetup(folder string) (branch.Setup, error) {
	if !plainFolder.MatchString(folder) || strings.HasPrefix(path.Clean(folder), "..") {
		return branch.Setup{}, badFolder(folder)
	}
	return branch.Setup{Data: path.Clean(folder)}, nil
}

func (p *program) showGitSetup(s branch.Setup) error {
	var b strings.Builder
	fmt.Fprintf(&b, "==> .gitattributes\n%s\n\n==> settings\n", strings.Join(s.Attributes(), "\n"))
	for _, c := range s.Config() {
		fmt.Fprintf(&b, "git config %s %q\n", c[0], c[1])
	}
	_, err := io.WriteString(p.Out, b.String())
	return err
}

func (p *program) setupGitIn(ctx context.Context, dir string, s branch.Setup, write bool) error {
	r, err := commits.Open(dir)
	if err != nil {
		return err
	}
	defer r.Close()
	if write {
		did, err := s.Write(ctx, r)
		if err != nil {
			return err
		}
		if len(did) == 0 {
			p.remark("nothing to do: the lines and settings are there")
			return nil
		}
		_, err = fmt.Fprintln(p.Out, strings.Join(did, "\n"))
		p.remark("commit .gitattributes; each other clone needs fourmarks setup git --write once")
		return err
	}
	faults, err := s.Check(ctx, r)
	if err != nil {
		return err
	}
	if len(faults) == 0 {
		p.remark("git merges the files of %s by their figures", s.Data)
		return nil
	}
	if _, err := fmt.Fprintln(p.Out, strings.Join(faults, "\n")); err != nil {
		return err
	}
	p.remark("fourmarks setup git --write adds what is missing")
	return errFound
}
