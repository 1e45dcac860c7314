package rules

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func order() []*lint.Rule {
	return []*lint.Rule{permutation, startsAtOne, throws, intervals, companions, seenFrom}
}

// firingOrder returns the firing order as cylinder numbers; false when there is
// none, when it is in dispute, or when the cylinders are labelled otherwise (1L,
// 1R).
func firingOrder(e *schema.Engine) ([]int, bool) {
	if e.Layout == nil {
		return nil, false
	}
	labels := agreed(e.Layout.FiringOrder, func(p figure.Printed) []string { return p.Order }, func(a, b string) bool { return a == b })
	return numbered(labels)
}

// numbered reads the labels of an order as numbers; false when one is none.
func numbered(labels []string) ([]int, bool) {
	numbers := make([]int, len(labels))
	for i, label := range labels {
		n, err := strconv.Atoi(label)
		if err != nil {
			return nil, false
		}
		numbers[i] = n
	}
	return numbers, len(numbers) > 0
}

// anglesOf returns what a printed list of angles allows; nil when there is none
// or when it is in dispute.
func anglesOf(f *schema.Figure) []interval.Interval {
	readings := agreed(f, func(p figure.Printed) []figure.Reading { return p.List },
		func(a, b figure.Reading) bool { return a.Interval().Meets(b.Interval()) })
	return finite(readings)
}

// finite returns what the readings of a list allow, those left out that have no
// bound.
func finite(readings []figure.Reading) []interval.Interval {
	var list []interval.Interval
	for _, r := range readings {
		if r.Interval().IsFinite() {
			list = append(list, r.Interval())
		}
	}
	return list
}

// agreed returns the list that a figure prints; nil when its claims differ.
func agreed[T any](f *schema.Figure, list func(figure.Printed) []T, same func(a, b T) bool) []T {
	first := f.First()
	if first == nil {
		return nil
	}
	for c := range f.Standing() {
		if !slices.EqualFunc(list(first.Printed), list(c.Printed), same) {
			return nil
		}
	}
	return list(first.Printed)
}

func middles(list []interval.Interval) []float64 {
	var out []float64
	for _, is := range list {
		out = append(out, is.Mid())
	}
	return out
}

func isTwoStroke(e *schema.Engine) bool {
	return e.Layout != nil && e.Layout.Cycle.Text == "two-stroke"
}

// pinsAndBanks returns the throws and bank angles of an engine; throws are nil
// when they are not known. The cylinders of a radial whose throws are not given
// share one pin.
func pinsAndBanks(e *schema.Engine) (pins, banks []interval.Interval) {
	pins, banks = anglesOf(e.Layout.Throws), anglesOf(e.Layout.Banks)
	if e.Layout.Throws.First() == nil && e.Layout.Arrangement.Text == "radial" && len(banks) > 0 {
		pins = slices.Repeat([]interval.Interval{interval.Point(0)}, len(banks))
	}
	return pins, banks
}

// firing works out when each cylinder of a four-stroke engine fires: from throws,
// banks, order and the intervals printed, or, where neither throws nor intervals
// are given, from the order alone for an engine in line that fires evenly.
func firing(e *schema.Engine) (crank.Firing, error) {
	type key struct{}
	type result struct {
		when crank.Firing
		err  error
	}
	is := e.Once(key{}, func() any {
		when, err := workOutFiring(e)
		return result{when, err}
	}).(result)
	return is.when, is.err
}

func workOutFiring(e *schema.Engine) (crank.Firing, error) {
	numbers, ok := firingOrder(e)
	if !ok || isTwoStroke(e) {
		return nil, errNoOrder
	}
	pins, banks := pinsAndBanks(e)
	when, printed := atIntervals(e, numbers)
	if tops, known := topsOf(pins, banks, numbers); printed && known {
		when, printed = snapped(when, tops)
	}
	switch {
	case printed:
		return when, nil
	case pins != nil:
		return crank.FiringOf(middles(pins), middles(banks), numbers)
	case e.Layout.Throws.First() != nil || e.Layout.FiringIntervals.First() != nil:
		return nil, errNoOrder
	case len(numbers) == 1 || e.Layout.Arrangement.Text == "in-line" && len(numbers)%2 == 0 && len(numbers) > 2:
		return crank.EvenFiring(numbers)
	}
	return nil, errNoOrder
}

// snapped moves firing angles that were printed roughly to the top dead centres
// they mean; false when one is at none.
func snapped(when crank.Firing, tops []interval.Interval) (crank.Firing, bool) {
	out := make(crank.Firing, len(when))
	for i, at := range when {
		if !meetsTurns(tops[i].Grow(1), at) {
			return nil, false
		}
		top := tops[i].Mid()
		out[i] = math.Mod(top+float64(360*math.Round((at-top)/360))+720, 720)
	}
	return out, true
}

