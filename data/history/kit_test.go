package history

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/changes"
)

// work is a repository made by git itself, with a work tree.
type work struct {
	t   testing.TB
	dir string
}

func newWork(t testing.TB) *work {
	t.Helper()
	w := &work{t: t, dir: t.TempDir()}
	w.git("init", "-q", "-b", "main")
	return w
}

// git runs git in the work tree, with no settings but its own.
func (w *work) git(args ...string) string {
	w.t.Helper()
	return w.gitWith(nil, args...)
}

func (w *work) gitWith(in []byte, args ...string) string {
	w.t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir, cmd.Stdin = w.dir, bytes.NewReader(in)
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1", "GIT_EDITOR=true",
		"GIT_AUTHOR_NAME=A keeper", "GIT_AUTHOR_EMAIL=keeper@fourmarks.example",
		"GIT_COMMITTER_NAME=A keeper", "GIT_COMMITTER_EMAIL=keeper@fourmarks.example")
	out, err := cmd.CombinedOutput()
	require.NoError(w.t, err, "git %s: %s", strings.Join(args, " "), out)
	return strings.TrimSuffix(string(out), "\n")
}

func (w *work) write(name, text string) {
	w.t.Helper()
	file := filepath.Join(w.dir, filepath.FromSlash(name))
	require.NoError(w.t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(w.t, os.WriteFile(file, []byte(text), 0o644))
}

// commit stores everything under a message and returns the commit.
func (w *work) commit(message string) string {
	w.t.Helper()
	w.git("add", "-A")
	w.git("commit", "-q", "--allow-empty", "-m", message)
	return w.git("rev-parse", "HEAD")
}

// file is where the engine of most tests stands.
const file = "data/engines/marlowe/four.yaml"

// set writes the engine with the figures given, as `key: value`, and commits it
// under the name of the first.
func (w *work) set(lifts ...string) string {
	w.t.Helper()
	w.write(file, engine("marlowe/four", lifts...))
	return w.commit(lifts[0])
}

func engine(id string, lifts ...string) string {
	return "engine: " + id + "\nlifts:\n  from: book\n  " + strings.Join(lifts, "\n  ") + "\n"
}

func (w *work) history(id string) *History {
	w.t.Helper()
	h, err := historyIn(filepath.Join(w.dir, "data"), id)
	require.NoError(w.t, err)
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
