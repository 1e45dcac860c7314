package gear

import (
	"fmt"
	"math"
)

// Form is what the teeth of wheels in mesh have in common, in the terms of ISO
// 21771 and ISO 1122-1 (from memory; the formulas of this file are also printed
// in Drivetrain Hub, notebooks-gears, geometry, chapter 3). Straight teeth have
// a helix angle of 0.
type Form struct {
	NormalModule float64 // mm
	HelixDeg     float64 // at the reference cylinder, 0 to 89
	PressureDeg  float64 // normal pressure angle, above 0, to 60
}

// flattest is the greatest pressure angle accepted.
const flattest = 60.0

// The basic rack of ISO 53 (profile A, from memory), in modules.
const (
	addendum = 1.0
	dedendum = 1.25
)

// maxShift bounds profile shift, in modules; real wheels stay within about 1.
const maxShift = 5.0

func (f Form) check() error {
	if err := between("normal module, mm", f.NormalModule, shortest, longest); err != nil {
		return err
	}
	if err := between("helix angle, degrees", f.HelixDeg, 0, steepest); err != nil {
		return err
	}
	return between("normal pressure angle, degrees", f.PressureDeg, 0.5, flattest)
}

// Pitches are the figures of a form that do not depend on a count of teeth.
// Lengths in mm. Straight teeth have an infinite axial pitch.
type Pitches struct {
	TransverseModule      float64
	TransversePressureDeg float64
	BaseHelixDeg          float64
	Normal, Transverse    float64 // pitch
	Axial                 float64
	NormalBase            float64
	TransverseBase        float64
}

// Pitches returns the pitches of the form.
func (f Form) Pitches() (Pitches, error) {
	if err := f.check(); err != nil {
		return Pitches{}, err
	}
	alpha, beta := rad(f.PressureDeg), rad(f.HelixDeg)
	transverse := math.Atan(math.Tan(alpha) / math.Cos(beta))
	module := f.NormalModule / math.Cos(beta)
	return Pitches{
		TransverseModule:      module,
		TransversePressureDeg: deg(transverse),
		BaseHelixDeg:          deg(math.Atan(math.Tan(beta) * math.Cos(transverse))),
		Normal:                math.Pi * f.NormalModule,
		Transverse:            math.Pi * module,
		Axial:                 math.Pi * f.NormalModule / math.Sin(beta),
		NormalBase:            math.Pi * f.NormalModule * math.Cos(alpha),
		TransverseBase:        math.Pi * module * math.Cos(transverse),
	}, nil
}

// Dimensions are those of one wheel, in mm. Straight teeth have an infinite
// lead.
type Dimensions struct {
	ReferenceDiameter float64 // the pitch diameter of the form
	BaseDiameter      float64
	TipDiameter       float64 // of a wheel toothed outside, not shortened
	RootDiameter      float64 // likewise
	Lead              float64 // travel of the helix in one turn
}

// Wheel returns the dimensions of a wheel of the form with the given teeth and
// profile shift (in modules). A count so small that nothing would be left
// inside the teeth is an error.
func (f Form) Wheel(teeth int, shift float64) (Dimensions, error) {
	p, err := f.Pitches()
	if err != nil {
		return Dimensions{}, err
	}
	if err := count("teeth", teeth, maxTeeth); err != nil {
		return Dimensions{}, err
	}
	if err := between("profile shift, modules", shift, -maxShift, maxShift); err != nil {
		return Dimensions{}, err
	}
	d := float64(p.TransverseModule * float64(teeth))
	out := Dimensions{
		ReferenceDiameter: d,
		BaseDiameter:      d * math.Cos(rad(p.TransversePressureDeg)),
		TipDiameter:       d + float64(2*f.NormalModule*(addendum+shift)),
		RootDiameter:      d - float64(2*f.NormalModule*(dedendum-shift)),
		Lead:              p.Axial * float64(teeth),
	}
	if out.RootDiameter <= 0 || out.TipDiameter <= out.RootDiameter {
		return Dimensions{}, fmt.Errorf("%d teeth with profile shift %g leave no wheel inside the teeth", teeth, shift)
	}
	return out, nil
}

// Pair is two wheels of one form in mesh without backlash. Lengths in mm.
type Pair struct {
	ReferenceCentreDistance float64
	CentreDistance          float64 // without backlash, with the given profile shifts
	WorkingPressureDeg      float64 // transverse, at CentreDistance
	// Shortening is what must be taken off each tip radius to keep the form's
	// tip clearance at CentreDistance; 0 for internal pairs, which keep it.
	Shortening float64

	kind   Kind
	teeth  [2]int
	shift  [2]float64
	module float64 // transverse
	alphaT float64 // radians
	alphaN float64
}

