package rules

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fourmarks.example/convert/cam"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
)

// profileOf builds the profile of a cam, its lift in millimetres where the
// file measures it: at the valve or at the tappet. It is errNoProfile when a
// dimension is not given.
func profileOf(c *schema.Cam) (cam.Profile, error) { return profileWith(c, &camDimensions{}) }

func profileWith(c *schema.Cam, d *camDimensions) (cam.Profile, error) {
	p, err := shapeOf(c, d)
	if err != nil || c.RampHeight.First() == nil || c.RampLength.First() == nil {
		return p, err
	}
	height, over := d.of(c.RampHeight), d.of(c.RampLength)
	if over <= 0 {
		return p, fmt.Errorf("a ramp over %g degrees", over)
	}
	return cam.Ramp{Height: height, Speed: height / over}.Under(p)
}

// camDimensions reads the dimensions of a cam, remembers whether one was missing,
// and may take one of them at an end of what its print allows.
type camDimensions struct {
	missing  bool
	off      *schema.Figure
	smallest bool
}

func (d *camDimensions) of(f *schema.Figure) float64 {
	is, ok := intervalOf(f)
	switch d.missing = d.missing || !ok; {
	case f != d.off || !ok:
		return is.Mid()
	case d.smallest:
		return is.Lo
	}
	return is.Hi
}

// built makes a profile of dimensions that are all there.
func (d *camDimensions) built(profile func() (cam.Profile, error)) (cam.Profile, error) {
	if d.missing {
		return cam.Profile{}, errNoProfile
	}
	return profile()
}

func (d *camDimensions) follower(c *schema.Cam) cam.Follower {
	d.missing = d.missing || !c.Follower.Given()
	f := cam.Follower{Kind: cam.FollowerKind(c.Follower.Text)}
	if c.Follower.Text != "flat" {
		f.Radius = d.of(c.FollowerRadius)
	}
	return f
}

func shapeOf(c *schema.Cam, d *camDimensions) (cam.Profile, error) {
	switch c.Profile.Text {
	case "three-arc":
		return d.built(cam.ThreeArc{BaseRadius: d.of(c.BaseRadius), FlankRadius: d.of(c.FlankRadius), NoseRadius: d.of(c.NoseRadius), Lift: d.of(c.Lift), Follower: d.follower(c)}.Profile)
	case "tangent":
		if c.NoseRadius.First() != nil {
			return d.built(cam.Tangent{BaseRadius: d.of(c.BaseRadius), NoseRadius: d.of(c.NoseRadius), Lift: d.of(c.Lift), Follower: d.follower(c)}.Profile)
		}
		rise, base, lift, follower := d.of(c.Rise), d.of(c.BaseRadius), d.of(c.Lift), d.follower(c)
		return d.built(func() (cam.Profile, error) {
			t, err := cam.TangentOver(rise, base, lift, follower)
			if err != nil {
				return cam.Profile{}, err
			}
			return t.Profile()
		})
	case "table", "":
		return tableOf(c, d)
	}
	return d.built(cam.Rise{Form: cam.Form(c.Profile.Text), Lift: d.of(c.Lift), Angle: d.of(c.Rise)}.Profile)
}

func tableOf(c *schema.Cam, d *camDimensions) (cam.Profile, error) {
	t, err := rowsOf(c, d)
	if err != nil {
		return cam.Profile{}, err
	}
	return d.built(t.Profile)
}

// rowsOf reads the rows of a lift table in the order of their angles.
func rowsOf(c *schema.Cam, d *camDimensions) (cam.Table, error) {
	var t cam.Table
	for _, row := range c.Table {
		at, err := strconv.ParseFloat(row.Name, 64)
		if err != nil {
			return nil, fmt.Errorf("the angle %q of the lift table is no number", row.Name)
		}
		t = append(t, cam.Point{Angle: at, Lift: d.of(row.Value)})
	}
	d.missing = d.missing || len(t) == 0
	slices.SortFunc(t, func(a, b cam.Point) int { return cmp.Compare(a.Angle, b.Angle) })
	return t, nil
}

var errNoProfile = errors.New("the cam's profile is not given")

// leastDrawn is by how much a lift may differ at the least between a cam and its
// drawing, in millimetres: about a thou (common practice, no source).
const leastDrawn = 0.02

// heights are the lifts, in millimetres, at which the rounding of a drawing is
// weighed: those at which events are read.
var heights = [...]float64{0.1, 0.5, 1}

// drawn is by how much the lift of a cam may differ, in millimetres, for the
// rounding of the dimensions it is drawn with: what each dimension makes at
// either end of its print, all of them together; of a table, the rounding of its
// rows and what lies between a straight line and the curve from row to row.
func drawn(c *schema.Cam, p cam.Profile) float64 {
	if len(c.Table) > 0 {
		return max(leastDrawn, betweenRows(c, p))
	}
	read := eventsRead(p)
	total := 0.0
	for _, f := range []*schema.Figure{c.BaseRadius, c.FlankRadius, c.NoseRadius, c.FollowerRadius, c.Lift, c.Rise, c.RampHeight, c.RampLength} {
		if f.First() == nil {
			continue
		}
		by := 0.0
		for _, smallest := range []bool{false, true} {
			if other, err := profileWith(c, &camDimensions{off: f, smallest: smallest}); err == nil {
				by = max(by, liftsApart(read, other))
			}
		}
		total += by
	}
	return max(leastDrawn, total)
}

