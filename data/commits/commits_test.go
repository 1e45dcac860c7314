//go:build !js

package commits_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/go-git/go-git/v5/plumbing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits"
	"fourmarks.example/data/commits/gittest"
)

// textAt reads a file at HEAD through a repository opened anew.
func textAt(t *testing.T, dir, name string) string {
	t.Helper()
	r, err := commits.Open(dir)
	require.NoError(t, err)
	defer r.Close()
	h, err := r.Resolve("HEAD")
	require.NoError(t, err)
	c, err := r.Commit(h)
	require.NoError(t, err)
	e, err := r.At(c.Tree, name)
	require.NoError(t, err)
	require.True(t, e.IsFile(), "%s is there", name)
	b, err := r.Blob(e.Hash, 1<<20)
	require.NoError(t, err)
	return string(b)
}

// In every form that git gives a repository the same is read.
func TestEveryFormOfRepositoryIsRead(t *testing.T) {
	w := gittest.New(t)
	w.Write("a/b.txt", "one\n")
	first := w.Commit()
	w.Write("a/b.txt", "two\n")
	w.Commit()
	beside := func(args ...string) string {
		dir := filepath.Join(t.TempDir(), "it")
		w.Git(append(args, dir)...)
		return dir
	}
	forms := map[string]string{
		"itself":      w.Dir,
		"from within": filepath.Join(w.Dir, "a"),
		"bare":        beside("clone", "-q", "--bare", w.Dir),
		"alternates":  beside("clone", "-q", "--shared", w.Dir),
		"shallow":     beside("clone", "-q", "--depth=1", "file://"+w.Dir),
		"linked":      beside("worktree", "add", "-q", "--detach"),
	}
	sub := gittest.New(t)
	sub.Git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", w.Dir, "under")
	forms["submodule"] = filepath.Join(sub.Dir, "under")
	for form, dir := range forms {
		assert.Equal(t, "two\n", textAt(t, dir, "a/b.txt"), form)
	}

	bare, err := commits.Open(forms["bare"])
	require.NoError(t, err)
	assert.True(t, bare.IsBare())
	linked, err := commits.Open(forms["linked"])
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(w.Dir, ".git"), linked.CommonFolder())
	assert.NotEqual(t, linked.CommonFolder(), linked.GitFolder())
	branch, _, err := linked.Head()
	require.NoError(t, err)
	assert.Empty(t, branch, "checked out by itself")

	shallow, err := commits.Open(forms["shallow"])
	require.NoError(t, err)
	h, err := shallow.Resolve("HEAD")
	require.NoError(t, err)
	c, err := shallow.Commit(h)
	require.NoError(t, err)
	assert.True(t, c.CutOff)
	assert.Empty(t, c.Parents)
	_, err = shallow.Resolve("HEAD~1")
	assert.ErrorContains(t, err, "the clone is shallow")
	_, err = shallow.Resolve(first)
	assert.ErrorContains(t, err, "is not in the repository")
}

// What cannot be read rightly is refused, and what cannot be written safely is
// only read.
func TestUnsupportedRepositoriesAreRefused(t *testing.T) {
	w := gittest.New(t, "--object-format=sha256")
	_, err := commits.Open(w.Dir)
	assert.ErrorContains(t, err, "objectformat = sha256, which cannot be read here; only sha1 can")

	full := gittest.New(t)
	full.Write("a", "text\n")
	full.Commit()
	full.Git("config", "uploadpack.allowFilter", "true")
	partial := filepath.Join(t.TempDir(), "it")
	full.Git("clone", "-q", "--filter=blob:none", "file://"+full.Dir, partial)
	split := gittest.New(t)
	split.Write("a", "text\n")
	split.Commit()
	split.Git("config", "extensions.worktreeConfig", "true")
	for dir, says := range map[string]string{partial: "is a partial clone", split.Dir: "has a config for each work tree"} {
		assert.Equal(t, "text\n", textAt(t, dir, "a"))
		r, err := commits.Open(dir)
		require.NoError(t, err)
		_, err = r.WriteBlob([]byte("new"))
		assert.ErrorContains(t, err, says)
	}
	_, err = commits.Open(t.TempDir())
	assert.ErrorContains(t, err, "is in no git repository")
}

