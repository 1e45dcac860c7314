package rules_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
)

// Engines that never were: true dimensions and events drawn at random, each
// printed as its sheet would, rounded to the places that it prints.

// maker draws one engine and writes its file.
type maker struct {
	*rand.Rand
	b      strings.Builder
	metric bool
	// places is how finely events are printed, in parts of a degree.
	places int
	// exact engines have events that are as round as they are printed.
	exact bool
}

// fulness is how much a sheet prints.
type fulness int

const (
	sparse fulness = iota
	middling
	rich
	richest
)

// madeEngine writes the i-th engine of a series.
func madeEngine(series uint64, i int) (name, text string) {
	m := &maker{Rand: rand.New(rand.NewPCG(series, uint64(i)))}
	m.metric = m.IntN(2) == 0
	m.places = []int{1, 1, 1, 2, 2, 4}[m.IntN(6)]
	if m.metric {
		m.places = []int{1, 1, 1, 10, 10, 60}[m.IntN(6)]
	}
	m.exact = m.IntN(2) == 0
	full := fulness(i % 4)
	id := fmt.Sprintf("made/series-%d-no-%03d", series, i)
	m.line(0, "format: 1")
	m.line(0, "engine: %s", id)
	m.line(0, "title: Made engine %d of series %d", i, series)
	e := m.engine()
	m.layout(e, full)
	m.size(e, full)
	m.timing(e, full)
	m.line(0, "sources:")
	m.line(1, "handbook: {type: pamphlet, title: Instruction book, issued: 1927, grade: maker}")
	return id, m.b.String()
}

// made is the truth of an engine: millimetres, degrees, cubic centimetres.
type made struct {
	cylinders                  int
	bore, stroke, rod, chamber float64
	speed                      float64
	gaps                       map[string][2]float64 // inlet, exhaust
	events                     map[string][4]float64
	advance, retard            float64
	rim                        float64
	ring, crankTeeth           int
	printedBore, printedStroke string
	printedRod, printedRim     string
}

var firingOrders = map[int]string{2: "1-2", 3: "1-3-2", 4: "1-3-4-2", 6: "1-5-3-6-2-4", 8: "1-6-2-5-8-3-7-4"}

func (m *maker) engine() made {
	e := made{cylinders: []int{1, 2, 3, 4, 4, 4, 6, 6, 8}[m.IntN(9)]}
	e.printedBore, e.bore = m.dimension(55, 115)
	e.printedStroke, e.stroke = m.dimension(e.bore*1.05, e.bore*1.5)
	e.printedRod, e.rod = m.dimension(e.stroke*1.75, e.stroke*2.2)
	e.printedRim, e.rim = m.dimension(230, 460)
	e.chamber = math.Pi / 4 * e.bore * e.bore * e.stroke / 1000 / m.between(3.2, 5.8)
	e.speed = float64(50 * (16 + m.IntN(56)))
	e.ring = 84 + m.IntN(50)
	e.crankTeeth = []int{16, 18, 20, 21, 22, 24, 25, 27, 28, 30, 32}[m.IntN(11)]
	thou := 0.0254
	running := [2]float64{thou * float64(3+m.IntN(8)), 0}
	running[1] = running[0] + thou*float64(m.IntN(4))
	checking := [2]float64{running[1] + thou*float64(8+m.IntN(10)), 0}
	checking[1] = checking[0]
	e.gaps = map[string][2]float64{"running": running, "checking": checking}
	wide := [4]float64{m.between(-6, 9), m.between(36, 54), m.between(38, 54), m.between(-3, 14)}
	narrow := wide
	for i := range narrow {
		valve := i / 2
		narrow[i] += (checking[valve] - running[valve]) / thou * m.between(0.35, 0.75)
	}
	e.advance, e.retard = m.between(24, 40), m.between(-6, 6)
	if m.exact {
		for i := range wide {
			narrow[i], wide[i] = m.rounded(narrow[i]), m.rounded(wide[i])
		}
		e.advance, e.retard = m.rounded(e.advance), m.rounded(e.retard)
	}
	e.events = map[string][4]float64{"running": narrow, "checking": wide}
	return e
}

