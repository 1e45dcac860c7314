package history

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/claims"
	"fourmarks.example/data/commits"
)

// keptFile returns the one file of an index that a repository keeps.
func keptFile(t *testing.T, w *work) string {
	t.Helper()
	folder := filepath.Join(w.Dir, ".git", "fourmarks", "history")
	all, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, all, 1, "no temporary file is left")
	return filepath.Join(folder, all[0].Name())
}

func threeVersions(t *testing.T) (*work, []string) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.set("inlet: {claims: {book: 8 mm, stamp: 9.5 mm}}")
	w.set("inlet: {claims: {book: 8 mm, stamp: {is: 9.5 mm, set_aside: worn}}}")
	return w, told(w.history("marlowe/four"))
}

// However the kept file is damaged, the history is told aright and kept anew.
func TestADamagedIndexIsMadeAnew(t *testing.T) {
	w, want := threeVersions(t)
	kept := keptFile(t, w)
	good, err := os.ReadFile(kept)
	require.NoError(t, err)
	head, body, _ := bytes.Cut(good, []byte("\n"))
	signed := func(body string) string { return header([]byte(body)) + body }
	for name, damaged := range map[string]string{
		"empty":             "",
		"cut short":         string(good[:len(good)/2]),
		"a byte flipped":    string(head) + "\n" + strings.Replace(string(body), "8 mm", "9 mm", 1),
		"of another time":   strings.Replace(string(good), fmt.Sprintf("history %d ", extractor), fmt.Sprintf("history %d ", extractor+1), 1),
		"no JSON":           signed("{"),
		"another thing":     signed("[1]"),
		"nothing in it":     signed("{}"),
		"claims not there":  signed(strings.Replace(string(body), `"c":[0`, `"c":[9999`, 1)),
		"a hash too short":  signed(strings.Replace(string(body), `"head":"`, `"head":"00`, 1)),
		"a folder, as text": "\x00\x01\x02",
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(kept, []byte(damaged), 0o644))
			assert.Equal(t, want, told(w.history("marlowe/four")))
			now, err := os.ReadFile(kept)
			require.NoError(t, err)
			assert.Equal(t, string(good), string(now), "kept anew, to the byte")
		})
	}
	require.NoError(t, os.Remove(kept))
	require.NoError(t, os.Mkdir(kept, 0o755))
	assert.Equal(t, want, told(w.history("marlowe/four")), "where it cannot be written it is done without")
}

// A history rewritten since is told as it is now.
func TestARewrittenHistory(t *testing.T) {
	w, _ := threeVersions(t)
	w.Git("reset", "-q", "--hard", "HEAD~1")
	w.set("inlet: 7 mm")
	w.Git("reflog", "expire", "--expire=now", "--all")
	w.Git("gc", "-q", "--prune=now")
	got := told(w.history("marlowe/four"))
	assert.Equal(t, "inlet: 7 mm: lifts.inlet removed 9.5 mm [stamp] > - ended", got[len(got)-1])
	assert.NotContains(t, strings.Join(got, "\n"), "set aside")

	w.Git("checkout", "-q", "--orphan", "anew")
	w.set("inlet: 6 mm")
	assert.Equal(t, []string{"inlet: 6 mm: added " + file, "inlet: 6 mm: lifts.inlet added - > 6 mm [book]"}, told(w.history("marlowe/four")))
}

// An id that is given to the engine later makes its past known under the old one.
func TestAnIndexFollowsTheRecordOfMovedIDs(t *testing.T) {
	w := newWork(t)
	w.set("inlet: 8 mm")
	w.Git("mv", file, "data/engines/marlowe/ten.yaml")
	w.Write("data/engines/marlowe/ten.yaml", engine("marlowe/ten", "inlet: 8 mm"))
	w.commit("renamed, unrecorded")
	assert.Len(t, w.history("marlowe/ten").Steps, 1)
	w.Write("data/moved.yaml", "marlowe/four: {to: marlowe/ten, because: x}\n")
	w.commit("recorded")
	assert.Len(t, w.history("marlowe/ten").Steps, 2)
	assert.Equal(t, []string{"marlowe/four"}, w.history("marlowe/ten").Was)
}

// A repository that is only to be read gives its history all the same.
func TestAReadOnlyRepository(t *testing.T) {
	w, want := threeVersions(t)
	forgetIndex(t, w)
	// A file in the way of the folder keeps anybody, root too, from writing there.
	require.NoError(t, os.WriteFile(filepath.Join(w.Dir, ".git", "fourmarks"), []byte("in the way"), 0o444))
	assert.Equal(t, want, told(w.history("marlowe/four")))
	if os.Geteuid() != 0 {
		require.NoError(t, os.Remove(filepath.Join(w.Dir, ".git", "fourmarks")))
		require.NoError(t, os.Chmod(filepath.Join(w.Dir, ".git"), 0o555))
		t.Cleanup(func() { _ = os.Chmod(filepath.Join(w.Dir, ".git"), 0o755) })
		assert.Equal(t, want, told(w.history("marlowe/four")))
	}
}

