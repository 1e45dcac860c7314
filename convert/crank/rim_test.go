package crank_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fourmarks.example/convert/crank"
)

func TestRimRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := crank.Rim{Diameter: rapid.Float64Range(0.1, 3000).Draw(t, "diameter")}
		degrees := rapid.OneOf(rapid.Float64Range(-360, -1e-9), rapid.Float64Range(1e-9, 360), rapid.Float64Range(1e-9, 1e-3)).Draw(t, "degrees")
		along := must(r.Distance(degrees))
		if back := must(r.Angle(along)); math.Abs(back-degrees) > 1e-9*math.Abs(degrees) {
			t.Fatalf("%g along the rim comes back as %g", degrees, back)
		}
		half := degrees / 2.002 // short of the diameter, where a rule cannot tell angles apart
		chord := must(r.Chord(half))
		if back := must(r.ChordAngle(chord)); math.Abs(back-half) > 1e-9*math.Abs(half) {
			t.Fatalf("%g by a straight rule comes back as %g", half, back)
		}
		if math.Abs(chord) > math.Abs(must(r.Distance(half)))*(1+1e-15) {
			t.Fatalf("at %g the straight way %g is longer than that along the rim", half, chord)
		}
		ring := crank.Ring(rapid.IntRange(1, 500).Draw(t, "teeth"))
		if back := must(ring.Angle(must(ring.Teeth(degrees)))); math.Abs(back-degrees) > 1e-9*math.Abs(degrees) {
			t.Fatalf("%g in teeth comes back as %g", degrees, back)
		}
	})
}

// Corners of polygons inscribed in the rim (Euclid, Elements IV.15: the side of
// the hexagon is the radius).
func TestChordOfKnownPolygons(t *testing.T) {
	r := crank.Rim{Diameter: 16}
	assert.InDelta(t, 8, must(r.Chord(60)), 1e-14)
	assert.InDelta(t, 8*math.Sqrt2, must(r.Chord(90)), 1e-14)
	assert.InDelta(t, 8*math.Sqrt(3), must(r.Chord(120)), 1e-14)
	assert.Equal(t, 16.0, must(r.Chord(180)))
	assert.Equal(t, 180.0, must(r.ChordAngle(16)))
	assert.Equal(t, -8.0, math.Round(1e12*must(r.Chord(-60)))/1e12)
	// A quarter tooth of a 120-tooth ring is three quarters of a degree.
	assert.Equal(t, 0.75, must(crank.Ring(120).Angle(0.25)))
}

func TestRimErrorsSayWhatIsWrong(t *testing.T) {
	r := crank.Rim{Diameter: 16}
	for what, err := range map[string]error{
		"rim diameter is 0":   second(crank.Rim{}.Distance(10)),
		"rim diameter is NaN": second(crank.Rim{Diameter: math.NaN()}.Angle(10)),
		"angle on the rim":    second(r.Distance(361)),
		"along the rim":       second(r.Angle(51)),
		"on the rim is 181":   second(r.Chord(181)),
		"straight distance":   second(r.ChordAngle(16.5)),
		"a ring of 0 teeth":   second(crank.Ring(0).Angle(1)),
		"teeth counted":       second(crank.Ring(120).Angle(121)),
		"on the ring":         second(crank.Ring(120).Teeth(math.Inf(1))),
		"diameter is -1":      second(crank.Rim{Diameter: -1}.Chord(1)),
		"diameter is 1e+10":   second(crank.Rim{Diameter: 1e10}.ChordAngle(1)),
	} {
		require.Error(t, err, what)
		assert.Contains(t, err.Error(), what)
	}
}
