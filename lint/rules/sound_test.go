package rules

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fourmarks.example/lint"
	"fourmarks.example/lint/run"
)

var soundEngines = flag.Int("sound", 3000, "how many sound engines are drawn at random and linted")

// Engines whose figures truly belong together, printed in all the notations and
// to all the places that sheets use, raise no error and no warning. Their
// figures are worked out here from the textbook formulas, not by the program.
func TestSoundEngines(t *testing.T) {
	inputs := make([]lint.Input, *soundEngines)
	for i := range inputs {
		text := soundEngine(i)
		inputs[i] = lint.Input{Name: fmt.Sprintf("engines/sound/e%d.yaml", i), ID: fmt.Sprintf("sound/e%d", i), Read: func() ([]byte, error) { return []byte(text), nil }}
	}
	res, err := run.Lint(context.Background(), inputs, run.Options{Rules: All()})
	require.NoError(t, err)
	shown := map[string]int{}
	for _, f := range res.Findings {
		if f.Level == lint.Note {
			continue
		}
		if shown[f.Rule]++; shown[f.Rule] <= 3 {
			text, _ := inputs[slices.IndexFunc(inputs, func(in lint.Input) bool { return in.Name == f.File })].Read()
			t.Errorf("%s:%d: %s: %s\n%s\n%s", f.File, f.Line, f.Rule, f.Message, strings.Join(f.Working, "\n"), text)
		}
	}
	for rule, n := range shown {
		t.Errorf("%d false findings of %s in %d sound engines", n, rule, len(inputs))
	}
}

// draw is one sound engine in the making.
type draw struct {
	printer
	strings.Builder

	cylinders int
	fires     []float64 // crank degrees after No. 1, by cylinder
	companion []int     // the cylinder that fires a turn apart, or 0

	bore, stroke, rod, offset float64 // mm
	deadCentre                string
	ratio                     float64 // compression
	overhead                  bool
	rocker                    float64 // valve movement for tappet movement

	cams     map[string]halfLift // by valve: lift at the tappet against camshaft degrees from full lift
	centres  map[string]float64  // crank degrees of full lift after the overlap top dead centre
	gaps     map[string]float64  // true clearances at the valve, by set and valve
	rim      float64
	ring     int
	straight bool // rim distances are taken with a straight rule
	sparked  bool // the ignition is written with its drive
	mirrored bool // the valves stand as a mirror image about the middle
	train    train
}

// halfLift is the lift, in mm, of a cam at camshaft degrees before full lift,
// rising from nothing at its foot. After full lift it falls so many times as
// slowly.
type halfLift struct {
	at     func(degrees float64) float64
	foot   float64
	slower float64
	yaml   string
}

// soundEngine returns the file of the engine of a number.
func soundEngine(number int) string {
	d := &draw{printer: printer{rand.New(rand.NewPCG(uint64(number), 1929))}}
	d.line("format: 1")
	d.line("engine: sound/e%d", number)
	d.line("title: Sound %d", number)
	d.line("sources:\n  handbook: {type: pamphlet, title: Instruction book, issued: 1927, grade: maker}\n  sheet: {type: document, title: Setting sheet, issued: 1928, grade: works}")
	if d.chance(8) {
		d.twoStroke()
		return d.String()
	}
	d.layout()
	d.size()
	d.train = train(d.IntN(int(trains)))
	if d.chance(80) {
		d.valves()
	}
	if d.chance(70) {
		d.camshaftDrive()
	}
	if d.chance(50) {
		d.ignition()
	}
	if d.chance(20) {
		d.line("made: 1926-1931\nvariants:\n  export:\n    made: 1928\n    change: {ignition: {from: sheet p. 8, plug_gap: %s}}", quoted(d.gap(d.between(0.4, 0.8))))
	}
	return d.String()
}

// twoStroke draws an engine whose ports open and close alike about bottom dead
// centre, and whose crankcase inlet does about top.
func (d *draw) twoStroke() {
	d.cylinders = 1 + d.IntN(3)
	throws := []float64{0, 180, 0}[:d.cylinders]
	order := []string{"1", "1-2", "1-2-3"}[d.cylinders-1]
	if d.cylinders == 3 {
		throws = []float64{0, 120, 240}
	}
	d.line("layout: {from: handbook p. 6, cycle: two-stroke, cylinders: %d, arrangement: in-line, numbered_from: front, firing_order: %s, throws: %s, firing_intervals: %s}",
		d.cylinders, quoted(order), quoted(d.list(throws)), quoted(d.list(slices.Repeat([]float64{360 / float64(d.cylinders)}, d.cylinders))))
	d.size()
	exhaust, transfer := d.between(60, 80), d.between(48, 58)
	d.line("events:\n  ports:\n    from: sheet line 3\n    read_at: not given")
	d.line("    inlet_opens: %s BBDC\n    inlet_closes: %s ABDC", d.degrees(transfer), d.degrees(transfer))
	d.maybe("    inlet_duration: %s", quoted(d.degrees(2*transfer)))
	d.line("    exhaust_opens: %s BBDC\n    exhaust_closes: %s ABDC", d.degrees(exhaust), d.degrees(exhaust))
	d.maybe("    exhaust_duration: %s", quoted(d.degrees(2*exhaust)))
	d.line("drives: {magneto: {from: sheet p. 7, speed: 1}}")
	d.line("ignition: {from: handbook p. 21, kind: magneto, drive: magneto, sparks_per_turn: %d, advance: %s}", d.cylinders, quoted(d.event(-d.between(20, 35))))
}

func (d *draw) line(format string, args ...any) {
	fmt.Fprintf(d, format+"\n", args...)
}

// maybe writes a line in most engines.
func (d *draw) maybe(format string, args ...any) {
	if d.chance(75) {
		d.line(format, args...)
	}
}

