package serve

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"fourmarks.example/convert"
	"fourmarks.example/schema/figure"
)

// usual lists the units of each quantity that sheets and gauges have, the most
// usual first.
var usual = map[convert.Dimension][]convert.Unit{
	convert.Angle:           {convert.Degree},
	convert.Length:          {convert.Inch, convert.Thou, convert.Millimetre},
	convert.Volume:          {convert.CubicCentimetre, convert.CubicInch, convert.Litre},
	convert.Pressure:        {convert.PoundPerSquareInch, convert.Bar, convert.KilogramPerSquareCentimetre, convert.Kilopascal, convert.InchOfMercury, convert.MillimetreOfMercury},
	convert.Power:           {convert.Horsepower, convert.MetricHorsepower, convert.Kilowatt},
	convert.Speed:           {convert.RevPerMinute},
	convert.LinearSpeed:     {convert.FootPerMinute, convert.MetrePerSecond, convert.FootPerSecond},
	convert.Temperature:     {convert.Fahrenheit, convert.Celsius},
	convert.TemperatureRise: {convert.FahrenheitDegree, convert.CelsiusDegree},
	convert.Pitch:           {convert.DiametralPitch, convert.Module},
	convert.Expansion:       {convert.PerCelsius, convert.PerFahrenheit},
}

// unitsOf lists what may follow the number of a figure. Not all of it follows
// every number: who uses it reads the print as a figure first.
func unitsOf(kind figure.Kind) []string {
	var all []string
	switch kind {
	case figure.Position:
		all = append(all, "BTDC", "ATDC", "BBDC", "ABDC")
		for _, unit := range []string{"in", "mm", "teeth"} {
			all = append(all, positions(unit)...)
		}
		return append(all, "BTDC piston", "ATDC piston", "BBDC piston", "ABDC piston", "BTDC rim", "ATDC rim", "BBDC rim", "ABDC rim")
	case figure.RimPosition:
		for _, unit := range []string{"in ", "mm ", ""} {
			all = append(all, unit+"before TDC", unit+"after TDC", unit+"before BDC", unit+"after BDC")
		}
		return all
	case figure.Movement:
		return []string{"°", "in rim", "mm rim", "tooth", "teeth"}
	case figure.Altitude:
		return []string{"ft", "m"}
	}
	for _, u := range usual[kind.Unit().Dimension()] {
		all = append(all, u.Symbol())
	}
	return all
}

// positions are the ends of a print in a unit of length, or in teeth.
func positions(unit string) []string {
	var all []string
	for _, datum := range []string{" BTDC", " ATDC", " BBDC", " ABDC"} {
		if unit == "teeth" {
			all = append(all, unit+datum)
			continue
		}
		all = append(all, unit+datum+" piston", unit+datum+" rim")
	}
	return all
}

// wordsOf lists prints that need no number.
func wordsOf(kind figure.Kind) []string {
	switch kind {
	case figure.Position:
		return []string{"TDC", "BDC"}
	case figure.Direction:
		return []string{"clockwise seen from timing end", "anticlockwise seen from timing end", "clockwise seen from flywheel end", "anticlockwise seen from flywheel end"}
	}
	return nil
}

// behindNumber returns where the word begins that is written behind a number and
// whatever follows it; false where there is no number yet.
func behindNumber(typed string) (from int, ok bool) {
	from = strings.LastIndexByte(typed, ' ') + 1
	last := strings.LastIndexFunc(typed, unicode.IsNumber)
	if last < 0 {
		return 0, false
	}
	if last >= from { // 20t
		_, size := utf8.DecodeRuneInString(typed[last:])
		from = last + size
	}
	return from, true
}
