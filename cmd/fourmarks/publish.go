package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"fourmarks.example/data/history"
	"fourmarks.example/data/publish"
	"fourmarks.example/data/publish/pages"
	"fourmarks.example/data/release"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/lint/run"
)

func (p *program) publish() *cobra.Command {
	var o publish.Options
	var path, since, linter string
	var asJSON, withHistory, noPages bool
	c := &cobra.Command{
		Use:   "publish DIR",
		Short: "Write the dataset for other programs, and as web pages",
		Long: `publish writes a release of the dataset in a folder: one JSON file an engine, an
index to find engines by, JSON Lines, a SQLite database, Parquet, CSV with a
description of each column, the sources as CSL JSON and BibTeX, and the SHA-256
of every file. Each figure has one best value, in the unit of the print and in
the working unit; what is disputed or set aside stands apart. README.md in the
folder says what is where.

index.html begins the web pages: they find engines, show them, compare two and
print setting sheets, from a folder or from any static host, and need no server.
With --linter they have a page by which figures are contributed, checked in the
reader's own browser; the script comes from the project's source, by
go run ./cmd/pagelint linter.js. With --history each page tells who set which
figure when, from the commits of the git repository that the dataset lies in.

The folder is written beside DIR and takes its place when it is complete. DIR
may hold an earlier release, and nothing else. The same dataset gives the same
bytes.

A dataset with errors is not published, unless with --despite-errors; each of
its engines then says how many it has. --require leaves out the figures of too
weak a standing, and says how many. --since names an earlier release, a folder,
or a git revision, and adds the list of figures that changed.`,
		Example: `  The whole dataset:

    fourmarks publish release

  The next release, with what changed since the last:

    fourmarks publish next --name 2027.1 --since release

  With a page by which to contribute:

    fourmarks publish release --linter linter.js

  Only figures that two independent sources agree on:

    fourmarks publish checked --require confirmed`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) (err error) {
			if o.Inputs, err = p.openDataset(path); err != nil {
				return err
			}
			if o.Earlier, err = earlier(since, path); err != nil {
				return err
			}
			pagesOf, err := webPages(o.Name, linter)
			if err != nil {
				return err
			}
			if withHistory {
				known, err := history.Open(cmp.Or(path, ownFolder))
				if err != nil {
					return err
				}
				defer known.Close()
				pagesOf.History = histories(c.Context(), known)
			}
			if !noPages {
				o.Forms = []publish.NewForm{pages.New(pagesOf)}
			}
			watched, end := p.watchedTimes(2, o.Inputs) // by the linter, then to be published
			o.Inputs = watched
			is, err := publish.Write(c.Context(), args[0], o)
			end()
			var found *publish.ErrorsFound
			if errors.As(err, &found) {
				return notPublished(found)
			}
			if err != nil {
				return err
			}
			if asJSON {
				return report.WriteJSON(p.Out, is)
			}
			return p.published(args[0], is)
		},
	}
	c.Flags().StringVar(&o.Name, "name", "", "`name` of the release, such as its version")
	c.Flags().StringVar(&o.Require, "require", "", "least `standing` of the figures published: "+strings.Join(rules.Requirable(), ", "))
	c.Flags().StringVar(&since, "since", "", "list the figures that changed since an earlier `release` in a folder, or a git revision")
	c.Flags().StringVar(&linter, "linter", "", "`script` with the linter for web pages, as cmd/pagelint writes it")
	c.Flags().BoolVar(&noPages, "no-pages", false, "leave the web pages out")
	c.Flags().BoolVar(&withHistory, "history", false, "tell on the web pages who set each figure and when")
	c.Flags().BoolVar(&o.DespiteErrors, "despite-errors", false, "publish a dataset in which the linter finds errors")
	c.Flags().BoolVar(&asJSON, "json", false, "write what was published as JSON, for programs")
	c.MarkFlagsMutuallyExclusive("no-pages", "linter")
	c.MarkFlagsMutuallyExclusive("no-pages", "history")
	datasetFlag(c, &path)
	return c
}

// webPages are the web pages of a release, with the linter in a script if one is
// named.
func webPages(name, linter string) (pages.Options, error) {
	o := pages.Options{Release: name}
	if linter != "" {
		b, err := os.ReadFile(linter)
		if err != nil {
			return o, err
		}
		if !pages.IsLinter(b) {
			return o, fmt.Errorf("%s is not the linter for web pages; go run ./cmd/pagelint %s in the project's source writes it", linter, linter)
		}
		o.Linter = b
	}
	return o, nil
}

// histories tells the histories of engines one at a time; of one that was never
// committed there is none.
func histories(ctx context.Context, d *history.Dataset) func(id string) (*history.History, error) {
	var one sync.Mutex
	return func(id string) (*history.History, error) {
		one.Lock()
		defer one.Unlock()
		h, err := d.Of(ctx, id, "")
		var unknown *history.UnknownEngine
		if errors.As(err, &unknown) {
			return nil, nil
		}
		return h, err
	}
}

// earlier is what the flag --since names; nil for nothing.
func earlier(since, path string) (publish.Earlier, error) {
	if since == "" {
		return nil, nil
	}
	if info, err := os.Stat(since); err == nil && info.IsDir() {
		d, err := release.OpenFolder(since)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", since, err)
		}
		return publish.EarlierRelease(d), nil
	}
	if path == "" {
		path = ownFolder
	}
	inputs, err := store.OpenRevision(path, since)
	if err != nil {
		return nil, fmt.Errorf("%s is neither the folder of a release nor a revision: %w", since, err)
	}
	return publish.EarlierDataset(since, inputs), nil
}

// mostErrors is how many findings are shown of a dataset that is not published.
const mostErrors = 10

func notPublished(e *publish.ErrorsFound) error {
	faults := slices.DeleteFunc(slices.Clone(e.Result.Findings), func(f *lint.Finding) bool { return f.Level != lint.Error })
	var b bytes.Buffer
	if err := report.OneLine(&b, run.Result{Findings: faults[:min(mostErrors, len(faults))]}); err != nil {
		return err
	}
	lines := []string{e.Error() + "; so it is not published", strings.TrimSpace(b.String())}
	if more := len(faults) - mostErrors; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more; fourmarks lint shows them all", more))
	}
	return errors.New(strings.Join(append(lines, "mend them, accept them with a reason, or publish with --despite-errors"), "\n"))
}

// published says what the release holds and what it leaves out.
func (p *program) published(dir string, is *release.Release) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: engines %d, variants %d, sources %d\n", report.Inert(filepath.ToSlash(dir)), is.Engines, is.Variants, is.Sources)
	fmt.Fprintf(&b, "figures: %s\n", standings(is.Standings))
	if is.Required != "" {
		fmt.Fprintf(&b, "left out, weaker than %s: %s\n", is.Required, standings(is.LeftOut))
	}
	for _, w := range is.Withheld {
		fmt.Fprintf(&b, "withheld: %s: %s\n", report.Inert(w.Engine), report.Inert(w.Because))
	}
	if is.Errors > 0 {
		fmt.Fprintf(&b, "published despite errors: %d\n", is.Errors)
	}
	_, err := p.Out.Write([]byte(b.String()))
	return err
}

// standings counts figures by standing, in words.
func standings(s release.Standings) string {
	var parts []string
	for _, standing := range slices.Sorted(maps.Keys(s)) {
		parts = append(parts, fmt.Sprintf("%d %s", s[standing], standing))
	}
	if parts == nil {
		return "none"
	}
	return strings.Join(parts, ", ")
}
