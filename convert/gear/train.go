package gear

import (
	"fmt"
	"math/big"
)

// Wheel is one toothed wheel of a train.
type Wheel struct {
	Name  string
	Teeth int

	// Hand is the hand of helical teeth; straight teeth have none.
	Hand Hand
	// Back says, of a bevel, which way its back (the large end) faces.
	Back Facing
	// SeenFrom names the end from which the turning of this wheel's shaft is
	// told. Shafts parallel to the one before take its end; a shaft that
	// crosses it needs an end of its own before its direction means anything.
	SeenFrom string
}

// Mesh is how a shaft drives the next.
type Mesh struct {
	Kind Kind
	// DrivenPoints settles the direction across skew wheels. Look from the
	// driven wheel at the driver, the end from which the driver's shaft is
	// seen upward: to which hand does the end from which the driven shaft is
	// seen point?
	DrivenPoints Hand
}

// Train is a row of shafts, each driving the next; the first is the
// crankshaft. It does not change once made.
type Train struct {
	shafts  [][]Wheel
	meshes  []Mesh
	turns   []*big.Rat // of each shaft for one turn of the crankshaft
	turning []Turning
	shaftOf map[string]int
}

// maxShafts bounds the size of the rationals.
const maxShafts = 16

// NewTrain returns the train of the given shafts, crankshaft first. The wheels
// of one shaft are listed in order: the first is driven by the shaft before,
// the last drives the shaft after; an idler is one wheel that does both.
// meshes[i] joins shaft i to shaft i+1.
//
// crankshaft is how the crankshaft turns; its zero value says that this is not
// given, and then no direction is determined. It is an error to name a wheel
// twice, to give a count outside 1 to 10,000, an internal wheel no larger than
// its mate, or ends that contradict the meshes.
func NewTrain(crankshaft Turning, shafts [][]Wheel, meshes []Mesh) (*Train, error) {
	if len(shafts) < 2 || len(shafts) > maxShafts {
		return nil, fmt.Errorf("a train has 2 to %d shafts, not %d", maxShafts, len(shafts))
	}
	if len(meshes) != len(shafts)-1 {
		return nil, fmt.Errorf("%d shafts need %d meshes, not %d", len(shafts), len(shafts)-1, len(meshes))
	}
	t := &Train{meshes: append([]Mesh(nil), meshes...), shaftOf: map[string]int{}}
	for i, wheels := range shafts {
		if err := t.addShaft(i, wheels); err != nil {
			return nil, err
		}
	}
	t.turns = []*big.Rat{big.NewRat(1, 1)}
	for i := range meshes {
		driver, driven := t.drivers(i)
		if err := checkMesh(meshes[i], driver, driven); err != nil {
			return nil, err
		}
		ratio := big.NewRat(int64(driver.Teeth), int64(driven.Teeth))
		t.turns = append(t.turns, ratio.Mul(ratio, t.turns[i]))
	}
	return t, t.direct(crankshaft)
}

func (t *Train) addShaft(i int, wheels []Wheel) error {
	if len(wheels) == 0 {
		return fmt.Errorf("shaft %d of the train carries no wheel", i+1)
	}
	for _, w := range wheels {
		if w.Name == "" {
			return fmt.Errorf("a wheel on shaft %d of the train has no name", i+1)
		}
		if _, twice := t.shaftOf[w.Name]; twice {
			return fmt.Errorf("wheel %q stands twice in the train", w.Name)
		}
		if err := count("teeth of "+w.Name, w.Teeth, maxTeeth); err != nil {
			return err
		}
		if w.Hand < LeftHand || w.Hand > RightHand || w.Back < FacingNotGiven || w.Back > Away {
			return fmt.Errorf("wheel %q: hand %d or back %d is none of those there are", w.Name, w.Hand, w.Back)
		}
		t.shaftOf[w.Name] = i
	}
	t.shafts = append(t.shafts, append([]Wheel(nil), wheels...))
	return nil
}

func checkMesh(m Mesh, driver, driven Wheel) error {
	if m.Kind < External || m.Kind > Belt {
		return fmt.Errorf("say how %s drives %s: external, internal, bevel, skew, chain or belt", driver.Name, driven.Name)
	}
	if m.DrivenPoints < LeftHand || m.DrivenPoints > RightHand {
		return fmt.Errorf("%s drives %s: %d is neither hand to which the driven shaft may point", driver.Name, driven.Name, m.DrivenPoints)
	}
	if m.Kind == Internal && driver.Teeth == driven.Teeth {
		return fmt.Errorf("%s and %s: a wheel toothed inside has more teeth than its mate", driver.Name, driven.Name)
	}
	return nil
}

// drivers returns the two wheels that meet at mesh i.
func (t *Train) drivers(i int) (driver, driven Wheel) {
	from := t.shafts[i]
	return from[len(from)-1], t.shafts[i+1][0]
}

