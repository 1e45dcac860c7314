//go:build !js

// Package commits reads and writes the commits, folders and contents of a git
// repository. It needs no git program, and it moves no branch and touches no
// work tree: that is left to git itself, which knows of locks and of files that
// nobody has stored yet.
//
// What is read is what is stored: replacements (refs/replace) and grafts are
// not followed.
package commits

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/go-git/go-billy/v5"
	"github.com/go-git/go-billy/v5/osfs"
	"github.com/go-git/go-git/v5/plumbing"
	gitconfig "github.com/go-git/go-git/v5/plumbing/format/config"
	"github.com/go-git/go-git/v5/storage/filesystem"
	"github.com/go-git/go-git/v5/storage/filesystem/dotgit"
)

// Hash is the name that git gives an object.
type Hash = plumbing.Hash

// None stands where there is no object.
var None Hash

// Repository is a git repository. Goroutines that share one wait for one
// another; Again gives each its own.
type Repository struct {
	top    string // the folder that paths count from
	folder string // with HEAD and the index of this work tree
	common string // with the objects and branches of all work trees
	bare   bool
	config *gitconfig.Config
	all    billy.Filesystem // in which repositories that this one borrows from are found

	mu      sync.Mutex // go-git's storage is not made for several readers
	storage *filesystem.Storage
	cut     map[Hash]bool // where the history of a shallow clone ends; nil until asked for
}

// Open opens the repository that a path lies in. The path itself need not exist
// any more. A repository of a form that would be read wrongly is refused.
func Open(p string) (*Repository, error) {
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

// Again opens the same repository for another goroutine.
func (r *Repository) Again() (*Repository, error) { return openGitFolder(r.top, r.folder) }

// Close lets go of the files of the repository.
func (r *Repository) Close() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.storage.Close()
}

// Top is the folder that paths count from: that of the work tree, or the
// repository itself where it is bare.
func (r *Repository) Top() string { return r.top }

// IsBare reports whether the repository has no work tree here.
func (r *Repository) IsBare() bool { return r.bare }

// GitFolder is where git keeps what belongs to this work tree alone.
func (r *Repository) GitFolder() string { return r.folder }

// CommonFolder is where git keeps what all work trees share.
func (r *Repository) CommonFolder() string { return r.common }

// Relative returns where a path lies in the repository, with forward slashes.
func (r *Repository) Relative(p string) (string, error) {
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
			return "", fmt.Errorf("%s cannot be read: %w", p, err)
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
		b, err := os.ReadFile(dot)
		if err != nil {
			return "", false, fmt.Errorf("%s cannot be read: %w", dot, err)
		}
		to, ok := strings.CutPrefix(string(b), "gitdir:")
		if !ok {
			return "", false, fmt.Errorf("%s does not say where the repository is", dot)
		}
		return rebased(dir, strings.TrimSpace(to)), true, nil
	}
	return dir, looksBare(dir), nil
}

// rebased is a path that may be relative to a folder.
func rebased(dir, p string) string {
	if filepath.IsAbs(p) {
		return filepath.Clean(p)
	}
	return filepath.Join(dir, filepath.FromSlash(p))
}

func looksBare(dir string) bool {
	for _, name := range []string{"HEAD", "objects", "refs"} {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil || info.IsDir() != (name != "HEAD") {
			return false
		}
	}
	return true
}

func openGitFolder(top, folder string) (*Repository, error) {
	common := folder
	if b, err := os.ReadFile(filepath.Join(folder, "commondir")); err == nil { // a linked work tree
		common = rebased(folder, strings.TrimSpace(string(b)))
	}
	config, err := readConfig(common)
	if err != nil {
		return nil, fmt.Errorf("the repository of %s: %w", top, err)
	}
	all := osfs.New(filepath.VolumeName(folder) + string(filepath.Separator))
	r := &Repository{top: top, folder: folder, common: common, bare: top == folder, config: config, all: all}
	r.storage = r.newStorage()
	return r, nil
}

func (r *Repository) newStorage() *filesystem.Storage {
	files := dotgit.NewRepositoryFilesystem(osfs.New(r.folder), osfs.New(r.common))
	return filesystem.NewStorageWithOptions(files, newCache(),
		filesystem.Options{KeepDescriptors: true, AlternatesFS: r.all})
}

// readConfig reads the config of a repository, and refuses one of a form that
// would be read wrongly.
func readConfig(folder string) (*gitconfig.Config, error) {
	c := gitconfig.New()
	b, err := os.ReadFile(filepath.Join(folder, "config"))
	if errors.Is(err, fs.ErrNotExist) {
		return c, nil
	}
	if err != nil {
		return nil, fmt.Errorf("its config cannot be read: %w", err)
	}
	if err := gitconfig.NewDecoder(bytes.NewReader(b)).Decode(c); err != nil {
		return nil, fmt.Errorf("its config cannot be read: %w", err)
	}
	extensions := c.Section("extensions")
	for _, need := range []struct{ key, form string }{{"objectformat", "sha1"}, {"refstorage", "files"}} {
		if is := extensions.Option(need.key); is != "" && !strings.EqualFold(is, need.form) {
			return nil, fmt.Errorf("it uses %s = %s, which cannot be read here; only %s can", need.key, is, need.form)
		}
	}
	return c, nil
}

// Writable returns why nothing is written to the repository, or nil: one whose
// config is split over several files, or that lacks objects on purpose, could be
// left in a state that git does not expect.
func (r *Repository) Writable() error {
	extensions := r.config.Section("extensions")
	if isOn(extensions, "worktreeConfig") {
		return fmt.Errorf("the repository of %s has a config for each work tree (extensions.worktreeConfig), which is not read here, so nothing is written to it", r.top)
	}
	partial := extensions.HasOption("partialClone")
	for _, remote := range r.config.Section("remote").Subsections {
		partial = partial || remote.HasOption("partialclonefilter") || strings.EqualFold(remote.Option("promisor"), "true")
	}
	if partial {
		return fmt.Errorf("the repository of %s is a partial clone, in which objects are missing on purpose, so nothing is written to it; merge in a full clone", r.top)
	}
	return nil
}

func isOn(section *gitconfig.Section, key string) bool {
	if !section.HasOption(key) {
		return false
	}
	switch strings.ToLower(section.Option(key)) {
	case "false", "no", "off", "0":
		return false
	}
	return true
}
