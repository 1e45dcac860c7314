// Package diagram draws the timing diagram of a four-stroke engine: two turns of
// the crankshaft as one spiral that begins at firing TDC near the middle, with the
// time each valve is open as an arc along it.
//
// The drawing reads in black and white: exhaust arcs are solid and inlet arcs
// hollow, each set of events has a lane and a thickness of its own, and what is
// derived stands behind a ~ and ends in an open tick. Labels stand in two columns
// beside the spiral, so that none can touch another; their boxes are computed
// from font metrics that are wider than any of the fonts asked for.
//
// The package knows angles and words, no engines.
package diagram

// Input is what a diagram shows. Angles are crank degrees of one cylinder, 0 at
// firing TDC.
type Input struct {
	Title string
	// Anticlockwise and SeenFrom say how the crankshaft turns. Where SeenFrom is
	// empty the direction is not known: the drawing turns clockwise and says so.
	Anticlockwise bool
	SeenFrom      string
	Sets          []Set
	Ignition      *Point
	// Notes stand below the drawing: what its reader must be told where it stands
	// on its own.
	Notes []string
}

// Set is one set of events.
type Set struct {
	Name           string
	Inlet, Exhaust Valve
	Overlap        *Point // its text; it is drawn where the inlet opens
}

// Valve is when a valve opens and closes; what is not known is nil.
type Valve struct {
	Opens, Closes *Point
	// Duration is the words for how long it is open.
	Duration *Point
}

// Point is an angle with its figure in words.
type Point struct {
	At      float64
	Text    string
	Derived bool
}

// text is the figure with the sign for what is derived.
func (p *Point) text() string {
	if p.Derived {
		return "~" + p.Text
	}
	return p.Text
}

// isEmpty reports whether there is nothing to draw.
func (in Input) isEmpty() bool {
	for _, s := range in.Sets {
		for _, v := range []Valve{s.Inlet, s.Exhaust} {
			if v.Opens != nil || v.Closes != nil {
				return false
			}
		}
	}
	return in.Ignition == nil
}
