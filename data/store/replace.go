package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Change is a file to be given another text.
type Change struct {
	Name          string
	Before, After []byte
}

// Replace gives files their new texts, all or none: every text is written to a
// temporary file beside its file first, and then each is moved into place. It
// refuses when a file is no longer as it was read. Permissions stay; a link is
// followed. A cancelled context leaves everything as it was.
func Replace(ctx context.Context, changes []Change) (err error) {
	var ready []pending
	defer func() {
		for _, p := range ready {
			err = errors.Join(err, p.discard())
		}
	}()
	for _, c := range changes {
		if err := ctx.Err(); err != nil {
			return err
		}
		p, err := prepare(c)
		if err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
		ready = append(ready, p)
	}
	for _, p := range ready {
		if err := unchanged(p.file, p.before); err != nil {
			return fmt.Errorf("%s: %w", p.file, err)
		}
	}
	for len(ready) > 0 {
		if err := os.Rename(ready[0].temporary, ready[0].file); err != nil {
			return fmt.Errorf("%s: %s", ready[0].file, plainly(err))
		}
		ready = ready[1:]
	}
	return nil
}

// pending is a text written beside the file it is for.
type pending struct {
	file, temporary string
	before          []byte
}

func (p pending) discard() error { return os.Remove(p.temporary) }

// prepare writes the new text of a file beside it.
func prepare(c Change) (pending, error) {
	file, err := filepath.EvalSymlinks(filepath.FromSlash(c.Name))
	if err != nil {
		return pending{}, errors.New(plainly(err))
	}
	info, err := os.Stat(file)
	if err != nil {
		return pending{}, errors.New(plainly(err))
	}
	if err := unchanged(file, c.Before); err != nil {
		return pending{}, err
	}
	t, err := os.CreateTemp(filepath.Dir(file), "."+filepath.Base(file)+"-*")
	if err != nil {
		return pending{}, fmt.Errorf("the new text cannot be written beside it: %s", plainly(err))
	}
	p := pending{file: file, temporary: t.Name(), before: c.Before}
	_, err = t.Write(c.After)
	err = errors.Join(err, t.Chmod(info.Mode().Perm()), t.Sync(), t.Close())
	if err != nil {
		return pending{}, errors.Join(fmt.Errorf("the new text cannot be written beside it: %s", plainly(err)), p.discard())
	}
	return p, nil
}

// unchanged returns an error when a file no longer holds a text.
func unchanged(file string, text []byte) error {
	now, err := os.ReadFile(file)
	switch {
	case err != nil:
		return errors.New(plainly(err))
	case !bytes.Equal(now, text):
		return errors.New("somebody changed the file in the meantime, so it is left as it is; try again")
	}
	return nil
}
