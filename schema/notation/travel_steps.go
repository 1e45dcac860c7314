package notation

import (
	"fmt"
	"math"

	"fourmarks.example/convert/crank"
)

// The steps of piston travel are those of the triangle of crank throw, rod and
// the line from crank centre to gudgeon pin, in forms that lose no figures near
// the dead centres: with θ from the dead centre,
//
//	travel from TDC = 2r·sin²(θ/2) + s²/(L + √(L² − s²)), s = r·sin θ
//	travel from BDC = 2r·sin²(θ/2) − s²/(L + √(L² − s²))
//	sin(θ/2) = √(x(2L ∓ x) / (4r(L ± r ∓ x))), upper signs from TDC
//
// which are the textbook's r(1 − cos θ) ± (L − √(L² − r²sin²θ)) and the law of
// cosines for half the angle. With an offset they are taken from the heights
// themselves.

func sinDegrees(x float64) float64 { return math.Sin(x * math.Pi / 180) }
func cosDegrees(x float64) float64 { return math.Cos(x * math.Pi / 180) }
func inDegrees(x float64) float64  { return x * 180 / math.Pi }

// length writes a number with the unit of the working.
func (l linkage) length(x float64) string { return number(x) + " " + l.unit.Symbol() }

// throw is half the stroke, or with an offset a little less.
func (l linkage) throw(rod float64) (float64, Step) {
	stroke, offset := l.stroke.in(l.unit), l.offset.in(l.unit)
	if !l.isOffset() {
		return stroke / 2, Step{"throw", "stroke ÷ 2", number(stroke) + " ÷ 2", l.length(stroke / 2)}
	}
	throw := stroke / 2 * math.Sqrt(1-4*offset*offset/(4*rod*rod-stroke*stroke))
	return throw, Step{"throw", "stroke ÷ 2 × √(1 − 4 × offset² ÷ (4 × rod² − stroke²))",
		fmt.Sprintf("%s ÷ 2 × √(1 − 4 × %s² ÷ (4 × %s² − %s²))", number(stroke), number(offset), number(rod), number(stroke)), l.length(throw)}
}

// eachRod makes steps for the rod, or for the shortest and the longest.
func (l linkage) eachRod(steps func(rod float64) []Step) []Step {
	if len(l.rods) == 1 {
		return steps(l.rods[0].in(l.unit))
	}
	var all []Step
	stroke := l.stroke.in(l.unit)
	for i, which := range []string{"shortest", "longest"} {
		rod := l.rods[i].in(l.unit)
		all = append(all, Step{"with the " + which + " rod there may be", fmt.Sprintf("%s × %s", number(rod/stroke), number(stroke)), l.length(rod)})
		all = append(all, steps(rod)...)
	}
	return all
}

// travelSteps works out piston travel at degrees from the dead centre of d.
func (l linkage) travelSteps(degrees float64, d crank.Datum) []Step {
	if l.isOffset() {
		return l.eachRod(func(rod float64) []Step { return l.offsetTravelSteps(degrees, d, rod) })
	}
	throw, first := l.throw(0)
	half := sinDegrees(degrees / 2)
	way, swing := 2*throw*half*half, throw*sinDegrees(degrees)
	steps := []Step{first,
		{"way of the crank pin along the cylinder", "2 × throw × sin²(degrees ÷ 2)", fmt.Sprintf("2 × %s × sin²(%s° ÷ 2)", number(throw), number(degrees)), l.length(way)},
		{"swing of the crank pin to the side", "throw × sin(degrees)", fmt.Sprintf("%s × sin(%s°)", number(throw), number(degrees)), l.length(swing)}}
	sum, operator := 1.0, "+"
	if !d.Top() {
		sum, operator = -1, "−"
	}
	return append(steps, l.eachRod(func(rod float64) []Step {
		lean := swing * swing / (rod + math.Sqrt(rod*rod-swing*swing))
		return []Step{
			{"height lost by the rod's lean", "swing² ÷ (rod + √(rod² − swing²))", fmt.Sprintf("%s² ÷ (%s + √(%s² − %s²))", number(swing), number(rod), number(rod), number(swing)), l.length(lean)},
			{"piston travel", "way " + operator + " lean", fmt.Sprintf("%s %s %s", number(way), operator, number(lean)), l.length(way + sum*lean)}}
	})...)
}

