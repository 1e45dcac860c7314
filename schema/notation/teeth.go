package notation

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"fourmarks.example/convert"
	"fourmarks.example/schema/figure"
)

// isWheelStep reports whether the print counts teeth of the timing wheels. A
// position counts those of the flywheel's ring gear; a movement counts those of
// the timing wheels where their step is known, and else of the ring gear.
func (c *converter) isWheelStep() bool {
	if c.reading.Measure != figure.Teeth || c.isPosition() {
		return false
	}
	return c.dims.given(ToothStep) || c.dims.given(WheelTeeth) || !c.dims.given(RingTeeth)
}

// isCounted reports whether the print is a movement of so many teeth, as they are
// counted and not measured.
func (f Figure) isCounted() bool {
	r := f.reading
	return r.Measure == figure.Teeth && !f.isPosition() && r.Form != figure.Decimal && !r.Stated && !r.Approximate
}

// fromTeeth turns printed teeth into degrees.
func (c *converter) fromTeeth() (amount, []Step, error) {
	teeth, err := c.given(convert.One)
	if err != nil {
		return amount{}, nil, err
	}
	what := fmt.Sprintf("%q in degrees", c.Text)
	if !c.isWheelStep() {
		ring, err := c.count(RingTeeth, what)
		if err != nil {
			return amount{}, nil, err
		}
		if far(teeth, int64(ring)) {
			return amount{}, nil, fmt.Errorf("%q is more than once round a ring of %d teeth", c.Text, ring)
		}
		degrees := teeth.scaled(ratio(360, int64(ring)))
		return degrees, []Step{{"degrees", "360 × teeth ÷ ring teeth", fmt.Sprintf("360 × %s ÷ %d", exactNumber(teeth.middle()), ring), exactNumber(degrees.middle())}}, nil
	}
	step, steps, err := c.toothStep(what)
	if err != nil {
		return amount{}, nil, err
	}
	if c.isCounted() {
		teeth = exactly(teeth.value)
		steps = append(steps, say("Timing wheels move by whole teeth, so the number of them is exact."))
	}
	degrees := teeth.times(step)
	return degrees, append(steps, Step{"degrees", "teeth × degrees for one tooth",
		fmt.Sprintf("%s × %s", exactNumber(teeth.middle()), exactNumber(step.middle())), exactNumber(degrees.middle())}), nil
}

// times multiplies amounts of which the second is positive.
func (a amount) times(b amount) amount {
	of := func(x, y *big.Rat) *big.Rat {
		if x == nil || y == nil {
			return nil
		}
		return new(big.Rat).Mul(x, y)
	}
	lo, hi := b.lo, b.hi
	if a.lo != nil && a.lo.Sign() < 0 {
		lo = b.hi
	}
	if a.hi != nil && a.hi.Sign() < 0 {
		hi = b.lo
	}
	return amount{value: of(a.value, b.value), lo: of(a.lo, lo), hi: of(a.hi, hi), exact: a.exact && b.exact}
}

// over divides by an amount that is positive.
func (a amount) over(b amount) amount {
	inverse := func(x *big.Rat) *big.Rat { return new(big.Rat).Inv(x) }
	return a.times(amount{value: inverse(b.value), lo: inverse(b.hi), hi: inverse(b.lo), exact: b.exact})
}

// toothStep is how far the crank turns for one tooth of the timing wheels: as
// printed, or from the teeth of the crankshaft's wheel.
func (c *converter) toothStep(forWhat string) (amount, []Step, error) {
	switch {
	case c.dims.given(WheelTeeth):
		teeth, err := c.count(WheelTeeth, forWhat)
		if err != nil {
			return amount{}, nil, err
		}
		step := exactly(ratio(360, int64(teeth)))
		return step, []Step{{"one tooth of the timing wheels, in crank degrees", "360 ÷ wheel teeth", fmt.Sprintf("360 ÷ %d", teeth), exactNumber(step.value)}}, nil
	case c.dims.given(ToothStep):
		m, err := c.measure(ToothStep, forWhat)
		if err != nil {
			return amount{}, nil, err
		}
		r := c.dims[ToothStep].Readings[0]
		_, lo, hi, err := r.In(convert.Degree)
		return amount{value: m.value, lo: lo, hi: hi, exact: true}, []Step{say("One tooth of the timing wheels is printed as " + exactNumber(m.value) + " crank degrees.")}, err
	}
	return amount{}, nil, &Missing{For: forWhat, AnyOf: []Name{WheelTeeth, ToothStep}}
}

