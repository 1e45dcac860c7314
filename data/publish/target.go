package publish

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"fourmarks.example/data/release"
)

// target is the folder that a release goes to, with all that is done so that
// nothing is lost there.
type target struct {
	dir string // as it was named
	at  string // where it is, links followed
	new string // the release while it is written, beside it
}

// newTarget refuses a folder that holds anything but an earlier release.
func newTarget(dir string) (*target, error) {
	at, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if real, err := filepath.EvalSymlinks(at); err == nil {
		at = real
	}
	t := &target{dir: dir, at: at}
	return t, t.replaceable()
}

// replaceable reports what keeps the folder from being replaced.
func (t *target) replaceable() error {
	entries, err := os.ReadDir(t.at)
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && len(entries) == 0:
		return nil
	case err != nil:
		return fmt.Errorf("%s cannot be a release: %w", t.dir, err)
	}
	files, err := releaseFiles(t.at)
	if err != nil {
		return fmt.Errorf("%s is not empty and holds no release, so it is left as it is: %w\nname a new folder", t.dir, err)
	}
	return filepath.WalkDir(t.at, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(t.at, p)
		if err != nil {
			return err
		}
		if !files[filepath.ToSlash(name)] {
			return fmt.Errorf("%s holds %s, which is no part of the release there and would be lost\nmove it away, or name a new folder", t.dir, name)
		}
		return nil
	})
}

// releaseFiles are the files of a release in a folder, by its manifest.
func releaseFiles(dir string) (map[string]bool, error) {
	b, err := os.ReadFile(filepath.Join(dir, releaseFile))
	if err != nil {
		return nil, fmt.Errorf("it has no %s", releaseFile)
	}
	var is release.Release
	if err := json.Unmarshal(b, &is); err != nil || is.Format == "" {
		return nil, fmt.Errorf("its %s is not that of a release", releaseFile)
	}
	manifest, err := os.Open(filepath.Join(dir, manifestName))
	if err != nil {
		return nil, fmt.Errorf("it has no %s", manifestName)
	}
	defer manifest.Close()
	files := map[string]bool{manifestName: true}
	lines := bufio.NewScanner(manifest)
	for lines.Scan() {
		if _, name, ok := strings.Cut(lines.Text(), "  "); ok {
			files[name] = true
		}
	}
	return files, lines.Err()
}

// begin makes the folder beside the target in which the release is written.
func (t *target) begin() (root string, err error) {
	t.new, err = os.MkdirTemp(filepath.Dir(t.at), "."+filepath.Base(t.at)+"-*")
	if err != nil {
		return "", fmt.Errorf("the release cannot be written beside %s: %w", t.dir, err)
	}
	return t.new, os.Chmod(t.new, 0o755)
}

// discard takes away what was written and did not become the release.
func (t *target) discard() {
	if t.new != "" {
		_ = os.RemoveAll(t.new)
	}
}

// replace puts the new release in the place of what was there.
func (t *target) replace(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := t.replaceable(); err != nil { // somebody may have put something there meanwhile
		return err
	}
	old := t.new + "-earlier"
	err := os.Rename(t.at, old)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("what is in %s cannot be replaced: %w", t.dir, err)
	}
	if err := os.Rename(t.new, t.at); err != nil {
		if back := os.Rename(old, t.at); back != nil && !errors.Is(back, fs.ErrNotExist) {
			return fmt.Errorf("%s cannot be replaced: %w\nwhat was there is in %s", t.dir, err, old)
		}
		return fmt.Errorf("%s cannot be written: %w", t.dir, err)
	}
	t.new = ""
	return os.RemoveAll(old)
}
