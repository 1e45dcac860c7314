package schema

import (
	"cmp"
	"slices"
	"strings"
)

// Nearest returns at most so many of the known words that are near to a word,
// the nearest first: those that hold it, and those that a slip in about every
// third letter turns into it.
func Nearest(word string, known []string, most int) []string {
	word = strings.ToLower(word)
	type candidate struct {
		word     string
		distance int
	}
	var near []candidate
	for _, k := range known {
		d := editDistance(word, strings.ToLower(k))
		if word != "" && strings.Contains(strings.ToLower(k), word) {
			d = 0
		}
		if d <= len(word)/3+1 {
			near = append(near, candidate{k, d})
		}
	}
	slices.SortStableFunc(near, func(a, b candidate) int { return cmp.Compare(a.distance, b.distance) })
	var out []string
	for _, c := range near[:min(most, len(near))] {
		out = append(out, c.word)
	}
	return out
}
