package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fourmarks.example/data/intake"
	"fourmarks.example/data/merge"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

func (p *program) newEngine() *cobra.Command {
	folder := ownFolder
	c := &cobra.Command{
		Use:   "new ENGINE",
		Short: "Write down an engine by answering questions",
		Long: `new asks, one line at a time, what a source says of an engine, and writes the
answers into the engine's file as they come. ENGINE is its id, maker/model.

Figures are typed as the source prints them. Enter alone passes a question over,
- a whole section, ? explains the question, and . ends for now: the same command
goes on another day with what is still open, from the same source or another. An
answer that cannot be read is asked for again.

At the end the file is checked, as fourmarks lint does. The exit code is 0 when
nothing stands against it, 1 when something does, and 2 when it could not be done.`,
		Example: `  Start an engine, and go on with it later:

    fourmarks new marlowe/four
    fourmarks new marlowe/four`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("name one engine, as maker/model: fourmarks new marlowe/four")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			q := &questioner{program: p, ctx: c.Context(), lines: linesOf(c.Context(), p.In), folder: folder}
			if err := q.engine(args[0]); err != nil {
				return err
			}
			l := linting{program: p, book: rules.All(), report: (*linted).text}
			inputs, err := store.Open(folder)
			if err != nil {
				return err
			}
			for i := range inputs {
				inputs[i].Context = inputs[i].ID != args[0] && inputs[i].ID != q.source()
			}
			return l.lint(c.Context(), inputs)
		},
	}
	c.Flags().StringVar(&folder, "data", folder, "`folder` of the dataset")
	return c
}

// questioner asks about one engine and writes each answer down.
type questioner struct {
	*program
	ctx    context.Context
	lines  <-chan string
	folder string

	answers intake.Answers
}

// errEnded says that no more is answered.
var errEnded = errors.New("ended")

// source is the id of the source that is being read.
func (q *questioner) source() string {
	id, _, _ := strings.Cut(q.answers.From, " ")
	return id
}

func (q *questioner) engine(id string) error {
	if !intake.IsEngineID(id) {
		return fmt.Errorf("%q is no id of an engine: maker/model in small letters, digits and hyphens, such as penhallow/light-six", id)
	}
	q.answers.Engine = id
	err := q.all()
	if errors.Is(err, errEnded) {
		err = nil
	}
	if err != nil {
		return err
	}
	if _, err := os.Stat(q.file(lint.EngineFile, id)); errors.Is(err, fs.ErrNotExist) {
		return errors.New("nothing was answered, so nothing is written")
	}
	return nil
}

func (q *questioner) all() error {
	present, err := q.read(lint.EngineFile, q.answers.Engine)
	if err != nil {
		return err
	}
	e, problems := schema.DecodeEngine(schema.ReadFile(q.file(lint.EngineFile, q.answers.Engine), present))
	if present == nil {
		e = nil
	} else if len(problems) > 0 {
		line, _ := problems[0].At.Position()
		return fmt.Errorf("%s:%d: %s; mend it first", q.file(lint.EngineFile, q.answers.Engine), line, problems[0].Message)
	}
	if err := q.about(e); err != nil {
		return err
	}
	return q.figures(intake.Questions(e))
}

// about asks for what goes with every figure: who, from which source.
func (q *questioner) about(e *schema.Engine) error {
	a := &q.answers
	a.On = time.Now().Format(time.DateOnly)
	var err error
	if e == nil {
		if a.Title, err = q.must("The engine's name, as people say it", "", nil); err != nil {
			return err
		}
		made, err := q.ask("First and last year of make, such as 1926-1931", "", nil)
		if err != nil {
			return err
		}
		a.Made = strings.Trim(made, "-")
	}
	if a.By, err = q.must("Who writes this down: a name, or any word to be known by", "", nil); err != nil {
		return err
	}
	if a.From, err = q.must("The source you read from: its id, in small letters, digits and hyphens, such as handbook-1927", "", isID); err != nil {
		return err
	}
	if known, err := q.read(lint.SourceFile, a.From); err != nil {
		return err
	} else if known == nil {
		if err := q.record(); err != nil {
			return err
		}
	}
	a.Note, err = q.must("Where and how you read it, such as: my own copy, third printing", "", nil)
	return err
}

func isID(s string) error {
	if !intake.IsEngineID("x/" + s) {
		return errors.New("an id has small letters, digits and hyphens")
	}
	return nil
}

