//go:build !js

package branch

import (
	"fmt"
	"strings"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
)

// figures merges a file of a dataset by what it says. A file that cannot be read
// in full is not merged by its lines instead: they could pair one side's figure
// with the other side's source.
func (m *merger) figures(kind lint.InputKind, p string, texts [3][]byte) (verdict, error) {
	base, ours, theirs := merge.Base{Text: texts[0]}, texts[1], texts[2]
	result, err := merge.Documents(kind, p, base, ours, theirs)
	if err != nil {
		return verdict{conflict: conflict("it cannot be merged by its figures: %v", err), either: m.sides(texts)}, nil
	}
	if len(result.Conflicts) == 0 {
		return verdict{is: m.keep(result.Text), figures: result}, nil
	}
	v := verdict{conflict: conflict("%s", said(result.Conflicts)), figures: result, either: [2]commits.Entry{m.keep(result.Text), {}}}
	// The other way round, the other side stands at the places of conflict.
	other, err := merge.Documents(kind, p, base, theirs, ours)
	if err != nil {
		return verdict{}, fmt.Errorf("%s merges one way and not the other: %w", p, err)
	}
	v.either[1] = m.keep(other.Text)
	return v, nil
}

// said names the figures on which two sides cannot both be had.
func said(all []merge.Conflict) string {
	var names []string
	for _, c := range all {
		name := c.Path
		if c.Variant != "" {
			name += " of " + c.Variant
		}
		names = append(names, fmt.Sprintf("%s (%s)", name, c.Kind))
	}
	return strings.Join(names, ", ")
}