// angleSteps works out the degrees from the dead centre of d at a piston travel.
func (l linkage) angleSteps(travel float64, d crank.Datum) []Step {
	if l.isOffset() {
		return l.eachRod(func(rod float64) []Step { return l.offsetAngleSteps(travel, d, rod) })
	}
	throw, first := l.throw(0)
	minus, plus, s := "−", "+", 1.0
	if !d.Top() {
		minus, plus, s = "+", "−", -1
	}
	return append([]Step{first}, l.eachRod(func(rod float64) []Step {
		half := math.Sqrt(travel * (2*rod - s*travel) / (4 * throw * (rod + s*(throw-travel))))
		half = math.Min(half, 1)
		return []Step{
			{"sin(degrees ÷ 2)", fmt.Sprintf("√(travel × (2 × rod %s travel) ÷ (4 × throw × (rod %s throw %s travel)))", minus, plus, minus),
				fmt.Sprintf("√(%s × (2 × %s %s %s) ÷ (4 × %s × (%s %s %s %s %s)))", number(travel), number(rod), minus, number(travel), number(throw), number(rod), plus, number(throw), minus, number(travel)), number(half)},
			{"degrees", "2 × arcsin(" + number(half) + ")", number(2 * inDegrees(math.Asin(half)))}}
	})...)
}

// lateness is by how much a dead centre of the piston comes after the crank's.
func (l linkage) lateness(d crank.Datum, rod float64) (float64, Step) {
	throw, _ := l.throw(rod)
	offset := l.offset.in(l.unit)
	reach, operator := rod+throw, "+"
	if !d.Top() {
		reach, operator = rod-throw, "−"
	}
	late := inDegrees(math.Asin(offset / reach))
	return late, Step{"lateness of the piston's " + deadCentreOf(d), "arcsin(offset ÷ (rod " + operator + " throw))",
		fmt.Sprintf("arcsin(%s ÷ (%s %s %s))", number(offset), number(rod), operator, number(throw)), number(late)}
}

// lateSteps works out the lateness of the dead centres of datums.
func (l linkage) lateSteps(of ...crank.Datum) []Step {
	return l.eachRod(func(rod float64) []Step {
		_, first := l.throw(rod)
		steps := []Step{first}
		for _, d := range of {
			_, step := l.lateness(d, rod)
			steps = append(steps, step)
		}
		return steps
	})
}

// heightAt is the height of the gudgeon pin above the crank centre at a dead centre.
func (l linkage) heightAt(d crank.Datum, rod, throw float64) (float64, Step) {
	offset := l.offset.in(l.unit)
	reach, operator := rod+throw, "+"
	if !d.Top() {
		reach, operator = rod-throw, "−"
	}
	height := math.Sqrt(reach*reach - offset*offset)
	return height, Step{"height of the gudgeon pin at " + deadCentreOf(d), "√((rod " + operator + " throw)² − offset²)",
		fmt.Sprintf("√((%s %s %s)² − %s²)", number(rod), operator, number(throw), number(offset)), l.length(height)}
}

// fromCrankTDC turns degrees from the dead centre that figures are counted from
// into degrees after the crank's TDC, with the steps.
func (l linkage) fromCrankTDC(degrees float64, d crank.Datum, rod float64) (float64, []Step) {
	base := 0.0
	if !d.Top() {
		base = 180
	}
	operator, s := "+", 1.0
	if !isAfter(d) {
		operator, s = "−", -1
	}
	if l.ofCrank {
		return base + s*degrees, []Step{say("Degrees are counted from the dead centres of the crank."),
			{"crank after its TDC", fmt.Sprintf("%s %s %s", number(base), operator, number(degrees)), number(base + s*degrees)}}
	}
	late, step := l.lateness(d, rod)
	return base + late + s*degrees, []Step{say("Degrees are counted from the dead centres of the piston, which come after those of the crank."), step,
		{"crank after its TDC", fmt.Sprintf("%s + %s %s %s", number(base), number(late), operator, number(degrees)), number(base + late + s*degrees)}}
}

