//go:build !js

package branch

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/claims"
)

// inLine makes a text one line: what would end a line, or could be taken for the
// end of one, is a blank.
func inLine(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(c rune) bool { return unicode.IsSpace(c) || unicode.IsControl(c) }), " ")
}

// Message is the message of the merge commit. Its last paragraph are trailers as
// git knows them: who contributed, which sources came, which figures changed. So
// history can be read with git alone. What people wrote stands in single lines
// and after a word of ours, so that nothing of it can pass for a trailer.
func (r *Report) Message() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Merge %s into %s\n\n", inLine(r.Rev), inLine(r.Into))
	if n := len(r.Changes.Engines); n > 0 {
		fmt.Fprintf(&b, "Figures of %s.\n\n", counted(n, "engine"))
	}
	if r.Note != "" {
		fmt.Fprintf(&b, "Read: %s\n\n", inLine(r.Note))
	}
	for _, name := range r.Contributors {
		fmt.Fprintf(&b, "Contributed-by: %s\n", name)
	}
	var sources []string
	for _, e := range r.Changes.Engines {
		for _, f := range e.Figures {
			path := f.Path
			if f.Variant != "" {
				path = f.Variant + ": " + path
			}
			for _, c := range f.Claims {
				fmt.Fprintf(&b, "Figure: %s\n", inLine(e.ID+" "+path+" "+happened(c)))
				if c.After != nil && c.After.Source != "" && !slices.Contains(sources, c.After.Source) {
					sources = append(sources, c.After.Source)
				}
			}
		}
	}
	slices.Sort(sources)
	for _, s := range sources {
		fmt.Fprintf(&b, "Source: %s\n", inLine(s))
	}
	return b.String()
}

// happened tells a change of a claim in a few words.
func happened(c changes.Change) string {
	said := func(c *claims.Claim) string {
		if from := c.Citation(); from != "" {
			return c.Printed + " [" + from + "]"
		}
		return c.Printed
	}
	switch {
	case c.Before == nil:
		return "added " + said(c.After)
	case c.After == nil:
		return "removed " + said(c.Before)
	}
	return string(c.What()) + " " + said(c.Before) + " to " + said(c.After)
}

func counted(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// words is what several claims say, in one line.
func words(all []claims.Claim) string {
	var said []string
	for i := range all {
		text := inLine(all[i].Printed)
		if from := all[i].Citation(); from != "" {
			text += " [" + inLine(from) + "]"
		}
		said = append(said, text)
	}
	return strings.Join(said, "; ")
}

// Markdown writes the report in GitHub Flavored Markdown, made for a pull
// request. Whatever a file or a commit says stands as code.
func (r *Report) Markdown(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "## Merge of %s into %s\n\n", changes.Code(r.Rev), changes.Code(r.Into))
	if len(r.Contributors) > 0 {
		b.WriteString("Contributed by:\n\n")
		for _, name := range r.Contributors {
			fmt.Fprintf(&b, "- %s\n", changes.Code(name))
		}
		b.WriteString("\n")
	}
	if r.Note != "" {
		fmt.Fprintf(&b, "Read: %s\n\n", changes.Code(r.Note))
	}
	if len(r.Conflicts) > 0 {
		fmt.Fprintf(&b, "### In conflict\n\n")
	}
	for _, c := range r.Conflicts {
		fmt.Fprintf(&b, "- %s: %s\n", changes.Code(c.File), changes.Code(c.Why))
		for _, f := range c.Figures {
			fmt.Fprintf(&b, "  - %s, %s: before %s, ours %s, theirs %s\n", changes.Code(strings.TrimSpace(f.Variant+" "+f.Path)), f.Kind, orNothing(f.Base), orNothing(f.Ours), orNothing(f.Theirs))
		}
	}
	if len(r.Conflicts) > 0 {
		b.WriteString("\n")
	}
	for _, x := range r.Rereads {
		fmt.Fprintf(&b, "- Read again: %s of %s is %s, and %s was changed from %s to %s on the other side\n",
			changes.Code(x.Path), changes.Code(x.File), changes.Code(x.Printed), changes.Code(x.Word), orNothing(x.Was), orNothing(x.Is))
	}
	for _, x := range r.Removed {
		fmt.Fprintf(&b, "- Stays away: %s of %s, %s, which our side took out\n", changes.Code(strings.TrimSpace(x.Variant+" "+x.Path)), changes.Code(x.File), changes.Code(x.Printed))
	}
	if len(r.Rereads)+len(r.Removed) > 0 {
		b.WriteString("\n")
	}
	if r.Changes.Empty() {
		b.WriteString("Nothing is said otherwise.\n")
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	return changes.Markdown(w, r.Changes)
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return changes.Code(s)
}
