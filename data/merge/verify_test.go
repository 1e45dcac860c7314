package merge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
)

const plain = "format: 1\nengine: a/b\ntitle: T\n"

// TestVerify hands texts to the check that a merge makes last, as if they had been
// put together wrongly.
func TestVerify(t *testing.T) {
	base := plain + "lifts:\n  from: handbook\n  inlet: 8 mm\n"
	ours := plain + "lifts:\n  from: handbook\n  inlet: 9 mm  # torn\n"
	theirs := base + "  exhaust: 7 mm\n"
	right := plain + "lifts:\n  from: handbook\n  inlet: 9 mm  # torn\n  exhaust: 7 mm\n"
	for name, c := range map[string]struct{ text, says string }{
		"right":                 {right, ""},
		"a claim lost":          {ours, "what `/lifts/exhaust` (handbook) says would be lost"},
		"a claim changed":       {plain + "lifts:\n  from: handbook\n  inlet: 8 mm  # torn\n  exhaust: 7 mm\n", "what `/lifts/inlet` (handbook) says would change"},
		"another source":        {plain + "lifts:\n  from: sheet\n  inlet: 9 mm  # torn\n  exhaust: 7 mm\n", "what `/lifts/exhaust` (handbook) says would be lost"},
		"a value from nowhere":  {right + "made: 1926\n", "something would appear at `/made` that neither side has"},
		"the last value lost":   {right[:len(right)-len("  exhaust: 7 mm\n")], "`/lifts/exhaust` (handbook)"},
		"a remark lost":         {plain + "lifts:\n  from: handbook\n  inlet: 9 mm\n  exhaust: 7 mm\n", `the remark "# torn" of ours would be lost`},
		"a text that is broken": {right + "lifts: [\n", "the merged text would not read again"},
	} {
		t.Run(name, func(t *testing.T) {
			m, err := newMerger(lint.EngineFile, "x.yaml", Base{Text: []byte(base)}, []byte(ours), []byte(theirs))
			require.NoError(t, err)
			root := m.decideRoot()
			require.Equal(t, right, string(m.write(root)))
			m.result.Text = []byte(c.text)
			if err := m.verify(root); c.says == "" {
				assert.NoError(t, err)
			} else {
				require.ErrorContains(t, err, c.says)
				assert.ErrorContains(t, err, "so nothing is merged")
			}
		})
	}
}

// TestVerifyHoldsToTheFormat: a text that says all that was decided, and yet is no
// file of the format though both sides are.
func TestVerifyHoldsToTheFormat(t *testing.T) {
	m, err := newMerger(lint.EngineFile, "x.yaml", Base{}, []byte(plain), []byte(plain))
	require.NoError(t, err)
	broken, err := readDocument(lint.EngineFile, "x.yaml", ours, []byte(plain+"lifts: {inlet: early}\n"))
	require.NoError(t, err)
	assert.Contains(t, m.newProblem(broken), "`lifts.inlet`")
	m.docs[theirs] = broken
	assert.Empty(t, m.newProblem(broken), "a side has it too")
}