func (l linkage) offsetTravelSteps(degrees float64, d crank.Datum, rod float64) []Step {
	offset := l.offset.in(l.unit)
	throw, first := l.throw(rod)
	turn, steps := l.fromCrankTDC(degrees, d, rod)
	dead, deadStep := l.heightAt(d, rod, throw)
	swing := throw*sinDegrees(turn) - offset
	height := throw*cosDegrees(turn) + math.Sqrt(rod*rod-swing*swing)
	travel := Step{"piston travel", "height at TDC − height", fmt.Sprintf("%s − %s", number(dead), number(height)), l.length(dead - height)}
	if !d.Top() {
		travel = Step{"piston travel", "height − height at BDC", fmt.Sprintf("%s − %s", number(height), number(dead)), l.length(height - dead)}
	}
	return append(append([]Step{first}, steps...), deadStep,
		Step{"swing of the crank pin from the cylinder axis", "throw × sin(turn) − offset", fmt.Sprintf("%s × sin(%s°) − %s", number(throw), number(turn), number(offset)), l.length(swing)},
		Step{"height of the gudgeon pin", "throw × cos(turn) + √(rod² − swing²)", fmt.Sprintf("%s × cos(%s°) + √(%s² − %s²)", number(throw), number(turn), number(rod), bracketed(swing)), l.length(height)},
		travel)
}

func (l linkage) offsetAngleSteps(travel float64, d crank.Datum, rod float64) []Step {
	offset := l.offset.in(l.unit)
	throw, first := l.throw(rod)
	dead, deadStep := l.heightAt(d, rod, throw)
	late, lateStep := l.lateness(d, rod)
	centre := deadCentreOf(d)
	// From TDC the height falls and the line shortens, from BDC they grow.
	height, reach, other := dead-travel, rod+throw, rod-throw
	down, sum, difference := "−", "+", "−"
	if !d.Top() {
		height, reach, other = dead+travel, rod-throw, rod+throw
		down, sum, difference = "+", "−", "+"
	}
	line := math.Hypot(height, offset)
	change := travel * (dead + height) / (reach + line)
	sine := math.Sqrt(change * (line + other) / (4 * throw * line))
	angle := 2 * inDegrees(math.Asin(math.Min(sine, 1)))
	tilt := inDegrees(math.Atan2(offset, height))
	way, back, s := "−", "+", -1.0
	if isAfter(d) {
		way, back, s = "+", "−", 1
	}
	degrees := angle + s*tilt
	steps := []Step{first, deadStep,
		{"height of the gudgeon pin", "height at " + centre + " " + down + " travel", fmt.Sprintf("%s %s %s", number(dead), down, number(travel)), l.length(height)},
		{"line from crank centre to gudgeon pin", "√(height² + offset²)", fmt.Sprintf("√(%s² + %s²)", number(height), number(offset)), l.length(line)},
		{"how much that line has changed", fmt.Sprintf("travel × (height at %s + height) ÷ (rod %s throw + line)", centre, sum),
			fmt.Sprintf("%s × (%s + %s) ÷ (%s %s %s + %s)", number(travel), number(dead), number(height), number(rod), sum, number(throw), number(line)), l.length(change)},
		{"angle of the crank to it", fmt.Sprintf("2 × arcsin(√(change × (rod + line %s throw) ÷ (4 × throw × line)))", difference),
			fmt.Sprintf("2 × arcsin(√(%s × (%s + %s %s %s) ÷ (4 × %s × %s)))", number(change), number(rod), number(line), difference, number(throw), number(throw), number(line)), number(angle)},
		{"tilt of it", "arctan(offset ÷ height)", fmt.Sprintf("arctan(%s ÷ %s)", number(offset), number(height)), number(tilt)},
		{"degrees from the crank's " + centre, "angle " + way + " tilt", fmt.Sprintf("%s %s %s", number(angle), way, number(tilt)), number(degrees)}}
	if l.ofCrank {
		return append(steps, say("Degrees are counted from the dead centres of the crank."))
	}
	return append(steps, say("Degrees are counted from the dead centres of the piston, which come after those of the crank."), lateStep,
		Step{"degrees from the piston's " + centre, fmt.Sprintf("%s %s %s", number(degrees), back, number(late)), number(degrees - s*late)})
}

// bracketed writes a number that may be negative so that it can be squared.
func bracketed(x float64) string {
	if x < 0 {
		return "(" + number(x) + ")"
	}
	return number(x)
}