func (m *maker) between(lo, hi float64) float64 { return lo + (hi-lo)*m.Float64() }

// dimension draws a length that is made to a round size, and prints it.
func (m *maker) dimension(lo, hi float64) (printed string, mm float64) {
	if m.metric {
		if m.IntN(4) == 0 {
			mm = math.Round(m.between(lo, hi)*2) / 2
			return fmt.Sprintf("%.1f mm", mm), mm
		}
		mm = math.Round(m.between(lo, hi))
		return fmt.Sprintf("%.0f mm", mm), mm
	}
	parts := []int64{4, 8, 16}[m.IntN(3)]
	n := int64(math.Round(m.between(lo, hi) / 25.4 * float64(parts)))
	return mixed(n, parts) + " in", float64(n) / float64(parts) * 25.4
}

// mixed prints n/parts as a whole number and a fraction in lowest terms.
func mixed(n, parts int64) string {
	r := big.NewRat(n%parts, parts)
	switch {
	case n%parts == 0:
		return fmt.Sprint(n / parts)
	case n < parts:
		return r.RatString()
	}
	return fmt.Sprintf("%d %s", n/parts, r.RatString())
}

func (m *maker) line(depth int, format string, args ...any) {
	m.b.WriteString(strings.Repeat("  ", depth) + fmt.Sprintf(format, args...) + "\n")
}

func (m *maker) layout(e made, full fulness) {
	m.line(0, "layout:")
	m.line(1, "from: handbook p. 6")
	m.line(1, "cycle: four-stroke")
	m.line(1, "cylinders: %d", e.cylinders)
	if order := firingOrders[e.cylinders]; order != "" && full > sparse {
		m.line(1, "firing_order: %s", order)
	}
}

func (m *maker) size(e made, full fulness) {
	if full == sparse && m.IntN(2) == 0 {
		return
	}
	volume := math.Pi / 4 * e.bore * e.bore * e.stroke * float64(e.cylinders) / 1000
	m.line(0, "size:")
	m.line(1, "from: handbook p. 6")
	m.line(1, "bore: %s", e.printedBore)
	m.line(1, "stroke: %s", e.printedStroke)
	switch {
	case m.metric || m.IntN(2) == 0:
		m.line(1, "swept_volume: %.0f cc", volume)
	case m.IntN(2) == 0:
		m.line(1, "swept_volume: %.1f cu in", volume/16.387064)
	default:
		m.line(1, "swept_volume: %.0f cc (%.1f cu in)", volume, volume/16.387064)
	}
	if full == sparse {
		return
	}
	if full == richest || full == rich && m.IntN(2) == 0 {
		m.line(1, "taxable_horsepower: %.*f", 1+m.IntN(2), e.bore*e.bore*float64(e.cylinders)/25.4/25.4/2.5)
	}
	if full == richest || m.IntN(2) == 0 {
		m.line(1, "compression_ratio: %.1f", 1+volume/float64(e.cylinders)/e.chamber)
		m.line(1, "chamber_volume: %.0f cc", e.chamber)
	}
	if full == richest {
		m.line(1, "rod_centres: %s", e.printedRod)
		m.line(1, "rated_speed: %.0f rpm", e.speed)
		if m.metric {
			m.line(1, "piston_speed: %.1f m/s", 2*e.stroke*e.speed/60000)
		} else {
			m.line(1, "piston_speed: %.0f ft/min", 2*e.stroke/304.8*e.speed)
		}
	}
}

// gap prints a clearance.
func (m *maker) gap(mm float64) string {
	switch {
	case m.metric:
		return fmt.Sprintf("%.2f mm", mm)
	case m.exact:
		return fmt.Sprintf("%.0f thou", mm/0.0254)
	}
	return fmt.Sprintf("%.3f in", mm/25.4)
}