// Several that ask at once all get the history, and what is kept is whole.
func TestSeveralAtOnce(t *testing.T) {
	w, want := threeVersions(t)
	for range 5 {
		forgetIndex(t, w)
		var all sync.WaitGroup
		got := make([][]string, 8)
		for i := range got {
			all.Go(func() {
				if h, err := historyIn(filepath.Join(w.Dir, "data"), "marlowe/four"); err == nil {
					got[i] = told(h)
				}
			})
		}
		all.Wait()
		for _, one := range got {
			assert.Equal(t, want, one)
		}
		assert.NotNil(t, readIndex(keptFile(t, w)))
	}
}

// While git packs the repository anew and throws the old away, history is told.
func TestPackingAnewWhileReading(t *testing.T) {
	w := newWork(t)
	for i := range 30 {
		w.set(fmt.Sprintf("inlet: %d mm", i+1))
		if i%10 == 0 {
			w.Git("repack", "-q", "-d")
		}
	}
	want := told(w.history("marlowe/four"))
	stop := make(chan struct{})
	var packing sync.WaitGroup
	packing.Go(func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
				w.Git("repack", "-q", "-a", "-d", "-f", fmt.Sprintf("--depth=%d", 1+i%2*49))
				w.Git("prune-packed", "-q")
			}
		}
	})
	for range 25 {
		forgetIndex(t, w)
		h, err := historyIn(filepath.Join(w.Dir, "data"), "marlowe/four")
		if assert.NoError(t, err) {
			assert.Equal(t, want, told(h))
		}
	}
	close(stop)
	packing.Wait()
}

// What is extracted from a file, and the form in which it is kept, belong to the
// number extractor. Where this fails, raise the number and write the new sum here.
func TestTheExtractorHasANumber(t *testing.T) {
	x := &index{ids: []string{"a/b"}, paths: []string{"p"}, archive: newArchive(), moments: []moment{{message: "m", at: place{"p", commits.BlobHash(nil)}, parents: []place{{}}}}}
	r := extract([]byte(`engine: a/b
layout: {from: h p. 1, cylinders: 4}
lifts:
  inlet: {claims: {h: {is: 8 mm, from: h p. 2, note: n, quote: q, seen: {on: 2025, by: me}}, s#2: {is: 9.5 mm}, t: {is: 7 mm, set_aside: w, odd: 1}}}
  exhaust: [1, 2]
variants: {late: {change: {lifts: {inlet: removed}}}}
broken
`))
	x.archive.versions[commits.BlobHash([]byte("x"))] = x.archive.add(r)
	b, err := json.Marshal(keep(x))
	require.NoError(t, err)
	assert.Equal(t, []any{1, "caa3ffed3d035c6a"}, []any{extractor, fmt.Sprintf("%x", sha256.Sum256(b))[:16]}, string(b))

	var k keptIndex
	require.NoError(t, json.Unmarshal(b, &k))
	back, ok := k.index()
	require.True(t, ok)
	assert.Equal(t, x.archive.claims, back.archive.claims)
	assert.Equal(t, x.archive.versions, back.archive.versions)
	assert.Equal(t, x.moments[0].at, back.moments[0].at)
}

// Whatever a claim can say is kept, and tells it from another.
func TestAllOfAClaimIsKept(t *testing.T) {
	var full claims.Claim
	of := reflect.ValueOf(&full).Elem()
	fill := func(v reflect.Value, name string) {
		switch v.Kind() {
		case reflect.String:
			v.SetString(name)
		case reflect.Bool:
			v.SetBool(true)
		case reflect.Uint8:
			v.SetUint(2)
		default:
			t.Fatalf("%s is of a kind that this test does not know", name)
		}
	}
	seen := map[string]string{identity(&claims.Claim{}): "none"}
	alone := func(set func(c *claims.Claim), name string) {
		var c claims.Claim
		set(&c)
		before, twice := seen[identity(&c)]
		assert.False(t, twice, "%s and %s are told apart", name, before)
		seen[identity(&c)] = name
	}
	for _, f := range reflect.VisibleFields(of.Type()) {
		switch f.Name {
		case "ID", "Span", "PrintSpan": // its parts are visited; places are left out
			continue
		case "Other":
			full.Other = []claims.Other{{Pointer: "/x", Text: "y"}}
			alone(func(c *claims.Claim) { c.Other = full.Other }, f.Name)
			continue
		}
		fill(of.FieldByIndex(f.Index), f.Name)
		alone(func(c *claims.Claim) { fill(reflect.ValueOf(c).Elem().FieldByIndex(f.Index), "x") }, f.Name)
	}
	x := &index{ids: []string{"a/b"}, archive: newArchive()}
	x.archive.claims = []claims.Claim{full}
	b, err := json.Marshal(keep(x))
	require.NoError(t, err)
	var k keptIndex
	require.NoError(t, json.Unmarshal(b, &k))
	back, ok := k.index()
	require.True(t, ok)
	assert.Equal(t, x.archive.claims, back.archive.claims)
}
