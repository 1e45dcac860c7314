package history

import (
	"context"
	"slices"

	"fourmarks.example/data/changes"
	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits"
)

// steps tells the moments, the oldest first.
func (x *index) steps(ctx context.Context, r *commits.Repository) ([]Step, error) {
	var telling []moment
	var blobs []commits.Hash
	for _, m := range slices.Backward(x.moments) {
		if slices.Contains(m.parents, m.at) {
			continue // all of the engine is as in one of the parents
		}
		telling = append(telling, m)
		blobs = append(blobs, m.at.blob)
		for _, p := range m.parents {
			blobs = append(blobs, p.blob)
		}
	}
	if err := x.archive.fill(ctx, r, blobs); err != nil {
		return nil, err
	}
	all := []Step{}
	for _, m := range telling {
		s := x.archive.step(m)
		if s.Fate != "" || s.MovedFrom != "" || s.CutOff || len(s.Figures)+len(s.Words) > 0 {
			all = append(all, s)
		}
	}
	return all, nil
}

// step tells a moment.
func (a *archive) step(m moment) Step {
	is := a.versions[m.at.blob]
	was := make([]version, len(m.parents))
	for i, p := range m.parents {
		was[i] = a.versions[p.blob]
	}
	s := Step{Commit: m.commit.String(), Author: m.author.Name, Email: m.author.Email, When: m.author.When, Message: m.message,
		Contributors: contributors(m.message), Merge: len(m.parents) > 1, CutOff: m.cutOff, File: m.at.path, Unread: is.Unread, Figures: []changes.Figure{}, Words: []changes.Word{}}
	s.place(m)
	all := a.set(is, was)
	if m.cutOff {
		all = a.standing(is)
	}
	figures, words := changes.Group(all)
	for _, f := range figures {
		f.Dispute, f.After = a.dispute(figure{f.Variant, f.Path}, is, was)
		s.Figures = append(s.Figures, f)
	}
	s.Words = append(s.Words, words...)
	return s
}

// place says whether the engine came, went or moved.
func (s *Step) place(m moment) {
	before := slices.DeleteFunc(slices.Clone(m.parents), place.isNowhere)
	there := slices.ContainsFunc(before, func(p place) bool { return p.path == m.at.path })
	switch {
	case m.cutOff:
	case len(before) == 0:
		s.Fate = changes.New
	case m.at.isNowhere():
		s.Fate, s.File = changes.Gone, before[0].path
	case !there:
		s.MovedFrom = before[0].path
	}
}

// set returns the changes against the first parent of what is as in none of the
// parents.
func (a *archive) set(is version, was []version) []changes.Change {
	if len(was) == 0 {
		return changes.Between(a.apart(version{}, is))
	}
	all := changes.Between(a.apart(was[0], is))
	for _, other := range was[1:] {
		differs := map[claims.ID]bool{}
		for _, c := range changes.Between(a.apart(other, is)) {
			differs[c.Claim().ID] = true
		}
		all = slices.DeleteFunc(all, func(c changes.Change) bool { return !differs[c.Claim().ID] })
	}
	return all
}

// standing lists all that a version says, as it stood before already.
func (a *archive) standing(v version) []changes.Change {
	all := make([]changes.Change, len(v.Claims))
	for i, at := range v.Claims {
		all[i] = changes.Change{Before: &a.claims[at], After: &a.claims[at]}
	}
	return all
}

// dispute says what became of a disagreement about a figure: it began where there
// was none in any parent, and ended where there was one in all. With it goes how
// far the figure is established then.
func (a *archive) dispute(f figure, is version, was []version) (changes.Dispute, string) {
	inAny, inAll := false, len(was) > 0
	for _, v := range was {
		inAny = inAny || v.disputes(f)
		inAll = inAll && v.disputes(f)
	}
	switch {
	case is.disputes(f) && !inAny:
		return changes.Opened, "disputed"
	case !is.disputes(f) && inAll && a.setsAside(is, f):
		return changes.Ended, "settled"
	case !is.disputes(f) && inAll:
		return changes.Ended, ""
	}
	return changes.NoDispute, ""
}
