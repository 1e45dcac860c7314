package gear

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"
)

// Adjustment is one thing that an engine lets one set, in whole steps, between
// crankshaft and the last shaft of a train. Make it with the methods of Train.
// It reaches half a turn of the part either way, but no farther than the 720
// crank degrees of one cycle.
type Adjustment struct {
	counts   counted
	fitting  string    // its name, when fittings are counted
	size     [2]int    // rings of a coupling; keyways of a wheel in the first
	places   []Place   // where the same moves can be made
	unit     *big.Rat  // crank degrees; every setting is a whole number of units
	settings []setting // by angle, the present setting left out
}

// counted is what the moves of an adjustment are counted in.
type counted int8

const (
	byTeeth counted = iota + 1
	byHoles
	byKeyways
	byFittings
)

// setting is one position that an adjustment can be moved to.
type setting struct {
	deg   float64 // crank degrees forward, nearly
	units int     // the same exactly, in the adjustment's unit
	moved int     // teeth, holes, keyways or fittings
	holes [2]int
}

// Place is where a move can be made: Part is turned against Against.
type Place struct {
	Part    string
	Against string
	// Turning is the way the part runs, which is what forward means.
	Turning Turning
}

// StepDeg returns the crank degrees of which every setting is a multiple.
func (a Adjustment) StepDeg() *big.Rat {
	if a.unit == nil {
		return new(big.Rat)
	}
	return new(big.Rat).Set(a.unit)
}

// add puts a setting within reach with the others. The float may be off in its
// last place: whatever is close is decided by units.
func (a *Adjustment) add(units, moved int, holes [2]int) {
	deg := float64(units) * toFloat(a.unit)
	if math.Abs(deg) <= reach+guard {
		a.settings = append(a.settings, setting{deg, units, moved, holes})
	}
}

// reach is one cycle of a four-stroke engine, in crank degrees.
const reach = 720

// exact returns the crank degrees of a setting.
func (a Adjustment) exact(s setting) *big.Rat {
	units := new(big.Rat).SetInt64(int64(s.units))
	return units.Mul(units, a.unit)
}

func (a *Adjustment) sort() {
	slices.SortFunc(a.settings, func(x, y setting) int { return cmp.Compare(x.units, y.units) })
}

// Teeth returns the adjustment made by lifting a driven wheel out of mesh, or
// out of its chain or belt, and turning it, with all it drives, by whole teeth.
func (t *Train) Teeth(driven string) (Adjustment, error) {
	shaft, place, err := t.find(driven)
	if err != nil {
		return Adjustment{}, err
	}
	if shaft == 0 || place != 0 {
		return Adjustment{}, fmt.Errorf("%s is not driven by another wheel: name the driven wheel of a mesh", driven)
	}
	w := t.shafts[shaft][0]
	driver, _ := t.drivers(shaft - 1)
	against := "out of mesh with " + driver.Name
	switch t.meshes[shaft-1].Kind {
	case Chain:
		against = "in the chain from " + driver.Name
	case Belt:
		against = "in the belt from " + driver.Name
	}
	a := Adjustment{counts: byTeeth, unit: t.step(shaft, w.Teeth), places: []Place{{driven, against, t.turning[shaft]}}}
	for n := 1; n <= w.Teeth/2; n++ {
		a.add(n, n, [2]int{})
		a.add(-n, n, [2]int{})
	}
	a.sort()
	return a, nil
}

// Coupling returns the adjustment by a vernier coupling in the shaft of a
// wheel, beyond that wheel.
func (t *Train) Coupling(wheel string, c Coupling) (Adjustment, error) {
	shaft, _, err := t.find(wheel)
	if err != nil {
		return Adjustment{}, err
	}
	if err := c.check(); err != nil {
		return Adjustment{}, err
	}
	all := lcm(c[0], c[1])
	a := Adjustment{counts: byHoles, size: c, unit: t.step(shaft, all), places: []Place{{wheel, "in its coupling", t.turning[shaft]}}}
	for steps := -all / 2; steps <= all/2; steps++ {
		if steps == 0 {
			continue
		}
		h := c.holes(steps)
		a.add(steps, abs(h[0])+abs(h[1]), h)
	}
	return a, nil
}

