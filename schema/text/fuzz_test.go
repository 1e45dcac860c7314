package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// hostile are documents that must neither crash the reader nor hold it up.
func hostile() []string {
	return []string{
		"", "\n", "# only a comment", "\x00", "a: \x00\n", "a: \x1b[31m\n", "\xff\xfea\x00", "a: \xbd\n",
		"a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n",
		strings.Repeat("[", 10_000), strings.Repeat("{a: ", 10_000), strings.Repeat("- ", 10_000),
		strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000),
		strings.Repeat("[\n", 1_000), strings.Repeat("a: [\n", 1_000), strings.Repeat("a: \"\n", 1_000),
		strings.Repeat("'", 1_001), strings.Repeat("\"\\", 1_000), strings.Repeat("? ", 1_000),
		strings.Repeat("a: b\n", 1_000), strings.Repeat("{", 100) + strings.Repeat("]", 100),
		"<<<<<<< ours\na: 1\n=======\na: 2\n>>>>>>> theirs\n",
		"{\n\"a\": 1,\n<<<<<<< ours\n\"b\": 1\n=======\n\"b\": 2\n>>>>>>> theirs\n}\n",
		"a: {inlet: 0,45 mm, exhaust: 0,5 mm}\n", "a: [0,45 mm]\n",
		"%YAML 1.2\n---\na: 1\n...\n---\nb: 2\n", "a:\n\tb: 1\n", "? a\n: b\n", "<<: *a\n", "!!str a: !t b\n",
		"a: \"b\nc: 'd\ne: [f\ng: {h\ni: 1\n", "a: b: c\n  d: e\n f\n- g\n", "a\nb: c\n", "\ufeff\ufeffa: 1\n",
		"a: |9\n x\n", "a: |+-\n", "a: >x\n", "a: {b: c}: d\n", "[a]: b\n", "a: [b: c]\n", "{a b, c: d: e, ? f, - g}\n",
		"a: 1e999999999\nb: .nan\nc: -.INF\n", "a: \"\\q\\xZZ\\ud83d\\0\"\n", "a: {\n}\nb: [\n]\n",
	}
}

// FuzzParse checks that any input whatever gives a sound document, and that
// what is accepted without Problems reads the same with the library.
func FuzzParse(f *testing.F) {
	for _, source := range accepted {
		f.Add([]byte(source))
	}
	for _, source := range hostile() {
		f.Add([]byte(source[:min(len(source), 500)])) // long ones have a test of their own
	}
	f.Fuzz(func(t *testing.T, source []byte) { checkAgainstLibrary(t, source) })
}

func checkAgainstLibrary(t require.TestingT, source []byte) {
	d := Parse(source, DefaultLimits())
	requireSound(t, d)
	if len(d.Problems) > 0 {
		return
	}
	requirePointers(t, d)
	requireNoGaps(t, d)
	theirs, err := library(source)
	require.NoError(t, err, "%q read as %s", source, outline(d.Root))
	require.Empty(t, difference(d, d.Root, theirs, ""), "%q", source)
}

func TestHostile(t *testing.T) {
	for _, source := range hostile() {
		d := Parse([]byte(source), DefaultLimits())
		requireSound(t, d)
		require.NotEmpty(t, d.Problems, "%.100q", source)
	}
}
