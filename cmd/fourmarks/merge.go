package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/branch"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
)

func (p *program) merge() *cobra.Command {
	var o mergeOptions
	var asDriver, audit bool
	c := &cobra.Command{
		Use:   "merge REV|FILE…",
		Short: "Merge branches and contributions figure by figure, each with its source",
		Long: `merge brings what a branch says into the branch that is checked out, or into
another one with --into. Engine and source files are merged by what they say: a
claim goes with its source, two claims of one figure from two sources both stand,
and an engine is followed when its file or id changes. All other files are merged
by their lines.

Everything is merged in memory first. Where two changes cannot both stand, nothing
is changed, and what is in conflict is shown; --leave-conflicts lays it out in the
work tree instead, to be settled, added and committed, or undone with
git merge --abort. Otherwise a merge commit is made, whose message names in
trailers who contributed, which figures changed and from which source, and git
moves the branch: changes that you have not committed stay, or stop it where they
are in the way.

A FILE (.yaml, .yml or .json) is a contribution, or the whole file of an engine
from somebody who has no branch: its claims are added to the dataset, none is
changed, and they are committed in the same way.

What brings a claim without a source, or from a source of which there is no
record, is refused with the lines that lack it, and so is a contribution that does
not note where its figures were read.

--driver is how git calls this program for one file: see fourmarks setup git.
--audit looks into a merge commit that was made without it and names figures that
were lost, passed over, mixed up or brought back.

The exit code is 0 when everything was merged, 1 when there are conflicts or an
audit finds something, and 2 when it could not be done.`,
		Example: `  See what a branch would bring, and bring it:

    fourmarks merge contributions/light-six --dry-run
    fourmarks merge contributions/light-six

  Add what somebody sent in by mail:

    fourmarks merge mail/light-six.yaml

  Write a report for a pull request:

    fourmarks merge contributions/light-six --dry-run --report report.md

  Look into the last merge that git made by itself:

    fourmarks merge --audit`,
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case asDriver:
				return p.mergeDriver(args)
			case audit:
				return p.mergeAudit(c.Context(), args, o.asJSON)
			case len(args) == 0:
				return errors.New("name the branches, commits or files to merge; fourmarks merge --help shows how")
			}
			return p.mergeAll(c.Context(), args, o)
		},
	}
	c.Flags().StringVar(&o.data, "data", ownFolder, "`folder` of the dataset that a FILE is added to")
	c.Flags().StringVar(&o.into, "into", "", "`branch` to merge into (default: the one checked out)")
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "show what the merge comes to, and change nothing")
	c.Flags().BoolVar(&o.leave, "leave-conflicts", false, "lay conflicts out in the work tree")
	c.Flags().StringVar(&o.report, "report", "", "write a report in Markdown to this `file`")
	c.Flags().BoolVar(&o.asJSON, "json", false, "write the outcome as JSON, for programs")
	c.Flags().BoolVar(&asDriver, "driver", false, "merge one file for git: %O %A %B %P %L")
	c.Flags().BoolVar(&audit, "audit", false, "look into a merge commit (default: HEAD)")
	c.MarkFlagsMutuallyExclusive("dry-run", "leave-conflicts")
	c.MarkFlagsMutuallyExclusive("driver", "audit", "dry-run")
	c.MarkFlagsMutuallyExclusive("driver", "audit", "leave-conflicts")
	c.MarkFlagsMutuallyExclusive("driver", "audit", "report")
	c.MarkFlagsMutuallyExclusive("driver", "json")
	return c
}

type mergeOptions struct {
	data, into            string
	dryRun, leave, asJSON bool
	report                string
}

// mergeAll merges one revision or file after another and stops at the first that
// cannot be merged.
func (p *program) mergeAll(ctx context.Context, names []string, o mergeOptions) error {
	var all []*branch.Report
	var stopped error
	for _, name := range names {
		r, err := p.mergeOne(ctx, name, o)
		if r != nil {
			all = append(all, r)
		}
		if stopped = err; err != nil {
			break
		}
	}
	if stopped != nil && !errors.Is(stopped, errFound) {
		return stopped
	}
	return errors.Join(p.showMerges(all, o), stopped)
}

// mergeOne merges a revision or a file as the options say. It returns no report
// where there is nothing to merge.
func (p *program) mergeOne(ctx context.Context, name string, o mergeOptions) (*branch.Report, error) {
	r, err := commits.Open(o.data)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	target, err := branch.Find(r, o.into)
	if err != nil {
		return nil, err
	}
	if !o.dryRun {
		if err := target.Free(r); err != nil {
			return nil, err
		}
	}
	m, err := planned(ctx, r, target, name, o.data)
	if err != nil {
		return nil, err
	}
	if m.Done {
		p.remark("%s has everything of %s already", target.Name(), name)
		return nil, nil
	}
	if faults, err := m.Unsourced(); err != nil {
		return nil, err
	} else if len(faults) > 0 {
		return nil, fmt.Errorf("%s is not merged, for nobody could say where these figures were read:\n%s", name, strings.Join(faults, "\n"))
	}
	outcome, err := m.Report(ctx, rules.All())
	if err != nil {
		return nil, err
	}
	return outcome, p.finish(ctx, r, m, outcome, o)
}