// Keyways returns the adjustment by putting a wheel, which has the given number
// of equally spaced keyways, on another of them. An idler sets nothing by its
// key, which is an error.
func (t *Train) Keyways(wheel string, number int) (Adjustment, error) {
	shaft, p, err := t.fixing(wheel)
	if err != nil {
		return Adjustment{}, err
	}
	if err := count("keyways of "+wheel, number, maxKeyways); err != nil {
		return Adjustment{}, err
	}
	a := Adjustment{counts: byKeyways, size: [2]int{number}, unit: t.step(shaft, number), places: []Place{p}}
	for n := 1; n <= number/2; n++ {
		a.add(n, n, [2]int{})
		a.add(-n, n, [2]int{})
	}
	a.sort()
	return a, nil
}

// Fittings returns the adjustment by exchanging or turning over what fixes a
// wheel to its shaft, where each choice turns the driven part by a known angle
// in degrees of that shaft, forward positive: offset keys, or a reversible
// chainwheel. The name stands in the words of the move.
func (t *Train) Fittings(wheel, name string, degrees ...*big.Rat) (Adjustment, error) {
	shaft, p, err := t.fixing(wheel)
	if err != nil {
		return Adjustment{}, err
	}
	if name == "" {
		return Adjustment{}, fmt.Errorf("the fitting of %s has no name", wheel)
	}
	if len(degrees) == 0 || len(degrees) > maxFittings {
		return Adjustment{}, fmt.Errorf("%s of %s: %d choices, not 1 to %d", name, wheel, len(degrees), maxFittings)
	}
	common := int64(1)
	for _, d := range degrees {
		if d == nil || !d.Denom().IsInt64() || d.Denom().Int64() > finestFitting || between("offset", toFloat(d), -180, 180) != nil {
			return Adjustment{}, fmt.Errorf("%s of %s: %v degrees is outside -180 to 180, or finer than 1/%d degree", name, wheel, d, finestFitting)
		}
		den := d.Denom().Int64()
		common = common / int64(gcd(int(common), int(den))) * den
		if common > finestFitting {
			return Adjustment{}, fmt.Errorf("%s of %s: the angles have no common step of 1/%d degree or more", name, wheel, finestFitting)
		}
	}
	unit := big.NewRat(1, common)
	a := Adjustment{counts: byFittings, fitting: name, unit: unit.Quo(unit, t.turns[shaft]), places: []Place{p}}
	for _, d := range degrees {
		units := int(d.Num().Int64() * (common / d.Denom().Int64()))
		if units != 0 && !slices.ContainsFunc(a.settings, func(s setting) bool { return s.units == units }) {
			a.add(units, 1, [2]int{})
		}
	}
	a.sort()
	return a, nil
}

const (
	maxFittings   = 100
	finestFitting = 1_000_000 // per degree
)

// fixing returns the place where a wheel is fixed to its shaft: a driven wheel
// drives the shaft in it, a driving wheel is driven by the shaft under it.
func (t *Train) fixing(wheel string) (shaft int, p Place, err error) {
	shaft, place, err := t.find(wheel)
	if err != nil {
		return 0, p, err
	}
	last := len(t.shafts[shaft]) - 1
	driven := shaft > 0 && place == 0
	driver := shaft < len(t.meshes) && place == last
	switch {
	case driven && driver:
		return 0, p, fmt.Errorf("%s is an idler: how it is fixed to its shaft sets nothing", wheel)
	case driven:
		return shaft, Place{"shaft", "in wheel " + wheel, t.turning[shaft]}, nil
	case driver:
		return shaft, Place{"wheel " + wheel, "on its shaft", t.turning[shaft]}, nil
	}
	return 0, p, fmt.Errorf("%s meshes with nothing", wheel)
}
