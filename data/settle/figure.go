package settle

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/schema"
)

// figureOf returns the figure that a decision is about.
func figureOf(base *schema.Engine, d Decision) (*schema.Figure, error) {
	e := base
	if d.Variant != "" {
		v, ok := base.Variants.Get(d.Variant)
		if !ok {
			return nil, unknownVariant(base, d.Variant)
		}
		e = v.Engine
	}
	wanted := strings.TrimSpace(d.Figure)
	path := strings.ReplaceAll(wanted, " ", "_")
	if fig := cmp.Or(e.Figure(wanted), e.Figure(path)); fig != nil {
		return own(e, fig)
	}
	var fits []*schema.Figure
	var known []string
	for _, fig := range e.Figures() {
		known = append(known, fig.Path, fig.Key)
		if strings.HasSuffix(fig.Path, "."+wanted) || strings.HasSuffix(fig.Path, "."+path) {
			fits = append(fits, fig)
		}
	}
	if disputed := slices.DeleteFunc(slices.Clone(fits), agreed); len(disputed) == 1 {
		fits = disputed
	}
	switch len(fits) {
	case 1:
		return own(e, fits[0])
	case 0:
		slices.Sort(known)
		near := schema.Nearest(path, slices.Compact(known), 3)
		if len(near) == 0 {
			return nil, fmt.Errorf("%s has no figure %q; fourmarks show %s lists those it has", e.Name(), d.Figure, base.ID.Text)
		}
		return nil, fmt.Errorf("%s has no figure %q; near to it: %s", e.Name(), d.Figure, strings.Join(near, ", "))
	}
	var paths []string
	for _, fig := range fits {
		paths = append(paths, fig.Path)
	}
	return nil, fmt.Errorf("%q can be any of %s; write the one in full", d.Figure, strings.Join(paths, ", "))
}

// agreed reports whether all claims of a figure that stand can be right at once.
func agreed(fig *schema.Figure) bool {
	return schema.StandingOf(fig, func(string) (*schema.Source, bool) { return nil, false }) != schema.Disputed
}

// own refuses a figure that a variant only inherits.
func own(e *schema.Engine, fig *schema.Figure) (*schema.Figure, error) {
	if e.Variant != "" && !fig.Changed {
		return nil, fmt.Errorf("%s has %s from the base; settle it there, without --variant", e.Variant, fig.Path)
	}
	return fig, nil
}

func unknownVariant(base *schema.Engine, name string) error {
	var names []string
	for _, v := range base.Variants {
		names = append(names, v.Name)
	}
	if len(names) == 0 {
		return fmt.Errorf("%s has no variants", base.ID.Text)
	}
	return fmt.Errorf("%s has no variant %q%s; it has: %s", base.ID.Text, name, schema.DidYouMean(name, names), strings.Join(names, ", "))
}

// inherits lists the variants that have a figure from the base.
func inherits(base *schema.Engine, path string) []string {
	var names []string
	for _, v := range base.Variants {
		if fig := v.Value.Engine.Figure(path); fig != nil && !fig.Changed {
			names = append(names, v.Name)
		}
	}
	return names
}
