package gear

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lightSix is the drive of the format's invented engine.
func lightSix(t testing.TB) *Train {
	w := map[string]Wheel{"crankshaft": {Teeth: 28}, "idler": {Teeth: 45}, "camshaft": {Teeth: 56}}
	return must[*Train](t)(ParseTrain("crankshaft > idler > camshaft", clockwise, w, Mesh{Kind: External}))
}

// fine has two meshes of different step and a magneto behind a coupling.
func fine(t testing.TB) (*Train, []Adjustment) {
	tr := must[*Train](t)(NewTrain(clockwise, [][]Wheel{
		{{Name: "crankshaft", Teeth: 22}},
		{{Name: "intermediate", Teeth: 23}, {Name: "pinion", Teeth: 24}},
		{{Name: "magneto", Teeth: 16}},
	}, []Mesh{{Kind: External}, {Kind: External}}))
	return tr, []Adjustment{
		must[Adjustment](t)(tr.Teeth("intermediate")),
		must[Adjustment](t)(tr.Teeth("magneto")),
		must[Adjustment](t)(tr.Coupling("magneto", Coupling{19, 20})),
	}
}

func TestSettings(t *testing.T) {
	tr := lightSix(t)
	for _, c := range []struct {
		what  string
		got   Adjustment
		step  *big.Rat
		units []int
		moved []int
	}{
		{"teeth", must[Adjustment](t)(train(t, "4 > 5").Teeth("5")), rat(90, 1), []int{-2, -1, 1, 2}, []int{2, 1, 1, 2}},
		{"coupling", must[Adjustment](t)(train(t, "4 > 8").Coupling("8", Coupling{2, 3})), rat(120, 1), []int{-3, -2, -1, 1, 2, 3}, []int{1, 1, 2, 2, 1, 1}},
		{"keyways", must[Adjustment](t)(tr.Keyways("camshaft", 3)), rat(240, 1), []int{-1, 1}, []int{1, 1}},
		{"keyways of the driving wheel", must[Adjustment](t)(tr.Keyways("crankshaft", 4)), rat(90, 1), []int{-2, -1, 1, 2}, []int{2, 1, 1, 2}},
		{"one keyway", must[Adjustment](t)(tr.Keyways("camshaft", 1)), rat(720, 1), nil, nil},
		{"half a turn is 1440 crank degrees, of which 720 are within reach", must[Adjustment](t)(train(t, "a2 > b16").Teeth("b16")), rat(180, 1), []int{-4, -3, -2, -1, 1, 2, 3, 4}, []int{4, 3, 2, 1, 1, 2, 3, 4}},
		{"offset keys", must[Adjustment](t)(tr.Fittings("camshaft", "offset key", rat(3, 2), rat(-3, 2), rat(2, 1), rat(2, 1), rat(0, 1))), rat(1, 1), []int{-3, 3, 4}, []int{1, 1, 1}},
	} {
		sameRat(t, c.step, c.got.StepDeg(), c.what)
		var units, moved []int
		for _, s := range c.got.settings {
			units, moved = append(units, s.units), append(moved, s.moved)
			exact := toFloat(new(big.Rat).Mul(c.step, rat(int64(s.units), 1)))
			assert.InDelta(t, exact, s.deg, 1e-12, c.what)
		}
		assert.Equal(t, c.units, units, c.what)
		assert.Equal(t, c.moved, moved, c.what)
	}
	assert.Zero(t, Adjustment{}.StepDeg().Sign())
}

// A tooth at either mesh of a simple train is one move with two places.
func TestEquivalentMeshesCountOnce(t *testing.T) {
	tr := lightSix(t)
	ways := []Adjustment{must[Adjustment](t)(tr.Teeth("idler")), must[Adjustment](t)(tr.Teeth("camshaft")), must[Adjustment](t)(tr.Teeth("idler"))}
	c := must[Correction](t)(BestCorrection(26, 1, ways...))
	require.Len(t, c.Moves, 1)
	require.Len(t, c.Moves[0].Places, 2)
	assert.Equal(t, 2, c.Moves[0].Moved)
	assert.Equal(t, "turn idler 2 teeth forward, out of mesh with crankshaft (anticlockwise seen from timing end), "+
		"or turn camshaft 2 teeth forward, out of mesh with idler (clockwise seen from timing end): leaves 0.29° late, within 1°", c.String())
	assert.InDelta(t, 26-2*360.0/28, c.LateDeg, 1e-12)
	// The camshaft's half turn reaches farther than the idler's; neither is lost.
	c = must[Correction](t)(BestCorrection(-360, 0, ways...))
	require.True(t, c.Within)
	assert.Equal(t, 28, c.Moves[0].Moved)
	assert.Equal(t, -360.0, c.Moves[0].CrankDeg)
	assert.Contains(t, c.String(), "turn camshaft 28 teeth back, out of mesh with idler (anticlockwise seen from timing end): leaves nothing")
}

