package rules

import (
	"errors"
	"fmt"
	"math/big"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/gear"
	"fourmarks.example/convert/interval"
	"fourmarks.example/lint"
	"fourmarks.example/lint/relation"
	"fourmarks.example/schema"
	"fourmarks.example/schema/figure"
)

func drives() []*lint.Rule {
	return []*lint.Rule{halfSpeed, driveSpeed, sparkSpeed, toothStep, rotation, helix, slidingHome, crossedShafts, chain, marksMeet, coupling, keyways, backlash}
}

// shaft is one shaft of a train: the names of its wheels, the driven one first.
type shaft []string

// shaftsOf splits a train: > parts shafts, + wheels on one shaft.
func shaftsOf(train string) []shaft {
	if strings.TrimSpace(train) == "" {
		return nil
	}
	var shafts []shaft
	for _, part := range strings.Split(train, ">") {
		var s shaft
		for _, name := range strings.Split(part, "+") {
			s = append(s, strings.TrimSpace(name))
		}
		shafts = append(shafts, s)
	}
	return shafts
}

// meshes returns the wheels that drive and those that are driven, shaft by
// shaft up to the one numbered last; idlers, which do both, are left out.
func meshes(shafts []shaft, last int) (driving, driven []string) {
	for i := 0; i < last; i++ {
		from, to := shafts[i], shafts[i+1]
		driver := from[len(from)-1]
		idler := i > 0 && len(from) == 1
		if !idler {
			driving = append(driving, driver)
		}
		if i+1 == last || len(to) > 1 {
			driven = append(driven, to[0])
		}
	}
	return driving, driven
}

// teethOf returns the product of the teeth of wheels, for a relation; nil when
// one of them is not described.
func teethOf(n *relation.Network, drive schema.Named[*schema.Drive], wheels []string) relation.Expression {
	var factors []relation.Expression
	for _, name := range wheels {
		if _, ok := drive.Value.Wheels.Get(name); !ok {
			return nil
		}
		factors = append(factors, n.Quantity("drives."+drive.Name+".wheels."+name+".teeth", "teeth of the "+name+" wheel", figure.Count))
	}
	if len(factors) == 1 {
		return factors[0]
	}
	return relation.Product(factors...)
}

// eachTrain calls do with every drive whose train names at least two shafts.
func eachTrain(e *schema.Engine, do func(drive schema.Named[*schema.Drive], shafts []shaft)) {
	type key struct{}
	trains := e.Once(key{}, func() any {
		all := make([][]shaft, len(e.Drives))
		for i, drive := range e.Drives {
			all[i] = shaftsOf(drive.Value.Train.Text)
		}
		return all
	}).([][]shaft)
	for i, drive := range e.Drives {
		if len(trains[i]) > 1 {
			do(drive, trains[i])
		}
	}
}

// drivesCamshaft reports whether a drive is a camshaft's by its name: inlet
// camshaft, and not magneto from camshaft.
func drivesCamshaft(drive schema.Named[*schema.Drive]) bool {
	name := strings.ToLower(drive.Name)
	return strings.Contains(name, "camshaft") && !strings.Contains(name, "from")
}

const ratioBasis = "First law of gearwork: driven speed is driving speed times the product of driving teeth over driven teeth (American Scientist 88, 2000)"

var halfSpeed = &lint.Rule{
	Name:      "drives/half-speed",
	Level:     lint.Error,
	Title:     "The camshaft turns at exactly half speed",
	Checks:    "The teeth from crankshaft to camshaft give a camshaft that turns once for two turns of the crankshaft, exactly; so does a printed speed.",
	Why:       "One tooth miscounted and the timing drifts with every turn: such an engine cannot run, so the count is wrong. A tooth's step in degrees follows from it.",
	Basis:     ratioBasis + "; half speed by definition of the four-stroke cycle.",
	Accepting: "There is no four-stroke engine for which it should be kept.",
	Bad: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > idler > camshaft
    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 45}, camshaft: {teeth: 65}}
`,
	Good: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > idler > camshaft
    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 45}, camshaft: {teeth: 56}}
    marks_meet_after: 90
`,
	Relations: func(n *relation.Network) {
		if isTwoStroke(n.Engine) {
			return
		}
		two := relation.Number(2)
		for _, drive := range n.Engine.Drives {
			if !drivesCamshaft(drive) {
				continue
			}
			where := "drives." + drive.Name
			if drive.Value.Speed.First() != nil {
				n.Equal(where, relation.Product(two, n.Quantity(where+".speed", "camshaft speed", figure.SpeedRatio)), relation.Number(1))
			}
			shafts := shaftsOf(drive.Value.Train.Text)
			if len(shafts) < 2 {
				continue
			}
			driving, driven := meshes(shafts, len(shafts)-1)
			from, to := teethOf(n, drive, driving), teethOf(n, drive, driven)
			if from != nil && to != nil {
				n.Equal(where, to, relation.Product(two, from))
			}
		}
	},
}

var driveSpeed = &lint.Rule{
	Name:      "drives/speed",
	Level:     lint.Error,
	Title:     "A drive's speed follows from its teeth",
	Checks:    "The speed printed for a driven shaft, in its turns for one of the crankshaft, is the product of the driving teeth over that of the driven.",
	Why:       "A magneto at the wrong speed fires into the wrong strokes.",
	Basis:     ratioBasis + ".",
	Accepting: "Accept it when the printed speed is a rounded word, such as `about one and a half`.",
	Bad: `
drives:
  magneto:
    from: sheet p. 1
    train: crankshaft > magneto
    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 18}}
    speed: 1.5
`,
	Good: `
drives:
  magneto:
    from: sheet p. 1
    train: crankshaft > magneto
    wheels: {crankshaft: {teeth: 24}, magneto: {teeth: 16}}
    speed: 1.5
`,
	Relations: func(n *relation.Network) {
		eachTrain(n.Engine, func(drive schema.Named[*schema.Drive], shafts []shaft) {
			if drivesCamshaft(drive) || drive.Value.Speed.First() == nil {
				return
			}
			driving, driven := meshes(shafts, len(shafts)-1)
			from, to := teethOf(n, drive, driving), teethOf(n, drive, driven)
			if from == nil || to == nil {
				return
			}
			where := "drives." + drive.Name
			speed := n.Quantity(where+".speed", drive.Name+" speed", figure.SpeedRatio)
			n.Equal(where, relation.Product(speed, to), from)
		})
	},
}

