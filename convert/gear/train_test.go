package gear

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rat(a, b int64) *big.Rat { return big.NewRat(a, b) }

func sameRat(t testing.TB, want, got *big.Rat, what ...any) {
	t.Helper()
	assert.Equal(t, want.RatString(), got.RatString(), what...)
}

func TestTurnsAndToothSteps(t *testing.T) {
	for _, c := range []struct {
		text  string
		turns map[string]*big.Rat
		steps map[string]*big.Rat
	}{
		// An idler changes neither the speed of what follows nor the step.
		{"28 > 45 > 56",
			map[string]*big.Rat{"28": rat(1, 1), "45": rat(28, 45), "56": rat(1, 2)},
			map[string]*big.Rat{"28": rat(90, 7), "45": rat(90, 7), "56": rat(90, 7)}},
		// Both meshes of the Velocette train (P03) have the step of the crankshaft's 22 teeth.
		{"22 > a23 + b23 > 44",
			map[string]*big.Rat{"a23": rat(22, 23), "b23": rat(22, 23), "44": rat(1, 2)},
			map[string]*big.Rat{"22": rat(180, 11), "a23": rat(180, 11), "b23": rat(180, 11), "44": rat(180, 11)}},
		// Unequal wheels on the intermediate shaft: two different steps.
		{"22 > 23 + 24 > 46",
			map[string]*big.Rat{"46": rat(22*24, 23*46)},
			map[string]*big.Rat{"23": rat(180, 11), "24": rat(345, 22), "46": rat(345, 22)}},
	} {
		tr := train(t, c.text)
		for wheel, want := range c.turns {
			sameRat(t, want, must[*big.Rat](t)(tr.Turns(wheel)), c.text, wheel)
		}
		for wheel, want := range c.steps {
			sameRat(t, want, must[*big.Rat](t)(tr.ToothStep(wheel)), c.text, wheel)
		}
	}
}

// What a caller does with a result must not reach the train.
func TestResultsAreCopies(t *testing.T) {
	shafts := [][]Wheel{{{Name: "crankshaft", Teeth: 28}}, {{Name: "camshaft", Teeth: 56}}}
	tr := must[*Train](t)(NewTrain(clockwise, shafts, []Mesh{{Kind: External}}))
	shafts[0][0].Teeth = 1
	must[*big.Rat](t)(tr.Turns("camshaft")).SetInt64(7)
	tr.Wheels()[0].Teeth = 2
	sameRat(t, rat(1, 2), must[*big.Rat](t)(tr.Turns("camshaft")))
	assert.Equal(t, 28, tr.Wheels()[0].Teeth)
}

// Any train whose driven teeth multiply to twice its driving teeth turns the
// last shaft at exactly half speed, idlers or not.
func TestHalfSpeedIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string) int { return rapid.IntRange(1, 70).Draw(t, name) }
		a, b, c, d := n("a"), n("b"), n("c"), n("d")
		shafts := [][]Wheel{{{Name: "crankshaft", Teeth: a * b}}}
		for i := range rapid.IntRange(0, 3).Draw(t, "idlers") {
			shafts = append(shafts, []Wheel{{Name: fmt.Sprint("idler ", i), Teeth: n("idler")}})
		}
		shafts = append(shafts,
			[]Wheel{{Name: "intermediate", Teeth: 2 * a * c}, {Name: "pinion", Teeth: c * d}},
			[]Wheel{{Name: "camshaft", Teeth: b * d}})
		meshes := make([]Mesh, len(shafts)-1)
		for i := range meshes {
			meshes[i].Kind = rapid.SampledFrom([]Kind{External, Bevel, Skew, Chain, Belt}).Draw(t, "kind")
		}
		tr, err := NewTrain(clockwise, shafts, meshes)
		require.NoError(t, err)
		turns, err := tr.Turns("camshaft")
		require.NoError(t, err)
		require.Equal(t, "1/2", turns.RatString())
	})
}

