package changes

import (
	"fourmarks.example/data/claims"
	"fourmarks.example/lint"
)

// Report says what differs between two states of a dataset.
type Report struct {
	// Engines are those whose files differ, by id.
	Engines []Engine `json:"engines"`
	// Records are the source records, and the record of moved ids, that differ.
	Records []Record `json:"records"`
}

// Empty reports whether nothing is said otherwise.
func (r *Report) Empty() bool { return len(r.Engines)+len(r.Records) == 0 }

// Fate is what became of an engine or a record.
type Fate string

const (
	Kept    Fate = "changed" // and still there under its id
	New     Fate = "added"
	Gone    Fate = "removed"
	Renamed Fate = "renamed"
)

// Engine is an engine that is not as it was.
type Engine struct {
	ID    string `json:"engine"`
	Title string `json:"title"`
	Fate  Fate   `json:"fate"`
	// File is where it stands, or stood.
	File string `json:"file"`
	// MovedFrom is the file it stood in, where that is another.
	MovedFrom string `json:"moved_from"`
	// Was are ids, used no longer, that it took the place of; Now are those that
	// took its place. Because is the reason that the record of moved ids gives.
	Was     []string `json:"was"`
	Now     []string `json:"now"`
	Because string   `json:"because"`
	// Unread says why a version of the file cannot be read in full: what is said
	// here of its figures may then be incomplete.
	Unread []string `json:"unread"`

	Figures []Figure `json:"figures"`
	// Words are the other values that differ, each by itself.
	Words []Word `json:"words"`

	// Broken are findings that were not there before, Mended are those that are
	// there no longer, Accepted those that have been accepted since. Notes are
	// left out: what they say of disagreements stands with the figures.
	Broken   []Relation `json:"broken"`
	Mended   []Relation `json:"mended"`
	Accepted []Relation `json:"accepted"`
}

// Figure is a figure of which something else is said.
type Figure struct {
	Path string `json:"path"`
	// Variant names the variant that says it; empty for the base.
	Variant string   `json:"variant"`
	Claims  []Change `json:"claims"`
	// Inherited are the variants that have the figure from the base.
	Inherited []string `json:"inherited_by"`
	// Followed are the claims of the base that the variant had before it said
	// something itself, or has now that it no longer does.
	Followed []Said `json:"followed"`
	// Before and After are how far the figure was and is established.
	Before string `json:"standing_before"`
	After  string `json:"standing_after"`
	// Dispute says whether a disagreement began or ended.
	Dispute Dispute `json:"dispute"`
}

// Dispute is what became of a disagreement about a figure.
type Dispute string

const (
	NoDispute Dispute = ""
	Opened    Dispute = "opened"
	Ended     Dispute = "ended"
)

// Word is a value that is not a figure, as it was and as it is.
type Word struct {
	Path    string `json:"path"`
	Variant string `json:"variant"`
	Before  string `json:"before"`
	After   string `json:"after"`
	What    What   `json:"what"`
}

// Relation is a finding about the figures of an engine.
type Relation struct {
	Rule    string     `json:"rule"`
	Level   lint.Level `json:"level"`
	Variant string     `json:"variant"`
	Path    string     `json:"path"`
	Message string     `json:"message"`
	// Reason is why it is kept, where it has been accepted.
	Reason string `json:"reason"`
}

// Record is a file of the dataset that holds no engine.
type Record struct {
	// ID is that of the source; empty for the record of moved ids.
	ID     string   `json:"source"`
	File   string   `json:"file"`
	Fate   Fate     `json:"fate"`
	Unread []string `json:"unread"`
	Words  []Word   `json:"words"`
}

func word(c Change) Word {
	w := Word{Path: c.Claim().Path, Variant: c.Claim().Variant, What: c.What()}
	if c.Before != nil {
		w.Before = c.Before.Printed
	}
	if c.After != nil {
		w.After = c.After.Printed
	}
	return w
}

// followed lists the claims that the base makes of a figure.
func followed(base []claims.Claim, path string) []Said {
	var all []Said
	for i := range base {
		if c := &base[i]; c.Kind == claims.Print && c.Variant == "" && c.Path == path {
			all = append(all, *said(c))
		}
	}
	return all
}