func TestBestCorrectionWords(t *testing.T) {
	tr := lightSix(t)
	magneto, _ := fine(t)
	chain := must[*Train](t)(ParseTrain("a > b > c", Turning{}, map[string]Wheel{"a": {Teeth: 20}, "b": {Teeth: 40}, "c": {Teeth: 40}}, Mesh{Kind: Chain}, Mesh{Kind: Belt}))
	for _, c := range []struct {
		late, tolerance float64
		way             Adjustment
		want            string
	}{
		{0.4, 1, must[Adjustment](t)(tr.Teeth("idler")), "move nothing: leaves 0.4° late, within 1°"},
		{-9, 1, must[Adjustment](t)(tr.Teeth("idler")), "nothing comes within 1°; nearest: turn idler 1 tooth back, out of mesh with crankshaft (clockwise seen from timing end): leaves 3.86° late"},
		{6, 1, must[Adjustment](t)(tr.Teeth("idler")), "nothing comes within 1°; nearest: move nothing: leaves 6° late"},
		{0.7, 0.1, must[Adjustment](t)(magneto.Coupling("magneto", Coupling{19, 20})), "turn magneto in its coupling, 1 hole forward in the ring of 19 and 1 hole back in the ring of 20 (forward is clockwise seen from timing end): leaves 0.04° late, within 0.1°"},
		{-12, 1, must[Adjustment](t)(magneto.Coupling("magneto", Coupling{19, 20})), "turn magneto in its coupling, 1 hole back in the ring of 20 (forward is clockwise seen from timing end): leaves 0.55° late, within 1°"},
		{240, 0, must[Adjustment](t)(tr.Keyways("camshaft", 3)), "turn shaft 1 keyway of 3 forward, in wheel camshaft (clockwise seen from timing end): leaves nothing, within 0°"},
		{-120, 0, must[Adjustment](t)(tr.Keyways("crankshaft", 6)), "turn wheel crankshaft 2 keyways of 6 back, on its shaft (anticlockwise seen from timing end): leaves nothing, within 0°"},
		{-4.005, 0.01, must[Adjustment](t)(tr.Fittings("camshaft", "offset key", rat(-2, 1))), "fit the offset key that turns shaft 4 crank degrees back, in wheel camshaft (anticlockwise seen from timing end): leaves 0.005° early, within 0.01°"},
		{18, 0, must[Adjustment](t)(chain.Teeth("b")), "turn b 1 tooth forward, in the chain from a (direction not determined: the crankshaft's rotation is not given): leaves nothing, within 0°"},
		{18, 0, must[Adjustment](t)(chain.Teeth("c")), "turn c 1 tooth forward, in the belt from b (direction not determined: the crankshaft's rotation is not given): leaves nothing, within 0°"},
	} {
		assert.Equal(t, c.want, must[Correction](t)(BestCorrection(c.late, c.tolerance, c.way)).String())
	}
}

// Fewer adjustments come before fewer teeth, and fewer teeth before less left.
func TestOrderOfCorrections(t *testing.T) {
	_, ways := fine(t)
	only := func(late, tolerance float64) Correction {
		return must[Correction](t)(BestCorrection(late, tolerance, ways...))
	}
	// One tooth of the intermediate wheel (16.36) leaves more than the coupling
	// could, but moves one tooth only.
	c := only(17, 1)
	require.Len(t, c.Moves, 1)
	assert.Equal(t, 1, c.Moves[0].Moved)
	// One tooth at either mesh is within a degree (16.36 and 15.68): less is left by the second.
	c = only(16, 1)
	require.Len(t, c.Moves, 1)
	assert.Equal(t, "magneto", c.Moves[0].Places[0].Part)
	assert.InDelta(t, 16-345.0/22, c.LateDeg, 1e-12)
	// Closer than any single tooth: the coupling's many holes are one adjustment.
	c = only(17, 0.2)
	require.Len(t, c.Moves, 1)
	assert.NotZero(t, c.Moves[0].Holes)
	// Closer than the coupling alone.
	c = only(17, 0.005)
	assert.Greater(t, len(c.Moves), 1)
	assert.True(t, c.Within)
	assert.LessOrEqual(t, math.Abs(c.LateDeg), 0.005)
}

