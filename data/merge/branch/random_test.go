//go:build !js

package branch_test

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
)

// tangled is a repository of n commits on branches c0, c1 and so on, each on one
// or two of those shortly before it, so that branches are merged into one another
// crosswise time and again. The files are plain text.
func tangled(t *testing.T, n int, pick func(int) int) *gittest.Work {
	w := gittest.New(t)
	var in bytes.Buffer
	states := make([]files, n)
	for i := range n {
		fmt.Fprintf(&in, "commit refs/heads/c%d\nmark :%d\ncommitter A keeper <keeper@fourmarks.example> %d +0000\ndata 1\nc\n", i, i+1, 1_700_000_000+i)
		state := files{}
		if i == 0 {
			for k := range 5 {
				state[fmt.Sprintf("f%d", k)] = fmt.Sprintf("file %d\na\nb\nc\nd\ne\nf\ng\nh\n", k)
			}
		} else {
			first := max(0, i-1-pick(3))
			fmt.Fprintf(&in, "from :%d\n", first+1)
			state = maps.Clone(states[first])
			if second := max(0, i-1-pick(3)); pick(2) == 0 && second != first {
				fmt.Fprintf(&in, "merge :%d\n", second+1)
				for name, text := range states[second] {
					if pick(2) == 0 {
						state[name] = text
					}
				}
			}
			for range pick(3) {
				name := fmt.Sprintf("f%d", pick(6))
				lines := strings.SplitAfter(state[name], "\n")
				switch at := 1 + pick(8); {
				case state[name] == "":
					state[name] = fmt.Sprintf("anew %s\n%d\n", name, pick(2))
				case pick(12) == 0:
					delete(state, name)
				case at < len(lines)-1:
					lines[at] = fmt.Sprintf("%d\n", pick(3))
					state[name] = strings.Join(lines, "")
				}
			}
		}
		in.WriteString("deleteall\n")
		for _, name := range slices.Sorted(maps.Keys(state)) {
			fmt.Fprintf(&in, "M 100644 inline %s\ndata %d\n%s\n", name, len(state[name]), state[name])
		}
		states[i] = state
	}
	w.GitWith(in.Bytes(), "fast-import", "--quiet")
	w.Git("config", "merge.renames", "false")
	return w
}

// In tangled histories a merge that both find clean is, to the byte, that of git;
// and what git merges is seldom held for a conflict here.
func TestTangledHistoriesMergeAsGitMergesThem(t *testing.T) {
	both, ours, theirs := 0, 0, 0
	for seed := range uint64(4) {
		pick := rand.New(rand.NewPCG(seed, 9)).IntN
		const n = 30
		w := tangled(t, n, pick)
		for range 25 {
			a, b := fmt.Sprintf("c%d", pick(n)), fmt.Sprintf("c%d", pick(n))
			w.Git("symbolic-ref", "HEAD", "refs/heads/"+a)
			m, err := plan(w, b)
			require.NoError(t, err)
			tree, err := w.Try(nil, "merge-tree", "--write-tree", "--no-messages", a, b)
			if m.Done {
				assert.NoError(t, err)
				continue
			}
			clean := len(m.Conflicts()) == 0
			switch {
			case err == nil && clean:
				both++
				h, err := m.Store("m")
				require.NoError(t, err)
				assert.Equal(t, strings.TrimSpace(tree), w.Git("rev-parse", h.String()+"^{tree}"), "seed %d: %s and %s", seed, a, b)
			case clean:
				ours++
			case err == nil:
				theirs++
			}
		}
		w.Sound()
	}
	t.Logf("clean for both %d, for us alone %d, for git alone %d", both, ours, theirs)
	assert.Greater(t, both, 20)
	assert.Less(t, theirs, both/4)
}