// pistons returns when each cylinder is at a top dead centre after No. 1: when it
// fires, or, of a two-stroke, what its throws and banks say.
func pistons(e *schema.Engine) (crank.Firing, error) {
	when, err := firing(e)
	if err == nil || !isTwoStroke(e) {
		return when, err
	}
	pins, banks := pinsAndBanks(e)
	numbers := make([]int, len(pins))
	for i := range numbers {
		numbers[i] = i + 1
	}
	tops, known := topsOf(pins, banks, numbers)
	if !known {
		return nil, errNoOrder
	}
	for _, top := range tops {
		when = append(when, withinTurn(top.Mid()))
	}
	return when, nil
}

// atIntervals returns when each cylinder fires by the intervals printed; false
// unless there is one for each and they make a cycle.
func atIntervals(e *schema.Engine, numbers []int) (crank.Firing, bool) {
	list := anglesOf(e.Layout.FiringIntervals)
	if len(list) != len(numbers) || !isPermutation(numbers) || numbers[0] != 1 || !sum(list).Contains(720) {
		return nil, false
	}
	when, at := make(crank.Firing, len(numbers)), 0.0
	for i, k := range numbers {
		when[k-1] = at
		at += list[i].Mid()
	}
	return when, true
}

func sum(list []interval.Interval) interval.Interval {
	total := interval.Point(0)
	for _, is := range list {
		total = total.Add(is)
	}
	return total
}

// topsOf returns when each cylinder is at top dead centre after No. 1, but for
// whole turns; false unless there is a pin, and a bank where there are any, for
// each cylinder of the firing order.
func topsOf(pins, banks []interval.Interval, numbers []int) ([]interval.Interval, bool) {
	if pins == nil || len(pins) != len(numbers) || banks != nil && len(banks) != len(numbers) || !isPermutation(numbers) {
		return nil, false
	}
	tops := make([]interval.Interval, len(pins))
	for i := 1; i < len(pins); i++ {
		tops[i] = pins[i].Sub(pins[0])
		if banks != nil {
			tops[i] = tops[i].Add(banks[i]).Sub(banks[0])
		}
	}
	return tops, true
}

// meetsTurns reports whether an interval of angles holds an angle, but for whole
// turns.
func meetsTurns(is interval.Interval, at float64) bool {
	return is.Contains(at + float64(360*math.Round((is.Mid()-at)/360)))
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
		n, counted := countOf(l.Cylinders)
		if label, twice := namedTwice(labels); twice {
			p.ReportFigure(l.FiringOrder, "the firing order %s names cylinder %s twice", l.FiringOrder.Text(), label).Suspecting(misordered(l, anyOrder))
			return
		}
		if !counted {
			return
		}
		if len(labels) != n {
			p.ReportFigure(l.FiringOrder, "the firing order %s names %d cylinders, and the engine has %d", l.FiringOrder.Text(), len(labels), n).
				Involving(l.Cylinders).Suspecting(misordered(l, anyOrder), relation.Outside(l.Cylinders, figure.NoDatum, interval.Point(float64(len(labels))))).
				See(l.Cylinders.At, "cylinders: %s", l.Cylinders.Text())
			return
		}
		if numbers, ok := firingOrder(p.Engine); ok {
			for _, k := range numbers {
				if k < 1 || k > n {
					p.ReportFigure(l.FiringOrder, "the firing order %s names cylinder %d, and the engine has %d", l.FiringOrder.Text(), k, n).Suspecting(misordered(l, anyOrder))
					return
				}
			}
		}
	},
}

// namedTwice returns the first label that an order has twice.
func namedTwice(labels []string) (label string, twice bool) {
	for i, label := range labels {
		if slices.Contains(labels[:i], label) {
			return label, true
		}
	}
	return "", false
}

func anyOrder([]int) bool { return true }

// misordered suspects a firing order: it must name each cylinder once, and fit.
// Of the orders that may be meant, one that starts with No. 1 and suits a usual
// crankshaft is taken first.
func misordered(l *schema.Layout, fits func(numbers []int) bool) relation.Suspect {
	n, counted := countOf(l.Cylinders)
	suspect := func(fits func(numbers []int) bool) relation.Suspect {
		return relation.Unfit(l.FiringOrder, l.FiringOrder.First(), func(p figure.Printed) bool {
			numbers, ok := numbered(p.Order)
			return ok && isPermutation(numbers) && (!counted || len(numbers) == n) && fits(numbers)
		})
	}
	all := suspect(fits)
	if usual := suspect(func(numbers []int) bool { return fits(numbers) && isUsual(numbers) }); usual.Slip != "" {
		all.Slip, all.Likely, all.Ordinary = usual.Slip, usual.Likely, usual.Ordinary
	}
	return all
}

