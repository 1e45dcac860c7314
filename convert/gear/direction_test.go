package gear

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type vec [3]float64

func (a vec) plus(b vec) vec      { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) times(k float64) vec { return vec{k * a[0], k * a[1], k * a[2]} }
func (a vec) dot(b vec) float64   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) length() float64     { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec           { return a.times(1 / a.length()) }
func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// P02, hells-confetti.com, Alvis FWD: crankshaft and camshaft turn clockwise,
// the accessories anticlockwise, from one end. How that engine's wheels mesh is
// not printed; these are the plainest trains that do it.
func TestPublishedDirections(t *testing.T) {
	rear := Turning{Sense: Clockwise, SeenFrom: "rear"}
	wheels := map[string]Wheel{"crankshaft": {Teeth: 20}, "idler": {Teeth: 31}, "camshaft": {Teeth: 40}, "accessories": {Teeth: 25}}
	gears := must[*Train](t)(ParseTrain("crankshaft > idler > camshaft > accessories", rear, wheels, Mesh{Kind: External}))
	assert.Equal(t, "clockwise seen from rear", must[Turning](t)(gears.Turning("camshaft")).String())
	assert.Equal(t, "anticlockwise seen from rear", must[Turning](t)(gears.Turning("accessories")).String())
	chain := must[*Train](t)(ParseTrain("crankshaft > camshaft > accessories", rear, wheels, Mesh{Kind: Chain}, Mesh{Kind: External}))
	assert.Equal(t, Clockwise, must[Turning](t)(chain.Turning("camshaft")).Sense)
	assert.Equal(t, Anticlockwise, must[Turning](t)(chain.Turning("accessories")).Sense)
}

// Parallel shafts, worked out from the velocity of the point where the wheels
// touch, or of the run of the chain.
func TestParallelDirectionsFromVelocities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		teeth := rapid.IntRange(8, 90)
		start := rapid.SampledFrom([]Sense{Clockwise, Anticlockwise}).Draw(t, "crankshaft")
		shafts := [][]Wheel{{{Name: "0", Teeth: teeth.Draw(t, "teeth")}}}
		var meshes []Mesh
		omega := []float64{-float64(start)} // anticlockwise is positive about the axis that points at the viewer
		for i := range rapid.IntRange(1, 6).Draw(t, "meshes") {
			kind := rapid.SampledFrom([]Kind{External, Internal, Chain, Belt}).Draw(t, "kind")
			r1 := float64(shafts[i][0].Teeth)
			z2 := teeth.Filter(func(z int) bool { return kind != Internal || z != shafts[i][0].Teeth }).Draw(t, "teeth")
			r2 := float64(z2)
			axis := vec{0, 0, 1}
			touch := vec{r1, 0, 0} // from the centre of the first wheel
			centre := vec{r1 + r2, 0, 0}
			if kind == Internal {
				centre = vec{r1 - r2, 0, 0}
			}
			fromSecond := touch.plus(centre.times(-1))
			if kind == Chain || kind == Belt {
				// An open chain over equal tangents: compare the speeds of the same run.
				touch, fromSecond = vec{0, r1, 0}, vec{0, r2, 0}
			}
			v := axis.times(omega[i]).cross(touch)
			each := axis.cross(fromSecond)
			omega = append(omega, v.dot(each)/each.dot(each))
			shafts = append(shafts, []Wheel{{Name: fmt.Sprint(i + 1), Teeth: z2}})
			meshes = append(meshes, Mesh{Kind: kind})
		}
		tr, err := NewTrain(Turning{Sense: start, SeenFrom: "timing end"}, shafts, meshes)
		require.NoError(t, err)
		for i, want := range omega {
			got, err := tr.Turning(fmt.Sprint(i))
			require.NoError(t, err)
			turns, err := tr.Turns(fmt.Sprint(i))
			require.NoError(t, err)
			require.InEpsilon(t, want, -float64(got.Sense)*toFloat(turns), 1e-9)
			require.Equal(t, "timing end", got.SeenFrom)
		}
	})
}