var sparkSpeed = &lint.Rule{
	Name:  "drives/spark-speed",
	Level: lint.Error,
	Title: "The ignition drive gives each cylinder its spark",
	Checks: "The speed of the ignition drive times the sparks it gives in a turn is the number of firings in a turn of the crankshaft: " +
		"half the cylinders of a four-stroke, all of a two-stroke. A single-cylinder engine may have a spark on every turn, of which one is to spare.",
	Why:       "With the wrong speed or the wrong magneto, sparks come at the wrong cylinders, and a backfire breaks a wrist.",
	Formula:   "sparks per turn × drive speed = cylinders / 2, for a two-stroke = cylinders",
	Basis:     "Magneto speed = cylinders / (2 × sparks per turn) times engine speed: four cylinders 1, six 1½ with two sparks a turn (magneto handbooks, from memory).",
	Accepting: "Accept it for twins with a spark to spare, one on every turn of the crankshaft for each cylinder, and for two magnetos that share the work.",
	Bad: `
layout: {cycle: four-stroke, cylinders: 6, from: handbook p. 6}
drives:
  magneto: {speed: 1, from: sheet p. 1}
ignition: {kind: magneto, drive: magneto, sparks_per_turn: 2, from: sheet p. 1}
`,
	Good: `
layout: {cycle: four-stroke, cylinders: 6, from: handbook p. 6}
drives:
  magneto: {speed: 1.5, from: sheet p. 1}
ignition: {kind: magneto, drive: magneto, sparks_per_turn: 2, from: sheet p. 1}
`,
	Relations: func(n *relation.Network) {
		e := n.Engine
		if e.Ignition == nil || e.Layout == nil || e.Ignition.SparksPerTurn.First() == nil {
			return
		}
		drive, ok := e.Drives.Get(e.Ignition.Drive.Text)
		if !ok {
			return
		}
		sparks := n.Quantity("ignition.sparks_per_turn", "sparks per turn", figure.Count)
		var firings relation.Expression = n.Quantity("layout.cylinders", "cylinders", figure.Count)
		switch n, _ := countOf(e.Layout.Cylinders); {
		case isTwoStroke(e):
		case n == 1:
			firings = relation.Product(firings, relation.Constant("½ or 1", interval.Of(0.5, 1)))
		default:
			firings = relation.Quotient(firings, relation.Number(2))
		}
		if drive.Speed.First() != nil {
			speed := n.Quantity("drives."+e.Ignition.Drive.Text+".speed", e.Ignition.Drive.Text+" speed", figure.SpeedRatio)
			n.Equal("ignition", relation.Product(sparks, speed), firings)
			return
		}
		shafts := shaftsOf(drive.Train.Text)
		if len(shafts) < 2 {
			return
		}
		driving, driven := meshes(shafts, len(shafts)-1)
		named := schema.Named[*schema.Drive]{Name: e.Ignition.Drive.Text, Value: drive}
		from, to := teethOf(n, named, driving), teethOf(n, named, driven)
		if from != nil && to != nil {
			n.Equal("ignition", relation.Product(sparks, relation.Quotient(from, to)), firings)
		}
	},
}

var toothStep = &lint.Rule{
	Name:      "drives/tooth-step",
	Level:     lint.Error,
	Title:     "The tooth step follows from the teeth",
	Checks:    "The crank degrees printed for one tooth are 360 divided by the teeth of the crankshaft's wheel, or, in a compound train, what one tooth at one of its meshes gives.",
	Why:       "The step tells a tooth out from a reading error. With a wrong one the wheel is moved when the clearance was wrong.",
	Basis:     "US Army TM 5-3895-382-24, p. 310, gives one tooth as 23, 35 and 37 mm on pulleys of 203, 310 and 327 mm: 360/28 degrees each.",
	Accepting: "Accept it when the print is of a tooth of another wheel, and say which.",
	Bad: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28}, camshaft: {teeth: 56}}
    tooth_step: 18.26
`,
	Good: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28}, camshaft: {teeth: 56}}
    tooth_step: 12.86
`,
	Relations: func(n *relation.Network) {
		eachTrain(n.Engine, func(drive schema.Named[*schema.Drive], shafts []shaft) {
			mesh := meshOfStep(n.Engine, drive, shafts)
			step := n.Quantity("drives."+drive.Name+".tooth_step", "tooth step", figure.Angle)
			// One tooth at a mesh turns its driver by 360/teeth, and the crankshaft
			// by that times all driven teeth over all driving teeth up to there.
			from := shafts[mesh]
			driver := teethOf(n, drive, []string{from[len(from)-1]})
			if driver == nil {
				return
			}
			driving, driven := meshes(shafts, mesh)
			up, down := teethOf(n, drive, driven), teethOf(n, drive, driving)
			where := "drives." + drive.Name
			switch {
			case mesh == 0:
				n.Equal(where, step, relation.Quotient(relation.Number(360), driver))
			case up != nil && down != nil && len(from) > 1:
				n.Equal(where, step, relation.Quotient(relation.Product(relation.Number(360), up), relation.Product(driver, down)))
			default: // an idler drives: its own step is that of the mesh before
				if first := teethOf(n, drive, []string{shafts[0][len(shafts[0])-1]}); first != nil {
					n.Equal(where, step, relation.Quotient(relation.Number(360), first))
				}
			}
		})
	},
}

