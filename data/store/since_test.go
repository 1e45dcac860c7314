//go:build !js

package store_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
	"fourmarks.example/lint"
)

// citing is an engine file whose one figure cites a source.
func citing(id, source string) string {
	return fmt.Sprintf("format: 1\nengine: %s\ntitle: Engine %s\nsize: {from: %s p. 1, bore: 2 in}\n", id, id, source)
}

// chain is a repository with a dataset in which sources copy one another:
//
//	club copies book, book copies handbook; sheet stands alone
//
// and one engine cites each of them.
func chain(t testing.TB) *gitRepository {
	g := newRepository(t)
	for id, text := range map[string]string{
		"handbook": "title: Handbook\ngrade: maker\n",
		"book":     "title: Book\ngrade: later\ncopies: handbook\n",
		"club":     "title: Club page\ngrade: later\ncopies: book\n",
		"sheet":    "title: Sheet\ngrade: works\n",
	} {
		g.write("data/sources/"+id+".yaml", text)
		g.write("data/engines/maker/"+id+"-engine.yaml", citing("maker/"+id+"-engine", id))
	}
	g.write("data/engines/maker/own.yaml", "format: 1\nengine: maker/own\ntitle: Own\nsources: {mine: {title: Mine, grade: later, copies: handbook}}\nsize: {from: mine, bore: 2 in}\n")
	g.write("data/engines/maker/namesake.yaml", "format: 1\nengine: maker/namesake\ntitle: Namesake\nsources: {handbook: {title: Another, grade: maker}}\nsize: {from: handbook p. 1, bore: 2 in}\n")
	g.write("data/engines/maker/talks.yaml", "format: 1\nengine: maker/talks\ntitle: Talks of the handbook\n# handbook\nsize: {from: sheet, note: not in the handbook, bore: 2 in}\n")
	g.write("data/moved.yaml", "maker/old: {to: maker/own, because: renamed}\n")
	g.commit()
	return g
}

// checkedSince returns the names, below data/, of what is to be checked.
func checkedSince(t testing.TB, g *gitRepository, rev string, paths ...string) []string {
	t.Helper()
	if len(paths) == 0 {
		paths = []string{"data"}
	}
	for i, p := range paths {
		paths[i] = filepath.Join(g.dir, p)
	}
	inputs, err := store.Open(paths...)
	require.NoError(t, err)
	marked, err := store.Since(context.Background(), inputs, rev)
	require.NoError(t, err)
	require.Len(t, marked, len(inputs))
	checked := []string{}
	for i, in := range marked {
		require.Equal(t, inputs[i].Name, in.Name)
		require.True(t, in.Context || !inputs[i].Context, "nothing is checked that was not asked for")
		if !in.Context {
			checked = append(checked, strings.TrimPrefix(in.Name, filepath.ToSlash(g.dir)+"/data/"))
		}
	}
	return checked
}

const moved = "moved.yaml"

func engines(names ...string) []string {
	all := []string{}
	for _, n := range names {
		all = append(all, "engines/maker/"+n+".yaml")
	}
	return append(all, moved)
}

