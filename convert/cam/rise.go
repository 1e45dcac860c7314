package cam

import "math"

// Form is the law by which a follower rises from rest to rest.
type Form string

const (
	Harmonic       Form = "harmonic"
	Cycloidal      Form = "cycloidal"
	Polynomial345  Form = "polynomial 3-4-5"
	Polynomial4567 Form = "polynomial 4-5-6-7"
	ModifiedSine   Form = "modified sine"
	Parabolic      Form = "parabolic" // constant acceleration, then the same deceleration
)

// Rise is a cam given by the law of its lift: dwell on the base circle, rise,
// dwell at full lift if any, and the same in reverse.
//
// The laws are the standard ones (from memory: R. L. Norton, Cam Design and
// Manufacturing Handbook; H. A. Rothbart, Cams). All are symmetrical about
// their middle and rest at both ends; harmonic and parabolic begin and end
// with a jump of acceleration.
type Rise struct {
	Form  Form
	Lift  float64
	Angle float64 // camshaft degrees from foot to full lift
	Dwell float64 // camshaft degrees at full lift; may be 0
}

// Profile returns the lift of the follower, in closed form. Errors name the
// dimension that cannot be.
func (r Rise) Profile() (Profile, error) {
	law, ok := laws(r.Form)
	if !ok {
		return Profile{}, &DimensionError{"form", string(r.Form) + " is not one of harmonic, cycloidal, polynomial 3-4-5, polynomial 4-5-6-7, modified sine, parabolic"}
	}
	if err := firstError(positive("lift", r.Lift), span("angle", r.Angle)); err != nil {
		return Profile{}, err
	}
	if r.Dwell != 0 {
		if err := span("dwell", r.Dwell); err != nil {
			return Profile{}, err
		}
	}
	top := r.Dwell / 2
	foot := top + r.Angle
	if foot > 180 {
		return Profile{}, refuse("dwell", r.Dwell, "leaves no room for two flanks of %g camshaft degrees in one turn", r.Angle)
	}
	middle := top + r.Angle/2
	rise := lawCurve{law, r.Lift, r.Angle}
	fall := lawCurve{law, -r.Lift, r.Angle}
	pieces := []piece{
		{inner: top, outer: middle, origin: top, base: r.Lift, low: rise.at(r.Angle / 2).Lift, curve: fall},
		{inner: middle, outer: foot, origin: foot, inward: true, curve: rise},
	}
	return symmetrical(flank{dwellThen(top, pieces), 1}), nil
}

// dwellThen puts a dwell at full lift of some degrees before the pieces that
// fall from it.
func dwellThen(degrees float64, pieces []piece) []piece {
	if degrees == 0 {
		return pieces
	}
	full := pieces[0].base
	return append([]piece{{outer: degrees, base: full, low: full, curve: rest{}}}, pieces...)
}

// lawCurve is the first half of a rise; height is negative for a fall.
type lawCurve struct {
	law    law
	height float64
	angle  float64
}

func (c lawCurve) at(t float64) Motion {
	s, v, a := c.law(t / c.angle)
	return Motion{c.height * s, c.height / c.angle * v, c.height / c.angle / c.angle * a}
}

// law gives the part of the lift, and its two derivatives, at a part u ≤ ½ of
// the rise.
type law func(u float64) (s, v, a float64)

func laws(form Form) (law, bool) {
	switch form {
	case Harmonic:
		return harmonic, true
	case Cycloidal:
		return cycloidal, true
	case Polynomial345:
		return polynomial345, true
	case Polynomial4567:
		return polynomial4567, true
	case ModifiedSine:
		return modifiedSine, true
	case Parabolic:
		return parabolic, true
	}
	return nil, false
}

// harmonic: s = (1 − cos πu)/2.
func harmonic(u float64) (s, v, a float64) {
	half := math.Sin(math.Pi / 2 * u)
	sin, cos := math.Sincos(math.Pi * u)
	return half * half, math.Pi / 2 * sin, math.Pi * math.Pi / 2 * cos
}

// cycloidal: s = u − sin(2πu)/2π.
func cycloidal(u float64) (s, v, a float64) {
	half := math.Sin(math.Pi * u)
	sin := math.Sin(2 * math.Pi * u)
	return lessSine(2*math.Pi*u) / (2 * math.Pi), 2 * half * half, 2 * math.Pi * sin
}

// lessSine returns x − sin x, by its series where the difference would lose
// digits.
func lessSine(x float64) float64 {
	if x > 0.5 {
		return x - math.Sin(x)
	}
	q, sum := x*x, 1.0
	for _, n := range [...]float64{12 * 13, 10 * 11, 8 * 9, 6 * 7, 4 * 5} {
		sum = 1 - float64(q/n*sum)
	}
	return x * q / 6 * sum
}

// polynomial345: s = 10u³ − 15u⁴ + 6u⁵.
func polynomial345(u float64) (s, v, a float64) {
	w := 1 - u
	return u * u * u * (10 + float64(u*(-15+float64(6*u)))), 30 * u * u * w * w, 60 * u * w * (w - u)
}

// polynomial4567: s = 35u⁴ − 84u⁵ + 70u⁶ − 20u⁷.
func polynomial4567(u float64) (s, v, a float64) {
	uw := u * (1 - u)
	s = u * u * u * u * (35 + float64(u*(-84+float64(u*(70+float64(-20*u))))))
	return s, 140 * uw * uw * uw, 420 * uw * uw * (1 - float64(2*u))
}

// modifiedSine: a quarter of a quick sine of acceleration over the first eighth,
// then half of one three times as slow.
func modifiedSine(u float64) (s, v, a float64) {
	const c = 1 / (4 + math.Pi)
	if u < 1.0/8 {
		half := math.Sin(2 * math.Pi * u)
		return c / 4 * lessSine(4*math.Pi*u), 2 * c * math.Pi * half * half, 4 * math.Pi * math.Pi * c * math.Sin(4*math.Pi*u)
	}
	sin, cos := math.Sincos(math.Pi / 3 * (1 + float64(4*u)))
	return c * (2 + float64(math.Pi*u) - float64(9.0/4*sin)), c * math.Pi * (1 - float64(3*cos)), 4 * math.Pi * math.Pi * c * sin
}

// parabolic: s = 2u² over the first half.
func parabolic(u float64) (s, v, a float64) { return 2 * u * u, 4 * u, 4 }
