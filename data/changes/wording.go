package changes

import (
	"strings"

	"fourmarks.example/data/claims"
)

// wording turns changes into phrases. Whatever a file says passes through quote,
// which makes it harmless where the phrase is shown.
type wording struct{ quote func(string) string }

// claim is a print with its source beside it.
func (w wording) claim(c *claims.Claim) string {
	said := "nothing"
	if !c.Empty {
		said = w.quote(c.Printed)
	}
	if c.Source != "" {
		said += " " + w.source(c.Citation())
	}
	return said
}

func (w wording) source(citation string) string { return "[" + w.quote(citation) + "]" }

// change is what a claim was and is.
func (w wording) change(c Change) string {
	b, a := c.Before, c.After
	switch c.What() {
	case Added, Removed, SetAside, Restored, Remarked, Unchanged:
		return w.claim(c.Claim())
	case Sourced:
		return w.quote(a.Printed) + " " + w.source(b.Citation()) + " → " + w.source(a.Citation())
	}
	if b.Citation() == a.Citation() && b.Source != "" && !b.Empty {
		return w.quote(b.Printed) + " → " + w.claim(a)
	}
	return w.claim(b) + " → " + w.claim(a)
}

// remarks are what is said beside the print where it differs.
func (w wording) remarks(c Change) []string {
	b, a := orEmpty(c.Before), orEmpty(c.After)
	var all []string
	add := func(name, was, is string) {
		switch {
		case was == is || c.After == nil:
		case was == "":
			all = append(all, name+": "+w.quote(is))
		case is == "":
			all = append(all, name+" taken out: "+w.quote(was))
		default:
			all = append(all, name+": "+w.quote(was)+" → "+w.quote(is))
		}
	}
	add("note", b.Note, a.Note)
	add("quote", b.Quote, a.Quote)
	add("seen on", b.SeenOn, a.SeenOn)
	add("seen by", b.SeenBy, a.SeenBy)
	add("set aside", b.SetAside, a.SetAside)
	return all
}

func orEmpty(c *claims.Claim) claims.Claim {
	if c == nil {
		return claims.Claim{}
	}
	return *c
}

// consequences are what a reader has to know of the changes of a figure.
func (w wording) consequences(f Figure) []string {
	var all []string
	if len(f.Followed) > 0 {
		var base []string
		for _, s := range f.Followed {
			base = append(base, w.said(s))
		}
		is := "had from the base until now: "
		if f.Claims[0].After == nil {
			is = "has from the base now: "
		}
		all = append(all, is+strings.Join(base, ", "))
	}
	if len(f.Inherited) > 0 {
		all = append(all, "inherited by "+w.list(f.Inherited))
	}
	switch {
	case f.Dispute == Opened:
		all = append(all, "the claims now disagree")
	case f.Dispute == Ended:
		all = append(all, strings.TrimSuffix("the disagreement is ended: "+f.After, ": "))
	case f.Before != f.After:
		all = append(all, f.Before+" → "+f.After)
	}
	return all
}

func (w wording) said(s Said) string {
	if s.From == "" {
		return w.quote(s.Printed)
	}
	return w.quote(s.Printed) + " " + w.source(s.From)
}

func (w wording) list(names []string) string {
	quoted := make([]string, len(names))
	for i, name := range names {
		quoted[i] = w.quote(name)
	}
	return strings.Join(quoted, ", ")
}

// word is a value that is not a figure, as it was and as it is.
func (w wording) word(v Word) string {
	switch v.What {
	case Added:
		return w.quote(v.After)
	case Removed:
		return "taken out: " + w.quote(v.Before)
	}
	return w.quote(v.Before) + " → " + w.quote(v.After)
}

// place names a figure or a value, and the variant that says it.
func (w wording) place(path, variant string) string {
	if variant == "" {
		return w.quote(path)
	}
	return w.quote(path) + " of " + w.quote(variant)
}

// fate is what became of an engine; "" when it only changed.
func (w wording) fate(e Engine) string {
	s := ""
	switch {
	case e.Fate == Renamed:
		s = "was " + w.list(e.Was)
	case e.Fate == New && len(e.Was) > 0:
		s = "new, in the place of " + w.list(e.Was)
	case e.Fate == New:
		s = "new"
	case e.Fate == Gone && len(e.Now) > 0:
		s = "removed, now " + w.list(e.Now)
	case e.Fate == Gone:
		s = "removed"
	case len(e.Was) > 0:
		s = "holds now what was " + w.list(e.Was)
	}
	if e.Because != "" && s != "" {
		s += ": " + w.quote(e.Because)
	}
	if e.MovedFrom != "" {
		s = strings.TrimPrefix(s+"; moved from "+w.quote(e.MovedFrom), "; ")
	}
	return s
}

// relation is a finding in a phrase.
func (w wording) relation(r Relation) string {
	s := r.Level.String() + " " + w.quote(r.Rule)
	if r.Variant != "" {
		s += " in " + w.quote(r.Variant)
	}
	s += ": " + w.quote(r.Message)
	if r.Reason != "" {
		s += "; accepted: " + w.quote(r.Reason)
	}
	return s
}

// relationList is findings under a title.
type relationList struct {
	title string
	all   []Relation
}

func relations(e Engine) []relationList {
	return []relationList{{"Newly broken", e.Broken}, {"Mended", e.Mended}, {"Accepted since", e.Accepted}}
}
