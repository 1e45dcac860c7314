//go:build !js

package commits_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
)

// Merge bases are those that git names, in histories of any shape and with
// clocks that go wrong.
func TestBasesAreThoseOfGit(t *testing.T) {
	several := 0
	for seed := range uint64(4) {
		pick := rand.New(rand.NewPCG(seed, 5)).IntN
		w, hashes := randomHistory(t, 40, pick)
		r := open(t, w)
		for range 60 {
			a, b := hashes[pick(len(hashes))], hashes[pick(len(hashes))]
			var want []string
			cmd, err := w.Try(nil, "merge-base", "--all", a, b)
			if err == nil {
				want = strings.Fields(cmd)
			}
			found, err := r.Bases(plumbing.NewHash(a), plumbing.NewHash(b))
			require.NoError(t, err)
			var got []string
			for _, h := range found {
				got = append(got, h.String())
			}
			slices.Sort(want)
			slices.Sort(got)
			assert.Equal(t, want, got, "seed %d: %s and %s", seed, a, b)
			if len(got) > 1 {
				several++
			}
			c := hashes[pick(len(hashes))]
			cmd, err = w.Try(nil, "merge-base", "--all", b, a, c)
			want = nil
			if err == nil {
				want = strings.Fields(cmd)
			}
			found, err = r.BasesOfMerged([]commits.Hash{plumbing.NewHash(a), plumbing.NewHash(c)}, plumbing.NewHash(b))
			require.NoError(t, err)
			got = nil
			for _, h := range found {
				got = append(got, h.String())
			}
			assert.ElementsMatch(t, want, got, "seed %d: %s and %s with %s", seed, b, a, c)
			below, err := r.IsAncestor(plumbing.NewHash(a), plumbing.NewHash(b))
			require.NoError(t, err)
			_, err = w.Try(nil, "merge-base", "--is-ancestor", a, b)
			assert.Equal(t, err == nil, below)
		}
	}
	assert.Greater(t, several, 5, "the histories hold crosswise merges")
}

// The walk and its changes are what git log tells, at merges too.
func TestWalkAndChangesAreThoseOfGitLog(t *testing.T) {
	for seed := range uint64(4) {
		w, hashes := randomHistory(t, 40, rand.New(rand.NewPCG(seed, 6)).IntN)
		r := open(t, w)
		last := hashes[len(hashes)-1]
		want := w.Git("log", "--date-order", "--format=commit %H", "--raw", "-m", "-r", "--root", "--no-renames", "--no-abbrev", last)
		assert.Equal(t, sections(want), sections(toldOf(t, r, last)), "seed %d", seed)

		except := hashes[len(hashes)-8]
		want = w.Git("rev-list", last, "^"+except)
		var got []string
		for c, err := range r.Walk([]commits.Hash{plumbing.NewHash(last)}, plumbing.NewHash(except)) {
			require.NoError(t, err)
			got = append(got, c.Hash.String())
		}
		assert.ElementsMatch(t, strings.Fields(want), got)
	}
}

// A walk gives no commit before one that came of it.
func TestWalkGivesChildrenFirst(t *testing.T) {
	w, hashes := randomHistory(t, 60, rand.New(rand.NewPCG(1, 7)).IntN)
	r := open(t, w)
	given := map[commits.Hash]bool{}
	for c, err := range r.Walk([]commits.Hash{plumbing.NewHash(hashes[59]), plumbing.NewHash(hashes[58])}) {
		require.NoError(t, err)
		assert.False(t, given[c.Hash], "given once")
		given[c.Hash] = true
		for _, p := range c.Parents {
			assert.False(t, given[p], "%s came before %s", p, c.Hash)
		}
	}
}

// sections cuts a log into one piece for each commit and parent from which it
// differs, sorted.
func sections(log string) []string {
	var all []string
	for _, s := range strings.Split("\n"+log, "\ncommit ") {
		if s = strings.TrimSpace(strings.ReplaceAll(s, "\n\n", "\n")); strings.Contains(s, "\n") {
			all = append(all, s)
		}
	}
	slices.Sort(all)
	return all
}

// toldOf writes the history of a commit as git log --raw -m does.
func toldOf(t *testing.T, r *commits.Repository, from string) string {
	var b strings.Builder
	for c, err := range r.Walk([]commits.Hash{plumbing.NewHash(from)}) {
		require.NoError(t, err)
		all, err := r.Changes(c, "")
		require.NoError(t, err)
		for _, changes := range all {
			fmt.Fprintf(&b, "commit %s\n", c.Hash)
			for _, x := range changes {
				letter := "M"
				switch {
				case x.Was.IsNothing():
					letter = "A"
				case x.Is.IsNothing():
					letter = "D"
				case (x.Was.Mode == commits.Link) != (x.Is.Mode == commits.Link):
					letter = "T"
				}
				fmt.Fprintf(&b, ":%06o %06o %s %s %s\t%s\n", uint32(x.Was.Mode), uint32(x.Is.Mode), x.Was.Hash, x.Is.Hash, letter, x.Path)
			}
		}
	}
	return b.String()
}