// meshOfStep returns the mesh whose tooth step a drive prints, in degrees or, of
// the camshaft, along a marked rim; the last one, at the driven wheel, when
// nothing is printed or it fits none.
func meshOfStep(e *schema.Engine, drive schema.Named[*schema.Drive], shafts []shaft) int {
	last := len(shafts) - 2
	if last <= 0 {
		return last
	}
	printed, ok := intervalOf(drive.Value.ToothStep)
	if !ok && drive.Name == "camshaft" {
		printed, ok = stepOnRim(e)
	}
	if !ok {
		return last
	}
	train, err := trainOf(e, drive)
	if err != nil {
		return last
	}
	for mesh := last; mesh >= 0; mesh-- {
		from := shafts[mesh]
		step, err := train.ToothStep(from[len(from)-1])
		if err == nil && interval.FromRat(step, step).Meets(printed) {
			return mesh
		}
	}
	return last
}

// stepOnRim is the crank degrees of a tooth step that is printed as a distance
// along a rim.
func stepOnRim(e *schema.Engine) (interval.Interval, bool) {
	for _, m := range e.Marks {
		diameter, ok := intervalOf(m.Value.RimDiameter)
		r, okay := oneWay(m.Value.ToothStep, figure.Rim)
		if !ok || !okay || onCamshaft(e, m.Name) {
			continue
		}
		is, err := crank.RimInterval{Diameter: diameter}.Angle(r.Interval())
		return is, err == nil
	}
	return interval.Empty(), false
}

// trainOf describes a drive to package gear. Wheels of its train without teeth
// are an error.
func trainOf(e *schema.Engine, drive schema.Named[*schema.Drive]) (*gear.Train, error) {
	type key struct{ drive *schema.Drive }
	type result struct {
		train *gear.Train
		err   error
	}
	is := e.Once(key{drive.Value}, func() any {
		train, err := describeTrain(e, drive)
		return result{train, err}
	}).(result)
	return is.train, is.err
}

func describeTrain(e *schema.Engine, drive schema.Named[*schema.Drive]) (*gear.Train, error) {
	return describe(drive, crankTurning(e), func(w *schema.Wheel, _ int) (int, bool) { return countOf(w.Teeth) })
}

// motionOf describes a drive for directions alone: they do not depend on the
// teeth, so that any will do where they are not given.
func motionOf(drive schema.Named[*schema.Drive], crankshaft gear.Turning) (*gear.Train, error) {
	return describe(drive, crankshaft, func(_ *schema.Wheel, i int) (int, bool) { return i + 12, true })
}

func describe(drive schema.Named[*schema.Drive], crankshaft gear.Turning, teeth func(w *schema.Wheel, i int) (int, bool)) (*gear.Train, error) {
	shafts := shaftsOf(drive.Value.Train.Text)
	if len(shafts) < 2 {
		return nil, errNoTrain
	}
	wheels := map[string]gear.Wheel{}
	kinds := make([]gear.Mesh, len(shafts)-1)
	for i, s := range shafts {
		for _, name := range s {
			w, ok := drive.Value.Wheels.Get(name)
			if !ok {
				return nil, errNoTrain
			}
			n, ok := teeth(w, len(wheels))
			if !ok {
				return nil, fmt.Errorf("the teeth of %s are not given", name)
			}
			wheels[name] = gear.Wheel{Name: name, Teeth: n, Hand: handOf(w)}
		}
		if i > 0 {
			kinds[i-1].Kind = meshKind(drive.Value, s[0])
		}
	}
	return gear.ParseTrain(drive.Value.Train.Text, crankshaft, wheels, kinds...)
}

var errNoTrain = errors.New("the train is not described")

// speedOf is the speed of a drive in turns for one of the crankshaft: as
// printed, or as its teeth make it.
func speedOf(e *schema.Engine, drive schema.Named[*schema.Drive]) (interval.Interval, bool) {
	if is, ok := intervalOf(drive.Value.Speed); ok {
		return is, true
	}
	train, err := trainOf(e, drive)
	if err != nil {
		return interval.Empty(), false
	}
	shafts := shaftsOf(drive.Value.Train.Text)
	turns, err := train.Turns(shafts[len(shafts)-1][0])
	if err != nil {
		return interval.Empty(), false
	}
	return interval.FromRat(turns, turns), true
}

func handOf(w *schema.Wheel) gear.Hand {
	switch w.Hand.Text {
	case "right":
		return gear.RightHand
	case "left":
		return gear.LeftHand
	}
	return gear.HandNotGiven
}

var meshKinds = map[string]gear.Kind{"external": gear.External, "internal": gear.Internal, "bevel": gear.Bevel, "skew": gear.Skew, "chain": gear.Chain, "belt": gear.Belt}

// meshKind is how a wheel takes its motion: as it says, or as the teeth of the
// whole drive do.
func meshKind(d *schema.Drive, wheel string) gear.Kind {
	if w, ok := d.Wheels.Get(wheel); ok && w.Mesh.Given() {
		return meshKinds[w.Mesh.Text]
	}
	switch {
	case d.Teeth != nil && (d.Teeth.Form.Text == "bevel" || d.Teeth.Form.Text == "skew"):
		return meshKinds[d.Teeth.Form.Text]
	case d.Chain != nil:
		return gear.Chain
	}
	return gear.External
}

func crankTurning(e *schema.Engine) gear.Turning {
	if e.Layout == nil {
		return gear.Turning{}
	}
	return turningOf(e.Layout.Rotation)
}

func turningOf(f *schema.Figure) gear.Turning {
	c := f.First()
	if c == nil || c.Printed.Direction.From == "" {
		return gear.Turning{}
	}
	t := gear.Turning{SeenFrom: endName(c.Printed.Direction.From)}
	switch c.Printed.Direction.Sense {
	case figure.Clockwise:
		t.Sense = gear.Clockwise
	case figure.Anticlockwise:
		t.Sense = gear.Anticlockwise
	default:
		return gear.Turning{}
	}
	return t
}

// endName is the name of an end without its article: the front, front.
func endName(s string) string {
	return strings.TrimPrefix(strings.ToLower(strings.TrimSpace(s)), "the ")
}