func TestMeetAgain(t *testing.T) {
	for _, c := range []struct {
		text   string
		marked []string
		want   int64
	}{
		{"28 > 45 > 56", nil, 90},
		{"28 > 45 > 56", []string{"28", "56"}, 2},
		{"28 > 45 > 56", []string{"45"}, 45},
		{"22 > a23 + b23 > 44", nil, 46},
		{"22 > a23 + b23 > 44", []string{"a23"}, 23},
		{"28 > 56", nil, 2},
	} {
		n := must[*big.Int](t)(train(t, c.text).MeetAgain(c.marked...))
		assert.Equal(t, c.want, n.Int64(), "%s %v", c.text, c.marked)
	}
	// The mark of the top bevels comes back every 44 turns of their pinion.
	assert.Equal(t, 44, must[Meeting](t)(MeetAgain(23, 44)).First)
	_, err := MeetAgain(0, 44)
	assert.ErrorContains(t, err, "teeth of the first wheel: 0")
	_, err = MeetAgain(23, 10001)
	assert.ErrorContains(t, err, "teeth of the second wheel: 10001")
}

func TestUnknownWheel(t *testing.T) {
	tr := train(t, "28 > 56")
	for _, err := range []error{second(tr.Turns("magneto")), second(tr.Turning("magneto")), second(tr.ToothStep("magneto")), second(tr.MeetAgain("magneto"))} {
		assert.ErrorContains(t, err, `no wheel "magneto"`)
	}
}

// Turn the crankshaft, whole turn by whole turn, in units so small that every
// shaft's position is a whole number, until all stand where they began.
func TestMeetAgainAgainstTurningTheEngine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		small := rapid.IntRange(2, 14)
		unit := 1
		var speed, driving, driven []int
		shafts := [][]Wheel{{{Name: "crankshaft", Teeth: small.Draw(t, "crankshaft")}}}
		for i := range rapid.IntRange(1, 3).Draw(t, "shafts") {
			in := Wheel{Name: fmt.Sprint("in", i), Teeth: small.Draw(t, "in")}
			shaft := []Wheel{in}
			if rapid.Bool().Draw(t, "compound") {
				shaft = append(shaft, Wheel{Name: fmt.Sprint("out", i), Teeth: small.Draw(t, "out")})
			}
			before := shafts[len(shafts)-1]
			driving = append(driving, before[len(before)-1].Teeth)
			driven = append(driven, in.Teeth)
			unit *= in.Teeth
			shafts = append(shafts, shaft)
		}
		move := unit
		for i := range driven {
			move = move * driving[i] / driven[i]
			speed = append(speed, move)
		}
		meshes := make([]Mesh, len(shafts)-1)
		for i := range meshes {
			meshes[i].Kind = External
		}
		tr, err := NewTrain(clockwise, shafts, meshes)
		require.NoError(t, err)
		got, err := tr.MeetAgain()
		require.NoError(t, err)

		position := make([]int, len(speed))
		for turn := int64(1); ; turn++ {
			home := true
			for i := range position {
				position[i] = (position[i] + speed[i]) % unit
				home = home && position[i] == 0
			}
			if home {
				require.Equal(t, turn, got.Int64())
				return
			}
		}
	})
}

// Turn a pair tooth by tooth until the marked teeth meet again.
func TestPairAgainstTurningByTeeth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z1, z2 := rapid.IntRange(1, 120).Draw(t, "z1"), rapid.IntRange(1, 120).Draw(t, "z2")
		m, err := MeetAgain(z1, z2)
		require.NoError(t, err)
		teeth, seen, at1, at2 := 0, map[int]bool{}, 0, 0
		for {
			if at1 == 0 {
				seen[at2] = true // teeth of wheel 2 that the marked tooth of wheel 1 meets
			}
			teeth, at1, at2 = teeth+1, (at1+1)%z1, (at2+1)%z2
			if at1 == 0 && at2 == 0 {
				break
			}
		}
		require.Equal(t, Meeting{First: teeth / z1, Second: teeth / z2, Teeth: teeth, Common: z2 / len(seen)}, m)
	})
}

