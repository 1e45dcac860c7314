package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func marks() []*lint.Rule {
	return []*lint.Rule{rimDistanceRule, straightRule, ringTeethRule, stampOrder, cylinderOfStamp, stampClearance}
}

// meaning is what a stamp can stand for: the datum its angle is customarily
// counted from, and the figure of an event set or of the ignition that it marks.
type meaning struct {
	title           string
	datum           figure.Datum
	event, ignition string
}

var meanings = map[string]meaning{
	"inlet_opens":        {"inlet opens", figure.BTDC, "inlet_opens", ""},
	"inlet_closes":       {"inlet closes", figure.ABDC, "inlet_closes", ""},
	"exhaust_opens":      {"exhaust opens", figure.BBDC, "exhaust_opens", ""},
	"exhaust_closes":     {"exhaust closes", figure.ATDC, "exhaust_closes", ""},
	"inlet_full_open":    {"inlet lobe centre", figure.ATDC, "inlet_lobe_centre", ""},
	"exhaust_full_open":  {"exhaust lobe centre", figure.BTDC, "exhaust_lobe_centre", ""},
	"top_dead_centre":    {"top dead centre", figure.ATDC, "", ""},
	"bottom_dead_centre": {"bottom dead centre", figure.ABDC, "", ""},
	"firing":             {"ignition", figure.BTDC, "", "fixed"},
	"full_advance":       {"full advance", figure.BTDC, "", "advance"},
	"full_retard":        {"full retard", figure.BTDC, "", "fully_retarded"},
}

// marked is the path of the figure that a stamp marks; "" where that cannot be
// told. A firing mark is that of an ignition that cannot be moved.
func marked(e *schema.Engine, s *schema.Stamp) string {
	m := meanings[s.Means.Text]
	set, known := setOfStamp(e, s)
	switch {
	case m.event != "" && known:
		return "events." + set + "." + m.event
	case m.ignition == "fixed" && e.Figure("ignition.fixed").First() == nil, m.ignition == "":
		return ""
	}
	return "ignition." + m.ignition
}

// eachStamp calls do with every stamp whose meaning is given.
func eachStamp(e *schema.Engine, do func(part schema.Named[*schema.Marked], s schema.Named[*schema.Stamp])) {
	for _, part := range e.Marks {
		for _, s := range part.Value.Stamps {
			if s.Value.Means.Given() {
				do(part, s)
			}
		}
	}
}

// marksAngle is the angle that a stamp marks: that of the event or ignition
// position it stands for, where that can be told, else the stamp's own.
func marksAngle(n *relation.Network, part string, s schema.Named[*schema.Stamp]) (*relation.Variable, figure.Datum) {
	m := meanings[s.Value.Means.Text]
	if path := marked(n.Engine, s.Value); path != "" {
		return n.Angle(path, m.title, m.datum), m.datum
	}
	return n.Angle("marks."+part+".stamps."+s.Name+".angle", s.Name+" stamp", m.datum), m.datum
}

// stampAngle is the angle at which a stamp stands, counted from a datum: its
// own, or that of what it marks.
func stampAngle(e *schema.Engine, s *schema.Stamp, datum figure.Datum) interval.Interval {
	for _, f := range []*schema.Figure{s.Angle, e.Figure(marked(e, s))} {
		if is, ok := angleOf(e, f, datum); ok {
			return is
		}
	}
	return interval.Empty()
}

// setOfStamp is the event set that a stamp of an event belongs to: the one read
// at the stamp's clearance, or the only one there is.
func setOfStamp(e *schema.Engine, s *schema.Stamp) (string, bool) {
	if s.Clearance.Given() {
		for _, set := range e.Events {
			if set.Name == s.Clearance.Text || set.Value.ReadAt.Text == s.Clearance.Text+" clearance" {
				return set.Name, true
			}
		}
		return "", false
	}
	if len(e.Events) == 1 {
		return e.Events[0].Name, true
	}
	return "", false
}