// degrees prints an angle as finely as the sheet does.
func (m *maker) degrees(x float64) string {
	n := int64(math.Round(x * float64(m.places)))
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, part := n/int64(m.places), n%int64(m.places)
	switch {
	case m.places == 60:
		return fmt.Sprintf("%s%d° %d'", sign, whole, part)
	case m.places == 10:
		return fmt.Sprintf("%s%d.%d", sign, whole, part)
	case part == 0:
		return fmt.Sprintf("%s%d", sign, whole)
	}
	fraction := map[int64]string{1: "¼", 2: "½", 3: "¾"}[part*4/int64(m.places)]
	if whole == 0 {
		return sign + fraction
	}
	return fmt.Sprintf("%s%d%s", sign, whole, fraction)
}

// rounded is the angle that the sheet prints.
func (m *maker) rounded(x float64) float64 {
	return math.Round(x*float64(m.places)) / float64(m.places)
}

// position prints an angle from a dead centre, on whichever side it lies.
func (m *maker) position(x float64, near, far string) string {
	if m.rounded(x) < 0 {
		return m.degrees(-x) + " " + far
	}
	return m.degrees(x) + " " + near
}

var eventSides = [4][3]string{{"inlet_opens", "BTDC", "ATDC"}, {"inlet_closes", "ABDC", "BBDC"}, {"exhaust_opens", "BBDC", "ABDC"}, {"exhaust_closes", "ATDC", "BTDC"}}

func (m *maker) timing(e made, full fulness) {
	sets := []string{"running"}
	if full == richest || full == rich && m.IntN(3) == 0 {
		sets = append(sets, "checking")
	}
	m.line(0, "clearances:")
	for _, set := range sets {
		m.line(1, "%s: {from: handbook p. 14, measured_at: tappet, engine: cold, inlet: %s, exhaust: %s}", set, m.gap(e.gaps[set][0]), m.gap(e.gaps[set][1]))
	}
	m.line(0, "events:")
	for _, set := range sets {
		m.eventSet(e, set, full, full == richest || m.IntN(2) == 0)
	}
	if full == sparse {
		return
	}
	if full > middling || m.IntN(2) == 0 {
		m.drives(e, full)
	}
	if full == richest || full == rich && m.IntN(3) == 0 {
		m.flywheel(e, sets[len(sets)-1], full)
	}
	if full > middling || m.IntN(2) == 0 {
		m.ignition(e, full)
	}
}

func (m *maker) eventSet(e made, set string, full fulness, centres bool) {
	truth := e.events[set]
	m.line(1, "%s:", set)
	m.line(2, "from: handbook p. 15")
	m.line(2, "read_at: %s clearance", set)
	travel := full == richest && set == "running" && m.IntN(3) == 0
	for i, side := range eventSides {
		printed := m.position(truth[i], side[1], side[2])
		if travel && m.rounded(truth[i]) > 0 {
			printed += " (" + m.piston(e, truth[i], i == 0 || i == 3) + ")"
		}
		m.line(2, "%s: %s", side[0], printed)
	}
	m.line(2, "inlet_duration: %s", m.degrees(180+truth[0]+truth[1]))
	if full > sparse || m.IntN(2) == 0 {
		m.line(2, "exhaust_duration: %s", m.degrees(180+truth[2]+truth[3]))
	}
	if full > sparse || m.IntN(2) == 0 {
		m.line(2, "overlap: %s", m.degrees(truth[0]+truth[3]))
	}
	if !centres || full < rich {
		return
	}
	// A centre is midway between events, and printed to half of what they are.
	fine := maker{places: m.places}
	if m.places < 4 {
		fine.places *= 2
	}
	inlet, exhaust := (180+truth[1]-truth[0])/2, (180+truth[2]-truth[3])/2
	m.line(2, "inlet_lobe_centre: %s ATDC", fine.degrees(inlet))
	m.line(2, "exhaust_lobe_centre: %s BTDC", fine.degrees(exhaust))
	if full == richest {
		m.line(2, "lobe_separation: %s", fine.degrees((inlet+exhaust)/2))
	}
}

// piston prints how far the piston has gone from a dead centre.
func (m *maker) piston(e made, angle float64, top bool) string {
	theta := angle * math.Pi / 180
	if !top {
		theta = math.Pi - theta
	}
	r := e.stroke / 2
	x := r + e.rod - r*math.Cos(theta) - math.Sqrt(e.rod*e.rod-r*r*math.Sin(theta)*math.Sin(theta))
	if !top {
		x = e.stroke - x
	}
	return m.length(x) + " piston"
}

