package cam

import (
	"fmt"
	"math"
)

// FollowerKind is the form of the part that rides on the cam.
type FollowerKind string

const (
	Flat     FollowerKind = "flat"
	Roller   FollowerKind = "roller"
	Radiused FollowerKind = "radiused" // a foot that is part of a circle; it moves as a roller of that radius does
)

// Follower is what rides on the cam. It moves along a line through the
// camshaft axis; a flat one stands square to that line.
type Follower struct {
	Kind   FollowerKind
	Radius float64 // of the roller or of the foot; none for a flat follower
}

// check refuses a follower that cannot be.
func (f Follower) check() error {
	switch f.Kind {
	case Roller, Radiused:
		return positive("follower radius", f.Radius)
	case Flat:
		if f.Radius != 0 {
			return refuse("follower radius", f.Radius, "cannot belong to a flat follower: leave it out, or call the follower radiused")
		}
		return nil
	}
	return &DimensionError{"follower", fmt.Sprintf("%q is not one of %s, %s, %s", f.Kind, Flat, Roller, Radiused)}
}

// ThreeArc is a cam of circular arcs: base circle, flank and nose, each running
// smoothly into the next, with both flanks alike.
//
// A convex flank bulges outwards; its radius is larger than the base circle's.
// A concave (hollow) flank curves inwards and needs a follower of a smaller
// radius than its own.
type ThreeArc struct {
	BaseRadius  float64
	FlankRadius float64
	NoseRadius  float64
	Lift        float64 // full lift of the follower
	Concave     bool
	Follower    Follower
}

// Tangent is a cam whose straight flanks are tangents to base circle and nose.
type Tangent struct {
	BaseRadius float64
	NoseRadius float64
	Lift       float64
	Follower   Follower
}

// ThreeArcOver returns the three-arc cam whose flank is taken up in the given
// ascent, the camshaft degrees from foot to full lift, for drawings that give
// this angle and no flank radius. The flank comes out convex or concave; an
// ascent that leaves it straight is an error.
//
// The flank's centre lies on the radius through the foot at the distance that
// makes flank and nose touch: law of cosines in the triangle of camshaft axis,
// flank centre and nose centre.
func ThreeArcOver(ascent, baseRadius, noseRadius, lift float64, follower Follower) (ThreeArc, error) {
	if err := firstError(span("ascent", ascent), body(baseRadius, noseRadius, lift)); err != nil {
		return ThreeArc{}, err
	}
	nose := baseRadius + lift - noseRadius // distance of its centre from the axis
	half := math.Sin(ascent / 2 * radian)
	q := half * half
	bulge := float64(2*nose*q) - lift // positive when convex, 0 when straight
	radius := (float64(lift*(lift-2*noseRadius)) + float64(4*baseRadius*nose*q)) / (2 * math.Abs(bulge))
	if !(radius > 0 && radius <= largest) {
		return ThreeArc{}, refuse("ascent", ascent, "leaves no arc for the flank between base radius %g and nose radius %g: straight flanks are a tangent cam", baseRadius, noseRadius)
	}
	return ThreeArc{baseRadius, radius, noseRadius, lift, bulge < 0, follower}, nil
}

// TangentOver returns the tangent cam whose flank is taken up in the given
// ascent, the camshaft degrees from foot to full lift, for drawings that give
// this angle and no nose radius.
func TangentOver(ascent, baseRadius, lift float64, follower Follower) (Tangent, error) {
	if err := firstError(span("ascent", ascent), positive("base radius", baseRadius), positive("lift", lift)); err != nil {
		return Tangent{}, err
	}
	half := math.Sin(ascent / 2 * radian)
	nose := baseRadius + lift - lift/float64(2*half*half)
	if !(nose >= smallest) {
		return Tangent{}, refuse("ascent", ascent, "is too short for lift %g on base radius %g: tangents to the base circle would meet below full lift", lift, baseRadius)
	}
	return Tangent{baseRadius, nose, lift, follower}, nil
}

// body refuses a base circle and a nose that leave no flank between them.
func body(base, nose, lift float64) error {
	err := firstError(positive("base radius", base), positive("nose radius", nose), positive("lift", lift))
	if err != nil {
		return err
	}
	if limit := base + lift/2; !(nose < limit) {
		return refuse("nose radius", nose, "must be less than base radius plus half the lift, %g: a nose that large encloses the base circle", limit)
	}
	return nil
}

