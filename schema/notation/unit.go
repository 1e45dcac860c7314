package notation

import (
	"fmt"
	"math/big"

	"fourmarks.example/convert"
)

// inUnit is the working that turns the print into another unit.
func (c *converter) inUnit(u convert.Unit) []Step {
	return unitSteps(c.reading.Value, c.reading.Unit, u)
}

// unitSteps is the working that turns a value from one unit into another;
// nothing where they are the same.
func unitSteps(value *big.Rat, from, to convert.Unit) []Step {
	if from == to || value == nil {
		return nil
	}
	result, err := convert.Exchange(value, from, to)
	if err != nil {
		return nil
	}
	x := exactNumber(value)
	step := func(numbers string) []Step {
		return []Step{{x + form{unit: from}.after(), numbers, exactNumber(result) + form{unit: to}.after()}}
	}
	switch from.Dimension() {
	case convert.Temperature:
		return temperatureSteps(value, from, to)
	case convert.Pitch:
		return step(fmt.Sprintf("25.4 ÷ %s", x)) // either way round
	}
	factor := new(big.Rat).Quo(from.Factor(), to.Factor())
	inverse := new(big.Rat).Inv(factor)
	if isShort(inverse) && !isShort(factor) {
		return step(fmt.Sprintf("%s ÷ %s", x, exactNumber(inverse)))
	}
	if factor.Num().IsInt64() && factor.Denom().IsInt64() && !isShort(factor) && factor.Denom().Int64() <= 9 { // 5/9
		return step(fmt.Sprintf("%s × %s ÷ %s", x, factor.Num(), factor.Denom()))
	}
	return step(fmt.Sprintf("%s × %s", x, exactNumber(factor)))
}

// isShort reports whether a factor can be written in full.
func isShort(x *big.Rat) bool {
	n, ends := x.FloatPrec()
	return ends && n <= workingDigits
}

// temperatureSteps goes by way of degrees Celsius.
func temperatureSteps(value *big.Rat, from, to convert.Unit) []Step {
	celsius, err := convert.Exchange(value, from, convert.Celsius)
	if err != nil {
		return nil
	}
	result, err := convert.Exchange(value, from, to)
	if err != nil {
		return nil
	}
	x, c, y := exactNumber(value), exactNumber(celsius), exactNumber(result)
	var steps []Step
	switch from {
	case convert.Fahrenheit:
		steps = append(steps, Step{x + "°F", fmt.Sprintf("(%s − 32) × 5 ÷ 9", x), c + "°C"})
	case convert.Kelvin:
		steps = append(steps, Step{x + " K", x + " − 273.15", c + "°C"})
	}
	switch to {
	case convert.Fahrenheit:
		steps = append(steps, Step{c + "°C", fmt.Sprintf("%s × 9 ÷ 5 + 32", c), y + "°F"})
	case convert.Kelvin:
		steps = append(steps, Step{c + "°C", c + " + 273.15", y + " K"})
	}
	return steps
}