var rimDistanceRule = &lint.Rule{
	Name:  "marks/rim-distance",
	Level: lint.Error,
	Title: "A rim distance follows from its angle and the rim's diameter",
	Checks: "A distance printed along a rim is π times the diameter times the angle over 360, or, measured with a straight rule from mark to mark, the diameter times the sine of half the angle. " +
		"The angle is that of the stamp itself and of the event or ignition position that it marks. A print that does not say how it was measured, and fits both ways, may be either. " +
		"No distance goes beyond half the rim, and rims measure from 10 mm to 5 m.",
	Why:       "The flywheel is where the timing is read. A mark cut from a wrong distance, or a distance taken on another flywheel, is a wrong timing for ever.",
	Basis:     "(C × P) / 360 = M (US Army TM 5-3895-382-24, p. 310); 10° on 320 mm is 27.9 mm (hells-confetti.com).",
	Accepting: "Accept it for marks measured on one worn or refitted flywheel; better, write which.",
	Bad: `
marks:
  flywheel:
    from: handbook p. 16
    rim_diameter: 320 mm
    stamps:
      IO: {means: inlet_opens, angle: 10 BTDC, rim: 29.7 mm before TDC}
`,
	Good: `
marks:
  flywheel:
    from: handbook p. 16
    rim_diameter: 320 mm
    stamps:
      IO: {means: inlet_opens, angle: 10 BTDC, rim: 27.9 mm before TDC}
`,
	Relations: func(n *relation.Network) {
		eachStamp(n.Engine, func(part schema.Named[*schema.Marked], s schema.Named[*schema.Stamp]) {
			path := "marks." + part.Name + ".stamps." + s.Name
			angle, datum := marksAngle(n, part.Name, s)
			if s.Value.Angle.First() != nil && angle.Path != path+".angle" {
				n.Equal(path, n.Angle(path+".angle", s.Name+" stamp", datum), angle)
			}
			if r, ok := oneWay(s.Value.Rim, figure.Rim); ok {
				distance := n.Distance(path+".rim", s.Name+" rim distance", figure.Rim, r.Datum)
				measured := measuredBy(n.Engine, part.Name, r, stampAngle(n.Engine, s.Value, r.Datum))
				n.Equal(path, distance, rimDistance(n, part.Name, recounted(angle, datum, r.Datum), measured))
			}
		})
		for _, part := range n.Engine.Marks {
			relateToothStep(n, part)
		}
	},
}

// relateToothStep ties the movement of a part for one tooth of the camshaft
// drive to the tooth step.
func relateToothStep(n *relation.Network, part schema.Named[*schema.Marked]) {
	path, title := "marks."+part.Name+".tooth_step", "tooth step on the "+part.Name
	step := n.Quantity("drives.camshaft.tooth_step", "tooth step", figure.Angle)
	if _, ok := oneWay(part.Value.ToothStep, figure.CrankAngle); ok {
		n.Equal("marks."+part.Name, n.Angle(path, title, figure.NoDatum), turnedWith(n.Engine, part.Name, step))
	}
	if _, ok := oneWay(part.Value.ToothStep, figure.Rim); ok {
		n.Equal("marks."+part.Name, n.Distance(path, title, figure.Rim, figure.NoDatum), rimDistance(n, part.Name, step, alongRim))
	}
	if _, ok := oneWay(part.Value.ToothStep, figure.Teeth); ok {
		n.Equal("marks."+part.Name, n.Distance(path, title, figure.Teeth, figure.NoDatum), ringTeeth(n, part.Name, step))
	}
}