// facing holds the ends that look at one another along the crankshaft.
var facing = [][2]string{
	{"front", "rear"}, {"front", "back"}, {"timing end", "flywheel end"}, {"timing end", "flywheel"}, {"front", "flywheel end"}, {"front", "flywheel"},
	{"timing side", "drive side"}, {"driving end", "free end"}, {"timing end", "driving end"}, {"front", "driving end"}, {"radiator end", "flywheel end"},
}

// seenAs returns a turning as it looks from another end; false when nothing
// says how the two ends lie to one another.
func seenAs(t gear.Turning, end string) (gear.Turning, bool) {
	if t.SeenFrom == end {
		return t, true
	}
	for _, pair := range facing {
		if pair[0] == t.SeenFrom && pair[1] == end || pair[1] == t.SeenFrom && pair[0] == end {
			t = t.Reversed()
			t.SeenFrom = end
			return t, true
		}
	}
	return gear.Turning{}, false
}

var rotation = &lint.Rule{
	Name:      "drives/rotation",
	Level:     lint.Error,
	Title:     "Directions of rotation follow from the meshes",
	Checks:    "The direction printed for each wheel and each driven shaft is what the crankshaft's direction becomes through the train: external wheels reverse it, chains, belts and internal wheels do not.",
	Why:       "The direction decides which way a tooth is early. Turned the other way the correction doubles the error.",
	Formula:   "direction of a shaft = direction of the crankshaft, reversed at each external mesh",
	Basis:     "Parity of meshes; printed case: crankshaft and camshaft clockwise, accessories anticlockwise (hells-confetti.com, quoting a maker's manual p. 16).",
	Accepting: "Accept it when the source is known to describe another view, and say which.",
	Bad: `
layout: {cylinders: 1, rotation: clockwise seen from timing end, numbered_from: timing end, from: handbook p. 6}
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28}, camshaft: {teeth: 56}}
    rotation: clockwise seen from timing end
`,
	Good: `
layout: {cylinders: 1, rotation: clockwise seen from timing end, numbered_from: timing end, from: handbook p. 6}
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28}, camshaft: {teeth: 56}}
    rotation: anticlockwise seen from timing end
`,
	Engine: func(p *lint.Pass) {
		eachTrain(p.Engine, func(drive schema.Named[*schema.Drive], shafts []shaft) {
			train, err := motionOf(drive, crankTurning(p.Engine))
			if err != nil {
				return
			}
			check := func(wheel string, f *schema.Figure) {
				printed := turningOf(f)
				computed, err := train.Turning(wheel)
				if err != nil || printed.Sense == gear.NotDetermined || computed.Sense == gear.NotDetermined {
					return
				}
				is, ok := seenAs(computed, printed.SeenFrom)
				if ok && is.Sense != printed.Sense {
					p.ReportFigure(f, "%s turns %s by the print, and %s through the train %s from a crankshaft turning %s; a direction, the end it is seen from or a mesh is wrong",
						wheel, f.Text(), is, drive.Value.Train.Text, p.Engine.Layout.Rotation.Text()).
						Involving(p.Engine.Layout.Rotation).See(p.Engine.Layout.Rotation.At, "rotation: %s", p.Engine.Layout.Rotation.Text())
				}
			}
			for _, w := range drive.Value.Wheels {
				check(w.Name, w.Value.Rotation)
			}
			check(shafts[len(shafts)-1][0], drive.Value.Rotation)
		})
	},
}

var helix = &lint.Rule{
	Name:  "drives/helix",
	Level: lint.Error,
	Title: "Helical wheels fit one another",
	Checks: "External helical mates have opposite hands and an internal pair the same; a wheel's pitch diameter is its teeth times the normal module over the cosine of the helix; " +
		"the centre distance lies within one module of half the sum of the pitch diameters, which leaves room for profile shift.",
	Why:       "A wrong helix or hand turns the sliding-home allowance the wrong way, and the timing is out by twice as much.",
	Formula:   "pitch diameter = teeth × normal module / cos helix; centre distance ≈ half the sum of two",
	Basis:     "ISO 21771 terms (from memory); the formulas are printed with worked values in the Drivetrain Hub notebooks, Helical Gears, 2021.",
	Accepting: "Accept it for wheels cut with a larger profile shift.",
	Bad: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28, hand: right}, camshaft: {teeth: 56, hand: right}}
    teeth: {form: helical, helix: 22½, normal_pitch: 10 DP}
`,
	Good: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28, hand: right}, camshaft: {teeth: 56, hand: left}}
    teeth: {form: helical, helix: 22½, normal_pitch: 10 DP, centre_distance: 4.546 in}
`,
	Engine: func(p *lint.Pass) {
		eachTrain(p.Engine, func(drive schema.Named[*schema.Drive], shafts []shaft) {
			checkHands(p, drive, shafts)
			t := drive.Value.Teeth
			if t == nil || t.Form.Text == "bevel" || t.Form.Text == "skew" {
				return
			}
			module, ok := intervalOf(t.NormalPitch)
			beta := interval.Point(0)
			if h, given := intervalOf(t.Helix); given {
				beta = h
			} else if t.Form.Text == "helical" {
				return
			}
			if !ok {
				return
			}
			checkDiameters(p, drive, module, beta)
			checkCentres(p, drive, shafts, module, beta)
		})
	},
}

// checkHands reports hands that cannot mesh: of two mates, or of wheels with
// others between them whose hands are not given.
func checkHands(p *lint.Pass, drive schema.Named[*schema.Drive], shafts []shaft) {
	train, err := motionOf(drive, gear.Turning{})
	if err != nil {
		return
	}
	_, err = train.Hands()
	if err == nil {
		return
	}
	at := drive.Key
	for i, s := range shafts {
		driven, _ := drive.Value.Wheels.Get(s[0])
		if !driven.Hand.Given() {
			continue
		}
		at = driven.Hand.At
		if i > 0 {
			before := shafts[i-1]
			driver, _ := drive.Value.Wheels.Get(before[len(before)-1])
			if gear.CheckHands(meshKind(drive.Value, s[0]), handOf(driver), handOf(driven)) != nil {
				break
			}
		}
	}
	p.Report(at, "%s; a hand was misread, or the mesh is of another kind", err).About("drives." + drive.Name)
}

