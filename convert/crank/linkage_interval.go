package crank

import (
	"errors"
	"fmt"
	"math"

	"fourmarks.example/convert/interval"
)

const (
	// minRodRatio and maxRodRatio bound the rod length as a multiple of the
	// stroke where it is not known. Common practice, no source: connecting rods
	// of 3 to 5 crank throws are what the tables of textbooks cover; the lower
	// limit is taken a little further, to 2.8 throws, for the shortest rods of
	// long-stroke engines.
	minRodRatio, maxRodRatio = 1.4, 2.5

	// rodSlice is the length of the parts, in strokes, into which a range of rods
	// is cut where an offset keeps travel from rising or falling with rod length
	// throughout, and maxSlices their greatest number.
	rodSlice, maxSlices = 0.05, 32
)

// UnknownRod returns the rod lengths that an engine of the given stroke may
// have: 1.4 to 2.5 strokes (common practice, no source).
func UnknownRod(stroke interval.Interval) interval.Interval {
	return stroke.Mul(interval.Of(minRodRatio, maxRodRatio))
}

// LinkageInterval is a Linkage whose measures are known within limits. When the
// rod is not known, Rod is UnknownRod(Stroke). Every choice of members must make
// a crank that turns.
type LinkageInterval struct{ Stroke, Rod, Offset interval.Interval }

func (l LinkageInterval) check() error {
	if err := errors.Join(
		members("stroke", l.Stroke, minLength, maxLength),
		members("rod length", l.Rod, minLength, maxLength),
		members("cylinder offset", l.Offset, -maxLength, maxLength),
	); err != nil {
		return err
	}
	return turns(l.Stroke.Hi/2, l.Rod.Lo, l.Offset.Abs().Hi)
}

// Travel is Linkage.Travel for intervals.
func (l LinkageInterval) Travel(degrees interval.Interval, d Datum) (interval.Interval, error) {
	part, err := l.Part(degrees, d)
	if err != nil {
		return interval.Empty(), err
	}
	return l.Stroke.Mul(part).Intersect(interval.Of(0, math.Inf(1))), nil
}

// Part is Linkage.Part for intervals. It is narrower than Travel divided by the
// stroke.
func (l LinkageInterval) Part(degrees interval.Interval, d Datum) (interval.Interval, error) {
	if err := errors.Join(l.check(), d.check(), members("the crank angle", degrees, -maxAngle, maxAngle)); err != nil {
		return interval.Empty(), err
	}
	after := degrees
	if d.sign() < 0 {
		after = degrees.Neg()
	}
	return l.hull(func(s scaledInterval) interval.Interval {
		return s.from(d).travelOver(after)
	}), nil
}

// Angle is Linkage.Angle for intervals. Travel that no member of the stroke
// reaches is left out; it is an error when no travel remains.
func (l LinkageInterval) Angle(travel interval.Interval, d Datum) (interval.Interval, error) {
	if err := errors.Join(l.check(), d.check(), members("piston travel", travel, -maxLength, maxLength)); err != nil {
		return interval.Empty(), err
	}
	part := travel.Div(l.Stroke).Intersect(interval.Of(0, 1))
	if part.IsEmpty() {
		return interval.Empty(), fmt.Errorf("piston travel %v lies outside the stroke %v", travel, l.Stroke)
	}
	return l.hull(func(s scaledInterval) interval.Interval {
		from := s.from(d)
		return from.angle(part.Lo, d.sign()).Hull(from.angle(part.Hi, d.sign()))
	}), nil
}

// FromCrank is Linkage.FromCrank for intervals.
func (l LinkageInterval) FromCrank(degrees interval.Interval, d Datum) (interval.Interval, error) {
	return l.shift(degrees, d, -1)
}

// ToCrank is Linkage.ToCrank for intervals.
func (l LinkageInterval) ToCrank(degrees interval.Interval, d Datum) (interval.Interval, error) {
	return l.shift(degrees, d, 1)
}

func (l LinkageInterval) shift(degrees interval.Interval, d Datum, by float64) (interval.Interval, error) {
	if err := errors.Join(l.check(), d.check(), members("the crank angle", degrees, -maxAngle, maxAngle)); err != nil {
		return interval.Empty(), err
	}
	late := l.hull(func(s scaledInterval) interval.Interval { return s.from(d).own.lateness() })
	if by*d.sign() < 0 {
		return degrees.Sub(late), nil
	}
	return degrees.Add(late), nil
}

// hull returns what f gives over all rod lengths and offsets. Without an offset,
// f rises or falls with rod length throughout, and the shortest and the longest
// rod bound it; with one, f is taken over slices of the range.
func (l LinkageInterval) hull(f func(scaledInterval) interval.Interval) interval.Interval {
	rod, offset := l.Rod.Div(l.Stroke), l.Offset.Div(l.Stroke)
	if l.Offset == interval.Point(0) {
		shortest, longest := interval.Point(rod.Lo), interval.Point(rod.Hi)
		return f(scaleInterval(shortest, l.Offset)).Hull(f(scaleInterval(longest, l.Offset)))
	}
	slices := int(math.Min(maxSlices, 1+math.Floor(rod.Width()/rodSlice)))
	all, from := interval.Empty(), rod.Lo
	for i := 1; i <= slices; i++ {
		to := rod.Hi
		if i < slices {
			to = math.Min(rod.Lo+float64(rod.Width()*(float64(i)/float64(slices))), rod.Hi)
		}
		all = all.Hull(f(scaleInterval(interval.Of(from, to), offset)))
		from = to
	}
	return all
}

