package rules

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/lint"
	"fourmarks.example/schema"
)

// applied makes edits to a text, the last first.
func applied(source string, edits []lint.Edit) string {
	for _, e := range slices.Backward(edits) {
		source = source[:e.Start] + e.Text + source[e.End:]
	}
	return source
}

func canonicalFinding(source string) *lint.Finding {
	var found *lint.Finding
	pass := lint.Pass{File: schema.ReadFile("x.yaml", []byte(source))}
	canonical.File(pass.With(canonical, func(f *lint.Finding) { found = f }))
	return found
}

func TestCanonicalFixIsTheTidyText(t *testing.T) {
	source := "format: 1\nengine: a/b\ntitle: T\nsize:\n  from: s\n  bore:   1 in\n  stroke: 2 in\nlayout:\n  cylinders: 4 # four\n"
	f := canonicalFinding(source)
	require.NotNil(t, f)
	assert.Equal(t, 4, f.Line)
	tidy, err := schema.Tidy([]byte(source))
	require.NoError(t, err)
	assert.Equal(t, string(tidy), applied(source, f.Fix.Edits))
}

func TestCanonicalTouchesOnlyLinesThatChange(t *testing.T) {
	source := "format: 1\nsize:\n  bore:   1 in\n  stroke: 2 in\n  piston_speed: 9 m/s\nchecks:\n  speed:  3 rpm\n"
	f := canonicalFinding(source)
	require.NotNil(t, f)
	var touched []string
	for _, e := range f.Fix.Edits {
		touched = append(touched, source[e.Start:e.End])
	}
	assert.Equal(t, []string{"  bore:   1 in\n", "  speed:  3 rpm\n"}, touched)
}

func TestCanonicalIsSilent(t *testing.T) {
	for name, source := range map[string]string{
		"canonical":  "format: 1\nengine: a/b\ntitle: T\n",
		"JSON":       `{"title": "T", "format": 1}`,
		"unreadable": "title: &x T\nformat: 1\n",
		"empty":      "",
	} {
		assert.Nil(t, canonicalFinding(source), name)
	}
}

func TestLineEditsTurnOneTextIntoTheOther(t *testing.T) {
	line := rapid.SampledFrom([]string{"a\n", "b\n", "c\n", "\n", "  d\r\n"})
	lines := rapid.Map(rapid.SliceOf(line), func(l []string) string { return strings.Join(l, "") })
	rapid.Check(t, func(t *rapid.T) {
		from, to := lines.Draw(t, "from"), lines.Draw(t, "to")
		edits := lineEdits([]byte(from), []byte(to))
		require.Equal(t, to, applied(from, edits))
		for i, e := range edits {
			require.LessOrEqual(t, e.Start, e.End)
			require.True(t, i == 0 || edits[i-1].End < e.Start, "edits are apart and in order")
		}
	})
}

func TestLineEditsOfVeryManyLines(t *testing.T) {
	from := "same\n" + strings.Repeat("x\n", 3000) + "end\n"
	to := "same\n" + strings.Repeat("y\n", 3000) + "end\n"
	edits := lineEdits([]byte(from), []byte(to))
	require.Len(t, edits, 1)
	assert.Equal(t, to, applied(from, edits))
}

func BenchmarkCanonicalClean(b *testing.B) {
	var s strings.Builder
	s.WriteString("format: 1\nengine: a/b\ntitle: T\nevents:\n")
	for i := range 14 {
		s.WriteString("  set-" + string(rune('a'+i)) + ":\n    from: sheet p. 1\n    read_at: checking clearance\n    inlet_opens: 3 BTDC\n" +
			"    inlet_closes: 48 ABDC\n    exhaust_opens: 47 BBDC\n    exhaust_closes: 10 ATDC\n    inlet_duration: {is: 231, from: sheet p. 2, note: worked out}\n")
	}
	pass := lint.Pass{File: schema.ReadFile("x.yaml", []byte(s.String()))}
	clean := pass.With(canonical, func(f *lint.Finding) { b.Fatal(f.Message) })
	b.SetBytes(int64(s.Len()))
	for b.Loop() {
		canonical.File(clean)
	}
}