// Firing orders in common use, by arrangement. Banks are those of each cylinder
// of a vee, in parts of its bank angle.
var arrangements = []struct {
	name  string
	order []int
	banks []float64
	angle float64
}{
	{"single", []int{1}, nil, 0},
	{"in-line", []int{1, 2}, nil, 0},
	{"in-line", []int{1, 2, 3}, nil, 0}, {"in-line", []int{1, 3, 2}, nil, 0},
	{"in-line", []int{1, 3, 4, 2}, nil, 0}, {"in-line", []int{1, 2, 4, 3}, nil, 0}, {"in-line", []int{1, 3, 4, 2}, nil, 0},
	{"in-line", []int{1, 2, 4, 5, 3}, nil, 0},
	{"in-line", []int{1, 5, 3, 6, 2, 4}, nil, 0}, {"in-line", []int{1, 4, 2, 6, 3, 5}, nil, 0},
	{"in-line", []int{1, 6, 2, 5, 8, 3, 7, 4}, nil, 0},
	{"flat", []int{1, 2}, []float64{0, 1}, 180}, {"flat", []int{1, 3, 2, 4}, []float64{0, 1, 1, 0}, 180},
	{"flat", []int{1, 6, 2, 4, 3, 5}, []float64{0, 0, 0, 1, 1, 1}, 180},
	{"vee", []int{1, 8, 4, 3, 6, 5, 7, 2}, []float64{0, 1, 0, 1, 0, 1, 0, 1}, 90},
	{"vee", []int{1, 2, 3, 4, 5, 6}, []float64{0, 1, 0, 1, 0, 1}, 60},
	{"vee", []int{1, 12, 5, 8, 3, 10, 6, 7, 2, 11, 4, 9}, []float64{0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1}, 60},
}

func (d *draw) layout() {
	d.line("layout:\n  from: handbook p. 6\n  cycle: four-stroke\n  numbered_from: front\n  rotation: clockwise seen from front")
	switch d.IntN(12) {
	case 0:
		d.veeTwin()
	case 1:
		d.radial(pick(d.printer, 3, 5, 7, 9))
	default:
		a := pick(d.printer, arrangements...)
		d.evenly(a.order)
		d.line("  arrangement: %s", a.name)
		var banks, throws []float64
		for k := range a.order {
			bank := 0.0
			if a.banks != nil {
				bank = a.banks[k] * a.angle
			}
			banks, throws = append(banks, bank), append(throws, math.Mod(d.fires[k]-bank+720, 360))
		}
		if a.banks != nil {
			d.maybe("  bank_angle: %g", a.angle)
			d.line("  banks: %s", d.list(banks))
			d.line("  throws: %s", d.list(throws))
		} else {
			d.maybe("  throws: %s", d.list(throws))
		}
		d.firing(a.order)
		if d.mirrored = a.name == "in-line" && (d.cylinders == 4 || d.cylinders == 6); d.mirrored {
			d.line("  valve_order: %s", strings.TrimSpace(strings.Repeat("E I I E ", d.cylinders/2)))
		}
	}
	d.overhead = d.chance(60)
	d.rocker = 1
	d.line("  valve_gear: %s", map[bool]string{true: "overhead valves, pushrods", false: "side valves"}[d.overhead])
	if d.overhead {
		d.rocker = d.between(1, 1.6)
		print := fmt.Sprintf("%.2f", d.rocker)
		d.line("  rocker_ratio: %s", print)
	}
}

// evenly lets cylinders fire at equal intervals in an order.
func (d *draw) evenly(order []int) {
	d.cylinders = len(order)
	d.fires = make([]float64, len(order))
	for i, k := range order {
		d.fires[k-1] = 720 * float64(i) / float64(len(order))
	}
	d.companions()
}

func (d *draw) companions() {
	d.companion = make([]int, d.cylinders)
	for i, a := range d.fires {
		for j, b := range d.fires {
			if i != j && math.Abs(math.Abs(a-b)-360) < 1e-6 {
				d.companion[i] = j + 1
			}
		}
	}
}

func (d *draw) firing(order []int) {
	words := make([]string, len(order))
	var intervals []float64
	for i, k := range order {
		words[i] = fmt.Sprint(k)
		next := d.fires[order[(i+1)%len(order)]-1]
		if next -= d.fires[k-1]; next <= 0 {
			next += 720
		}
		intervals = append(intervals, next)
	}
	d.line("  cylinders: %d", d.cylinders)
	d.line("  firing_order: %s", strings.Join(words, "-"))
	if d.chance(60) {
		d.line("  firing_intervals: %s", d.list(intervals))
	}
}

// list prints angles in whole degrees, or in tenths where they are not whole.
func (d *draw) list(degrees []float64) string {
	places := "%.0f"
	if d.chance(50) {
		places = "%.1f"
	}
	words := make([]string, len(degrees))
	for i, x := range degrees {
		words[i] = fmt.Sprintf(places, x)
	}
	return strings.Join(words, ", ")
}

func (d *draw) veeTwin() {
	angle := pick(d.printer, 42.0, 45, 47.5, 50, 55, 60, 90)
	d.cylinders, d.fires = 2, []float64{0, angle + pick(d.printer, 360.0, 360, 0)}
	d.companions()
	d.line("  arrangement: vee\n  bank_angle: %g\n  throws: 0, 0\n  banks: %s", angle, d.list([]float64{0, angle}))
	if d.fires[1] < 360 { // both on one stroke, which only the intervals tell
		d.line("  cylinders: 2\n  firing_order: 1-2\n  firing_intervals: %s", d.list([]float64{angle, 720 - angle}))
		return
	}
	d.firing([]int{1, 2})
}

