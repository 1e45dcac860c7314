package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/history"
	"fourmarks.example/data/store"
	"fourmarks.example/lint/report"
)

func (p *program) history() *cobra.Command {
	var path, variant string
	var asJSON bool
	c := &cobra.Command{
		Use:   "history ENGINE [FIGURE]",
		Short: "Tell who set each figure, when, and on which source",
		Long: `history tells, from the commits of the git repository that the dataset lies in,
who set each figure of an engine, changed it, set a claim aside or took it out:
commit, author, date, message, and the print with its source. The oldest comes
first. No git program is needed.

An engine is followed through the names of its file and through the ids that
the record of moved ids gives it. Where branches were merged, a figure counts as
set only if it is then as in none of them.

ENGINE is an id, one that is no longer used among them, or words that only one
engine fits. FIGURE is a figure, a section, or a part of either.`,
		Example: `  Who says that the inlet closes there, and since when:

    fourmarks history penhallow/light-six inlet_closes

  All that was ever said of a later series:

    fourmarks history penhallow/light-six --variant series-2`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(c *cobra.Command, args []string) error {
			h, err := p.told(c, path, args[0])
			if err != nil {
				return err
			}
			if len(args) == 2 || variant != "" {
				if err := h.Only(strings.Join(args[1:], ""), variant); err != nil {
					return err
				}
			}
			if asJSON {
				return report.WriteJSON(p.Out, h)
			}
			return p.steps(h)
		},
	}
	c.Flags().StringVar(&variant, "variant", "", "`name` of the variant; without it, the base and all variants")
	c.Flags().BoolVar(&asJSON, "json", false, "write the history as JSON, for programs")
	c.Flags().StringVar(&path, "data", ownFolder, "`folder` of the dataset")
	return c
}

// told reads the history of the engine that the words identify. An id is looked
// for in the history itself, where those are too that are used no longer; for
// other words the whole dataset has to be read.
func (p *program) told(c *cobra.Command, folder, words string) (*history.History, error) {
	d, err := history.Open(folder)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	var unknown *history.UnknownEngine
	if id := strings.TrimSpace(words); strings.Contains(id, "/") {
		if h, err := d.Of(c.Context(), id, ""); !errors.As(err, &unknown) {
			return h, err
		}
	}
	inputs, err := store.Open(folder)
	if err != nil {
		return nil, err
	}
	catalogue, err := store.ReadCatalogue(c.Context(), inputs)
	if err != nil {
		return nil, err
	}
	match, err := catalogue.One(words)
	if err != nil {
		return nil, listed(err)
	}
	file, err := filepath.Rel(folder, filepath.FromSlash(match.File))
	if err != nil {
		return nil, err
	}
	h, err := d.Of(c.Context(), match.ID, filepath.ToSlash(file))
	if errors.As(err, &unknown) {
		return nil, fmt.Errorf("%s was never committed, so it has no history yet", match.File)
	}
	return h, err
}

// steps writes a history for people.
func (p *program) steps(h *history.History) error {
	var b strings.Builder
	name := strings.TrimSuffix(h.Engine+", once "+strings.Join(h.Was, ", "), ", once ")
	p.indented(&b, 0, strings.TrimSuffix(name+", now "+strings.Join(h.Now, ", "), ", now "))
	for _, s := range h.Steps {
		b.WriteString("\n")
		p.indented(&b, 0, fmt.Sprintf("%s, %s, %.10s", s.When.Format("2006-01-02"), s.Author, s.Commit))
		p.indented(&b, 2, s.Subject())
		for _, remark := range remarksOf(s) {
			p.indented(&b, 2, remark)
		}
		if err := changes.FiguresText(&b, s.Figures, s.Words, p.width()); err != nil {
			return err
		}
	}
	_, err := io.WriteString(p.Out, b.String())
	return err
}

// remarksOf says what a step is besides the figures that it sets.
func remarksOf(s history.Step) []string {
	var all []string
	if len(s.Contributors) > 0 {
		all = append(all, "contributed by "+strings.Join(s.Contributors, ", "))
	}
	if s.Merge {
		all = append(all, "joins branches; what is listed is as on none of them")
	}
	switch {
	case s.CutOff:
		all = append(all, "truncated here: the clone is shallow (git fetch --unshallow brings the rest); this stood already:")
	case s.MovedFrom != "":
		all = append(all, "moved from "+s.MovedFrom+" to "+s.File)
	case s.Fate == changes.New:
		all = append(all, "new: "+s.File)
	case s.Fate == changes.Gone:
		all = append(all, "removed: "+s.File)
	}
	if s.Unread != "" {
		all = append(all, "the file cannot be read in full: "+s.Unread)
	}
	return all
}
