//go:build !js

package store_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/store"
)

// titled is an engine file with nothing but a title.
func titled(title string) string {
	return "format: 1\nengine: a/b\ntitle: " + title + "\n"
}

// titleAt returns the text of the one engine at a revision, or the error.
func titleAt(dir, rev string) (string, error) {
	inputs, err := store.OpenRevision(filepath.Join(dir, "data"), rev)
	if err != nil {
		return "", err
	}
	b, err := inputs[0].Read()
	return string(b), err
}

// history is a repository of four commits, the last a merge of the third with
// one beside it:
//
//	one -- two -- three -- four
//	         \_ side _____/
func history(t testing.TB) (g *gitRepository, commits map[string]plumbing.Hash) {
	g = newRepository(t)
	commits = map[string]plumbing.Hash{}
	at := func(title string, parents ...string) {
		g.write("data/engines/a/b.yaml", titled(title))
		var on []plumbing.Hash
		for _, p := range parents {
			on = append(on, commits[p])
		}
		commits[title] = g.commitOn(on...)
	}
	at("one")
	at("two", "one")
	at("side", "two")
	at("three", "two")
	at("four", "three", "side")
	return g, commits
}

func TestRevisionsAreNamedInEveryUsualWay(t *testing.T) {
	g, commits := history(t)
	g.refer("refs/heads/side", commits["side"])
	g.refer("refs/heads/drafts/in-hand", commits["three"])
	g.refer("refs/tags/light", commits["one"])
	g.tag("v1", commits["two"])
	g.refer("refs/remotes/origin/main", commits["three"])
	g.refer("refs/heads/1934", commits["side"])
	require.NoError(t, g.storage.SetReference(plumbing.NewSymbolicReference("refs/remotes/origin/HEAD", "refs/remotes/origin/main")))
	cases := map[string]string{
		"HEAD": "four", "@": "four", "HEAD~0": "four", "HEAD~": "three", "HEAD^": "three", "HEAD~1": "three", "HEAD~2": "two", "HEAD~3": "one",
		"HEAD^1": "three", "HEAD^2": "side", "HEAD^2~1": "two", "HEAD~^": "two", "HEAD^^^": "one", "HEAD^0": "four",
		"main": "four", "side": "side", "drafts/in-hand": "three", "1934": "side", "main~1": "three",
		"light": "one", "v1": "two", "v1~1": "one",
		"origin/main": "three", "origin": "three",
		"heads/side": "side", "tags/v1": "two", "remotes/origin/main": "three", "refs/heads/side": "side", "refs/tags/v1": "two",
	}
	for title, h := range commits {
		cases[h.String()], cases[h.String()[:7]], cases[h.String()[:8]], cases[h.String()[:12]+"~0"] = title, title, title, title
	}
	for _, packed := range []bool{false, true} {
		if packed {
			g.pack()
		}
		for rev, title := range cases {
			text, err := titleAt(g.dir, rev)
			if assert.NoError(t, err, "%s, packed %v", rev, packed) {
				assert.Equal(t, titled(title), text, "%s, packed %v", rev, packed)
			}
		}
	}
}

// A branch whose name could be the start of a hash is the branch.
func TestABranchNamedLikeAHashIsTheBranch(t *testing.T) {
	g, commits := history(t)
	name := commits["one"].String()[:6]
	g.refer("refs/heads/"+name, commits["two"])
	text, err := titleAt(g.dir, name)
	require.NoError(t, err)
	assert.Equal(t, titled("two"), text)

	text, err = titleAt(g.dir, commits["one"].String())
	require.NoError(t, err)
	assert.Equal(t, titled("one"), text, "a whole hash is the commit")
}

func TestNoRevision(t *testing.T) {
	g, commits := history(t)
	g.refer("refs/heads/twice", commits["one"])
	g.refer("refs/tags/twice", commits["two"])
	g.refer("refs/heads/once", commits["one"])
	g.refer("refs/tags/once", commits["one"])
	g.refer("refs/tags/blob", g.blob([]byte("text")))
	for rev, says := range map[string]string{
		"nothing":                   `there is no branch, tag or commit "nothing"`,
		"abc":                       `there is no branch, tag or commit "abc"`,
		"zzzz":                      `there is no branch, tag or commit "zzzz"`,
		"twice":                     "can mean any of refs/tags/twice, refs/heads/twice",
		"refs/heads/no":             `there is no branch, tag or commit`,
		"HEAD~9":                    "is the first commit",
		"HEAD^3":                    "has no parent number 3",
		"HEAD~99999999999999999999": "is no number of commits",
		"blob":                      "is a blob, not a commit",
		"":                          "is no revision of a form known here",
		"HEAD:data":                 "is no revision of a form known here",
		"main@{yesterday}":          "is no revision of a form known here",
		"HEAD^{tree}":               "is no revision of a form known here",
		":/words":                   "is no revision of a form known here",
		"--all":                     "there is no branch, tag or commit",
		"../../config":              "there is no branch, tag or commit",
		"0123456789012345678901234567890123456789": "is not in the repository",
	} {
		_, err := titleAt(g.dir, rev)
		assert.ErrorContains(t, err, says, rev)
	}
	_, err := titleAt(g.dir, "once")
	assert.NoError(t, err, "a branch and a tag of one name that are one commit are no question")
}

