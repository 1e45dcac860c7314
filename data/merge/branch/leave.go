//go:build !js

package branch

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/lines"
)

// Leave lays a merge with conflicts out in the work tree as git does: what was
// merged is staged, the three versions of a file in conflict are in the index
// and its text with markers in the work tree. `git merge --abort` undoes it at
// any moment, also where it was cut short.
func (m *Merge) Leave(ctx context.Context, message string) error {
	r := m.repository
	if m.Theirs == commits.None {
		return fmt.Errorf("%s is on no branch, so its conflicts cannot be laid out; settle them in that file, or in the dataset", m.Rev)
	}
	if !m.Target.here {
		return fmt.Errorf("conflicts can be laid out only in a work tree that has the branch checked out, and %s is not checked out here", m.Target.Name())
	}
	if err := m.Target.Free(r); err != nil {
		return err
	}
	if err := m.notInTheWay(ctx); err != nil {
		return err
	}
	if err := m.store(m.changed()); err != nil {
		return err
	}
	tree, err := m.Target.tree(r, m.changed())
	if err != nil {
		return err
	}
	// Without a message git commits nothing, should this end before the index
	// holds the conflicts.
	folder := r.GitFolder()
	for _, f := range []struct{ name, text string }{
		{"MERGE_MSG", ""}, {"MERGE_MODE", "no-ff"}, {"ORIG_HEAD", m.Target.Commit.String() + "\n"}, {"MERGE_HEAD", m.Theirs.String() + "\n"},
	} {
		step("write " + f.name)
		if err := replace(filepath.Join(folder, f.name), []byte(f.text), 0o644); err != nil {
			return err
		}
	}
	if err := m.layOut(ctx, tree); err != nil {
		_, undo := run(context.WithoutCancel(ctx), r, nil, "merge", "--abort")
		return errors.Join(err, undo)
	}
	step("message")
	return replace(filepath.Join(folder, "MERGE_MSG"), []byte(message), 0o644)
}

func (m *Merge) layOut(ctx context.Context, tree commits.Hash) error {
	r := m.repository
	step("read-tree")
	if _, err := run(ctx, r, nil, "read-tree", "-m", "-u", m.Target.Commit.String(), tree.String()); err != nil {
		return err
	}
	stages, err := m.stages()
	if err != nil {
		return err
	}
	step("index")
	if _, err := run(ctx, r, stages, "update-index", "-z", "--index-info"); err != nil {
		return err
	}
	for _, f := range m.Conflicts() {
		step("write " + f.Path)
		if err := m.setOut(ctx, f); err != nil {
			return err
		}
	}
	return nil
}

// notInTheWay refuses where something that nobody has committed would be lost.
func (m *Merge) notInTheWay(ctx context.Context) error {
	staged, err := run(ctx, m.repository, nil, "diff", "--name-only", "-z", "--cached", m.Target.Commit.String())
	if err != nil {
		return err
	}
	if len(staged) > 0 {
		return fmt.Errorf("changes are staged (%s); commit or stash them before conflicts are laid out", firstOf(staged))
	}
	dirty, err := run(ctx, m.repository, nil, "diff", "--name-only", "-z")
	if err != nil {
		return err
	}
	changed := map[string]bool{}
	for p := range bytes.SplitSeq(dirty, []byte{0}) {
		changed[string(p)] = true
	}
	ours := map[string]bool{}
	for _, f := range m.Files {
		if !f.Ours.IsNothing() {
			ours[f.Ours.Path] = true
		}
	}
	for _, f := range m.Files {
		for _, p := range []string{f.Path, f.Ours.Path, f.Theirs.Path} {
			switch {
			case p == "":
			case changed[p]:
				return fmt.Errorf("%s has changes that are not committed; commit or stash them first", p)
			case !ours[p]:
				if _, err := os.Lstat(filepath.Join(m.repository.Top(), filepath.FromSlash(p))); err == nil {
					return fmt.Errorf("%s is in the way: it is in no commit, and the merge would write over it; move it away first", p)
				}
			}
		}
	}
	return nil
}

// firstOf is the first of names that end with a zero byte.
func firstOf(names []byte) string {
	first, _, _ := bytes.Cut(names, []byte{0})
	return string(first)
}