// radial lays out one row on one pin: every second cylinder fires.
func (d *draw) radial(n int) {
	d.cylinders, d.fires = n, make([]float64, n)
	var order []int
	var banks []float64
	for i := range n {
		k := 2 * i % n
		order = append(order, k+1)
		d.fires[k] = 720 * float64(i) / float64(n)
	}
	for k := range n {
		banks = append(banks, 360*float64(k)/float64(n))
	}
	d.companions()
	d.line("  arrangement: radial\n  banks: %s", d.list(banks))
	d.maybe("  throws: %s", strings.TrimSuffix(strings.Repeat("0, ", n), ", "))
	d.firing(order)
}

func (d *draw) size() {
	var print string
	d.line("size:\n  from: handbook p. 6")
	print, d.bore = d.nominal(d.between(55, 110))
	d.line("  bore: %s", print)
	print, d.stroke = d.nominal(d.bore * d.between(0.9, 1.7))
	d.line("  stroke: %s", print)
	print, d.rod = d.nominal(d.stroke * d.between(1.6, 2.3))
	if d.chance(60) {
		d.line("  rod_centres: %s", print)
	}
	if d.chance(10) {
		print, d.offset = d.nominal(d.stroke * d.between(0.03, 0.12))
		d.deadCentre = pick(d.printer, "crank", "piston", "")
		d.line("  cylinder_offset: %s", print)
		if d.deadCentre != "" {
			d.line("  dead_centre: %s", d.deadCentre)
		}
	}
	one := math.Pi / 4 * d.bore * d.bore * d.stroke / 1000
	swept := one * float64(d.cylinders)
	if d.chance(80) {
		d.line("  swept_volume: %s", d.twice(func() string {
			return pick(d.printer, fmt.Sprintf("%.0f cc", swept), fmt.Sprintf("%.1f cc", swept), fmt.Sprintf("%.1f cu in", swept/16.387064),
				fmt.Sprintf("%.2f litres", swept/1000), fmt.Sprintf("%.0f cc (%.1f cu in)", swept, swept/16.387064), fmt.Sprintf("%.0f cc", math.Round(swept/10)*10))
		}))
	}
	d.maybe("  taxable_horsepower: %s", func() string {
		hp := d.bore * d.bore / millimetresInInch / millimetresInInch * float64(d.cylinders) / 2.5
		return pick(d.printer, fmt.Sprintf("%.1f", hp), fmt.Sprintf("%.2f", hp), fmt.Sprintf("%.0f", math.Floor(hp)))
	}())
	chamber := one / (d.between(3.8, 7.5) - 1)
	d.ratio = one/chamber + 1
	d.maybe("  compression_ratio: %s", pick(d.printer, fmt.Sprintf("%.1f", d.ratio), fmt.Sprintf("%.2f:1", d.ratio), fmt.Sprintf("%.1f to 1", d.ratio)))
	d.maybe("  chamber_volume: %s", pick(d.printer, fmt.Sprintf("%.0f cc", chamber), fmt.Sprintf("%.2f cu in", chamber/16.387064)))
	speed := math.Round(d.between(900, 4500)/50) * 50
	metres := d.stroke / 1000 * speed / 30
	d.maybe("  rated_speed: %s", pick(d.printer, fmt.Sprintf("%.0f rpm", speed), strings.TrimPrefix(fmt.Sprintf("%.0f,%03.0f rpm", math.Floor(speed/1000), math.Mod(speed, 1000)), "0,")))
	d.maybe("  piston_speed: %s", pick(d.printer, fmt.Sprintf("%.1f m/s", metres), fmt.Sprintf("%.0f ft/min", metres*60/0.3048), fmt.Sprintf("%.0f ft/min", math.Round(metres*6/0.3048)*10)))
}

// valves draws cams, clearances, and the events that follow, and a flywheel to
// read them on.
func (d *draw) valves() {
	d.cams, d.centres, d.gaps = map[string]halfLift{}, map[string]float64{}, map[string]float64{}
	d.rim, d.ring, d.straight = 0, 0, d.chance(30)
	d.clearances()
	d.timed("inlet")
	d.timed("exhaust")
	marked := d.chance(60)
	var rim string
	if marked {
		rim, d.rim = d.nominal(d.between(220, 480))
		d.ring = 80 + d.IntN(70)
	}
	d.line("events:")
	d.events("checking", "checking clearance", d.gaps["checking inlet"], d.gaps["checking exhaust"])
	if d.chance(50) {
		d.events("running", "running clearance", d.gaps["running inlet"], d.gaps["running exhaust"])
	}
	if d.chance(20) {
		lift := pick(d.printer, 0.5, 1.0)
		d.events("lift", fmt.Sprintf("%.1f mm lift at valve", lift), d.gaps["running inlet"]+lift, d.gaps["running exhaust"]+lift)
	}
	if d.chance(15) && d.cylinders > 1 {
		d.events("other", "checking clearance", d.gaps["checking inlet"], d.gaps["checking exhaust"])
		d.line("    cylinder: %d", 2+d.IntN(d.cylinders-1))
	}
	if d.chance(60) {
		d.line("cams:")
		for _, valve := range []string{"inlet", "exhaust"} {
			d.line("  %s:\n    from: sheet p. 2\n    lift_at: tappet\n%s", valve, d.cams[valve].yaml)
		}
		full := d.cams["inlet"].at(0)
		d.maybe("lifts: {from: sheet p. 2, lift_at: valve, inlet: %s}", quoted(d.length(full*d.rocker)))
	}
	if marked {
		d.flywheel(rim)
	}
	d.checks()
	d.setting()
}

