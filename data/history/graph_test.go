package history

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// randomHistory makes a repository of n commits, each on up to three of those
// before it, in which the engine comes, changes and goes among others, and clocks
// are now and then wrong. Commit i is checked out by the branch c<i>.
func randomHistory(t testing.TB, n int, seed uint64) *work {
	pick := rand.New(rand.NewPCG(seed, 11)).IntN
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
			for range 1 + pick(3) {
				if p := max(0, i-1-pick(6)); !parents[p] {
					fmt.Fprintf(&in, "%s :%d\n", map[bool]string{true: "from", false: "merge"}[len(parents) == 0], p+1)
					parents[p] = true
				}
			}
		}
		for range 1 + pick(3) {
			name := []string{file, file, "data/engines/marlowe/six.yaml", "data/sources/book.yaml"}[pick(4)]
			if pick(5) == 0 {
				fmt.Fprintf(&in, "D %s\n", name)
				continue
			}
			text := engine(strings.TrimSuffix(strings.TrimPrefix(name, "data/engines/"), ".yaml"), fmt.Sprintf("inlet: %d mm", 1+pick(3)), fmt.Sprintf("exhaust: %d mm", 1+pick(2)))
			fmt.Fprintf(&in, "M 100644 inline %s\ndata %d\n%s\n", name, len(text), text)
		}
		in.WriteByte('\n')
	}
	w.GitWith(in.Bytes(), "fast-import", "--quiet")
	w.Git("symbolic-ref", "HEAD", fmt.Sprintf("refs/heads/c%d", n-1))
	return w
}

var fromParent = regexp.MustCompile(`^commit ([0-9a-f]{40})`)

// rawLog returns what git log --raw -m tells of the engine's file: a line for each
// commit and parent between which it differs.
func rawLog(w *work) []string {
	var all []string
	commit := ""
	for line := range strings.SplitSeq(w.Git("log", "--raw", "-m", "--root", "--no-renames", "--no-abbrev", "--format=commit %H"), "\n") {
		if m := fromParent.FindStringSubmatch(line); m != nil {
			commit = m[1]
			continue
		}
		if raw, name, ok := strings.Cut(line, "\t"); ok && name == file {
			f := strings.Fields(raw)
			all = append(all, commit+" "+f[2]+" "+f[3])
		}
	}
	slices.Sort(all)
	return all
}

// In histories of any shape and with clocks that go wrong, the versions of the
// file are those that git log --raw -m tells, at merges too.
func TestHistoryOfBlobsIsThatOfGitLog(t *testing.T) {
	for seed := range uint64(6) {
		w := randomHistory(t, 60, seed)
		d, err := Open(filepath.Join(w.Dir, "data"))
		require.NoError(t, err)
		walker := &walker{repository: d.repository, root: "data", ids: []string{"marlowe/four"}, paths: []string{file}, finder: newFinder(d.repository)}
		all, err := walker.commits(d.head)
		require.NoError(t, err)
		moments, err := walker.moments(context.Background(), all)
		require.NoError(t, err)
		var got []string
		for _, m := range moments {
			parents := m.parents
			if len(parents) == 0 {
				parents = []place{{}}
			}
			for _, p := range parents {
				if p != m.at {
					got = append(got, fmt.Sprintf("%s %s %s", m.commit, p.blob, m.at.blob))
				}
			}
		}
		slices.Sort(got)
		require.Equal(t, rawLog(w), got, "seed %d", seed)
		require.NotEmpty(t, got)
		require.NoError(t, d.Close())
	}
}

// What was kept and is brought up to date, from whatever commit to whatever other,
// tells the same as what is read anew.
func TestWhatIsKeptTellsTheSame(t *testing.T) {
	w := randomHistory(t, 40, 3)
	pick := rand.New(rand.NewPCG(3, 12)).IntN
	ask := func(branch string) (*History, error) {
		w.Git("symbolic-ref", "HEAD", "refs/heads/"+branch)
		return historyIn(filepath.Join(w.Dir, "data"), "marlowe/four")
	}
	carriedOn := 0
	for range 40 {
		a, b := fmt.Sprintf("c%d", pick(40)), fmt.Sprintf("c%d", pick(40))
		forgetIndex(t, w)
		_, err := ask(a)
		if err == nil && a != b && w.Git("rev-list", "-1", a, "^"+b) == "" {
			carriedOn++ // what is known is a part of what is asked for next
		}
		kept, err := ask(b)
		forgetIndex(t, w)
		anew, anewErr := ask(b)
		require.Equal(t, anewErr == nil, err == nil)
		require.Equal(t, anew, kept, "from %s to %s", a, b)
	}
	assert.Greater(t, carriedOn, 5)
}

func forgetIndex(t testing.TB, w *work) {
	require.NoError(t, os.RemoveAll(filepath.Join(w.Dir, ".git", "fourmarks")))
}

// A commit more is told from the commit more alone.
func TestOnlyWhatIsNewIsRead(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.set("inlet: 8.1 mm")
	w.history("marlowe/four")
	first := w.Git("rev-list", "--max-parents=0", "HEAD")
	w.set("inlet: 8.2 mm")
	// The first version is taken out of the repository: who reads it fails.
	blob := w.Git("rev-parse", first+":"+file)
	require.NoError(t, os.Remove(filepath.Join(w.Dir, ".git", "objects", blob[:2], blob[2:])))
	assert.Len(t, w.history("marlowe/four").Steps, 3)
	forgetIndex(t, w)
	_, err := historyIn(filepath.Join(w.Dir, "data"), "marlowe/four")
	assert.ErrorContains(t, err, blob)
}
