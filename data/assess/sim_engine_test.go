package assess_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/schema"
)

// engine is what the simulation knows of an engine. It is written down here once
// more, in degrees, so that nothing that the program reads is read by the program
// for the simulation too.
type engine struct {
	name   string
	kind   string // demo, published, generated
	file   string // below the repository; empty for text
	text   string
	readAt string
	// events are inlet opens BTDC, inlet closes ABDC, exhaust opens BBDC, exhaust
	// closes ATDC; half is what their prints leave open either way.
	events [4]float64
	half   float64
	// wheels are the driven wheels with crank degrees for one tooth.
	wheels []wheel
	// tops are how many degrees after No. 1's the other dead centres come.
	tops      map[int]float64
	companion int // of No. 1; 0 for none
	// cams of inlet and exhaust, and the clearances in millimetres that the events
	// are read at; zero where they are not known.
	cams       [2]arcs
	clearances [2]float64
	bottom     float64 // degrees from top to bottom dead centre, where the cylinder is offset; else 0
	rocker     float64 // valve lift for tappet lift, where the clearance is at the valve and the lift at the tappet
	// other are the events at another clearance, otherGaps those clearances.
	other     *[4]float64
	otherGaps [2]float64
	// variants are the events of the other variants by name.
	variants map[string][4]float64

	tables [2][]float64
	schema *schema.Engine
}

type wheel struct {
	name  string
	step  float64
	valve int // the valve that it alone moves: 1 inlet, 2 exhaust; 0 for both
}

const thou = 0.0254

// inlineTops are the dead centres of engines with evenly spread pins.
func inlineTops(order string) map[int]float64 {
	tops := map[int]float64{}
	numbers := strings.Split(order, "-")
	for i, n := range numbers {
		var k int
		fmt.Sscan(n, &k)
		if at := 720 * i / len(numbers) % 360; at != 0 {
			tops[k] = float64(at)
		}
	}
	return tops
}

