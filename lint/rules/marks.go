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

// meanings gives each meaning of a stamp the datum its angle is customarily
// counted from, and the figure of an event set or the ignition it stands for.
var meanings = map[string]struct {
	title string
	datum figure.Datum
}{
	"inlet_opens": {"inlet opens", figure.BTDC}, "inlet_closes": {"inlet closes", figure.ABDC},
	"exhaust_opens": {"exhaust opens", figure.BBDC}, "exhaust_closes": {"exhaust closes", figure.ATDC},
	"inlet_full_open": {"inlet full open", figure.ATDC}, "exhaust_full_open": {"exhaust full open", figure.BTDC},
	"top_dead_centre": {"top dead centre", figure.ATDC}, "bottom_dead_centre": {"bottom dead centre", figure.ABDC},
	"firing": {"firing", figure.BTDC}, "full_advance": {"full advance", figure.BTDC}, "full_retard": {"full retard", figure.BTDC},
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
	switch s.Value.Means.Text {
	case "full_advance":
		return n.Angle("ignition.advance", "full advance", m.datum), m.datum
	case "full_retard":
		return n.Angle("ignition.fully_retarded", "full retard", m.datum), m.datum
	}
	if set, ok := setOfStamp(n.Engine, s.Value); ok && strings.HasSuffix(m.title, "s") {
		return n.Angle("events."+set+"."+s.Value.Means.Text, inSet(n.Engine, set, m.title), m.datum), m.datum
	}
	return n.Angle("marks."+part+".stamps."+s.Name+".angle", s.Name+" stamp", m.datum), m.datum
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
		"The angle is that of the stamp itself and of the event or ignition position that it marks.",
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
			r, ok := s.Value.Rim.Reading()
			if !ok {
				return
			}
			distance := n.Distance(path+".rim", s.Name+" rim distance", figure.Rim)
			n.Equal(path, distance, rimDistance(n, part.Name, recounted(angle, datum, r.Datum), isStraight(n.Engine, part.Value, s.Value, r)))
		})
		for _, part := range n.Engine.Marks {
			if part.Value.ToothStep.First() == nil {
				continue
			}
			step := n.Quantity("drives.camshaft.tooth_step", "tooth step", figure.Angle)
			distance := n.Distance("marks."+part.Name+".tooth_step", "tooth step on the "+part.Name, figure.Rim)
			n.Equal("marks."+part.Name, distance, rimDistance(n, part.Name, step, false))
		}
	},
}

// isStraight reports whether a rim distance was measured with a straight rule:
// where the print says so, or fits that way and no other.
func isStraight(e *schema.Engine, part *schema.Marked, s *schema.Stamp, r figure.Reading) bool {
	if r.Straight {
		return true
	}
	along, straight, ok := bothWays(part, s, r)
	return ok && !r.Interval().Meets(along) && r.Interval().Meets(straight)
}

// bothWays computes a stamp's distance from its own angle, along the rim and
// straight across.
func bothWays(part *schema.Marked, s *schema.Stamp, r figure.Reading) (along, straight interval.Interval, ok bool) {
	diameter, given := intervalOf(part.RimDiameter)
	angle, hasAngle := crankAngle(s.Angle, r.Datum)
	if !given || !hasAngle {
		return along, straight, false
	}
	rim := crank.RimInterval{Diameter: diameter}
	along, err := rim.Distance(angle)
	if err != nil {
		return along, straight, false
	}
	straight, err = rim.Chord(angle)
	return along, straight, err == nil
}

var straightRule = &lint.Rule{
	Name:      "marks/straight-rule",
	Level:     lint.Note,
	Title:     "Measured along the rim or with a straight rule",
	Checks:    "A rim distance that does not say how it was measured, and that fits a straight rule from mark to mark but not the way along the rim, is noted.",
	Why:       "Whoever lays a tape along the rim would set the mark out. Below about 20° the two cannot be told apart.",
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
		eachStamp(p.Engine, func(part schema.Named[*schema.Marked], s schema.Named[*schema.Stamp]) {
			r, ok := s.Value.Rim.Reading()
			if !ok || r.Straight || !isStraight(p.Engine, part.Value, s.Value, r) {
				return
			}
			p.ReportFigure(s.Value.Rim, "%s fits %s measured with a straight rule from mark to mark, not along the rim; add `straight rule` if it was", s.Value.Rim.Text(), s.Value.Angle.Text())
		})
	},
}