func TestSince(t *testing.T) {
	for name, c := range map[string]struct {
		change func(g *gitRepository)
		want   []string
	}{
		"nothing changed":   {func(*gitRepository) {}, []string{}},
		"an engine changed": {func(g *gitRepository) { g.write("data/engines/maker/own.yaml", citing("maker/own", "sheet")) }, engines("own")},
		"an engine gone":    {func(g *gitRepository) { g.remove("data/engines/maker/own.yaml") }, engines()},
		"a new engine":      {func(g *gitRepository) { g.write("data/engines/maker/new.yaml", citing("maker/new", "sheet")) }, engines("new")},
		"an engine renamed": {func(g *gitRepository) {
			g.remove("data/engines/maker/own.yaml")
			g.write("data/engines/maker/renamed.yaml", citing("maker/renamed", "sheet"))
		}, engines("renamed")},
		"a source at the end of the chain": {func(g *gitRepository) { g.write("data/sources/club.yaml", "title: Page\ngrade: later\ncopies: book\n") },
			append(engines("club-engine"), "sources/club.yaml")},
		"a source that others copy": {func(g *gitRepository) { g.write("data/sources/handbook.yaml", "title: Changed\ngrade: maker\n") },
			append(engines("book-engine", "club-engine", "handbook-engine", "own"), "sources/book.yaml", "sources/club.yaml", "sources/handbook.yaml")},
		"a source gone": {func(g *gitRepository) { g.remove("data/sources/book.yaml") },
			append(engines("book-engine", "club-engine"), "sources/club.yaml")},
		"a source renamed": {func(g *gitRepository) {
			g.remove("data/sources/sheet.yaml")
			g.write("data/sources/sheet-4.yaml", "title: Sheet\ngrade: works\n")
		}, append(engines("sheet-engine", "talks"), "sources/sheet-4.yaml")},
		"a new source": {func(g *gitRepository) { g.write("data/sources/new.yaml", "title: New\ngrade: works\n") }, append(engines(), "sources/new.yaml")},
		"the record of moved ids": {func(g *gitRepository) {
			g.write("data/moved.yaml", "maker/old: {to: maker/own, because: renamed}\nmaker/talks: {to: maker/own, because: the same}\n")
		}, engines("talks")},
		"the record of moved ids gone": {func(g *gitRepository) { g.remove("data/moved.yaml") }, []string{}},
		"something else":               {func(g *gitRepository) { g.write("data/README.md", "words"); g.write("other/x.yaml", "a: b\n") }, []string{}},
		"only how lines end": {func(g *gitRepository) {
			g.write("data/engines/maker/own.yaml", strings.ReplaceAll(readFile(g, "data/engines/maker/own.yaml"), "\n", "\r\n"))
		}, []string{}},
		"an engine that cannot be read": {func(g *gitRepository) {
			g.remove("data/engines/maker/own.yaml")
			require.NoError(g.t, os.Symlink("/nowhere", filepath.Join(g.dir, "data/engines/maker/own.yaml")))
		}, engines("own")},
	} {
		for how, commit := range map[string]bool{"not committed": false, "committed": true} {
			t.Run(name+", "+how, func(t *testing.T) {
				g := chain(t)
				c.change(g)
				rev := "HEAD"
				if commit {
					g.commit()
					rev = "HEAD~1"
				}
				want := slices.Clone(c.want)
				slices.Sort(want)
				assert.Equal(t, want, checkedSince(t, g, rev))
			})
		}
	}
}

func readFile(g *gitRepository, name string) string {
	b, err := os.ReadFile(filepath.Join(g.dir, name))
	require.NoError(g.t, err)
	return string(b)
}

// A change that is undone again is none.
func TestSinceAnUndoneChange(t *testing.T) {
	g := chain(t)
	text := readFile(g, "data/engines/maker/own.yaml")
	g.write("data/engines/maker/own.yaml", "title: x\n")
	g.commit()
	g.write("data/engines/maker/own.yaml", text)
	assert.Empty(t, checkedSince(t, g, "HEAD~1"))
	assert.Equal(t, engines("own"), checkedSince(t, g, "HEAD"))
}

// Only what was asked for is checked, whatever else changed.
func TestSinceOfAPart(t *testing.T) {
	g := chain(t)
	g.write("data/sources/handbook.yaml", "title: Changed\ngrade: maker\n")
	g.write("data/engines/maker/talks.yaml", citing("maker/talks", "sheet"))
	assert.Equal(t, []string{"engines/maker/own.yaml"}, checkedSince(t, g, "HEAD", "data/engines/maker/own.yaml"))
	assert.Equal(t, []string{"sources/book.yaml", "sources/club.yaml", "sources/handbook.yaml"}, checkedSince(t, g, "HEAD", "data/sources"))
	assert.Empty(t, checkedSince(t, g, "HEAD", "data/engines/maker/sheet-engine.yaml"))
}

