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

// spatial is a helical wheel as a curve in space: its axis stands at centre,
// parallel to z, which points at the viewer; one tooth line starts where the
// wheel touches its mate at z = 0.
type spatial struct {
	centre, touch vec // touch is a point of the pitch cylinder, z = 0
	lead          float64
	hand          Hand
	turned        float64 // degrees, anticlockwise to the viewer
	slid          float64 // toward the viewer
}

// at returns the point of the tooth line that was at height z before the wheel
// was turned and slid. Anticlockwise to a viewer on +z is the right-hand rule
// about +z, so a right-hand helix turns that way as it rises.
func (w spatial) at(z float64) vec {
	angle := 2 * math.Pi * z / w.lead
	if w.hand == LeftHand {
		angle = -angle
	}
	angle += rad(w.turned)
	sin, cos := math.Sincos(angle)
	r := w.touch.plus(w.centre.times(-1))
	return w.centre.plus(vec{cos*r[0] - sin*r[1], sin*r[0] + cos*r[1], z + w.slid})
}

// pierces returns the height at which the tooth line passes the line along
// which the wheels touch, found from the points alone by halving.
func (w spatial) pierces() float64 {
	lo, hi := -w.lead/4, w.lead/4
	side := func(z float64) float64 { return w.at(z)[1] }
	for range 100 {
		mid := (lo + hi) / 2
		if (side(mid) > 0) == (side(hi) > 0) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return w.at(lo)[2]
}

// follow returns the degrees, anticlockwise to the viewer, by which a wheel
// must turn for its tooth line to touch its mate's where the mate's now passes
// the line of contact, found by halving.
func follow(w spatial, height float64) float64 {
	lo, hi := -60.0, 60.0
	miss := func(turned float64) float64 {
		w.turned = turned
		return w.pierces() - height
	}
	for range 100 {
		mid := (lo + hi) / 2
		if (miss(mid) > 0) == (miss(hi) > 0) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// mesh draws two wheels that touch at the origin of x.
func drawMesh(t *rapid.T, kind Kind) (first, second spatial, z1, z2 int, helix, module float64) {
	z1 = rapid.IntRange(12, 40).Draw(t, "z1")
	z2 = z1 + rapid.IntRange(5, 60).Draw(t, "more")
	helix = rapid.Float64Range(5, 45).Draw(t, "helix")
	module = rapid.Float64Range(1, 4).Draw(t, "module")
	hand := rapid.SampledFrom([]Hand{RightHand, LeftHand}).Draw(t, "hand")
	r := func(z int) float64 { return float64(z) * module / (2 * math.Cos(rad(helix))) }
	lead := func(z int) float64 { return 2 * math.Pi * r(z) / math.Tan(rad(helix)) }
	first = spatial{centre: vec{-r(z1), 0, 0}, lead: lead(z1), hand: hand}
	second = spatial{centre: vec{r(z2), 0, 0}, lead: lead(z2), hand: -hand}
	if kind == Internal {
		second.centre, second.hand = vec{-r(z2), 0, 0}, hand
	}
	require.InDelta(t, first.pierces(), second.pierces(), 1e-9, "the teeth touch before anything moves")
	return first, second, z1, z2, helix, module
}

// compare holds the turn found in space against Slide and TeethTurned.
func compare(t *rapid.T, s Slid, teeth int, travel, helix, module, turned float64) {
	n, err := TeethTurned(point(math.Abs(travel)), point(helix), point(module))
	require.NoError(t, err)
	degrees := n.Mid() * toFloat(s.Teeth) * 360 / float64(teeth)
	require.InDelta(t, turned, -float64(s.Turning.Sense)*degrees, 1e-7)
}

func along(travel float64) Facing {
	if travel > 0 {
		return Toward
	}
	return Away
}

// A crankshaft wheel slid with the crankshaft held turns its mate; a camshaft
// wheel slid against a held mate turns itself. Both are found from where the
// tooth lines touch in space.
func TestSlideAgainstHelixInSpace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{External, Internal}).Draw(t, "kind")
		first, second, z1, z2, helix, module := drawMesh(t, kind)
		travel := rapid.Float64Range(0.1, 3).Draw(t, "travel")
		if rapid.Bool().Draw(t, "away") {
			travel = -travel
		}
		tr, err := NewTrain(clockwise, [][]Wheel{{{Name: "crankshaft", Teeth: z1, Hand: first.hand}}, {{Name: "camshaft", Teeth: z2}}}, []Mesh{{Kind: kind}})
		require.NoError(t, err)

		slid := first
		slid.slid = travel
		s, err := tr.Slide("crankshaft", along(travel), "camshaft")
		require.NoError(t, err)
		compare(t, s, z2, travel, helix, module, follow(second, slid.pierces()))

		slid = second
		slid.slid = travel
		s, err = tr.Slide("camshaft", along(travel), "camshaft")
		require.NoError(t, err)
		compare(t, s, z2, travel, helix, module, follow(slid, first.pierces()))
		s, err = tr.Slide("camshaft", along(travel), "crankshaft")
		require.NoError(t, err)
		require.Zero(t, s.Teeth.Sign())
	})
}

