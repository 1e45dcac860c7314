//go:build !js

package branch

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/merge/lines"
)

// merger merges in memory: nothing is stored until the whole is known.
type merger struct {
	ctx        context.Context
	repository *commits.Repository
	labels     Labels

	mu    sync.Mutex
	fresh map[commits.Hash][]byte // contents that are not in the repository
}

// fileLimit bounds what is merged of one file, in bytes.
const fileLimit = 64 << 20

// read returns the content of an entry; nothing of nothing.
func (m *merger) read(e commits.Entry) ([]byte, error) {
	if e.IsNothing() {
		return nil, nil
	}
	m.mu.Lock()
	b, ok := m.fresh[e.Hash]
	m.mu.Unlock()
	if ok {
		return b, nil
	}
	b, err := m.repository.Blob(e.Hash, fileLimit)
	if err == nil && len(b) == fileLimit {
		err = fmt.Errorf("%s is longer than %d bytes and is not merged", e.Name, fileLimit)
	}
	return b, err
}

// keep remembers a content and returns the entry that it will be.
func (m *merger) keep(b []byte) commits.Entry {
	h := commits.BlobHash(b)
	m.mu.Lock()
	defer m.mu.Unlock()
	m.fresh[h] = b
	return commits.Entry{Hash: h}
}

// store writes what was merged to the repository.
func (m *merger) store(entries map[string]commits.Entry) error {
	for _, p := range slices.Sorted(maps.Keys(entries)) {
		b, fresh := m.fresh[entries[p].Hash]
		if !fresh || entries[p].IsNothing() {
			continue
		}
		if err := m.ctx.Err(); err != nil {
			return err
		}
		step("content " + p)
		if _, err := m.repository.WriteBlob(b); err != nil {
			return err
		}
	}
	return nil
}

// contents merges the content of a file that both sides changed: one of a
// dataset by its figures, and any other by its lines. The modes are left to the
// caller.
func (m *merger) contents(p string, b, o, t Version) (verdict, error) {
	switch {
	case o.Hash == t.Hash, b.Hash == t.Hash:
		return verdict{is: commits.Entry{Hash: o.Hash}}, nil
	case b.Hash == o.Hash:
		return verdict{is: commits.Entry{Hash: t.Hash}}, nil
	}
	var texts [3][]byte
	for i, v := range []Version{b, o, t} {
		var err error
		if texts[i], err = m.read(v.Entry); err != nil {
			return verdict{}, err
		}
	}
	if kind, _, ok := place(p); ok {
		return m.figures(kind, p, texts)
	}
	return m.lines(b.IsNothing(), texts), nil
}

// lines merges what is no file of a dataset.
func (m *merger) lines(added bool, texts [3][]byte) verdict {
	switch {
	case added:
		return verdict{conflict: conflict("both sides added it, with different contents"), either: m.sides(texts)}
	case slices.ContainsFunc(texts[:], func(b []byte) bool { return bytes.IndexByte(b, 0) >= 0 }):
		return verdict{conflict: conflict("both sides changed it, and it is no text"), either: m.sides(texts)}
	}
	pieces := lines.Merge(texts[0], texts[1], texts[2])
	if text, clean := lines.Clean(pieces); clean {
		return verdict{is: m.keep(text)}
	}
	var forms [2]strings.Builder
	for _, piece := range pieces {
		for i, side := range [][]byte{piece.Ours, piece.Theirs} {
			forms[i].Write(piece.Agreed)
			forms[i].Write(side)
		}
	}
	return verdict{
		conflict: conflict("both sides changed the same lines"),
		either:   [2]commits.Entry{m.keep([]byte(forms[0].String())), m.keep([]byte(forms[1].String()))},
	}
}

// sides are the two forms that a file has where nothing of it can be merged.
func (m *merger) sides(texts [3][]byte) [2]commits.Entry {
	return [2]commits.Entry{m.keep(texts[1]), m.keep(texts[2])}
}
