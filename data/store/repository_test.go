//go:build !js

package store_test

import (
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/go-git/go-billy/v5/osfs"
	"github.com/go-git/go-git/v5"
	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/cache"
	"github.com/go-git/go-git/v5/plumbing/filemode"
	"github.com/go-git/go-git/v5/plumbing/object"
	"github.com/go-git/go-git/v5/storage/filesystem"
	"github.com/stretchr/testify/require"
)

// gitRepository is a repository for a test, with a work tree.
type gitRepository struct {
	t       testing.TB
	dir     string
	storage *filesystem.Storage
	head    plumbing.Hash
	commits int
}

func newRepository(t testing.TB) *gitRepository {
	t.Helper()
	dir := t.TempDir()
	storage := filesystem.NewStorage(osfs.New(filepath.Join(dir, ".git")), cache.NewObjectLRUDefault())
	_, err := git.InitWithOptions(storage, osfs.New(dir), git.InitOptions{DefaultBranch: "refs/heads/main"})
	require.NoError(t, err)
	return &gitRepository{t: t, dir: dir, storage: storage}
}

// write gives a file of the work tree a text.
func (g *gitRepository) write(name, text string) {
	g.t.Helper()
	file := filepath.Join(g.dir, filepath.FromSlash(name))
	require.NoError(g.t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(g.t, os.WriteFile(file, []byte(text), 0o644))
}

func (g *gitRepository) remove(name string) {
	g.t.Helper()
	require.NoError(g.t, os.Remove(filepath.Join(g.dir, filepath.FromSlash(name))))
}

// commit stores the work tree as it is and moves the branch main to it.
func (g *gitRepository) commit() plumbing.Hash {
	g.t.Helper()
	return g.commitOn(g.head)
}

// commitOn is commit with these parents; none for the first.
func (g *gitRepository) commitOn(parents ...plumbing.Hash) plumbing.Hash {
	g.t.Helper()
	g.commits++
	who := object.Signature{Name: "A keeper", Email: "keeper@fourmarks.example", When: time.Unix(int64(1_700_000_000+g.commits), 0).UTC()}
	c := &object.Commit{Author: who, Committer: who, Message: "a change\n", TreeHash: g.tree(g.dir)}
	c.ParentHashes = slices.DeleteFunc(parents, func(h plumbing.Hash) bool { return h.IsZero() })
	g.head = g.store(c)
	g.refer("refs/heads/main", g.head)
	return g.head
}

func (g *gitRepository) refer(name string, to plumbing.Hash) {
	g.t.Helper()
	require.NoError(g.t, g.storage.SetReference(plumbing.NewHashReference(plumbing.ReferenceName(name), to)))
}

// tag stores an annotated tag of a commit.
func (g *gitRepository) tag(name string, of plumbing.Hash) {
	g.t.Helper()
	who := object.Signature{Name: "A keeper", Email: "keeper@fourmarks.example", When: time.Unix(1_700_000_000, 0).UTC()}
	g.refer("refs/tags/"+name, g.store(&object.Tag{Name: name, Tagger: who, Message: name + "\n", TargetType: plumbing.CommitObject, Target: of}))
}

// tree stores a folder and all in it, repositories aside.
func (g *gitRepository) tree(dir string) plumbing.Hash {
	found, err := os.ReadDir(dir)
	require.NoError(g.t, err)
	t := &object.Tree{}
	for _, d := range found {
		e := object.TreeEntry{Name: d.Name(), Mode: filemode.Regular}
		file := filepath.Join(dir, d.Name())
		switch {
		case d.Name() == ".git":
			continue
		case d.IsDir():
			e.Mode, e.Hash = filemode.Dir, g.tree(file)
		case d.Type()&os.ModeSymlink != 0:
			to, err := os.Readlink(file)
			require.NoError(g.t, err)
			e.Mode, e.Hash = filemode.Symlink, g.blob([]byte(to))
		default:
			b, err := os.ReadFile(file)
			require.NoError(g.t, err)
			e.Hash = g.blob(b)
		}
		t.Entries = append(t.Entries, e)
	}
	slices.SortFunc(t.Entries, func(a, b object.TreeEntry) int { return strings.Compare(sortName(a), sortName(b)) })
	return g.store(t)
}

// sortName is what git orders the names of a folder by.
func sortName(e object.TreeEntry) string {
	if e.Mode == filemode.Dir {
		return e.Name + "/"
	}
	return e.Name
}

func (g *gitRepository) blob(b []byte) plumbing.Hash {
	o := g.storage.NewEncodedObject()
	o.SetType(plumbing.BlobObject)
	w, err := o.Writer()
	require.NoError(g.t, err)
	_, err = w.Write(b)
	require.NoError(g.t, err)
	require.NoError(g.t, w.(io.Closer).Close())
	return g.save(o)
}

func (g *gitRepository) store(what interface {
	Encode(plumbing.EncodedObject) error
}) plumbing.Hash {
	o := g.storage.NewEncodedObject()
	require.NoError(g.t, what.Encode(o))
	return g.save(o)
}

func (g *gitRepository) save(o plumbing.EncodedObject) plumbing.Hash {
	if g.storage.HasEncodedObject(o.Hash()) == nil {
		return o.Hash()
	}
	h, err := g.storage.SetEncodedObject(o)
	require.NoError(g.t, err)
	return h
}

// pack puts all objects into one pack, as git does from time to time.
func (g *gitRepository) pack() {
	g.t.Helper()
	r, err := git.Open(g.storage, osfs.New(g.dir))
	require.NoError(g.t, err)
	require.NoError(g.t, r.RepackObjects(&git.RepackConfig{}))
}