// P03: "the flywheels may have to be turned anything up to 21 revolutions to
// get the exact position". Look at the bottom bevel (23 teeth, driven by 22)
// whenever the piston is at its dead centre, from every position it can be in:
// it is in line after at most 22 turns of the flywheels. Look instead whenever
// the bevel's slot is in line, and wait for the piston: at most 21 turns of the
// bevel. So the printed number is right for the bevel and one short for the
// flywheels; the rule "teeth less one" taken of the wrong wheel gives it too.
func TestUpTo21Revolutions(t *testing.T) {
	longestWait := func(states, advance int) int {
		worst := 0
		for state := range states {
			turns := 0
			for at := state; at != 0; at = (at + advance) % states {
				turns++
			}
			worst = max(worst, turns)
		}
		return worst
	}
	flywheels := longestWait(23, 22) // a turn of the flywheels moves the bevel 22 teeth of 23
	bevel := longestWait(22, 23%22)  // a turn of the bevel moves the crankshaft 23 teeth of 22
	assert.Equal(t, 22, flywheels)
	assert.Equal(t, 21, bevel)
	m := must[Meeting](t)(MeetAgain(22, 23))
	assert.Equal(t, flywheels, m.First-1)
	assert.Equal(t, bevel, m.Second-1)
}

func TestParseTrain(t *testing.T) {
	wheels := map[string]Wheel{"crankshaft": {Teeth: 22}, "intermediate": {Teeth: 23}, "pinion": {Teeth: 23}, "camshaft": {Teeth: 44}}
	tr := must[*Train](t)(ParseTrain(" crankshaft>intermediate +pinion > camshaft ", clockwise, wheels, Mesh{Kind: External}, Mesh{Kind: Chain}))
	names := []string{}
	for _, w := range tr.Wheels() {
		names = append(names, w.Name)
	}
	assert.Equal(t, []string{"crankshaft", "intermediate", "pinion", "camshaft"}, names)
	sameRat(t, rat(1, 2), must[*big.Rat](t)(tr.Turns("camshaft")))
	assert.Equal(t, Anticlockwise, must[Turning](t)(tr.Turning("camshaft")).Sense)

	external := []Mesh{{Kind: External}}
	for _, c := range []struct {
		text   string
		meshes []Mesh
		want   string
	}{
		{"", external, "name is missing on shaft 1"},
		{"crankshaft > > camshaft", external, "name is missing on shaft 2"},
		{"crankshaft > pinion +", external, "name is missing on shaft 2"},
		{"crankshaft", external, "2 to 16 shafts, not 1"},
		{"crankshaft > idler", external, `no wheel "idler" is described, only camshaft, crankshaft, intermediate, pinion`},
		{"crankshaft > camshaft > crankshaft", external, `"crankshaft" stands twice`},
		{"crankshaft > pinion > camshaft", nil, "3 shafts need 2 meshes, not 0"},
		{"crankshaft > camshaft", []Mesh{{}}, "say how crankshaft drives camshaft"},
	} {
		_, err := ParseTrain(c.text, clockwise, wheels, c.meshes...)
		assert.ErrorContains(t, err, c.want, c.text)
	}
	_, err := ParseTrain("crankshaft > camshaft", clockwise, nil, external...)
	assert.ErrorContains(t, err, "only none")
}