// planned merges in memory what a name stands for: a file that is there, or a
// revision.
func planned(ctx context.Context, r *commits.Repository, t branch.Target, name, data string) (*branch.Merge, error) {
	switch filepath.Ext(name) {
	default:
		return branch.Plan(ctx, r, t, name)
	case ".yaml", ".yml", ".json":
	}
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		m, err := branch.Plan(ctx, r, t, name)
		if err != nil {
			return nil, fmt.Errorf("there is no file %s, and %w", name, err)
		}
		return m, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, plainCause(err))
	}
	root, err := r.Relative(data)
	if err != nil {
		return nil, err
	}
	return branch.Contribute(ctx, r, t, root, filepath.ToSlash(name), text)
}

// finish makes the merge, lays out its conflicts, or leaves everything as it is.
func (p *program) finish(ctx context.Context, r *commits.Repository, m *branch.Merge, outcome *branch.Report, o mergeOptions) error {
	conflicts := len(outcome.Conflicts)
	switch {
	case conflicts > 0 && o.leave:
		if err := m.Leave(ctx, outcome.Message()); err != nil {
			return err
		}
		p.remark("%s in conflict, laid out in the work tree; settle, add and commit them, or undo all with git merge --abort", files(conflicts))
		return errFound
	case conflicts > 0:
		p.remark("%s in conflict; nothing was changed", files(conflicts))
		return errFound
	case o.dryRun:
		p.remark("%s can be merged into %s; nothing was changed", m.Rev, m.Target.Name())
		return nil
	}
	h, err := m.Store(outcome.Message())
	if err != nil {
		return err
	}
	if err := branch.Publish(ctx, r, m.Target, h, "merge "+m.Rev); err != nil {
		return err
	}
	outcome.Commit = h.String()
	p.remark("merged %s into %s as %s; until it is pushed, %s undoes it", m.Rev, m.Target.Name(), commits.Short(h), m.Target.Undo())
	return nil
}

func files(n int) string {
	if n == 1 {
		return "one file is"
	}
	return fmt.Sprintf("%d files are", n)
}

// showMerges shows what was merged, and writes the report that was asked for.
func (p *program) showMerges(all []*branch.Report, o mergeOptions) error {
	if o.report != "" {
		var b strings.Builder
		for _, r := range all {
			if err := r.Markdown(&b); err != nil {
				return err
			}
		}
		if err := writeReport(o.report, b.String()); err != nil {
			return err
		}
	}
	if o.asJSON {
		if all == nil {
			all = []*branch.Report{}
		}
		return report.WriteJSON(p.Out, map[string]any{"merges": all})
	}
	for _, r := range all {
		if err := p.showMerge(r); err != nil {
			return err
		}
	}
	return nil
}

func (p *program) showMerge(r *branch.Report) error {
	var b strings.Builder
	for _, c := range r.Conflicts {
		p.indented(&b, 0, "conflict  "+c.File)
		if len(c.Figures) == 0 {
			p.indented(&b, 2, c.Why)
		}
		for _, f := range c.Figures {
			p.indented(&b, 2, strings.TrimSpace(f.Variant+" "+f.Path)+": "+f.Kind)
			for _, side := range []struct{ name, says string }{{"before", f.Base}, {"ours", f.Ours}, {"theirs", f.Theirs}} {
				if side.says == "" {
					side.says = "nothing"
				}
				p.indented(&b, 4, fmt.Sprintf("%-7s %s", side.name, side.says))
			}
		}
	}
	for _, x := range r.Rereads {
		p.indented(&b, 0, fmt.Sprintf("read again  %s: %s is %s, and %s was changed from %s to %s on the other side", x.File, x.Path, x.Printed, x.Word, x.Was, x.Is))
	}
	if _, err := io.WriteString(p.Out, b.String()); err != nil {
		return err
	}
	return changes.Text(p.Out, r.Changes, p.width())
}

// writeReport writes a file of which nothing is there before it is whole.
func writeReport(name, text string) error {
	t, err := os.CreateTemp(filepath.Dir(name), ".report-*")
	if err != nil {
		return fmt.Errorf("%s: the report cannot be written: %w", name, plainCause(err))
	}
	_, err = t.WriteString(text)
	if err = errors.Join(err, t.Chmod(0o644), t.Close()); err == nil {
		err = os.Rename(t.Name(), name)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("%s: the report cannot be written: %w", name, plainCause(err)), os.Remove(t.Name()))
	}
	return nil
}
