//go:build !js

package branch

import (
	"maps"
	"path"
	"slices"
	"strings"

	"fourmarks.example/data/commits"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// paired puts together what is one file in the base and on both sides: what
// stands at one path, and what stood there and was moved.
func (m *merger) paired(s sides) ([]pair, error) {
	ours, err := m.moved(s.base, s.ours)
	if err != nil {
		return nil, err
	}
	theirs, err := m.moved(s.base, s.theirs)
	if err != nil {
		return nil, err
	}
	cameOurs, cameTheirs := inverse(ours), inverse(theirs)
	var pairs []pair
	for _, p := range slices.Sorted(maps.Keys(s.base)) {
		one := pair{path: p, ours: m.version(s.ours, p, ours, cameOurs), theirs: m.version(s.theirs, p, theirs, cameTheirs)}
		for _, b := range s.base[p] {
			one.bases = append(one.bases, Version{p, b})
		}
		nothing := one.ours.IsNothing() && one.theirs.IsNothing() && len(one.bases) == 1 && one.bases[0].IsNothing()
		if nothing {
			continue // it came here from elsewhere, and stands with where it was
		}
		ourPath, oursMoved := ours[p]
		theirPath, theirsMoved := theirs[p]
		switch {
		case oursMoved && theirsMoved && ourPath != theirPath:
			one.path = ourPath
			one.clash = conflict("%s was moved to %s on our side and to %s on theirs", p, ourPath, theirPath)
		case oursMoved && one.theirs.IsNothing():
			one.path = ourPath
			one.clash = conflict("%s was moved to %s on our side and removed on theirs", p, ourPath)
		case theirsMoved && one.ours.IsNothing():
			one.path = theirPath
			one.clash = conflict("%s was removed on our side and moved to %s on theirs", p, theirPath)
		case oursMoved:
			one.path = ourPath
		case theirsMoved:
			one.path = theirPath
		}
		pairs = append(pairs, one)
	}
	return pairs, nil
}

// version is what a side has of the file at a path of the base. What came to
// that path from elsewhere is another file.
func (m *merger) version(side map[string][]commits.Entry, p string, moved, came map[string]string) Version {
	if to, ok := moved[p]; ok {
		return Version{to, side[to][0]}
	}
	if _, ok := came[p]; ok {
		return Version{Path: p}
	}
	return Version{p, side[p][0]}
}

func inverse(moved map[string]string) map[string]string {
	came := map[string]string{}
	for from, to := range moved {
		came[to] = from
	}
	return came
}

// moved finds the files that a side moved: an engine's file by the engine's id,
// followed through the side's record of moved ids, and any other by its content.
func (m *merger) moved(base, side map[string][]commits.Entry) (map[string]string, error) {
	var gone, added []string
	for p := range base {
		was, is := base[p][0], side[p][0]
		switch {
		case len(base[p]) > 1 || len(side[p]) > 1:
		case was.IsFile() && is.IsNothing():
			gone = append(gone, p)
		case was.IsNothing() && is.IsFile():
			added = append(added, p)
		}
	}
	moved := map[string]string{}
	if len(gone) == 0 || len(added) == 0 {
		return moved, nil
	}
	slices.Sort(gone)
	slices.Sort(added)
	renamed, err := m.renamed(side)
	if err != nil {
		return nil, err
	}
	byID, byHash := map[string][]string{}, map[commits.Hash][]string{}
	for _, p := range added {
		byHash[side[p][0].Hash] = append(byHash[side[p][0].Hash], p)
		id, err := m.id(p, side[p][0])
		if err != nil {
			return nil, err
		}
		if id != "" {
			byID[id] = append(byID[id], p)
		}
	}
	taken := map[string]bool{}
	for _, p := range gone {
		id, err := m.id(p, base[p][0])
		if err != nil {
			return nil, err
		}
		to := byHash[base[p][0].Hash]
		if id != "" {
			to = slices.Concat(byID[id], byID[renamed[id]])
		}
		if len(to) == 1 && !taken[to[0]] {
			moved[p], taken[to[0]] = to[0], true
		}
	}
	return moved, nil
}

// id returns the id of the engine that a file holds; "" when it holds none.
func (m *merger) id(p string, e commits.Entry) (string, error) {
	if kind, _, ok := place(p); !ok || kind != lint.EngineFile {
		return "", nil
	}
	b, err := m.read(e)
	if err != nil {
		return "", err
	}
	engine, _ := schema.DecodeEngine(schema.ReadFile(p, b))
	return engine.ID.Text, nil
}

// renamed returns the ids that the records of moved ids which a side changed
// give to other engines, each with the one that took its place.
func (m *merger) renamed(side map[string][]commits.Entry) (map[string]string, error) {
	renamed := map[string]string{}
	for p, e := range side {
		if kind, _, ok := place(p); !ok || kind != lint.MovedFile || !e[0].IsFile() {
			continue
		}
		b, err := m.read(e[0])
		if err != nil {
			return nil, err
		}
		moves, _ := schema.DecodeMoved(schema.ReadFile(p, b))
		for _, move := range moves {
			if now, err := schema.Follow(move.From, moves); err == nil && len(now) == 1 {
				renamed[move.From] = now[0]
			}
		}
	}
	return renamed, nil
}

// place says what a file of a dataset is from its path, and where the dataset's
// root is: below engines/ or sources/ of the nearest folder that has one, or the
// record of moved ids beside them.
func place(p string) (kind lint.InputKind, root string, ok bool) {
	switch path.Ext(p) {
	case ".yaml", ".yml", ".json":
	default:
		return 0, "", false
	}
	folder, name := path.Split(p)
	if strings.TrimSuffix(name, path.Ext(name)) == "moved" && !strings.Contains("/"+folder, "/engines/") && !strings.Contains("/"+folder, "/sources/") {
		return lint.MovedFile, path.Clean(folder), true
	}
	parts := strings.Split(path.Clean(folder), "/")
	for i, part := range slices.Backward(parts) {
		switch part {
		case "engines":
			return lint.EngineFile, path.Join(".", path.Join(parts[:i]...)), true
		case "sources":
			return lint.SourceFile, path.Join(".", path.Join(parts[:i]...)), true
		}
	}
	return 0, "", false
}
