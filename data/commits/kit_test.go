//go:build !js

package commits_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
)

// work is a repository made by git itself, with a work tree.
type work struct {
	t   testing.TB
	dir string
}

func newWork(t testing.TB, options ...string) *work {
	t.Helper()
	w := &work{t: t, dir: t.TempDir()}
	w.git(append([]string{"init", "-q", "-b", "main"}, options...)...)
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
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1",
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

// commit stores everything and returns the commit.
func (w *work) commit() string {
	w.t.Helper()
	w.git("add", "-A")
	w.git("commit", "-q", "--allow-empty", "-m", "a change")
	return w.git("rev-parse", "HEAD")
}

func (w *work) open() *commits.Repository {
	w.t.Helper()
	r, err := commits.Open(w.dir)
	require.NoError(w.t, err)
	w.t.Cleanup(func() { r.Close() })
	return r
}

// randomHistory makes a repository of n commits, each on up to three of those
// before it, with files in folders that come, change and go, and clocks that are
// now and then wrong. pick gives a number below its argument.
func randomHistory(t testing.TB, n int, pick func(int) int) (*work, []string) {
	w := newWork(t)
	var in bytes.Buffer
	for i := range n {
		seconds := 1_700_000_000 + 60*i
		if pick(5) == 0 {
			seconds -= 60 * pick(20)
		}
		fmt.Fprintf(&in, "commit refs/heads/c%d\nmark :%d\ncommitter A keeper <keeper@fourmarks.example> %d +0100\ndata 2\nc\n", i, i+1, seconds)
		if i > 0 && pick(15) > 0 {
			parents := map[int]bool{}
			for k := range 1 + pick(3) {
				p := max(0, i-1-pick(6))
				if parents[p] {
					continue
				}
				parents[p] = true
				fmt.Fprintf(&in, "%s :%d\n", []string{"from", "merge", "merge"}[min(k, len(parents)-1)], p+1)
			}
		}
		for range 1 + pick(4) {
			name := []string{"a", "a/b", "a/b/c", "a.b", "a/d.yaml", "e/f.yaml", "e/g.yaml", "e-f"}[pick(8)]
			if pick(4) == 0 {
				fmt.Fprintf(&in, "D %s\n", name)
				continue
			}
			mode := []string{"100644", "100755", "120000"}[pick(3)]
			fmt.Fprintf(&in, "M %s inline %s\ndata 1\n%d\n", mode, name, pick(3))
		}
		in.WriteByte('\n')
	}
	w.gitWith(in.Bytes(), "fast-import", "--quiet")
	hashes := make([]string, n)
	for i := range n {
		hashes[i] = w.git("rev-parse", fmt.Sprintf("refs/heads/c%d", i))
	}
	return w, hashes
}

// tryGit is git for what may fail.
func tryGit(w *work, args ...string) (string, error) {
	cmd := exec.Command("git", args...)
	cmd.Dir = w.dir
	out, err := cmd.Output()
	return strings.TrimSuffix(string(out), "\n"), err
}