// Pair returns the mesh of two wheels with the given teeth and profile shifts
// (in modules), external or internal; of an internal pair the wheel toothed
// inside comes second. The working angle follows from
// inv α_wt = inv α_t + 2·tan α_n·(x₁ + x₂)/(z₁ + z₂), differences for sums when
// internal. It is an error when the shifts are so negative that no angle does.
func (f Form) Pair(k Kind, teeth [2]int, shift [2]float64) (Pair, error) {
	p, err := f.Pitches()
	if err != nil {
		return Pair{}, err
	}
	across, err := teethAcross(k, teeth[0], teeth[1])
	if err != nil {
		return Pair{}, err
	}
	if k == Internal && teeth[1] < teeth[0] {
		return Pair{}, fmt.Errorf("name the wheel toothed inside second: %d teeth cannot hold a pinion of %d", teeth[1], teeth[0])
	}
	for _, x := range shift {
		if err := between("profile shift, modules", x, -maxShift, maxShift); err != nil {
			return Pair{}, err
		}
	}
	x := shift[1] + shift[0]
	if k == Internal {
		x = shift[1] - shift[0]
	}
	alphaN, alphaT := rad(f.PressureDeg), rad(p.TransversePressureDeg)
	inv := involute(alphaT) + float64(2*math.Tan(alphaN)*x)/float64(across)
	if inv < 0 {
		return Pair{}, fmt.Errorf("profile shifts %g and %g are too small for %d and %d teeth: no centre distance is free of backlash", shift[0], shift[1], teeth[0], teeth[1])
	}
	alphaW := inverseInvolute(inv)
	reference := float64(p.TransverseModule * float64(across) / 2)
	centre := reference * math.Cos(alphaT) / math.Cos(alphaW)
	shortening := 0.0
	if k == External {
		shortening = reference + float64(x*f.NormalModule) - centre
	}
	return Pair{
		ReferenceCentreDistance: reference,
		CentreDistance:          centre,
		WorkingPressureDeg:      deg(alphaW),
		Shortening:              shortening,
		kind:                    k, teeth: teeth, shift: shift,
		module: p.TransverseModule, alphaT: alphaT, alphaN: alphaN,
	}, nil
}

// Working is a pair at a centre distance, in mm and degrees.
type Working struct {
	PressureDeg float64    // transverse working pressure angle
	Diameters   [2]float64 // working pitch diameters
	// Backlash is the free movement along the working pitch circles; negative
	// where the teeth would have to overlap.
	Backlash    float64
	BacklashDeg [2]float64 // the same in degrees of either wheel
}

// At returns the pair at a centre distance in mm. A distance at which the base
// circles leave no common tangent between the wheels is an error.
func (p Pair) At(centre float64) (Working, error) {
	if p.kind == 0 {
		return Working{}, fmt.Errorf("the pair is empty: make it with Form.Pair")
	}
	if err := between("centre distance, mm", centre, shortest, longest); err != nil {
		return Working{}, err
	}
	cosine := p.ReferenceCentreDistance * math.Cos(p.alphaT) / centre
	if cosine > 1 {
		return Working{}, fmt.Errorf("centre distance %g mm is too small: the base circles need more than %g mm", centre, p.ReferenceCentreDistance*math.Cos(p.alphaT))
	}
	alphaW := math.Acos(cosine)
	// Every circle grows from the reference distance in the same ratio.
	ratio := centre / p.ReferenceCentreDistance
	var w Working
	w.PressureDeg = deg(alphaW)
	var thick [2]float64 // of the tooth of each wheel; of a wheel toothed inside, of its space
	for i, z := range p.teeth {
		d := p.module * float64(z)
		w.Diameters[i] = d * ratio
		atReference := p.module * (math.Pi/2 + float64(2*p.shift[i]*math.Tan(p.alphaN)))
		thick[i] = ratio * (atReference + float64(d*(involute(p.alphaT)-involute(alphaW))))
	}
	if p.kind == Internal {
		w.Backlash = thick[1] - thick[0]
	} else {
		w.Backlash = float64(math.Pi*p.module*ratio) - thick[0] - thick[1]
	}
	for i, d := range w.Diameters {
		w.BacklashDeg[i] = deg(2 * w.Backlash / d)
	}
	return w, nil
}

// involute is the involute function of an angle in radians.
func involute(alpha float64) float64 { return math.Tan(alpha) - alpha }

// inverseInvolute returns the angle in radians, 0 to π/2, whose involute is
// inv ≥ 0. With t = tan α the equation t − atan t = inv is convex and
// increasing, so Newton's steps from above come down to the root. From 1 degree
// up the angle is good to 1e-10 of itself; below, t − atan t loses digits.
func inverseInvolute(inv float64) float64 {
	t := inv + math.Pi/2
	for range 100 {
		step := float64((t - math.Atan(t) - inv) * (1 + 1/float64(t*t)))
		t -= step
		if math.Abs(step) <= 1e-16*t {
			break
		}
	}
	return math.Atan(t)
}

// The conversions forbid fusing the products into a caller's sum, so that
// results are the same on every platform.
func rad(d float64) float64 { return float64(d * (math.Pi / 180)) }
func deg(r float64) float64 { return float64(r * (180 / math.Pi)) }