// scaledInterval, deadCentreInterval and strokeInterval follow scaled,
// deadCentre and stroke step for step, so that each of their results lies inside
// the interval's.
type scaledInterval struct {
	throw       interval.Interval
	top, bottom deadCentreInterval
}

type deadCentreInterval struct{ reach, sin, cos, height interval.Interval }

var one = interval.Point(1)

func scaleInterval(rod, offset interval.Interval) scaledInterval {
	two := interval.Point(2)
	twice := two.Mul(rod)
	throw := one.Sub(two.Mul(offset).Sqr().Div(twice.Sub(one).Mul(twice.Add(one)))).Sqrt().Div(two)
	at := func(reach interval.Interval) deadCentreInterval {
		sin := offset.Div(reach)
		cos := one.Sub(sin).Mul(one.Add(sin)).Sqrt()
		return deadCentreInterval{reach, sin, cos, reach.Mul(cos)}
	}
	return scaledInterval{throw, at(rod.Add(throw)), at(rod.Sub(throw))}
}

type strokeInterval struct {
	throw      interval.Interval
	own, other deadCentreInterval
	sign       float64
}

func (s scaledInterval) from(d Datum) strokeInterval {
	if d.Top() {
		return strokeInterval{s.throw, s.top, s.bottom, 1}
	}
	return strokeInterval{s.throw, s.bottom, s.top, -1}
}

// signed returns v with the stroke's sign.
func (s strokeInterval) signed(v interval.Interval) interval.Interval {
	if s.sign < 0 {
		return v.Neg()
	}
	return v
}

// travelOver returns the travel over a range of angles: between dead centres
// it only rises or only falls, so the ends of the range and the dead centres
// inside it bound it.
func (s strokeInterval) travelOver(after interval.Interval) interval.Interval {
	travel := s.travel(after.Lo).Hull(s.travel(after.Hi))
	if meetsEveryTurn(after, interval.Point(0)) {
		travel = travel.Hull(interval.Point(0))
	}
	// Whichever dead centre is its own, the other comes half a turn later plus the
	// difference between how late they are.
	late := s.other.lateness().Sub(s.own.lateness())
	if meetsEveryTurn(after, interval.Point(180).Add(late)) {
		travel = travel.Hull(one)
	}
	return travel
}

// lateness is by how many degrees the dead centre comes after the crank's.
func (d deadCentreInterval) lateness() interval.Interval {
	return rising(asinDeg, d.sin.Intersect(interval.Of(-1, 1)))
}

// meetsEveryTurn reports whether a range of angles meets a place that comes
// round every turn.
func meetsEveryTurn(angles, place interval.Interval) bool {
	next := turn * math.Ceil((angles.Lo-place.Hi)/turn)
	return place.Lo+next <= angles.Hi
}

func (s strokeInterval) travel(after float64) interval.Interval {
	half := enclose(sinDeg(after / 2))
	h := interval.Point(2).Mul(s.throw).Mul(half.Sqr())
	along := one.Sub(s.signed(s.throw.Sub(h)).Div(s.own.reach))
	across := s.signed(s.throw).Mul(enclose(sinDeg(after))).Div(s.own.reach)
	height := s.own.cos.Mul(along).Add(s.own.sin.Mul(across))
	sideways := s.own.cos.Mul(across).Sub(s.own.sin.Mul(along))
	rod := one.Sub(s.signed(s.throw).Div(s.own.reach))
	rodHeight := rod.Sub(sideways).Mul(rod.Add(sideways)).Sqrt()
	travel := interval.Point(2).Mul(h).Div(height.Add(rodHeight))
	if s.sign < 0 && height.Lo < 0 {
		travel = rodHeight.Sub(height).Mul(s.own.reach)
	}
	return travel.Intersect(interval.Of(0, 1))
}

func (s strokeInterval) angle(part, side float64) interval.Interval {
	travel := interval.Point(part)
	pin := s.own.height.Sub(s.signed(travel))
	offset := s.own.reach.Mul(s.own.sin)
	line := pin.Sqr().Add(offset.Sqr()).Sqrt()
	k := one.Sub(s.signed(interval.Point(2)).Mul(s.throw).Div(line.Add(s.own.reach)))
	square := enclose(part / (1 - part)).Mul(one.Add(s.signed(one).Div(pin.Add(s.other.height))))
	half := rising(math.Atan, k.Mul(square.Sqrt()))
	across, along := travel.Mul(s.own.sin), s.own.reach.Sub(s.signed(travel.Mul(s.own.cos)))
	tilt := rising(math.Atan, across.Div(along))
	degrees := interval.Point(2).Mul(half)
	if s.sign*side < 0 {
		degrees = degrees.Sub(tilt)
	} else {
		degrees = degrees.Add(tilt)
	}
	return degrees.Mul(interval.Point(perRadian).Mul(rounding)).Intersect(interval.Of(0, turn))
}
