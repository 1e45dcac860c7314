package cam

import (
	"fmt"
	"math"
)

// GapCaution belongs beside every computed gap that is shown to anyone.
const GapCaution = "A computed gap between valve and piston never replaces a measured one: " +
	"carbon, a skimmed head, a thinner gasket, worn bearings and a valve that floats at speed all take from it. " +
	"Measure it on the engine itself, and turn the engine by hand through two full turns before it runs."

// PistonGap is the room between one valve and the piston of its cylinder. All
// lengths are in one unit and along the valve's stem. Where the valve is
// inclined to the cylinder and meets a pocket parallel to its head, Travel has
// to return the piston's travel times the cosine of that inclination.
//
// What it computes is geometry alone; GapCaution says what that is worth.
type PistonGap struct {
	Valve     Profile // lift at the valve
	FullLift  float64 // crank degrees of full lift after the dead centre of overlap; negative before it
	Clearance float64 // clearance at the valve: it opens by the lift less this
	Static    float64 // gap with the valve on its seat and the piston at top dead centre

	// Travel returns the piston's travel from top dead centre at crank degrees
	// after it, from −360 to 360: crank.Linkage's, for one.
	Travel func(crank float64) (float64, error)
}

// Nearest is where valve and piston are nearest to one another.
type Nearest struct {
	Crank float64 // crank degrees after the dead centre of overlap; negative before it
	Gap   float64 // negative when the valve would strike
}

// At returns the gap at crank degrees after the dead centre of overlap, with
// the camshaft late by so many crank degrees (early when negative). A gap below
// zero means that valve and piston would strike.
func (g PistonGap) At(crank, late float64) (float64, error) {
	if err := g.check(late); err != nil {
		return 0, err
	}
	if !isFinite(crank) {
		return 0, refuse("crank angle", crank, "must be a finite number of degrees")
	}
	return g.at(crank, late)
}

// Least returns the smallest gap of the whole cycle and where it occurs, with
// the camshaft late by so many crank degrees (early when negative).
//
// The gap is looked at every tenth of a degree and every dip followed to its
// bottom, whose place is good to about 1e-6 degree. A dip that opens and closes
// again between two looks is shallower than a few millionths of the stroke and
// may be missed.
func (g PistonGap) Least(late float64) (Nearest, error) {
	if err := g.check(late); err != nil {
		return Nearest{}, err
	}
	const turn, looks = 720, 10
	look := func(i int) (float64, error) { return g.at(float64(i)/looks-turn/2, late) }
	before, errBefore := look(-1)
	here, errHere := look(0)
	if err := firstError(errBefore, errHere); err != nil {
		return Nearest{}, err
	}
	least := Nearest{Gap: math.Inf(1)}
	for i := range turn * looks {
		next, err := look(i + 1)
		if err != nil {
			return Nearest{}, err
		}
		if here <= before && here <= next {
			dip, err := g.bottom(float64(i)/looks-turn/2, 1.0/looks, late)
			if err != nil {
				return Nearest{}, err
			}
			if dip.Gap < least.Gap {
				least = dip
			}
		}
		before, here = here, next
	}
	return least, nil
}

func (g PistonGap) check(late float64) error {
	switch {
	case g.Travel == nil:
		return &DimensionError{"piston travel", "is missing: the gap needs the travel of the piston at each crank angle"}
	case !(math.Abs(g.FullLift) <= 360):
		return refuse("full lift", g.FullLift, "must lie between -360 and 360 crank degrees from the dead centre of overlap")
	case !(math.Abs(late) <= 360):
		return refuse("timing shift", late, "must lie between -360 and 360 crank degrees")
	case !(g.Static >= 0 && g.Static <= largest):
		return refuse("static gap", g.Static, "must lie between 0 and %g: with the valve on its seat the piston clears it", largest)
	case !(g.Clearance >= 0 && g.Clearance <= largest):
		return refuse("clearance", g.Clearance, "must lie between 0 and %g", largest)
	}
	return nil
}

func (g PistonGap) at(crank, late float64) (float64, error) {
	crank = math.Remainder(crank, 720)
	travel, err := g.Travel(crank)
	if err != nil {
		return 0, fmt.Errorf("piston travel at %g crank degrees: %w", crank, err)
	}
	if !(math.Abs(travel) <= largest) {
		return 0, refuse("piston travel", travel, "at %g crank degrees must be a number no larger than %g", crank, largest)
	}
	lift := g.Valve.motion((crank - g.FullLift - late) / 2).Lift
	return g.Static + travel - math.Max(0, lift-g.Clearance), nil
}

// bottom follows a dip within some degrees either side by golden section (J.
// Kiefer, Proceedings of the American Mathematical Society 4, 1953).
func (g PistonGap) bottom(crank, within, late float64) (Nearest, error) {
	const section = math.Phi - 1
	from, to := crank-within, crank+within
	a, b := to-float64(section*(to-from)), from+float64(section*(to-from))
	gapA, errA := g.at(a, late)
	gapB, errB := g.at(b, late)
	for to-from > 1e-7 && errA == nil && errB == nil {
		if gapA <= gapB {
			to, b, gapB = b, a, gapA
			a = to - float64(section*(to-from))
			gapA, errA = g.at(a, late)
		} else {
			from, a, gapA = a, b, gapB
			b = from + float64(section*(to-from))
			gapB, errB = g.at(b, late)
		}
	}
	if err := firstError(errA, errB); err != nil {
		return Nearest{}, err
	}
	bottom := math.Remainder(from+(to-from)/2, 720)
	gap, err := g.at(bottom, late)
	return Nearest{bottom, gap}, err
}
