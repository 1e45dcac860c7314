package rules_test

import (
	"flag"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The slip benchmark: every ordinary slip of a transcriber is made in every
// figure of every clean engine, in the text as it is printed, and the file is
// linted. An oracle that shares nothing with the linter says which slips the
// prints reveal at all. SLIPS.md has the figures and how to get them.
var (
	slipsFlag  = flag.String("slips", "", "`all` makes every slip of the benchmark, a number one in so many")
	onlyFlag   = flag.String("slipped", "", "make slips only in engines whose id contains this")
	toldFlag   = flag.String("told", "", "write what became of each slip to this file, a line each")
	updateFlag = flag.Bool("update", false, "write SLIPS.md anew; with -slips")
)

// sampleOneIn is how many slips the test makes when it is not told: one in so many.
const sampleOneIn = 90

// goal is what the linter is to reach.
type goal struct {
	what  string
	print string // how full a print it is for; all prints when empty
	least float64
	of    func(*tally) (k, n int)
	held  holding
}

// holding says when the test fails for a goal.
type holding int

const (
	notYet  holding = iota // it is not reached yet
	withAll                // it is reached, by too little for a sample to show
	always                 // it is reached
)

// The goals as they were set.
var goals = []goal{
	{"revealed = revealable", "", 1, func(t *tally) (int, int) { return t.both, t.revealable }, notYet}, // but for those hidden
	{"where one figure alone can restore everything, it is the first suspect", "", 1, func(t *tally) (int, int) { return t.onlyFirst, t.only }, notYet},
	{"right among three", "", 0.97, func(t *tally) (int, int) { return t.three, t.told }, always},
	{"first", "rich", 0.90, func(t *tally) (int, int) { return t.first, t.told }, always},
	{"first", "sparse", 0.75, func(t *tally) (int, int) { return t.first, t.told }, always},
}

// hidden are slips that the prints reveal and the linter does not, by the reason.
// There are no others, but for swept volumes that a rough way of working explains,
// which are noted.
var hidden = map[string][]string{
	"several sums and lengths together exclude it, by little": {
		`engines/made/series-7041-no-095.yaml: a fraction lost or misread: /marks/flywheel/stamps/IC/rim "5 9/32 in after BDC" for "5 11/32 in after BDC"`,
		`engines/made/series-7041-no-159.yaml: a fraction lost or misread: /events/running/inlet_lobe_centre "113¼ ATDC" for "113½ ATDC"`,
		`engines/made/series-1-no-023.yaml: a fraction lost or misread: /events/running/inlet_lobe_centre "110¼ ATDC" for "110¾ ATDC"`,
	},
}

// isHidden reports whether the linter is known to keep silent of a slip.
func isHidden(o outcome) bool {
	for _, slips := range hidden {
		if slices.Contains(slips, o.slip.String()) {
			return true
		}
	}
	return slices.Contains(o.noted, "size/volume-rounding")
}

func TestSlipBenchmark(t *testing.T) {
	oneIn := sampleOneIn
	if *slipsFlag == "all" {
		oneIn = 1
	} else if *slipsFlag != "" {
		n, err := strconv.Atoi(*slipsFlag)
		require.NoError(t, err, "-slips takes `all` or a number")
		oneIn = n
	}
	f := newField(t, keptOutMade)
	falseFindings := f.clean(t)
	assert.Empty(t, falseFindings, "goal: no finding above a note on a clean file")
	for _, left := range f.left {
		assert.NotContains(t, left, "made/", "an engine made without a slip contradicts itself")
		t.Log("left out: ", left)
	}
	if *onlyFlag != "" {
		f.engines = slices.DeleteFunc(f.engines, func(b *benched) bool { return !strings.Contains(b.id, *onlyFlag) })
	}
	all := f.makeAll(t, uint32(oneIn))
	require.NotEmpty(t, all)
	t.Log(reached(all, len(falseFindings)) + report(all))
	if *toldFlag != "" {
		var b strings.Builder
		for _, o := range all {
			b.WriteString(o.tell() + "\n")
		}
		require.NoError(t, os.WriteFile(*toldFlag, []byte(b.String()), 0o600))
	}
	if *onlyFlag == "" {
		least := always
		if oneIn == 1 {
			least = withAll
		}
		holdGoals(t, all, least)
	}
	if *updateFlag {
		require.NotEmpty(t, *slipsFlag, "say with -slips of how many slips the page is to tell")
		require.Empty(t, *onlyFlag, "the page tells of all engines")
		require.NoError(t, os.WriteFile("SLIPS.md", []byte(page(f, all, len(falseFindings), oneIn)), 0o644))
	}
}

// holdGoals fails the test where a goal that was reached no longer is.
func holdGoals(t *testing.T, all []outcome, least holding) {
	for _, o := range all {
		if o.oracle == contradicts && !o.revealed() {
			assert.True(t, isHidden(o), "not revealed: %s", o.slip)
		}
		if o.oracle == unreadable {
			assert.True(t, o.revealed(), "no print, and not refused: %s", o.slip)
		}
	}
	for _, g := range goals {
		if k, n := g.count(all); g.held >= least {
			assert.GreaterOrEqual(t, float64(k), g.least*float64(n), "%s %s: %d of %d", g.what, g.print, k, n)
		}
	}
}

// count counts what a goal is about.
func (g goal) count(all []outcome) (k, n int) {
	var t tally
	for _, o := range all {
		if g.print == "" || o.bench.richness() == g.print {
			t.add(o)
		}
	}
	return g.of(&t)
}