var straightRule = &lint.Rule{
	Name:  "marks/straight-rule",
	Level: lint.Note,
	Title: "Measured along the rim or with a straight rule",
	Checks: "A rim distance that does not say how it was measured, and that fits a straight rule from mark to mark but not the way along the rim, is noted; " +
		"so is one that fits both where that makes more than a degree.",
	Why: "Whoever lays a tape along the rim would set the mark out. Below about 20° the two differ by less than 1/64 in, even on a flywheel of 17 in; " +
		"from about 43° on they differ by more than a degree.",
	Formula:   "along = π × diameter × angle / 360; straight = diameter × sin (angle / 2)",
	Basis:     "Geometry.",
	Accepting: "Write `straight rule` after the distance, and the note goes.",
	Bad: `
marks:
  flywheel:
    from: handbook p. 16
    rim_diameter: 400 mm
    stamps:
      EO: {means: exhaust_opens, angle: 60 BBDC, rim: 200.0 mm before BDC}
`,
	Good: `
marks:
  flywheel:
    from: handbook p. 16
    rim_diameter: 400 mm
    stamps:
      EO: {means: exhaust_opens, angle: 60 BBDC, rim: 200.0 mm before BDC straight rule}
`,
	Engine: func(p *lint.Pass) {
		eachRim(p.Engine, func(f *schema.Figure, part string, r figure.Reading, angle interval.Interval) {
			along, straight, ok := bothWays(p.Engine, part, angle)
			is := r.Interval()
			switch {
			case !ok || r.Straight || !is.Meets(straight):
			case !is.Meets(along):
				p.ReportFigure(f, "%s fits its angle measured with a straight rule from mark to mark, %s, and not along the rim, %s; add `straight rule` if it was measured so",
					f.Text(), inUnit(straight, r.Unit), inUnit(along, r.Unit))
			case apart(along, straight, angle) > toTell:
				p.ReportFigure(f, "whether %s is measured along the rim or with a straight rule cannot be told, and that makes %.1f° here; say which",
					f.Text(), apart(along, straight, angle))
			}
		})
	},
}

// toTell is by how many crank degrees the two ways of measuring a rim distance
// must differ to matter: as many as a reading at the bench is uncertain by
// (common practice, no source).
const toTell = 1.0

// apart is by how many degrees the two ways of measuring the distance of an
// angle differ.
func apart(along, straight, angle interval.Interval) float64 {
	return math.Abs(angle.Mid() * (1 - straight.Mid()/along.Mid()))
}

// eachRim calls do with every rim distance whose angle is known from elsewhere,
// and the part whose rim it is on: of stamps, events and ignition positions.
func eachRim(e *schema.Engine, do func(f *schema.Figure, part string, r figure.Reading, angle interval.Interval)) {
	for _, part := range e.Marks {
		for _, s := range part.Value.Stamps {
			if r, ok := oneWay(s.Value.Rim, figure.Rim); ok {
				do(s.Value.Rim, part.Name, r, stampAngle(e, s.Value, r.Datum))
			}
		}
	}
	part, ok := markedRim(e)
	if !ok {
		return
	}
	for _, f := range e.Figures() {
		r, ok := oneWay(f, figure.Rim)
		if angle, known := crankAngle(f, r.Datum); f.Kind == figure.Position && ok && known {
			do(f, part, r, angle)
		}
	}
}

var ringTeethRule = &lint.Rule{
	Name:      "marks/ring-teeth",
	Level:     lint.Error,
	Title:     "Ring-gear teeth follow from their angle",
	Checks:    "Teeth printed for a mark are its angle times the ring gear's teeth over 360, and no more than half of them. Ring gears have 10 to 500 teeth.",
	Why:       "Counting teeth is the surest way to set a flywheel in a dark garage, if the count is right.",
	Basis:     "25 ATDC is printed as 8 teeth after top dead centre (Vauxhall 20-60 shop manual, sec. 433), which 115 teeth give.",
	Accepting: "Accept it for a ring gear that was changed for another.",
	Bad: `
marks:
  flywheel:
    from: handbook p. 16
    ring_teeth: 115
    stamps:
      EC: {means: exhaust_closes, angle: 25 ATDC, teeth: 18 teeth ATDC}
`,
	Good: `
marks:
  flywheel:
    from: handbook p. 16
    ring_teeth: 115
    stamps:
      EC: {means: exhaust_closes, angle: 25 ATDC, teeth: 8 teeth ATDC}
`,
	Relations: func(n *relation.Network) {
		eachStamp(n.Engine, func(part schema.Named[*schema.Marked], s schema.Named[*schema.Stamp]) {
			r, ok := s.Value.Teeth.Reading()
			if !ok || r.Measure != figure.Teeth {
				return
			}
			path := "marks." + part.Name + ".stamps." + s.Name
			angle, datum := marksAngle(n, part.Name, s)
			n.Equal(path, n.Distance(path+".teeth", s.Name+" teeth", figure.Teeth, r.Datum), ringTeeth(n, part.Name, recounted(angle, datum, r.Datum)))
		})
	},
}

