package rules

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func order() []*lint.Rule {
	return []*lint.Rule{permutation, startsAtOne, throws, intervals, companions, seenFrom}
}

// firingOrder returns the firing order as cylinder numbers; false when there is
// none, or when the cylinders are labelled otherwise (1L, 1R).
func firingOrder(e *schema.Engine) ([]int, bool) {
	if e.Layout == nil {
		return nil, false
	}
	c := e.Layout.FiringOrder.First()
	if c == nil || len(c.Printed.Order) == 0 {
		return nil, false
	}
	numbers := make([]int, len(c.Printed.Order))
	for i, label := range c.Printed.Order {
		n, err := strconv.Atoi(label)
		if err != nil {
			return nil, false
		}
		numbers[i] = n
	}
	return numbers, true
}

// degreesOf returns the values of a printed list of angles.
func degreesOf(f *schema.Figure) []float64 {
	c := f.First()
	if c == nil {
		return nil
	}
	var list []float64
	for _, r := range c.Printed.List {
		list = append(list, r.Unit.Interval(r.Value, r.Value).Mid())
	}
	return list
}

func isTwoStroke(e *schema.Engine) bool {
	return e.Layout != nil && e.Layout.Cycle.Text == "two-stroke"
}

// firing works out when each cylinder of a four-stroke engine fires: from
// throws, banks and order, or, where the throws are not given, from the order
// alone for an engine in line that fires evenly.
func firing(e *schema.Engine) (crank.Firing, error) {
	numbers, ok := firingOrder(e)
	if !ok || isTwoStroke(e) {
		return nil, errNoOrder
	}
	pins := degreesOf(e.Layout.Throws)
	banks := degreesOf(e.Layout.Banks)
	switch {
	case pins != nil:
		return crank.FiringOf(pins, banks, numbers)
	case len(numbers) == 1 || e.Layout.Arrangement.Text == "in-line" && len(numbers)%2 == 0 && len(numbers) > 2:
		return crank.EvenFiring(numbers)
	}
	return nil, errNoOrder
}

var errNoOrder = errors.New("the firing order or the throws are not given")

var permutation = &lint.Rule{
	Name:      "order/permutation",
	Level:     lint.Error,
	Title:     "A firing order names every cylinder once",
	Checks:    "The firing order names each cylinder exactly once, and as many as the engine has.",
	Why:       "Plug leads and valve settings go by the order. A digit misread puts a spark into a cylinder that is breathing in.",
	Basis:     "Definition.",
	Accepting: "There is no good reason to keep it; where the print is wrong, write what it prints as a claim and set it aside.",
	Bad: `
layout: {cylinders: 4, firing_order: 1-3-4-3, numbered_from: front, from: handbook p. 6}
`,
	Good: `
layout: {cylinders: 4, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}
`,
	Engine: func(p *lint.Pass) {
		l := p.Engine.Layout
		if l == nil || l.FiringOrder.First() == nil {
			return
		}
		labels := l.FiringOrder.First().Printed.Order
		seen := map[string]bool{}
		for _, label := range labels {
			if seen[label] {
				p.ReportFigure(l.FiringOrder, "the firing order %s names cylinder %s twice", l.FiringOrder.Text(), label)
				return
			}
			seen[label] = true
		}
		n, ok := l.Cylinders.Count()
		if !ok {
			return
		}
		if len(labels) != n {
			p.ReportFigure(l.FiringOrder, "the firing order %s names %d cylinders, and the engine has %d", l.FiringOrder.Text(), len(labels), n).
				Involving(l.Cylinders).See(l.Cylinders.At, "cylinders: %s", l.Cylinders.Text())
			return
		}
		if numbers, ok := firingOrder(p.Engine); ok {
			for _, k := range numbers {
				if k < 1 || k > n {
					p.ReportFigure(l.FiringOrder, "the firing order %s names cylinder %d, and the engine has %d", l.FiringOrder.Text(), k, n)
				}
			}
		}
	},
}

var startsAtOne = &lint.Rule{
	Name:      "order/starts-at-one",
	Level:     lint.Warning,
	Title:     "A firing order starts with No. 1",
	Checks:    "The firing order is written starting with No. 1.",
	Why:       "Sheets are compared and leads counted from No. 1. An order that starts elsewhere is the same order to an engine, and another one to a tired reader.",
	Basis:     commonPractice + ".",
	Accepting: "Accept it to keep a print as it stands, for instance 2-1 on an engine whose maker counts so.",
	Bad: `
layout: {cylinders: 4, firing_order: 3-4-2-1, numbered_from: front, from: handbook p. 6}
`,
	Good: `
layout: {cylinders: 4, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}
`,
	Engine: func(p *lint.Pass) {
		numbers, ok := firingOrder(p.Engine)
		i := slices.Index(numbers, 1)
		if !ok || i <= 0 {
			return
		}
		turned := slices.Concat(numbers[i:], numbers[:i])
		p.ReportFigure(p.Engine.Layout.FiringOrder, "the firing order %s starts with No. %d; from No. 1 it reads %s",
			p.Engine.Layout.FiringOrder.Text(), numbers[0], hyphenated(turned))
	},
}

