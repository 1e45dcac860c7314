package cautions

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
)

// What must be said is common practice, no source.
func TestGeneralSaysWhatCanGoWrong(t *testing.T) {
	var all strings.Builder
	for _, c := range General() {
		assert.Empty(t, c.From)
		all.WriteString(c.Text + "\n")
	}
	for _, about := range []string{"by hand", "strike a piston", "left-hand thread", "slip", "spark plugs out", "never by the starter",
		"maker's instructions", "qualified engineer"} {
		assert.Contains(t, all.String(), about)
	}
}

func TestGeneralCannotBeChangedByACaller(t *testing.T) {
	General()[0].Text = "nothing"
	assert.NotEqual(t, "nothing", General()[0].Text)
}

func TestForPutsTheEnginesOwnBeforeTheLast(t *testing.T) {
	assert.Equal(t, General(), For(nil))
	assert.Equal(t, General(), For(&schema.Engine{}))

	own := For(&schema.Engine{Setting: &schema.Setting{
		Section:  schema.Section{From: schema.Citation{Source: "handbook", Locator: "p. 12"}},
		Cautions: []schema.Word{{Text: "Never turn it by the camshaft wheel."}},
	}})
	general := General()
	require.Len(t, own, len(general)+1)
	n := len(general) - 1
	assert.Equal(t, general[:n], own[:n])
	assert.Equal(t, Caution{Text: "Never turn it by the camshaft wheel.", From: "handbook p. 12"}, own[n])
	assert.Equal(t, general[n], own[n+1])
}
