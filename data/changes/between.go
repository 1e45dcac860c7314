package changes

import (
	"cmp"
	"slices"

	"fourmarks.example/data/claims"
)

// Between compares what two versions of a file say. How they say it does not
// count: order, layout, comments, whether a source is inherited or written out.
// The changes of one figure stand together, in the order of the file as it is,
// figures that are gone last. Of an ID that stands twice in a file the first
// counts.
func Between(before, after []claims.Claim) []Change {
	was, is := byID(before), byID(after)
	moved := singlePrints(before, after)
	var all []Change
	for i := range after {
		a := &after[i]
		b := was[a.ID]
		if b == nil {
			b = moved[a.Pointer]
		}
		if is[a.ID] == a && (b == nil || !claims.Same(b, a)) {
			all = append(all, Change{Before: b, After: a})
		}
	}
	for i := range before {
		b := &before[i]
		if was[b.ID] == b && is[b.ID] == nil && moved[b.Pointer] == nil {
			all = append(all, Change{Before: b})
		}
	}
	order := places(before, after)
	slices.SortStableFunc(all, func(x, y Change) int {
		return cmp.Compare(order[x.Claim().Pointer], order[y.Claim().Pointer])
	})
	return all
}

func byID(all []claims.Claim) map[claims.ID]*claims.Claim {
	m := make(map[claims.ID]*claims.Claim, len(all))
	for i := range all {
		if m[all[i].ID] == nil {
			m[all[i].ID] = &all[i]
		}
	}
	return m
}

// singlePrints returns, by pointer, the claims before of figures that have one
// claim before and one after, under different keys: one print that was given
// another source.
func singlePrints(before, after []claims.Claim) map[string]*claims.Claim {
	was, is := onlyClaims(before), onlyClaims(after)
	for pointer, b := range was {
		if a := is[pointer]; b == nil || a == nil || a.Key == b.Key {
			delete(was, pointer)
		}
	}
	return was
}

// onlyClaims returns the claims that are alone at their pointer; nil where there
// are several.
func onlyClaims(all []claims.Claim) map[string]*claims.Claim {
	m := make(map[string]*claims.Claim, len(all))
	for i := range all {
		if _, several := m[all[i].Pointer]; several {
			m[all[i].Pointer] = nil
		} else {
			m[all[i].Pointer] = &all[i]
		}
	}
	return m
}

// places ranks pointers: those of the file as it is, then those that are gone.
func places(before, after []claims.Claim) map[string]int {
	order := make(map[string]int, len(after))
	for _, all := range [][]claims.Claim{after, before} {
		for i := range all {
			if _, ranked := order[all[i].Pointer]; !ranked {
				order[all[i].Pointer] = len(order)
			}
		}
	}
	return order
}