// Rounding must not decide: these lie exactly on the tolerance.
func TestToleranceIsExact(t *testing.T) {
	tr := train(t, "a28 > b28 + c21 > 42")
	ways := []Adjustment{must[Adjustment](t)(tr.Teeth("b28")), must[Adjustment](t)(tr.Teeth("42"))}
	// 90/7 + 120/7 = 30 exactly; 30.1 − 30 is one tenth, which in binary it is not.
	late := 30.1
	require.Greater(t, late-30, 0.1)
	c := must[Correction](t)(BestCorrection(late, 0.1, ways...))
	assert.True(t, c.Within)
	assert.Len(t, c.Moves, 2)
	assert.Equal(t, 0.1, c.LateDeg)
	c = must[Correction](t)(BestCorrection(late, 0.0999999999999999, ways...))
	assert.False(t, c.Within)
	assert.Equal(t, 0.1, c.LateDeg)
}

// rank orders corrections as BestCorrection must.
type rank struct {
	within       bool
	count, moved int
	left         *big.Rat
}

func (a rank) before(b rank) bool {
	if a.within != b.within {
		return a.within
	}
	left := a.left.Cmp(b.left)
	if !a.within && left != 0 {
		return left < 0
	}
	if a.count != b.count {
		return a.count < b.count
	}
	if a.moved != b.moved {
		return a.moved < b.moved
	}
	return left < 0
}

// everything goes through all combinations of settings, in exact rationals.
func everything(ways []Adjustment, late, tolerance *big.Rat) rank {
	var best *rank
	var from func(i, count, moved int, left *big.Rat)
	from = func(i, count, moved int, left *big.Rat) {
		if i == len(ways) {
			r := rank{count: count, moved: moved, left: new(big.Rat).Abs(left)}
			r.within = r.left.Cmp(tolerance) <= 0
			if best == nil || r.before(*best) {
				best = &r
			}
			return
		}
		from(i+1, count, moved, left)
		for _, s := range ways[i].settings {
			by := new(big.Rat).Mul(ways[i].StepDeg(), rat(int64(s.units), 1))
			from(i+1, count+1, moved+s.moved, by.Sub(left, by))
		}
	}
	from(0, 0, 0, late)
	return *best
}

func TestBestCorrectionAgainstEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := func(name string) int { return rapid.IntRange(3, 12).Draw(t, name) }
		tr, err := NewTrain(clockwise, [][]Wheel{
			{{Name: "crankshaft", Teeth: z("z1")}},
			{{Name: "intermediate", Teeth: z("z2")}, {Name: "pinion", Teeth: z("z3")}},
			{{Name: "camshaft", Teeth: z("z4")}},
		}, []Mesh{{Kind: External}, {Kind: Chain}})
		require.NoError(t, err)
		makers := map[string]func() (Adjustment, error){
			"first mesh":  func() (Adjustment, error) { return tr.Teeth("intermediate") },
			"second mesh": func() (Adjustment, error) { return tr.Teeth("camshaft") },
			"coupling":    func() (Adjustment, error) { return tr.Coupling("camshaft", Coupling{z("ring 1") / 2, z("ring 2") / 2}) },
			"keyways":     func() (Adjustment, error) { return tr.Keyways("camshaft", rapid.IntRange(1, 4).Draw(t, "keyways")) },
			"key": func() (Adjustment, error) {
				return tr.Fittings("pinion", "offset key", rat(2, 1), rat(-2, 1), rat(7, 2))
			},
		}
		names := rapid.Permutation([]string{"first mesh", "second mesh", "coupling", "keyways", "key"}).Draw(t, "ways")
		var ways []Adjustment
		for _, name := range names[:rapid.IntRange(0, 3).Draw(t, "number")] {
			way, err := makers[name]()
			require.NoError(t, err)
			ways = append(ways, way)
		}
		// Tenths of a degree meet the tolerance exactly now and then.
		late := float64(rapid.IntRange(-3600, 3600).Draw(t, "late")) / 10
		tolerance := float64(rapid.IntRange(0, 80).Draw(t, "tolerance")) / 10
		got, err := BestCorrection(late, tolerance, ways...)
		require.NoError(t, err)

		// Either mesh may stand for the other: go through each class once.
		want := everything(distinct(ways), decimal(late), decimal(tolerance))
		moved, sum := 0, 0.0
		for _, m := range got.Moves {
			moved += m.Moved
			sum += m.CrankDeg
			require.NotEmpty(t, m.String())
		}
		require.Equal(t, want.within, got.Within)
		require.Equal(t, want.count, len(got.Moves))
		require.Equal(t, want.moved, moved)
		require.Equal(t, toFloat(want.left), math.Abs(got.LateDeg))
		require.InDelta(t, late-sum, got.LateDeg, 1e-9)
	})
}