// eventsRead are the angles at which a profile has the lifts at which events are
// read, opening and closing.
func eventsRead(p cam.Profile) []cam.Point {
	var read []cam.Point
	for _, height := range heights {
		if e, err := p.Events(height); err == nil {
			read = append(read, cam.Point{Angle: e.Opens.Angle, Lift: height}, cam.Point{Angle: e.Closes.Angle, Lift: height})
		}
	}
	return read
}

// liftsApart is by how much the lift of a profile differs from those of another
// where that one's events are read.
func liftsApart(read []cam.Point, other cam.Profile) float64 {
	most := 0.0
	for _, at := range read {
		if m, err := other.At(at.Angle); err == nil {
			most = max(most, math.Abs(m.Lift-at.Lift))
		}
	}
	return most
}

// betweenRows is how closely the rows of a lift table fix the lift between them:
// to twice what a straight line and the curve from row to row differ by midway
// (common practice, no source; it holds for the cams of TestSoundEngines).
func betweenRows(c *schema.Cam, p cam.Profile) float64 {
	rows, err := rowsOf(c, &camDimensions{})
	if err != nil {
		return 0
	}
	curving := 0.0
	for i, row := range rows[1:] {
		middle, straight := (rows[i].Angle+row.Angle)/2, (rows[i].Lift+row.Lift)/2
		if m, err := p.At(middle); err == nil {
			curving = max(curving, math.Abs(m.Lift-straight))
		}
	}
	return rowRounding(c) + float64(2*curving)
}

// valveCam is a cam as it moves its valve or tappet, at the place where a
// clearance is measured.
type valveCam struct {
	cam.Profile
	// drawn is by how much its lift may differ from the profile's while events
	// are read, uneven by how much on one flank and not on the other: the rows of
	// a table are rounded each for itself.
	drawn, uneven float64
	full          interval.Interval
}

// drawnCam is a cam as its drawing gives it, or why it cannot be.
type drawnCam struct {
	valveCam
	err error
}

func asDrawn(c *schema.Cam) drawnCam {
	p, err := profileOf(c)
	if err != nil {
		return drawnCam{err: err}
	}
	v := valveCam{Profile: p, drawn: drawn(c, p), full: fullLiftOf(c, p)}
	if len(c.Table) > 0 {
		v.uneven = v.drawn
	}
	return drawnCam{valveCam: v}
}

// valveProfile is a valve's cam as the lift at the place where a clearance is
// measured. It is errNoProfile where the file does not say what the lift at the
// one place is at the other.
func valveProfile(n *relation.Network, valve, measuredAt string) (valveCam, error) {
	c, ok := n.Engine.Cams.Get(valve)
	if !ok {
		return valveCam{}, errNoProfile
	}
	as := n.Once(c, func() any { return asDrawn(c) }).(drawnCam)
	v, err := as.valveCam, as.err
	if err != nil {
		return v, err
	}
	p := v.Profile
	ratio, known := rockerRatioOf(n.Engine)
	switch {
	case c.LiftAt.Text == measuredAt && (measuredAt != "" || !known):
		return v, nil
	case known && ratio.Contains(1):
		v.full = v.full.Mul(ratio).Hull(v.full.Div(ratio))
		return v, nil
	case !known || measuredAt == "" || !c.LiftAt.Given():
		return valveCam{}, errNoProfile
	case measuredAt == "valve":
		v.Profile, err = p.AtValve(ratio.Mid())
		v.drawn, v.uneven, v.full = v.drawn*ratio.Mid(), v.uneven*ratio.Mid(), v.full.Mul(ratio)
	default:
		v.Profile, err = p.AtTappet(ratio.Mid())
		v.drawn, v.uneven, v.full = v.drawn/ratio.Mid(), v.uneven/ratio.Mid(), v.full.Div(ratio)
	}
	return v, err
}

// fullLiftOf is the full lift of a cam's profile, within what the print of its
// lift and of its ramp's height allows.
func fullLiftOf(c *schema.Cam, p cam.Profile) interval.Interval {
	full := interval.Point(p.FullLift()).Grow(leastDrawn)
	for _, f := range []*schema.Figure{c.Lift, c.RampHeight} {
		is, _ := intervalOf(f)
		full = full.Grow(is.Width() / 2)
	}
	return full.Grow(rowRounding(c))
}

// rowRounding is how closely the rows of a lift table are printed.
func rowRounding(c *schema.Cam) float64 {
	half := 0.0
	for _, row := range c.Table {
		is, _ := intervalOf(row.Value)
		half = max(half, is.Width()/2)
	}
	return half
}

// rockerRatioOf is how far a valve moves for a movement of its tappet: as
// printed, or 1 where the valves stand at the side, on their tappets.
func rockerRatioOf(e *schema.Engine) (interval.Interval, bool) {
	if is, ok := intervalOf(e.Figure("layout.rocker_ratio")); ok {
		return is, true
	}
	return interval.Point(1), hasSideValves(e)
}

func hasSideValves(e *schema.Engine) bool {
	return e.Layout != nil && strings.Contains(strings.ToLower(e.Layout.ValveGear.Text), "side")
}
