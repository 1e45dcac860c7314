package schema

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTally(t *testing.T) {
	e, problems := decode(t, `
sources: {sheet: {title: Sheet, grade: works}, stamp: {title: Flywheel, grade: stamp}}
size:
  from: sheet
  bore: 3 in
  stroke: {claims: {sheet: 4 in, stamp: 4.0 in}}
  rod_centres: {claims: {sheet: 8 in, stamp: 9 in}}
  swept_volume: unknown
variants:
  series-2:
    change: {size: {rod_centres: {is: 9 in, from: sheet}, compression_ratio: 5}}
`)
	require.Empty(t, problems)
	lookup := Register(e.Sources.Get)
	assert.Equal(t, map[Standing]int{SingleSource: 1, Confirmed: 1, Disputed: 1, Absent: 1}, Tally(e, lookup))
	assert.Equal(t, map[Standing]int{SingleSource: 2, Confirmed: 1, Absent: 1, Unsourced: 1}, Tally(e.All()[1], lookup))
}

// Every place that names a source is kept: of sections, figures and claims, for
// words as for figures; the first of a range of numbers is no source.
func TestCitations(t *testing.T) {
	e, problems := decode(t, `
identify: {from: plate p. 1, looks: three nuts, numbers: {from: LS1, to: LS9}}
size:
  from: handbook p. 6
  bore: {is: 3 in, from: sheet}
  stroke: {claims: {sheet: 4 in, "stamp#2": {is: 4 in, from: stamp rim}}}
variants:
  series-2:
    change: {size: {bore: {is: 4 in, from: sheet-7}}}
`)
	require.Empty(t, problems)
	cited := func(e *Engine) []string {
		var all []string
		for _, c := range e.Citations() {
			all = append(all, c.String())
		}
		return all
	}
	assert.ElementsMatch(t, []string{"plate p. 1", "handbook p. 6", "sheet", "sheet", "stamp", "stamp rim"}, cited(e))
	assert.Contains(t, cited(e.All()[1]), "sheet-7")
}