func hyphenated(numbers []int) string {
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = strconv.Itoa(n)
	}
	return strings.Join(words, "-")
}

// usualThrows are the crankshafts that engines in line of a number of cylinders
// commonly have.
var usualThrows = map[int][][]float64{
	3: {{0, 240, 120}, {0, 120, 240}},
	4: {{0, 180, 180, 0}},
	6: {{0, 240, 120, 120, 240, 0}, {0, 120, 240, 240, 120, 0}},
}

var throws = &lint.Rule{
	Name:  "order/throws",
	Level: lint.Error,
	Title: "A firing order must be possible with the crank pins",
	Checks: "Each cylinder can be at top dead centre when the firing order wants it there: with the throws and banks given, or, for a three, four or six " +
		"in line without them, with the usual crankshaft.",
	Why:       "An order the crank cannot give means that order, throws or numbering is wrong, and the leads with it.",
	Formula:   "top dead centre of a cylinder = throw + bank, every 360°; it fires at every second one",
	Basis:     "Geometry; orders and companions as printed in US Army TM 5-3895-382-24 (1-3-4-2) and at mopar1973man.com (1-5-3-6-2-4).",
	Accepting: "Give the throws instead, where the crankshaft is an unusual one.",
	Bad: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-4-2-3, throws: [0, 180, 180, 0], numbered_from: front, from: handbook p. 6}
`,
	Good: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, throws: [0, 180, 180, 0], numbered_from: front, from: handbook p. 6}
`,
	Engine: func(p *lint.Pass) {
		numbers, ok := firingOrder(p.Engine)
		if !ok || isTwoStroke(p.Engine) || numbers[0] != 1 || !isPermutation(numbers) {
			return
		}
		l := p.Engine.Layout
		pins, banks := degreesOf(l.Throws), degreesOf(l.Banks)
		switch {
		case pins == nil && l.Arrangement.Text == "in-line":
			pinsOf, known := usualThrows[len(numbers)]
			if known && !slices.ContainsFunc(pinsOf, func(pins []float64) bool { return possible(pins, nil, numbers) }) {
				p.ReportFigure(l.FiringOrder, "the firing order %s is not possible with the usual crankshaft of a %d in line; give the throws if this one differs",
					l.FiringOrder.Text(), len(numbers))
			}
		case pins == nil:
		case len(pins) != len(numbers):
			p.ReportFigure(l.Throws, "there are %d throws for the %d cylinders of the firing order; give one for each", len(pins), len(numbers))
		case banks != nil && len(banks) != len(numbers):
			p.ReportFigure(l.Banks, "there are %d bank angles for the %d cylinders of the firing order; give one for each", len(banks), len(numbers))
		case !possible(pins, banks, numbers):
			f := p.ReportFigure(l.FiringOrder, "the firing order %s is not possible with the throws %s", l.FiringOrder.Text(), l.Throws.Text())
			f.Involving(l.Throws, l.Banks).See(l.Throws.At, "throws: %s", l.Throws.Text())
			for i, k := range numbers {
				f.Work("No. %d is at top dead centre %s after No. 1, and fires %s", k, topsOf(pins, banks, k), ordinal(i))
			}
		}
	},
}

func isPermutation(numbers []int) bool {
	sorted := slices.Sorted(slices.Values(numbers))
	for i, n := range sorted {
		if n != i+1 {
			return false
		}
	}
	return true
}

func possible(pins, banks []float64, numbers []int) bool {
	_, err := crank.FiringOf(pins, banks, numbers)
	return !errors.Is(err, crank.ErrOrderImpossible)
}

// topsOf says at which two angles of the cycle a cylinder is at top dead centre.
func topsOf(pins, banks []float64, cylinder int) string {
	at := pins[cylinder-1] - pins[0]
	if banks != nil {
		at += banks[cylinder-1] - banks[0]
	}
	for at < 0 {
		at += 360
	}
	for at >= 360 {
		at -= 360
	}
	return fmt.Sprintf("%g° and %g°", at, at+360)
}

func ordinal(i int) string {
	names := []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"}
	if i < len(names) {
		return names[i]
	}
	return fmt.Sprintf("as number %d", i+1)
}

