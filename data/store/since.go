//go:build !js

package store

import (
	"bytes"
	"context"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"fourmarks.example/data/commits"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// Since marks as context every input that nothing changed since a git revision
// concerns. What stays to be checked:
//
//   - files that are not as they were at the revision, committed or not, and
//     files that are new; how lines end does not count;
//   - source records that copy a changed or vanished one, directly or by way of
//     others, and the engines that cite any of these;
//   - the record of moved ids, if anything changed at all; and if that record
//     changed, the engines whose ids it says have moved.
//
// The revision is one that OpenRevision takes. All inputs lie in one repository.
// A cancelled context stops the work with its error.
func Since(ctx context.Context, inputs []lint.Input, rev string) ([]lint.Input, error) {
	if len(inputs) == 0 {
		return nil, nil
	}
	r, err := openAt(inputs[0].Name, rev)
	if err != nil {
		return nil, err
	}
	s := &since{revision: r, inputs: inputs, hit: make([]bool, len(inputs)), sources: map[string]bool{}, moved: map[string]bool{}}
	if err := s.place(); err != nil {
		return nil, err
	}
	if s.was, err = s.atRevision(); err != nil {
		return nil, err
	}
	if err := s.look(ctx); err != nil {
		return nil, err
	}
	return s.marked(), nil
}

type since struct {
	revision
	inputs []lint.Input
	paths  []string // of the inputs, within the repository
	roots  []string // of their datasets, likewise

	was map[string]revisionFile // by path

	hit     []bool          // which inputs are to be checked
	changed bool            // whether anything changed at all
	sources map[string]bool // ids of those that changed, and of those that copy them
	moved   map[string]bool // ids of engines that a changed record says have moved
}

// place finds where the inputs and their datasets lie in the repository.
func (s *since) place() error {
	folders := map[string]string{}
	s.paths = make([]string, len(s.inputs))
	for i, in := range s.inputs {
		folder, known := folders[path.Dir(in.Name)]
		if !known {
			var err error
			if folder, err = s.repository.Relative(path.Dir(in.Name)); err != nil {
				return err
			}
			folders[path.Dir(in.Name)] = folder
		}
		s.paths[i] = path.Join(folder, path.Base(in.Name))
		if root := rootWithin(s.paths[i], in); root != noDataset && !slices.Contains(s.roots, root) {
			s.roots = append(s.roots, root)
		}
	}
	return nil
}

// rootWithin returns the root of the dataset that a path lies in, as the kind
// and id of its input tell.
func rootWithin(p string, in lint.Input) string {
	below := in.ID + path.Ext(p)
	switch {
	case in.Kind == lint.MovedFile:
		below = path.Base(p)
	case in.ID == "":
		return noDataset
	case in.Kind == lint.SourceFile:
		below = "sources/" + below
	default:
		below = "engines/" + below
	}
	root, inside := strings.CutSuffix("./"+p, "/"+below)
	if !inside {
		return noDataset
	}
	return path.Clean(root)
}

// look goes through the files: first those that others depend on, then the
// engines, each read once.
func (s *since) look(ctx context.Context) error {
	var sources, records, engines []int
	for i, in := range s.inputs {
		switch {
		case in.Kind == lint.SourceFile:
			sources = append(sources, i)
		case in.Kind == lint.MovedFile:
			records = append(records, i)
		case !in.Context:
			engines = append(engines, i)
		}
	}
	copiers := map[string][]string{}
	for _, i := range sources {
		s.source(i, copiers)
	}
	for _, i := range records {
		s.record(i)
	}
	s.vanished()
	s.spread(copiers)
	for _, i := range sources {
		s.hit[i] = s.sources[s.inputs[i].ID]
	}
	if err := s.engines(ctx, engines); err != nil {
		return err
	}
	for _, i := range records {
		s.hit[i] = s.changed
	}
	return nil
}

// source notes whether a source changed, and which it copies.
func (s *since) source(i int, copiers map[string][]string) {
	in := s.inputs[i]
	b, err := in.Read()
	if err != nil || !s.isStill(i, b) {
		s.sources[in.ID], s.changed = true, true
	}
	if source, _ := schema.DecodeSource(schema.ReadFile(in.Name, b)); source.Copies.Given() {
		copiers[source.Copies.Text] = append(copiers[source.Copies.Text], in.ID)
	}
}

// record notes what a record of moved ids says, if it changed.
func (s *since) record(i int) {
	b, err := s.inputs[i].Read()
	if err == nil && s.isStill(i, b) {
		return
	}
	s.changed = true
	moves, _ := schema.DecodeMoved(schema.ReadFile(s.inputs[i].Name, b))
	for _, m := range moves {
		s.moved[m.From] = true
	}
}

// spread goes on from the sources that changed to those that copy them.
func (s *since) spread(copiers map[string][]string) {
	next := slices.Collect(maps.Keys(s.sources))
	for ; len(next) > 0; next = next[1:] {
		for _, id := range copiers[next[0]] {
			if !s.sources[id] {
				s.sources[id] = true
				next = append(next, id)
			}
		}
	}
}

// engines finds, on all cores, the engines that changed or depend on what did.
func (s *since) engines(ctx context.Context, engines []int) error {
	scan := newIDScan(s.sources)
	next := make(chan int)
	var changed atomic.Bool
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				in := s.inputs[i]
				b, err := in.Read()
				if err != nil || !s.isStill(i, b) {
					s.hit[i] = true
					changed.Store(true)
					continue
				}
				s.hit[i] = s.moved[in.ID] || scan.meets(b) && s.cites(in, b)
			}
		})
	}
	for _, i := range engines {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	wg.Wait()
	s.changed = s.changed || changed.Load()
	return ctx.Err()
}