// An idler slid while in mesh on both sides turns itself, held by the
// crankshaft wheel on its one side; the tooth line that leaves it on the other
// passes where it passed before, so the camshaft stays.
func TestSlidIdlerLeavesTheCamshaft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		crank, idler, z1, z2, helix, module := drawMesh(t, External)
		travel := rapid.Float64Range(-3, 3).Filter(func(x float64) bool { return math.Abs(x) > 0.1 }).Draw(t, "travel")
		slid := idler
		slid.slid = travel
		slid.turned = follow(slid, crank.pierces())

		// The same idler seen from its other side, where the camshaft is.
		other := slid
		other.touch = vec{2 * idler.centre[0], 0, 0}
		before := other
		before.slid, before.turned = 0, 0
		require.InDelta(t, before.pierces(), other.pierces(), 1e-6)

		tr, err := NewTrain(clockwise, [][]Wheel{
			{{Name: "crankshaft", Teeth: z1, Hand: crank.hand}}, {{Name: "idler", Teeth: z2}}, {{Name: "camshaft", Teeth: 2 * z1}},
		}, []Mesh{{Kind: External}, {Kind: External}})
		require.NoError(t, err)
		s, err := tr.Slide("idler", along(travel), "camshaft")
		require.NoError(t, err)
		require.Zero(t, s.Teeth.Sign())
		require.Contains(t, s.Turning.String(), "camshaft does not turn")
		s, err = tr.Slide("idler", along(travel), "idler")
		require.NoError(t, err)
		compare(t, s, z2, travel, helix, module, slid.turned)
	})
}

// The invented engine of the format: crankshaft 28 right-hand, idler 45,
// camshaft 56. The crankshaft wheel slid away from the timing end by the
// travel of two teeth turns the camshaft two teeth anticlockwise: it acts as if
// turned anticlockwise, the idler reverses that and the camshaft again.
func TestSlideThroughTrains(t *testing.T) {
	w := func(name string, teeth int, h Hand) Wheel { return Wheel{Name: name, Teeth: teeth, Hand: h} }
	simple := must[*Train](t)(NewTrain(clockwise,
		[][]Wheel{{w("crankshaft", 28, RightHand)}, {w("idler", 45, 0)}, {w("camshaft", 56, 0)}}, repeat(Mesh{Kind: External}, 2)))
	// The intermediate shaft carries two wheels of different hands and counts.
	compound := must[*Train](t)(NewTrain(clockwise,
		[][]Wheel{{w("crankshaft", 24, RightHand)}, {w("intermediate", 36, 0), w("spacer", 5, 0), w("pinion", 30, RightHand)}, {w("camshaft", 40, 0)}}, repeat(Mesh{Kind: External}, 2)))
	for _, c := range []struct {
		tr    *Train
		slid  string
		along Facing
		wheel string
		teeth *big.Rat
		want  Sense
	}{
		{simple, "crankshaft", Away, "camshaft", rat(1, 1), Anticlockwise},
		{simple, "crankshaft", Away, "idler", rat(1, 1), Clockwise},
		{simple, "crankshaft", Toward, "camshaft", rat(1, 1), Clockwise},
		{simple, "crankshaft", Away, "crankshaft", new(big.Rat), NotDetermined},
		{simple, "camshaft", Away, "camshaft", rat(1, 1), Clockwise}, // right-hand again, by two reversals
		{simple, "camshaft", Away, "idler", new(big.Rat), NotDetermined},
		{simple, "idler", Away, "idler", rat(1, 1), Anticlockwise}, // left-hand
		{simple, "idler", Toward, "camshaft", new(big.Rat), NotDetermined},
		// The intermediate wheel is left-hand: slid away it turns its shaft
		// anticlockwise by a tooth of 36, so the pinion by 30/36 of a tooth.
		{compound, "intermediate", Away, "intermediate", rat(1, 1), Anticlockwise},
		{compound, "intermediate", Away, "pinion", rat(5, 6), Anticlockwise},
		{compound, "intermediate", Away, "camshaft", rat(5, 6), Clockwise},
		// The right-hand pinion slid alone acts as if turned anticlockwise.
		{compound, "pinion", Away, "pinion", new(big.Rat), NotDetermined},
		{compound, "pinion", Away, "camshaft", rat(1, 1), Clockwise},
	} {
		name := fmt.Sprintf("%s slid %d, %s", c.slid, c.along, c.wheel)
		s := must[Slid](t)(c.tr.Slide(c.slid, c.along, c.wheel))
		sameRat(t, c.teeth, s.Teeth, name)
		assert.Equal(t, c.want, s.Turning.Sense, name)
		assert.Equal(t, "timing end", s.Turning.SeenFrom, name)
	}
}

