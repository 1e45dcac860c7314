//go:build !js

package commits_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/commits/gittest"
)

func open(t testing.TB, w *gittest.Work) *commits.Repository {
	t.Helper()
	r, err := commits.Open(w.Dir)
	require.NoError(t, err)
	t.Cleanup(func() { r.Close() })
	return r
}

// randomHistory makes a repository of n commits, each on up to three of those
// before it, with files in folders that come, change and go, and clocks that are
// now and then wrong. pick gives a number below its argument.
func randomHistory(t testing.TB, n int, pick func(int) int) (*gittest.Work, []string) {
	w := gittest.New(t)
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
	w.GitWith(in.Bytes(), "fast-import", "--quiet")
	hashes := make([]string, n)
	for i := range n {
		hashes[i] = w.Git("rev-parse", fmt.Sprintf("refs/heads/c%d", i))
	}
	return w, hashes
}
