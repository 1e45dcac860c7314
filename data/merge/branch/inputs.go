//go:build !js

package branch

import (
	"errors"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// inputs are the files of the datasets that a merge changes, as they were and as
// they come to be, by their paths in the repository. They are read from the
// repository and from memory, not from the work tree.
func (m *Merge) inputs() (before, after []lint.Input, err error) {
	changed := m.changed()
	var roots []string
	for p := range changed {
		if _, root, ok := place(p); ok && !slices.Contains(roots, root) {
			roots = append(roots, root)
		}
	}
	slices.Sort(roots)
	for _, root := range roots {
		was, err := m.dataset(root)
		if err != nil {
			return nil, nil, err
		}
		before = append(before, was...)
	}
	for _, in := range before {
		if e, ours := changed[in.Name]; !ours || e.IsFile() {
			after = append(after, m.input(in, changed))
		}
	}
	for p, e := range changed {
		known := slices.ContainsFunc(before, func(in lint.Input) bool { return in.Name == p })
		if kind, root, ok := place(p); ok && e.IsFile() && !known {
			after = append(after, m.input(lint.Input{Kind: kind, Name: p, ID: idAt(kind, root, p)}, changed))
		}
	}
	slices.SortFunc(after, func(a, b lint.Input) int { return strings.Compare(a.Name, b.Name) })
	return before, after, nil
}

// dataset lists the files of a dataset of the target; none where it had none.
func (m *Merge) dataset(root string) ([]lint.Input, error) {
	all, err := store.OpenRevision(filepath.Join(m.repository.Top(), filepath.FromSlash(root)), m.Target.Commit.String())
	if errors.Is(err, store.ErrNoFiles) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	top := filepath.ToSlash(m.repository.Top()) + "/"
	for i := range all {
		all[i].Name = strings.TrimPrefix(all[i].Name, top)
	}
	return slices.DeleteFunc(all, func(in lint.Input) bool { return in.Context }), nil
}

// input is a file as it comes to be.
func (m *Merge) input(in lint.Input, changed map[string]commits.Entry) lint.Input {
	if e, ours := changed[in.Name]; ours {
		in.Read = func() ([]byte, error) { return m.read(e) }
	}
	return in
}

// idAt is the id that the path of a file says it has.
func idAt(kind lint.InputKind, root, p string) string {
	if kind == lint.MovedFile {
		return ""
	}
	within := strings.TrimPrefix(p, strings.TrimPrefix(root+"/", "./"))
	_, id, _ := strings.Cut(strings.TrimSuffix(within, path.Ext(within)), "/")
	return id
}