// isUsual reports whether an order is what engines in line commonly have.
func isUsual(numbers []int) bool {
	usual, known := usualThrows[len(numbers)]
	return numbers[0] == 1 && (!known || slices.ContainsFunc(usual, func(pins []float64) bool { return possible(pins, nil, numbers) }))
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
	Formula:   "top dead centre of a cylinder = throw + bank, every 360°; it fires at every second one, that of a two-stroke at each",
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
		if !ok || numbers[0] != 1 || !isPermutation(numbers) {
			return
		}
		l := p.Engine.Layout
		pins, banks := pinsAndBanks(p.Engine)
		tops, known := topsOf(pins, banks, numbers)
		switch {
		case pins == nil && l.Throws.First() == nil && l.Arrangement.Text == "in-line" && !isTwoStroke(p.Engine):
			_, known := usualThrows[len(numbers)]
			if known && l.FiringIntervals.First() == nil && !isUsual(numbers) {
				p.ReportFigure(l.FiringOrder, "the firing order %s is not possible with the usual crankshaft of a %d in line; give the throws if this one differs",
					l.FiringOrder.Text(), len(numbers)).Suspecting(misordered(l, isUsual))
			}
		case pins == nil:
		case l.Throws.First() != nil && len(pins) != len(numbers):
			p.ReportFigure(l.Throws, "there are %d throws for the %d cylinders of the firing order; give one for each", len(pins), len(numbers))
		case banks != nil && len(banks) != len(numbers):
			p.ReportFigure(l.Banks, "there are %d bank angles for the %d cylinders of the firing order; give one for each", len(banks), len(numbers))
		case known && isTwoStroke(p.Engine) && !inTurn(tops, numbers), !isTwoStroke(p.Engine) && !possible(middles(pins), middles(banks), numbers):
			what, angles := "throws", l.Throws
			if angles.First() == nil {
				what, angles = "bank angles", l.Banks
			}
			f := p.ReportFigure(l.FiringOrder, "the firing order %s is not possible with the %s %s; one of the two, or the numbering of the cylinders, is wrong",
				l.FiringOrder.Text(), what, angles.Text())
			f.Involving(l.Throws, l.Banks).See(angles.At, "%s: %s", what, angles.Text())
			for i, k := range numbers {
				f.Work("No. %d is at top dead centre %g° after No. 1, every 360°, and fires %s", k, withinTurn(tops[k-1].Mid()), ordinal(i))
			}
		}
	},
}

// inTurn reports whether cylinders that fire at every top dead centre do so in
// an order.
func inTurn(tops []interval.Interval, numbers []int) bool {
	last := 0.0
	for _, k := range numbers[1:] {
		at := withinTurn(tops[k-1].Mid())
		if at+tops[k-1].Width() < last {
			return false
		}
		last = at
	}
	return true
}

// withinTurn is an angle from 0 to below 360, whole turns left out.
func withinTurn(degrees float64) float64 {
	return degrees - float64(360*math.Floor(degrees/360))
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
	Checks:    "The firing intervals printed are those that throws, banks and firing order give, but for whole turns, and together make one cycle: 720°, or 360° for a two-stroke. One interval alone stands for all.",
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
		if l == nil {
			return
		}
		n, counted := countOf(l.Cylinders)
		forAll := func(list []interval.Interval) []interval.Interval {
			if len(list) == 1 && counted && n > 1 {
				return slices.Repeat(list, min(n, mostCylinders)) // one interval stands for all
			}
			return list
		}
		printed := forAll(anglesOf(l.FiringIntervals))
		cycle := 720.0
		if isTwoStroke(p.Engine) {
			cycle = 360
		}
		if total := sum(printed); printed != nil && !total.Contains(cycle) {
			p.ReportFigure(l.FiringIntervals, "the firing intervals %s add up to %g°, not to the %g° of a cycle", l.FiringIntervals.Text(), total.Mid(), cycle).
				Suspecting(relation.Unfit(l.FiringIntervals, l.FiringIntervals.First(), func(p figure.Printed) bool {
					return sum(forAll(finite(p.List))).Contains(cycle)
				}))
			return
		}
		numbers, ok := firingOrder(p.Engine)
		pins, banks := pinsAndBanks(p.Engine)
		tops, known := topsOf(pins, banks, numbers)
		if !ok || !known || len(printed) != len(numbers) {
			return
		}
		fits := true
		computed := make([]string, len(numbers))
		for i, k := range numbers {
			apart := tops[numbers[(i+1)%len(numbers)]-1].Sub(tops[k-1])
			fits = fits && meetsTurns(apart.Grow(printed[i].Width()/2+0.1), printed[i].Mid())
			computed[i] = fmt.Sprintf("%g", withinTurn(apart.Mid()))
		}
		if !fits {
			p.ReportFigure(l.FiringIntervals, "the firing intervals are printed %s, and throws, banks and order give %s, each but for whole turns",
				l.FiringIntervals.Text(), strings.Join(computed, ", ")).Involving(l.Throws, l.Banks, l.FiringOrder)
		}
	},
}