func TestNewTrainRefuses(t *testing.T) {
	w := func(name string, teeth int) []Wheel { return []Wheel{{Name: name, Teeth: teeth}} }
	long := [][]Wheel{}
	for i := range 17 {
		long = append(long, w(fmt.Sprint(i), 20))
	}
	seen := func(teeth int, name, end string) []Wheel {
		return []Wheel{{Name: name, Teeth: teeth, SeenFrom: end}}
	}
	for _, c := range []struct {
		crank  Turning
		shafts [][]Wheel
		kind   Kind
		want   string
	}{
		{clockwise, long, External, "2 to 16 shafts, not 17"},
		{clockwise, [][]Wheel{w("a", 20), {}}, External, "shaft 2 of the train carries no wheel"},
		{clockwise, [][]Wheel{w("a", 20), w("", 20)}, External, "on shaft 2 of the train has no name"},
		{clockwise, [][]Wheel{w("a", 20), w("b", 0)}, External, "teeth of b: 0 is outside 1 to 10000"},
		{clockwise, [][]Wheel{w("a", 20), w("b", 10001)}, External, "10001 is outside"},
		{clockwise, [][]Wheel{w("a", 20), w("b", 20)}, Internal, "more teeth than its mate"},
		{clockwise, [][]Wheel{w("a", 20), w("b", 20)}, Belt + 1, "say how a drives b"},
		{Turning{Sense: Clockwise}, [][]Wheel{w("a", 20), w("b", 20)}, External, "from which end"},
		{Turning{Sense: 2, SeenFrom: "timing end"}, [][]Wheel{w("a", 20), w("b", 20)}, External, "none of clockwise"},
		{clockwise, [][]Wheel{seen(20, "a", "flywheel end"), w("b", 20)}, External, "keep to one end"},
		{clockwise, [][]Wheel{w("a", 20), seen(20, "b", "flywheel end")}, External, "a and b are parallel"},
		{clockwise, [][]Wheel{w("a", 20), seen(20, "b", "timing end")}, Bevel, "cannot both be seen from timing end"},
		{clockwise, [][]Wheel{w("a", 20), {{Name: "b", Teeth: 9, SeenFrom: "top"}, {Name: "c", Teeth: 9, SeenFrom: "bottom"}}}, Bevel, "b and c are on one shaft"},
		{clockwise, [][]Wheel{{{Name: "b", Teeth: 9, SeenFrom: "top"}, {Name: "c", Teeth: 9, SeenFrom: "bottom"}}, w("a", 20)}, Bevel, "b and c are on one shaft"},
		{clockwise, [][]Wheel{w("a", 20), {{Name: "b", Teeth: 9, Hand: 2}}}, External, "hand 2 or back 0"},
		{clockwise, [][]Wheel{w("a", 20), {{Name: "b", Teeth: 9, Back: 3}}}, Bevel, "hand 0 or back 3"},
	} {
		_, err := NewTrain(c.crank, c.shafts, repeat(Mesh{Kind: c.kind}, len(c.shafts)-1))
		assert.ErrorContains(t, err, c.want)
	}
	_, err := NewTrain(clockwise, [][]Wheel{w("a", 20), w("b", 20)}, []Mesh{{Kind: Skew, DrivenPoints: -2}})
	assert.ErrorContains(t, err, "-2 is neither hand")
}

func repeat[T any](x T, n int) []T {
	out := make([]T, n)
	for i := range out {
		out[i] = x
	}
	return out
}

func TestHands(t *testing.T) {
	make := func(kinds []Kind, hands ...Hand) *Train {
		var shafts [][]Wheel
		for i, h := range hands {
			shafts = append(shafts, []Wheel{{Name: string(rune('a' + i)), Teeth: 20 + i, Hand: h}})
		}
		var meshes []Mesh
		for _, k := range kinds {
			meshes = append(meshes, Mesh{Kind: k})
		}
		return must[*Train](t)(NewTrain(clockwise, shafts, meshes))
	}
	none, right, left := HandNotGiven, RightHand, LeftHand
	for _, c := range []struct {
		tr   *Train
		want map[string]Hand
	}{
		{make([]Kind{External, External}, right, none, none), map[string]Hand{"a": right, "b": left, "c": right}},
		{make([]Kind{External, External}, none, none, left), map[string]Hand{"a": left, "b": right, "c": left}},
		{make([]Kind{External, Internal}, none, right, none), map[string]Hand{"a": left, "b": right, "c": right}},
		{make([]Kind{Chain, Skew}, none, right, none), map[string]Hand{"b": right}},
		{make([]Kind{External, Chain}, none, none, left), map[string]Hand{"c": left}},
		{make([]Kind{External, External}, none, none, none), map[string]Hand{}},
	} {
		assert.Equal(t, c.want, must[map[string]Hand](t)(c.tr.Hands()))
	}
	_, err := make([]Kind{External, External}, right, none, left).Hands()
	assert.ErrorContains(t, err, "opposite hands")
	_, err = make([]Kind{Internal}, right, left).Hands()
	assert.ErrorContains(t, err, "a and b: one is right-hand and one left-hand")
	assert.NoError(t, CheckHands(Skew, right, right))
}
