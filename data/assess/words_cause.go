package assess

import (
	"fmt"
	"math"

	"fourmarks.example/convert/gear"
)

// saysCause says what one cause is, as a person would look for it.
func (a *assessor) saysCause(f *fitted) string {
	switch f.cause {
	case AsItShould:
		return "nothing is out"
	case RevolutionOut:
		return "the camshaft is a whole turn of the crank (360°) out: the cylinder whose spark is due is on the rock"
	case Tooth:
		return f.saysTooth()
	case Camshaft:
		on := "its drive"
		if f.drive != nil {
			on = "the drive of the " + f.drive.name
		}
		return "the camshaft has moved on " + on + ": a key, a coupling or a bolt has let go or was set otherwise, or a chain is worn"
	case DeadCentreMark:
		return a.saysMark()
	case Flywheel:
		return "the flywheel, with its marks, was refitted in another position" + a.saysBolts(f)
	case OtherDeadCentre:
		return "it was counted from the dead centre of " + f.where
	case WrongClearance:
		return a.saysClearance(f)
	case WornLobe:
		return fmt.Sprintf("the %s lobe of %s, or what runs on it, is worn; the clearance felt again is then as it was said", f.valve, cylinderName(f.cylinder))
	}
	return string(f.cause)
}

// saysBolts says by how many of its bolts a flywheel has moved.
func (a *assessor) saysBolts(f *fitted) string {
	if a.bench.bolts == 0 || len(f.against) > 0 {
		return ""
	}
	by := a.stop()
	if len(f.found) > 0 {
		by = f.found[0]
	}
	on := int(math.Round(by * float64(a.bench.bolts) / oneTurn))
	return fmt.Sprintf(", by %d of its %s", abs(on), plural(a.bench.bolts, "bolt", "bolts"))
}

func (a *assessor) saysMark() string {
	s := a.bench.stop
	if s == nil {
		return "the dead-centre mark or the pointer is out by as much; a stop against the piston, read on both sides of top dead centre, tells"
	}
	by, where := nearest(s.after), "after"
	if by < 0 {
		by, where = -by, "before"
	}
	return fmt.Sprintf("the dead-centre mark or the pointer is out: by the stop, top dead centre comes %s ± %s %s its mark", degrees(by), degrees(2*s.sigma), where)
}

func (f *fitted) saysTooth() string {
	way := "late"
	if f.teeth < 0 {
		way = "early"
	}
	count := plural(abs(f.teeth), "tooth", "teeth")
	if f.where == "" {
		return fmt.Sprintf("a timing wheel is %s %s", count, way)
	}
	seen := ""
	if f.drive != nil && f.drive.train != nil {
		if t, err := f.drive.train.Turning(f.where); err == nil && t.Sense != gear.NotDetermined {
			behind := t.Reversed()
			if f.teeth < 0 {
				behind = t
			}
			seen = ": it stands that much too far " + behind.String()
		}
	}
	return fmt.Sprintf("%s is %s %s in its mesh with %s%s", f.where, count, way, f.mesh.driver, seen)
}

func (a *assessor) saysClearance(f *fitted) string {
	whose := "the clearances were"
	switch {
	case f.cylinder != 0:
		whose = fmt.Sprintf("the %s clearance of %s was", f.valve, cylinderName(f.cylinder))
	case f.valve != "":
		whose = fmt.Sprintf("the %s clearance was", f.valve)
	}
	if f.of != nil {
		return whose + " not what was said, but the " + readAt(f.of.sets[0].Value)
	}
	return whose + " not what was said"
}
