package lines_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data/merge/lines"
)

func TestMerge(t *testing.T) {
	cases := map[string]struct{ base, ours, theirs, want string }{
		"nothing changed":           {"a\nb\n", "a\nb\n", "a\nb\n", "a\nb\n"},
		"one side":                  {"a\nb\n", "a\nB\n", "a\nb\n", "a\nB\n"},
		"the other side":            {"a\nb\n", "a\nb\n", "a\n", "a\n"},
		"both alike":                {"a\nb\n", "a\nB\n", "a\nB\n", "a\nB\n"},
		"apart":                     {"a\nb\nc\n", "A\nb\nc\n", "a\nb\nC\n", "A\nb\nC\n"},
		"endings stay":              {"a\r\nb\r\nc", "A\r\nb\r\nc", "a\r\nb\r\nC", "A\r\nb\r\nC"},
		"the same line":             {"a\nb\nc\n", "a\nx\nc\n", "a\ny\nc\n", "a\n<<<<<<< we\nx\n||||||| it\nb\n=======\ny\n>>>>>>> they\nc\n"},
		"neighbours":                {"a\nb\n", "A\nb\n", "a\nB\n", "<<<<<<< we\nA\nb\n||||||| it\na\nb\n=======\na\nB\n>>>>>>> they\n"},
		"both added":                {"", "x\n", "y\n", "<<<<<<< we\nx\n||||||| it\n=======\ny\n>>>>>>> they\n"},
		"no last newline":           {"a", "x", "y", "<<<<<<< we\nx\n||||||| it\na\n=======\ny\n>>>>>>> they\n"},
		"what is common is trimmed": {"a\nb\nc\n", "a\nk\nx\nl\nc\n", "a\nk\ny\nl\nc\n", "a\nk\n<<<<<<< we\nx\n||||||| it\nb\n=======\ny\n>>>>>>> they\nl\nc\n"},
	}
	for name, c := range cases {
		pieces := lines.Merge([]byte(c.base), []byte(c.ours), []byte(c.theirs))
		assert.Equal(t, c.want, string(lines.Marked(pieces, lines.Labels{Base: "it", Ours: "we", Theirs: "they"}, lines.MarkerSize)), name)
		clean, ok := lines.Clean(pieces)
		assert.Equal(t, !strings.Contains(c.want, "<<<<<<<"), ok, name)
		if ok {
			assert.Equal(t, c.want, string(clean), name)
		}
	}
}

// A merge that is clean is that of git merge-file, and where git finds the
// sides agreed, so do we.
func TestMergeAgreesWithGit(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"a\n", "b\n", "c\n", "d\n", "e\n", "f\n", "g\n", "h\n", "i\n"}), 0, 9, rapid.ID).Draw(t, "base")
		edit := func(label string) []string {
			var side []string
			for _, line := range base {
				switch rapid.IntRange(0, 11).Draw(t, label) {
				case 0:
				case 1:
					side = append(side, "X\n")
				case 2:
					side = append(side, line, "y\n")
				default:
					side = append(side, line)
				}
			}
			return side
		}
		texts := [][]string{edit("ours"), base, edit("theirs")}
		files := []string{"merge-file", "-q", "-p"}
		var joined [][]byte
		for i, text := range texts {
			file := filepath.Join(dir, []string{"ours", "base", "theirs"}[i])
			joined = append(joined, []byte(strings.Join(text, "")))
			require.NoError(t, os.WriteFile(file, joined[i], 0o644))
			files = append(files, file)
		}
		out, err := exec.Command("git", files...).Output()
		got, clean := lines.Clean(lines.Merge(joined[1], joined[0], joined[2]))
		if clean && err == nil {
			assert.Equal(t, string(out), string(got))
		}
	})
}

// The laws of a merge.
func TestMergeLaws(t *testing.T) {
	text := rapid.Map(rapid.SliceOfN(rapid.SampledFrom([]string{"a\n", "b\n", "c\r\n", "d", "\n"}), 0, 12),
		func(s []string) []byte { return []byte(strings.Join(s, "")) })
	rapid.Check(t, func(t *rapid.T) {
		b, x, y := text.Draw(t, "b"), text.Draw(t, "x"), text.Draw(t, "y")
		for _, c := range [][3][]byte{{b, x, x}, {b, b, x}, {b, x, b}} {
			got, clean := lines.Clean(lines.Merge(c[0], c[1], c[2]))
			require.True(t, clean)
			assert.Equal(t, string(x), string(got))
		}
		one, two := lines.Merge(b, x, y), lines.Merge(b, y, x)
		require.Len(t, two, len(one))
		for i := range one {
			assert.Equal(t, one[i], lines.Piece{Agreed: two[i].Agreed, Conflict: two[i].Conflict, Base: two[i].Base, Ours: two[i].Theirs, Theirs: two[i].Ours})
		}
	})
}

// Every line of either side is in the result.
func FuzzMerge(f *testing.F) {
	f.Add([]byte("a\nb\n"), []byte("a\nx\n"), []byte("y\nb\n"))
	f.Fuzz(func(t *testing.T, base, ours, theirs []byte) {
		if len(base)+len(ours)+len(theirs) > 4000 {
			return
		}
		marked := string(lines.Marked(lines.Merge(base, ours, theirs), lines.Labels{}, 30))
		for _, side := range [][]byte{ours, theirs} {
			for line := range strings.SplitSeq(string(side), "\n") {
				if !strings.Contains(string(base), line) {
					assert.Contains(t, marked, line)
				}
			}
		}
	})
}
