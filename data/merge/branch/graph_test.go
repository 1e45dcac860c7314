//go:build !js

package branch_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
	"fourmarks.example/data/merge/branch"
)

// crossed is a repository whose branches main and theirs were merged into one
// another crosswise: each holds what both had, with the text given for file a.
//
//	base --- ours ---- main
//	     \        \ /
//	      \       / \
//	       theirs ---- theirs
func crossed(t *testing.T, base, ours, theirs, main, after files) *gittest.Work {
	w := parted(t, base, ours, theirs)
	one, two := w.Head(), w.Git("rev-parse", "theirs")
	joined := func(branch, first, second string, f files) {
		w.Git("checkout", "-q", "-B", branch, first)
		w.Git("merge", "-q", "--no-commit", "-s", "ours", second)
		put(w, f)
	}
	joined("theirs", two, one, after)
	joined("main", one, two, main)
	require.Len(t, strings.Fields(w.Git("merge-base", "--all", "main", "theirs")), 2)
	return w
}

func TestCrosswiseMerges(t *testing.T) {
	one, five := edited("one", "1"), edited("five", "5")
	both := strings.Replace(one, "five", "5", 1)
	cases := map[string]struct {
		ours, theirs, main, after files
		want                      files // nil for a conflict in a
	}{
		"bases that agree": {files{"a": one, "x": "x"}, files{"a": five, "x": "x"},
			files{"a": both, "x": "y"}, files{"a": strings.Replace(both, "three", "3", 1), "x": "x"},
			files{"a": strings.Replace(both, "three", "3", 1), "x": "y"}},
		"bases that disagree, settled alike": {files{"a": one, "x": "x"}, files{"a": edited("one", "I"), "x": "x"},
			files{"a": edited("one", "i"), "x": "y"}, files{"a": edited("one", "i"), "x": "x"},
			files{"a": edited("one", "i"), "x": "y"}},
		"bases that disagree, settled for one or the other": {files{"a": one, "x": "x"}, files{"a": edited("one", "I"), "x": "x"},
			files{"a": one, "x": "x"}, files{"a": edited("one", "I"), "x": "x"}, nil},
		"bases that disagree, settled anew by one": {files{"a": one, "x": "x"}, files{"a": edited("one", "I"), "x": "x"},
			files{"a": one, "x": "x"}, files{"a": edited("one", "i"), "x": "x"}, nil},
		"bases that disagree, taken back by one": {files{"a": one, "x": "x"}, files{"a": edited("one", "I"), "x": "x"},
			files{"a": one, "x": "x"}, files{"a": text, "x": "x"}, nil},
		"a file that one base lacks": {files{"a": one, "x": "x"}, files{"x": "x"},
			files{"a": one, "x": "x"}, files{"x": "x"}, nil},
		"a file that one base lacks, kept by both": {files{"a": one, "x": "x"}, files{"x": "x"},
			files{"a": one, "x": "y"}, files{"a": one, "x": "x"}, files{"a": one, "x": "y"}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := crossed(t, files{"a": text, "x": "x"}, c.ours, c.theirs, c.main, c.after)
			m, err := merge(w, "theirs", "")
			if c.want == nil {
				require.Error(t, err)
				assert.Contains(t, conflicts(m), "a")
				return
			}
			require.NoError(t, err)
			holds(w, c.want)
		})
	}
}

func TestHistoriesThatNeverMet(t *testing.T) {
	w := parted(t, files{"a": text}, files{"a": "1"}, files{"a": "2"})
	w.Git("checkout", "-q", "--orphan", "alone")
	put(w, files{"b": "b"})
	w.Git("checkout", "-q", "main")
	before := w.State()
	_, err := merge(w, "alone", "")
	assert.ErrorContains(t, err, "main and alone have no commit in common")
	assert.Equal(t, before, w.State())
}

func TestAMergeOfWhatIsThereAlready(t *testing.T) {
	w := parted(t, files{"a": text}, files{"a": text}, files{"a": text})
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	before := w.State()
	for _, rev := range []string{"theirs", "HEAD", "HEAD~1"} {
		m, err := merge(w, rev, "")
		require.NoError(t, err)
		assert.True(t, m.Done)
	}
	assert.Equal(t, before, w.State())
}

func TestAMergeOfSeveralParents(t *testing.T) {
	base := files{"a": text, "b": "b", "c": "c", "d": "d"}
	w := parted(t, base, files{"a": edited("one", "1"), "b": "b", "c": "c", "d": "d"}, base)
	for _, name := range []string{"b", "c", "d"} {
		w.Git("checkout", "-q", "-B", "by-"+name, "theirs")
		w.Write(name, strings.ToUpper(name))
		w.Commit()
	}
	w.Git("merge", "-q", "by-b", "by-c")
	require.Len(t, strings.Fields(w.Git("log", "-1", "--format=%P")), 3)
	w.Git("checkout", "-q", "main")
	_, err := merge(w, "by-d", "")
	require.NoError(t, err)
	holds(w, files{"a": edited("one", "1"), "b": "B", "c": "C", "d": "D"})
}