// mostCylinders is more than any engine has.
const mostCylinders = 64

var companions = &lint.Rule{
	Name:  "order/companions",
	Level: lint.Error,
	Title: "Companion cylinders move together",
	Checks: "Cylinders that share a mark move together. A cylinder on the rock while another's valves are set is that one's companion, which fires one crank revolution from it, " +
		"unless the valves are on their base circles all the same.",
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
		when, err := pistons(p.Engine)
		if err != nil {
			return
		}
		pairs, err := when.Companions()
		if err != nil {
			return
		}
		if isTwoStroke(p.Engine) {
			pairs = mates(when)
		}
		for _, part := range p.Engine.Marks {
			for _, s := range part.Value.Stamps {
				k := stampCylinder(s.Value)
				named, ok := s.Value.Companion.Count()
				if ok && 1 <= k && k <= len(when) && (named < 1 || named > len(when) || named == k || !together(when[k-1], when[named-1])) {
					reportCompanion(p, s.Value.Companion, fmt.Sprintf("the stamp %s names No. %d as the companion of No. %d", s.Name, named, k), pairs[k-1])
				}
			}
		}
		eachAdjustment(p.Engine, func(a schema.Named[*schema.Adjustment]) {
			k, ok := oneCylinder(p.Engine, a.Value)
			rock, given := a.Value.OnTheRock.Count()
			if !ok || !given || k < 1 || k > len(when) || pairs[k-1] == 0 || pairs[k-1] == rock || safeOnTheRock(p.Relations, a.Value, when, rock) {
				return
			}
			reportCompanion(p, a.Value.OnTheRock, fmt.Sprintf("the adjustment %s sets the valves of No. %d with No. %d on the rock", a.Name, k, rock), pairs[k-1])
		})
	},
}

// mates returns for each cylinder of a two-stroke another whose piston moves with
// it; 0 for one that has none.
func mates(when crank.Firing) []int {
	mates := make([]int, len(when))
	for i := range when {
		for j := range when {
			if i != j && mates[i] == 0 && together(when[i], when[j]) {
				mates[i] = j + 1
			}
		}
	}
	return mates
}

func reportCompanion(p *lint.Pass, f *schema.Figure, says string, companion int) {
	l := p.Engine.Layout
	by := "firing order " + l.FiringOrder.Text()
	if isTwoStroke(p.Engine) {
		by = "throws " + l.Throws.Text()
	}
	is := fmt.Sprintf("by the %s its companion is No. %d", by, companion)
	if companion == 0 {
		is = fmt.Sprintf("by the %s it has none", by)
	}
	p.ReportFigure(f, "%s, and %s", says, is).Involving(l.FiringOrder, l.Throws)
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
		if n, ok := countOf(l.Cylinders); ok && n > 1 && l.FiringOrder.First() != nil {
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
	for _, part := range valveWords(words) {
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
			return nil, fmt.Errorf("valve %d is named by its number, and there is no valve order that names two valves for each cylinder", n)
		case n < 1 || n > len(along):
			return nil, fmt.Errorf("there is no valve %d: the valve order names %d", n, len(along))
		default:
			valves = append(valves, crank.Valve{Cylinder: cylinderAlong(n), Kind: along[n-1]})
		}
	}
	return valves, nil
}

// valveWords splits the valves of an adjustment.
func valveWords(words string) []string {
	parts := strings.Split(strings.ReplaceAll(strings.ToLower(words), " and ", ","), ",")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

// numbersAlong returns the valves of an adjustment that are named by their
// number along the engine.
func numbersAlong(words string) []int {
	var numbers []int
	for _, part := range valveWords(words) {
		if n, err := strconv.Atoi(strings.TrimPrefix(part, "valve ")); err == nil {
			numbers = append(numbers, n)
		}
	}
	return numbers
}

// cylinderAlong is the cylinder of a valve numbered along the engine.
func cylinderAlong(valve int) int { return (valve + 1) / 2 }

// valvesAlong reads the valve order, two valves a cylinder; nil when there is
// none, or more or fewer.
func valvesAlong(e *schema.Engine) []crank.Kind {
	type key struct{}
	return e.Once(key{}, func() any { return readValveOrder(e) }).([]crank.Kind)
}

func readValveOrder(e *schema.Engine) []crank.Kind {
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
	if n, ok := countOf(e.Layout.Cylinders); !ok || len(along) != 2*n {
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