// knownEngines are those of files: the demo dataset's and published ones.
func knownEngines() []*engine {
	demo := func(name, readAt string, events [4]float64, half float64, wheels []wheel, order string, companion int) *engine {
		return &engine{name: name, kind: "demo", file: "data/engines/" + name + ".yaml", readAt: readAt, events: events, half: half, wheels: wheels, tops: inlineTops(order), companion: companion}
	}
	published := func(name, readAt string, events [4]float64, half float64) *engine {
		return &engine{name: name, kind: "published", file: "testdata/published/engines/" + name + ".yaml", readAt: readAt, events: events, half: half}
	}
	one := func(name string, step float64) []wheel { return []wheel{{name: name, step: step}} }

	twelve := demo("penhallow/twelve", "checking clearance", [4]float64{2, 46, 43, 5}, 0.5, one("camshaft", 360.0/24), "1-3-4-2", 4)
	twelve.cams = [2]arcs{{0.5 * 25.4, 2.2 * 25.4, 0.15 * 25.4, 0.28 * 25.4}, {0.5 * 25.4, 2.2 * 25.4, 0.15 * 25.4, 0.28 * 25.4}}
	twelve.clearances, twelve.other, twelve.otherGaps = [2]float64{15 * thou, 15 * thou}, &[4]float64{8, 52, 47, 9}, [2]float64{6 * thou, 8 * thou}

	six := demo("penhallow/light-six", "checking clearance", [4]float64{3, 48, 47, 10}, 0.5, []wheel{{name: "idler", step: 360.0 / 28}, {name: "camshaft", step: 360.0 / 28}}, "1-4-2-6-3-5", 6)
	// The clearance is at the valve, the lift at the tappet: in terms of the tappet.
	six.cams = [2]arcs{{0.5 * 25.4, 2.25 * 25.4, 0.17 * 25.4, 0.29 * 25.4}, {0.5 * 25.4, 2.3 * 25.4, 0.205 * 25.4, 0.29 * 25.4}}
	six.clearances, six.other, six.otherGaps = [2]float64{20 * thou, 20 * thou}, &[4]float64{12, 57, 54.5, 17.5}, [2]float64{4 * thou, 6 * thou}
	six.rocker = 1.08
	six.variants = map[string][4]float64{"series-2": {3, 52, 47, 10}}

	eighteen := demo("penhallow/eighteen", "checking clearance", [4]float64{4, 48, 46, 6}, 0.5, one("camshaft", 15), "1-5-3-6-2-4", 6)
	eighteen.cams = [2]arcs{{0.5 * 25.4, 2.1 * 25.4, 0.16 * 25.4, 0.3 * 25.4}, {0.5 * 25.4, 2.1 * 25.4, 0.16 * 25.4, 0.3 * 25.4}}
	eighteen.clearances, eighteen.other, eighteen.otherGaps = [2]float64{20 * thou, 20 * thou}, &[4]float64{12, 56, 53, 13}, [2]float64{6 * thou, 8 * thou}

	eight := demo("wendrake/straight-eight", "checking clearance", [4]float64{1, 47, 45, 3}, 0.5, []wheel{{name: "lower", step: 360.0 / 22}, {name: "camshaft", step: 2 * 360.0 / 44}}, "1-6-2-5-8-3-7-4", 8)
	eight.clearances, eight.other, eight.otherGaps = [2]float64{15 * thou, 15 * thou}, &[4]float64{7.5, 53.5, 50, 8}, [2]float64{6 * thou, 8 * thou}

	cv := demo("aubrelle/six-cv", "checking clearance", [4]float64{-1, 39, 41, -3}, 0.5, one("camshaft", 360.0/22), "1-3-4-2", 4)
	cv.clearances, cv.other, cv.otherGaps = [2]float64{0.4, 0.4}, &[4]float64{19, 59, 54, 10}, [2]float64{0.2, 0.25}

	duo := demo("aubrelle/duo-500", "checking clearance", [4]float64{4, 40, 47, 9}, 0.5, one("camshaft", 360.0/26), "1", 0)
	duo.companion = 2
	duo.clearances, duo.other, duo.otherGaps = [2]float64{0.3, 0.3}, &[4]float64{12, 48, 53, 15}, [2]float64{0.1, 0.15}

	modelK := demo("garrowmoor/model-k", "running clearance", [4]float64{-7.5, 39.75, 42.25, 5}, 0.01, one("camshaft", 360.0/28), "1-2-4-3", 4)
	modelK.clearances = [2]float64{0.3, 0.45}
	three := demo("skelhaven/marine-three", "checking clearance", [4]float64{13, 38, 46, 17}, 0.5, []wheel{{name: "idler", step: 360.0 / 27}, {name: "camshaft", step: 360.0 / 27}}, "1-3-2", 0)
	three.clearances = [2]float64{0.5, 0.5}
	seven := demo("quillaby/seven", "running clearance", [4]float64{-6, 40, 35, -5}, 0.5, one("camshaft", 14.4), "1-3-4-2", 4)
	seven.clearances = [2]float64{5 * thou, 7 * thou}
	ten := demo("quillaby/ten", "running clearance", [4]float64{4, 44, 46, 7}, 0.05, one("camshaft", 360.0/21), "1-2-4-3", 4)
	ten.clearances = [2]float64{4 * thou, 7 * thou}
	ten.bottom = offsetBottom(3.75, 7.25, 0.25)
	twin := demo("tarrowby/model-f", "running clearance", [4]float64{24, 52, 58, 26}, 0.5, one("cam wheel", 360.0/17), "1", 0)
	twin.tops, twin.clearances = map[int]float64{2: 50}, [2]float64{4 * thou, 6 * thou}

	vauxhall := published("vauxhall/20-60-r", "running clearance", [4]float64{0, 57, 62, 25}, 0.5)
	vauxhall.tops, vauxhall.companion, vauxhall.clearances = inlineTops("1-5-3-6-2-4"), 6, [2]float64{7 * thou, 7 * thou}
	long := published("long/360", "checking clearance", [4]float64{3, 23, 48.5, 6}, 0.25)
	long.clearances = [2]float64{0.45, 0.45}
	return []*engine{twelve, six, eighteen, eight, cv, duo, modelK, three, seven, ten, twin, vauxhall, long,
		published("ajs/350", `.001" off the seat`, [4]float64{36, 51, 50, 30}, 0.5),
		published("ajs/500", `.001" off the seat`, [4]float64{18, 69, 50, 30}, 0.5),
		published("oldsmobile/aurora-4-0", "0.100 mm lift", [4]float64{9, 55, 51, 13}, 0.5),
		published("triumph/t100t", "not given", [4]float64{40, 52, 61, 31}, 0.5),
		published("us-army/f2l912", "checking clearance", [4]float64{32.5, 60.5, 70.5, 32.5}, 0.25),
	}
}

