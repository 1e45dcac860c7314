//go:build !js

package commits

import (
	"bytes"
	"container/heap"
	"slices"
)

// latestFirst is a queue of commits from which the latest comes first; of two of
// one second, the one with the smaller hash.
type latestFirst []node

// node is what the order of history is found by.
type node struct {
	hash    Hash
	parents []Hash
	seconds int64
}

func (q latestFirst) Len() int           { return len(q) }
func (q latestFirst) Less(i, j int) bool { return later(q[i], q[j]) < 0 }
func (q latestFirst) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *latestFirst) Push(x any)        { *q = append(*q, x.(node)) }
func (q *latestFirst) Pop() any {
	last := len(*q) - 1
	n := (*q)[last]
	*q = (*q)[:last]
	return n
}

func later(a, b node) int {
	if a.seconds != b.seconds {
		if a.seconds > b.seconds {
			return -1
		}
		return 1
	}
	return bytes.Compare(a.hash[:], b.hash[:])
}

// graph reads each commit once.
type graph struct {
	repository *Repository
	nodes      map[Hash]node
}

func (r *Repository) graph() *graph { return &graph{repository: r, nodes: map[Hash]node{}} }

func (g *graph) node(h Hash) (node, error) {
	if n, known := g.nodes[h]; known {
		return n, nil
	}
	c, err := g.repository.Commit(h)
	if err != nil {
		return node{}, err
	}
	n := node{hash: h, parents: c.Parents, seconds: c.Committer.When.Unix()}
	g.nodes[h] = n
	return n, nil
}

// Bases returns the best common ancestors of two commits: those that are no
// ancestors of another. Unrelated commits have none; where branches were merged
// into one another crosswise there are several, the latest first.
func (r *Repository) Bases(a, b Hash) ([]Hash, error) { return r.BasesOfMerged([]Hash{a}, b) }

// BasesOfMerged is Bases for a merge of several commits, made or not, and
// another commit.
func (r *Repository) BasesOfMerged(merged []Hash, b Hash) ([]Hash, error) {
	g := r.graph()
	found, err := g.common(merged, b)
	if err != nil || len(found) < 2 {
		return found, err
	}
	// Where clocks are wrong, an ancestor of another may be among them.
	var best []Hash
	for _, h := range found {
		below, err := g.isBelow(h, found)
		if err != nil {
			return nil, err
		}
		if !below {
			best = append(best, h)
		}
	}
	return best, nil
}

// isBelow reports whether a commit comes before another of several.
func (g *graph) isBelow(h Hash, others []Hash) (bool, error) {
	for _, other := range others {
		if other == h {
			continue
		}
		if below, err := g.isAncestor(h, other); below || err != nil {
			return below, err
		}
	}
	return false, nil
}

// IsAncestor reports whether a commit is another, or comes before it.
func (r *Repository) IsAncestor(a, of Hash) (bool, error) { return r.graph().isAncestor(a, of) }

func (g *graph) isAncestor(a, of Hash) (bool, error) {
	found, err := g.common([]Hash{a}, of)
	return slices.Contains(found, a), err
}

// What is known of a commit while common ancestors are looked for.
const (
	fromA  = 1 << iota // it is reached from the one commit
	fromB              // it is reached from the other
	stale              // it is an ancestor of a common one
	result             // it is common
)

// common returns common ancestors, all the best ones among them, the latest
// first. It goes back from both sides at once, the latest commit first, until
// nothing is left but ancestors of what was found.
func (g *graph) common(merged []Hash, b Hash) ([]Hash, error) {
	if slices.Contains(merged, b) {
		return []Hash{b}, nil
	}
	marks := map[Hash]int{b: fromB}
	for _, a := range merged {
		marks[a] = fromA
	}
	var queue latestFirst
	fresh := 0 // how many in the queue are not stale
	queued := map[Hash]int{}
	push := func(h Hash) error {
		n, err := g.node(h)
		if err != nil {
			return err
		}
		heap.Push(&queue, n)
		queued[h]++
		if marks[h]&stale == 0 {
			fresh++
		}
		return nil
	}
	for h := range marks {
		if err := push(h); err != nil {
			return nil, err
		}
	}
	var found []node
	for fresh > 0 {
		n := heap.Pop(&queue).(node)
		queued[n.hash]--
		if marks[n.hash]&stale == 0 {
			fresh--
		}
		spread := marks[n.hash] & (fromA | fromB | stale)
		if spread == fromA|fromB {
			if marks[n.hash]&result == 0 {
				marks[n.hash] |= result
				found = append(found, n)
			}
			spread |= stale
		}
		for _, p := range n.parents {
			was := marks[p]
			if was&spread == spread {
				continue
			}
			if was&stale == 0 && spread&stale != 0 {
				fresh -= queued[p] // those of it that wait are stale from now on
			}
			marks[p] = was | spread
			if err := push(p); err != nil {
				return nil, err
			}
		}
	}
	found = slices.DeleteFunc(found, func(n node) bool { return marks[n.hash]&stale != 0 })
	slices.SortFunc(found, later)
	hashes := make([]Hash, len(found))
	for i, n := range found {
		hashes[i] = n.hash
	}
	return hashes, nil
}
