//go:build !js

package branch_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/merge/branch"
)

// files are the texts of a state of a repository, by path.
type files map[string]string

// put makes the work tree hold these files and no others, and commits it.
func put(w *gittest.Work, f files) string {
	w.T.Helper()
	for _, name := range strings.Fields(w.Git("ls-files")) {
		w.Remove(name)
	}
	for name, text := range f {
		w.Write(name, text)
	}
	return w.Commit()
}

// parted is a repository whose branches main, checked out, and theirs parted.
func parted(t testing.TB, base, ours, theirs files) *gittest.Work {
	t.Helper()
	w := gittest.New(t)
	put(w, base)
	w.Git("checkout", "-q", "-b", "theirs")
	put(w, theirs)
	w.Git("checkout", "-q", "main")
	put(w, ours)
	return w
}

func open(w *gittest.Work) *commits.Repository {
	w.T.Helper()
	r, err := commits.Open(w.Dir)
	require.NoError(w.T, err)
	w.T.Cleanup(func() { r.Close() })
	return r
}

// plan merges a revision into what is checked out, in memory.
func plan(w *gittest.Work, rev string) (*branch.Merge, error) {
	w.T.Helper()
	r := open(w)
	target, err := branch.Find(r, "")
	require.NoError(w.T, err)
	return branch.Plan(w.T.Context(), r, target, rev)
}

// merge merges a revision into a branch, or into what is checked out.
func merge(w *gittest.Work, rev, into string) (*branch.Merge, error) {
	w.T.Helper()
	r := open(w)
	target, err := branch.Find(r, into)
	if err != nil {
		return nil, err
	}
	m, err := branch.Plan(w.T.Context(), r, target, rev)
	if err != nil || m.Done {
		return m, err
	}
	h, err := m.Store("Merge " + rev + "\n")
	if err != nil {
		return m, err
	}
	return m, branch.Publish(w.T.Context(), r, target, h, "merge "+rev)
}

// conflicts tells the conflicts of a merge, by path.
func conflicts(m *branch.Merge) map[string]string {
	all := map[string]string{}
	for _, f := range m.Conflicts() {
		all[f.Path] = f.Conflict.Why
	}
	return all
}

// holds asserts what the work tree and the commit checked out hold.
func holds(w *gittest.Work, want files) {
	w.T.Helper()
	names := files{}
	for _, name := range strings.Fields(w.Git("ls-files")) {
		names[name] = w.Read(name)
	}
	assert.Equal(w.T, want, names)
	assert.Empty(w.T, w.Git("status", "--porcelain"))
}

func cancelled(t *testing.T) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	return ctx, cancel
}

func mustResolve(w *gittest.Work, rev string) commits.Hash {
	w.T.Helper()
	h, err := open(w).Resolve(rev)
	require.NoError(w.T, err)
	return h
}