// offsetBottom is by how many degrees of the crank the piston's bottom dead centre
// comes after its top one, found by turning the crank in small steps.
func offsetBottom(stroke, rod, offset float64) float64 {
	const step = 1e-4
	height := func(deg float64) float64 {
		at := deg * math.Pi / 180
		return stroke/2*math.Cos(at) + math.Sqrt(rod*rod-math.Pow(stroke/2*math.Sin(at)-offset, 2))
	}
	top, bottom := 0.0, 180.0
	for deg := -5.0; deg < 5; deg += step {
		if height(deg) > height(top) {
			top = deg
		}
		if height(180+deg) < height(bottom) {
			bottom = 180 + deg
		}
	}
	return bottom - top
}

// trains are the drives of generated engines, with the degrees for a tooth worked
// out by hand: 360 over the teeth of the crankshaft's wheel, and at a second mesh
// of a compound train twice 360 over those of the camshaft's.
var trains = []struct {
	yaml   string
	wheels []wheel
}{
	{"train: crankshaft > camshaft\n    wheels: {crankshaft: {teeth: 20}, camshaft: {teeth: 40}}", []wheel{{name: "camshaft", step: 18}}},
	{"train: crankshaft > idler > camshaft\n    wheels: {crankshaft: {teeth: 32}, idler: {teeth: 41}, camshaft: {teeth: 64}}", []wheel{{name: "idler", step: 11.25}, {name: "camshaft", step: 11.25}}},
	{"train: crankshaft > large + small > camshaft\n    wheels: {crankshaft: {teeth: 20}, large: {teeth: 30}, small: {teeth: 24}, camshaft: {teeth: 32}}", []wheel{{name: "large", step: 18}, {name: "camshaft", step: 22.5}}},
	{"train: crankshaft > camshaft\n    chain: {pitch: 9.525 mm, pitches: 62, rows: 1}\n    wheels: {crankshaft: {teeth: 18}, camshaft: {teeth: 36}}", []wheel{{name: "camshaft", step: 20}}},
}

var orders = []struct {
	order     string
	companion int
}{{"1-3-4-2", 4}, {"1-2-4-3", 4}, {"1-5-3-6-2-4", 6}, {"1-4-2-6-3-5", 6}}

