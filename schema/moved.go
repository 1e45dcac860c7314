package schema

import (
	"fmt"

	"fourmarks.example/schema/text"
)

// Move records that an engine's id is no longer used and which took its place:
// one for a new name or a merger, several for a split. No id is ever used again
// for something else.
type Move struct {
	From    string
	To      []Word
	Because string
	At      Place
}

// DecodeMoved reads the record of moved ids: a map from each id that is no
// longer used to `to` (an id, or a list of ids after a split) and `because`.
func DecodeMoved(f *File) ([]Move, []Problem) {
	d := &decoder{file: f}
	if !d.readable(f) {
		return nil, d.sorted()
	}
	known := map[string]Property{"to": {}, "because": {}, "note": {}}
	var moves []Move
	for i := range f.Doc.Root.Entries {
		e := &f.Doc.Root.Entries[i]
		m := Move{From: e.Key.Text, At: d.place(e.Key)}
		if !d.isMap(layer{}, e, m.From, nil) {
			continue
		}
		for _, k := range e.Value.Entries {
			if _, ok := known[k.Key.Text]; !ok {
				d.problem(layer{}, UnknownKey, k.Key, "%s", unknownKey(k.Key.Text, known, "a moved id", false))
			}
		}
		if because := e.Value.Get("because"); because != nil && because.Kind == text.Scalar {
			m.Because = because.Text
		}
		m.To = d.targets(e)
		if m.Because == "" {
			d.problem(layer{}, Violation, e.Key, "`%s` moved without a reason; say why after `because:`", m.From)
		}
		moves = append(moves, m)
	}
	return moves, d.sorted()
}

func (d *decoder) targets(e *text.Entry) []Word {
	to := e.Value.Get("to")
	switch {
	case to == nil || to.Absent:
		d.problem(layer{}, Violation, e.Key, "`%s` moved nowhere; name the id that took its place after `to:`", e.Key.Text)
	case to.Kind == text.Scalar:
		return []Word{{Text: to.Text, At: d.place(to)}}
	case to.Kind == text.List:
		return d.words(layer{}, e.Value.Entry("to"), e.Key.Text+".to")
	default:
		d.problem(layer{}, Violation, to, "`to` takes an id or a list of ids")
	}
	return nil
}

// Follow returns the ids that an id stands for now: itself when it never moved.
// A circle, or an id that moved nowhere, is an error.
func Follow(id string, moves []Move) ([]string, error) {
	byFrom := map[string]Move{}
	for _, m := range moves {
		byFrom[m.From] = m
	}
	var now []string
	var walk func(id string, depth int) error
	walk = func(id string, depth int) error {
		m, moved := byFrom[id]
		switch {
		case !moved:
			now = append(now, id)
			return nil
		case depth > len(moves):
			return fmt.Errorf("the record of moved ids leads in a circle at %s", id)
		case len(m.To) == 0:
			return fmt.Errorf("%s moved, and the record does not say where", id)
		}
		for _, to := range m.To {
			if err := walk(to.Text, depth+1); err != nil {
				return err
			}
		}
		return nil
	}
	if err := walk(id, 0); err != nil {
		return nil, err
	}
	return now, nil
}