// stages are the lines by which git's index takes the three versions of each
// file in conflict.
func (m *Merge) stages() ([]byte, error) {
	var out, in bytes.Buffer
	for _, f := range m.Conflicts() {
		for i, v := range []Version{f.Base, f.Ours, f.Theirs} {
			if v.IsNothing() {
				continue
			}
			if content, fresh := m.fresh[v.Hash]; fresh {
				if _, err := m.repository.WriteBlob(content); err != nil {
					return nil, err
				}
			}
			fmt.Fprintf(&out, "0 %s\t%s\x00", commits.None, f.staged(v))
			fmt.Fprintf(&in, "%06o %s %d\t%s\x00", uint32(v.Mode), v.Hash, i+1, f.staged(v))
		}
	}
	return append(out.Bytes(), in.Bytes()...), nil
}

// staged is the path under which a version is in the index: its own where it is
// not known where the file is to stand.
func (f File) staged(v Version) string {
	if f.Scattered {
		return v.Path
	}
	return f.Path
}

// setOut writes a file in conflict into the work tree: its text with markers
// where it has one, and otherwise the version that is left.
func (m *Merge) setOut(ctx context.Context, f File) error {
	if f.Scattered {
		return m.putVersion(ctx, f.Theirs, f.Theirs.Path)
	}
	if !f.Ours.IsNothing() && f.Ours.Path != f.Path {
		if err := os.Remove(filepath.Join(m.repository.Top(), filepath.FromSlash(f.Ours.Path))); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	switch {
	case f.Ours.IsNothing():
		return m.putVersion(ctx, f.Theirs, f.Path)
	case f.Theirs.IsNothing() || !f.Ours.IsFile() || !f.Theirs.IsFile() || f.either[0].IsNothing():
		return m.putVersion(ctx, f.Ours, f.Path)
	}
	var texts [3][]byte
	for i, e := range []commits.Entry{f.Base.Entry, f.either[0], f.either[1]} {
		var err error
		if texts[i], err = m.read(e); err != nil {
			return err
		}
	}
	if slices.ContainsFunc(texts[:], func(b []byte) bool { return bytes.IndexByte(b, 0) >= 0 }) {
		return m.putVersion(ctx, f.Ours, f.Path)
	}
	marked := lines.Marked(lines.Merge(texts[0], texts[1], texts[2]), lines.Labels(m.labels), lines.MarkerSize)
	h, err := m.repository.WriteBlob(marked)
	if err != nil {
		return err
	}
	return m.put(ctx, commits.Entry{Mode: f.Ours.Mode, Hash: h}, f.Path)
}

func (m *Merge) putVersion(ctx context.Context, v Version, p string) error {
	if v.IsNothing() || !v.IsFile() {
		return nil
	}
	return m.put(ctx, v.Entry, p)
}

// put writes a content into the work tree in the form that it has there, which
// may have other line ends.
func (m *Merge) put(ctx context.Context, e commits.Entry, p string) error {
	text, err := run(ctx, m.repository, nil, "cat-file", "--filters", "--path="+p, e.Hash.String())
	if err != nil {
		return err
	}
	mode := os.FileMode(0o644)
	if e.Mode == commits.Executable {
		mode = 0o755
	}
	file := filepath.Join(m.repository.Top(), filepath.FromSlash(p))
	if info, err := os.Stat(file); err == nil && info.IsDir() {
		return nil // a folder stands there on our side; the index holds the file
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); errors.Is(err, syscall.ENOTDIR) {
		return nil // and here a file stands where the folder would be
	} else if err != nil {
		return err
	}
	return replace(file, text, mode)
}

// replace gives a file a text by way of a temporary file beside it, so that it
// is there as it was or as it is to be.
func replace(file string, text []byte, mode os.FileMode) (err error) {
	t, err := os.CreateTemp(filepath.Dir(file), "."+strings.TrimPrefix(filepath.Base(file), ".")+"-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(t.Name()))
		}
	}()
	_, err = t.Write(text)
	if err := errors.Join(err, t.Chmod(mode), t.Sync(), t.Close()); err != nil {
		return err
	}
	return os.Rename(t.Name(), file)
}
