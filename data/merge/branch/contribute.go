//go:build !js

package branch

import (
	"bytes"
	"context"
	"fmt"
	"path"
	"strings"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Contribute adds what a file says to a dataset of the target: a contribution
// file, or the whole file of an engine from somebody who has no branch. root is
// where the dataset lies in the repository. What is added is to be committed like
// a merge, only that no other commit is joined. It is an error when the file does
// not say where its figures were read.
func Contribute(ctx context.Context, r *commits.Repository, t Target, root, name string, text []byte) (*Merge, error) {
	m := &Merge{
		merger: merger{ctx: ctx, repository: r, fresh: map[commits.Hash][]byte{}, labels: Labels{Base: "before", Ours: t.Name(), Theirs: name}},
		Target: t, Rev: name,
	}
	tree, err := m.tree(t.Commit)
	if err != nil {
		return nil, err
	}
	held := dataset{merger: &m.merger, tree: tree, root: root}
	if err := held.there(); err != nil {
		return nil, err
	}
	additions, err := m.additions(schema.ReadFile(name, text), held)
	if err != nil {
		return nil, err
	}
	for _, a := range additions {
		at, before, err := held.find(a.Kind, a.ID)
		if err != nil {
			return nil, err
		}
		f := File{Path: at.Path, Base: at, Ours: at, Figures: a.Result}
		switch {
		case len(a.Conflicts) > 0:
			f.Conflict = conflict("%s", said(a.Conflicts))
		case bytes.Equal(before, a.Text):
			continue
		default:
			f.Is = m.keep(a.Text)
			f.Is.Mode = commits.File
			if !at.IsNothing() {
				f.Is.Mode = at.Mode
			}
		}
		m.Files = append(m.Files, f)
	}
	m.Done = len(m.Files) == 0
	return m, nil
}

// additions reads a file as what it is, and notes who contributes it.
func (m *Merge) additions(f *schema.File, held dataset) ([]*merge.Addition, error) {
	if f.Doc.Root.Get("contribution") == nil {
		a, err := merge.Whole(f, held.text)
		return []*merge.Addition{a}, err
	}
	c, _ := schema.DecodeContribution(f)
	if c.By.Given() {
		m.by = append(m.by, inLine(c.By.Text))
	}
	m.note = inLine(c.Note.Text)
	return merge.Contribution(f, held.text)
}

// dataset is what the target holds below a folder.
type dataset struct {
	*merger
	tree commits.Hash
	root string
}

// there returns an error where the folder holds no dataset: one that was named
// wrongly would be started anew.
func (d dataset) there() error {
	for _, within := range []string{"engines", "sources"} {
		if e, err := d.repository.At(d.tree, path.Join(d.root, within)); err != nil || e.Mode == commits.Folder {
			return err
		}
	}
	return fmt.Errorf("there is no dataset in the folder %s of the branch, with engines/ or sources/; name its folder with --data", d.root)
}

// find returns the file of an engine or source, or where it would stand, or the
// record of moved ids.
func (d dataset) find(kind lint.InputKind, id string) (Version, []byte, error) {
	if kind == lint.MovedFile {
		return d.under(path.Join(d.root, "moved"))
	}
	if id != path.Clean(id) || path.IsAbs(id) || strings.HasPrefix(id, "..") {
		return Version{}, nil, fmt.Errorf("%q is no id that a file could be found by", id)
	}
	folder := "engines"
	if kind == lint.SourceFile {
		folder = "sources"
	}
	return d.under(path.Join(d.root, folder, id))
}

// under returns the file at a path without ending, or where it would stand.
func (d dataset) under(stem string) (Version, []byte, error) {
	for _, ext := range []string{".yaml", ".yml", ".json"} {
		p := stem + ext
		e, err := d.repository.At(d.tree, p)
		if err != nil {
			return Version{}, nil, err
		}
		switch {
		case e.IsNothing():
		case !e.IsFile():
			return Version{}, nil, fmt.Errorf("%s is %s, and nothing is added to it", p, kindOf(e))
		default:
			b, err := d.read(e)
			return Version{p, e}, b, err
		}
	}
	return Version{Path: stem + ".yaml"}, nil, nil
}

func (d dataset) text(kind lint.InputKind, id string) ([]byte, error) {
	_, b, err := d.find(kind, id)
	return b, err
}
