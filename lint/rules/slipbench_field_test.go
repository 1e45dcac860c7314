package rules_test

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// The engines of the benchmark: the demonstration dataset, the published
// engines, and engines that never were. Every third published engine and one
// series of made engines are kept out of all tuning.
const (
	demo      = "../../data"
	published = "../../testdata/published"

	demoGroup   = "demonstration"
	tunedOn     = "published, used in tuning"
	keptOut     = "published, kept out"
	madeTuning  = "made, used in tuning"
	madeKeptOut = "made, kept out"

	tuningSeries, keptOutSeries = 1, 5309
	tuningMade, keptOutMade     = 60, 200
)

// notClean are published engines whose prints are wrong in a way that the
// oracle does not know of.
var notClean = map[string]string{
	"us-army/f2l912":            "the firing order is printed from No. 2",
	"us-army/h20":               "15 psi stands beside 11 kg/cm2",
	"us-army/six-cylinder-pump": "the firing order is cut off, and rotation has no end it is seen from",
}

// field is the engines of the benchmark with what lints them.
type field struct {
	engines []*benched
	benches map[string]*bench
	// left are the engines left out, with the reason.
	left []string
}

// newField reads all engines, of each series of made ones at most so many.
func newField(t testing.TB, made int) *field {
	publishedBench, madeBench := newBench(sourcesOf(t, published)), newBench(nil)
	f := &field{benches: map[string]*bench{demoGroup: newBench(sourcesOf(t, demo)), tunedOn: publishedBench, keptOut: publishedBench,
		madeTuning: madeBench, madeKeptOut: madeBench}}
	f.read(t, demo, func(int) string { return demoGroup })
	f.read(t, published, func(i int) string {
		if i%3 == 2 {
			return keptOut
		}
		return tunedOn
	})
	for _, series := range []struct {
		group  string
		number uint64
		made   int
	}{{madeTuning, tuningSeries, tuningMade}, {madeKeptOut, keptOutSeries, keptOutMade}} {
		for i := range min(made, series.made) {
			id, text := madeEngine(series.number, i)
			f.enter(t, series.group, id, text)
		}
	}
	return f
}

// read enters the engines of a folder, in the order of their names.
func (f *field) read(t testing.TB, root string, group func(i int) string) {
	folder := filepath.Join(root, "engines")
	for i, name := range yamlBelow(t, folder) {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		rel, err := filepath.Rel(folder, name)
		require.NoError(t, err)
		f.enter(t, group(i), strings.TrimSuffix(filepath.ToSlash(rel), ".yaml"), string(b))
	}
}

// enter reads one engine.
func (f *field) enter(t testing.TB, group, id, text string) {
	s, err := readSheet("engines/"+id+".yaml", text)
	require.NoError(t, err)
	b := &benched{sheet: s, id: id, group: group}
	o := newOracle()
	for _, l := range s.layers {
		b.applied = max(b.applied, o.world(l, "").applied)
	}
	f.engines = append(f.engines, b)
}

// sourcesOf are the source records of a dataset, read once.
func sourcesOf(t testing.TB, root string) []lint.Input {
	var all []lint.Input
	for _, name := range yamlBelow(t, filepath.Join(root, "sources")) {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		record, problems := schema.DecodeSource(schema.ReadFile(name, b))
		require.Empty(t, problems, name)
		id := strings.TrimSuffix(path.Base(filepath.ToSlash(name)), ".yaml")
		all = append(all, lint.Input{Kind: lint.SourceFile, Name: "sources/" + id + ".yaml", ID: id, Context: true,
			Read: func() ([]byte, error) { return b, nil }, Record: func() *schema.Source { return record }})
	}
	return all
}

func yamlBelow(t testing.TB, root string) []string {
	var names []string
	require.NoError(t, filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(p, ".yaml") {
			names = append(names, p)
		}
		return err
	}))
	slices.Sort(names)
	return names
}

// clean leaves out the engines whose own prints contradict one another, and
// returns what the linter says above a note of the others: false findings.
func (f *field) clean(t testing.TB) (falseFindings []string) {
	o := newOracle()
	f.engines = slices.DeleteFunc(f.engines, func(b *benched) bool {
		is, culprits := o.judge(b.sheet, "")
		why := notClean[b.id]
		switch {
		case is == unreadable:
			t.Errorf("%s has a print that the benchmark cannot read", b.id)
		case is == contradicts:
			why = fmt.Sprintf("its prints contradict one another: %s", strings.Join(slices.Sorted(maps.Keys(culprits)), ", "))
		case is == unknown:
			why = "the cylinders are offset, which the oracle does not follow"
		}
		if why != "" {
			f.left = append(f.left, b.id+": "+why)
			return true
		}
		found, err := f.benches[b.group].lint(b.sheet.name, b.id, b.sheet.text)
		require.NoError(t, err)
		b.noted = map[string]bool{}
		before := len(falseFindings)
		for _, x := range found {
			if x.Level == lint.Note {
				b.noted[x.Rule] = true
				continue
			}
			falseFindings = append(falseFindings, fmt.Sprintf("%s: %s: %s", b.id, x.Rule, x.Message))
		}
		return len(falseFindings) > before
	})
	return falseFindings
}

// sampled reports whether a slip is one of a sample of one in n.
func sampled(s slip, n uint32) bool {
	h := fnv.New32a()
	fmt.Fprint(h, s)
	return h.Sum32()%n == 0
}

// makeAll makes the slips of all engines, on all cores.
func (f *field) makeAll(t testing.TB, oneIn uint32) []outcome {
	var all []outcome
	var mu sync.Mutex
	var wg sync.WaitGroup
	next := make(chan *benched)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for b := range next {
				mine := f.make(t, b, oneIn)
				mu.Lock()
				all = append(all, mine...)
				mu.Unlock()
			}
		})
	}
	for _, b := range f.engines {
		next <- b
	}
	close(next)
	wg.Wait()
	slices.SortStableFunc(all, func(a, b outcome) int {
		return cmp.Or(strings.Compare(a.bench.group, b.bench.group), strings.Compare(a.bench.id, b.bench.id))
	})
	return all
}

// make makes the slips of one engine.
func (f *field) make(t testing.TB, b *benched, oneIn uint32) []outcome {
	var all []outcome
	o := newOracle()
	for _, s := range slipsOf(b.sheet) {
		if !sampled(s, oneIn) {
			continue
		}
		out, err := f.benches[b.group].try(o, b, s)
		if assert.NoError(t, err) {
			all = append(all, out)
		}
	}
	return all
}
