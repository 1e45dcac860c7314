package merge_test

import (
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/data"
	"fourmarks.example/data/claims"
	"fourmarks.example/data/merge"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// TestMutatedExamples merges versions of the demo engines that were changed line by
// line, without regard to what the lines mean: what still reads merges or conflicts,
// and nothing is lost either way.
func TestMutatedExamples(t *testing.T) {
	var all []string
	require.NoError(t, fs.WalkDir(data.Files, "engines", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(p) != ".yaml" {
			return err
		}
		b, err := fs.ReadFile(data.Files, p)
		all = append(all, string(b))
		return err
	}))
	merged := 0
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.SampledFrom(all).Draw(t, "base")
		b, o, x := mutated(t, base, 2), mutated(t, base, 4), mutated(t, base, 4)
		r, err := engine(b, o, x)
		if err != nil {
			for _, says := range []string{"would not be a file of the format", " of the base", " of ours", " of theirs"} {
				if strings.Contains(err.Error(), says) {
					return
				}
			}
			require.NoError(t, err, "base\n%s\nours\n%s\ntheirs\n%s", b, o, x)
		}
		merged++
		nothingLost(t, b, o, x, r)
		swapped, err := engine(b, x, o)
		require.NoError(t, err)
		require.Equal(t, conflictLines(r), conflictLines(swapped))
		if len(r.Conflicts) == 0 {
			require.Equal(t, tidy(t, r.Text), tidy(t, swapped.Text), "base\n%s\nours\n%s\ntheirs\n%s", b, o, x)
		}
	})
	require.Positive(t, merged)
}

var number = regexp.MustCompile(`[0-9]+`)

// mutated changes a text in a few lines.
func mutated(t *rapid.T, source string, most int) string {
	lines := strings.Split(strings.TrimSuffix(source, "\n"), "\n")
	for range rapid.IntRange(0, most).Draw(t, "changes") {
		i := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
		switch rapid.IntRange(0, 9).Draw(t, "change") {
		case 0, 1, 2, 3:
			lines[i] = number.ReplaceAllStringFunc(lines[i], func(s string) string { return s + rapid.SampledFrom([]string{"", "0", "1"}).Draw(t, "digit") })
		case 4:
			lines = slices.Delete(lines, i, i+1)
		case 5:
			j := rapid.IntRange(0, len(lines)-1).Draw(t, "with")
			lines[i], lines[j] = lines[j], lines[i]
		case 6:
			lines[i] = strings.Replace(lines[i], "p. ", "page ", 1)
		case 7:
			lines = slices.Insert(lines, i, strings.Repeat(" ", len(lines[i])-len(strings.TrimLeft(lines[i], " ")))+rapid.SampledFrom([]string{"# a remark", "", "note: added"}).Draw(t, "line"))
		case 8:
			lines[i] += rapid.SampledFrom([]string{"  # beside", "\r", " "}).Draw(t, "end")
		case 9:
			lines[i] = "  " + lines[i]
		}
		if len(lines) == 0 {
			return ""
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

// nothingLost: every claim and value of either side is in the result or in a
// conflict, unless the base has it and one side took it out or changed it while the
// other left it; and nothing is in the result that neither side has. It goes by the
// claims of the texts alone, and knows nothing of how a merge decides.
func nothingLost(t require.TestingT, base, ours, theirs string, r *merge.Result) {
	b, o, x, result := spoken(base), spoken(ours), spoken(theirs), spoken(string(r.Text))
	torn := func(id claims.ID) bool {
		return slices.ContainsFunc(r.Conflicts, func(c merge.Conflict) bool {
			return c.ID == id || c.Key == "" && within(id.Pointer, c.Pointer)
		})
	}
	for _, sides := range [][2]map[claims.ID]claims.Claim{{o, x}, {x, o}} {
		for id, c := range sides[0] {
			is, inResult := result[id]
			was, inBase := b[id]
			other, inOther := sides[1][id]
			unchanged := inBase && claims.Same(&was, &c)
			switch {
			case inResult && claims.Same(&is, &c), torn(id):
			case unchanged && !inOther:
			case unchanged && inResult && inOther && claims.Same(&is, &other):
			case c.Kind == claims.From: // what a section's source says is in its claims
			default:
				require.Fail(t, "lost", "%v %q\nbase\n%s\nours\n%s\ntheirs\n%s\nresult\n%s", id, c.Printed, base, ours, theirs, r.Text)
			}
		}
	}
	for id, c := range result {
		mine, inOurs := o[id]
		other, inTheirs := x[id]
		if !(inOurs && claims.Same(&mine, &c) || inTheirs && claims.Same(&other, &c)) {
			require.Fail(t, "from nowhere", "%v %q\nbase\n%s\nours\n%s\ntheirs\n%s\nresult\n%s", id, c.Printed, base, ours, theirs, r.Text)
		}
	}
}

func within(pointer, outer string) bool {
	return pointer == outer || len(pointer) > len(outer) && pointer[:len(outer)] == outer && pointer[len(outer)] == '/'
}

func spoken(source string) map[claims.ID]claims.Claim {
	all := map[claims.ID]claims.Claim{}
	if source == "" {
		return all
	}
	for _, c := range claims.Of(lint.EngineFile, schema.ReadFile("x", []byte(source))) {
		all[c.ID] = c
	}
	return all
}