// Ids that are written with escapes, quoted, or as part of a claim's key are
// found, whether few sources changed or many.
func TestSinceFindsIDsHoweverWritten(t *testing.T) {
	g := newRepository(t)
	g.write("data/sources/hand-book.yaml", "title: Handbook\ngrade: maker\n")
	head := "format: 1\nengine: maker/%s\ntitle: T\n"
	for name, text := range map[string]string{
		"escaped": `size: {from: "\x68and-book p. 1", bore: 2 in}`,
		"quoted":  `size: {from: 'hand-book', bore: 2 in}`,
		"claim":   "size:\n  bore:\n    claims:\n      hand-book#second: {is: 2 in}",
		"folded":  "size:\n  from: >-\n    hand-book\n    p. 1\n  bore: 2 in",
		"json":    `size: {"bore":{"is":"2 in","from":"hand-book"}}`,
		"variant": "variants:\n  late: {change: {size: {bore: {is: 2 in, from: hand-book}}}}",
		"longer":  "size: {from: hand-book-2, bore: 2 in}",
		"part":    "size: {from: hand, bore: 2 in}",
	} {
		g.write("data/engines/maker/"+name+".yaml", fmt.Sprintf(head, name)+text+"\n")
	}
	g.commit()
	g.write("data/sources/hand-book.yaml", "title: Changed\ngrade: maker\n")
	want := engines("claim", "escaped", "folded", "json", "quoted", "variant")
	want = want[:len(want)-1] // there is no record of moved ids
	for more := range 20 {
		checked := checkedSince(t, g, "HEAD", "data/engines")
		require.Equal(t, want, checked, "%d more sources", more)
		g.write(fmt.Sprintf("data/sources/more-%d.yaml", more), "title: More\ngrade: maker\n")
	}
}

// A source whose name is no id that can be told in a text is looked for in
// every engine.
func TestSinceWithASourceOfAnOddName(t *testing.T) {
	g := newRepository(t)
	g.write("data/sources/a,b.yaml", "title: Odd\ngrade: maker\n")
	g.write("data/engines/maker/x.yaml", citing("maker/x", "'a,b'"))
	g.write("data/engines/maker/y.yaml", "format: 1\nengine: maker/y\ntitle: T\nsize: {from: 'a,b', bore: 2 in}\n")
	g.commit()
	g.write("data/sources/a,b.yaml", "title: Changed\ngrade: maker\n")
	assert.Contains(t, checkedSince(t, g, "HEAD"), "engines/maker/y.yaml")
}

// Files that lie in no dataset are held against their own past alone.
func TestSinceOfLooseFiles(t *testing.T) {
	g := newRepository(t)
	g.write("data/a.yaml", "format: 1\n")
	g.write("data/b.yaml", "format: 1\n")
	g.write("data/below/c.yaml", "format: 1\n")
	g.commit()
	g.write("data/b.yaml", "format: 1\ntitle: x\n")
	g.write("data/below/d.yaml", "format: 1\n")
	assert.Equal(t, []string{"b.yaml", "below/d.yaml"}, checkedSince(t, g, "HEAD"))
}

func TestSinceErrors(t *testing.T) {
	g := chain(t)
	inputs, err := store.Open(filepath.Join(g.dir, "data"))
	require.NoError(t, err)
	_, err = store.Since(context.Background(), inputs, "nowhere")
	assert.ErrorContains(t, err, `there is no branch, tag or commit "nowhere"`)

	other := chain(t)
	beside, err := store.Open(filepath.Join(other.dir, "data"))
	require.NoError(t, err)
	_, err = store.Since(context.Background(), append(inputs, beside...), "HEAD")
	assert.ErrorContains(t, err, "lies outside the repository of")

	loose := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(loose, "a.yaml"), []byte("format: 1\n"), 0o644))
	outside, err := store.Open(loose)
	require.NoError(t, err)
	_, err = store.Since(context.Background(), outside, "HEAD")
	assert.ErrorContains(t, err, "is in no git repository")

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = store.Since(ctx, inputs, "HEAD")
	assert.ErrorIs(t, err, context.Canceled)

	none, err := store.Since(context.Background(), nil, "HEAD")
	assert.NoError(t, err)
	assert.Empty(t, none)
}

// A change made through a folder that is a link is seen.
func TestSinceThroughALinkedFolder(t *testing.T) {
	g := chain(t)
	g.write("data/engines/maker/own.yaml", citing("maker/own", "sheet"))
	link := filepath.Join(t.TempDir(), "link")
	require.NoError(t, os.Symlink(g.dir, link))
	inputs, err := store.Open(filepath.Join(link, "data"))
	require.NoError(t, err)
	marked, err := store.Since(context.Background(), inputs, "HEAD")
	require.NoError(t, err)
	checked := slices.DeleteFunc(marked, func(in lint.Input) bool { return in.Context })
	assert.Len(t, checked, 2)
}