func (t *Train) find(wheel string) (shaft, place int, err error) {
	shaft, ok := t.shaftOf[wheel]
	if !ok {
		return 0, 0, fmt.Errorf("the train has no wheel %q", wheel)
	}
	for i, w := range t.shafts[shaft] {
		if w.Name == wheel {
			place = i
		}
	}
	return shaft, place, nil
}

// Wheels returns the wheels in order from the crankshaft.
func (t *Train) Wheels() []Wheel {
	var all []Wheel
	for _, shaft := range t.shafts {
		all = append(all, shaft...)
	}
	return all
}

// Turns returns how often a wheel's shaft turns for one turn of the
// crankshaft: exactly the product of driving teeth over that of driven teeth
// (the first law of gearwork, as in B. Hayes, "On the Teeth of Wheels",
// American Scientist 88, 2000). The sign is always positive: see Turning.
func (t *Train) Turns(wheel string) (*big.Rat, error) {
	shaft, _, err := t.find(wheel)
	if err != nil {
		return nil, err
	}
	return new(big.Rat).Set(t.turns[shaft]), nil
}

// Turning returns how a wheel's shaft turns, with the end it is seen from, or
// the reason why that is not determined.
func (t *Train) Turning(wheel string) (Turning, error) {
	shaft, _, err := t.find(wheel)
	if err != nil {
		return Turning{}, err
	}
	return t.turning[shaft], nil
}

// ToothStep returns the crank degrees that bring the next tooth of a wheel to
// its mesh: 360 over its teeth and its turns for one turn of the crankshaft.
// Moving the wheel by one tooth against its mate moves everything it drives by
// as much. Both wheels of a mesh, and every mesh of a train of idlers, have
// the same step.
func (t *Train) ToothStep(wheel string) (*big.Rat, error) {
	shaft, place, err := t.find(wheel)
	if err != nil {
		return nil, err
	}
	return t.step(shaft, t.shafts[shaft][place].Teeth), nil
}

// step returns the crank degrees of 1/n turn of a shaft.
func (t *Train) step(shaft, n int) *big.Rat {
	s := big.NewRat(360, int64(n))
	return s.Quo(s, t.turns[shaft])
}

// MeetAgain returns the least number of crank turns after which the marks on
// the named wheels stand together again: the least N for which N times the
// turns of each marked shaft is whole. The crankshaft always counts. Without
// names every shaft is marked.
func (t *Train) MeetAgain(marked ...string) (*big.Int, error) {
	shafts := make([]int, 0, len(t.shafts))
	for _, wheel := range marked {
		shaft, _, err := t.find(wheel)
		if err != nil {
			return nil, err
		}
		shafts = append(shafts, shaft)
	}
	if len(marked) == 0 {
		for i := range t.shafts {
			shafts = append(shafts, i)
		}
	}
	n := big.NewInt(1)
	for _, shaft := range shafts {
		den := t.turns[shaft].Denom()
		common := new(big.Int).GCD(nil, nil, n, den)
		n.Mul(n, new(big.Int).Quo(den, common))
	}
	return n, nil
}

// Hands returns the hand of every helical wheel, given or implied: external
// mates have opposite hands, an internal wheel has its pinion's hand (ISO
// 21771, from memory). It is an error when given hands contradict each other.
// Wheels whose hand nothing settles are absent.
func (t *Train) Hands() (map[string]Hand, error) {
	hands := map[string]Hand{}
	for _, w := range t.Wheels() {
		if w.Hand != HandNotGiven {
			hands[w.Name] = w.Hand
		}
	}
	for i := range t.meshes {
		driver, driven := t.drivers(i)
		imply(hands, t.meshes[i].Kind, driver.Name, driven.Name)
	}
	for i := len(t.meshes) - 1; i >= 0; i-- {
		driver, driven := t.drivers(i)
		imply(hands, t.meshes[i].Kind, driven.Name, driver.Name)
		if err := CheckHands(t.meshes[i].Kind, hands[driver.Name], hands[driven.Name]); err != nil {
			return nil, fmt.Errorf("%s and %s: %w", driver.Name, driven.Name, err)
		}
	}
	return hands, nil
}

// imply sets the hand of a wheel from its mate's, when the mesh ties the two.
func imply(hands map[string]Hand, k Kind, from, to string) {
	if hands[from] == HandNotGiven || hands[to] != HandNotGiven {
		return
	}
	switch k {
	case External:
		hands[to] = -hands[from]
	case Internal:
		hands[to] = hands[from]
	}
}

// CheckHands returns an error when helical wheels of these hands cannot mesh:
// external mates need opposite hands, internal ones the same. Hands not given
// and meshes that do not tie them pass.
func CheckHands(k Kind, a, b Hand) error {
	if a == HandNotGiven || b == HandNotGiven {
		return nil
	}
	switch {
	case k == External && a == b:
		return fmt.Errorf("both are %s-hand; helical wheels in external mesh have opposite hands", a)
	case k == Internal && a != b:
		return fmt.Errorf("one is %s-hand and one %s-hand; an internal wheel has its pinion's hand", a, b)
	}
	return nil
}
