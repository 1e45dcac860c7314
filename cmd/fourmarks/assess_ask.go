package main

import (
	"context"
	"errors"
	"io/fs"
	"os"

	"github.com/charmbracelet/huh"

	"fourmarks.example/data/assess"
	"fourmarks.example/schema"
)

// askReadings asks for readings on a terminal and writes the answers as a file of
// readings, so that they are read like any other.
func (p *program) askReadings(ctx context.Context, e *schema.Engine, variant, keep string) (*schema.File, error) {
	if _, ok := terminalOf(p.In); !ok || !isTerminal(p.Err) {
		return nil, errors.New("name a file of readings, or - for standard input; without one they are asked for on a terminal, and this is none\nfourmarks assess --help shows what a file holds")
	}
	if keep != "" {
		if _, err := os.Stat(keep); !errors.Is(err, fs.ErrNotExist) {
			return nil, errors.New(keep + " is there already; name another file to keep the answers in")
		}
	}
	asked, err := assess.Questions(e, variant)
	if err != nil {
		return nil, err
	}
	answers, err := p.ask(ctx, asked, p.env("TERM") == "dumb" || p.env("ACCESSIBLE") != "")
	if err != nil {
		return nil, err
	}
	name, text := "the answers", assess.Compose(e.ID.Text, variant, asked, answers)
	if keep != "" {
		if err := writeNew(keep, text); err != nil {
			return nil, err
		}
		name = keep
		p.remark("the answers are kept in %s", keep)
	}
	return schema.ReadFile(name, text), nil
}

// writeNew writes a file that is not there yet.
func writeNew(name string, text []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	return errors.Join(err, f.Close())
}

// ask puts questions, as a form, or one line after the other for those who hear
// the screen. An answer that cannot be read is asked for again at once.
func (p *program) ask(ctx context.Context, asked []assess.Question, byLine bool) (map[string]string, error) {
	given := make([]string, len(asked))
	groups := make([]*huh.Group, len(asked))
	for i, q := range asked {
		groups[i] = huh.NewGroup(field(q, &given[i]))
	}
	err := huh.NewForm(groups...).WithInput(p.In).WithOutput(p.Err).WithAccessible(byLine).WithShowHelp(true).RunWithContext(ctx)
	if errors.Is(err, huh.ErrUserAborted) {
		return nil, context.Canceled
	}
	answers := map[string]string{}
	for i, q := range asked {
		answers[q.Key] = given[i]
	}
	return answers, err
}

func field(q assess.Question, into *string) huh.Field {
	if len(q.Choices) > 0 {
		return huh.NewSelect[string]().Title(q.Title).Description(q.Help).Options(huh.NewOptions(q.Choices...)...).Value(into)
	}
	return huh.NewInput().Title(q.Title).Description(q.Help + " Enter alone skips it.").Validate(q.Check).Value(into)
}