func checkDiameters(p *lint.Pass, drive schema.Named[*schema.Drive], module, beta interval.Interval) {
	for _, w := range drive.Value.Wheels {
		printed, ok := workedOut(w.Value.PitchDiameter)
		teeth, counted := countOf(w.Value.Teeth)
		if !ok || !counted {
			continue
		}
		computed := interval.Point(float64(teeth)).Mul(module).Div(beta.CosDeg())
		if !printed.Meets(computed) {
			p.ReportFigure(w.Value.PitchDiameter, "the pitch diameter of %s is printed %s, and %d teeth of %s give %s; teeth, pitch or helix may be misread", w.Name, w.Value.PitchDiameter.Text(),
				teeth, drive.Value.Teeth.NormalPitch.Text(), inUnitOf(computed, w.Value.PitchDiameter)).
				Involving(w.Value.Teeth, drive.Value.Teeth.NormalPitch, drive.Value.Teeth.Helix)
		}
	}
}

func checkCentres(p *lint.Pass, drive schema.Named[*schema.Drive], shafts []shaft, module, beta interval.Interval) {
	t := drive.Value.Teeth
	printed, ok := workedOut(t.CentreDistance)
	first, second := shafts[0][len(shafts[0])-1], shafts[1][0]
	kind := meshKind(drive.Value, second)
	if !ok || kind != gear.External && kind != gear.Internal {
		return
	}
	wheel := func(name string) (teeth int) {
		if w, ok := drive.Value.Wheels.Get(name); ok {
			teeth, _ = countOf(w.Teeth)
		}
		return teeth
	}
	reference, err := gear.ReferenceCentreDistance(kind, wheel(first), wheel(second), beta, module)
	if err != nil || printed.Meets(reference.Grow(module.Hi)) {
		return
	}
	p.ReportFigure(t.CentreDistance, "the centre distance is printed %s, and %s with %s stand %s apart before any profile shift; teeth, pitch or helix may be misread",
		t.CentreDistance.Text(), first, second, inUnitOf(reference, t.CentreDistance)).Involving(t.NormalPitch, t.Helix)
}

// inUnitOf shows a working value in the unit that a figure is printed in.
func inUnitOf(is interval.Interval, f *schema.Figure) string {
	if r, ok := f.Reading(); ok {
		return inUnit(is, r.Unit)
	}
	return inUnit(is, convert.Millimetre)
}

// inUnit shows the middle of a working value in a unit.
func inUnit(is interval.Interval, unit convert.Unit) string {
	one := big.NewRat(1, 1)
	return fmt.Sprintf("%.4g %s", is.Div(unit.Interval(one, one)).Mid(), unit.Symbol())
}

var slidingHome = &lint.Rule{
	Name:  "drives/sliding-home",
	Level: lint.Error,
	Title: "What sliding a helical wheel home turns",
	Checks: "The teeth turned as a helical wheel is slid home are its travel times the sine of the helix over π times the normal module, to the nearest tooth; and they turn the way that the hand gives, " +
		"with the crankshaft held.",
	Why:       "The allowance is taken before the wheel is slid. Taken the wrong way it puts the timing out by twice the teeth.",
	Formula:   "teeth = travel × sin helix / (π × normal module)",
	Basis:     "Geometry of the helix, ISO 21771 terms (from memory); counting the allowance in teeth is " + commonPractice + ".",
	Accepting: "Accept it when the maker counts from a mark rather than by teeth.",
	Bad: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28, hand: right}, camshaft: {teeth: 56, hand: left}}
    teeth: {form: helical, helix: 22½, normal_pitch: 10 DP}
    sliding_home: {wheel: crankshaft, slides: away from timing end, travel: 1.64 in, turns: camshaft, by: 3 teeth}
`,
	Good: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 28, hand: right}, camshaft: {teeth: 56, hand: left}}
    teeth: {form: helical, helix: 22½, normal_pitch: 10 DP}
    sliding_home: {wheel: crankshaft, slides: away from timing end, travel: 1.64 in, turns: camshaft, by: 2 teeth}
`,
	Engine: func(p *lint.Pass) {
		for _, drive := range p.Engine.Drives {
			if s := drive.Value.SlidingHome; s != nil {
				checkTravel(p, drive, s)
				checkSlide(p, drive, s)
			}
		}
	},
}

// checkTravel holds the teeth turned against the travel, and against what the
// train makes of them: nothing for an idler, which is slid along two mates at once.
func checkTravel(p *lint.Pass, drive schema.Named[*schema.Drive], s *schema.SlidingHome) {
	by, counted := intervalOf(s.By)
	each := slidEach(p.Engine, drive, s)
	if counted && each.Sign() == 0 && by.Lo > 0 {
		p.ReportFigure(s.By, "sliding home turns %s by %s by the print, and sliding the %s wheel, which is in mesh on both sides or drives nothing on the way there, does not turn it",
			s.Turns.Text, s.By.Text(), s.Wheel.Text)
		return
	}
	turned, ok := slidTeeth(p.Engine, drive, s)
	if !ok || !counted || turned.Grow(0.5).Meets(by) {
		return
	}
	t := drive.Value.Teeth
	travel, _ := intervalOf(s.Travel)
	beta, _ := intervalOf(t.Helix)
	module, _ := intervalOf(t.NormalPitch)
	p.ReportFigure(s.By, "sliding home turns %s by the print, and a travel of %s with a helix of %s turns %.2f teeth; count again, or look whether travel and helix are read right",
		s.By.Text(), s.Travel.Text(), t.Helix.Text(), turned.Mid()).
		Involving(s.Travel, t.Helix, t.NormalPitch).
		Work("teeth = travel × sin helix / (π × normal module)").
		Work("%.4g mm × sin %.4g° / (π × %.4g mm) = %.4g", travel.Mid(), beta.Mid(), module.Mid(), turned.Mid())
}