var intervals = &lint.Rule{
	Name:      "order/intervals",
	Level:     lint.Error,
	Title:     "Firing intervals follow from throws, banks and order",
	Checks:    "The firing intervals printed are those that throws, banks and firing order give, and together make one cycle: 720°, or 360° for a two-stroke.",
	Why:       "A vee or a twin that fires unevenly is timed cylinder by cylinder. Set from even intervals, its second cylinder fires when its piston is elsewhere.",
	Formula:   "the intervals add up to 720°; each is the difference of two firing angles",
	Basis:     "Geometry.",
	Accepting: "Accept it when the source rounds the intervals and they no longer add up.",
	Bad: `
layout:
  from: handbook p. 6
  cylinders: 2
  arrangement: vee
  bank_angle: 50
  firing_order: 1-2
  firing_intervals: 360, 360
  throws: 0, 0
  banks: 0, 50
  numbered_from: rear
`,
	Good: `
layout:
  from: handbook p. 6
  cylinders: 2
  arrangement: vee
  bank_angle: 50
  firing_order: 1-2
  firing_intervals: 410, 310
  throws: 0, 0
  banks: 0, 50
  numbered_from: rear
`,
	Engine: func(p *lint.Pass) {
		l := p.Engine.Layout
		if l == nil || l.FiringIntervals.First() == nil {
			return
		}
		printed := l.FiringIntervals.First().Printed.List
		cycle := 720.0
		if isTwoStroke(p.Engine) {
			cycle = 360
		}
		total := interval.Point(0)
		for _, r := range printed {
			total = total.Add(r.Interval())
		}
		if !total.Contains(cycle) {
			p.ReportFigure(l.FiringIntervals, "the firing intervals %s add up to %s, not to the %g° of a cycle", l.FiringIntervals.Text(), sumOf(printed), cycle)
			return
		}
		when, err := firing(p.Engine)
		if err != nil {
			return
		}
		computed, err := when.Intervals()
		if err != nil || len(computed) != len(printed) {
			return
		}
		for i, r := range printed {
			if !r.Interval().Grow(0.1).Contains(computed[i]) {
				f := p.ReportFigure(l.FiringIntervals, "the firing intervals are printed %s, and throws, banks and order give %s",
					l.FiringIntervals.Text(), degreesList(computed))
				f.Involving(l.Throws, l.Banks, l.FiringOrder)
				return
			}
		}
	},
}

func sumOf(list []figure.Reading) string {
	total := 0.0
	for _, r := range list {
		total += r.Interval().Mid()
	}
	return fmt.Sprintf("%g°", total)
}

func degreesList(list []float64) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strings.Join(words, ", ")
}

var companions = &lint.Rule{
	Name:      "order/companions",
	Level:     lint.Error,
	Title:     "Companion cylinders move together",
	Checks:    "A cylinder named as another's companion, by a mark they share or as the one on the rock while the other's valves are set, fires one crank revolution from it.",
	Why:       "With the wrong cylinder on the rock the valve is set on the flank of its cam, too tight, and burns.",
	Formula:   "companions fire 360° apart",
	Basis:     "In 1-5-3-6-2-4 the companions are 1 and 6, 5 and 2, 3 and 4 (mopar1973man.com).",
	Accepting: "Accept it for an engine whose marks serve cylinders that only nearly move together.",
	Bad: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}
marks:
  flywheel:
    from: handbook p. 8
    stamps:
      1-3: {means: top_dead_centre, cylinder: 1, companion: 3}
`,
	Good: `
layout: {cylinders: 4, arrangement: in-line, firing_order: 1-3-4-2, numbered_from: front, from: handbook p. 6}
marks:
  flywheel:
    from: handbook p. 8
    stamps:
      1-4: {means: top_dead_centre, cylinder: 1, companion: 4}
`,
	Engine: func(p *lint.Pass) {
		when, err := firing(p.Engine)
		if err != nil {
			return
		}
		pairs, err := when.Companions()
		if err != nil {
			return
		}
		check := func(cylinder int, of *schema.Figure, what string) {
			named, ok := of.Count()
			if !ok || cylinder < 1 || cylinder > len(pairs) || pairs[cylinder-1] == named {
				return
			}
			is := "none"
			if pairs[cylinder-1] != 0 {
				is = fmt.Sprintf("No. %d", pairs[cylinder-1])
			}
			p.ReportFigure(of, "%s No. %d as the companion of No. %d, whose companion in the firing order %s is %s", what, named, cylinder,
				p.Engine.Layout.FiringOrder.Text(), is).Involving(p.Engine.Layout.FiringOrder)
		}
		for _, part := range p.Engine.Marks {
			for _, s := range part.Value.Stamps {
				check(stampCylinder(s.Value), s.Value.Companion, "the stamp "+s.Name+" names")
			}
		}
		if p.Engine.Setting == nil {
			return
		}
		for _, a := range p.Engine.Setting.Adjustments {
			if one, ok := oneCylinder(p.Engine, a.Value); ok {
				check(one, a.Value.OnTheRock, "the adjustment "+a.Name+" puts on the rock")
			}
		}
	},
}

// stampCylinder is whose event a stamp marks: No. 1 where it does not say.
func stampCylinder(s *schema.Stamp) int {
	if n, ok := s.Cylinder.Count(); ok {
		return n
	}
	return 1
}

var seenFrom = &lint.Rule{
	Name:   "order/seen-from",
	Level:  lint.Warning,
	Title:  "Rotation and numbers say from which end",
	Checks: "A direction of rotation names the end it is seen from, and an engine of several cylinders says at which end No. 1 is (a note only, since many sources do not say).",
	Why:    "Clockwise from one end is anticlockwise from the other, and makers number from either. Turned the wrong way, every reading is taken on the wrong side of the backlash.",
	Basis: "ISO 1204:1990 fixes both from the driving end, and leaves out road vehicles, tractors and aircraft (its published scope); " +
		"so the file must say.",
	Accepting: "Accept it when no source says from which end, after looking.",
	Bad: `
