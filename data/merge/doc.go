// Package merge brings versions of a dataset's files together by what they say,
// and not by lines.
//
// The unit is the claim: a printed figure with its source, locator and remarks,
// never taken apart. Claims are compared with their sources resolved, so that a
// figure which inherits the source of its section is not silently given the
// other side's: where the merged section names another source, the claim's own is
// written beside it. Two sides that give a figure different values from different
// sources do not conflict. Both claims stand, and the figure is disputed.
//
// The merged text is put together from the bytes of the texts that went in.
// Nothing is encoded anew but what has to be written to keep a source beside its
// figure. The text is read again, and every claim and value of it is compared
// with what was decided, before it is returned.
//
// What this package does not do: it knows nothing of git, writes no files, and
// does not judge which of two claims is right.
package merge

import (
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
)

// By names the side that a change comes from.
type By uint8

const (
	Ours   By = iota + 1 // the side merged into
	Theirs               // the side merged
	Both                 // either side made the same change
)

// String names the side: ours, theirs or both.
func (b By) String() string { return [...]string{"neither", "ours", "theirs", "both"}[b] }

// MarshalText writes the side by name.
func (b By) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// Base is what both sides started from.
type Base struct {
	// Text is the file; empty when both sides started the file.
	Text []byte
	// Open are the places where the base itself is the result of a merge that
	// conflicted, see Result.Base: there nobody can say what was before.
	Open []claims.ID
}

// Result is a merged file and what became of what.
type Result struct {
	// Text is the merged file. At the place of a conflict it has what the side
	// merged into has.
	Text []byte
	// Conflicts is what cannot be kept side by side, in the order of the path.
	Conflicts []Conflict
	// Changed are the claims and values that the base does not have, or has
	// otherwise, each with the side it comes from.
	Changed []Change
	// Removed are the claims and values of the base that are not in the result:
	// a side took them out and the other left them alone, or both took them out.
	Removed []Removal
	// Disputed are the figures on which claims disagree in the result but on
	// neither side before.
	Disputed []Dispute
	// Reread are figures that one side set in a section of which the other side
	// changed or took out a word, for words say what the figures mean.
	Reread []Reread
}

// Change is a claim or value that one side, or both, brought.
type Change struct {
	claims.Claim
	// Was is what the base has in its place, nil where it has nothing.
	Was *claims.Claim
	By  By
}

// Removal is a claim or value that is not in the result.
type Removal struct {
	claims.Claim
	By By
}

// Dispute is a figure on which claims that stand disagree.
type Dispute struct {
	Variant, Path string
	Claims        []claims.Claim
}

// Reread is a figure to be read again with its section's words in view.
type Reread struct {
	Figure claims.Claim
	Word   claims.Claim // the word as it is now, empty where it is gone
	Was    *claims.Claim
	By     By // who changed the word; the other side set the figure
}

// ConflictKind says why two sides cannot be kept side by side.
type ConflictKind string

const (
	// Edited: the same claim or value was changed in two ways.
	Edited ConflictKind = "edited two ways"
	// Added: both sides added the same claim or value, and differ.
	Added ConflictKind = "added two ways"
	// SetAside: one side set the claim aside, the other changed it.
	SetAside ConflictKind = "set aside and edited"
	// Deleted: one side took out what the other changed.
	Deleted ConflictKind = "deleted and edited"
	// Structure: what one side made a section, a list, a figure or something a
	// variant takes away, the other made something else.
	Structure ConflictKind = "structure changed two ways"
	// NoSource: of two claims that would both stand one names no source, so that
	// it cannot be kept beside the other.
	NoSource ConflictKind = "a claim without source beside another"
)

// Conflict is a place where the two sides cannot both be had.
type Conflict struct {
	claims.ID
	Variant, Path string
	Kind          ConflictKind
	// Base, Ours and Theirs are what each has at the place and below it.
	Base, Ours, Theirs []claims.Claim
}

// Base returns the result as the base of a further merge, for histories in which
// two lines of work have several last common versions. Where it conflicted, it is
// held to be open what was there.
func (r *Result) Base() Base {
	b := Base{Text: r.Text}
	for _, c := range r.Conflicts {
		b.Open = append(b.Open, c.ID)
	}
	return b
}

// Documents merges two versions of a file by claim. name is its path within the
// dataset and is used in errors only.
//
// It is an error, and nothing is returned, when one of the texts cannot be read
// in full (a conflict marker, a key that stands twice), when the sides are no maps
// of keys, and when the result would not read again as decided, or would not be a
// file of the format though both sides are. The error says which text and where.
func Documents(kind lint.InputKind, name string, base Base, ours, theirs []byte) (*Result, error) {
	m, err := newMerger(kind, name, base, ours, theirs)
	if err != nil {
		return nil, err
	}
	return m.merge()
}

// merge decides, writes, holds what is written to what was decided, and accounts
// for it.
func (m *merger) merge() (*Result, error) {
	root := m.decideRoot()
	m.result.Text = m.write(root)
	if err := m.verify(root); err != nil {
		return nil, err
	}
	m.account()
	return &m.result, nil
}
