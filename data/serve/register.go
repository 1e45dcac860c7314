package serve

import (
	"bytes"
	"maps"
	"slices"
	"sync"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// register is the source records of one dataset. A record is read when it is
// first asked for, and decoded again only when its bytes are others.
type register struct {
	root string

	mu      sync.Mutex
	listed  bool
	inputs  []lint.Input
	records map[string]*record // by name
}

// record is one source record on disk.
type record struct {
	in lint.Input

	mu     sync.Mutex
	fresh  bool // the bytes are those on disk, as of the last refresh
	bytes  []byte
	source *schema.Source
}

// register returns the register of the dataset in a folder.
func (s *session) register(root string) *register {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.registers[root] == nil {
		s.registers[root] = &register{root: root, records: map[string]*record{}}
	}
	return s.registers[root]
}

// refresh has every register look at the files on disk anew.
func (s *session) refresh() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, r := range s.registers {
		r.refresh()
	}
}

func (r *register) refresh() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.listed = false
	for _, rec := range r.records {
		rec.mu.Lock()
		rec.fresh = false
		rec.mu.Unlock()
	}
}

// list returns the files of the register, by their whole paths. A folder that cannot be read has none:
// the sources cited then have no record, and the finding says so.
func (r *register) list() []lint.Input {
	if r.root == "" {
		return nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.listed {
		return r.inputs
	}
	r.inputs, _ = store.Sources(r.root)
	r.listed = true
	records := make(map[string]*record, len(r.inputs))
	for i := range r.inputs {
		in := &r.inputs[i]
		in.Name = absolute(in.Name)
		rec := r.records[in.Name]
		if rec == nil {
			rec = &record{in: *in}
		}
		records[in.Name] = rec
		in.Record = rec.read
	}
	r.records = records
	return r.inputs
}

func (r *record) read() *schema.Source {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.fresh {
		return r.source
	}
	b, err := r.in.Read()
	switch {
	case err != nil:
		r.bytes, r.source = nil, nil
	case r.source == nil || !bytes.Equal(b, r.bytes):
		r.bytes = b
		r.source, _ = schema.DecodeSource(schema.ReadFile(r.in.Name, b))
	}
	r.fresh = true
	return r.source
}

// sources returns the records of the dataset that a document belongs to, but for
// the document itself. Records that are open in the editor are read there.
func (s *session) sources(d *document) []lint.Input {
	open := s.openRecords(d.place.Root)
	var all []lint.Input
	for _, in := range s.register(d.place.Root).list() {
		other := open[in.Name]
		if in.Name == d.name {
			continue
		}
		if other != nil {
			in.Record = other.source
		}
		delete(open, in.Name)
		all = append(all, in)
	}
	for _, name := range slices.Sorted(maps.Keys(open)) { // not saved yet
		if name != d.name {
			all = append(all, lint.Input{Kind: lint.SourceFile, Name: name, ID: open[name].place.ID, Context: true, Record: open[name].source})
		}
	}
	return all
}

// openRecords returns the source records of a dataset that are open, by name.
func (s *session) openRecords(root string) map[string]*document {
	s.mu.Lock()
	defer s.mu.Unlock()
	open := map[string]*document{}
	for _, d := range s.documents {
		if root != "" && d.place.Root == root && d.place.Kind == lint.SourceFile && d.lost == "" {
			open[d.name] = d
		}
	}
	return open
}

// lookup returns the look-up of sources for an engine: its own, then those of
// its dataset.
func (s *session) lookup(d *document, e *schema.Engine) schema.Register {
	byID := map[string]lint.Input{}
	for _, in := range s.sources(d) {
		byID[in.ID] = in
	}
	return func(id string) (*schema.Source, bool) {
		if own, ok := e.Sources.Get(id); ok {
			return own, true
		}
		in, ok := byID[id]
		if !ok {
			return nil, false
		}
		source := in.Record()
		return source, source != nil && source.Title.Given()
	}
}