var ringTeethRule = &lint.Rule{
	Name:      "marks/ring-teeth",
	Level:     lint.Error,
	Title:     "Ring-gear teeth follow from their angle",
	Checks:    "Teeth printed for a mark are its angle times the ring gear's teeth over 360.",
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
			n.Equal(path, n.Distance(path+".teeth", s.Name+" teeth", figure.Teeth), ringTeeth(n, part.Name, recounted(angle, datum, r.Datum)))
		})
	},
}

// pointerAngle is the crank angle, from 0 to below 360, at which a stamp stands
// under the pointer; false when its angle or its cylinder's throw is not known.
func pointerAngle(e *schema.Engine, s *schema.Stamp) (interval.Interval, bool) {
	at, ok := crankAngle(s.Angle, figure.ATDC)
	switch {
	case s.Means.Text == "top_dead_centre":
		at, ok = interval.Point(0), true
	case s.Means.Text == "bottom_dead_centre":
		at, ok = interval.Point(180), true
	case !ok:
		at, ok = eventAngle(e, s)
	}
	if !ok {
		return interval.Empty(), false
	}
	if k := stampCylinder(s); k != 1 {
		when, err := firing(e)
		if err != nil || k < 1 || k > len(when) {
			return interval.Empty(), false
		}
		at = at.Add(interval.Point(when[k-1]))
	}
	return at.Sub(interval.Point(360 * math.Floor(at.Mid()/360))), true
}

// eventAngle is the angle of the event that a stamp marks, after top dead centre.
func eventAngle(e *schema.Engine, s *schema.Stamp) (interval.Interval, bool) {
	switch s.Means.Text {
	case "full_advance":
		return crankAngle(e.Figure("ignition.advance"), figure.ATDC)
	case "full_retard":
		return crankAngle(e.Figure("ignition.fully_retarded"), figure.ATDC)
	}
	set, ok := setOfStamp(e, s)
	if !ok {
		return interval.Empty(), false
	}
	return crankAngle(e.Figure("events."+set+"."+s.Means.Text), figure.ATDC)
}

