package gear

import (
	"fmt"
	"math/big"
)

// Slid is what sliding a helical wheel along its shaft does to another wheel.
type Slid struct {
	// Teeth is how many teeth the other wheel turns for every tooth's worth of
	// travel at the slid wheel (see TeethTurned); never negative.
	Teeth *big.Rat
	// Turning is which way, seen from the end its shaft is seen from. When
	// Teeth is 0 it is not determined, because nothing turns.
	Turning Turning
}

// Slide returns what happens to wheel when the helical wheel slid is moved
// along its shaft, in mesh, with the crankshaft held. Hands not given are
// implied by those that are.
//
// A helix moved along its axis is the same helix turned. So a right-hand wheel
// moved away from the viewer looks to its mates as if it had turned
// anticlockwise, and what it drives follows; where it is itself driven, the
// held mate makes it turn clockwise instead. An idler does both at once, and
// what it drives stays. (Geometry of the helix; the tests confirm it on points
// of the tooth lines.)
func (t *Train) Slide(slid string, along Facing, wheel string) (Slid, error) {
	from, place, err := t.find(slid)
	if err != nil {
		return Slid{}, err
	}
	to, toPlace, err := t.find(wheel)
	if err != nil {
		return Slid{}, err
	}
	if along != Toward && along != Away {
		return Slid{}, fmt.Errorf("say whether %s slides toward or away from the end its shaft is seen from", slid)
	}
	driven := from > 0 && place == 0
	driver := from < len(t.meshes) && place == len(t.shafts[from])-1
	if err := t.slides(slid, from, driven, driver); err != nil {
		return Slid{}, err
	}
	still := Slid{new(big.Rat), Turning{SeenFrom: t.turning[to].SeenFrom, Reason: wheel + " does not turn"}}
	if to < from || to == from && !driven || to > from && driven == driver {
		return still, nil
	}
	sense, err := t.slideSense(slid, along, to > from && driver)
	if err != nil {
		return Slid{}, err
	}
	turning := Turning{Sense: sense, SeenFrom: t.turning[from].SeenFrom}
	if turning.SeenFrom == "" {
		turning = Turning{Reason: fmt.Sprintf("say from which end the shaft of %s is seen", slid)}
	}
	for i := from; i < to; i++ {
		turning = t.pass(i, turning, t.turning[i+1].SeenFrom)
	}
	// One tooth of travel is one tooth of turning at the slid wheel's mesh, and
	// shafts beyond it follow in the ratio of their speeds.
	teeth := big.NewRat(int64(t.shafts[to][toPlace].Teeth), int64(t.shafts[from][place].Teeth))
	teeth.Mul(teeth, t.turns[to])
	teeth.Quo(teeth, t.turns[from])
	return Slid{teeth, turning}, nil
}

// slides refuses wheels that cannot be slid in mesh.
func (t *Train) slides(slid string, shaft int, driven, driver bool) error {
	if !driven && !driver {
		return fmt.Errorf("%s meshes with nothing", slid)
	}
	for _, at := range []struct {
		meshes bool
		i      int
	}{{driven, shaft - 1}, {driver, shaft}} {
		if !at.meshes {
			continue
		}
		if k := t.meshes[at.i].Kind; k == Bevel || k == Chain || k == Belt {
			return fmt.Errorf("%s (%s): only helical wheels turn one another when slid", slid, k)
		}
	}
	return nil
}

// slideSense returns the sense in which a slid wheel turns, or, when asked for
// what it drives, the sense in which it acts as if turned.
func (t *Train) slideSense(slid string, along Facing, acts bool) (Sense, error) {
	hands, err := t.Hands()
	if err != nil {
		return NotDetermined, err
	}
	sense := Clockwise // a right-hand wheel slid away turns clockwise
	switch hands[slid] {
	case HandNotGiven:
		return NotDetermined, fmt.Errorf("the hand of %s is neither given nor implied", slid)
	case LeftHand:
		sense = -sense
	}
	if along == Toward {
		sense = -sense
	}
	if acts {
		sense = -sense
	}
	return sense, nil
}
