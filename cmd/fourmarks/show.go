package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/store"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

// shown is what one call of show shows: an engine, or one variant, with the
// figures asked for.
type shown struct {
	match   store.Match
	engine  *schema.Engine
	lookup  schema.Register
	words   []schema.Remark
	figures []*schema.Figure
	derived []derived
	system  figure.System
	// whole is set when every figure was asked for.
	whole bool
}

func (p *program) show() *cobra.Command {
	var path, variant, units string
	var asJSON bool
	c := &cobra.Command{
		Use:   "show ENGINE [FIGURE]",
		Short: "Show an engine's figures with their sources and standing",
		Long: `show prints the figures of an engine: each as its source prints it, how far it
is established, and the source. Where sources disagree every claim is shown,
those set aside with the reason. A figure that nobody prints but that follows
from others is shown as the interval they leave it, with the relation.

ENGINE is an id, or words that only one engine fits. FIGURE is a figure, a
section, or a part of either: events, events.checking, inlet_opens.`,
		Example: `  All of it:

    fourmarks show penhallow/light-six

  One figure of a later series, in millimetres:

    fourmarks show penhallow/light-six clearances --variant series-2 --units metric`,
		Args: cobra.RangeArgs(1, 2),
		RunE: func(c *cobra.Command, args []string) error {
			system, ok := figure.SystemNamed(units)
			if !ok {
				return fmt.Errorf("%q is no choice of units; one of: %s", units, strings.Join(figure.Systems(), ", "))
			}
			s, err := p.load(c, path, args[0], variant)
			if err != nil {
				return err
			}
			s.system = system
			if len(args) == 2 {
				if err := s.only(args[1]); err != nil {
					return err
				}
			}
			if asJSON {
				return report.WriteJSON(p.Out, s.forPrograms())
			}
			_, err = io.WriteString(p.Out, p.figuresPage(s))
			return err
		},
	}
	c.Flags().StringVar(&variant, "variant", "", "`name` of the variant; without it, the base")
	c.Flags().StringVar(&units, "units", "as-printed", "`units` beside the print: "+strings.Join(figure.Systems(), ", "))
	c.Flags().BoolVar(&asJSON, "json", false, "write the figures as JSON, for programs")
	datasetFlag(c, &path)
	return c
}

// load reads the engine that the words identify, and everything shown of it.
func (p *program) load(c *cobra.Command, path, words, variant string) (*shown, error) {
	inputs, err := p.openDataset(path)
	if err != nil {
		return nil, err
	}
	watched, end := p.watched(inputs)
	catalogue, err := store.ReadCatalogue(c.Context(), watched)
	end()
	if err != nil {
		return nil, err
	}
	match, err := catalogue.One(words)
	if err != nil {
		return nil, listed(err)
	}
	if match.Because != "" {
		p.remark("%s; this is %s", match.Because, match.ID)
	}
	e, problems, err := store.ReadEngine(inputs, match.File)
	if err != nil {
		return nil, err
	}
	if len(problems) > 0 {
		p.remark("%s departs from the format in %d places, so some figures may be missing; fourmarks lint says where", match.File, len(problems))
	}
	lookup := store.Register(inputs, e)
	if variant != "" {
		if e, err = variantOf(e, variant); err != nil {
			return nil, err
		}
	}
	return &shown{match: match, engine: e, lookup: lookup, words: e.Words(), figures: e.Figures(), derived: derive(e), whole: true}, nil
}

// listed adds to an error which engines the words could mean.
func listed(err error) error {
	var notOne *store.NotOne
	if !errors.As(err, &notOne) || len(notOne.Candidates) == 0 {
		return err
	}
	const most = 8
	lines := []string{err.Error() + ":"}
	for i, m := range notOne.Candidates {
		if i == most {
			lines = append(lines, fmt.Sprintf("and %d more", len(notOne.Candidates)-most))
			break
		}
		lines = append(lines, m.ID+"  "+m.Title)
	}
	return errors.New(strings.Join(lines, "\n"))
}

func variantOf(e *schema.Engine, name string) (*schema.Engine, error) {
	v, ok := e.Variants.Get(name)
	if ok {
		return v.Engine, nil
	}
	var names []string
	for _, v := range e.Variants {
		names = append(names, v.Name)
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("%s has no variants", e.ID.Text)
	}
	return nil, fmt.Errorf("%s has no variant %q; it has: %s", e.ID.Text, name, strings.Join(names, ", "))
}

// derived is a quantity that nobody prints, as the figures leave it.
type derived struct {
	Path string     `json:"path"`
	Low  float64    `json:"low"`
	High float64    `json:"high"`
	Unit string     `json:"unit"`
	By   derivation `json:"by"`
}

// derivation says which relation a value follows from.
type derivation struct {
	Rule    string `json:"rule"`
	Formula string `json:"formula"`
}

// derive lists the quantities that the figures of an engine leave to be
// computed. What has a print of another kind (a position as piston travel) is
// not among them.
func derive(e *schema.Engine) []derived {
	var all []derived
	for _, d := range rules.Network(e).Derive() {
		if e.Figure(d.Variable.Path) != nil {
			continue
		}
		is := d.Variable.Scale.Shown(d.Value)
		all = append(all, derived{Path: d.Variable.Path, Low: is.Lo, High: is.Hi, Unit: d.Variable.Scale.Symbol(),
			By: derivation{Rule: d.By.Rule, Formula: d.By.Formula()}})
	}
	return all
}

// only keeps the figures that a path, a part of one, or a name leads to.
func (s *shown) only(wanted string) error {
	key := strings.ReplaceAll(strings.TrimSpace(wanted), " ", "_")
	fits := func(path string) bool {
		return path == key || strings.HasPrefix(path, key+".") || strings.HasSuffix(path, "."+key) || strings.Contains(path, "."+key+".")
	}
	var known []string
	for _, f := range s.figures {
		known = append(known, f.Path, f.Key)
	}
	for _, d := range s.derived {
		known = append(known, d.Path)
	}
	s.figures = slices.DeleteFunc(slices.Clone(s.figures), func(f *schema.Figure) bool { return !fits(f.Path) })
	s.derived = slices.DeleteFunc(s.derived, func(d derived) bool { return !fits(d.Path) })
	s.words = slices.DeleteFunc(s.words, func(w schema.Remark) bool { return !w.Source && !fits(w.Path) && !s.hasFigureIn(section(w.Path)) })
	s.whole = false
	if len(s.sections()) > 0 {
		return nil
	}
	slices.Sort(known)
	if near := schema.Nearest(key, slices.Compact(known), 3); len(near) > 0 {
		return fmt.Errorf("%s has no figure %q; near to it: %s", s.engine.Name(), wanted, strings.Join(near, ", "))
	}
	return fmt.Errorf("%s has no figure %q\nfourmarks show %s lists those it has", s.engine.Name(), wanted, s.engine.ID.Text)
}

func (s *shown) hasFigureIn(where string) bool {
	return slices.ContainsFunc(s.figures, func(f *schema.Figure) bool { return section(f.Path) == where })
}

// section is a path without its last part.
func section(path string) string { return path[:max(strings.LastIndexByte(path, '.'), 0)] }

// cited returns the sources of the figures shown, by id, in the order met.
func (s *shown) cited() []string {
	var ids []string
	for _, f := range s.figures {
		for _, c := range f.Claims {
			if c.From.Given() && !slices.Contains(ids, c.From.Source) {
				ids = append(ids, c.From.Source)
			}
		}
	}
	return ids
}
