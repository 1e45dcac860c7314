package publish

import (
	"fmt"
	"regexp"
	"slices"

	"fourmarks.example/data/release"
	"fourmarks.example/lint"
	"fourmarks.example/lint/rules"
	"fourmarks.example/schema"
)

// isID reports whether a text is an id, as the format has them: so that the
// path of an engine's file in the release is one.
var isID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]*/[a-z0-9][a-z0-9-]*$`).MatchString

// prepare reads the i-th engine and makes of it what is published.
func (w *writer) prepare(i int) (*turn, error) {
	in := w.engines[i]
	e, err := w.decode(in)
	switch {
	case err != nil:
	case i > 0 && w.engines[i-1].ID == in.ID, i+1 < len(w.engines) && w.engines[i+1].ID == in.ID:
		err = fmt.Errorf("two files hold the engine %s", in.ID)
	}
	if err != nil {
		return &turn{withheld: &release.Withheld{Engine: in.ID, Because: err.Error()}}, nil
	}
	of := w.found[in.Name]
	register := w.register(e)
	published := Engine(e, register, !of.contradicts)
	published.Errors = of.errors
	leftOut := requireStanding(published, w.options.Require)
	text, err := encode(published)
	if err != nil {
		return nil, err
	}
	is := &Prepared{Engine: e, Register: register, Published: published, JSON: text, Entry: entry(published)}
	for _, t := range tables() {
		var rows []row
		if t.rows != nil {
			t.rows(published, func(r row) { rows = append(rows, r) })
		}
		is.rows = append(is.rows, rows)
	}
	return &turn{is: is, leftOut: leftOut}, nil
}

// decode reads an engine; the error says why it cannot be published.
func (w *writer) decode(in lint.Input) (*schema.Engine, error) {
	b, err := in.Read()
	if err != nil {
		return nil, err
	}
	e, _ := schema.DecodeEngine(schema.ReadFile(in.Name, b)) // what it lacks, the linter has said
	switch id := e.ID.Text; {
	case !isID(id):
		return nil, fmt.Errorf("its id %q is no id: two names of small letters, figures and hyphens with a stroke between", id)
	case id != in.ID:
		return nil, fmt.Errorf("its id is %s, and by its path it should be %q", id, in.ID)
	}
	return e, nil
}

func (w *writer) register(e *schema.Engine) schema.Register {
	return func(id string) (*schema.Source, bool) {
		if own, ok := e.Sources.Get(id); ok {
			return own, true
		}
		s, ok := w.records[id]
		return s, ok
	}
}

// requireStanding takes out the figures of too weak a standing, with all their claims,
// and counts them. What is absent stays; what is derived goes, for it is known
// no better than what it follows from.
func requireStanding(e *release.Engine, least string) release.Standings {
	if least == "" {
		return nil
	}
	enough := rules.Requirable()[slices.Index(rules.Requirable(), least):]
	out := release.Standings{}
	each(e, func(_ string, s *release.Series) {
		gone := map[string]bool{}
		s.Figures = slices.DeleteFunc(s.Figures, func(f release.Figure) bool {
			if f.Standing == release.Absent || slices.Contains(enough, f.Standing) {
				return false
			}
			gone[f.Path] = true
			out[f.Standing]++
			delete(s.Standings, f.Standing)
			return true
		})
		without := func(all []release.Contest) []release.Contest {
			return slices.DeleteFunc(all, func(c release.Contest) bool { return gone[c.Path] })
		}
		s.Disputed, s.SetAside = without(s.Disputed), without(s.SetAside)
	})
	return out
}

// entry is what tells an engine from others.
func entry(e *release.Engine) release.Entry {
	is := release.Entry{ID: e.ID, Title: e.Title, Dates: e.Dates, Numbers: e.Numbers, AlsoCalled: e.AlsoCalled, Looks: e.Looks,
		File: engineFile(e.ID), Standings: e.Standings}
	for _, v := range e.Variants {
		is.Variants = append(is.Variants, release.Variety{Name: v.Name, Title: v.Title, Dates: v.Dates, Numbers: v.Numbers})
	}
	return is
}

// engineFile is the file of an engine in a release.
func engineFile(id string) string { return "engines/" + id + ".json" }