// What is written is sound to git and is what it would have written itself.
func TestWhatIsWrittenIsSound(t *testing.T) {
	w := gittest.New(t)
	w.Write("a.b", "1")
	w.Write("a/x", "2")
	w.Write("a0", "3")
	head := w.Commit()
	r := open(t, w)
	c, err := r.Commit(plumbing.NewHash(head))
	require.NoError(t, err)
	entries, err := r.List(c.Tree)
	require.NoError(t, err)
	entries[0], entries[2] = entries[2], entries[0]
	same, err := r.WriteTree(entries)
	require.NoError(t, err)
	assert.Equal(t, c.Tree, same, "in whatever order they are given")

	blob, err := r.WriteBlob([]byte("new\n"))
	require.NoError(t, err)
	assert.Equal(t, commits.BlobHash([]byte("new\n")), blob)
	tree, err := r.WriteTree(append(entries, commits.Entry{Name: "run", Mode: commits.Executable, Hash: blob}))
	require.NoError(t, err)
	when := time.Date(2026, 11, 25, 10, 0, 0, 0, time.FixedZone("", -(3*60+30)*60))
	who := commits.Person{Name: " A <keeper>\n", Email: "keeper@fourmarks.example", When: when}
	h, err := r.WriteCommit(commits.Commit{Tree: tree, Parents: []commits.Hash{c.Hash}, Author: who, Committer: who, Message: "words\n\nmore\n"})
	require.NoError(t, err)
	w.Git("fsck", "--strict", "--no-dangling")
	assert.Equal(t, "words\n\nmore\n|A keeper|keeper@fourmarks.example|2026-11-25T10:00:00-03:30|"+head,
		w.Git("log", "-1", "--format=%B|%an|%ae|%aI|%P", h.String()))
	assert.Equal(t, "new", w.Git("show", h.String()+":run"))
	back, err := r.Commit(h)
	require.NoError(t, err)
	assert.Equal(t, "words\n\nmore\n", back.Message)
	assert.True(t, when.Equal(back.Author.When))
	assert.Equal(t, "-0330", back.Author.When.Format("-0700"))

	for name, says := range map[string]string{"": "cannot hold", "..": "cannot hold", ".GIT": "cannot hold", "a/b": "cannot hold", "run": "twice"} {
		_, err := r.WriteTree([]commits.Entry{{Name: "run", Mode: commits.File, Hash: blob}, {Name: name, Mode: commits.File, Hash: blob}})
		assert.ErrorContains(t, err, says, name)
	}
}

// Packing anew while somebody reads takes nothing away from the reader.
func TestAPackedRepositoryIsReadOn(t *testing.T) {
	w := gittest.New(t)
	var blobs []commits.Hash
	for i := range 20 {
		text := strings.Repeat("x", i+1)
		w.Write("a", text)
		w.Commit()
		blobs = append(blobs, commits.BlobHash([]byte(text)))
		if i == 10 {
			w.Git("gc", "-q")
		}
	}
	r := open(t, w)
	for i, h := range blobs {
		if i%5 == 0 {
			w.Git("repack", "-q", "-a", "-d", "--depth", []string{"1", "50"}[i/5%2], "-f")
			w.Git("prune-packed", "-q")
		}
		b, err := r.Blob(h, 100)
		require.NoError(t, err)
		assert.Len(t, b, i+1)
	}
}

func TestADamagedFolderIsAnError(t *testing.T) {
	w := gittest.New(t)
	h := w.GitWith([]byte("100644 name\x00short"), "hash-object", "-t", "tree", "--literally", "-w", "--stdin")
	r := open(t, w)
	_, err := r.List(plumbing.NewHash(h))
	assert.ErrorContains(t, err, "is damaged")
	_, err = r.Diff(commits.None, plumbing.NewHash(h), "")
	assert.ErrorContains(t, err, "is damaged")
}

func TestHeadAndBranches(t *testing.T) {
	w := gittest.New(t)
	r := open(t, w)
	branch, h, err := r.Head()
	require.NoError(t, err)
	assert.Equal(t, "refs/heads/main", branch)
	assert.Equal(t, commits.None, h, "no commit yet")
	w.Write("a", "b")
	head := w.Commit()
	w.Git("branch", "drafts/in-hand")
	branch, h, err = r.Head()
	require.NoError(t, err)
	assert.Equal(t, []string{"refs/heads/main", head}, []string{branch, h.String()})
	branch, h, err = r.Branch("drafts/in-hand")
	require.NoError(t, err)
	assert.Equal(t, []string{"refs/heads/drafts/in-hand", head}, []string{branch, h.String()})
	_, _, err = r.Branch("nothing")
	assert.ErrorContains(t, err, "there is no branch nothing here")
	_, err = os.Stat(r.GitFolder())
	assert.NoError(t, err)
}