// Bevels roll on one another along the line where their pitch cones touch:
// there, both have one velocity.
func TestBevelDirectionsFromVelocities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z1, z2 := rapid.IntRange(8, 60).Draw(t, "z1"), rapid.IntRange(8, 60).Draw(t, "z2")
		sigma := rapid.Float64Range(20, 160).Draw(t, "shaft angle")
		facing := rapid.SampledFrom([]Facing{Toward, Away})
		start := rapid.SampledFrom([]Sense{Clockwise, Anticlockwise}).Draw(t, "driver")
		driver := Wheel{Name: "driver", Teeth: z1, Back: facing.Draw(t, "back 1")}
		driven := Wheel{Name: "driven", Teeth: z2, Back: facing.Draw(t, "back 2"), SeenFrom: "top"}
		tr, err := NewTrain(Turning{Sense: start, SeenFrom: "timing end"}, [][]Wheel{{driver}, {driven}}, []Mesh{{Kind: Bevel}})
		require.NoError(t, err)
		got, err := tr.Turning("driven")
		require.NoError(t, err)

		// The apex is the origin; backs look along back1 and back2.
		back1 := vec{1, 0, 0}
		back2 := vec{math.Cos(rad(sigma)), math.Sin(rad(sigma)), 0}
		end := func(back vec, f Facing) vec {
			if f == Away {
				return back.times(-1)
			}
			return back
		}
		d1, d2, err := BevelPitchAngles(z1, z2, sigma)
		require.NoError(t, err)
		touch := vec{math.Cos(rad(d1)), math.Sin(rad(d1)), 0}
		require.InDelta(t, math.Cos(rad(d2)), touch.dot(back2), 1e-12, "the cones touch along one line")

		v := end(back1, driver.Back).times(-float64(start)).cross(touch)
		each := end(back2, driven.Back).cross(touch)
		omega := v.dot(each) / each.dot(each)
		require.InDelta(t, 0, v.plus(each.times(-omega)).length(), 1e-9)
		require.InEpsilon(t, omega, -float64(got.Sense)*float64(z1)/float64(z2), 1e-9)
		require.Equal(t, "top", got.SeenFrom)
	})
}

// helixTangent returns the direction of the tooth line through a point at r
// from an axis: a turn about the axis by the right-hand rule goes with a lead
// along it, or against it for a left-hand helix.
func helixTangent(axis, r vec, helixDeg float64, h Hand) vec {
	lead := 2 * math.Pi * r.length() / math.Tan(rad(helixDeg))
	if h == LeftHand {
		lead = -lead
	}
	return axis.cross(r).plus(axis.times(lead / (2 * math.Pi))).unit()
}

// Skew wheels share only the velocity square to their teeth.
func TestSkewDirectionsFromVelocities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z1, z2 := rapid.IntRange(5, 60).Draw(t, "z1"), rapid.IntRange(5, 60).Draw(t, "z2")
		b1, b2 := rapid.Float64Range(10, 80).Draw(t, "helix 1"), rapid.Float64Range(10, 80).Draw(t, "helix 2")
		angles := []float64{b1 + b2, 180 - b1 - b2} // the shaft angles that the helix angles allow
		if right := rapid.Bool().Draw(t, "right angle"); right || math.Abs(b1+b2-90) < 1e-6 {
			b2, angles = 90-b1, []float64{90}
		}
		hand := rapid.SampledFrom([]Hand{RightHand, LeftHand}).Draw(t, "hand")
		points := rapid.SampledFrom([]Hand{RightHand, LeftHand}).Draw(t, "driven points")
		start := rapid.SampledFrom([]Sense{Clockwise, Anticlockwise}).Draw(t, "driver")
		tr, err := NewTrain(Turning{Sense: start, SeenFrom: "timing end"},
			[][]Wheel{{{Name: "driver", Teeth: z1, Hand: hand}}, {{Name: "driven", Teeth: z2, Hand: hand, SeenFrom: "top"}}},
			[]Mesh{{Kind: Skew, DrivenPoints: points}})
		require.NoError(t, err)
		got, err := tr.Turning("driven")
		require.NoError(t, err)

		// Looking from the driven wheel at the driver, along -z, the driver's
		// end is up (+y) and right is +x.
		end1, toDriven := vec{0, 1, 0}, vec{0, 0, 1}
		r1 := toDriven.times(float64(z1) / (2 * math.Cos(rad(b1))))
		r2 := toDriven.times(-float64(z2) / (2 * math.Cos(rad(b2))))
		tooth := helixTangent(end1, r1, b1, hand)
		// One of them lays the teeth along one another with the driven end on
		// the given side.
		var end2 vec
		found := 0
		for _, angle := range angles {
			side := math.Sin(rad(angle))
			if points == LeftHand {
				side = -side
			}
			try := vec{side, math.Cos(rad(angle)), 0}
			if helixTangent(try, r2, b2, hand).cross(tooth).length() < 1e-9 {
				end2 = try
				found++
			}
		}
		require.Equal(t, 1, found)
		square := tooth.cross(toDriven)
		v1 := end1.times(-float64(start)).cross(r1).dot(square)
		each := end2.cross(r2).dot(square)
		require.InEpsilon(t, v1/each, -float64(got.Sense)*float64(z1)/float64(z2), 1e-9)
	})
}

