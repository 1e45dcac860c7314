package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/data/store"
	"fourmarks.example/lint/report"
)

func (p *program) find() *cobra.Command {
	var q store.Query
	var path string
	var asJSON bool
	c := &cobra.Command{
		Use:   "find [WORDS…]",
		Short: "Find which engine it is, by words, year and number",
		Long: `find lists the engines whose name, id, other names or looks hold all the words,
the best fit first. A year or an engine number narrows the list and says which
series it is. An id that is no longer used leads to what took its place.`,
		Example: `  You know the name and read a number off the crankcase:

    fourmarks find light six --number LS2207

  You know the maker and the year:

    fourmarks find tarrowby --year 1928`,
		RunE: func(c *cobra.Command, args []string) error {
			q.Words = strings.Join(args, " ")
			if q == (store.Query{}) {
				return errors.New("say what you know of the engine: words of its name, --year or --number")
			}
			catalogue, err := p.catalogue(c, path)
			if err != nil {
				return err
			}
			found := catalogue.Find(q)
			if len(found) == 0 {
				return errors.New(advice(q, len(catalogue.Entries)))
			}
			if asJSON {
				return report.WriteJSON(p.Out, map[string]any{"engines": found})
			}
			return p.matches(found)
		},
	}
	c.Flags().IntVar(&q.Year, "year", 0, "a `year` in which the engine was made")
	c.Flags().StringVar(&q.Number, "number", "", "the `number` stamped on the engine")
	c.Flags().BoolVar(&asJSON, "json", false, "write the engines as JSON, for programs")
	datasetFlag(c, &path)
	return c
}

// catalogue reads which engines a dataset holds.
func (p *program) catalogue(c *cobra.Command, path string) (*store.Catalogue, error) {
	inputs, err := p.openDataset(path)
	if err != nil {
		return nil, err
	}
	watched, end := p.watched(inputs)
	defer end()
	catalogue, err := store.ReadCatalogue(c.Context(), watched)
	if err == nil && len(catalogue.Unread) > 0 {
		p.remark("%d files name no engine and are left out; fourmarks lint says why: %s", len(catalogue.Unread), strings.Join(catalogue.Unread, ", "))
	}
	return catalogue, err
}

// advice says what to try when nothing fits.
func advice(q store.Query, engines int) string {
	tries := []string{fmt.Sprintf("none of the %d engines fits", engines)}
	if strings.ContainsRune(strings.TrimSpace(q.Words), ' ') {
		tries = append(tries, "try fewer words: every one must fit")
	}
	if q.Year != 0 || q.Number != "" {
		tries = append(tries, "try the words alone: years and numbers in books are often incomplete")
	}
	if q.Words != "" {
		tries = append(tries, "try the maker's name only, or the start of it")
	} else {
		tries = append(tries, "try a word of its name as well")
	}
	return strings.Join(tries, "\n")
}

func (p *program) matches(found []store.Match) error {
	var b strings.Builder
	for i, m := range found {
		if i > 0 {
			b.WriteString("\n")
		}
		p.match(&b, m)
	}
	_, err := io.WriteString(p.Out, b.String())
	return err
}

// match writes what tells one engine from the others.
func (p *program) match(b *strings.Builder, m store.Match) {
	fmt.Fprintf(b, "%s  %s\n", report.Inert(m.ID), report.Inert(m.Title))
	p.indented(b, 2, described(m.Made, m.Numbers))
	if m.AlsoCalled != "" {
		p.indented(b, 2, "also called "+m.AlsoCalled)
	}
	if m.Because != "" {
		p.indented(b, 2, m.Because)
	}
	for _, s := range m.Variants {
		line := "variant " + s.Name
		if s.Name == m.Variant {
			line = "this one: " + line
		}
		for _, more := range []string{s.Title, described(s.Made, s.Numbers)} {
			if more != "" {
				line += ", " + more
			}
		}
		p.indented(b, 2, line)
	}
}

// described says in words when an engine was made and how it is numbered.
func described(made string, n store.Numbers) string {
	var parts []string
	if made != "" {
		parts = append(parts, "made "+made)
	}
	switch {
	case n.From != "" && n.To != "":
		parts = append(parts, "numbers "+n.From+" to "+n.To)
	case n.From != "":
		parts = append(parts, "numbers from "+n.From)
	case n.To != "":
		parts = append(parts, "numbers up to "+n.To)
	}
	if n.Found != "" {
		parts = append(parts, n.Found)
	}
	return strings.Join(parts, ", ")
}

// indented writes a text from a file, wrapped; nothing for none.
func (p *program) indented(b *strings.Builder, indent int, s string) {
	if s == "" {
		return
	}
	for i, line := range report.Wrap(report.Inert(s), p.width()-indent-2) {
		fmt.Fprintf(b, "%*s%s\n", indent+2*min(i, 1), "", line)
	}
}
