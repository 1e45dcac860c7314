package diagram_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fourmarks.example/data/sheet/diagram"
)

// plausible makes an engine's timing at random: events where sound engines have
// them and some way beyond, one to three sets, some figures missing or derived,
// prints short and long.
func plausible(r *rand.Rand) diagram.Input {
	between := func(lo, hi float64) float64 { return lo + r.Float64()*(hi-lo) }
	point := func(at float64, forms ...string) *diagram.Point {
		if r.IntN(12) == 0 {
			return nil
		}
		form := forms[r.IntN(len(forms))]
		return &diagram.Point{At: at, Text: fmt.Sprintf(form, between(0, 80)), Derived: r.IntN(3) == 0}
	}
	in := diagram.Input{Title: "Random", Anticlockwise: r.IntN(2) == 0}
	in.SeenFrom = []string{"", "timing end", "the driving end", "magneto end, left of the rider"}[r.IntN(4)]
	names := []string{"running", "checking", "flywheel", "with the factory's timing disc", "at 1 mm lift"}
	r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	for _, name := range names[:1+r.IntN(3)] {
		late := between(-15, 15) // the whole camshaft
		in.Sets = append(in.Sets, diagram.Set{
			Name: name,
			Inlet: diagram.Valve{Opens: point(360-between(-25, 60)+late, "%.0f BTDC", "%.1f° ATDC", "%.3f in BTDC piston"), Closes: point(540+between(5, 90)+late, "%.0f ABDC", "%.2f to 99.99° ABDC"),
				Duration: point(0, "%.0f°", "%.2f to 261.13°")},
			Exhaust: diagram.Valve{Opens: point(180-between(5, 95)+late, "%.0f BBDC", "13 1/4 teeth BBDC of %.0f"), Closes: point(360+between(-20, 60)+late, "%.0f ATDC", "%.0f° 30' ATDC (%[1]f rim)"),
				Duration: point(0, "%.0f°")},
			Overlap: point(0, "%.0f°", "−%.3f to 12.375°"),
		})
	}
	if r.IntN(3) > 0 {
		in.Ignition = point(-between(0, 45), "%.0f BTDC", "%.4f in BTDC piston")
	}
	if r.IntN(2) == 0 {
		in.Notes = []string{"Ignition off and spark plugs out. Turn the engine slowly, by hand.", strings.Repeat("Stop at any resistance. ", 9)}
	}
	return in
}

func TestNoLabelsMeetFor500PlausibleEngines(t *testing.T) {
	r := rand.New(rand.NewPCG(1926, 1931))
	for i := range 500 {
		in := plausible(r)
		d, ok := diagram.Draw(in)
		if !ok {
			continue
		}
		requireApart(t, d, fmt.Sprintf("engine %d: %+v", i, in))
	}
}

// requireApart holds the labels of a drawing apart from one another and within it.
func requireApart(t *testing.T, d *diagram.Drawing, which string) {
	t.Helper()
	for i, a := range d.Labels {
		within := a.Box.X >= 0 && a.Box.Y >= 0 && a.Box.X+a.Box.Width <= d.Width && a.Box.Y+a.Box.Height <= d.Height
		require.True(t, within, "%v leaves the drawing\n%s", a.Lines, which)
		require.Positive(t, a.Box.Width*a.Box.Height, "%v", a.Lines)
		for _, b := range d.Labels[i+1:] {
			require.False(t, a.Box.Meets(b.Box), "%v meets %v\n%s", a.Lines, b.Lines, which)
		}
	}
}

