package schema

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// unknownKey says that a section has no such key, names the nearest it has, or
// the section of the same sort of file that has it; measured tells files of
// readings from the others.
func unknownKey(key string, known map[string]Property, where string, measured bool) string {
	names := slices.Sorted(maps.Keys(known))
	if near := DidYouMean(key, names); near != "" {
		return fmt.Sprintf("`%s` is not a key of %s%s", key, where, near)
	}
	if homes := homesOf(key, measured); len(homes) > 0 {
		return fmt.Sprintf("`%s` is not a key of %s; it belongs in %s", key, where, strings.Join(homes, " or "))
	}
	return fmt.Sprintf("`%s` is not a key of %s, which has: %s", key, where, strings.Join(names, ", "))
}

// homesOf lists the sections that have a key, as they are named in a file.
func homesOf(key string, measured bool) []string {
	var homes []string
	c := readContract()
	for name, s := range c.sections {
		if c.measured[name] != measured || slices.Contains([]string{"readings", "contribution", "contributed"}, name) {
			continue
		}
		if _, ok := s.Properties[key]; ok && len(s.Properties) > 0 && name != "engine" && name != "seen" {
			if _, isFigure := figureKinds[name]; !isFigure {
				homes = append(homes, "`"+name+"`")
			}
		}
	}
	slices.Sort(homes)
	return homes
}

// DidYouMean names the nearest of the known words when it is near enough to be
// meant: one slip in four letters.
func DidYouMean(word string, known []string) string {
	best, distance := "", len(word)/4+2
	for _, k := range known {
		if d := editDistance(strings.ToLower(word), strings.ToLower(k)); d < distance {
			best, distance = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("; did you mean `%s`?", best)
}

// choices lists words as a sentence does: a, b or c.
func choices(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// editDistance counts the letters to insert, delete, replace or swap with the
// next (optimal string alignment; Damerau, CACM 7, 1964).
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 64 || len(y) > 64 {
		return 64
	}
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(x)][len(y)]
}
