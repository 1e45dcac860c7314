package gear

import "fmt"

// direct finds how every shaft turns, from the crankshaft on.
func (t *Train) direct(crankshaft Turning) error {
	if crankshaft.Sense < Anticlockwise || crankshaft.Sense > Clockwise {
		return fmt.Errorf("the crankshaft's sense %d is none of clockwise, anticlockwise and not given", crankshaft.Sense)
	}
	if crankshaft.Sense != NotDetermined && crankshaft.SeenFrom == "" {
		return fmt.Errorf("the crankshaft turns %s: say from which end that is seen", crankshaft.Sense)
	}
	if crankshaft.Sense == NotDetermined && crankshaft.Reason == "" {
		crankshaft.Reason = "the crankshaft's rotation is not given"
	}
	end, err := endOf(t.shafts[0])
	if err != nil {
		return err
	}
	if end != "" && crankshaft.SeenFrom != "" && end != crankshaft.SeenFrom {
		return fmt.Errorf("the crankshaft is seen from %s and from %s: keep to one end", crankshaft.SeenFrom, end)
	}
	if crankshaft.SeenFrom == "" {
		crankshaft.SeenFrom = end
	}
	t.turning = []Turning{crankshaft}
	for i := range t.meshes {
		next, err := t.across(i)
		if err != nil {
			return err
		}
		t.turning = append(t.turning, next)
	}
	return nil
}

// endOf returns the end from which a shaft is seen, as its wheels say.
func endOf(shaft []Wheel) (string, error) {
	end, by := "", ""
	for _, w := range shaft {
		switch {
		case w.SeenFrom == "" || w.SeenFrom == end:
		case end == "":
			end, by = w.SeenFrom, w.Name
		default:
			return "", fmt.Errorf("%s and %s are on one shaft, but seen from %s and from %s", by, w.Name, end, w.SeenFrom)
		}
	}
	return end, nil
}

// across returns how the shaft after mesh i turns.
func (t *Train) across(i int) (Turning, error) {
	from := t.turning[i]
	driver, driven := t.drivers(i)
	end, err := endOf(t.shafts[i+1])
	if err != nil {
		return Turning{}, err
	}
	same := end != "" && end == from.SeenFrom
	switch crosses := t.meshes[i].Kind.crosses(); {
	case crosses && same:
		return Turning{}, fmt.Errorf("%s and %s cross, so they cannot both be seen from %s", driver.Name, driven.Name, end)
	case !crosses && !same && end != "" && from.SeenFrom != "":
		return Turning{}, fmt.Errorf("%s and %s are parallel: tell both from one end, not from %s and %s", driver.Name, driven.Name, from.SeenFrom, end)
	case !crosses && end == "":
		end = from.SeenFrom
	}
	return t.pass(i, from, end), nil
}

// pass returns how the shaft after mesh i, seen from the given end, turns when
// the one before turns as given.
func (t *Train) pass(i int, from Turning, end string) Turning {
	if from.Sense == NotDetermined {
		return Turning{SeenFrom: end, Reason: from.Reason}
	}
	driver, driven := t.drivers(i)
	if end == "" {
		return Turning{Reason: fmt.Sprintf("%s crosses %s: say from which end it is seen", driven.Name, driver.Name)}
	}
	relation, reason := relate(t.meshes[i], driver, driven)
	return Turning{Sense: from.Sense * relation, SeenFrom: end, Reason: reason}
}

// The two values relate returns when it can tell.
const (
	alike    Sense = 1
	opposite Sense = -1
)

// relate says whether two wheels in mesh turn alike or opposite, each seen
// from its own end, or why that cannot be told.
//
// Parallel shafts: external teeth reverse; internal teeth, chain and belt do
// not (common practice). Crossed shafts follow from equal velocity at the
// point of contact, worked out here for want of a source:
//
// Bevels: each looked at from its own back, the two turn opposite ways.
//
// Skew wheels: only the velocity across the teeth is shared. With helix angles
// β₁, β₂ (right hand positive) and the driven shaft's end at the angle φ
// anticlockwise from the driver's, the teeth lie along one another when
// φ + β₁ + β₂ is 0 or 180 degrees; the wheels turn opposite ways in the first
// case and alike in the second. So, with right hands, a driven end that points
// right (φ < 0) is the first case; a left-hand pair is its mirror image.
// Mixed hands depend on which helix is the steeper.
func relate(m Mesh, driver, driven Wheel) (Sense, string) {
	switch m.Kind {
	case External:
		return opposite, ""
	case Internal, Chain, Belt:
		return alike, ""
	case Bevel:
		switch {
		case driver.Back == FacingNotGiven || driven.Back == FacingNotGiven:
			return NotDetermined, fmt.Sprintf("bevels %s and %s: say which way the back of each faces", driver.Name, driven.Name)
		case driver.Back == driven.Back:
			return opposite, ""
		}
		return alike, ""
	}
	switch {
	case driver.Hand == HandNotGiven || driven.Hand == HandNotGiven:
		return NotDetermined, fmt.Sprintf("skew wheels %s and %s: say the hand of each", driver.Name, driven.Name)
	case driver.Hand != driven.Hand:
		return NotDetermined, fmt.Sprintf("skew wheels %s and %s are of different hands: the direction depends on which helix is the steeper", driver.Name, driven.Name)
	case m.DrivenPoints == HandNotGiven:
		return NotDetermined, fmt.Sprintf("skew wheels %s and %s: say to which hand the driven shaft points", driver.Name, driven.Name)
	case m.DrivenPoints == driver.Hand:
		return opposite, ""
	}
	return alike, ""
}
