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

// holding says whether the test fails for a goal that is not reached.
type holding bool

const (
	butForThose holding = false // it is held slip by slip: those that miss it are listed
	always      holding = true
)

// The goals as they were set.
var goals = []goal{
	{"revealed = revealable", "", 1, func(t *tally) (int, int) { return t.both, t.revealable }, butForThose},
	{"where one figure alone can restore everything, it is the first suspect", "", 1, func(t *tally) (int, int) { return t.onlyFirst, t.only }, butForThose},
	{"right among three", "", 0.97, func(t *tally) (int, int) { return t.three, t.told }, always},
	{"first", "rich", 0.90, func(t *tally) (int, int) { return t.first, t.told }, always},
	{"first", "sparse", 0.75, func(t *tally) (int, int) { return t.first, t.told }, always},
}

// hidden are slips that the prints reveal and the linter does not, by the reason.
// Of the slips of the page there are no others, but for swept volumes that a rough
// way of working explains and rim distances that a straight rule does, which are
// noted.
var hidden = map[string][]string{
	"several sums and lengths together exclude it, by little": {
		`engines/made/series-5309-no-111.yaml: a digit doubled: /size/rod_centres "10 11/166 in" for "10 11/16 in"`,
		`engines/made/series-5309-no-135.yaml: a fraction lost or misread: /events/running/exhaust_lobe_centre "109¼ BTDC" for "109½ BTDC"`,
		`engines/made/series-1-no-023.yaml: a fraction lost or misread: /events/running/inlet_lobe_centre "110¼ ATDC" for "110¾ ATDC"`,
	},
}

// passedBy are slips that one figure alone can mend, and another is suspected
// first, by the reason. Of the slips of the page there are no others.
var passedBy = map[string][]string{
	"the finding names no suspect, or not this one": {
		`engines/penhallow/light-six.yaml: two digits transposed: /marks/flywheel/stamps/IO/clearance_stamped ".002\"" for ".020\""`,
		`engines/tarrowby/model-l.yaml: a digit doubled: /clearances/checking/felt "44 thou" for "4 thou"`,
	},
	"the other reading of the same print is suspected": {
		`engines/tarrowby/model-f.yaml: a digit dropped: /ignition/advance "7/16 in BTDC piston (7°)" for "7/16 in BTDC piston (37°)"`,
	},
	"other numbers of cylinders or of teeth explain it too": {
		`engines/made/series-5309-no-102.yaml: diameter for radius: /size/bore "1½ in" for "3 in"`,
		`engines/made/series-1-no-046.yaml: diameter for radius: /size/bore "1 3/16 in" for "2 3/8 in"`,
		`engines/made/series-5309-no-127.yaml: a digit dropped: /marks/flywheel/stamps/EO/teeth "1 teeth BBDC" for "12 teeth BBDC"`,
	},
}

// isListed reports whether a slip is in a list.
func isListed(o outcome, list map[string][]string) bool {
	for _, slips := range list {
		if slices.Contains(slips, o.slip.String()) {
			return true
		}
	}
	return false
}

// isHidden reports whether the linter is known to keep silent of a slip.
func isHidden(o outcome) bool {
	return isListed(o, hidden) || slices.Contains(o.noted, "size/volume-rounding") || slices.Contains(o.noted, "marks/straight-rule")
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
		holdGoals(t, all)
	}
	if *updateFlag {
		require.NotEmpty(t, *slipsFlag, "say with -slips of how many slips the page is to tell")
		require.Empty(t, *onlyFlag, "the page tells of all engines")
		require.NoError(t, os.WriteFile("SLIPS.md", []byte(page(f, all, len(falseFindings), oneIn)), 0o644))
	}
}

// holdGoals fails the test where a goal that was reached no longer is.
func holdGoals(t *testing.T, all []outcome) {
	for _, o := range all {
		if o.oracle == contradicts && !o.revealed() {
			assert.True(t, isHidden(o), "not revealed: %s", o.slip)
		}
		if o.only && !o.first {
			assert.True(t, isListed(o, passedBy), "not the first suspect: %s", o.slip)
		}
		if o.oracle == unreadable {
			assert.True(t, o.revealed(), "no print, and not refused: %s", o.slip)
		}
	}
	for _, g := range goals {
		if k, n := g.count(all); g.held == always {
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
