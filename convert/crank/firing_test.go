package crank_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
)

func TestFiringOfRealLayouts(t *testing.T) {
	straightSix := []float64{0, 240, 120, 120, 240, 0}
	for _, c := range []struct {
		name          string
		throws, banks []float64
		order         []int
		intervals     []float64
		companions    []int
	}{
		{"single", []float64{0}, nil, []int{1}, []float64{720}, []int{0}},
		{"upright twin, pins together", []float64{0, 0}, nil, []int{1, 2}, []float64{360, 360}, []int{2, 1}},
		{"the same, a pin printed a hair short of a turn", []float64{0, 359.95}, nil, []int{1, 2}, []float64{360, 360}, []int{2, 1}},
		{"flat twin", []float64{0, 180}, []float64{0, 180}, []int{1, 2}, []float64{360, 360}, []int{2, 1}},
		{"vee twin of 50 degrees on one pin", []float64{0, 0}, []float64{0, 50}, []int{1, 2}, []float64{410, 310}, []int{0, 0}},
		{"three in line", []float64{0, 240, 120}, nil, []int{1, 2, 3}, []float64{240, 240, 240}, []int{0, 0, 0}},
		{"four in line", []float64{0, 180, 180, 0}, nil, []int{1, 3, 4, 2}, []float64{180, 180, 180, 180}, []int{4, 3, 2, 1}},
		{"four in line, the other order", []float64{0, 180, 180, 0}, nil, []int{1, 2, 4, 3}, []float64{180, 180, 180, 180}, []int{4, 3, 2, 1}},
		{"flat four, 1 and 3 on one side", []float64{0, 180, 180, 0}, []float64{0, 180, 0, 180}, []int{1, 3, 2, 4}, []float64{180, 180, 180, 180}, []int{2, 1, 4, 3}},
		{"six in line", straightSix, nil, []int{1, 4, 2, 6, 3, 5}, []float64{120, 120, 120, 120, 120, 120}, []int{6, 5, 4, 3, 2, 1}},
		{"vee eight of 90 degrees, pins crossed", []float64{0, 0, 270, 270, 90, 90, 180, 180}, []float64{0, 270, 0, 270, 0, 270, 0, 270},
			[]int{1, 8, 4, 3, 6, 5, 7, 2}, []float64{90, 90, 90, 90, 90, 90, 90, 90}, []int{6, 3, 2, 7, 8, 1, 4, 5}},
		{"vee six of 90 degrees on three pins", []float64{0, 0, 120, 120, 240, 240}, []float64{0, 270, 0, 270, 0, 270},
			[]int{1, 6, 5, 4, 3, 2}, []float64{150, 90, 150, 90, 150, 90}, []int{0, 0, 0, 0, 0, 0}},
		{"radial of five", make([]float64, 5), []float64{0, 72, 144, 216, 288}, []int{1, 3, 5, 2, 4}, []float64{144, 144, 144, 144, 144}, []int{0, 0, 0, 0, 0}},
		{"radial of seven, angles as printed", make([]float64, 7), []float64{0, 51.43, 102.86, 154.29, 205.71, 257.14, 308.57},
			[]int{1, 3, 5, 7, 2, 4, 6}, []float64{102.86, 102.85, 102.86, 102.86, 102.86, 102.85, 102.86}, make([]int, 7)},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := crank.FiringOf(c.throws, c.banks, c.order)
			require.NoError(t, err)
			intervals := must(f.Intervals())
			assert.InDeltaSlice(t, c.intervals, intervals, 1e-9)
			assert.Equal(t, c.order, must(f.Order()))
			assert.Equal(t, c.companions, must(f.Companions()))
			even := slices.Max(c.intervals)-slices.Min(c.intervals) < 0.1
			assert.Equal(t, even, must(f.Even()))
		})
	}
}