// timed draws a cam and sets it so that its events come where engines have them:
// the inlet's about the overlap top dead centre and the bottom after it, the
// exhaust's about the bottom before and that top.
func (d *draw) timed(valve string) {
	for {
		d.cams[valve] = d.cam()
		before, after := d.open(valve, d.gaps["checking "+valve])
		byTop := d.between(-8, 28)
		d.centres[valve] = before - byTop
		if valve == "exhaust" {
			d.centres[valve] = byTop - after
		}
		inBands := true
		for _, gap := range []float64{d.gaps["running "+valve], d.gaps["running "+valve] + 1, d.gaps["checking "+valve]} {
			opens, closes := d.opensAndCloses(valve, gap)
			inBands = inBands && (valve == "inlet" && opens > -60 && opens < 22 && closes > 205 && closes < 263 ||
				valve == "exhaust" && opens < -205 && opens > -263 && closes > -17 && closes < 60)
		}
		if inBands {
			return
		}
	}
}

// open is the crank degrees for which a valve is open at a clearance at the
// valve, before and after full lift.
func (d *draw) open(valve string, gap float64) (before, after float64) {
	c := d.cams[valve]
	before = 2 * c.reaches(gap/d.rocker)
	return before, before * c.slower
}

// opensAndCloses returns when a valve opens and closes, in crank degrees after the
// overlap top dead centre.
func (d *draw) opensAndCloses(valve string, gap float64) (opens, closes float64) {
	before, after := d.open(valve, gap)
	return d.centres[valve] - before, d.centres[valve] + after
}

// reaches is how many camshaft degrees from full lift the lift falls to a
// height: by halving.
func (c halfLift) reaches(height float64) float64 {
	near, far := 0.0, c.foot
	for range 60 {
		if mid := (near + far) / 2; c.at(mid) > height {
			near = mid
		} else {
			far = mid
		}
	}
	return near
}

// cam draws a cam. Formulas as in Khurmi & Gupta, Theory of Machines, ch. 20,
// and Norton, Cam Design and Manufacturing Handbook (from memory).
func (d *draw) cam() halfLift {
	c := pick(d.printer, d.threeArc, d.tangent, d.table, d.rise)()
	if c.slower == 0 {
		c.slower = 1
	}
	return c
}

// dimension prints a dimension of a cam near a value and returns what it is.
func (d *draw) dimension(near float64) (string, float64) {
	off := d.between(-1, 1)
	switch d.IntN(5) {
	case 0:
		n := math.Round(near / millimetresInInch * 1000)
		return fmt.Sprintf("%.3f in", n/1000), (n/1000 + 0.00049*off) * millimetresInInch
	case 1:
		n := math.Round(near)
		return fmt.Sprintf("%.0f mm", n), n + 0.049*off
	case 2:
		n := math.Round(near * 10)
		return fmt.Sprintf("%.1f mm", n/10), n/10 + 0.0049*off
	}
	n := math.Round(near * 100)
	return fmt.Sprintf("%.2f mm", n/100), n/100 + 0.0049*off
}

func (d *draw) threeArc() halfLift {
	base, r1 := d.dimension(d.between(11, 16))
	lift, h := d.dimension(d.between(6.5, 9))
	nose, r2 := d.dimension(d.between(2.5, 5))
	// The foot is chosen, and the flank follows from the triangle of the centres:
	// (op + r1 − r2)² = op² + oq² + 2·op·oq·cos foot.
	foot := d.between(60, 75) * math.Pi / 180
	oq := r1 + h - r2
	op := (oq*oq - (r1-r2)*(r1-r2)) / 2 / (r1 - r2 - oq*math.Cos(foot))
	if r1-r2-oq*math.Cos(foot) < 1 || op > 200 {
		return d.threeArc() // so flat a flank is next to a straight one
	}
	flank, r := d.dimension(r1 + op)
	op = r - r1
	// What the rounded flank makes of the foot.
	foot = math.Acos(((r-r2)*(r-r2) - op*op - oq*oq) / (2 * op * oq))
	junction := math.Asin(oq * math.Sin(foot) / (r - r2)) // from the foot
	return halfLift{
		foot: foot * 180 / math.Pi,
		at: func(degrees float64) float64 {
			fromFoot := foot - degrees*math.Pi/180
			if fromFoot < junction {
				return op * (1 - math.Cos(fromFoot))
			}
			return oq*math.Cos(foot-fromFoot) + r2 - r1
		},
		yaml: fmt.Sprintf("    profile: three-arc\n    follower: flat\n    base_radius: %s\n    flank_radius: %s\n    nose_radius: %s\n    lift: %s", base, flank, nose, lift),
	}
}

func (d *draw) tangent() halfLift {
	base, r1 := d.dimension(d.between(12, 16))
	lift, h := d.dimension(d.between(6.5, 9))
	nose, r2 := d.dimension(d.between(3, 6))
	roller, rr := d.dimension(d.between(8, 13))
	oq := r1 + h - r2
	foot := math.Acos((r1 - r2) / oq)
	junction := math.Atan(oq * math.Sin(foot) / (r1 + rr))
	return halfLift{
		foot: foot * 180 / math.Pi,
		at: func(degrees float64) float64 {
			fromFoot := foot - degrees*math.Pi/180
			if fromFoot < junction {
				return (r1 + rr) * (1/math.Cos(fromFoot) - 1)
			}
			t := foot - fromFoot
			return oq*math.Cos(t) + math.Sqrt((r2+rr)*(r2+rr)-oq*oq*math.Sin(t)*math.Sin(t)) - (r1 + rr)
		},
		yaml: fmt.Sprintf("    profile: tangent\n    follower: roller\n    follower_radius: %s\n    base_radius: %s\n    nose_radius: %s\n    lift: %s", roller, base, nose, lift),
	}
}