// record asks for the record of a source that the dataset does not have.
func (q *questioner) record() error {
	q.remark("the dataset has no source %s yet", q.answers.From)
	grades := intake.Grades()
	graded := func(s string) error {
		if !slices.Contains(grades, s) {
			return fmt.Errorf("one of %s%s", strings.Join(grades, ", "), schema.DidYouMean(s, grades))
		}
		return nil
	}
	for _, w := range []struct {
		key, words string
		ask        func(words, help string, check func(string) error) (string, error)
		check      func(string) error
	}{
		{"title", "Its title", q.must, nil},
		{"type", "What it is, such as book, pamphlet, manuscript, webpage", q.ask, nil},
		{"issued", "When it was issued, such as 1927", q.ask, nil},
		{"grade", "How near to the works it is: " + strings.Join(grades, ", "), q.must, graded},
		{"rights", "The rights it is under, such as facts only", q.ask, nil},
	} {
		s, err := w.ask(w.words, "", w.check)
		if err != nil {
			return err
		}
		q.answers.Source = append(q.answers.Source, [2]string{w.key, strings.Trim(s, "-")})
	}
	return nil
}

// figures asks for the figures, section by section, and writes each down.
func (q *questioner) figures(all []intake.Question) error {
	id := q.answers.From
	passed, begun := "", ""
	for _, one := range all {
		if one.Section == passed {
			continue
		}
		if one.Section != begun {
			begun = one.Section
			where, err := q.ask(fmt.Sprintf("%s: where in %s, such as p. 14", strings.ReplaceAll(one.Section, ".", ", "), id), "Figures of this section are cited with it. - passes the section over.", nil)
			if err != nil {
				return err
			}
			if where == "-" {
				passed = one.Section
				continue
			}
			q.answers.From = strings.TrimSpace(id + " " + where)
		}
		words := one.Title
		if len(one.Choices) > 0 {
			words += " (" + strings.Join(one.Choices, ", ") + ")"
		} else if one.Example != "" {
			words += ", such as " + one.Example
		}
		answer, err := q.ask("  "+words, one.Help, one.Check)
		switch {
		case err != nil:
			return err
		case answer == "-":
			passed = one.Section
		case answer != "":
			if err := q.write(one, answer); err != nil {
				return err
			}
		}
	}
	q.remark("nothing more is asked; the file can hold more: CONTRIBUTING.md says what")
	return nil
}

// ask puts one question until the answer can be read. The answer is "" when it is
// passed over, and - when its section is.
func (q *questioner) ask(words, help string, check func(string) error) (string, error) {
	for {
		if _, err := fmt.Fprintf(q.Err, "%s\n> ", words); err != nil {
			return "", err
		}
		line, err := q.next()
		if err != nil {
			return "", err
		}
		switch s := strings.TrimSpace(line); s {
		case ".":
			return "", errEnded
		case "", "-":
			return s, nil
		case "?":
			q.remark("%s", cmp.Or(help, "answer as the source has it; Enter passes it over, . ends for now"))
		default:
			if check == nil {
				return s, nil
			}
			if err := check(s); err == nil {
				return s, nil
			} else {
				q.remark("%s", err)
			}
		}
	}
}

// next waits for a line; an interrupt ends the wait.
func (q *questioner) next() (string, error) {
	select {
	case line, ok := <-q.lines:
		if !ok {
			return "", errEnded
		}
		return line, nil
	case <-q.ctx.Done():
		return "", q.ctx.Err()
	}
}

// linesOf reads lines until the input or the context ends.
func linesOf(ctx context.Context, in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(in); s.Scan(); {
			select {
			case lines <- s.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}

// must asks until there is an answer.
func (q *questioner) must(words, help string, check func(string) error) (string, error) {
	for {
		s, err := q.ask(words, help, check)
		if err != nil || s != "" && s != "-" {
			return s, err
		}
		q.remark("this cannot be passed over; . ends")
	}
}

// write adds one answer to the dataset, as a contribution is added.
func (q *questioner) write(one intake.Question, answer string) error {
	a := q.answers
	a.Give(one, answer)
	added, err := merge.Contribution(schema.ReadFile("the answer", a.Contribution()), q.read)
	if err != nil {
		return err
	}
	for _, f := range added {
		if len(f.Conflicts) > 0 {
			return fmt.Errorf("%s says something else already: %s", f.ID, one.Path)
		}
		name := q.file(f.Kind, f.ID)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		if err := store.WriteFile(q.ctx, name, f.Text); err != nil {
			return err
		}
	}
	q.answers.Title, q.answers.Made, q.answers.Source = "", "", nil // they stand in the files now
	return nil
}

func (q *questioner) file(kind lint.InputKind, id string) string {
	folder := "engines"
	if kind == lint.SourceFile {
		folder = "sources"
	}
	return filepath.Join(q.folder, folder, filepath.FromSlash(id)+".yaml")
}

// read returns a file of the dataset, nil where there is none.
func (q *questioner) read(kind lint.InputKind, id string) ([]byte, error) {
	b, err := os.ReadFile(q.file(kind, id))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return b, err
}