// Across crossed shafts there is no parity: what is missing is named.
func TestDirectionNotDetermined(t *testing.T) {
	vertical := func(w Wheel) Wheel { w.SeenFrom = "top"; return w }
	bevel := func(name string, z int, back Facing) Wheel { return Wheel{Name: name, Teeth: z, Back: back} }
	skew := func(name string, h Hand) Wheel { return Wheel{Name: name, Teeth: 20, Hand: h} }
	for _, c := range []struct {
		what   string
		crank  Turning
		second Wheel
		mesh   Mesh
		want   string
	}{
		{"no rotation", Turning{}, Wheel{Name: "b", Teeth: 40}, Mesh{Kind: External}, "the crankshaft's rotation is not given"},
		{"no end", clockwise, bevel("b", 20, Away), Mesh{Kind: Bevel}, "b crosses a: say from which end it is seen"},
		{"no back", clockwise, vertical(bevel("b", 20, FacingNotGiven)), Mesh{Kind: Bevel}, "which way the back of each faces"},
		{"no hand", clockwise, vertical(skew("b", HandNotGiven)), Mesh{Kind: Skew, DrivenPoints: LeftHand}, "say the hand of each"},
		{"two hands", clockwise, vertical(skew("b", LeftHand)), Mesh{Kind: Skew, DrivenPoints: LeftHand}, "which helix is the steeper"},
		{"no side", clockwise, vertical(skew("b", RightHand)), Mesh{Kind: Skew}, "to which hand the driven shaft points"},
	} {
		a := Wheel{Name: "a", Teeth: 20, Hand: RightHand, Back: Toward}
		last := Wheel{Name: "last", Teeth: 20}
		tr := must[*Train](t)(NewTrain(c.crank, [][]Wheel{{a}, {c.second}, {last}}, []Mesh{c.mesh, {Kind: External}}))
		for _, wheel := range []string{"b", "last"} { // what is not determined stays so
			got := must[Turning](t)(tr.Turning(wheel))
			assert.Equal(t, NotDetermined, got.Sense, c.what)
			assert.Contains(t, got.String(), c.want, c.what)
		}
	}
}

// A camshaft above a vertical shaft is parallel to the crankshaft again, and
// the backs of four bevels settle its direction. The lower bevel's back looks
// up and the upper's down; with the backs of the other two to the timing end
// the camshaft goes the other way, and turning the camshaft's bevel about
// reverses it.
func TestOverheadCamshaftByBevels(t *testing.T) {
	overhead := func(cam Facing) Turning {
		tr := must[*Train](t)(NewTrain(clockwise, [][]Wheel{
			{{Name: "crankshaft", Teeth: 22, Back: Toward}},
			{{Name: "bottom", Teeth: 23, Back: Toward, SeenFrom: "top"}, {Name: "upper", Teeth: 23, Back: Away}},
			{{Name: "camshaft", Teeth: 44, Back: cam, SeenFrom: "timing end"}},
		}, []Mesh{{Kind: Bevel}, {Kind: Bevel}}))
		assert.Equal(t, "anticlockwise seen from top", must[Turning](t)(tr.Turning("upper")).String())
		return must[Turning](t)(tr.Turning("camshaft"))
	}
	assert.Equal(t, "anticlockwise seen from timing end", overhead(Toward).String())
	assert.Equal(t, "clockwise seen from timing end", overhead(Away).String())
}

func TestWords(t *testing.T) {
	assert.Equal(t, "skew", Skew.String())
	assert.Equal(t, "kind not given", Kind(0).String())
	assert.Equal(t, "kind not given", Kind(-1).String())
	assert.Equal(t, "kind not given", Kind(99).String())
	assert.Equal(t, "right", RightHand.String())
	assert.Equal(t, "left", LeftHand.String())
	assert.Equal(t, "not given", HandNotGiven.String())
	assert.Equal(t, "not determined", NotDetermined.String())
	assert.Equal(t, "anticlockwise seen from timing end", clockwise.Reversed().String())
}
