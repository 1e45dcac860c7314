package history

import (
	"path"
	"slices"

	"fourmarks.example/data/commits"
	"fourmarks.example/schema"
)

// ids returns the id that an engine has now, and after it those it had. One that
// was split has a history of its own, and now are those that took its place.
func (d *Dataset) ids(tree commits.Hash, id string) (ids, now []string, err error) {
	moves, err := d.moves(tree)
	if err != nil {
		return nil, nil, err
	}
	to, err := schema.Follow(id, moves)
	if err != nil {
		return nil, nil, err
	}
	ids = to
	if len(to) != 1 {
		ids, now = []string{id}, to
	}
	for _, m := range moves {
		to, err := schema.Follow(m.From, moves)
		if err == nil && now == nil && slices.Contains(to, ids[0]) && !slices.Contains(ids, m.From) {
			ids = append(ids, m.From)
		}
	}
	return ids, now, nil
}

// moves reads the record of moved ids.
func (d *Dataset) moves(tree commits.Hash) ([]schema.Move, error) {
	e, err := d.repository.At(tree, path.Join(d.root, "moved.yaml"))
	if err != nil || !e.IsFile() {
		return nil, err
	}
	b, err := d.repository.Blob(e.Hash, readLimit)
	if err != nil {
		return nil, err
	}
	moves, _ := schema.DecodeMoved(schema.ReadFile("moved.yaml", b))
	return moves, nil
}
