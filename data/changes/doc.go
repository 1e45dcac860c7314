// Package changes says what is said otherwise in one state of a dataset than in
// another: claim by claim, and never line by line. Two versions of a file are
// compared by [Between]; two whole datasets by [Compare], which adds what a
// reader has to know of a change: who inherits it, which disagreements it opens
// or ends, which relations between figures it breaks or mends.
//
// Where the two states come from, a folder, a revision or a merge not yet
// written, is not known here.
package changes

import (
	"encoding/json"

	"fourmarks.example/data/claims"
)

// Change is one claim, or one other value of a file, as it was and as it is.
// Before is nil for what is new, After for what is gone. Where a figure is a
// single print and was given another source, both are there and their keys
// differ.
type Change struct {
	Before, After *claims.Claim
}

// Claim returns the claim as it is, or as it was when it is gone.
func (c Change) Claim() *claims.Claim {
	if c.After != nil {
		return c.After
	}
	return c.Before
}

// What names the gravest difference between two versions of a claim.
type What string

const (
	Added   What = "added"
	Removed What = "removed"
	// Changed: another print. Whatever else differs comes with it.
	Changed What = "changed"
	// SetAside and Restored: the same print, no longer followed or followed again.
	SetAside What = "set aside"
	Restored What = "restored"
	// Sourced: the same print from another source, or from another place in it.
	Sourced What = "sourced"
	// Remarked: only what is said beside the print differs.
	Remarked  What = "remarked"
	Unchanged What = "unchanged"
)

// What says in which way the claim differs.
func (c Change) What() What {
	b, a := c.Before, c.After
	switch {
	case b == nil:
		return Added
	case a == nil:
		return Removed
	case b.Printed != a.Printed || b.Empty != a.Empty || b.Kind != a.Kind:
		return Changed
	case a.Aside && !b.Aside:
		return SetAside
	case b.Aside && !a.Aside:
		return Restored
	case b.Citation() != a.Citation():
		return Sourced
	case claims.Same(b, a):
		return Unchanged
	}
	return Remarked
}

// MarshalJSON writes what happened, the claim's key, and the claim before and
// after, null where there is none.
func (c Change) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		What   What   `json:"what"`
		Key    string `json:"key"`
		Before *Said  `json:"before"`
		After  *Said  `json:"after"`
	}{c.What(), c.Claim().Key, said(c.Before), said(c.After)})
}

// Said is what a claim says, as text alone.
type Said struct {
	Printed  string `json:"printed"`
	From     string `json:"from"`
	Note     string `json:"note"`
	Quote    string `json:"quote"`
	SeenOn   string `json:"seen_on"`
	SeenBy   string `json:"seen_by"`
	Aside    bool   `json:"aside"`
	SetAside string `json:"set_aside"`
}

func said(c *claims.Claim) *Said {
	if c == nil {
		return nil
	}
	return &Said{Printed: c.Printed, From: c.Citation(), Note: c.Note, Quote: c.Quote, SeenOn: c.SeenOn, SeenBy: c.SeenBy, Aside: c.Aside, SetAside: c.SetAside}
}