func TestSlideRefuses(t *testing.T) {
	w := func(name string, teeth int, h Hand) Wheel { return Wheel{Name: name, Teeth: teeth, Hand: h} }
	make := func(kind Kind, a, b Hand) *Train {
		return must[*Train](t)(NewTrain(clockwise, [][]Wheel{{w("spare", 9, 0), w("a", 20, a)}, {w("b", 40, b)}}, []Mesh{{Kind: kind}}))
	}
	for _, c := range []struct {
		tr          *Train
		slid, wheel string
		along       Facing
		want        string
	}{
		{make(External, RightHand, 0), "x", "b", Away, `no wheel "x"`},
		{make(External, RightHand, 0), "a", "x", Away, `no wheel "x"`},
		{make(External, RightHand, 0), "a", "b", FacingNotGiven, "toward or away"},
		{make(External, RightHand, 0), "spare", "b", Away, "spare meshes with nothing"},
		{make(External, 0, 0), "a", "b", Away, "hand of a is neither given nor implied"},
		{make(External, RightHand, RightHand), "a", "b", Away, "opposite hands"},
		{make(Bevel, RightHand, 0), "a", "b", Away, "only helical wheels"},
		{make(Chain, RightHand, 0), "b", "b", Away, "only helical wheels"},
	} {
		_, err := c.tr.Slide(c.slid, c.along, c.wheel)
		assert.ErrorContains(t, err, c.want)
	}
}

// Across a skew pair the travel still turns the mate, but which way is known
// only where the arrangement is; without an end, nothing is.
func TestSlideAcrossSkewWheels(t *testing.T) {
	skew := func(crank Turning, end string, points Hand) Slid {
		tr := must[*Train](t)(NewTrain(crank,
			[][]Wheel{{{Name: "a", Teeth: 12, Hand: RightHand}}, {{Name: "b", Teeth: 24, Hand: RightHand, SeenFrom: end}}},
			[]Mesh{{Kind: Skew, DrivenPoints: points}}))
		return must[Slid](t)(tr.Slide("a", Away, "b"))
	}
	sameRat(t, rat(1, 1), skew(clockwise, "top", RightHand).Teeth)
	assert.Equal(t, "clockwise seen from top", skew(clockwise, "top", RightHand).Turning.String())
	assert.Equal(t, "anticlockwise seen from top", skew(clockwise, "top", LeftHand).Turning.String())
	assert.Contains(t, skew(clockwise, "", RightHand).Turning.String(), "b crosses a")
	assert.Contains(t, skew(clockwise, "top", HandNotGiven).Turning.String(), "to which hand")
	assert.Contains(t, skew(Turning{}, "top", RightHand).Turning.String(), "from which end the shaft of a is seen")
}