// A merge that was taken back stays so when the branch comes again with more.
func TestARevertedMerge(t *testing.T) {
	w := parted(t, files{"a": text, "b": "b"}, files{"a": text, "b": "b", "c": "c"}, files{"a": edited("one", "1"), "b": "b"})
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	w.Git("revert", "-m", "1", "--no-edit", "HEAD")
	w.Git("checkout", "-q", "theirs")
	w.Write("b", "B")
	w.Commit()
	w.Git("checkout", "-q", "main")
	_, err = merge(w, "theirs", "")
	require.NoError(t, err)
	holds(w, files{"a": text, "b": "B", "c": "c"})
}

func TestTheSameCommitPickedOnBothSides(t *testing.T) {
	w := parted(t, files{"a": text, "b": "b"}, files{"a": text, "b": "b", "c": "c"}, files{"a": edited("one", "1"), "b": "b"})
	w.Git("cherry-pick", "theirs")
	w.Git("checkout", "-q", "theirs")
	w.Write("a", strings.Replace(edited("one", "1"), "five", "5", 1))
	w.Commit()
	w.Git("checkout", "-q", "main")
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	holds(w, files{"a": strings.Replace(edited("one", "1"), "five", "5", 1), "b": "b", "c": "c"})
}

// Clocks that are wrong do not mislead a merge.
func TestClocksThatAreWrong(t *testing.T) {
	w := gittest.New(t)
	var in strings.Builder
	commit := func(branch string, mark, seconds int, from string, name, content string) {
		fmt.Fprintf(&in, "commit refs/heads/%s\nmark :%d\ncommitter A keeper <keeper@fourmarks.example> %d +0000\ndata 1\nc\n%sM 100644 inline %s\ndata %d\n%s\n\n",
			branch, mark, seconds, from, name, len(content), content)
	}
	commit("main", 1, 2_000_000_000, "", "a", text)
	commit("main", 2, 1_000_000_000, "from :1\n", "a", edited("one", "1"))
	commit("theirs", 3, 1_900_000_000, "from :2\n", "a", strings.Replace(edited("one", "1"), "two", "2", 1))
	commit("main", 4, 1, "from :2\n", "a", strings.Replace(edited("one", "1"), "five", "5", 1))
	w.GitWith([]byte(in.String()), "fast-import", "--quiet")
	w.Git("reset", "-q", "--hard")
	_, err := merge(w, "theirs", "")
	require.NoError(t, err)
	holds(w, files{"a": strings.NewReplacer("one", "1", "two", "2", "five", "5").Replace(text)})
}

// Rebasing calls the sides the other way round, and comes to the same text.
func TestSidesSwapped(t *testing.T) {
	pick := rand.New(rand.NewPCG(1, 2)).IntN
	for range 10 {
		side := func() files {
			f := files{"a": text, "b": text, "c": text}
			for name, content := range f {
				for _, line := range []string{"one", "three", "five"} {
					if pick(4) == 0 {
						content = strings.Replace(content, line, fmt.Sprint(pick(2)), 1)
					}
				}
				f[name] = content
			}
			return f
		}
		one, two := side(), side()
		var said []map[string]string
		var trees []string
		for _, sides := range [][2]files{{one, two}, {two, one}} {
			w := parted(t, files{"a": text, "b": text, "c": text}, sides[0], sides[1])
			m, err := merge(w, "theirs", "")
			said = append(said, conflicts(m))
			if err == nil {
				trees = append(trees, w.Git("rev-parse", "HEAD^{tree}"))
			}
		}
		assert.Equal(t, said[0], said[1])
		if len(said[0]) == 0 {
			assert.Equal(t, trees[0], trees[1])
		}
	}
}

// A branch whose name looks like a year or a hash is the branch.
func TestBranchesNamedLikeHashes(t *testing.T) {
	w := parted(t, files{"a": text}, files{"a": edited("one", "1")}, files{"a": edited("five", "5")})
	decoy := w.Git("rev-parse", "HEAD~1")[:6]
	for _, name := range []string{"1934", decoy} {
		w.Git("branch", name, "theirs")
		m, err := plan(w, name)
		require.NoError(t, err)
		assert.Equal(t, w.Git("rev-parse", "theirs"), m.Theirs.String())
	}
	_, err := merge(w, "1934", "")
	require.NoError(t, err)
	r := open(w)
	_, err = branch.Find(r, "nothing")
	assert.ErrorContains(t, err, "there is no branch nothing here")
}
