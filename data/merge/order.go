package merge

import (
	"slices"
	"strconv"
)

// order lays the keys of two sides out in one row. Keys of the base stand as the
// base has them, or as a side has put them; what a side has added follows the
// key that it follows there. The row does not depend on which side is which, nor,
// where several sides are merged one after another, on who comes first.
func order(base, ours, theirs []string) []string {
	row := backbone(base, ours, theirs)
	mine, other := following(base, ours), following(base, theirs)
	var out []string
	seen := map[string]bool{}
	put := func(keys ...string) {
		for _, k := range keys {
			if !seen[k] {
				seen[k] = true
				out = append(out, k)
			}
		}
	}
	put(zip(mine[""], other[""])...)
	for _, k := range row {
		put(k)
		put(zip(mine[after+k], other[after+k])...)
	}
	return out
}

// added puts the keys of an addition that are new in a row of keys: each where the
// format has it, or else at the end.
func added(row, addition, format []string) []string {
	row = slices.Clone(row)
	for _, k := range addition {
		if slices.Contains(row, k) {
			continue
		}
		at, rank := len(row), slices.Index(format, k)
		for rank >= 0 && at > 0 && slices.Index(format, row[at-1]) > rank {
			at--
		}
		row = slices.Insert(row, at, k)
	}
	return row
}

// claimOrder is the order of the claims of a figure that both sides changed: those
// of the base as order has them, then what was added, by key. Where one side read
// a figure elsewhere and gave up the base's claim, nothing is left for another's
// addition to follow, and its place would depend on who came first.
func claimOrder(base, ours, theirs []string) []string {
	all := order(base, ours, theirs)
	inBase := setOf(base)
	kept, fresh := only(all, inBase), slices.DeleteFunc(all, func(k string) bool { return inBase[k] })
	slices.Sort(fresh)
	return append(kept, fresh...)
}

// after sets keys that follow a key apart from those at the start.
const after = "\x00"

// following lists the keys that the base does not have by the base's key that
// they follow, "" at the start. Those of a side that has nothing of the base follow
// all that the base has.
func following(base, keys []string) map[string][]string {
	inBase, groups := setOf(base), map[string][]string{}
	anchor := ""
	if !slices.ContainsFunc(keys, func(k string) bool { return inBase[k] }) && len(base) > 0 {
		anchor = after + base[len(base)-1]
	}
	for _, k := range keys {
		if inBase[k] {
			anchor = after + k
			continue
		}
		groups[anchor] = append(groups[anchor], k)
	}
	return groups
}

// backbone is the order of the base's keys: that of the side that has changed
// it, if one has.
func backbone(base, ours, theirs []string) []string {
	a, b := arranged(base, ours), arranged(base, theirs)
	switch {
	case slices.Equal(a, base):
		return b
	case slices.Equal(b, base):
		return a
	}
	return zip(a, b)
}

// arranged is the base's keys in a side's order; those that the side lacks
// follow the key that they follow in the base.
func arranged(base, side []string) []string {
	has, inBase := setOf(side), setOf(base)
	missing := map[string][]string{}
	anchor := ""
	for _, k := range base {
		if has[k] {
			anchor = after + k
			continue
		}
		missing[anchor] = append(missing[anchor], k)
	}
	out := slices.Clone(missing[""])
	for _, k := range side {
		if inBase[k] {
			out = append(append(out, k), missing[after+k]...)
		}
	}
	return out
}

// zip joins two rows into one. What both have stays where both have it; between,
// the lesser of the two that are next is taken, so that each row keeps its own
// order and rows may be joined in any order with the same result. Where the two
// contradict one another, the lesser that is next decides alone.
func zip(a, b []string) []string {
	if slices.Equal(a, b) {
		return a
	}
	inA, inB := setOf(a), setOf(b)
	shared := only(a, inB)
	if !slices.Equal(shared, only(b, inA)) {
		return lesserFirst(a, b)
	}
	out := make([]string, 0, len(a)+len(b))
	for _, k := range shared {
		i, j := slices.Index(a, k), slices.Index(b, k)
		out = append(append(out, lesserFirst(a[:i], b[:j])...), k)
		a, b = a[i+1:], b[j+1:]
	}
	return append(out, lesserFirst(a, b)...)
}

func only(keys []string, in map[string]bool) []string {
	return slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return !in[k] })
}

func lesserFirst(a, b []string) []string {
	out := make([]string, 0, len(a)+len(b))
	seen := map[string]bool{}
	for len(a)+len(b) > 0 {
		next, other := &a, &b
		if len(a) == 0 || len(b) > 0 && b[0] < a[0] {
			next, other = &b, &a
		}
		k := (*next)[0]
		*next = (*next)[1:]
		if len(*other) > 0 && (*other)[0] == k {
			*other = (*other)[1:]
		}
		if !seen[k] {
			seen[k] = true
			out = append(out, k)
		}
	}
	return out
}

// lines merges lines of remarks: what a side has added is added, what a side has
// taken out is out.
func lines(base, ours, theirs []string) []string {
	switch {
	case slices.Equal(ours, theirs), slices.Equal(theirs, base):
		return ours
	case slices.Equal(ours, base):
		return theirs
	}
	b, o, t := numbered(base), numbered(ours), numbered(theirs)
	inBase, inOurs, inTheirs := setOf(b), setOf(o), setOf(t)
	var out []string
	for _, k := range order(b, o, t) {
		if inOurs[k] && inTheirs[k] || !inBase[k] {
			line, _, _ := cutLast(k)
			out = append(out, line)
		}
	}
	return out
}

// numbered tells equal lines apart.
func numbered(all []string) []string {
	count := map[string]int{}
	out := make([]string, len(all))
	for i, line := range all {
		out[i] = line + after + strconv.Itoa(count[line])
		count[line]++
	}
	return out
}

func cutLast(s string) (before, behind string, found bool) {
	for i := len(s) - 1; i >= 0; i-- {
		if s[i] == after[0] {
			return s[:i], s[i+1:], true
		}
	}
	return s, "", false
}

func setOf(keys []string) map[string]bool {
	set := make(map[string]bool, len(keys))
	for _, k := range keys {
		set[k] = true
	}
	return set
}
