package serve

import (
	"context"
	"strings"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// definition leads from a name to what bears it: from a citation to the record
// of the source, from a wheel of a train, a clearance, a drive or an accepted
// place to where the file describes it.
func (s *session) definition(_ context.Context, d *document, p positionParams) (any, error) {
	at, ok := d.spotAt(p.Position)
	if !ok {
		return nil, nil
	}
	target := d.named(at)
	if id, ok := d.citedAt(at); ok {
		if source, ok := s.lookup(d, d.engine())(id); ok {
			target = source.At
		}
	}
	if target.IsZero() {
		return nil, nil
	}
	return s.atPlace(target), nil
}

// named returns the place of what a spot names within the file.
func (d *document) named(at spot) schema.Place {
	if d.place.Kind != lint.EngineFile || len(at.path) == 0 {
		return schema.Place{}
	}
	if at.key {
		if len(at.path) == 2 && at.path[0] == "accepted" {
			return d.accepted(at.node.Text)
		}
		return schema.Place{}
	}
	e, path := d.engineAt(at.path)
	switch section, key := path[0], path[len(path)-1]; {
	case section == "drives" && len(path) > 2 && (key == "train" || key == "wheel" || key == "turns"):
		if drive, ok := e.Drives.Get(path[1]); ok {
			return keyOf(drive.Wheels, d.partAt(at))
		}
	case section == "events" && key == "read_at":
		return keyOf(e.Clearances, strings.TrimSuffix(at.node.Text, clearanceWord))
	case section == "marks" && key == "clearance":
		return keyOf(e.Clearances, at.node.Text)
	case section == "ignition" && key == "drive":
		return keyOf(e.Drives, at.node.Text)
	}
	return schema.Place{}
}

// clearanceWord follows the name of a clearance set in `read_at`.
const clearanceWord = " clearance"

// accepted returns the place of the figure that an acceptance names, in the base
// or, where only a variant has it, there.
func (d *document) accepted(path string) schema.Place {
	for _, e := range d.engine().All() {
		if f := e.Figure(path); f != nil {
			return f.Name
		}
	}
	return schema.Place{}
}

// keyOf returns the place of a name's key.
func keyOf[T any](g schema.Group[T], name string) schema.Place {
	for _, n := range g {
		if n.Name == name {
			return n.Key
		}
	}
	return schema.Place{}
}
