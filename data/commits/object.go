//go:build !js

package commits

import (
	"crypto/sha1"
	"errors"
	"fmt"
	"io"

	"github.com/go-git/go-git/v5/plumbing"
)

// object returns the content of an object, of it no more than the limit, and
// its type. Not finding it, it looks once more with nothing remembered, for the
// repository may have been packed anew meanwhile.
func (r *Repository) object(h Hash, limit int64) (plumbing.ObjectType, []byte, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	kind, b, err := r.read(h, limit)
	if err == nil {
		return kind, b, nil
	}
	old := r.storage
	r.storage = r.newStorage()
	kind, b, err = r.read(h, limit)
	old.Close() // its files were only read
	switch {
	case errors.Is(err, plumbing.ErrObjectNotFound):
		return kind, nil, fmt.Errorf("the object %s is not in the repository (is it a partial clone?): %w", h, err)
	case err != nil:
		return kind, nil, fmt.Errorf("the object %s cannot be read: %w", h, err)
	}
	return kind, b, nil
}

func (r *Repository) read(h Hash, limit int64) (plumbing.ObjectType, []byte, error) {
	o, err := r.storage.EncodedObject(plumbing.AnyObject, h)
	if err != nil {
		return plumbing.InvalidObject, nil, err
	}
	reader, err := o.Reader()
	if err != nil {
		return plumbing.InvalidObject, nil, err
	}
	defer reader.Close()
	b := make([]byte, min(o.Size(), limit))
	if _, err := io.ReadFull(reader, b); err != nil {
		return plumbing.InvalidObject, nil, err
	}
	return o.Type(), b, nil
}

// Blob returns the content of a file, of it no more than the limit in bytes.
func (r *Repository) Blob(h Hash, limit int64) ([]byte, error) {
	kind, b, err := r.object(h, limit)
	if err != nil {
		return nil, err
	}
	if kind != plumbing.BlobObject {
		return nil, fmt.Errorf("%s is a %s, not a file", h, kind)
	}
	return b, nil
}

// BlobHash is the name that git gives a content.
func BlobHash(b []byte) Hash {
	h := sha1.New()
	fmt.Fprintf(h, "blob %d\x00", len(b))
	h.Write(b)
	return Hash(h.Sum(nil))
}
