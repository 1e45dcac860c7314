package history

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/commits/gittest"
)

// work is a repository with a dataset in it.
type work struct{ *gittest.Work }

func newWork(t testing.TB) *work { return &work{gittest.New(t)} }

// commit stores everything under a message and returns the commit.
func (w *work) commit(message string) string {
	w.T.Helper()
	w.Git("add", "-A")
	w.Git("commit", "-q", "--allow-empty", "-m", message)
	return w.Head()
}

// file is where the engine of most tests stands.
const file = "data/engines/marlowe/four.yaml"

// set writes the engine with the figures given, as `key: value`, and commits it
// under the name of the first.
func (w *work) set(lifts ...string) string {
	w.T.Helper()
	w.Write(file, engine("marlowe/four", lifts...))
	return w.commit(lifts[0])
}

func engine(id string, lifts ...string) string {
	return "engine: " + id + "\nlifts:\n  from: book\n  " + strings.Join(lifts, "\n  ") + "\n"
}

func (w *work) history(id string) *History {
	w.T.Helper()
	h, err := historyIn(filepath.Join(w.Dir, "data"), id)
	require.NoError(w.T, err)
	return h
}

func historyIn(folder, id string) (*History, error) {
	d, err := Open(folder)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	return d.Of(context.Background(), id, "")
}

// told writes a history of the lifts, a line for each change: message, figure,
// what happened, before and after.
func told(h *History) []string {
	var all []string
	for _, s := range h.Steps {
		if s.Fate != "" {
			all = append(all, fmt.Sprintf("%s: %s %s", s.Subject(), s.Fate, s.File))
		}
		if s.MovedFrom != "" {
			all = append(all, fmt.Sprintf("%s: moved from %s to %s", s.Subject(), s.MovedFrom, s.File))
		}
		for _, f := range s.Figures {
			for _, c := range f.Claims {
				all = append(all, strings.TrimSpace(fmt.Sprintf("%s: %s %s %s %s", s.Subject(), f.Path, c.What(), say(c), f.Dispute)))
			}
		}
	}
	return all
}

func say(c changes.Change) string {
	b, a := "-", "-"
	if c.Before != nil {
		b = c.Before.Printed + " [" + c.Before.Citation() + "]"
	}
	if c.After != nil {
		a = c.After.Printed + " [" + c.After.Citation() + "]"
	}
	return b + " > " + a
}
