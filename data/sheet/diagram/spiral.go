package diagram

import (
	"fmt"
	"math"
	"strings"
)

const (
	turn  = 360.0
	cycle = 720.0

	innerRadius = 42.0
	pitch       = 56.0 // how much further out a turn later lies
	lanes       = 36.0 // the part of the pitch that arcs take
	outerRadius = innerRadius + 2*pitch + lanes - 8
)

// spiral is the shape that the crank's two turns are laid along.
type spiral struct {
	x, y float64 // centre
	sign float64 // +1 clockwise, −1 anticlockwise
}

// point is the place at an angle, offset outward from the track.
func (s spiral) point(degrees, offset float64) (x, y float64) {
	return s.polar(degrees, innerRadius+pitch*degrees/turn+offset)
}

// polar is the place at an angle and a radius; 0 is at the top.
func (s spiral) polar(degrees, radius float64) (x, y float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return s.x + s.sign*radius*sin, s.y - radius*cos
}

// path follows the spiral from one angle to another. A stretch that goes on
// after firing TDC begins again at the start.
func (s spiral) path(from, to, offset float64) string {
	const step = 3.0
	var b strings.Builder
	command := "M"
	add := func(at float64) {
		x, y := s.point(at, offset)
		fmt.Fprintf(&b, "%s%.1f %.1f", command, x, y)
		command = "L"
	}
	if to > cycle {
		return s.path(from, cycle, offset) + s.path(0, to-cycle, offset)
	}
	for at := from; at < to; at += step {
		add(at)
	}
	add(to)
	return b.String()
}

// onCircle brings an angle into [0, 720).
func onCircle(degrees float64) float64 {
	degrees = math.Mod(degrees, cycle)
	if degrees < 0 {
		degrees += cycle
	}
	return degrees
}

// after is an angle that lies at or after another, at most a cycle.
func after(degrees, from float64) float64 { return from + onCircle(degrees-from) }