layout: {cylinders: 4, rotation: clockwise, numbered_from: front, from: handbook p. 6}
`,
	Good: `
layout: {cylinders: 4, rotation: clockwise seen from front, numbered_from: front, from: handbook p. 6}
`,
	Engine: func(p *lint.Pass) {
		for _, f := range p.Engine.Figures() {
			c := f.First()
			if f.Kind == figure.Direction && c != nil && c.Printed.Direction.Sense != figure.NoSense && c.Printed.Direction.From == "" {
				p.ReportFigure(f, "%s does not say from which end; write for instance `%s seen from the front`", f.Text(), f.Text())
			}
		}
		l := p.Engine.Layout
		if l == nil || l.NumberedFrom.Given() {
			return
		}
		if n, ok := l.Cylinders.Count(); ok && n > 1 && l.FiringOrder.First() != nil {
			p.Report(l.FiringOrder.At, "the firing order %s is of no use without the end that No. 1 is at; say it after `numbered_from`", l.FiringOrder.Text()).
				About("layout").Level = lint.Note
		}
	},
}

// adjusted returns the valves that are set at an adjustment: named ("inlet 1,
// exhaust 1") or numbered along the engine in the valve order.
func adjusted(e *schema.Engine, words string) ([]crank.Valve, error) {
	along := valvesAlong(e)
	var valves []crank.Valve
	for _, part := range strings.Split(strings.ReplaceAll(words, " and ", ","), ",") {
		part = strings.ToLower(strings.TrimSpace(part))
		kind, number, named := strings.Cut(part, " ")
		if !named {
			kind, number = "", part
		}
		n, err := strconv.Atoi(strings.TrimPrefix(strings.TrimSpace(number), "no. "))
		switch {
		case err != nil:
			return nil, fmt.Errorf("%q names no valve; write for instance `inlet 1, exhaust 1`, or the valves' numbers along the engine", part)
		case kind == "inlet":
			valves = append(valves, crank.Valve{Cylinder: n, Kind: crank.Inlet})
		case kind == "exhaust":
			valves = append(valves, crank.Valve{Cylinder: n, Kind: crank.Exhaust})
		case kind != "" && kind != "valve":
			return nil, fmt.Errorf("%q is neither inlet nor exhaust", kind)
		case along == nil:
			return nil, fmt.Errorf("valve %d is named by its number, and the valve order is not given", n)
		case n < 1 || n > len(along):
			return nil, fmt.Errorf("there is no valve %d: the valve order names %d", n, len(along))
		default:
			valves = append(valves, crank.Valve{Cylinder: (n + 1) / 2, Kind: along[n-1]})
		}
	}
	return valves, nil
}

// valvesAlong reads the valve order, two valves a cylinder; nil when there is
// none, or more or fewer.
func valvesAlong(e *schema.Engine) []crank.Kind {
	if e.Layout == nil {
		return nil
	}
	var along []crank.Kind
	for _, letter := range strings.FieldsFunc(strings.ToUpper(e.Layout.ValveOrder.Text()), func(r rune) bool { return strings.ContainsRune(" ,-", r) }) {
		switch letter {
		case "I":
			along = append(along, crank.Inlet)
		case "E":
			along = append(along, crank.Exhaust)
		default:
			return nil
		}
	}
	if n, ok := e.Layout.Cylinders.Count(); !ok || len(along) != 2*n {
		return nil
	}
	return along
}

// oneCylinder returns the cylinder that all valves of an adjustment belong to.
func oneCylinder(e *schema.Engine, a *schema.Adjustment) (int, bool) {
	valves, err := adjusted(e, a.Valves.Text)
	if err != nil || len(valves) == 0 {
		return 0, false
	}
	for _, v := range valves {
		if v.Cylinder != valves[0].Cylinder {
			return 0, false
		}
	}
	return valves[0].Cylinder, true
}