// Profile returns the lift of the follower, in closed form. Errors name the
// dimension that cannot be.
//
// On a flat follower the flank lifts (R − r)(1 − cos t) and the nose falls
// d(1 − cos u), with R and r the flank and base radii, d the distance of the
// nose centre, t the angle from the foot and u that from full lift (from
// memory: Khurmi & Gupta, Theory of Machines, ch. 20; Bevan, Theory of
// Machines). For a roller or radiused follower the same arcs are offset by its
// radius.
//
// Foot and change of arc follow from the triangle of camshaft axis, flank
// centre and nose centre, whose sides are R − r, d and R − n (R + r, d and
// R + n when concave, n being the nose radius). The half-angle formulas of the
// plane triangle solve it without losing digits, however flat the flank.
func (c ThreeArc) Profile() (Profile, error) {
	err := firstError(c.Follower.check(), body(c.BaseRadius, c.NoseRadius, c.Lift), positive("flank radius", c.FlankRadius), c.fit())
	if err != nil {
		return Profile{}, err
	}
	base, nose, rise, side := c.BaseRadius, c.NoseRadius, c.Lift/2, c.side()
	room := base + rise - nose
	toNose, toBase := c.FlankRadius-side*(nose-rise), c.FlankRadius-side*(base+rise)
	flankAngle := 2 * math.Atan(math.Sqrt(room/toNose*(rise/toBase)))
	l := lobe{
		base: base, nose: nose, lift: c.Lift,
		ascent: 2 * math.Atan(math.Sqrt(toNose/room*(rise/toBase))),
		normal: side * flankAngle,
	}
	offset := c.FlankRadius - side*base
	if c.Follower.Kind == Flat {
		return l.profile(flatArc{offset}, flatArc{-l.noseCentre()}, flankAngle), nil
	}
	start := base + c.Follower.Radius
	pitch := c.FlankRadius + side*c.Follower.Radius
	half := math.Sin(flankAngle / 2)
	x := start - side*float64(2*pitch*half*half)
	return l.rolled(roundArc{offset, pitch, start}, c.Follower.Radius, x, pitch*math.Sin(flankAngle))
}

// side is 1 when the flank's centre lies beyond the camshaft axis, seen from
// the foot, and −1 when it lies outside the cam.
func (c ThreeArc) side() float64 {
	if c.Concave {
		return -1
	}
	return 1
}

// fit refuses a flank that cannot join base circle and nose, or that the
// follower cannot ride.
func (c ThreeArc) fit() error {
	rise := c.Lift / 2
	switch {
	case !c.Concave:
		if limit := c.BaseRadius + rise; !(c.FlankRadius > limit) {
			return refuse("flank radius", c.FlankRadius, "must be more than base radius plus half the lift, %g, to reach from the base circle to the nose", limit)
		}
	case c.Follower.Kind == Flat:
		return refuse("flank radius", c.FlankRadius, "is of a concave flank: a flat follower would bridge the hollow; such a cam has a roller or a radiused follower")
	case !(c.Follower.Radius < c.FlankRadius):
		return refuse("follower radius", c.Follower.Radius, "must be less than the radius of the concave flank, %g: a larger follower would bridge the hollow", c.FlankRadius)
	case !(c.FlankRadius > rise-c.NoseRadius):
		return refuse("flank radius", c.FlankRadius, "must be more than half the lift less nose radius, %g, to reach from the base circle to the nose", rise-c.NoseRadius)
	}
	return nil
}

// Profile returns the lift of the follower, in closed form. Errors name the
// dimension that cannot be. A flat follower is one: it would lie along the
// whole straight flank at once and leave the foot with a jump.
//
// On the flank a roller lifts (r + ρ)(1 − cos t)/cos t, with r the base radius,
// ρ the roller's and t the angle from the foot (from memory: Khurmi & Gupta,
// Theory of Machines, ch. 20). On the nose the follower moves as on that of a
// three-arc cam.
func (c Tangent) Profile() (Profile, error) {
	err := firstError(c.Follower.check(), body(c.BaseRadius, c.NoseRadius, c.Lift))
	if err != nil {
		return Profile{}, err
	}
	if c.Follower.Kind == Flat {
		return Profile{}, &DimensionError{"follower", "flat cannot ride a tangent cam: it would lie along the whole straight flank at once " +
			"and jump from the base circle to the nose; such a cam has a roller or a radiused follower, or its flank is not straight"}
	}
	room := c.BaseRadius - c.NoseRadius + c.Lift/2
	l := lobe{
		base:   c.BaseRadius,
		nose:   c.NoseRadius,
		lift:   c.Lift,
		ascent: 2 * math.Atan(math.Sqrt(c.Lift/2/room)),
	}
	start := c.BaseRadius + c.Follower.Radius
	// The straight's length is that of the common tangent: √(d² − (r − n)²).
	length := 2 * math.Sqrt(room*(c.Lift/2))
	return l.rolled(straight{start}, c.Follower.Radius, start, length)
}

