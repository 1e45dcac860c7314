//go:build !js

package branch_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/commits/gittest"
)

// engine is a file of an engine with some long text in it.
func engine(id, title string) string {
	return "format: 1\nengine: " + id + "\ntitle: " + title + "\nmade: 1926-1931\n"
}

const text = "one\ntwo\nthree\nfour\nfive\n"

func edited(line, by string) string { return strings.Replace(text, line, by, 1) }

func TestFilesMerge(t *testing.T) {
	one := files{"a": text}
	cases := map[string]struct{ base, ours, theirs, want files }{
		"each side another file":     {files{"a": text, "b": text}, files{"a": edited("one", "1"), "b": text}, files{"a": text, "b": edited("two", "2")}, files{"a": edited("one", "1"), "b": edited("two", "2")}},
		"two places of one file":     {one, files{"a": edited("one", "1")}, files{"a": edited("five", "5")}, files{"a": strings.Replace(edited("one", "1"), "five", "5", 1)}},
		"both sides the same change": {one, files{"a": edited("one", "1")}, files{"a": edited("one", "1")}, files{"a": edited("one", "1")}},
		"each side adds a file":      {one, files{"a": text, "d/b": "b"}, files{"a": text, "d/c": "c"}, files{"a": text, "d/b": "b", "d/c": "c"}},
		"both add the same file":     {one, files{"a": text, "b": "b"}, files{"a": text, "b": "b"}, files{"a": text, "b": "b"}},
		"one side removes":           {files{"a": text, "d/b": "b"}, files{"a": edited("one", "1"), "d/b": "b"}, one, files{"a": edited("one", "1")}},
		"both sides remove":          {files{"a": text, "b": "b"}, files{"a": edited("one", "1")}, one, files{"a": edited("one", "1")}},
		"we removed, they left it":   {files{"a": text, "b": "b"}, one, files{"a": edited("one", "1"), "b": "b"}, files{"a": edited("one", "1")}},
		"a file becomes a folder":    {files{"a": text, "b": "b"}, files{"a": edited("one", "1"), "b": "b"}, files{"a": text, "b/c": "c"}, files{"a": edited("one", "1"), "b/c": "c"}},
		"line ends stay":             {files{"a": "1\r\n2\r\n3\r\n4\n"}, files{"a": "x\r\n2\r\n3\r\n4\n"}, files{"a": "1\r\n2\r\n3\r\ny"}, files{"a": "x\r\n2\r\n3\r\ny"}},

		"a file moved alone, edited by the other": {files{"a": text, "x": "x"}, files{"b": text, "x": "x"}, files{"a": text, "x": "y"}, files{"b": text, "x": "y"}},
		"moved by us, edited by them":             {one, files{"b": text}, files{"a": edited("two", "2")}, files{"b": edited("two", "2")}},
		"edited by us, moved by them":             {one, files{"a": edited("two", "2")}, files{"c/b": text}, files{"c/b": edited("two", "2")}},
		"an engine moved and edited": {
			files{"data/engines/a/b.yaml": engine("a/b", "One")},
			files{"set/engines/a/b.yaml": engine("a/b", "A much longer title than before, and nothing else is as it was")},
			files{"data/engines/a/b.yaml": engine("a/b", "One"), "x": "x"},
			files{"set/engines/a/b.yaml": engine("a/b", "A much longer title than before, and nothing else is as it was"), "x": "x"}},
		"an engine under a new id": {
			files{"data/engines/a/b.yaml": engine("a/b", "One"), "data/moved.yaml": "x/y: {to: a/b, because: of its plate}\n"},
			files{"data/engines/a/c.yaml": engine("a/c", "One"), "data/moved.yaml": "x/y: {to: a/b, because: of its plate}\na/b: {to: a/c, because: that is its name}\n"},
			files{"data/engines/a/b.yaml": engine("a/b", "One"), "data/moved.yaml": "x/y: {to: a/b, because: of its plate}\n", "x": "x"},
			files{"data/engines/a/c.yaml": engine("a/c", "One"), "data/moved.yaml": "x/y: {to: a/b, because: of its plate}\na/b: {to: a/c, because: that is its name}\n", "x": "x"}},
		"only the case of a name": {
			files{"data/engines/a/B.yaml": engine("a/b", "One")},
			files{"data/engines/a/b.yaml": engine("a/b", "One")},
			files{"data/engines/a/B.yaml": engine("a/b", "One"), "x": "x"},
			files{"data/engines/a/b.yaml": engine("a/b", "One"), "x": "x"}},
		"a folder moved": {
			files{"d/a": text, "d/b": "b\n"}, files{"e/a": text, "e/b": "b\n"},
			files{"d/a": edited("one", "1"), "d/b": "b\n"}, files{"e/a": edited("one", "1"), "e/b": "b\n"}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, swapped := range []bool{false, true} {
				ours, theirs := c.ours, c.theirs
				if swapped {
					ours, theirs = theirs, ours
				}
				w := parted(t, c.base, ours, theirs)
				before := w.Head()
				m, err := merge(w, "theirs", "")
				require.NoError(t, err)
				assert.Empty(t, conflicts(m))
				holds(w, c.want)
				assert.Equal(t, before+" "+w.Git("rev-parse", "theirs"), w.Git("log", "-1", "--format=%P"))
				w.Sound()
			}
		})
	}
}

