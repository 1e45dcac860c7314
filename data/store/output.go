package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// WriteFile writes a file of results, which may be there already: the whole text
// goes to a temporary file beside it, which is then moved into place, so that a
// reader finds the old text or the new. A cancelled context leaves everything as
// it was.
func WriteFile(ctx context.Context, name string, content []byte) error {
	t, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+"-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %s", name, plainly(err))
	}
	const readableByAll = 0o644
	_, err = t.Write(content)
	err = errors.Join(err, t.Chmod(readableByAll), t.Sync(), t.Close(), ctx.Err())
	if err == nil {
		err = os.Rename(t.Name(), name)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("%s cannot be written: %w", name, err), os.Remove(t.Name()))
	}
	return nil
}
