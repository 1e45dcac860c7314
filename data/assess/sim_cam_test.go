package assess_test

import "math"

// arcs is a cam of three arcs under a flat follower, in millimetres. The
// simulation works out its lift in its own way: the follower rests on the point of
// the cam that reaches farthest in its direction, so that the lift is the support
// function of the outline less the base circle. The outline is taken as points.
type arcs struct{ base, flank, nose, lift float64 }

type point struct{ x, y float64 }

// outline are points of one half of the cam, full lift along y, from the nose to
// the base circle.
func (c arcs) outline() []point {
	nose := c.base + c.lift - c.nose // distance of the nose's centre
	// The flank's centre F lies at flank−base from the axis and at flank−nose from
	// the nose's centre N: two circles cut.
	a, b := c.flank-c.base, c.flank-c.nose
	y := (a*a - b*b + nose*nose) / (2 * nose)
	x := -math.Sqrt(a*a - y*y)
	f := point{x, y}
	top := math.Atan2(nose-f.y, -f.x) // direction from F through N: where flank and nose touch
	bottom := math.Atan2(-f.y, -f.x)  // direction from F through the axis: where flank and base touch
	const steps = 2000
	var all []point
	for i := range steps + 1 {
		at := math.Pi/2 + float64(i)/steps*(top-math.Pi/2)
		all = append(all, point{c.nose * math.Cos(at), nose + c.nose*math.Sin(at)})
		at = top + float64(i)/steps*(bottom-top)
		all = append(all, point{f.x + c.flank*math.Cos(at), f.y + c.flank*math.Sin(at)})
	}
	return all
}

// lifts tabulates the lift for each tenth of a camshaft degree from full lift.
func (c arcs) lifts() []float64 {
	outline := c.outline()
	table := make([]float64, 901)
	for i := range table {
		sin, cos := math.Sincos(float64(i) / 10 * math.Pi / 180)
		reach := c.base
		for _, p := range outline {
			reach = max(reach, p.x*sin+p.y*cos)
		}
		table[i] = reach - c.base
	}
	return table
}

// opens is how many crank degrees before full lift the lift passes a clearance;
// closing lies as far behind it.
func opens(table []float64, clearance float64) float64 {
	for i := len(table) - 1; i > 0; i-- {
		if low, high := table[i], table[i-1]; low <= clearance && clearance < high {
			return 2 * (float64(i) - (clearance-low)/(high-low)) / 10
		}
	}
	return 0
}
