// Package settle ends a disagreement about a figure: one claim is kept, those
// that it rules out are set aside with a reason, and every claim stays in the
// file. Bytes are put in where they belong; nothing else in the file is touched.
//
// Which claim is right is not decided here.
package settle

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/schema"
)

// Decision says how a disagreement ends.
type Decision struct {
	// Variant names the variant whose own claims are meant; empty for the base.
	Variant string
	// Figure is the path of the figure, or the end of it where that names only
	// one: events.checking.inlet_closes, inlet_closes.
	Figure string
	// Keep is the key of the claim that is followed from now on.
	Keep string
	// Because is why the others are not.
	Because string
}

// Settlement is a disagreement that was ended.
type Settlement struct {
	Figure *schema.Figure // as it was
	Kept   *schema.Claim
	// Witnesses agree with the claim that is kept and stand beside it.
	Witnesses []*schema.Claim
	// Aside are the claims that are set aside by this.
	Aside []*schema.Claim
	// Inherits are the variants that have the figure from the base.
	Inherits []string
	// After is the text of the file with the claims set aside.
	After []byte
	// Lines are the lines of After on which the reason stands.
	Lines []int
}

// Settle sets aside what the claim to be kept rules out. A claim that agrees
// with it, and with every other that stands, goes on standing: it is a witness.
// Whatever is not clear is an error that says what to do, and nothing is changed.
func Settle(f *schema.File, d Decision) (*Settlement, error) {
	if problems := f.Doc.Problems; len(problems) > 0 {
		line, _ := f.Doc.Position(problems[0].Span.Start)
		return nil, fmt.Errorf("%s, line %d: %s; mend that first", f.Name, line, problems[0].Message)
	}
	if d.Because = strings.Join(strings.Fields(d.Because), " "); d.Because == "" {
		return nil, errors.New("say why the other claims are not followed, with --because")
	}
	base, _ := schema.DecodeEngine(f)
	fig, err := figureOf(base, d)
	if err != nil {
		return nil, err
	}
	s := &Settlement{Figure: fig}
	if d.Variant == "" {
		s.Inherits = inherits(base, fig.Path)
	}
	if err := s.divide(d.Keep); err != nil {
		return nil, err
	}
	if err := s.write(f, d.Because); err != nil {
		return nil, err
	}
	return s, s.verify(f, d)
}

// divide tells the claim to be kept from those it rules out.
func (s *Settlement) divide(keep string) error {
	fig := s.Figure
	standing := slices.Collect(fig.Standing())
	if len(fig.Claims) == 1 {
		return fmt.Errorf("%s has one claim only, %s, so there is nothing to settle", fig.Path, sayClaim(&fig.Claims[0]))
	}
	if keep == "" {
		return fmt.Errorf("say which claim is followed from now on, with --keep: %s", strings.Join(keys(fig), ", "))
	}
	i := slices.IndexFunc(fig.Claims, func(c schema.Claim) bool { return c.Key == keep })
	if i < 0 {
		return unknownClaim(fig, keep)
	}
	s.Kept = &fig.Claims[i]
	switch {
	case s.Kept.SetAside.Given():
		line, _ := s.Kept.SetAside.At.Position()
		return fmt.Errorf("%s is set aside (%s); to follow it again take `set_aside:` out of line %d, then settle", keep, s.Kept.SetAside.Text, line)
	case s.Kept.Printed.Absence != "":
		return fmt.Errorf("%s gives no figure (%s), so it cannot be followed", keep, s.Kept.Printed.Text)
	}
	stands := []*schema.Claim{s.Kept}
	for _, c := range standing {
		switch {
		case c == s.Kept:
		case !slices.ContainsFunc(stands, func(o *schema.Claim) bool { return !schema.Agree(c, o) }):
			stands = append(stands, c)
			s.Witnesses = append(s.Witnesses, c)
		default:
			s.Aside = append(s.Aside, c)
		}
	}
	if len(s.Aside) == 0 {
		return fmt.Errorf("the claims of %s do not disagree, so there is nothing to settle: %s", fig.Path, sayClaims(stands))
	}
	return nil
}

func unknownClaim(fig *schema.Figure, keep string) error {
	return fmt.Errorf("%s has no claim %q%s; it has: %s", fig.Path, keep, schema.DidYouMean(keep, keys(fig)), strings.Join(keys(fig), ", "))
}

func keys(fig *schema.Figure) []string {
	all := make([]string, len(fig.Claims))
	for i, c := range fig.Claims {
		all[i] = c.Key
	}
	return all
}

// sayClaim is a claim's print with its source.
func sayClaim(c *schema.Claim) string {
	if !c.From.Given() {
		return c.Printed.Text
	}
	return c.Printed.Text + " [" + c.From.String() + "]"
}

func sayClaims(all []*schema.Claim) string {
	said := make([]string, len(all))
	for i, c := range all {
		said[i] = sayClaim(c)
	}
	return strings.Join(said, ", ")
}
