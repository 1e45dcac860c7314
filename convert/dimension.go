package convert

import "slices"

// Dimension is a kind of quantity. Units of one dimension convert into each
// other; units of two never do.
type Dimension uint8

// The dimensions that figures of engines have.
const (
	Number Dimension = iota // a plain number: a count, a ratio
	Angle
	Length
	Volume
	Pressure
	Power
	Speed       // of rotation
	LinearSpeed // of a piston
	Temperature // on a scale with its own zero
	TemperatureRise
	Pitch // of gear teeth, as a module or a diametral pitch
	Expansion
	dimensions
)

var dimensionTable = [dimensions]struct {
	name string
	base Unit
}{
	Number:          {"a plain number", One},
	Angle:           {"an angle", Degree},
	Length:          {"a length", Millimetre},
	Volume:          {"a volume", CubicCentimetre},
	Pressure:        {"a pressure", Kilopascal},
	Power:           {"a power", Kilowatt},
	Speed:           {"a speed of rotation", RevPerMinute},
	LinearSpeed:     {"a speed", MetrePerSecond},
	Temperature:     {"a temperature", Celsius},
	TemperatureRise: {"a rise of temperature", CelsiusDegree},
	Pitch:           {"a pitch of teeth", Module},
	Expansion:       {"a coefficient of expansion", PerCelsius},
}

// all is every dimension that has units to spell.
var all = func() (d []Dimension) {
	for i := range dimensions {
		d = append(d, i)
	}
	return d
}()

// Dimensions lists every dimension.
func Dimensions() []Dimension { return slices.Clone(all) }

// String names the dimension with its article: "a pressure".
func (d Dimension) String() string {
	if d >= dimensions {
		return "no dimension"
	}
	return dimensionTable[d].name
}

// Base returns the working unit of the dimension, whose factor is 1.
func (d Dimension) Base() Unit {
	if d >= dimensions {
		return One
	}
	return dimensionTable[d].base
}

// Units returns the units of the dimension, the working unit among them.
func (d Dimension) Units() []Unit {
	var of []Unit
	for u := range units {
		if u.Dimension() == d {
			of = append(of, u)
		}
	}
	return of
}
