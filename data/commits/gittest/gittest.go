//go:build !js

// Package gittest makes git repositories for tests, with git itself.
package gittest

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Work is a repository with a work tree.
type Work struct {
	T   testing.TB
	Dir string

	commits int
}

// New makes a repository whose branch is main.
func New(t testing.TB, options ...string) *Work {
	t.Helper()
	dir, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	w := &Work{T: t, Dir: dir}
	w.Git(append([]string{"init", "-q", "-b", "main"}, options...)...)
	w.Git("config", "user.name", "A keeper")
	w.Git("config", "user.email", "keeper@fourmarks.example")
	return w
}

// At is another work tree, or one that git made.
func (w *Work) At(dir string) *Work { return &Work{T: w.T, Dir: dir} }

// Git runs git in the work tree and returns what it wrote. It must succeed.
func (w *Work) Git(args ...string) string {
	w.T.Helper()
	return w.GitWith(nil, args...)
}

// GitWith is Git with something to read.
func (w *Work) GitWith(in []byte, args ...string) string {
	w.T.Helper()
	out, err := w.Try(in, args...)
	require.NoError(w.T, err, "git %s: %s", strings.Join(args, " "), out)
	return out
}

// Try is Git for what may fail.
func (w *Work) Try(in []byte, args ...string) (string, error) {
	cmd := exec.Command("git", args...)
	cmd.Dir, cmd.Stdin = w.Dir, bytes.NewReader(in)
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1", "GIT_EDITOR=true",
		"GIT_AUTHOR_NAME=A keeper", "GIT_AUTHOR_EMAIL=keeper@fourmarks.example",
		"GIT_COMMITTER_NAME=A keeper", "GIT_COMMITTER_EMAIL=keeper@fourmarks.example")
	out, err := cmd.CombinedOutput()
	return strings.TrimSuffix(string(out), "\n"), err
}

// Write gives a file of the work tree a text.
func (w *Work) Write(name, text string) {
	w.T.Helper()
	file := filepath.Join(w.Dir, filepath.FromSlash(name))
	require.NoError(w.T, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(w.T, os.WriteFile(file, []byte(text), 0o644))
}

// Read returns the text of a file of the work tree; "" where there is none.
func (w *Work) Read(name string) string {
	b, err := os.ReadFile(filepath.Join(w.Dir, filepath.FromSlash(name)))
	if !os.IsNotExist(err) {
		require.NoError(w.T, err)
	}
	return string(b)
}

// Remove takes a file or folder away.
func (w *Work) Remove(name string) {
	w.T.Helper()
	require.NoError(w.T, os.RemoveAll(filepath.Join(w.Dir, filepath.FromSlash(name))))
}

// Commit commits everything in the work tree and returns the commit.
func (w *Work) Commit() string {
	w.T.Helper()
	w.Git("add", "-A")
	w.commits++
	w.Git("commit", "-q", "--allow-empty", "-m", fmt.Sprint("change ", w.commits))
	return w.Head()
}

// Head is the commit that is checked out.
func (w *Work) Head() string {
	w.T.Helper()
	return w.Git("rev-parse", "HEAD")
}

// State tells all that a merge could change: what the references lead to, the
// index, the files of the work tree, and what is under way.
func (w *Work) State() string {
	w.T.Helper()
	var b strings.Builder
	b.WriteString(w.Git("for-each-ref") + "\n" + w.Head() + "\n" + w.Git("ls-files", "--stage") + "\n")
	err := filepath.WalkDir(w.Dir, func(p string, d os.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.Name() == ".git":
			if d.IsDir() {
				return filepath.SkipDir
			}
		case d.Type().IsRegular():
			text, err := os.ReadFile(p)
			fmt.Fprintf(&b, "%s %q\n", p, text)
			return err
		case d.Type()&os.ModeSymlink != 0:
			to, err := os.Readlink(p)
			fmt.Fprintf(&b, "%s -> %s\n", p, to)
			return err
		}
		return nil
	})
	require.NoError(w.T, err)
	under := w.Git("rev-parse", "--absolute-git-dir")
	for _, name := range []string{"MERGE_HEAD", "MERGE_MSG", "MERGE_MODE", "index.lock"} {
		if _, err := os.Stat(filepath.Join(under, name)); err == nil {
			fmt.Fprintln(&b, name)
		}
	}
	return b.String()
}

// Sound fails the test where git finds fault with what is stored.
func (w *Work) Sound() {
	w.T.Helper()
	said := strings.Split(w.Git("fsck", "--strict", "--no-progress"), "\n")
	said = slices.DeleteFunc(said, func(line string) bool { return line == "" || strings.HasPrefix(line, "dangling ") })
	require.Empty(w.T, said)
}