// Rise curves by their names, from foot to full lift as x goes from 0 to 1.
var riseCurves = map[string]func(x float64) float64{
	"harmonic":           func(x float64) float64 { return (1 - math.Cos(math.Pi*x)) / 2 },
	"cycloidal":          func(x float64) float64 { return x - math.Sin(2*math.Pi*x)/(2*math.Pi) },
	"polynomial 3-4-5":   func(x float64) float64 { return x * x * x * (10 - 15*x + 6*x*x) },
	"polynomial 4-5-6-7": func(x float64) float64 { return x * x * x * x * (35 - 84*x + 70*x*x - 20*x*x*x) },
	"parabolic": func(x float64) float64 {
		if x < 0.5 {
			return 2 * x * x
		}
		return 1 - 2*(1-x)*(1-x)
	},
}

func (d *draw) rise() halfLift {
	name := pick(d.printer, "harmonic", "cycloidal", "polynomial 3-4-5", "polynomial 4-5-6-7", "parabolic")
	lift, h := d.dimension(d.between(6.5, 9))
	foot := math.Round(d.between(62, 80))
	return halfLift{
		foot: foot,
		at:   func(degrees float64) float64 { return h * riseCurves[name](1-degrees/foot) },
		yaml: fmt.Sprintf("    profile: %s\n    lift: %s\n    rise: %.1f", name, lift, foot),
	}
}

// table prints the lifts of a cam at every few degrees.
func (d *draw) table() halfLift {
	c := d.threeArc()
	c.slower = pick(d.printer, 1, 1, d.between(1, 1.15))
	step := pick(d.printer, 2.0, 5, 10)
	lift := func(at float64) float64 {
		if at >= c.foot {
			return 0
		}
		return c.at(at)
	}
	var rows strings.Builder
	row := func(at, mm float64) {
		fmt.Fprintf(&rows, "      \"%g\": %s\n", at, pick(d.printer, fmt.Sprintf("%.3f mm", mm), fmt.Sprintf("%.2f mm", mm)))
	}
	row(0, lift(0))
	for at := step; at-step < c.foot; at += step {
		row(-at, lift(at))
	}
	for at := step; at-step < c.foot*c.slower; at += step {
		row(at, lift(at/c.slower))
	}
	c.yaml = "    profile: table\n    table:\n" + strings.TrimSuffix(rows.String(), "\n")
	return c
}

func (d *draw) clearances() {
	at := "valve"
	if d.overhead && d.chance(20) {
		at = "tappet"
	}
	d.line("clearances:")
	for _, set := range []string{"running", "checking"} {
		d.line("  %s:\n    from: handbook p. 14\n    measured_at: %s\n    engine: cold", set, at)
		felt := 0.0
		if set == "checking" && d.chance(15) {
			felt = 0.004 * millimetresInInch
			d.line("    felt: 4 thou")
		}
		for _, valve := range []string{"inlet", "exhaust"} {
			gap := d.between(4, 10)
			if set == "checking" {
				gap = d.between(14, 25)
			}
			gap = math.Round(gap) / 1000 * millimetresInInch
			d.line("    %s: %s", valve, d.twice(func() string { return d.gap(gap + felt) }))
			if at == "tappet" {
				gap *= d.rocker
			}
			d.gaps[set+" "+valve] = gap
		}
	}
	if d.chance(15) {
		d.growth(at)
	}
}

// growth prints the running clearances of a warm engine, and the parts whose
// growth they follow from.
func (d *draw) growth(at string) {
	valve, block := d.between(90, 130), d.between(90, 130)
	hot, warm := math.Round(d.between(120, 260)), math.Round(d.between(60, 90))
	grows := block*22.3e-6*warm - valve*11.7e-6*hot
	d.line("  running-hot:\n    from: handbook p. 14\n    measured_at: %s\n    engine: hot", at)
	for _, valve := range []string{"inlet", "exhaust"} {
		cold := d.gaps["running "+valve]
		if at == "tappet" {
			cold /= d.rocker
		}
		if cold+grows > 0.03 {
			d.line("    %s: %s", valve, quoted(d.gap(cold+grows)))
		}
	}
	d.line("expansion:\n  from: sheet p. 3\n  parts:")
	d.line("    valve: {length: %.2f mm, coefficient: 11.7e-6 per °C, rise: %.0f °C, effect: narrows}", valve, hot)
	d.line("    block: {length: %.2f mm, coefficient: 22.3e-6 per °C, rise: %.0f °C, effect: widens}", block, warm)
}

// travel is how far the piston is from the dead centre nearest to crank degrees
// after the crank's top dead centre, by the triangle of crank and rod with the
// cylinder's axis offset to the side on which the pin goes down.
func (d *draw) travel(after float64, top bool) float64 {
	throw := d.throw()
	height := func(degrees float64) float64 {
		s, c := math.Sincos(degrees * math.Pi / 180)
		side := throw*s - d.offset
		return throw*c + math.Sqrt(d.rod*d.rod-side*side)
	}
	highest := math.Sqrt((d.rod+throw)*(d.rod+throw) - d.offset*d.offset)
	if top {
		return highest - height(after)
	}
	return height(after) - (highest - d.stroke)
}

// throw is the throw that gives an offset cylinder its stroke: by halving.
func (d *draw) throw() float64 {
	lo, hi := 0.0, d.stroke/2
	for range 60 {
		r := (lo + hi) / 2
		if math.Sqrt((d.rod+r)*(d.rod+r)-d.offset*d.offset)-math.Sqrt((d.rod-r)*(d.rod-r)-d.offset*d.offset) < d.stroke {
			lo = r
		} else {
			hi = r
		}
	}
	return hi
}

// late is by how much a dead centre of the piston comes after the crank's, where
// the file counts from the piston's.
func (d *draw) late(top bool) float64 {
	if d.deadCentre != "piston" {
		return 0
	}
	reach := d.rod + d.throw()
	if !top {
		reach = d.rod - d.throw()
	}
	return math.Asin(d.offset/reach) * 180 / math.Pi
}

