package figure

import (
	"math/big"
	"strings"

	"fourmarks.example/convert"
)

// System is a choice of the units that figures are shown in.
type System uint8

// The systems.
const (
	AsPrinted System = iota
	Metric           // mm, cc, kPa, kW, m/s, °C, module
	Inches           // in or thou, cu in, psi, hp, ft/min, °F, DP
)

// Systems lists the names of the systems.
func Systems() []string { return []string{"as-printed", "metric", "inch"} }

// SystemNamed returns the system of that name.
func SystemNamed(name string) (System, bool) {
	for i, n := range Systems() {
		if n == name {
			return System(i), true
		}
	}
	return AsPrinted, false
}

var metricUnits = map[convert.Dimension]convert.Unit{
	convert.Length: convert.Millimetre, convert.Volume: convert.CubicCentimetre, convert.Pressure: convert.Kilopascal,
	convert.Power: convert.Kilowatt, convert.LinearSpeed: convert.MetrePerSecond, convert.Temperature: convert.Celsius,
	convert.TemperatureRise: convert.CelsiusDegree, convert.Pitch: convert.Module, convert.Expansion: convert.PerCelsius,
}

var inchUnits = map[convert.Dimension]convert.Unit{
	convert.Length: convert.Inch, convert.Volume: convert.CubicInch, convert.Pressure: convert.PoundPerSquareInch,
	convert.Power: convert.Horsepower, convert.LinearSpeed: convert.FootPerMinute, convert.Temperature: convert.Fahrenheit,
	convert.TemperatureRise: convert.FahrenheitDegree, convert.Pitch: convert.DiametralPitch, convert.Expansion: convert.PerFahrenheit,
}

// tenthOfInch is where a workshop stops counting in thou.
var tenthOfInch = big.NewRat(254, 100) // mm

// unit returns the unit in which a system shows a reading.
func (s System) unit(r Reading) convert.Unit {
	units := metricUnits
	switch s {
	case AsPrinted:
		return r.Unit
	case Inches:
		units = inchUnits
	}
	u, known := units[r.Unit.Dimension()]
	if !known {
		return r.Unit
	}
	if u == convert.Inch {
		mm, err := convert.Exchange(r.Value, r.Unit, convert.Millimetre)
		if err == nil && mm.Abs(mm).Cmp(tenthOfInch) < 0 {
			return convert.Thou
		}
	}
	return u
}

// In shows the print in the units of a system, with the digits that the print
// justifies: "0.10 mm" for "4 thou". It returns "" where the print already has
// those units, or has none: for angles, counts and words.
func (p Printed) In(s System) string {
	if s == AsPrinted || len(p.Readings) == 0 {
		return ""
	}
	for _, r := range p.Readings {
		inchAlready := s == Inches && (r.Unit == convert.Inch || r.Unit == convert.Thou)
		if r.Value == nil || inchAlready || s.unit(r) == r.Unit {
			return ""
		}
	}
	r := p.Readings[0]
	unit := s.unit(r)
	shown, err := r.Print(unit)
	if err != nil {
		return ""
	}
	parts := []string{shown, unit.Symbol()}
	if r.Datum != NoDatum {
		parts = append(parts, r.Datum.String())
	}
	if r.Measure == PistonTravel {
		parts = append(parts, "piston")
	} else if r.Measure == Rim {
		parts = append(parts, "rim")
	}
	return strings.Join(parts, " ")
}
