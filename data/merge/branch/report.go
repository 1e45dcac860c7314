//go:build !js

package branch

import (
	"context"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
)

// Report says what a merge comes to, for those who decide on it and for those
// who look back.
type Report struct {
	Rev  string `json:"merged_rev"`
	Into string `json:"into"`
	// Commit is the merge, where it was made.
	Commit string `json:"commit,omitempty"`
	// Contributors made the commits that it brings, the latest first.
	Contributors []string `json:"contributors"`
	// Note says where and how a contribution that is in no commit was read.
	Note      string        `json:"note,omitempty"`
	Conflicts []Unsettled   `json:"conflicts"`
	Removed   []Taken       `json:"removed"`
	Rereads   []MeantBefore `json:"read_again"`
	// Changes is what is said otherwise than before on our side. Files in
	// conflict are as they are there.
	Changes *changes.Report `json:"changes"`
}

// Unsettled is a file in conflict.
type Unsettled struct {
	File string `json:"file"`
	Why  string `json:"why"`
	// Figures are the places where both sides cannot be had, each with what
	// either says.
	Figures []TwoWays `json:"figures,omitempty"`
}

// TwoWays is a place that the sides changed in two ways.
type TwoWays struct {
	Variant string `json:"variant,omitempty"`
	Path    string `json:"path"`
	Kind    string `json:"kind"`
	Base    string `json:"before"`
	Ours    string `json:"ours"`
	Theirs  string `json:"theirs"`
}

// Taken is a claim that one side took out and the other left alone.
type Taken struct {
	File    string `json:"file"`
	Variant string `json:"variant,omitempty"`
	Path    string `json:"path"`
	Printed string `json:"printed"`
	From    string `json:"from"`
	By      string `json:"by"`
}

// MeantBefore is a figure set by one side in a section of which the other
// changed what its figures mean.
type MeantBefore struct {
	File    string `json:"file"`
	Path    string `json:"path"`
	Printed string `json:"printed"`
	Word    string `json:"word"`
	Was     string `json:"was"`
	Is      string `json:"is"`
}

// Report compares the target before and after the merge under a rule book.
func (m *Merge) Report(ctx context.Context, book []*lint.Rule) (*Report, error) {
	r := &Report{Rev: m.Rev, Into: m.Target.Name(), Contributors: append(contributors(m.Commits), m.by...), Note: m.note, Conflicts: []Unsettled{}, Removed: []Taken{}, Rereads: []MeantBefore{}}
	for _, f := range m.Files {
		r.add(f)
	}
	before, after, err := m.inputs()
	if err != nil {
		return nil, err
	}
	r.Changes, err = changes.Compare(ctx, before, after, book)
	return r, err
}

func contributors(all []commits.Commit) []string {
	names := []string{}
	known := map[string]bool{}
	for _, c := range all {
		if name := inLine(c.Author.Name + " <" + c.Author.Email + ">"); !known[name] {
			known[name] = true
			names = append(names, name)
		}
	}
	return names
}

func (r *Report) add(f File) {
	if f.Conflict != nil {
		u := Unsettled{File: f.Path, Why: f.Conflict.Why}
		if f.Figures != nil {
			for _, c := range f.Figures.Conflicts {
				u.Figures = append(u.Figures, TwoWays{c.Variant, c.Path, string(c.Kind), words(c.Base), words(c.Ours), words(c.Theirs)})
			}
		}
		r.Conflicts = append(r.Conflicts, u)
	}
	if f.Figures == nil {
		return
	}
	for _, x := range f.Figures.Removed {
		if x.By == merge.Ours {
			r.Removed = append(r.Removed, Taken{f.Path, x.Variant, x.Path, x.Printed, x.Citation(), x.By.String()})
		}
	}
	for _, x := range f.Figures.Reread {
		was := ""
		if x.Was != nil {
			was = x.Was.Printed
		}
		r.Rereads = append(r.Rereads, MeantBefore{f.Path, x.Figure.Path, x.Figure.Printed, x.Word.Path, was, x.Word.Printed})
	}
}