// lobe is half a cam between foot and full lift. Coordinates have the camshaft
// axis as origin and the radius through the foot as x-axis; angles are radians
// counted from it towards the nose.
type lobe struct {
	base, nose, lift float64
	ascent           float64 // of the nose centre
	normal           float64 // of the common normal where flank and nose meet
}

// noseCentre returns the distance of the nose centre from the camshaft axis.
func (l lobe) noseCentre() float64 { return l.base + l.lift - l.nose }

// steepest is the least cosine of the pressure angle, that between the
// follower's line and the cam's push, at which the follower is not held to jam.
const steepest = 1e-3

// rolled returns the profile of a roller whose centre is at x, y when it
// touches flank and nose at once. The pressure angle is largest there.
func (l lobe) rolled(flank curve, follower, x, y float64) (Profile, error) {
	push := (float64(x*math.Cos(l.normal)) + float64(y*math.Sin(l.normal))) / math.Hypot(x, y)
	if !(push > steepest) {
		return Profile{}, refuse("lift", l.lift, "cannot be reached: where flank and nose meet the flank is so steep that it no longer pushes a follower of radius %g along its line", follower)
	}
	d := l.noseCentre()
	return l.profile(flank, roundArc{-d, l.nose + follower, l.base + l.lift + follower}, math.Atan2(y, x)), nil
}

// profile puts flank and nose together where the follower passes from one to
// the other, an angle in radians from the foot.
func (l lobe) profile(onFlank, onNose curve, change float64) Profile {
	foot, change := l.ascent/radian, change/radian
	return symmetrical(flank{gain: 1, pieces: []piece{
		{outer: foot - change, base: l.lift, low: onFlank.at(change).Lift, curve: onNose},
		{inner: foot - change, outer: foot, origin: foot, inward: true, curve: onFlank},
	}})
}

// flatArc is a flat follower on an arc whose centre lies offset beyond the
// camshaft axis, seen from the follower (negative: on the near side).
type flatArc struct{ offset float64 }

func (c flatArc) at(t float64) Motion {
	sin, cos := math.Sincos(t * radian)
	half := math.Sin(t / 2 * radian)
	return Motion{
		Lift:         2 * c.offset * half * half,
		Velocity:     c.offset * sin * radian,
		Acceleration: c.offset * cos * radian * radian,
	}
}

// roundArc is the centre of a roller that runs at the distance pitch from the
// centre of an arc. The arc's centre lies offset beyond the camshaft axis for a
// convex flank, on the near side for a nose (offset negative) and beyond the
// roller for a concave flank (offset larger than pitch). start is the roller
// centre's distance from the camshaft axis at the origin.
type roundArc struct{ offset, pitch, start float64 }

func (c roundArc) at(t float64) Motion {
	sin, cos := math.Sincos(t * radian)
	half := math.Sin(t / 2 * radian)
	across, towards := float64(c.offset*sin), float64(c.offset*cos)
	along := math.Sqrt((c.pitch - across) * (c.pitch + across))
	// distance of the roller centre from the camshaft axis: along − towards,
	// written so that it never is the difference of two large numbers.
	distance := along - towards
	if c.offset > 0 {
		distance = c.start * ((c.pitch + c.offset) / (along + towards))
	}
	tan := across / along // of the pressure angle
	return Motion{
		Lift:         2 * c.offset * half * half * ((c.start + distance) / (c.pitch + along)),
		Velocity:     distance * tan * radian,
		Acceleration: distance * (float64(tan*tan) + float64(towards/along*(1+float64(tan*tan)))) * radian * radian,
	}
}

// straight is a roller on a straight flank; start is its centre's distance from
// the camshaft axis at the foot.
type straight struct{ start float64 }

func (c straight) at(t float64) Motion {
	sin, cos := math.Sincos(t * radian)
	half := math.Sin(t / 2 * radian)
	distance, tan := c.start/cos, sin/cos
	return Motion{
		Lift:         2 * distance * half * half,
		Velocity:     distance * tan * radian,
		Acceleration: distance * (1 + float64(2*tan*tan)) * radian * radian,
	}
}