// pointerAngle is the crank angle, its middle from 0 to below 360, at which a
// stamp stands under the pointer; false when its angle or its cylinder's place
// in the firing order is not known.
func pointerAngle(e *schema.Engine, s *schema.Stamp) (interval.Interval, bool) {
	var at interval.Interval
	switch s.Means.Text {
	case "top_dead_centre":
		at = interval.Point(0)
	case "bottom_dead_centre":
		at = interval.Point(180)
	default:
		at = stampAngle(e, s, figure.ATDC)
	}
	if k := stampCylinder(s); k != 1 {
		when, err := pistons(e)
		if err != nil || k < 1 || k > len(when) {
			return interval.Empty(), false
		}
		at = at.Add(interval.Point(when[k-1]))
	}
	return at.Sub(interval.Point(360 * math.Floor(at.Mid()/360))), at.IsFinite()
}

var stampOrder = &lint.Rule{
	Name:   "marks/stamp-order",
	Level:  lint.Error,
	Title:  "Stamps pass the pointer in the order of their events",
	Checks: "The order in which the stamps are said to pass a fixed pointer in the direction of rotation is that of their angles: a stamp before top dead centre passes before the TDC stamp. Stamps whose angle is not known are passed over; parts on the camshaft, which turn once for two turns of the crankshaft, are left out.",
	Why:    "A flywheel refitted in another position, or an engine turned the wrong way, shows in this order first.",
	Formula: "a stamp passes a fixed pointer at its own crank angle, so the stamps pass in the order of their angles, " +
		"starting anywhere",
	Basis:     "Geometry.",
	Accepting: "Accept it when the order was read against a pointer on the other side, and say so.",
	Bad: `
marks:
  flywheel:
    from: handbook p. 16
    order: TDC, IO, EC
    stamps:
      TDC: {means: top_dead_centre}
      IO: {means: inlet_opens, angle: 10 BTDC}
      EC: {means: exhaust_closes, angle: 12 ATDC}
`,
	Good: `
marks:
  flywheel:
    from: handbook p. 16
    order: IO, TDC, EC
    stamps:
      TDC: {means: top_dead_centre}
      IO: {means: inlet_opens, angle: 10 BTDC}
      EC: {means: exhaust_closes, angle: 12 ATDC}
`,
	Engine: func(p *lint.Pass) {
		for _, part := range p.Engine.Marks {
			checkStampOrder(p, part.Value)
		}
	},
}

// placed is a stamp and the crank angle at which it stands under the pointer.
type placed struct {
	name string
	at   interval.Interval
}

func checkStampOrder(p *lint.Pass, part *schema.Marked) {
	var printed []placed
	for _, name := range strings.Split(part.Order.Text(), ",") {
		name = strings.TrimSpace(name)
		s, ok := part.Stamps.Get(name)
		switch {
		case name == "":
			continue
		case !ok:
			p.ReportFigure(part.Order, "the order names %q, and no stamp is called so", name)
			return
		}
		if at, known := pointerAngle(p.Engine, s); known {
			printed = append(printed, placed{name, at})
		}
	}
	if part.Shaft.Text == "camshaft" || oneTurn(printed) {
		return
	}
	turned := slices.Clone(printed)
	slices.SortStableFunc(turned, func(a, b placed) int { return cmp.Compare(a.at.Mid(), b.at.Mid()) })
	start := slices.IndexFunc(turned, func(s placed) bool { return s.name == printed[0].name })
	turned = slices.Concat(turned[start:], turned[:start])
	names := make([]string, len(turned))
	for i, s := range turned {
		names[i] = s.name
	}
	f := p.ReportFigure(part.Order, "the stamps are said to pass as %s, and their angles give %s; an angle is wrong, or the order was read against the rotation", part.Order.Text(), strings.Join(names, ", "))
	for _, s := range turned {
		f.Work("%s stands under the pointer at %.4g° after top dead centre", s.name, s.at.Mid())
	}
}

