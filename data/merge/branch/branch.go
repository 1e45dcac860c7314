//go:build !js

// Package branch merges one branch of a git repository into another: the trees
// file by file, with moved files found by the ids of their engines, and the
// files of a dataset by their figures. Everything is merged in memory; then the
// commit is stored, and git itself moves the branch, which knows of locks and of
// changes that nobody has committed. Attributes that tell git how to merge a
// file are not followed: the files of a dataset are merged by their figures, and
// all others by their lines.
package branch

import (
	"context"
	"fmt"

	"fourmarks.example/data/commits"
)

// Labels name the three states of a merge.
type Labels struct{ Base, Ours, Theirs string }

// Merge is a merge of a commit into a target, not yet stored.
type Merge struct {
	merger
	Target Target
	// Rev is what is merged, as it was named, and Theirs its commit.
	Rev    string
	Theirs commits.Hash
	// Done says that the target holds everything already.
	Done bool
	// Files are those that either side changed since they parted, by path.
	Files []File
	// Commits are those that the merge brings, the latest first.
	Commits []commits.Commit

	by   []string // who contributes what is in no commit
	note string   // where and how that was read
}

// Plan merges a revision into a target in memory. Histories that never met are
// refused.
func Plan(ctx context.Context, r *commits.Repository, t Target, rev string) (*Merge, error) {
	theirs, err := r.Resolve(rev)
	if err != nil {
		return nil, err
	}
	m := &Merge{
		merger: merger{ctx: ctx, repository: r, fresh: map[commits.Hash][]byte{}, labels: Labels{Base: "before", Ours: t.Name(), Theirs: rev}},
		Target: t, Rev: rev, Theirs: theirs,
	}
	if m.Done, err = r.IsAncestor(theirs, t.Commit); m.Done || err != nil {
		return m, err
	}
	base, met, err := m.base([]commits.Hash{t.Commit}, theirs)
	if err != nil {
		return nil, err
	}
	if !met {
		return nil, m.neverMet()
	}
	ours, err := m.tree(t.Commit)
	if err != nil {
		return nil, err
	}
	tree, err := m.tree(theirs)
	if err != nil {
		return nil, err
	}
	if m.Files, err = m.merged(base, ours, tree); err != nil {
		return nil, err
	}
	for c, err := range r.Walk([]commits.Hash{theirs}, t.Commit) {
		if err != nil {
			return nil, err
		}
		m.Commits = append(m.Commits, c)
	}
	return m, nil
}

// neverMet says that two histories have no commit in common, or none that is
// known here.
func (m *Merge) neverMet() error {
	cut, err := m.repository.Shallow()
	if err != nil {
		return err
	}
	if len(cut) > 0 {
		return fmt.Errorf("the history here is cut off before %s and %s met, for the clone is shallow; fetch the rest first (git fetch --unshallow)", m.Target.Name(), m.Rev)
	}
	return fmt.Errorf("%s and %s have no commit in common, so it cannot be told what either changed; they are not merged", m.Target.Name(), m.Rev)
}

// Conflicts are the files that cannot be merged.
func (m *Merge) Conflicts() []File {
	var all []File
	for _, f := range m.Files {
		if f.Conflict != nil {
			all = append(all, f)
		}
	}
	return all
}

func (m *Merge) changed() map[string]commits.Entry { return changed(m.Files) }

// Store stores the merge as a commit that nothing refers to yet. A merge with
// conflicts is not stored.
func (m *Merge) Store(message string) (commits.Hash, error) {
	if n := len(m.Conflicts()); n > 0 {
		return commits.None, fmt.Errorf("%d files are in conflict", n)
	}
	if err := m.Target.Free(m.repository); err != nil {
		return commits.None, err
	}
	entries := m.changed()
	if err := m.store(entries); err != nil {
		return commits.None, err
	}
	var joined []commits.Hash
	if m.Theirs != commits.None {
		joined = append(joined, m.Theirs)
	}
	return Commit(m.ctx, m.repository, m.Target, entries, joined, message)
}