// toTeeth is the number of ring-gear teeth, and the nearest whole tooth.
func (c *converter) toTeeth() ([]Result, error) {
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	ring, err := c.count(RingTeeth, "counting teeth of the ring gear")
	if err != nil {
		return nil, err
	}
	teeth := p.degrees.scaled(ratio(int64(ring), 360))
	steps := append(p.steps, Step{"teeth", "degrees × ring teeth ÷ 360", fmt.Sprintf("%s × %d ÷ 360", exactNumber(p.degrees.middle()), ring), exactNumber(teeth.middle())})
	exact := result(Teeth, teeth, c.teethForm(p), steps)
	if teeth.value == nil || c.reading.Measure == figure.Teeth && !c.isWheelStep() {
		return []Result{exact}, nil
	}
	whole := nearestWhole(teeth.value)
	is := new(big.Rat).Mul(whole, ratio(360, int64(ring)))
	rest := new(big.Rat).Sub(p.degrees.value, is)
	form := c.teethForm(p)
	if whole.Cmp(ratio(1, 1)) == 0 {
		form.symbol = strings.Replace(form.symbol, "teeth", "tooth", 1)
	}
	nearest := result(NearestTooth, exactly(whole), form, append(slices.Clone(steps),
		Step{"the nearest whole tooth in degrees", fmt.Sprintf("%s × 360 ÷ %d", whole.RatString(), ring), exactNumber(is)},
		Step{"left over", fmt.Sprintf("%s − %s", exactNumber(p.degrees.value), exactNumber(is)), exactNumber(rest) + "°"}))
	nearest.Allowed, nearest.Rest = "", added(rest)
	return []Result{exact, nearest}, nil
}

// added writes the degrees that the nearest tooth leaves out; nothing for none.
func added(rest *big.Rat) string {
	word := map[int]string{-1: "less ", 1: "plus "}[rest.Sign()]
	if word == "" {
		return ""
	}
	return word + convert.Fixed(new(big.Rat).Abs(rest), restPlaces) + "°"
}

// restPlaces is how many decimals of a degree the rest is shown with: a hundredth
// is less than can be set.
const restPlaces = 2

// teethForm is how ring-gear teeth are printed.
func (c *converter) teethForm(p position) form {
	if p.datum == 0 {
		return form{unit: convert.One, symbol: "ring teeth"}
	}
	return form{unit: convert.One, symbol: "teeth", datum: p.datum}
}

// nearestWhole rounds to the nearest whole number.
func nearestWhole(x *big.Rat) *big.Rat {
	n, _ := new(big.Rat).SetString(convert.Fixed(x, 0))
	return n
}

// toWheelTeeth is a movement in teeth of the timing wheels.
func (c *converter) toWheelTeeth() ([]Result, error) {
	if c.isPosition() {
		return nil, senseless(fmt.Sprintf("%q is a position: teeth of the timing wheels count a movement, such as 12.86", c.Text))
	}
	p, err := c.degrees()
	if err != nil {
		return nil, err
	}
	step, steps, err := c.toothStep("counting teeth of the timing wheels")
	if err != nil {
		return nil, err
	}
	teeth := p.degrees.over(step)
	steps = append(append(p.steps, steps...), Step{"teeth", "degrees ÷ degrees for one tooth", fmt.Sprintf("%s ÷ %s", exactNumber(p.degrees.middle()), exactNumber(step.value)), exactNumber(teeth.middle())})
	return []Result{result(WheelSteps, teeth, form{unit: convert.One, symbol: "teeth"}, steps)}, nil
}