func TestEveryFigureIsLabelled(t *testing.T) {
	point := func(at float64, text string) *diagram.Point { return &diagram.Point{At: at, Text: text} }
	derived := point(100, "80 BBDC")
	derived.Derived = true
	in := diagram.Input{Title: "Six & <Co>", SeenFrom: "timing end", Ignition: point(-35, "35 BTDC"), Sets: []diagram.Set{
		{Name: "running", Inlet: diagram.Valve{Opens: point(348, "12 BTDC"), Closes: point(597, "57 ABDC"), Duration: point(0, "249°")},
			Exhaust: diagram.Valve{Opens: derived, Closes: point(378, "18 ATDC")}, Overlap: point(0, "30°")},
		{Name: "checking", Inlet: diagram.Valve{Opens: point(357, "3 BTDC")}},
	}}
	d, ok := diagram.Draw(in)
	require.True(t, ok)
	var said []string
	for _, l := range d.Labels {
		said = append(said, strings.Join(l.Lines, "|"))
	}
	for _, label := range []string{"Inlet opens|12 BTDC running|3 BTDC checking", "Inlet closes|57 ABDC running", "Inlet open for|249° running",
		"Exhaust opens|~80 BBDC running", "Exhaust closes|18 ATDC running", "Overlap|30° running", "Ignition|35 BTDC", "TDC", "BDC", "power", "exhaust", "induction", "compression",
		"exhaust, running", "inlet, checking", "Turns clockwise seen|from timing end, as|drawn."} {
		assert.Contains(t, said, label)
	}
	svg := d.SVG()
	assert.Contains(t, svg, "Six &amp; &lt;Co&gt;")
	assert.Equal(t, 1, strings.Count(svg, `class="tick open"`), "one end is derived")
	assert.Equal(t, 1+2, strings.Count(svg, `class="hollow"`), "hollow are the one inlet arc with both ends known, and two pieces in the key")
	wellFormed(t, svg)
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := dec.Token(); err != nil {
			require.ErrorIs(t, err, io.EOF)
			return
		}
	}
}

// The drawing turns as the engine does: after TDC the crank goes to the right
// when it turns clockwise, to the left when anticlockwise.
func TestDrawingTurnsAsTheEngineDoes(t *testing.T) {
	for name, c := range map[string]struct {
		in    diagram.Input
		words string
		right bool
	}{
		"clockwise":     {diagram.Input{SeenFrom: "timing end"}, "Turns clockwise seen from timing end", true},
		"anticlockwise": {diagram.Input{SeenFrom: "flywheel", Anticlockwise: true}, "Turns anticlockwise seen from flywheel", false},
		"not known":     {diagram.Input{Anticlockwise: true}, "Direction of rotation not known; drawn clockwise", true},
	} {
		t.Run(name, func(t *testing.T) {
			// A quarter turn after TDC the crank pin is right of the middle when it
			// turns clockwise.
			c.in.Sets = []diagram.Set{{Name: "running", Inlet: diagram.Valve{Closes: &diagram.Point{At: 450, Text: "90 ATDC"}}}}
			d, ok := diagram.Draw(c.in)
			require.True(t, ok)
			var said string
			for _, l := range d.Labels {
				said += strings.Join(l.Lines, " ") + "\n"
				if l.Lines[0] == "Inlet closes" {
					assert.Equal(t, c.right, l.Box.X > d.Width/2)
				}
			}
			assert.Contains(t, said, c.words)
		})
	}
}

func TestWordsAreInert(t *testing.T) {
	in := diagram.Input{Title: "\x1b[31m\x00\xff\uffff", Sets: []diagram.Set{{Name: "<script>alert(1)</script>\x07", Inlet: diagram.Valve{Opens: &diagram.Point{At: 350, Text: `"10" & 'BTDC'`}}}}}
	d, ok := diagram.Draw(in)
	require.True(t, ok)
	wellFormed(t, d.SVG())
	assert.NotContains(t, d.SVG(), "<script")
	assert.NotContains(t, d.SVG(), "\x1b")
}

func TestNothingToDraw(t *testing.T) {
	_, ok := diagram.Draw(diagram.Input{Title: "empty", Sets: []diagram.Set{{Name: "running"}}})
	assert.False(t, ok)
}

func BenchmarkDraw(b *testing.B) {
	in := plausible(rand.New(rand.NewPCG(1, 2)))
	for b.Loop() {
		if d, ok := diagram.Draw(in); ok {
			d.SVG()
		}
	}
}