func TestFilesConflict(t *testing.T) {
	one := files{"a": text}
	cases := map[string]struct {
		base, ours, theirs files
		want               map[string]string
	}{
		"the same lines":              {one, files{"a": edited("one", "1")}, files{"a": edited("one", "I")}, files{"a": "both sides changed the same lines"}},
		"removed and changed":         {files{"a": text, "x": "x"}, files{"x": "x"}, files{"a": edited("one", "1"), "x": "x"}, files{"a": "it was removed on our side and changed on theirs"}},
		"changed and removed":         {files{"a": text, "x": "x"}, files{"a": edited("one", "1"), "x": "x"}, files{"x": "x"}, files{"a": "it was changed on our side and removed on theirs"}},
		"added by both":               {one, files{"a": text, "b": "1"}, files{"a": text, "b": "2"}, files{"b": "both sides added it, with different contents"}},
		"no text":                     {files{"a": "\x00one"}, files{"a": "\x00two"}, files{"a": "\x00three"}, files{"a": "it is no text"}},
		"moved to two names":          {one, files{"b": text}, files{"c": text}, files{"b": "a was moved to b on our side and to c on theirs"}},
		"moved and removed":           {files{"a": text, "x": "x"}, files{"b": text, "x": "x"}, files{"x": "x"}, files{"b": "a was moved to b on our side and removed on theirs"}},
		"moved onto what they added":  {one, files{"b": text}, files{"a": text, "b": "other"}, files{"b": "two files come to this path"}},
		"a file against a folder":     {files{"x": "x"}, files{"x": "x", "a": "a"}, files{"x": "x", "a/b": "b"}, files{"a": "a is a file on one side and a folder on the other", "a/b": "a is a file on one side and a folder on the other"}},
		"differing in case only":      {files{"x": "x"}, files{"x": "x", "d/a": "a"}, files{"x": "x", "d/A": "b"}, files{"d/a": "differ only in the case of letters", "d/A": "differ only in the case of letters"}},
		"added to a folder that went": {files{"d/a": text}, files{"e/a": text}, files{"d/a": text, "d/b": "b"}, files{"d/b": "one side added it to the folder d, which the other moved to e"}},
		"two paths with one id": {files{"x": "x"},
			files{"x": "x", "data/engines/a/b.yaml": engine("a/b", "One")}, files{"x": "x", "data/engines/a/c.yaml": engine("a/b", "Two")},
			files{"data/engines/a/b.yaml": "both sides added the engine a/b", "data/engines/a/c.yaml": "both sides added the engine a/b"}},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := parted(t, c.base, c.ours, c.theirs)
			before := w.State()
			m, err := merge(w, "theirs", "")
			require.ErrorContains(t, err, "in conflict")
			got := conflicts(m)
			for p, why := range c.want {
				assert.Contains(t, got[p], why)
			}
			assert.Len(t, got, len(c.want))
			assert.Equal(t, before, w.State(), "nothing changed")

			require.NoError(t, m.Leave(t.Context(), "Merge theirs\n"))
			assert.NotEmpty(t, w.Git("ls-files", "--unmerged"))
			w.Git("rev-parse", "MERGE_HEAD")
			_, err = w.Try(nil, "commit", "-q", "-m", "x")
			assert.Error(t, err, "nothing is committed before it is settled")
			w.Git("merge", "--abort")
			assert.Equal(t, before, w.State(), "aborted as if nothing had been")
		})
	}
}

// Links, programs and repositories within the repository are merged as a whole.
func TestOtherThanFiles(t *testing.T) {
	link := func(w *gittest.Work, to string) {
		w.Remove("a")
		require.NoError(t, os.Symlink(to, filepath.Join(w.Dir, "a")))
		w.Commit()
	}
	run := func(w *gittest.Work) {
		require.NoError(t, os.Chmod(filepath.Join(w.Dir, "a"), 0o755))
		w.Commit()
	}
	edit := func(w *gittest.Work) {
		w.Write("a", edited("one", "1"))
		w.Commit()
	}
	none := func(w *gittest.Work) {}
	cases := map[string]struct {
		base, ours, theirs func(*gittest.Work)
		want               string // the conflict, or what ls-files says
	}{
		"run on one side, edited on the other": {none, run, edit, "100755 " + "sha of 1"},
		"edited and run":                       {none, edit, run, "100755 " + "sha of 1"},
		"a link against an edit":               {none, func(w *gittest.Work) { link(w, "b") }, edit, "it is a link on our side and a file on theirs"},
		"two links":                            {none, func(w *gittest.Work) { link(w, "b") }, func(w *gittest.Work) { link(w, "c") }, "it is a link on our side and a link on theirs"},
		"a link moved on":                      {func(w *gittest.Work) { link(w, "b") }, none, func(w *gittest.Work) { link(w, "c") }, "120000 "},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			w := parted(t, files{"a": text}, files{"a": text}, files{"a": text})
			c.base(w)
			w.Git("branch", "-f", "theirs")
			w.Git("checkout", "-q", "theirs")
			c.theirs(w)
			w.Git("checkout", "-q", "main")
			c.ours(w)
			w.Write("x", "x")
			w.Commit()
			m, err := merge(w, "theirs", "")
			if err != nil {
				assert.Contains(t, conflicts(m)["a"], c.want)
				return
			}
			mode, _, _ := strings.Cut(c.want, " ")
			assert.Contains(t, w.Git("ls-files", "--stage", "a"), mode+" ")
			if strings.Contains(c.want, "sha") {
				assert.Equal(t, edited("one", "1"), w.Read("a"))
			}
		})
	}
}
