package gear

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The article on the magneto coupling (da7c.co.uk) advances the ignition by
// turning the disc one tooth of 20 against the rotation and the magneto one
// tooth of 19 with it: 1/19 less 1/20 is 1/380 of a turn.
func TestPublishedCouplingMove(t *testing.T) {
	m := must[CouplingMove](t)(Coupling{19, 20}.Move(1))
	assert.Equal(t, [2]int{1, -1}, m.Holes)
	assert.Equal(t, [2]int{-1, 1}, must[CouplingMove](t)(Coupling{19, 20}.Move(-1)).Holes)
	// Rings of 12 and 13 step by 1/156 of a turn.
	sameRat(t, rat(360, 156), must[*big.Rat](t)(Coupling{12, 13}.Step()))
	// Rings with a common factor have fewer positions; equal rings only their own.
	sameRat(t, rat(360, 36), must[*big.Rat](t)(Coupling{12, 18}.Step()))
	sameRat(t, rat(20, 1), must[*big.Rat](t)(Coupling{18, 18}.Step()))
}

// Every way of moving up to a turn in either ring, gone through.
func TestCouplingMoveIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Coupling{rapid.IntRange(1, 24).Draw(t, "ring 1"), rapid.IntRange(1, 24).Draw(t, "ring 2")}
		all := lcm(c[0], c[1])
		steps := rapid.IntRange(-all/2, all/2).Draw(t, "steps")
		m, err := c.Move(steps)
		require.NoError(t, err)
		best, found := [2]int{}, false
		for i := -2 * c[0]; i <= 2*c[0]; i++ {
			for j := -2 * c[1]; j <= 2*c[1]; j++ {
				// i/c[0] + j/c[1] = steps/all of a turn, fractions cleared.
				if (i*c[1]+j*c[0])*all != steps*c[0]*c[1] {
					continue
				}
				holes := abs(i) + abs(j)
				if least := abs(best[0]) + abs(best[1]); !found || holes < least || holes == least && abs(i) < abs(best[0]) {
					best, found = [2]int{i, j}, true
				}
			}
		}
		require.True(t, found)
		require.Equal(t, CouplingMove{Steps: steps, Holes: best}, m)
	})
}

func TestCouplingNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Coupling{rapid.IntRange(1, 24).Draw(t, "ring 1"), rapid.IntRange(1, 24).Draw(t, "ring 2")}
		wanted := rapid.Float64Range(-180, 180).Draw(t, "wanted")
		m, err := c.Nearest(wanted)
		require.NoError(t, err)
		all := lcm(c[0], c[1])
		at := func(steps int) float64 { return float64(steps) * 360 / float64(all) }
		for steps := -all / 2; steps <= all/2; steps++ {
			require.LessOrEqual(t, math.Abs(m.OffDeg), math.Abs(wanted-at(steps))+1e-12)
		}
		require.InDelta(t, wanted-at(m.Steps), m.OffDeg, 1e-12)
		move, err := c.Move(m.Steps)
		require.NoError(t, err)
		require.Equal(t, move.Holes, m.Holes)
	})
	// Exactly between two, the smaller; an odd number of steps has none at half a turn.
	for _, c := range []struct {
		rings  Coupling
		wanted float64
		steps  int
		off    float64
	}{
		{Coupling{36, 36}, 15, 1, 5}, {Coupling{36, 36}, -15, -1, -5}, {Coupling{36, 36}, 15.1, 2, -4.9},
		{Coupling{3, 5}, 180, 7, 12}, {Coupling{3, 5}, -180, -7, -12}, {Coupling{2, 1}, 180, 1, 0}, {Coupling{1, 1}, 30, 0, 30},
	} {
		m := must[CouplingMove](t)(c.rings.Nearest(c.wanted))
		assert.Equal(t, c.steps, m.Steps, "%v %v", c.rings, c.wanted)
		assert.Equal(t, c.off, m.OffDeg, "%v %v", c.rings, c.wanted)
	}
}

func TestCouplingRefuses(t *testing.T) {
	_, err := Coupling{0, 20}.Step()
	assert.ErrorContains(t, err, "holes in ring 1: 0")
	_, err = Coupling{19, 201}.Move(1)
	assert.ErrorContains(t, err, "holes in ring 2: 201")
	_, err = Coupling{19, 20}.Move(191)
	assert.ErrorContains(t, err, "more than half a turn: the coupling has 380")
	_, err = Coupling{19, 20}.Nearest(math.NaN())
	assert.ErrorContains(t, err, "wanted angle")
	_, err = Coupling{19, 0}.Nearest(1)
	assert.ErrorContains(t, err, "ring 2")
}

// Put the wheel on every keyway and bring every tooth to mesh: the least turn
// of the shaft that this leaves, in teeth, is the step.
func TestKeywayStepAgainstTrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, z := rapid.IntRange(1, 12).Draw(t, "keyways"), rapid.IntRange(1, 60).Draw(t, "teeth")
		step, err := KeywayStep(k, z)
		require.NoError(t, err)
		least := rat(1, 1) // a whole tooth is always there
		for key := range k {
			for tooth := -z; tooth <= z; tooth++ {
				turned := new(big.Rat).Add(rat(int64(key), int64(k)), rat(int64(tooth), int64(z)))
				turned.Mul(turned, rat(int64(z), 1))
				if turned.Sign() > 0 && turned.Cmp(least) < 0 {
					least = turned
				}
			}
		}
		require.Equal(t, least.RatString(), step.RatString())
	})
	for _, c := range [][2]int{{0, 20}, {361, 20}, {3, 0}} {
		_, err := KeywayStep(c[0], c[1])
		assert.Error(t, err)
	}
}

// Reversible chainwheels: half and quarter teeth are common practice, no
// source; that these fixings give them is worked out here.
func TestReversibleChainwheels(t *testing.T) {
	for _, c := range []struct {
		what   string
		fixing Fixing
		want   []string
	}{
		{"one keyway in line", Fixing{Teeth: 38, Keyways: 1}, []string{"0"}},
		{"one keyway a quarter off", Fixing{38, 1, rat(1, 4)}, []string{"0", "1/2"}},
		{"the same, turned over before", Fixing{38, 1, rat(-1, 4)}, []string{"0", "1/2"}},
		{"two keyways, odd teeth, an eighth off", Fixing{37, 2, rat(1, 8)}, []string{"0", "1/4", "1/2", "3/4"}},
		{"four holes, 38 teeth, an eighth off", Fixing{38, 4, rat(1, 8)}, []string{"0", "1/4", "1/2", "3/4"}},
		{"four holes, 40 teeth, an eighth off", Fixing{40, 4, rat(1, 8)}, []string{"0", "1/4"}},
		{"half a tooth off: over is the same", Fixing{38, 1, rat(1, 2)}, []string{"0"}},
		{"three keyways, a tenth off", Fixing{22, 3, rat(1, 10)}, []string{"0", "1/5", "1/3", "8/15", "2/3", "13/15"}},
	} {
		got := []string{}
		for _, p := range must[[]*big.Rat](t)(c.fixing.Positions()) {
			got = append(got, p.RatString())
		}
		assert.Equal(t, c.want, got, c.what)
	}
	for _, f := range []Fixing{{0, 1, nil}, {20, 0, nil}, {20, 1, rat(3, 2)}} {
		_, err := f.Positions()
		assert.Error(t, err)
	}
}