// atRevision returns the files of the datasets as they were, and those beside
// inputs of no dataset, by path.
func (s *since) atRevision() (map[string]revisionFile, error) {
	was := map[string]revisionFile{}
	for _, root := range s.roots {
		for _, folder := range []string{"engines", "sources"} {
			files, err := s.files(path.Join(root, folder))
			if err != nil {
				return nil, err
			}
			for _, f := range files {
				was[f.path] = f
			}
		}
	}
	listed := map[string]bool{}
	for i, in := range s.inputs {
		folder := path.Dir(s.paths[i])
		if in.ID != "" || listed[folder] {
			continue
		}
		listed[folder] = true
		entries, err := s.entries(folder)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			p := path.Join(folder, e.Name)
			was[p] = revisionFile{path: p, mode: e.Mode, hash: e.Hash}
		}
	}
	return was, nil
}

// vanished notes what was there at the revision and is not any more.
func (s *since) vanished() {
	there := make(map[string]bool, len(s.paths))
	for _, p := range s.paths {
		there[p] = true
	}
	for p := range s.was {
		if there[p] {
			continue
		}
		for _, root := range s.roots {
			kind, id := lint.KindOf(fromTo(root, p))
			s.changed = s.changed || kind == lint.MovedFile || id != ""
			if kind == lint.SourceFile {
				s.sources[id] = true
			}
		}
	}
}

// isStill reports whether a file is as it was, the way its lines end aside: work
// trees are often checked out with other line ends than are stored. A link
// never is.
func (s *since) isStill(i int, b []byte) bool {
	f, known := s.was[s.paths[i]]
	if !known || f.mode == commits.Link {
		return false
	}
	return commits.BlobHash(b) == f.hash ||
		bytes.Contains(b, []byte("\r\n")) && commits.BlobHash(bytes.ReplaceAll(b, []byte("\r\n"), []byte("\n"))) == f.hash
}

// cites reports whether an engine cites a source that changed.
func (s *since) cites(in lint.Input, b []byte) bool {
	e, _ := schema.DecodeEngine(schema.ReadFile(in.Name, b))
	for id := range lint.Summarize(e, in.ID).Cites {
		if s.sources[id] {
			return true
		}
	}
	return false
}

// idScan finds ids in a text that has not been read as YAML.
type idScan struct {
	ids  map[string]bool
	ends [256]bool // bytes that can stand before and after an id
	odd  bool      // one of the ids cannot be told from its surroundings
}

func newIDScan(ids map[string]bool) *idScan {
	const ends = " \t\r\n\"',:#{}[]"
	s := &idScan{ids: ids}
	for i := range len(ends) {
		s.ends[ends[i]] = true
	}
	for id := range ids {
		s.odd = s.odd || strings.ContainsAny(id, ends)
	}
	return s
}

// fewIDs is up to how many are looked for one by one, which is faster.
const fewIDs = 8

// meets reports whether a text may hold one of the ids. It never misses one.
func (s *idScan) meets(b []byte) bool {
	switch {
	case len(s.ids) == 0:
		return false
	case s.odd || bytes.IndexByte(b, '\\') >= 0:
		return true
	case len(s.ids) <= fewIDs:
		for id := range s.ids {
			if bytes.Contains(b, []byte(id)) {
				return true
			}
		}
		return false
	}
	for start := 0; start < len(b); {
		end := start
		for end < len(b) && !s.ends[b[end]] {
			end++
		}
		if s.ids[string(b[start:end])] {
			return true
		}
		start = end + 1
	}
	return false
}

// marked returns the inputs with those that nothing concerns as context.
func (s *since) marked() []lint.Input {
	marked := slices.Clone(s.inputs)
	for i := range marked {
		marked[i].Context = marked[i].Context || !s.hit[i]
	}
	return marked
}