// The order of a single-row radial with an odd number of cylinders is every
// second one; the fourteen has two such rows half a space apart, on pins half a
// turn apart (common practice, no source).
func TestDoubleRowRadialFiresEvenly(t *testing.T) {
	var throws, banks []float64
	for k := range 14 {
		throws = append(throws, float64(k%2)*180)
		banks = append(banks, math.Round(float64(k)*360/14*100)/100)
	}
	order := []int{1, 10, 5, 14, 9, 4, 13, 8, 3, 12, 7, 2, 11, 6}
	f, err := crank.FiringOf(throws, banks, order)
	require.NoError(t, err)
	assert.True(t, must(f.Even()))
	assert.Equal(t, []int{8, 9, 10, 11, 12, 13, 14, 1, 2, 3, 4, 5, 6, 7}, must(f.Companions()))
}

func TestOrdersThatAreNotPossibleOrNotClear(t *testing.T) {
	four := []float64{0, 180, 180, 0}
	for _, order := range [][]int{{1, 2, 3, 4}, {1, 4, 2, 3}, {1, 3, 2, 4}} {
		_, err := crank.FiringOf(four, nil, order)
		assert.ErrorIs(t, err, crank.ErrOrderImpossible, "%v", order)
	}
	_, err := crank.FiringOf([]float64{0, 240, 120, 120, 240, 0}, nil, []int{1, 5, 3, 6, 2, 4})
	assert.ErrorIs(t, err, crank.ErrOrderImpossible, "a six with pins of the other hand")
	_, err = crank.FiringOf([]float64{0, 120, 240, 240, 120, 0}, nil, []int{1, 5, 3, 6, 2, 4})
	assert.NoError(t, err)
	_, err = crank.FiringOf([]float64{0, 180}, nil, []int{1, 2})
	assert.ErrorIs(t, err, crank.ErrOrderAmbiguous, "a twin with pins half a turn apart")
	_, err = crank.FiringOf([]float64{0, 120, 240}, nil, []int{1, 2, 3})
	assert.ErrorIs(t, err, crank.ErrOrderAmbiguous)
}

// FiringOf against trying out every choice of TDC.
func TestFiringAgainstEveryChoice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "cylinders")
		order := append([]int{1}, rapid.Permutation(numbers(2, n)).Draw(t, "order")...)
		throws, banks := make([]float64, n), make([]float64, n)
		for k := range n {
			throws[k] = 30 * float64(rapid.IntRange(-12, 24).Draw(t, "throw"))
			banks[k] = 45 * float64(rapid.IntRange(-8, 8).Draw(t, "bank"))
		}
		got, err := crank.FiringOf(throws, banks, order)

		best, ways := math.Inf(1), 0
		var want []float64
		for choice := range 1 << n {
			f := make([]float64, n)
			for k := range n {
				f[k] = math.Mod(throws[k]+banks[k]-throws[0]-banks[0]+7200, 360) + 360*float64(choice>>k&1)
			}
			if f[0] != 0 {
				continue
			}
			sum, kept := 0.0, true
			for i, cylinder := range order {
				next := 720.0
				if i+1 < n {
					next = f[order[i+1]-1]
				}
				gap := next - f[cylinder-1]
				kept = kept && gap > 0
				sum += gap * gap
			}
			switch {
			case !kept || sum > best:
			case sum == best:
				ways++
			default:
				best, ways, want = sum, 1, f
			}
		}
		switch {
		case ways == 0:
			if !errors.Is(err, crank.ErrOrderImpossible) {
				t.Fatalf("impossible, yet %v, %v", got, err)
			}
		case ways > 1:
			if !errors.Is(err, crank.ErrOrderAmbiguous) {
				t.Fatalf("%d ways, yet %v, %v", ways, got, err)
			}
		default:
			if err != nil || !slices.Equal([]float64(got), want) {
				t.Fatalf("got %v, %v, want %v", got, err, want)
			}
		}
	})
}

func numbers(from, to int) []int {
	var all []int
	for k := from; k <= to; k++ {
		all = append(all, k)
	}
	return all
}

func drawFiring(t *rapid.T) crank.Firing {
	n := rapid.IntRange(1, 12).Draw(t, "cylinders")
	if rapid.Bool().Draw(t, "even") {
		return must(crank.EvenFiring(append([]int{1}, rapid.Permutation(numbers(2, n)).Draw(t, "order")...)))
	}
	f := make(crank.Firing, n)
	for k := 1; k < n; k++ {
		f[k] = rapid.Float64Range(0, 719).Draw(t, "fires")
	}
	return f
}

func TestFiringLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFiring(t)
		sum := 0.0
		for _, d := range must(f.Intervals()) {
			if d < 0 {
				t.Fatalf("%v: interval %g", f, d)
			}
			sum += d
		}
		if math.Abs(sum-720) > 1e-9 {
			t.Fatalf("%v: intervals make %g", f, sum)
		}
		position := rapid.Float64Range(-720, 1440).Draw(t, "position")
		for k := range f {
			own := must(f.Own(k+1, position))
			if back := must(f.Position(k+1, own)); math.Abs(math.Remainder(back-position, 720)) > 1e-9 {
				t.Fatalf("%v: cylinder %d at %g, position %g comes back as %g", f, k+1, own, position, back)
			}
		}
		for k, companion := range must(f.Companions()) {
			if companion == 0 {
				continue
			}
			if at := must(f.OnTheRock(f[k], 0.1)); !slices.Contains(at, companion) {
				t.Fatalf("%v: with %d at firing TDC, %v are on the rock, not its companion %d", f, k+1, at, companion)
			}
		}
	})
}

// From an even firing order and the pins it implies, FiringOf recovers the
// firing angles.
func TestPinsOfAnEvenOrderGiveItBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom([]int{1, 2, 3, 4, 5, 6, 8, 9, 10, 12, 16, 18, 24}).Draw(t, "cylinders")
		f := must(crank.EvenFiring(append([]int{1}, rapid.Permutation(numbers(2, n)).Draw(t, "order")...)))
		throws := make([]float64, n)
		for k, at := range f {
			throws[k] = math.Mod(at, 360)
		}
		back, err := crank.FiringOf(throws, nil, must(f.Order()))
		if err != nil || !slices.Equal(back, f) {
			t.Fatalf("%v comes back as %v, %v", f, back, err)
		}
	})
}

func TestOnTheRock(t *testing.T) {
	f := must(crank.EvenFiring([]int{1, 5, 3, 6, 2, 4}))
	assert.Equal(t, []int{6}, must(f.OnTheRock(0, 1)))
	assert.Equal(t, []int{1}, must(f.OnTheRock(360, 1)))
	assert.Equal(t, []int{1}, must(f.OnTheRock(359.5, 1)))
	assert.Empty(t, must(f.OnTheRock(60, 1)))
	assert.Equal(t, []int{2, 6}, must(f.OnTheRock(60, 61)))
}

func TestFiringErrorsSayWhatIsWrong(t *testing.T) {
	good := must(crank.EvenFiring([]int{1, 3, 4, 2}))
	for what, err := range map[string]error{
		"between 1 and 64":                  second(crank.EvenFiring(nil)),
		"starting with No. 1":               second(crank.EvenFiring([]int{3, 4, 2, 1})),
		"does not name cylinder 2":          second(crank.EvenFiring([]int{1, 3, 3, 4})),
		"3 crank pin angles for 4":          second(crank.FiringOf([]float64{0, 0, 0}, nil, []int{1, 3, 4, 2})),
		"1 bank angles for 2":               second(crank.FiringOf([]float64{0, 0}, []float64{0}, []int{1, 2})),
		"crank pin angle of cylinder 2":     second(crank.FiringOf([]float64{0, math.NaN()}, nil, []int{1, 2})),
		"bank angle of cylinder 1":          second(crank.FiringOf([]float64{0, 0}, []float64{math.Inf(1), 0}, []int{1, 2})),
		"No. 1 fires at 10":                 second(crank.Firing{10, 0}.Order()),
		"cylinder 2 fires at 720":           second(crank.Firing{0, 720}.Intervals()),
		"cylinder 2 fires at NaN":           second(crank.Firing{0, math.NaN()}.Companions()),
		"firing angles of 0 cylinders":      second(crank.Firing{}.Even()),
		"there is no cylinder 5":            second(good.Own(5, 0)),
		"there is no cylinder 0":            second(good.Position(0, 0)),
		"the position of the engine is NaN": second(good.OnTheRock(math.NaN(), 1)),
		"the allowance":                     second(good.OnTheRock(0, -1)),
		"the cylinder's angle":              second(good.Position(1, math.Inf(1))),
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
	_, _, err := crank.Firing{1}.CompanionSum()
	assert.Error(t, err)
}
