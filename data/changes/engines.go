package changes

import (
	"cmp"
	"maps"
	"slices"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// pair is an engine before and after; one of the two may be missing.
type pair struct {
	id            string
	before, after *version
	was, now      []string
	because       string
}

// pairEngines matches the engines that differ by id, following the record of
// moved ids, in the order of their ids.
func pairEngines(was, is map[string]*version, moves []schema.Move) ([]*pair, error) {
	old, now := engines(was), engines(is)
	pairs := map[string]*pair{}
	for id, v := range now {
		pairs[id] = &pair{id: id, before: old[id], after: v}
	}
	for id, v := range old {
		if now[id] == nil {
			pairs[id] = &pair{id: id, before: v}
		}
	}
	if err := follow(pairs, moves); err != nil {
		return nil, err
	}
	all := make([]*pair, 0, len(pairs))
	for _, p := range pairs {
		all = append(all, p)
	}
	slices.SortFunc(all, func(a, b *pair) int { return cmp.Compare(a.id, b.id) })
	return all, nil
}

// follow joins the engines that are gone to those that took their place: into
// one where only the id is another, and otherwise each with the ids of the other.
func follow(pairs map[string]*pair, moves []schema.Move) error {
	heirs := map[string][]*pair{} // by the id that they all became
	for _, id := range slices.Sorted(maps.Keys(pairs)) {
		p := pairs[id]
		if p.after != nil {
			continue
		}
		var err error
		if p.now, p.because, err = successors(id, moves); err != nil {
			return err
		}
		for _, to := range p.now {
			if next := pairs[to]; next != nil && next.after != nil {
				next.was, next.because = append(next.was, id), p.because
			}
		}
		if len(p.now) == 1 {
			heirs[p.now[0]] = append(heirs[p.now[0]], p)
		}
	}
	for id, from := range heirs {
		if next := pairs[id]; len(from) == 1 && next != nil && next.before == nil {
			next.before = from[0].before
			delete(pairs, from[0].id)
		}
	}
	return nil
}

// successors returns the ids that took the place of one, and why; none when the
// record does not know it.
func successors(id string, moves []schema.Move) ([]string, string, error) {
	i := slices.IndexFunc(moves, func(m schema.Move) bool { return m.From == id })
	if i < 0 {
		return nil, "", nil
	}
	to, err := schema.Follow(id, moves)
	return to, moves[i].Because, err
}

// engines returns the engine files among the versions by the id that they give.
// Where they give none, or that of another, the name of the file serves.
func engines(versions map[string]*version) map[string]*version {
	all := map[string]*version{}
	for _, name := range unionOf(versions, nil) {
		v := versions[name]
		if v.Kind != lint.EngineFile {
			continue
		}
		id := cmp.Or(v.word("/engine"), v.ID, name)
		if all[id] != nil {
			id = name
		}
		all[id] = v
	}
	return all
}

// word returns the value at a pointer of the file, "" where there is none.
func (v *version) word(pointer string) string {
	for i := range v.claims {
		if v.claims[i].Pointer == pointer {
			return v.claims[i].Printed
		}
	}
	return ""
}

// engine says what differs about an engine.
func (p *pair) engine(before, after []lint.Input) Engine {
	v := cmp.Or(p.after, p.before)
	e := Engine{ID: p.id, Title: v.word("/title"), Fate: fate(p.before, p.after), File: v.Name, Was: orNone(p.was), Now: orNone(p.now),
		Because: p.because, Unread: unread(p.before, p.after), Figures: []Figure{}, Words: []Word{}}
	if p.before != nil && p.after != nil {
		if p.before.Name != p.after.Name {
			e.MovedFrom = p.before.Name
		}
		if p.before.word("/engine") != p.after.word("/engine") && len(p.was) > 0 {
			e.Fate = Renamed
		}
	}
	was, is := readSide(p.before, before), readSide(p.after, after)
	figures, words := Group(between(p.before, p.after))
	for _, f := range figures {
		f.judge(was, is)
		e.Figures = append(e.Figures, f)
	}
	for _, w := range words {
		if e.Fate == Kept || w.Variant != "" || !slices.Contains(heading, w.Path) {
			e.Words = append(e.Words, w)
		}
	}
	return e
}

// heading are the values that a report names an engine by.
var heading = []string{"format", "engine", "title"}

func orNone(ids []string) []string { return append([]string{}, ids...) }
