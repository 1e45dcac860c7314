package assess

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"fourmarks.example/schema/figure"
)

// Cause is one thing that can be wrong, or nothing.
type Cause string

// The causes. Those of one line of comment cannot be parted by event readings.
const (
	// Nothing is out; or the camshaft is a whole turn of the crank out.
	AsItShould    Cause = "as it should be"
	RevolutionOut Cause = "a turn of the crank out"

	// Every event is out alike.
	Tooth           Cause = "a timing wheel out by whole teeth"
	Camshaft        Cause = "camshaft moved on its drive"
	DeadCentreMark  Cause = "dead-centre mark or pointer out"
	Flywheel        Cause = "flywheel refitted in another position"
	OtherDeadCentre Cause = "counted from another cylinder's dead centre"

	// One valve opens late and closes early, or the other way about.
	WrongClearance Cause = "clearance not what was said"
	WornLobe       Cause = "worn lobe"

	Interchanged Cause = "inlet and exhaust interchanged"
	Backwards    Cause = "engine turned backwards"
	DiscReversed Cause = "before and after interchanged"
	OtherVariant Cause = "figures of another variant"
)

// hypothesis is a cause, at one place, that can be held against the readings.
type hypothesis struct {
	cause Cause
	// where tells causes of one name apart: a wheel, a valve, a variant, a
	// cylinder; teeth is by how many a wheel is late.
	where string
	mesh  mesh
	teeth int
	drive *camDrive
	// class is the explanation it belongs to: what it does to the events.
	class string
	// weight is what the cause counts for before anything is read.
	weight float64
	// spread is the covariance allowed beforehand for what has to be found; nil
	// where nothing has.
	spread *mat.SymDense
	// sizes are those of them that say how large the fault is.
	sizes []int
	// late is by how many crank degrees an event comes late.
	late func(found []float64, t target) float64
	// least bounds what has to be found from below; nil where it is free.
	least []float64
	// valve and cylinder say which clearance it is about; cylinder 0 for all.
	valve    string
	cylinder int
	// top is by how much another cylinder's dead centre comes after that of the one
	// read.
	top float64
	// of is the setting whose figures a variant or another clearance has.
	of *setting
}

// Explanations, by what they do to the events.
const (
	classFine     = "as it should be"
	classAlike    = "all events alike"
	classAllGaps  = "all valves short or long"
	classReversed = "before and after interchanged"
)

// first says that the first thing to be found is the size of the fault.
var first = []int{0}

func free(sd ...float64) *mat.SymDense {
	s := mat.NewSymDense(len(sd), nil)
	for i, x := range sd {
		s.SetSym(i, i, float64(x*x))
	}
	return s
}

// How much a cause counts for before anything is read, and how far what has to
// be found may reach (one standard deviation): common practice, no source. The
// classes count alike; within one, its members share.
const (
	toothWeight     = 0.5 // for one tooth; a third of it for two, a tenth for three
	mostTeeth       = 3
	camshaftWeight  = 0.15
	markWeight      = 0.2
	flywheelWeight  = 0.05
	otherTopWeight  = 0.1
	variantWeight   = 0.5
	swapWeight      = 0.3
	movedSpread     = 15.0 // degrees
	flywheelSpread  = 90.0
	residualSpread  = 0.7  // degrees by which a drive is off besides its teeth
	gapSpread       = 0.4  // mm
	gapsTogether    = 0.99 // correlation of the clearances of inlet and exhaust
	shortSpread     = 10.0 // degrees, where the flank is not known
	shortsTogether  = 0.99
	unevenSpread    = 1.0 // degrees by which unlike flanks move the middle
	fewestBoltsStep = 30.0
)

func teethWeight(n int) float64 {
	switch n {
	case 1, -1:
		return toothWeight
	case 2, -2:
		return toothWeight / 3
	}
	return toothWeight / 10
}

// causes lists what is held against the readings.
func (a *assessor) causes() []hypothesis {
	all := []hypothesis{
		{cause: AsItShould, class: classFine, weight: 1, late: never},
		{cause: RevolutionOut, class: classFine, weight: 0.05, late: never},
	}
	all = append(all, a.wheels()...)
	all = append(all, a.camshafts()...)
	all = append(all, a.marks()...)
	all = append(all, a.clearances()...)
	all = append(all, a.swapped()...)
	return append(all, a.variants()...)
}

func never([]float64, target) float64 { return 0 }

func always(found []float64, _ target) float64 { return found[0] }

// wheels lists the teeth by which each driven wheel may be out. A wheel that two
// camshafts have in common moves the events of both.
func (a *assessor) wheels() []hypothesis {
	var all []hypothesis
	seen := map[string]bool{}
	for i := range a.drives {
		d := &a.drives[i]
		for _, m := range d.meshes {
			if m.wheel != "" && seen[m.wheel] {
				continue
			}
			seen[m.wheel] = true
			class, moves := a.movedBy(d, m)
			all = append(all, outByTeeth(d, m, class, moves)...)
		}
	}
	return all
}

// movedBy says which events a wheel moves, and what that does.
func (a *assessor) movedBy(d *camDrive, m mesh) (class string, late func([]float64, target) float64) {
	valves := slices.Clone(d.valves)
	for _, other := range a.drives {
		if other.has(m.wheel) {
			valves = append(valves, other.valves...)
		}
	}
	if slices.Contains(valves, inlet) && slices.Contains(valves, exhaust) {
		return classAlike, always
	}
	return d.class(), d.late()
}

