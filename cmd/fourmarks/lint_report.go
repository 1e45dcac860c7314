package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fourmarks.example/lint"
	"fourmarks.example/lint/report"
)

// reportForm is a form of report for programs.
type reportForm struct {
	flag, usage string
	write       func(*linted) error
}

func reportForms() []reportForm {
	return []reportForm{
		{"json", "write the findings as JSON, for programs", func(l *linted) error { return report.JSON(l.program.Out, l.result) }},
		{"sarif", "write the findings as SARIF 2.1.0, for code hosts", func(l *linted) error {
			return report.SARIF(l.program.Out, l.result, l.book, sourceOf(l.inputs))
		}},
		{"junit", "write the findings as JUnit XML, for build servers", func(l *linted) error {
			var names []string
			for _, in := range checked(l.inputs) {
				names = append(names, in.Name)
			}
			return report.JUnit(l.program.Out, l.result, names)
		}},
		{"ci", "write the findings as annotations of a pull request's lines", func(l *linted) error { return report.CI(l.program.Out, l.result) }},
		{"oneline", "write each finding on one line, for editors", func(l *linted) error { return report.OneLine(l.program.Out, l.result) }},
	}
}

// reportFlags adds a flag for each form of report. The one returned is that
// chosen on the command line, for people when there is none.
func reportFlags(c *cobra.Command) (chosen func() (func(*linted) error, error)) {
	forms := reportForms()
	on := make([]bool, len(forms))
	for i, form := range forms {
		c.Flags().BoolVar(&on[i], form.flag, false, form.usage)
	}
	return func() (func(*linted) error, error) {
		write := (*linted).text
		var asked []string
		for i, form := range forms {
			if on[i] {
				write = form.write
				asked = append(asked, "--"+form.flag)
			}
		}
		if len(asked) > 1 {
			return nil, fmt.Errorf("%s are forms of one report; choose one", strings.Join(asked, " and "))
		}
		return write, nil
	}
}

// text reports for people.
func (l *linted) text() error {
	p := l.program
	o := report.Options{Source: sourceOf(l.inputs), Width: p.width(), Colour: p.colour(), Accepted: l.accepted}
	if isTerminal(p.Out) { // elsewhere the same files give the same bytes
		o.Elapsed = l.took
	}
	return report.Text(p.Out, l.result, o)
}

// sourceOf returns how a report reads the files that it quotes.
func sourceOf(inputs []lint.Input) func(string) ([]byte, error) {
	byName := make(map[string]lint.Input, len(inputs))
	for _, in := range inputs {
		byName[in.Name] = in
	}
	return func(name string) ([]byte, error) {
		in, ok := byName[name]
		if !ok {
			return nil, fmt.Errorf("%s is not among the files", name)
		}
		return in.Read()
	}
}