// checkSlide holds the direction printed for a wheel slid home, with the
// crankshaft held, against that which the hands give.
func checkSlide(p *lint.Pass, drive schema.Named[*schema.Drive], s *schema.SlidingHome) {
	printed := turningOf(s.Direction)
	if printed.Sense == gear.NotDetermined {
		return
	}
	is, ok := slidTurning(drive, s)
	if ok && is.Sense != printed.Sense {
		p.ReportFigure(s.Direction, "the %s turns %s by the print, and %s when the %s wheel slides %s; a hand or a direction is wrong", s.Turns.Text, s.Direction.Text(), is, s.Wheel.Text, s.Slides.Text)
	}
}

// slidEach is by how many teeth a wheel turns for each tooth's worth of travel of
// the one that is slid; one where the train does not say.
func slidEach(e *schema.Engine, drive schema.Named[*schema.Drive], s *schema.SlidingHome) *big.Rat {
	train, err := trainOf(e, drive)
	if err != nil {
		train, err = motionOf(drive, gear.Turning{})
	}
	if err != nil {
		return big.NewRat(1, 1)
	}
	slid, err := train.Slide(s.Wheel.Text, gear.Away, s.Turns.Text)
	if err != nil {
		return big.NewRat(1, 1)
	}
	return slid.Teeth
}

// slidTeeth is by how many teeth sliding home turns a wheel, worked out from
// travel, helix and pitch; false where they are not given.
func slidTeeth(e *schema.Engine, drive schema.Named[*schema.Drive], s *schema.SlidingHome) (interval.Interval, bool) {
	t := drive.Value.Teeth
	if s == nil || t == nil {
		return interval.Empty(), false
	}
	travel, ok := intervalOf(s.Travel)
	beta, okay := intervalOf(t.Helix)
	module, given := intervalOf(t.NormalPitch)
	turned, err := gear.TeethTurned(travel, beta, module)
	each := slidEach(e, drive, s)
	return turned.Mul(interval.FromRat(each, each)), ok && okay && given && err == nil
}

// slidTurning is which way sliding home turns a wheel, from the hands, seen from
// the end that its print names, or else from the end it slides from or to.
func slidTurning(drive schema.Named[*schema.Drive], s *schema.SlidingHome) (gear.Turning, bool) {
	if s == nil {
		return gear.Turning{}, false
	}
	way, end, ok := slideWay(s.Slides.Text)
	train, err := motionOf(drive, gear.Turning{SeenFrom: end})
	if !ok || err != nil {
		return gear.Turning{}, false
	}
	slid, err := train.Slide(s.Wheel.Text, way, s.Turns.Text)
	if err != nil {
		return gear.Turning{}, false
	}
	if from := turningOf(s.Direction).SeenFrom; from != "" {
		end = from
	}
	is, ok := seenAs(slid.Turning, end)
	return is, ok && is.Sense != gear.NotDetermined
}

// slideWay reads "away from timing end" and "towards the flywheel".
func slideWay(words string) (way gear.Facing, end string, ok bool) {
	words = strings.ToLower(strings.TrimSpace(words))
	for prefix, way := range map[string]gear.Facing{"away from ": gear.Away, "toward ": gear.Toward, "towards ": gear.Toward} {
		if rest, found := strings.CutPrefix(words, prefix); found {
			return way, endName(rest), true
		}
	}
	return gear.FacingNotGiven, "", false
}

var crossedShafts = &lint.Rule{
	Name:  "drives/crossed-shafts",
	Level: lint.Error,
	Title: "Bevels and skew gears have the angles their teeth give",
	Checks: "A bevel's pitch angle follows from the teeth of the pair and the angle between the shafts; for skew gears of one helix the shaft angle is twice the helix when both are of one hand " +
		"(a warning, since the two may have helices of their own).",
	Why: "The ratio alone does not tell which of a bevel pair is which; the angles do, and show a pair that was described the wrong way round.",
	Formula: "tan pitch angle = sin shaft angle / (mate's teeth / own teeth + cos shaft angle); " +
		"shaft angle of skew gears = sum of the helix angles",
	Basis:     "ISO 23509 and ISO 21771 terms (from memory).",
	Accepting: "Accept it for skew gears whose two helix angles differ; the file has room for one.",
	Bad: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 22, pitch_angle: 45}, camshaft: {teeth: 44}}
    teeth: {form: bevel, shaft_angle: 90}
`,
	Good: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > camshaft
    wheels: {crankshaft: {teeth: 22, pitch_angle: 26½}, camshaft: {teeth: 44}}
    teeth: {form: bevel, shaft_angle: 90}
`,
	Engine: func(p *lint.Pass) {
		eachTrain(p.Engine, func(drive schema.Named[*schema.Drive], shafts []shaft) {
			if drive.Value.Teeth == nil {
				return
			}
			sigma, ok := intervalOf(drive.Value.Teeth.ShaftAngle)
			if !ok {
				return
			}
			for i, to := range shafts[1:] {
				from := shafts[i]
				a, _ := drive.Value.Wheels.Get(from[len(from)-1])
				b, _ := drive.Value.Wheels.Get(to[0])
				if a == nil || b == nil {
					continue
				}
				switch meshKind(drive.Value, to[0]) {
				case gear.Bevel:
					checkBevel(p, drive, from[len(from)-1], a, b, sigma)
					checkBevel(p, drive, to[0], b, a, sigma)
				case gear.Skew:
					checkSkew(p, drive, a, b, sigma)
				}
			}
		})
	},
}

