package assess

import (
	"math"

	"fourmarks.example/convert/gear"
)

// closeEnough is how near an adjustment should come, in crank degrees, where the
// readings know it as closely (common practice, no source).
const closeEnough = 1.0

// correct is the best correction for a camshaft that is late or early; nil where
// nothing of the kind is wrong, or the mark is.
func (a *assessor) correct(x *explanation) *Correction {
	drive, cause := a.correctable(x)
	if drive == nil {
		return nil
	}
	deg, sigma, ok := a.lateBy(x)
	ways := drive.ways()
	if named := x.named(); named != nil && named.cause == Tooth && drive.train != nil {
		if way, err := drive.train.Teeth(named.where); err == nil {
			ways = []gear.Adjustment{way}
		}
	}
	if !ok || len(ways) == 0 {
		return nil
	}
	best, err := gear.BestCorrection(math.Round(deg*100)/100, math.Max(closeEnough, math.Round(20*sigma)/10), ways...)
	if err != nil || len(best.Moves) == 0 {
		return nil
	}
	c := &Correction{Drive: drive.name, Says: best.String(), LeavesDeg: best.LateDeg}
	if !cause {
		c.If = "only when it is certain that the camshaft is out and not the dead-centre mark or the flywheel"
	}
	return c
}

// correctable returns the drive in which an explanation is put right, and whether
// it is certain that the fault is there.
func (a *assessor) correctable(x *explanation) (drive *camDrive, certain bool) {
	certain = true
	for _, f := range x.standing() {
		switch {
		case f.cause == Tooth || f.cause == Camshaft && f.drive != nil:
			drive = f.drive
		case f.cause == Camshaft:
			for i := range a.drives {
				if !a.drives[i].alone() {
					drive = &a.drives[i]
				}
			}
		default:
			certain = false
		}
	}
	if named := x.named(); named != nil {
		if named.cause != Tooth && named.cause != Camshaft {
			return nil, false
		}
		certain = true
	}
	return drive, certain
}