// outByTeeth lists the teeth by which a wheel may be out.
func outByTeeth(d *camDrive, m mesh, class string, moves func([]float64, target) float64) []hypothesis {
	var all []hypothesis
	for n := -mostTeeth; n <= mostTeeth; n++ {
		if n == 0 {
			continue
		}
		by := float64(n) * m.step
		all = append(all, hypothesis{
			cause: Tooth, where: m.wheel, mesh: m, teeth: n, drive: d, class: class, weight: teethWeight(n) / float64(2*len(d.meshes)), spread: free(residualSpread),
			late: func(found []float64, t target) float64 { return moves([]float64{by + found[0]}, t) },
		})
	}
	return all
}

// camshafts lists what moves a camshaft otherwise than by teeth: all of them, or
// one of two.
func (a *assessor) camshafts() []hypothesis {
	all := []hypothesis{{cause: Camshaft, class: classAlike, weight: camshaftWeight, spread: free(movedSpread), sizes: first, late: always}}
	for i := range a.drives {
		if d := &a.drives[i]; d.alone() {
			all = append(all, hypothesis{cause: Camshaft, where: d.name, class: d.class(), drive: d, weight: camshaftWeight, spread: free(movedSpread), sizes: first, late: d.late()})
		}
	}
	return all
}

// marks lists what is wrong with the marks or the dead centre that was counted
// from. Where a positive stop was read, every reading is counted from true top
// dead centre, and what is wrong with the mark is known from the stop.
func (a *assessor) marks() []hypothesis {
	mark := hypothesis{cause: DeadCentreMark, class: classAlike, weight: markWeight, spread: free(movedSpread), sizes: first, late: always}
	flywheel := hypothesis{cause: Flywheel, class: classAlike, weight: flywheelWeight, spread: free(flywheelSpread), sizes: first, late: always}
	if a.bench.stop != nil {
		for _, h := range []*hypothesis{&mark, &flywheel} {
			h.spread, h.sizes, h.late = nil, nil, never
		}
	}
	return append([]hypothesis{mark, flywheel}, a.otherTops()...)
}

// otherTops lists the dead centres of the other cylinders, as far as they are
// not those of the one cylinder read: its events come later by as much as the
// dead centre that was taken for its own comes earlier.
func (a *assessor) otherTops() []hypothesis {
	cylinders := append(a.cylindersRead(inlet), a.cylindersRead(exhaust)...)
	own := slices.Min(cylinders)
	if own != slices.Max(cylinders) || own > len(a.firing) {
		return nil
	}
	var all []hypothesis
	var had []float64
	for k, at := range a.firing {
		by := nearest(a.firing[own-1] - at)
		if math.Abs(by) < 5 || containsNear(had, by) {
			continue
		}
		had = append(had, by)
		h := hypothesis{cause: OtherDeadCentre, where: cylinderName(k + 1), class: classAlike, weight: otherTopWeight, top: by, late: func([]float64, target) float64 { return by }}
		if a.bench.stop != nil {
			h.late = never
		}
		all = append(all, h)
	}
	return all
}

func containsNear(all []float64, x float64) bool {
	for _, y := range all {
		if math.Abs(nearest(x-y)) < 1 {
			return true
		}
	}
	return false
}

// swapped lists the mistakes of reading: the other valve, the other way round.
func (a *assessor) swapped() []hypothesis {
	from := func(other func(target) (float64, bool)) func([]float64, target) float64 {
		return func(_ []float64, t target) float64 {
			at, ok := other(t)
			is, _ := a.setting.figure(t)
			if !ok {
				return math.NaN()
			}
			return nearest(at - is.after)
		}
	}
	at := func(t target) (float64, bool) {
		x, ok := a.setting.figure(t)
		return x.after, ok
	}
	bottom := a.setting.bottom()
	mirrored := func(t target) (float64, bool) { // about the dead centre that the event is counted from
		x, ok := at(t)
		if customaryDatum(t.event) == figure.BBDC || customaryDatum(t.event) == figure.ABDC {
			return 2*bottom - x, ok
		}
		return -x, ok
	}
	return []hypothesis{
		{cause: Interchanged, class: string(Interchanged), weight: swapWeight, late: from(func(t target) (float64, bool) {
			return at(target{t.cylinder, opposite(t.event)})
		})},
		{cause: Backwards, class: string(Backwards), weight: swapWeight, late: from(func(t target) (float64, bool) {
			return mirrored(target{t.cylinder, partner(t.event)})
		})},
		{cause: DiscReversed, class: classReversed, weight: swapWeight, late: from(mirrored)},
	}
}

// variants lists the other variants whose figures differ where it was read.
func (a *assessor) variants() []hypothesis {
	var all []hypothesis
	for _, other := range a.others {
		all = append(all, hypothesis{cause: OtherVariant, where: other.engine.Variant, class: "figures of " + other.name(), of: other, weight: variantWeight, late: a.insteadOf(other)})
	}
	return all
}

// insteadOf is by how much later the figures of another setting are.
func (a *assessor) insteadOf(other *setting) func([]float64, target) float64 {
	return func(_ []float64, t target) float64 {
		x, ok := other.figure(t)
		is, _ := a.setting.figure(t)
		if !ok {
			return math.NaN()
		}
		return nearest(x.after - is.after)
	}
}