func checkBevel(p *lint.Pass, drive schema.Named[*schema.Drive], name string, own, mate *schema.Wheel, sigma interval.Interval) {
	printed, ok := intervalOf(own.PitchAngle)
	z1, counted := countOf(own.Teeth)
	z2, both := countOf(mate.Teeth)
	if !ok || !counted || !both {
		return
	}
	low, _, err := gear.BevelPitchAngles(z1, z2, sigma.Lo)
	high, _, err2 := gear.BevelPitchAngles(z1, z2, sigma.Hi)
	if err != nil || err2 != nil {
		return
	}
	if computed := interval.Of(min(low, high), max(low, high)).Grow(1e-9); !computed.Meets(printed) {
		p.ReportFigure(own.PitchAngle, "the pitch angle of %s is printed %s, and %d with %d teeth at %s between the shafts give %.2f°; the two wheels of the pair may be interchanged",
			name, own.PitchAngle.Text(), z1, z2, drive.Value.Teeth.ShaftAngle.Text(), computed.Mid()).Involving(own.Teeth, mate.Teeth, drive.Value.Teeth.ShaftAngle)
	}
}

func checkSkew(p *lint.Pass, drive schema.Named[*schema.Drive], a, b *schema.Wheel, sigma interval.Interval) {
	beta, ok := intervalOf(drive.Value.Teeth.Helix)
	if !ok || handOf(a) == gear.HandNotGiven || handOf(b) == gear.HandNotGiven {
		return
	}
	angle, err := gear.SkewShaftAngle(beta, beta, handOf(a), handOf(b))
	if err == nil && !angle.Meets(sigma) {
		p.ReportFigure(drive.Value.Teeth.ShaftAngle, "the shafts stand at %s by the print, and skew wheels that both have a helix of %s, of these hands, need %.4g°",
			drive.Value.Teeth.ShaftAngle.Text(), drive.Value.Teeth.Helix.Text(), angle.Mid()).Involving(drive.Value.Teeth.Helix).Level = lint.Warning
	}
}

var chain = &lint.Rule{
	Name:      "drives/chain",
	Level:     lint.Warning,
	Title:     "A timing chain has an even number of pitches",
	Checks:    "The chain's length is an even number of pitches, and each chain wheel that prints its pitch diameter has the one that its teeth and the pitch give.",
	Why:       "An odd chain needs a cranked link, which timing chains do not have: the pitches were miscounted. Counted marks between the wheels then come out one wrong.",
	Formula:   "pitch diameter = pitch / sin (180° / teeth)",
	Basis:     "ISO 606, ANSI B29.1 (from memory); published timing chains have 52, 74, 78, 104 and 106 pitches (check of four makers' pages).",
	Accepting: "Accept it where a cranked link is really fitted.",
	Bad: `
drives:
  camshaft: {chain: {pitch: 3/8 in, pitches: 73, rows: 2}, from: sheet p. 1}
`,
	Good: `
drives:
  camshaft: {chain: {pitch: 3/8 in, pitches: 74, rows: 2}, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		for _, drive := range p.Engine.Drives {
			c := drive.Value.Chain
			if c == nil {
				continue
			}
			if n, ok := countOf(c.Pitches); ok {
				if err := gear.CheckPitches(n); err != nil {
					p.ReportFigure(c.Pitches, "%s; they may have been miscounted", err)
				}
			}
			pitch, ok := intervalOf(c.Pitch)
			for _, w := range drive.Value.Wheels {
				printed, given := workedOut(w.Value.PitchDiameter)
				teeth, counted := countOf(w.Value.Teeth)
				if !ok || !given || !counted || !onChain(drive.Value, w.Name) {
					continue
				}
				low, err := gear.ChainPitchDiameter(pitch.Lo, teeth)
				high, err2 := gear.ChainPitchDiameter(pitch.Hi, teeth)
				if err == nil && err2 == nil && !interval.Of(low, high).Meets(printed) {
					p.ReportFigure(w.Value.PitchDiameter, "the pitch diameter of %s is printed %s, and %d teeth on a pitch of %s give %s", w.Name,
						w.Value.PitchDiameter.Text(), teeth, c.Pitch.Text(), inUnitOf(interval.Of(low, high), w.Value.PitchDiameter)).Involving(c.Pitch, w.Value.Teeth)
				}
			}
		}
	},
}

// onChain reports whether a wheel runs in the drive's chain: its own mesh, or
// that of the wheel it drives, is one.
func onChain(d *schema.Drive, name string) bool {
	shafts := shaftsOf(d.Train.Text)
	for i, s := range shafts {
		last := s[len(s)-1]
		if i > 0 && s[0] == name && meshKind(d, name) == gear.Chain || last == name && i+1 < len(shafts) && meshKind(d, shafts[i+1][0]) == gear.Chain {
			return true
		}
	}
	return false
}

// farApart is after how many crank turns marks that meet again are worth a word.
const farApart = 8

var marksMeet = &lint.Rule{
	Name:      "drives/marks-meet",
	Level:     lint.Error,
	Title:     "When the marks meet again",
	Checks:    "The number of crank turns printed after which all marks meet again is the least number after which every shaft of the train has made whole turns. Where it is not printed and the marks meet seldom, a note says when.",
	Why:       "With a hunting tooth the marks stand together only every so many turns. Who does not know turns the engine in vain, or takes it for wrongly timed.",
	Formula:   "least N for which N × every shaft's speed is whole; a pair meets after mate's teeth / gcd turns",
	Basis:     "Encyclopaedia Britannica, 11th ed., vol. 17, Mechanics, equations 20 to 22; Gleason, Gear Technology Solutions, p. 96.",
	Accepting: "Accept it when only some of the wheels are marked, and say which.",
	Bad: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > idler > camshaft
    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 45}, camshaft: {teeth: 56}}
    marks_meet_after: 45
`,
	Good: `
drives:
  camshaft:
    from: sheet p. 1
    train: crankshaft > idler > camshaft
    wheels: {crankshaft: {teeth: 28}, idler: {teeth: 45}, camshaft: {teeth: 56}}
    marks_meet_after: 90
`,
	Engine: func(p *lint.Pass) {
		eachTrain(p.Engine, func(drive schema.Named[*schema.Drive], shafts []shaft) {
			train, err := trainOf(p.Engine, drive)
			if err != nil {
				return
			}
			turns, err := train.MeetAgain()
			if err != nil {
				return
			}
			exactly := new(big.Rat).SetInt(turns)
			printed, ok := countOf(drive.Value.MarksMeetAfter)
			switch {
			case ok && turns.Cmp(big.NewInt(int64(printed))) != 0:
				p.ReportFigure(drive.Value.MarksMeetAfter, "the marks meet again after %s turns of the crankshaft by the print, and after %s through the train %s%s",
					drive.Value.MarksMeetAfter.Text(), turns, drive.Value.Train.Text, meetAlone(train, shafts, printed)).
					Suspecting(relation.Outside(drive.Value.MarksMeetAfter, figure.NoDatum, interval.FromRat(exactly, exactly)))
			case !ok && drive.Value.MarksMeetAfter == nil && turns.Cmp(big.NewInt(farApart)) > 0:
				p.Report(drive.Value.Train.At, "the marks of this train meet only every %s turns of the crankshaft", turns).
					About("drives." + drive.Name).Level = lint.Note
			}
		})
	},
}