// The start of two commits names neither.
func TestAnAmbiguousStartIsRefused(t *testing.T) {
	g := newRepository(t)
	starts := map[string]string{}
	for i := range 2000 { // two of so many share four digits: 65536 are far fewer than their pairs
		g.write("data/engines/a/b.yaml", titled(fmt.Sprint(i)))
		h := g.commit().String()
		if other, twice := starts[h[:4]]; twice {
			_, err := titleAt(g.dir, h[:4])
			require.ErrorContains(t, err, "is the start of several commits")
			require.ErrorContains(t, err, h)
			require.ErrorContains(t, err, other)
			return
		}
		starts[h[:4]] = h
	}
	t.Fatal("no two commits share their first digits")
}

func TestShallowClonesSayWhereTheyEnd(t *testing.T) {
	g, commits := history(t)
	require.NoError(t, g.storage.SetShallow([]plumbing.Hash{commits["two"]}))
	text, err := titleAt(g.dir, "HEAD~2")
	require.NoError(t, err)
	assert.Equal(t, titled("two"), text)
	_, err = titleAt(g.dir, "HEAD~3")
	assert.ErrorContains(t, err, "the clone is shallow")
	_, err = titleAt(g.dir, "origin/main")
	assert.ErrorContains(t, err, "the clone is shallow, so it may have to be fetched first")
}

func TestWhereThereIsNoRepository(t *testing.T) {
	dir := t.TempDir()
	_, err := store.OpenRevision(dir, "HEAD")
	assert.ErrorContains(t, err, "is in no git repository")

	g := newRepository(t)
	g.write("data/engines/a/b.yaml", titled("one"))
	_, err = store.OpenRevision(g.dir, "HEAD")
	assert.ErrorContains(t, err, "the repository has no commit yet")

	require.NoError(t, os.MkdirAll(filepath.Join(dir, "x"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "x", ".git"), []byte("nonsense"), 0o644))
	_, err = store.OpenRevision(filepath.Join(dir, "x"), "HEAD")
	assert.ErrorContains(t, err, "does not say where the repository is")
}

func TestRepositoriesOfUnknownFormAreRefused(t *testing.T) {
	for extension, says := range map[string]string{"objectFormat = sha256": "objectformat = sha256", "refStorage = reftable": "refstorage = reftable"} {
		g, _ := history(t)
		config := "[core]\n\trepositoryformatversion = 1\n[extensions]\n\t" + extension + "\n"
		require.NoError(t, os.WriteFile(filepath.Join(g.dir, ".git", "config"), []byte(config), 0o644))
		_, err := titleAt(g.dir, "HEAD")
		assert.ErrorContains(t, err, says)
	}
}

// A work tree added to a repository has its own HEAD and the repository's objects.
func TestLinkedWorkTree(t *testing.T) {
	g, commits := history(t)
	linked := t.TempDir()
	folder := filepath.Join(g.dir, ".git", "worktrees", "linked")
	require.NoError(t, os.MkdirAll(folder, 0o755))
	for file, text := range map[string]string{
		filepath.Join(linked, ".git"):      "gitdir: " + folder + "\n",
		filepath.Join(folder, "commondir"): "../..\n",
		filepath.Join(folder, "HEAD"):      commits["two"].String() + "\n",
	} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	for rev, title := range map[string]string{"HEAD": "two", "main": "four"} {
		text, err := titleAt(linked, rev)
		require.NoError(t, err)
		assert.Equal(t, titled(title), text, rev)
	}
}

func TestAlternates(t *testing.T) {
	g, _ := history(t)
	borrower := newRepository(t)
	require.NoError(t, os.MkdirAll(filepath.Join(borrower.dir, ".git", "objects", "info"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(borrower.dir, ".git", "objects", "info", "alternates"), []byte(filepath.Join(g.dir, ".git", "objects")+"\n"), 0o644))
	borrower.refer("refs/heads/main", g.head)
	for _, rev := range []string{"HEAD", g.head.String(), g.head.String()[:8]} {
		text, err := titleAt(borrower.dir, rev)
		require.NoError(t, err)
		assert.Equal(t, titled("four"), text, rev)
	}
}
