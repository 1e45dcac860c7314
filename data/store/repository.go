//go:build !js

package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/go-git/go-billy/v5"
	"github.com/go-git/go-billy/v5/osfs"
	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/cache"
	gitconfig "github.com/go-git/go-git/v5/plumbing/format/config"
	"github.com/go-git/go-git/v5/storage/filesystem"
	"github.com/go-git/go-git/v5/storage/filesystem/dotgit"
)

// repository is a git repository, read only. It needs no git program.
type repository struct {
	// top is the folder that its paths count from: that of the work tree, or
	// the repository itself where it has none.
	top string
	all billy.Filesystem // in which repositories that this one borrows from are found

	mu      sync.Mutex // go-git's storage is not made for several readers
	storage *filesystem.Storage
}

// objectCache bounds what is kept of objects read.
const objectCache = 256 * cache.MiByte

// openRepository opens the repository that a path lies in. The path itself need
// not exist any more.
func openRepository(p string) (*repository, error) {
	at, err := realPath(p)
	if err != nil {
		return nil, err
	}
	for dir := at; ; dir = filepath.Dir(dir) {
		folder, found, err := gitFolder(dir)
		switch {
		case err != nil:
			return nil, err
		case found:
			return openGitFolder(dir, folder)
		case dir == filepath.Dir(dir):
			return nil, fmt.Errorf("%s is in no git repository, so nothing is known of its revisions", p)
		}
	}
}

// realPath is the absolute path with links followed as far as it exists.
func realPath(p string) (string, error) {
	at, err := filepath.Abs(filepath.FromSlash(p))
	if err != nil {
		return "", err
	}
	var gone []string
	for {
		real, err := filepath.EvalSymlinks(at)
		if err == nil {
			return filepath.Join(append([]string{real}, gone...)...), nil
		}
		if !errors.Is(err, fs.ErrNotExist) || at == filepath.Dir(at) {
			return "", fmt.Errorf("%s: %s", p, plainly(err))
		}
		gone = append([]string{filepath.Base(at)}, gone...)
		at = filepath.Dir(at)
	}
}

// gitFolder returns the folder with the objects and references of the
// repository whose top is dir: dir/.git, where a file of that name points, or
// dir itself.
func gitFolder(dir string) (folder string, found bool, err error) {
	dot := filepath.Join(dir, ".git")
	info, err := os.Stat(dot)
	switch {
	case err == nil && info.IsDir():
		return dot, true, nil
	case err == nil:
		b, err := readFile(dot)
		if err != nil {
			return "", false, fmt.Errorf("%s: %w", dot, err)
		}
		to, ok := strings.CutPrefix(string(b), "gitdir:")
		if !ok {
			return "", false, fmt.Errorf("%s does not say where the repository is", dot)
		}
		return rebased(dir, strings.TrimSpace(to)), true, nil
	}
	return dir, isBare(dir), nil
}

// rebased is a path that may be relative to a folder.
func rebased(dir, p string) string {
	if filepath.IsAbs(p) {
		return p
	}
	return filepath.Join(dir, filepath.FromSlash(p))
}

func isBare(dir string) bool {
	for _, name := range []string{"HEAD", "objects", "refs"} {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil || info.IsDir() != (name != "HEAD") {
			return false
		}
	}
	return true
}

func openGitFolder(top, folder string) (*repository, error) {
	common := folder
	if b, err := os.ReadFile(filepath.Join(folder, "commondir")); err == nil { // a linked work tree
		common = rebased(folder, strings.TrimSpace(string(b)))
	}
	if err := known(common); err != nil {
		return nil, fmt.Errorf("the repository of %s: %w", top, err)
	}
	all := osfs.New(filepath.VolumeName(folder) + string(filepath.Separator))
	files := dotgit.NewRepositoryFilesystem(osfs.New(folder), osfs.New(common))
	storage := filesystem.NewStorageWithOptions(files, cache.NewObjectLRU(objectCache),
		filesystem.Options{KeepDescriptors: true, AlternatesFS: all})
	return &repository{top: top, all: all, storage: storage}, nil
}

// known refuses a repository of a form that would be read wrongly.
func known(folder string) error {
	b, err := os.ReadFile(filepath.Join(folder, "config"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return errors.New(plainly(err))
	}
	c := gitconfig.New()
	if err := gitconfig.NewDecoder(bytes.NewReader(b)).Decode(c); err != nil {
		return fmt.Errorf("its config cannot be read: %w", err)
	}
	extensions := c.Section("extensions")
	for key, form := range map[string]string{"objectformat": "sha1", "refstorage": "files"} {
		if is := extensions.Option(key); is != "" && !strings.EqualFold(is, form) {
			return fmt.Errorf("it uses %s = %s, which cannot be read here; only %s can", key, is, form)
		}
	}
	return nil
}

// object returns the content of an object and its type. Not finding it, it
// looks once more, for the repository may have been packed anew meanwhile.
func (r *repository) object(h plumbing.Hash, limit int64) (plumbing.ObjectType, []byte, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	o, err := r.storage.EncodedObject(plumbing.AnyObject, h)
	if errors.Is(err, plumbing.ErrObjectNotFound) {
		r.storage.Reindex()
		o, err = r.storage.EncodedObject(plumbing.AnyObject, h)
	}
	if err != nil {
		return plumbing.InvalidObject, nil, fmt.Errorf("the object %s is not in the repository (is it a partial clone?): %w", h, err)
	}
	reader, err := o.Reader()
	if err != nil {
		return plumbing.InvalidObject, nil, fmt.Errorf("the object %s cannot be read: %w", h, err)
	}
	defer reader.Close()
	b, err := io.ReadAll(io.LimitReader(reader, limit))
	if err != nil {
		return plumbing.InvalidObject, nil, fmt.Errorf("the object %s cannot be read: %w", h, err)
	}
	return o.Type(), b, nil
}

// relative returns where a path lies in the repository, with forward slashes.
func (r *repository) relative(p string) (string, error) {
	at, err := realPath(p)
	if err != nil {
		return "", err
	}
	rel, err := filepath.Rel(r.top, at)
	if err != nil || rel == ".." || strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
		return "", fmt.Errorf("%s lies outside the repository of %s", p, r.top)
	}
	return filepath.ToSlash(rel), nil
}