var stampOrder = &lint.Rule{
	Name:   "marks/stamp-order",
	Level:  lint.Error,
	Title:  "Stamps pass the pointer in the order of their events",
	Checks: "The order in which the stamps are said to pass a fixed pointer in the direction of rotation is that of their angles: a stamp before top dead centre passes before the TDC stamp.",
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

func checkStampOrder(p *lint.Pass, part *schema.Marked) {
	type placed struct {
		name string
		at   float64
	}
	var printed []placed
	for _, name := range strings.Split(part.Order.Text(), ",") {
		name = strings.TrimSpace(name)
		s, ok := part.Stamps.Get(name)
		if name == "" {
			continue
		}
		if !ok {
			p.ReportFigure(part.Order, "the order names %q, and no stamp is called so", name)
			return
		}
		at, known := pointerAngle(p.Engine, s)
		if !known {
			return
		}
		printed = append(printed, placed{name, at.Mid()})
	}
	if len(printed) < 3 {
		return // two pass each other in either order, depending on where one starts
	}
	turned := slices.Clone(printed)
	slices.SortStableFunc(turned, func(a, b placed) int { return cmp.Compare(a.at, b.at) })
	start := slices.IndexFunc(turned, func(s placed) bool { return s.name == printed[0].name })
	turned = slices.Concat(turned[start:], turned[:start])
	if slices.Equal(turned, printed) {
		return
	}
	names := make([]string, len(turned))
	for i, s := range turned {
		names[i] = s.name
	}
	f := p.ReportFigure(part.Order, "the stamps are said to pass as %s, and their angles give %s", part.Order.Text(), strings.Join(names, ", "))
	for _, s := range turned {
		f.Work("%s stands under the pointer at %.4g° after top dead centre", s.name, s.at)
	}
}

var cylinderOfStamp = &lint.Rule{
	Name:   "marks/stamp-cylinder",
	Level:  lint.Error,
	Title:  "A stamp counts from its own cylinder's dead centre",
	Checks: "A stamp's cylinder exists, and where its rim distance is counted from a dead-centre mark the part bears such a mark for that cylinder or one that moves with it.",
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
		when, err := firing(p.Engine)
		for _, part := range p.Engine.Marks {
			for _, s := range part.Value.Stamps {
				k := stampCylinder(s.Value)
				if n, ok := p.Engine.Figure("layout.cylinders").Count(); ok && k > n && s.Value.Cylinder != nil {
					p.ReportFigure(s.Value.Cylinder, "the stamp %s is of cylinder %d, and the engine has %d", s.Name, k, n)
					continue
				}
				r, ok := s.Value.Rim.Reading()
				if !ok || err != nil || !isTop(r.Datum) {
					continue
				}
				if other, elsewhere := deadCentreElsewhere(part.Value, when, k); elsewhere {
					p.ReportFigure(s.Value.Rim, "the stamp %s of cylinder %d is counted from top dead centre, and the part's mark %s is of a cylinder that is there %s",
						s.Name, k, other.Name, degreesApart(when, k, stampCylinder(other.Value)))
				}
			}
		}
	},
}

// deadCentreElsewhere returns a top-dead-centre stamp of the part when none of
// them is of the cylinder or of one that moves with it.
func deadCentreElsewhere(part *schema.Marked, when crank.Firing, k int) (other schema.Named[*schema.Stamp], elsewhere bool) {
	if k < 1 || k > len(when) {
		return other, false
	}
	for _, s := range part.Stamps {
		j := stampCylinder(s.Value)
		if s.Value.Means.Text != "top_dead_centre" || j < 1 || j > len(when) {
			continue
		}
		if together(when[j-1], when[k-1]) {
			return other, false
		}
		other, elsewhere = s, true
	}
	return other, elsewhere
}

// together reports whether two firing angles belong to pistons that move together.
func together(a, b float64) bool {
	d := math.Mod(math.Abs(a-b), 360)
	return d < 0.5 || d > 359.5
}

func degreesApart(when crank.Firing, k, other int) string {
	d := math.Mod(when[other-1]-when[k-1]+720, 360)
	return fmt.Sprintf("%.4g° later", d)
}

var stampClearance = &lint.Rule{
	Name:      "marks/stamp-clearance",
	Level:     lint.Warning,
	Title:     "The clearance stamped is the sheet's",
	Checks:    "The clearance that a stamp names is one the file gives, and a clearance stamped beside the mark is the same.",
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
			if !s.Value.Clearance.Given() {
				return
			}
			set := clearanceSet(p.Engine, s.Value.Clearance.Text)
			if set == nil {
				p.Report(s.Value.Clearance.At, "the stamp %s holds at the %s clearance, and no clearance of that name is given", s.Name, s.Value.Clearance.Text).
					About("marks." + part.Name + ".stamps." + s.Name)
				return
			}
			sheet := set.Inlet
			if strings.HasPrefix(s.Value.Means.Text, "exhaust") {
				sheet = set.Exhaust
			}
			stamped, ok := intervalOf(s.Value.ClearanceStamped)
			printed, okay := intervalOf(sheet)
			if ok && okay && !stamped.Meets(printed) {
				p.ReportFigure(s.Value.ClearanceStamped, "the stamp %s is marked %s, and the %s clearance is %s", s.Name, s.Value.ClearanceStamped.Text(), s.Value.Clearance.Text, sheet.Text()).
					Involving(sheet).See(sheet.At, "%s clearance: %s", s.Value.Clearance.Text, sheet.Text())
			}
		})
	},
}