// oneTurn reports whether stamps that pass in an order do so within one turn,
// from the first to the first again. Two whose angles cannot be told apart may
// pass in either order; so do any two by themselves, depending on where one
// starts.
func oneTurn(stamps []placed) bool {
	turned := 0.0
	for i, s := range stamps {
		next := stamps[(i+1)%len(stamps)]
		step := math.Mod(next.at.Mid()-s.at.Mid()+360, 360)
		if apart := (next.at.Width()+s.at.Width())/2 + 1e-6; step > 360-apart {
			step -= 360
		}
		turned += step
	}
	return turned < 360+0.5
}

var cylinderOfStamp = &lint.Rule{
	Name:   "marks/stamp-cylinder",
	Level:  lint.Error,
	Title:  "A stamp counts from its own cylinder's dead centre",
	Checks: "A stamp's cylinder exists, and where its rim distance is counted from a dead centre and the part bears marks of that dead centre, one of them is of its cylinder or of one whose piston is there with it.",
	Why:    "On a six the dead centres lie 120° apart. A distance laid off from another cylinder's mark is out by that much.",
	Basis:  "Geometry.",
	Accepting: "Accept it when the dead-centre mark is there and was left out of the file; " +
		"better, add it.",
	Bad: `
layout: {cylinders: 6, arrangement: in-line, firing_order: 1-5-3-6-2-4, throws: [0, 120, 240, 240, 120, 0], numbered_from: front, from: handbook p. 6}
marks:
  flywheel:
    from: handbook p. 16
    rim_diameter: 16 in
    stamps:
      1-6: {means: top_dead_centre, cylinder: 1, companion: 6}
      IO: {means: inlet_opens, cylinder: 2, rim: 1.4 in before TDC}
`,
	Good: `
layout: {cylinders: 6, arrangement: in-line, firing_order: 1-5-3-6-2-4, throws: [0, 120, 240, 240, 120, 0], numbered_from: front, from: handbook p. 6}
marks:
  flywheel:
    from: handbook p. 16
    rim_diameter: 16 in
    stamps:
      1-6: {means: top_dead_centre, cylinder: 1, companion: 6}
      IO: {means: inlet_opens, cylinder: 6, rim: 1.4 in before TDC}
`,
	Engine: func(p *lint.Pass) {
		n, counted := countOf(p.Engine.Figure("layout.cylinders"))
		when, err := pistons(p.Engine)
		for _, part := range p.Engine.Marks {
			for _, s := range part.Value.Stamps {
				k := stampCylinder(s.Value)
				if counted && s.Value.Cylinder.First() != nil && (k < 1 || k > n) {
					p.ReportFigure(s.Value.Cylinder, "the stamp %s is of cylinder %d, and the engine has %d", s.Name, k, n)
					continue
				}
				if r, ok := oneWay(s.Value.Rim, figure.Rim); ok && err == nil {
					checkDeadCentre(p, part.Value, s, when, k, r.Datum)
				}
			}
		}
	},
}

// checkDeadCentre reports a stamp whose distance is counted from a dead centre
// of its cylinder when the part's marks of that dead centre are all of pistons
// that are elsewhere then.
func checkDeadCentre(p *lint.Pass, part *schema.Marked, s schema.Named[*schema.Stamp], when crank.Firing, k int, from figure.Datum) {
	if k > len(when) {
		return
	}
	wanted, kind := deadCentre(when[k-1], isTop(from)), "top"
	if !isTop(from) {
		kind = "bottom"
	}
	var elsewhere string
	late := 0.0
	for _, other := range part.Stamps {
		j, means := stampCylinder(other.Value), other.Value.Means.Text
		if j < 1 || j > len(when) || means != "top_dead_centre" && means != "bottom_dead_centre" {
			continue
		}
		at := deadCentre(when[j-1], means == "top_dead_centre")
		if together(at, wanted) {
			return
		}
		if means == kind+"_dead_centre" {
			elsewhere, late = other.Name, math.Mod(at-wanted+720, 360)
		}
	}
	if elsewhere != "" {
		p.ReportFigure(s.Value.Rim, "the stamp %s of cylinder %d is counted from %s dead centre, and the part's mark %s is of a cylinder that is there %.4g° later; add the mark it is counted from, or correct the cylinder",
			s.Name, k, kind, elsewhere, late)
	}
}

