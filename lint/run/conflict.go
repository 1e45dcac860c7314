package run

import (
	"fmt"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
)

// conflict turns figures that cannot all be right into one finding: it points
// at the likeliest slip and shows each broken relation worked out.
func conflict(e *schema.Engine, n *relation.Network, rule *lint.Rule, c relation.Conflict) *lint.Finding {
	at := placeOf(c)
	f := lint.NewFinding(rule, printed(at.figure), message(n, c))
	f.Variant, f.Path = e.Variant, c.Broken[0].Where
	seen := map[*relation.Variable]bool{}
	for i, r := range c.Broken {
		if i > 0 {
			f.Work("")
		}
		for _, line := range r.Working(n) {
			f.Work("%s", line)
		}
		for _, v := range r.Variables() {
			if !v.IsPrinted() || seen[v] {
				continue
			}
			seen[v] = true
			f.Involving(v.Figure)
			if v.Figure != at.figure {
				f.See(printed(v.Figure), "%s: %s%s", v.Title, v.Figure.Text(), cited(v.Figure))
			}
		}
	}
	for _, s := range c.Suspects {
		f.Suspects = append(f.Suspects, lint.SuspectOf(s))
	}
	return f
}

// spot is the figure a finding points at.
type spot struct{ figure *schema.Figure }

// placeOf picks the likeliest slip, or the first printed figure of the broken
// relations when nothing alone explains the conflict.
func placeOf(c relation.Conflict) spot {
	if len(c.Suspects) > 0 {
		return spot{c.Suspects[0].Variable.Figure}
	}
	for _, r := range c.Broken {
		for _, v := range r.Variables() {
			if v.IsPrinted() {
				return spot{v.Figure}
			}
		}
	}
	return spot{&schema.Figure{}}
}

// printed is the place of the print that a figure is followed by.
func printed(f *schema.Figure) schema.Place {
	if c := f.First(); c != nil {
		return c.At
	}
	return f.At
}

func message(n *relation.Network, c relation.Conflict) string {
	var b strings.Builder
	first := c.Broken[0]
	if c.Joint {
		fmt.Fprintf(&b, "%s cannot all hold", relations(len(c.Broken)))
	} else {
		_, right := first.Sides(n)
		fmt.Fprintf(&b, "%s does not fit: %s, which comes to %s", first.Variables()[0].Title, first.Numbers(n), right)
		if more := len(c.Broken) - 1; more > 0 {
			fmt.Fprintf(&b, ", and %s more with it", relations(more))
		}
	}
	b.WriteString(verdict(c))
	return b.String()
}

// verdict says which figure is the slip, or that the prints do not tell.
func verdict(c relation.Conflict) string {
	if len(c.Suspects) == 0 {
		return "; no single figure explains it"
	}
	first := c.Suspects[0]
	title, print := first.Variable.Title, first.Variable.Figure.Text()
	switch {
	case c.Decided() && first.Slip != "":
		return fmt.Sprintf("; most likely %s %s is a slip for %s (%s)", title, print, first.Likely, first.Slip)
	case c.Decided():
		return fmt.Sprintf("; only %s %s can explain it", title, print)
	case first.Slip != "":
		return fmt.Sprintf("; the prints do not tell which figure is wrong; %s %s may be a slip for %s (%s)", title, print, first.Likely, first.Slip)
	}
	return "; the prints do not tell which figure is wrong"
}

func relations(n int) string {
	if n == 1 {
		return "one relation"
	}
	return fmt.Sprintf("%d relations", n)
}

// cited says where a figure comes from, for a reader who will go and look.
func cited(f *schema.Figure) string {
	if c := f.First(); c != nil && c.From.Given() {
		return " [" + c.From.String() + "]"
	}
	return ""
}