// counted turns true crank degrees into degrees after the dead centres that the
// file counts from, near a dead centre.
func (d *draw) counted(after float64) float64 { return after - d.late(nearTop(after)) }

func nearTop(after float64) bool { return math.Cos(after*math.Pi/180) > 0 }

// event prints an event at true crank degrees after top dead centre.
func (d *draw) event(after float64) string {
	print := d.position(d.counted(after))
	if d.late(true) != 0 { // from another dead centre the count is another
		degrees, datum := nearest(d.counted(after))
		print = d.degrees(degrees) + " " + datum
	}
	degrees, datum := nearest(d.counted(after))
	var other string
	switch d.IntN(8) {
	case 0:
		other = fmt.Sprintf("%s %s piston", d.length(d.travel(after, nearTop(after))), datum)
	case 1:
		if d.rim > 0 {
			other = d.onRim(degrees) + " " + datum + " rim" + d.ruled()
		}
	case 2:
		if d.ring > 0 {
			other = fmt.Sprintf("%s teeth %s", pick(d.printer, fmt.Sprintf("%.0f", degrees*float64(d.ring)/360), mixed(int(math.Round(degrees*float64(d.ring)/180)), 2)), datum)
		}
	}
	switch {
	case other == "":
		return print
	case d.chance(50):
		return other
	}
	return fmt.Sprintf("%s %s (%s)", d.degrees(degrees), datum, strings.Replace(other, " "+datum, "", 1))
}

func nearest(after float64) (degrees float64, datum string) {
	best := 1e9
	for _, c := range datums {
		if from := math.Mod((after-c.at)*c.way+1080, 360); from < best {
			best, datum = from, c.name
		}
	}
	return best, datum
}

// onRim prints the distance that degrees span on the rim.
func (d *draw) onRim(degrees float64) string {
	if d.straight {
		return d.length(d.rim * math.Sin(degrees*math.Pi/360))
	}
	return d.length(math.Pi * d.rim * degrees / 360)
}

// ruled says how rim distances are taken, or leaves it to the reader.
func (d *draw) ruled() string {
	if d.straight && d.chance(60) {
		return " straight rule"
	}
	return ""
}

func (d *draw) events(name, readAt string, inletGap, exhaustGap float64) {
	at := map[string]float64{}
	at["inlet_opens"], at["inlet_closes"] = d.opensAndCloses("inlet", inletGap)
	at["exhaust_opens"], at["exhaust_closes"] = d.opensAndCloses("exhaust", exhaustGap)
	d.line("  %s:\n    from: sheet line 3\n    read_at: %s", name, readAt)
	for _, key := range []string{"inlet_opens", "inlet_closes", "exhaust_opens", "exhaust_closes"} {
		d.maybe("    %s: %s", key, d.twice(func() string { return d.event(at[key]) }))
	}
	d.maybe("    inlet_duration: %s", quoted(d.degrees(at["inlet_closes"]-at["inlet_opens"])))
	d.maybe("    exhaust_duration: %s", quoted(d.degrees(at["exhaust_closes"]-at["exhaust_opens"])))
	d.maybe("    overlap: %s", quoted(d.degrees(at["exhaust_closes"]-at["inlet_opens"])))
	if d.offset == 0 && d.cams["inlet"].slower == 1 && d.cams["exhaust"].slower == 1 && d.chance(50) {
		d.line("    inlet_lobe_centre: %s", quoted(d.position(d.centres["inlet"])))
		d.line("    exhaust_lobe_centre: %s", quoted(d.position(d.centres["exhaust"])))
		d.maybe("    lobe_separation: %s", quoted(d.degrees((d.centres["inlet"]-d.centres["exhaust"])/2)))
	}
}

func (d *draw) flywheel(rim string) {
	d.line("marks:\n  flywheel:\n    from: sheet p. 5\n    rim_diameter: %s\n    ring_teeth: %d\n    stamps:", rim, d.ring)
	type stamp struct {
		name, means, set string
		at               float64
	}
	opens, closes := d.opensAndCloses("inlet", d.gaps["checking inlet"])
	exhaustOpens, exhaustCloses := d.opensAndCloses("exhaust", d.gaps["checking exhaust"])
	stamps := []stamp{
		{"TDC", "top_dead_centre", "", 0}, {"BDC", "bottom_dead_centre", "", 180},
		{"IO", "inlet_opens", "checking", opens}, {"IC", "inlet_closes", "checking", closes},
		{"EO", "exhaust_opens", "checking", exhaustOpens}, {"EC", "exhaust_closes", "checking", exhaustCloses},
	}
	for _, s := range stamps {
		d.line("      %s:\n        means: %s\n        cylinder: 1", s.name, s.means)
		if d.companion[0] != 0 {
			d.maybe("        companion: %d", d.companion[0])
		}
		if s.set == "" {
			continue
		}
		d.line("        clearance: %s", s.set)
		degrees, datum := nearest(d.counted(s.at))
		words := strings.NewReplacer("B", "before ", "A", "after ").Replace(datum[:1]) + datum[1:]
		d.maybe("        rim: %s %s%s", d.onRim(degrees), words, d.ruled())
		d.maybe("        angle: %s", quoted(d.degrees(degrees)+" "+datum))
		if d.chance(30) {
			d.line("        teeth: %.0f teeth %s", degrees*float64(d.ring)/360, datum)
		}
	}
	for i := range stamps[2:] {
		stamps[2+i].at = d.counted(stamps[2+i].at)
	}
	if k := 1 + d.IntN(d.cylinders); k > 1 && d.fires[k-1] != 360 && d.offset == 0 {
		d.line("      T%d: {means: top_dead_centre, cylinder: %d}", k, k)
		d.line("      S%d: {means: inlet_opens, cylinder: %d, clearance: checking, angle: %s}", k, k, quoted(d.position(opens)))
		stamps = append(stamps, stamp{fmt.Sprintf("T%d", k), "", "", d.fires[k-1]}, stamp{fmt.Sprintf("S%d", k), "", "", d.fires[k-1] + opens})
	}
	slices.SortFunc(stamps, func(a, b stamp) int { return cmp.Compare(math.Mod(a.at+720, 360), math.Mod(b.at+720, 360)) })
	var order []string
	for _, s := range stamps {
		order = append(order, s.name)
	}
	from := d.IntN(len(order))
	d.maybe("    order: %s", strings.Join(slices.Concat(order[from:], order[:from]), ", "))
	if d.chance(30) {
		diameter := math.Round(d.between(150, 350))
		d.line("  disc:\n    from: sheet p. 5\n    shaft: camshaft\n    rim_diameter: %.0f mm\n    stamps:\n      IO: {means: inlet_opens, clearance: checking, rim: %s %s}", diameter,
			d.length(math.Pi*diameter*math.Abs(d.counted(opens))/720), map[bool]string{true: "before TDC", false: "after TDC"}[d.counted(opens) < 0])
	}
	if tooth := d.train.firstTooth(d.teeth()); d.chance(40) {
		diameter := math.Round(d.between(150, 350))
		d.line("  pulley: {from: sheet p. 5, rim_diameter: %.0f mm, tooth_step: %s rim}", diameter, d.length(math.Pi*diameter*tooth/360))
	}
}

