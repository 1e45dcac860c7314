//go:build !js

package branch

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Unsourced names the claims that a merge would bring and of which nobody could
// say where they were read: they name no source, or one that no record tells of.
// Each comes as file, line and reason.
func (m *Merge) Unsourced() ([]string, error) {
	var faults []string
	changed := m.changed()
	for _, p := range slices.Sorted(maps.Keys(changed)) {
		kind, root, known := place(p)
		if !known || kind != lint.EngineFile || !changed[p].IsFile() {
			continue
		}
		after, err := m.read(changed[p])
		if err != nil {
			return nil, err
		}
		was, err := m.ours(p)
		if err != nil {
			return nil, err
		}
		found, err := m.unsourced(p, root, was, after)
		if err != nil {
			return nil, err
		}
		faults = append(faults, found...)
	}
	return faults, nil
}

// ours is what our side has of the file that comes to stand at a path.
func (m *Merge) ours(p string) ([]byte, error) {
	i := slices.IndexFunc(m.Files, func(f File) bool { return f.Path == p && f.Conflict == nil })
	if i < 0 {
		return nil, nil
	}
	return m.read(m.Files[i].Ours.Entry)
}

func (m *Merge) unsourced(p, root string, before, after []byte) ([]string, error) {
	had := map[claims.ID]*claims.Claim{}
	was := claims.Of(lint.EngineFile, schema.ReadFile(p, before))
	for i := range was {
		had[was[i].ID] = &was[i]
	}
	file := schema.ReadFile(p, after)
	all := claims.Of(lint.EngineFile, file)
	own := ownSources(all)
	var faults []string
	for i := range all {
		c := &all[i]
		if old := had[c.ID]; c.Kind != claims.Print || old != nil && claims.Same(old, c) {
			continue
		}
		recorded := own[c.Source]
		if !recorded && c.Source != "" {
			var err error
			if recorded, err = m.recorded(root, c.Source); err != nil {
				return nil, err
			}
		}
		line, _ := file.Doc.Position(c.Span.Start)
		switch {
		case recorded:
		case c.Source == "":
			faults = append(faults, fmt.Sprintf("%s:%d: %s is given without a source; say after `from:` where it was read", p, line, c.Path))
		default:
			faults = append(faults, fmt.Sprintf("%s:%d: %s is given from %s, and there is no record of that source; add one to sources/ or under `sources:`", p, line, c.Path, c.Source))
		}
	}
	return faults, nil
}

// ownSources are the sources that an engine's file has records of itself.
func ownSources(all []claims.Claim) map[string]bool {
	own := map[string]bool{}
	for i := range all {
		if below, ok := strings.CutPrefix(all[i].Pointer, "/sources/"); ok {
			id, _, _ := strings.Cut(below, "/")
			own[id] = true
		}
	}
	return own
}

// recorded reports whether the dataset has a record of a source once merged.
func (m *Merge) recorded(root, id string) (bool, error) {
	tree, err := m.tree(m.Target.Commit)
	if err != nil {
		return false, err
	}
	changed := m.changed()
	for _, ext := range []string{".yaml", ".yml", ".json"} {
		p := path.Join(root, "sources", id+ext)
		e, ours := changed[p]
		if !ours {
			var err error
			if e, err = m.repository.At(tree, p); err != nil {
				return false, err
			}
		}
		if e.Mode != commits.Folder && !e.IsNothing() {
			return true, nil
		}
	}
	return false, nil
}
