package pages

import (
	"slices"
	"strings"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/claims"
	"fourmarks.example/data/history"
)

// step is a commit that says something of a series.
type step struct {
	On, By, Subject string
	Figures         []changed
}

// changed is a claim of a figure, as it was and as it is; empty for nothing.
type changed struct{ Path, Was, Now, From string }

// stepsOf lists what became of the figures of a series, the latest first.
func stepsOf(h *history.History, variant string) []step {
	if h == nil {
		return nil
	}
	var all []step
	for _, s := range slices.Backward(h.Steps) {
		is := step{On: s.When.Format("2006-01-02"), By: strings.Join(append([]string{s.Author}, s.Contributors...), ", "), Subject: s.Subject()}
		for _, f := range s.Figures {
			if f.Variant != variant {
				continue
			}
			for _, c := range f.Claims {
				is.Figures = append(is.Figures, claimed(f.Path, c))
			}
		}
		if is.Figures != nil {
			all = append(all, is)
		}
	}
	return all
}

func claimed(path string, c changes.Change) changed {
	is := changed{Path: path, Was: saidText(c.Before), Now: saidText(c.After)}
	if c.After != nil {
		is.From = c.After.Citation()
	}
	return is
}

// saidText is the print of a claim, and that it is set aside.
func saidText(c *claims.Claim) string {
	switch {
	case c == nil:
		return ""
	case c.Aside:
		return strings.TrimSuffix(c.Printed+" (set aside: "+c.SetAside, ": ") + ")"
	}
	return c.Printed
}
