package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

func (p *program) explain() *cobra.Command {
	var all bool
	c := &cobra.Command{
		Use:   "explain [RULE]",
		Short: "Show the page of a rule",
		Long: `explain shows the page of a rule: what it checks, why a mistake matters at the
bench, the formula and where it is from, a wrong and a right example, and when
a finding may be kept. Without a rule it lists them all; a family (events) lists
its own.`,
		Example: `  A finding ends with the name of its rule:

    fourmarks explain events/inlet-duration

  Read the whole rule book:

    fourmarks explain --all | less`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			book, err := explained()
			switch {
			case err != nil:
				return err
			case all:
				return p.pages(book)
			case len(args) == 0:
				return p.ruleList(book)
			}
			return p.page(book, args[0])
		},
	}
	c.Flags().BoolVar(&all, "all", false, "show the page of every rule")
	return c
}

// explained is the rule book with the rule that only runs when asked for.
func explained() ([]*lint.Rule, error) {
	required, err := rules.Require(rules.Requirable()[0])
	if err != nil {
		return nil, err
	}
	return append(rules.All(), required), nil
}

func (p *program) pages(book []*lint.Rule) error {
	for i, r := range book {
		if i > 0 {
			if _, err := fmt.Fprintf(p.Out, "\n%s\n\n", strings.Repeat("-", min(p.width(), 80))); err != nil {
				return err
			}
		}
		if err := report.Page(p.Out, r, p.width()); err != nil {
			return err
		}
	}
	return nil
}

func (p *program) page(book []*lint.Rule, name string) error {
	var names []string
	var family []*lint.Rule
	for _, r := range book {
		if r.Name == name {
			return report.Page(p.Out, r, p.width())
		}
		if r.Family() == name {
			family = append(family, r)
		}
		names = append(names, r.Name)
	}
	if len(family) > 0 {
		return p.ruleList(family)
	}
	near := schema.Nearest(name, names, 3)
	if len(near) == 0 {
		return fmt.Errorf("there is no rule %q\nfourmarks explain lists them all", name)
	}
	return fmt.Errorf("there is no rule %q; near to it: %s", name, strings.Join(near, ", "))
}

// ruleList writes one line for each rule.
func (p *program) ruleList(book []*lint.Rule) error {
	widest := 0
	for _, r := range book {
		widest = max(widest, len(r.Name))
	}
	var b strings.Builder
	for i, r := range book {
		if i > 0 && r.Family() != book[i-1].Family() {
			b.WriteString("\n")
		}
		head := fmt.Sprintf("%-*s  %-7s  ", widest, r.Name, r.Level)
		b.WriteString(head + report.Cut(r.Title, max(p.width()-len(head), 20), "…") + "\n")
	}
	_, err := io.WriteString(p.Out, b.String())
	return err
}