// meetAlone names two mates whose marks alone meet again after so many turns of
// the crankshaft, where there are such; "" where not.
func meetAlone(train *gear.Train, shafts []shaft, turns int) string {
	for i, to := range shafts[1:] {
		from := shafts[i]
		alone, err := train.MeetAgain(from[len(from)-1], to[0])
		if err == nil && alone.Cmp(big.NewInt(int64(turns))) == 0 {
			return fmt.Sprintf("; those of %s and %s alone meet after %d", from[len(from)-1], to[0], turns)
		}
	}
	return "; a count of teeth or of turns is wrong"
}

var keyways = &lint.Rule{
	Name:      "drives/keyways",
	Level:     lint.Warning,
	Title:     "Keyways that gain nothing",
	Checks:    "A wheel with several keyways gains a step finer than a tooth: the keyways do not divide the teeth. An offset key turns its wheel by less than a tooth.",
	Why:       "Several keyways are cut to set the timing finer than a tooth. When they divide the teeth they cannot, so one of the two counts is wrong.",
	Formula:   "finest step = gcd (keyways, teeth) / keyways of a tooth; offset of a key < 360° / teeth",
	Basis:     "Three keyways for a third of a tooth are printed in a motorcycle manual (cld.bz/bookdata/QLPD1h, p. 15); the condition is arithmetic.",
	Accepting: "Accept it for keyways that are there for strength, or for another wheel.",
	Bad: `
drives:
  camshaft: {wheels: {crankshaft: {teeth: 21, keyways: 3}}, from: sheet p. 1}
`,
	Good: `
drives:
  camshaft: {wheels: {crankshaft: {teeth: 20, keyways: 3}}, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		for _, drive := range p.Engine.Drives {
			for _, w := range drive.Value.Wheels {
				z, counted := countOf(w.Value.Teeth)
				if !counted || z < 1 {
					continue
				}
				checkKeyways(p, w, z)
				checkOffsetKeys(p, w, z)
			}
		}
	},
}

func checkKeyways(p *lint.Pass, w schema.Named[*schema.Wheel], z int) {
	k, ok := countOf(w.Value.Keyways)
	if !ok || k < 2 {
		return
	}
	if step, err := gear.KeywayStep(k, z); err == nil && step.Cmp(big.NewRat(1, 1)) == 0 {
		p.ReportFigure(w.Value.Keyways, "%d keyways divide the %d teeth of %s, so they give nothing finer than a tooth; one of the counts may be wrong", k, z, w.Name).
			Involving(w.Value.Teeth)
	}
}

func checkOffsetKeys(p *lint.Pass, w schema.Named[*schema.Wheel], z int) {
	tooth := interval.Point(360).Div(interval.Point(float64(z)))
	for _, by := range anglesOf(w.Value.OffsetKeys) {
		if by = by.Abs(); by.Lo >= tooth.Hi {
			p.ReportFigure(w.Value.OffsetKeys, "an offset key of %.4g° turns %s by more than one of its %d teeth, %.4g°, which moving it by a tooth does as well; it may be counted in crank degrees, or misread",
				by.Mid(), w.Name, z, tooth.Mid()).Involving(w.Value.Teeth)
			return
		}
	}
}

// Backlash of timing wheels in parts of their module. Outside them a print is
// read in the wrong unit.
var usualBacklash = interval.Of(0.005, 0.3)

var backlash = &lint.Rule{
	Name:      "drives/backlash",
	Level:     lint.Warning,
	Title:     "Backlash out of proportion to the teeth",
	Checks:    "The backlash printed lies between 0.005 and 0.3 of the module.",
	Why:       "Backlash decides how far a reading can be out for the direction it is approached from. Ten times too large, it excuses every error.",
	Formula:   "0.005 × module ≤ backlash ≤ 0.3 × module",
	Basis:     commonPractice + ".",
	Accepting: "Accept it for worn wheels that were measured.",
	Bad: `
drives:
  camshaft: {teeth: {form: spur, normal_pitch: 10 DP, backlash: 2 mm}, from: sheet p. 1}
`,
	Good: `
drives:
  camshaft: {teeth: {form: spur, normal_pitch: 10 DP, backlash: 2 thou}, from: sheet p. 1}
`,
	Engine: func(p *lint.Pass) {
		for _, drive := range p.Engine.Drives {
			t := drive.Value.Teeth
			if t == nil {
				continue
			}
			free, ok := intervalOf(t.Backlash)
			module, given := intervalOf(t.NormalPitch)
			if ok && given && !free.Meets(usualBacklash.Mul(module)) {
				p.ReportFigure(t.Backlash, "a backlash of %s is out of proportion to teeth of %s; look whether its unit is right", t.Backlash.Text(), t.NormalPitch.Text()).Involving(t.NormalPitch)
			}
		}
	},
}
