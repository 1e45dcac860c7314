package changes

import (
	"slices"
	"strings"

	"fourmarks.example/data/claims"
)

// Group puts the changes of [Between] together figure by figure, and apart from
// the values that are no figures. What a section names as its source is left out
// where it shows in the prints that have it.
func Group(all []Change) (figures []Figure, words []Word) {
	for rest := all; len(rest) > 0; {
		n := 1
		for n < len(rest) && rest[n].Claim().Pointer == rest[0].Claim().Pointer {
			n++
		}
		one := rest[:n:n]
		rest = rest[n:]
		c := one[0].Claim()
		switch {
		case c.Kind == claims.Print:
			figures = append(figures, Figure{Path: c.Path, Variant: c.Variant, Claims: one, Inherited: []string{}, Followed: []Said{}})
		case c.Kind == claims.From && showsInPrints(c.Pointer, all):
		default:
			for _, c := range one {
				words = append(words, word(c))
			}
		}
	}
	return figures, words
}

// showsInPrints reports whether one of the changes is of a print that has its
// source from the section that names it at a pointer.
func showsInPrints(from string, all []Change) bool {
	section := strings.TrimSuffix(from, "from")
	inherits := func(c *claims.Claim) bool { return c != nil && c.Inherited && strings.HasPrefix(c.Pointer, section) }
	return slices.ContainsFunc(all, func(c Change) bool { return inherits(c.Before) || inherits(c.After) })
}