// checks prints what a healthy engine shows, by polytropic compression of what
// is left in the cylinder when the inlet closes at the running clearance.
func (d *draw) checks() {
	_, closes := d.opensAndCloses("inlet", d.gaps["running inlet"])
	trapped := 1 + (d.ratio-1)*(1-d.travel(closes, false)/d.stroke)
	altitude := pick(d.printer, 0.0, 0, 0, 600, 1500)
	air := 14.696 * math.Pow(1-altitude/44330.8, 5.2559)
	psi := air * (math.Pow(trapped, d.between(1.2, 1.3)) - 1)
	d.line("checks:\n  from: handbook p. 30\n  engine: hot\n  throttle: open\n  altitude: %.0f m", altitude)
	d.maybe("  compression: %s", pick(d.printer, fmt.Sprintf("%.0f psi", psi), fmt.Sprintf("%.1f kgf/cm²", psi/14.2233), fmt.Sprintf("%.0f to %.0f psi", psi-5, psi+5), fmt.Sprintf("%.0f psi minimum", psi*0.8)))
	d.maybe("  vacuum: %.0f inHg", d.between(17, 21)-(14.696-air)*2.036)
}

func (d *draw) setting() {
	d.line("setting:\n  from: handbook p. 12\n  turn_by: %s\n  cautions: [Turn by hand with the plugs out.]", pick(d.printer, "flywheel", "starting handle", "crankshaft nut", "the starter ring, with a lever"))
	if d.companion[0] == 0 || slices.Contains(d.companion, 0) {
		return
	}
	d.line("  adjustments:")
	for k, companion := range d.companion {
		d.line("    no%d: {valves: \"inlet %d, exhaust %d\", on_the_rock: %d}", k+1, k+1, k+1, companion)
		d.maybe("    top%d: {valves: \"inlet %d, exhaust %d\", crank: TDC, cylinder: %d}", k+1, k+1, k+1, k+1)
	}
	if d.mirrored {
		for valve := 1; valve <= 2*d.cylinders; valve++ {
			d.maybe("    valve%d: {valves: %d, fully_open: %d}", valve, valve, 2*d.cylinders+1-valve)
		}
	}
}

// train is a way to drive the camshaft.
type train int

const (
	pairTrain train = iota
	internalTrain
	idlerTrain
	compoundTrain
	chainTrain
	bevelTrain
	trains
)

// teeth is the number on the crankshaft.
func (d *draw) teeth() int {
	switch d.train {
	case bevelTrain:
		return 22
	case compoundTrain:
		return 24
	}
	return 18 + d.cylinders + int(d.bore)%10
}

// firstTooth is the crank degrees for a tooth of the crankshaft's wheel.
func (t train) firstTooth(teeth int) float64 { return 360 / float64(teeth) }

// camshaftDrive draws a train to the camshaft at half speed.
func (d *draw) camshaftDrive() {
	d.line("drives:\n  camshaft:\n    from: sheet p. 6")
	z := d.teeth()
	switch d.train {
	case pairTrain:
		d.wheels([]int{z, 2 * z}, "crankshaft > camshaft", false)
	case internalTrain:
		d.wheels([]int{z, 2 * z}, "crankshaft > camshaft", true)
	case idlerTrain:
		d.wheels([]int{z, 30 + d.IntN(30), 2 * z}, "crankshaft > idler > camshaft", false)
	case compoundTrain: // two to three, then three to four
		k := 4 + d.IntN(6)
		d.line("    train: crankshaft > intermediate + pinion > camshaft")
		d.line("    wheels: {crankshaft: {teeth: %d}, intermediate: {teeth: %d}, pinion: {teeth: %d}, camshaft: {teeth: %d}}", z, z*3/2, 3*k, 4*k)
		d.maybe("    tooth_step: %s", quoted(d.degrees(360/float64(z))))
		d.line("    speed: 1/2")
	case chainTrain:
		d.chain(z)
	case bevelTrain:
		d.line("    train: crankshaft > lower + upper > camshaft")
		d.line("    wheels: {crankshaft: {teeth: 22}, lower: {teeth: 23, mesh: bevel}, upper: {teeth: 23}, camshaft: {teeth: 44, mesh: bevel}}")
		d.maybe("    marks_meet_after: 46")
		d.maybe("    tooth_step: %s", quoted(d.degrees(360.0/22)))
	}
	if d.chance(40) {
		d.magneto()
	}
}

