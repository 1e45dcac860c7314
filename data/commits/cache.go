//go:build !js

package commits

import (
	"crypto/sha1"
	"fmt"
	"io"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/go-git/go-git/v5/plumbing/cache"
)

// objectCache bounds what is kept of objects read.
const objectCache = 256 * cache.MiByte

// lru is a cache of objects that names them by plain SHA-1. Objects come out of a
// pack without their names, and naming them anew by the method that looks out for
// forged ones takes a fifth of the time of reading history; git does not do it
// either.
type lru struct{ cache.Object }

func newCache() lru { return lru{cache.NewObjectLRU(objectCache)} }

// named is an object with its name worked out.
type named struct {
	plumbing.EncodedObject
	hash Hash
}

func (n named) Hash() Hash { return n.hash }

// Put keeps an object.
func (c lru) Put(o plumbing.EncodedObject) {
	r, err := o.Reader()
	if err != nil {
		return // what cannot be read need not be kept
	}
	defer r.Close()
	h := sha1.New()
	fmt.Fprintf(h, "%s %d\x00", o.Type(), o.Size())
	if _, err := io.Copy(h, r); err != nil {
		return
	}
	c.Object.Put(named{o, Hash(h.Sum(nil))})
}