// length prints a length that was measured.
func (m *maker) length(mm float64) string {
	if m.metric {
		return fmt.Sprintf("%.1f mm", mm)
	}
	n := int64(math.Round(mm / 25.4 * 32))
	if n == 0 || m.exact {
		return fmt.Sprintf("%.2f in", mm/25.4)
	}
	return mixed(n, 32) + " in"
}

func (m *maker) drives(e made, full fulness) {
	m.line(0, "drives:")
	m.line(1, "camshaft:")
	m.line(2, "from: handbook p. 20")
	z := e.crankTeeth
	if m.IntN(3) == 0 {
		idler := z + 9 + m.IntN(12)
		m.line(2, "train: crankshaft > idler > camshaft")
		m.line(2, "wheels: {crankshaft: {teeth: %d}, idler: {teeth: %d}, camshaft: {teeth: %d}}", z, idler, 2*z)
	} else {
		m.line(2, "train: crankshaft > camshaft")
		m.line(2, "wheels: {crankshaft: {teeth: %d}, camshaft: {teeth: %d}}", z, 2*z)
	}
	if full == richest || m.IntN(2) == 0 {
		m.line(2, "speed: 1/2")
	}
	if full == richest || m.IntN(2) == 0 {
		m.line(2, "tooth_step: %.*f", 1+m.IntN(2), 360/float64(z))
	}
	if full == richest {
		m.magneto(e)
	}
}

// magneto drives a magneto of two sparks a turn, or of one on a single.
func (m *maker) magneto(e made) {
	sparks := min(2, e.cylinders)
	n, d := int64(e.cylinders), int64(2*sparks)
	wheel := d * int64(6+m.IntN(4))
	m.line(1, "magneto:")
	m.line(2, "from: handbook p. 21")
	m.line(2, "train: crankshaft > magneto")
	m.line(2, "wheels: {crankshaft: {teeth: %d}, magneto: {teeth: %d}}", wheel*n/d, wheel)
	speed, _ := big.NewRat(n, d).Float64()
	m.line(2, "speed: %g", speed)
	m.line(2, "tooth_step: %.2f", 360/float64(wheel*n/d))
}

func (m *maker) flywheel(e made, set string, full fulness) {
	m.line(0, "marks:")
	m.line(1, "flywheel:")
	m.line(2, "from: handbook p. 16")
	m.line(2, "rim_diameter: %s", e.printedRim)
	if full == richest {
		m.line(2, "ring_teeth: %d", e.ring)
	}
	m.line(2, "stamps:")
	for i, side := range eventSides {
		x, near := e.events[set][i], side[1]
		if x < 0 {
			x, near = -x, side[2]
		}
		words := map[string]string{"BTDC": "before TDC", "ATDC": "after TDC", "BBDC": "before BDC", "ABDC": "after BDC"}[near]
		if x < 1 || i > 1 && full == rich {
			continue
		}
		m.line(3, "%s:", []string{"IO", "IC", "EO", "EC"}[i])
		m.line(4, "means: %s", side[0])
		m.line(4, "clearance: %s", set)
		m.line(4, "rim: %s %s", m.length(math.Pi*e.rim*x/360), words)
		if full == richest && m.IntN(3) == 0 {
			m.line(4, "teeth: %.0f teeth %s", float64(e.ring)*x/360, near)
		}
	}
}

func (m *maker) ignition(e made, full fulness) {
	m.line(0, "ignition:")
	m.line(1, "from: handbook p. 22")
	m.line(1, "kind: magneto")
	advance, retard := e.advance, e.retard
	printed := m.position(advance, "BTDC", "ATDC")
	if full == richest && m.IntN(2) == 0 {
		printed += " (" + m.piston(e, advance, true) + ")"
	}
	m.line(1, "advance: %s", printed)
	m.line(1, "fully_retarded: %s", m.position(retard, "BTDC", "ATDC"))
	m.line(1, "range: %s", m.degrees(advance-retard))
	if full == richest {
		m.line(1, "drive: magneto")
		m.line(1, "sparks_per_turn: %d", min(2, e.cylinders))
	}
}