// deadCentre is the crank angle of a dead centre of a cylinder that fires at an angle.
func deadCentre(fires float64, top bool) float64 {
	if top {
		return fires
	}
	return fires + 180
}

// together reports whether two firing angles belong to pistons that move together.
func together(a, b float64) bool {
	d := math.Mod(math.Abs(a-b), 360)
	return d < 0.5 || d > 359.5
}

var stampClearance = &lint.Rule{
	Name:      "marks/stamp-clearance",
	Level:     lint.Warning,
	Title:     "The clearance stamped is the sheet's",
	Checks:    "The clearance that a stamp names is one the file gives, and a clearance stamped beside the mark is the same; where the stamp names none, the clearance stamped is one of those given for its valve.",
	Why:       "A mark holds at one clearance only. At another the valve opens elsewhere, and the mark misleads.",
	Basis:     commonPractice + ".",
	Accepting: "Accept it when flywheel and sheet are of different series, and say which.",
	Bad: `
clearances:
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
marks:
  flywheel:
    from: handbook p. 16
    stamps:
      IO: {means: inlet_opens, clearance: checking, clearance_stamped: 12 thou}
`,
	Good: `
clearances:
  checking: {measured_at: valve, engine: cold, inlet: 20 thou, exhaust: 20 thou, from: sheet p. 1}
events:
  checking: {read_at: checking clearance, inlet_opens: 3 BTDC, from: sheet p. 1}
marks:
  flywheel:
    from: handbook p. 16
    stamps:
      IO: {means: inlet_opens, clearance: checking, clearance_stamped: 20 thou}
`,
	Engine: func(p *lint.Pass) {
		eachStamp(p.Engine, func(part schema.Named[*schema.Marked], s schema.Named[*schema.Stamp]) {
			name := s.Value.Clearance.Text
			set := clearanceSet(p.Engine, name)
			switch {
			case set != nil:
				checkStamped(p, s, schema.Group[*schema.Clearance]{{Name: name, Value: set}})
			case name == "" || isAbsence(name):
				checkStamped(p, s, p.Engine.Clearances)
			default:
				p.Report(s.Value.Clearance.At, "the stamp %s holds at the %s clearance, and no clearance of that name is given; give it under `clearances`, or say `not given`", s.Name, name).
					About("marks." + part.Name + ".stamps." + s.Name)
			}
		})
	},
}

// checkStamped reports a clearance stamped beside a mark that is none of those
// that the sheets give for its valve.
func checkStamped(p *lint.Pass, s schema.Named[*schema.Stamp], sets schema.Group[*schema.Clearance]) {
	stamped, ok := intervalOf(s.Value.ClearanceStamped)
	if !ok {
		return
	}
	var sheet []*schema.Figure
	var known []string
	for _, c := range sets {
		bothValves(c.Value, func(valve string, f *schema.Figure) {
			if means := s.Value.Means.Text; strings.HasPrefix(means, "inlet") && valve == "exhaust" || strings.HasPrefix(means, "exhaust") && valve == "inlet" {
				return
			}
			is, given := intervalOf(f)
			if given && stamped.Meets(is) {
				ok = false
			}
			if given {
				sheet, known = append(sheet, f), append(known, fmt.Sprintf("the %s clearance of the %s is %s", c.Name, valve, f.Text()))
			}
		})
	}
	if !ok || len(sheet) == 0 {
		return
	}
	f := p.ReportFigure(s.Value.ClearanceStamped, "the stamp %s is marked %s, and %s; the mark holds at its own clearance only", s.Name, s.Value.ClearanceStamped.Text(), strings.Join(known, ", "))
	f.Involving(sheet...)
	for i, of := range sheet {
		f.See(of.At, "%s", known[i])
	}
}