func TestAdjustmentsRefuse(t *testing.T) {
	tr := lightSix(t)
	spare := must[*Train](t)(NewTrain(clockwise, [][]Wheel{{{Name: "spare", Teeth: 9}, {Name: "a", Teeth: 20}}, {{Name: "b", Teeth: 40}}}, []Mesh{{Kind: External}}))
	fit := func(wheel, name string, d ...*big.Rat) error { _, err := tr.Fittings(wheel, name, d...); return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{second(tr.Teeth("x")), `no wheel "x"`},
		{second(tr.Teeth("crankshaft")), "name the driven wheel"},
		{second(tr.Coupling("x", Coupling{19, 20})), `no wheel "x"`},
		{second(tr.Coupling("camshaft", Coupling{0, 20})), "ring 1"},
		{second(tr.Keyways("x", 3)), `no wheel "x"`},
		{second(tr.Keyways("idler", 3)), "idler is an idler"},
		{second(tr.Keyways("camshaft", 0)), "keyways of camshaft: 0"},
		{second(spare.Keyways("spare", 3)), "meshes with nothing"},
		{fit("idler", "offset key", rat(1, 1)), "idler is an idler"},
		{fit("camshaft", "", rat(1, 1)), "has no name"},
		{fit("camshaft", "offset key"), "0 choices"},
		{fit("camshaft", "offset key", nil), "outside -180 to 180"},
		{fit("camshaft", "offset key", rat(181, 1)), "outside -180 to 180"},
		{fit("camshaft", "offset key", rat(1, 2_000_000)), "finer than"},
		{fit("camshaft", "offset key", rat(1, 999_983), rat(1, 7)), "no common step"},
		{second(BestCorrection(math.NaN(), 1)), "error, crank degrees"},
		{second(BestCorrection(361, 1)), "error, crank degrees"},
		{second(BestCorrection(1, -1)), "tolerance, crank degrees"},
	} {
		assert.ErrorContains(t, c.err, c.want)
	}
	var many []Adjustment
	for n := range 9 {
		many = append(many, must[Adjustment](t)(tr.Fittings("camshaft", fmt.Sprint("key ", n), rat(1, int64(n+1)))))
	}
	assert.ErrorContains(t, second(BestCorrection(1, 0, many...)), "9 distinct adjustments are more than 8")
	assert.NoError(t, second(BestCorrection(1, 0, many[:8]...)))

	var wide []Adjustment
	for _, rings := range []Coupling{{199, 200}, {197, 200}, {193, 200}, {191, 200}} {
		wide = append(wide, must[Adjustment](t)(tr.Coupling("camshaft", rings)))
	}
	assert.ErrorContains(t, second(BestCorrection(1.00001, 0, wide...)), "moving 3 of 4 adjustments together is more than can be gone through")
}

func second[T any](_ T, err error) error { return err }

// BenchmarkBestCorrection: two meshes of different step and a coupling of 19
// and 20; one answer within reach of a single adjustment, one that needs two,
// and one that nothing reaches, which goes through everything.
func BenchmarkBestCorrection(b *testing.B) {
	tr, ways := fine(b)
	for _, c := range []struct {
		name      string
		tolerance float64
	}{{"one", 0.5}, {"two", 0.02}, {"none", 0}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := BestCorrection(17.3, c.tolerance, ways...); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("coupling", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := tr.Coupling("magneto", Coupling{19, 20}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkNewTrain(b *testing.B) {
	shafts := [][]Wheel{{{Name: "crankshaft", Teeth: 28}}, {{Name: "idler", Teeth: 45}}, {{Name: "camshaft", Teeth: 56}}}
	meshes := repeat(Mesh{Kind: External}, 2)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewTrain(clockwise, shafts, meshes); err != nil {
			b.Fatal(err)
		}
	}
}