// generated makes an engine with figures of its own.
func generated(i int) *engine {
	random := rand.New(rand.NewPCG(uint64(i), 7))
	pick := func(low, high float64) float64 { return low + float64(int((high-low)*2*random.Float64()))/2 }
	train, order := trains[i%len(trains)], orders[(i/2)%len(orders)]
	e := &engine{name: fmt.Sprintf("made/number-%d", i), kind: "generated", readAt: "checking clearance", half: 0.25, wheels: train.wheels, tops: inlineTops(order.order), companion: order.companion,
		clearances: [2]float64{15 * thou, 18 * thou}, events: [4]float64{pick(0, 25), pick(40, 65), pick(40, 65), pick(3, 25)}}
	drives := "  camshaft:\n    " + train.yaml + "\n"
	if i%4 == 3 { // two camshafts, each with its wheels
		e.wheels = []wheel{{name: "inlet wheel", step: 20, valve: 1}, {name: "exhaust wheel", step: 20, valve: 2}}
		drives = "  inlet camshaft:\n    train: crankshaft > inlet wheel\n    wheels: {crankshaft: {teeth: 18}, inlet wheel: {teeth: 36, mesh: chain}}\n" +
			"  exhaust camshaft:\n    train: crankshaft > exhaust wheel\n    wheels: {crankshaft: {teeth: 18}, exhaust wheel: {teeth: 36, mesh: chain}}\n"
	}
	clearances, cams := "  checking: {measured_at: tappet, inlet: 15 thou, exhaust: 18 thou}\n", ""
	if i%3 == 0 {
		e.cams = [2]arcs{{12, 50 + float64(i), 4, 7}, {12, 52 + float64(i), 4.5, 7}}
		for v := range 2 {
			half := opens(e.cams[v].lifts(), e.clearances[v])
			centre := 110 + float64(random.IntN(5))
			before, after := float64(int(2*(half-centre)))/2, float64(int(2*(half+centre-180)))/2
			if v == 0 {
				e.events[0], e.events[1] = before, after
			} else {
				e.events[2], e.events[3] = after, before
			}
			cams += fmt.Sprintf("  %s: {lift_at: tappet, profile: three-arc, follower: flat, base_radius: %g mm, flank_radius: %g mm, nose_radius: %g mm, lift: %g mm}\n",
				[]string{"inlet", "exhaust"}[v], e.cams[v].base, e.cams[v].flank, e.cams[v].nose, e.cams[v].lift)
		}
		cams = "cams:\n" + cams
	}
	variants := ""
	if i%2 == 0 {
		e.variants = map[string][4]float64{"later": {e.events[0] + 6, e.events[1] + 9, e.events[2], e.events[3] - 5}}
		variants = "variants:\n  later:\n    change:\n      events:\n        checking:\n" + eventLines(e.variants["later"], "          ")
	}
	e.text = "format: 1\nengine: " + e.name + "\ntitle: Number\nlayout: {cycle: four-stroke, cylinders: " + fmt.Sprint(len(strings.Split(order.order, "-"))) +
		", arrangement: in-line, rotation: clockwise seen from timing end, firing_order: " + order.order + ", valve_gear: side valves}\n" +
		"clearances:\n" + clearances + "events:\n  checking:\n    read_at: checking clearance\n" + eventLines(e.events, "    ") + cams + "drives:\n" + drives + variants
	return e
}

// eventLines writes events, one a line, to half degrees.
func eventLines(events [4]float64, indent string) string {
	var b strings.Builder
	for i, key := range eventKeys {
		b.WriteString(indent + key + ": " + printed(i, events[i], "%.1f") + "\n")
	}
	return b.String()
}

var eventKeys = [4]string{"inlet_opens", "inlet_closes", "exhaust_opens", "exhaust_closes"}

// printed writes an event as a sheet does.
func printed(i int, deg float64, format string) string {
	datum := [4][2]string{{"BTDC", "ATDC"}, {"ABDC", "BBDC"}, {"BBDC", "ABDC"}, {"ATDC", "BTDC"}}[i]
	if deg < 0 {
		return fmt.Sprintf(format+" %s", -deg, datum[1])
	}
	return fmt.Sprintf(format+" %s", deg, datum[0])
}

// simulated lists the engines of the simulation, read.
func simulated(t testing.TB) []*engine {
	all := knownEngines()
	for i := range 12 {
		all = append(all, generated(i))
	}
	for _, e := range all {
		text := []byte(e.text)
		if e.file != "" {
			var err error
			text, err = os.ReadFile(filepath.Join("..", "..", e.file))
			require.NoError(t, err)
		}
		read, problems := schema.DecodeEngine(schema.ReadFile(e.name, text))
		require.Empty(t, problems, e.name)
		e.schema = read
		for v, c := range e.cams {
			if c.base > 0 {
				e.tables[v] = c.lifts()
			}
		}
	}
	return all
}