// wheels draws wheels in a row, straight or helical, external or the second
// toothed inside.
func (d *draw) wheels(teeth []int, train string, internal bool) {
	names := strings.Split(train, " > ")
	hands, turns := []string{"right", "left"}, []string{"clockwise", "anticlockwise"}
	right, reverse := d.IntN(2), 1
	if internal {
		reverse = 0
	}
	helix := 0.0
	if d.chance(50) {
		helix = d.between(10, 30)
	}
	dp := float64(8 + d.IntN(7))
	module := millimetresInInch / dp
	d.line("    train: %s\n    wheels:", train)
	for i, name := range names {
		d.line("      %s:\n        teeth: %d", name, teeth[i])
		if internal && i == 1 {
			d.line("        mesh: internal")
		}
		d.maybe("        rotation: %s seen from %s", turns[i*reverse%2], "front")
		if helix > 0 {
			d.maybe("        hand: %s", hands[(i*reverse+right)%2])
		}
		d.maybe("        pitch_diameter: %s", fmt.Sprintf(pick(d.printer, "%.2f in", "%.3f in"), module*float64(teeth[i])/math.Cos(helix*math.Pi/180)/millimetresInInch))
	}
	form := "spur"
	if helix > 0 {
		form = "helical"
	}
	d.line("    teeth:\n      form: %s\n      normal_pitch: %s", form, pick(d.printer, fmt.Sprintf("%.0f DP", dp), fmt.Sprintf("%.2f mm module", module)))
	if helix > 0 {
		d.line("      helix: %s", quoted(d.degrees(helix)))
	}
	shift := d.between(-0.3, 0.6) * module
	d.maybe("      centre_distance: %s", fmt.Sprintf(pick(d.printer, "%.1f mm", "%.2f mm"), module*float64(teeth[1]+teeth[0]*(2*reverse-1))/2/math.Cos(helix*math.Pi/180)+shift))
	d.maybe("      backlash: %.0f thou", d.between(1, 6))
	d.maybe("    rotation: %s seen from front", turns[(len(teeth)-1)*reverse%2])
	d.maybe("    speed: %s", pick(d.printer, "1/2", "0.5"))
	d.maybe("    tooth_step: %s", quoted(d.degrees(360/float64(teeth[0]))))
	d.maybe("    marks_meet_after: %d", meetAfter(teeth))
	if helix > 0 && len(teeth) == 2 && d.chance(50) {
		by := float64(1 + d.IntN(3))
		travel := by * math.Pi * module / math.Sin(helix*math.Pi/180)
		// A right-hand wheel of the crankshaft slid away acts as if it had turned
		// anticlockwise, and an external mate turns the other way.
		way := turns[(1+right+reverse)%2]
		d.line("    sliding_home: {wheel: crankshaft, slides: away from front, travel: %s, turns: camshaft, by: %.0f teeth, direction: %s seen from front}", quoted(d.length(travel)), by, way)
	}
}

// meetAfter counts turns of the crankshaft until the first tooth of every wheel
// of a row is back in its place.
func meetAfter(teeth []int) int {
	for n := 1; ; n++ {
		back := true
		for _, z := range teeth {
			back = back && n*teeth[0]%z == 0
		}
		if back {
			return n
		}
	}
}

func (d *draw) chain(z int) {
	pitch := pick(d.printer, 0.375, 0.5)
	d.line("    train: crankshaft > camshaft\n    wheels:")
	for i, name := range []string{"crankshaft", "camshaft"} {
		teeth := z * (i + 1)
		d.line("      %s: {teeth: %d, pitch_diameter: %.2f mm, rotation: clockwise seen from front}", name, teeth, pitch*millimetresInInch/math.Sin(math.Pi/float64(teeth)))
	}
	d.line("    chain: {pitch: %.3f in, pitches: %d, rows: 2}", pitch, 2*(25+d.IntN(30)))
	d.maybe("    marks_meet_after: 2")
}

// magneto draws a magneto of two sparks a turn, on a vernier coupling.
func (d *draw) magneto() {
	quarters := d.cylinders // a quarter of the crankshaft's speed each
	d.line("  magneto:\n    from: sheet p. 7\n    speed: %s", mixed(quarters, 4))
	a := 17 + d.IntN(4)
	step := 360.0 / float64(a*(a+1))
	d.maybe("    coupling: {rings: [%d, %d], step: %.3f, crank_step: %.3f}", a, a+1, step, step*4/float64(quarters))
	d.maybe("    wheels: {driven: {teeth: 20, keyways: 3, offset_keys: \"3, 6\"}}")
	d.line("ignition: {from: handbook p. 21, kind: magneto, drive: magneto, sparks_per_turn: 2, contact_gap: %s}", quoted(d.gap(d.between(0.28, 0.45))))
	d.sparked = true
}

func (d *draw) ignition() {
	if d.sparked {
		return
	}
	d.line("ignition:\n  from: handbook p. 21\n  kind: coil")
	advance, retard := -d.between(20, 42), d.between(-8, 8)
	if d.chance(20) {
		d.line("  fixed: %s", quoted(d.event(advance)))
		return
	}
	d.line("  advance: %s", quoted(d.event(advance)))
	d.line("  fully_retarded: %s", quoted(d.event(retard)))
	d.maybe("  range: %s", quoted(d.degrees(retard-advance)))
	d.maybe("  plug_gap: %s", quoted(d.gap(d.between(0.4, 0.8))))
}
