package convert

import "math/big"

// Unit is a unit of measure. The zero value is One, the unit of plain numbers.
type Unit uint8

// The units that engine figures are printed in. A fraction of a millimetre is
// printed as a fraction ("5/100 mm"), so it needs no unit of its own.
const (
	One Unit = iota

	Degree
	ArcMinute
	ArcSecond
	Turn

	Millimetre
	Centimetre
	Metre
	Micrometre
	Inch
	Thou // a thousandth of an inch; a mil in America
	Foot
	Yard
	Mile

	CubicCentimetre
	CubicMillimetre
	Litre
	CubicMetre
	CubicInch

	Kilopascal
	Pascal
	Hectopascal
	Megapascal
	Bar
	PoundPerSquareInch
	KilogramPerSquareCentimetre // kgf/cm², printed kg/cm² in its day
	InchOfMercury               // conventional, see below
	MillimetreOfMercury         // conventional
	Atmosphere

	Kilowatt
	Watt
	Horsepower       // 550 ft lbf/s
	MetricHorsepower // 75 m kgf/s; PS, CV, ch

	RevPerMinute
	RevPerSecond

	MetrePerSecond
	FootPerMinute
	FootPerSecond

	Celsius
	Fahrenheit
	Kelvin

	CelsiusDegree
	FahrenheitDegree

	Module         // millimetres of pitch diameter for a tooth
	DiametralPitch // teeth for an inch of pitch diameter; module = 25.4 / DP

	PerCelsius
	PerFahrenheit

	units
)

// definition says what a unit is. A value x of it is, in the working unit of
// its dimension, factor·(x + offset), or factor/x where reciprocal.
type definition struct {
	name, symbol, ucum string
	dimension          Dimension
	factor             *big.Rat
	offset             *big.Rat
	reciprocal         bool
	// num and den are the factor once more, where it has no offset and both
	// are below smallFactor; otherwise zero.
	num, den int64
}

// smallFactor bounds the factors that a double multiplies exactly together
// with any whole number printed in practice.
const smallFactor = 1 << 20

// Factors of the inch and the pound are exact by the agreement of 1959, that
// of the kilogram-force by the standard gravity of the third CGPM (1901): NIST
// SP 811 (2008), Appendix B. The two columns of mercury are the conventional
// ones of the same table (13595.1 kg/m³ under standard gravity): 3386.389 Pa
// for the inch. UCUM 2.2 counts 3386.3788 Pa for [in_i'Hg], 3 parts in a
// million less; a reader of the UCUM code should know that NIST's value was used.
var table = define([units]definition{
	One: {name: "one", symbol: "", ucum: "1", dimension: Number, factor: rat("1")},

	Degree:    {name: "degree", symbol: "°", ucum: "deg", dimension: Angle, factor: rat("1")},
	ArcMinute: {name: "minute of arc", symbol: "′", ucum: "'", dimension: Angle, factor: rat("1/60")},
	ArcSecond: {name: "second of arc", symbol: "″", ucum: "''", dimension: Angle, factor: rat("1/3600")},
	Turn:      {name: "turn", symbol: "turn", ucum: "circ", dimension: Angle, factor: rat("360")},

	Millimetre: {name: "millimetre", symbol: "mm", ucum: "mm", dimension: Length, factor: rat("1")},
	Centimetre: {name: "centimetre", symbol: "cm", ucum: "cm", dimension: Length, factor: rat("10")},
	Metre:      {name: "metre", symbol: "m", ucum: "m", dimension: Length, factor: rat("1000")},
	Micrometre: {name: "micrometre", symbol: "µm", ucum: "um", dimension: Length, factor: rat("1/1000")},
	Inch:       {name: "inch", symbol: "in", ucum: "[in_i]", dimension: Length, factor: rat(inch)},
	Thou:       {name: "thou", symbol: "thou", ucum: "[mil_i]", dimension: Length, factor: rat(inch, "1/1000")},
	Foot:       {name: "foot", symbol: "ft", ucum: "[ft_i]", dimension: Length, factor: rat(inch, "12")},
	Yard:       {name: "yard", symbol: "yd", ucum: "[yd_i]", dimension: Length, factor: rat(inch, "36")},
	Mile:       {name: "mile", symbol: "mile", ucum: "[mi_i]", dimension: Length, factor: rat(inch, "63360")},

	CubicCentimetre: {name: "cubic centimetre", symbol: "cc", ucum: "cm3", dimension: Volume, factor: rat("1")},
	CubicMillimetre: {name: "cubic millimetre", symbol: "mm³", ucum: "mm3", dimension: Volume, factor: rat("1/1000")},
	Litre:           {name: "litre", symbol: "L", ucum: "L", dimension: Volume, factor: rat("1000")},
	CubicMetre:      {name: "cubic metre", symbol: "m³", ucum: "m3", dimension: Volume, factor: rat("1000000")},
	CubicInch:       {name: "cubic inch", symbol: "cu in", ucum: "[cin_i]", dimension: Volume, factor: rat("2.54", "2.54", "2.54")},

	Kilopascal:                  {name: "kilopascal", symbol: "kPa", ucum: "kPa", dimension: Pressure, factor: rat("1")},
	Pascal:                      {name: "pascal", symbol: "Pa", ucum: "Pa", dimension: Pressure, factor: rat("1/1000")},
	Hectopascal:                 {name: "hectopascal", symbol: "hPa", ucum: "hPa", dimension: Pressure, factor: rat("1/10")},
	Megapascal:                  {name: "megapascal", symbol: "MPa", ucum: "MPa", dimension: Pressure, factor: rat("1000")},
	Bar:                         {name: "bar", symbol: "bar", ucum: "bar", dimension: Pressure, factor: rat("100")},
	PoundPerSquareInch:          {name: "pound per square inch", symbol: "psi", ucum: "[psi]", dimension: Pressure, factor: rat(poundForce, "1/25.4", "1/25.4", "1000")},
	KilogramPerSquareCentimetre: {name: "kilogram-force per square centimetre", symbol: "kgf/cm²", ucum: "kgf/cm2", dimension: Pressure, factor: rat(gravity, "10")},
	InchOfMercury:               {name: "inch of mercury", symbol: "inHg", ucum: "[in_i'Hg]", dimension: Pressure, factor: rat(mercury, inch)},
	MillimetreOfMercury:         {name: "millimetre of mercury", symbol: "mmHg", ucum: "mm[Hg]", dimension: Pressure, factor: rat(mercury)},
	Atmosphere:                  {name: "atmosphere", symbol: "atm", ucum: "atm", dimension: Pressure, factor: rat("101.325")},

	Kilowatt:         {name: "kilowatt", symbol: "kW", ucum: "kW", dimension: Power, factor: rat("1")},
	Watt:             {name: "watt", symbol: "W", ucum: "W", dimension: Power, factor: rat("1/1000")},
	Horsepower:       {name: "horsepower", symbol: "hp", ucum: "[HP]", dimension: Power, factor: rat("550", "0.3048", poundForce, "1/1000")},
	MetricHorsepower: {name: "metric horsepower", symbol: "PS", ucum: "75.m.kgf/s", dimension: Power, factor: rat("75", gravity, "1/1000")},

	RevPerMinute: {name: "revolution per minute", symbol: "rpm", ucum: "{rev}/min", dimension: Speed, factor: rat("1")},
	RevPerSecond: {name: "revolution per second", symbol: "rev/s", ucum: "{rev}/s", dimension: Speed, factor: rat("60")},

	MetrePerSecond: {name: "metre per second", symbol: "m/s", ucum: "m/s", dimension: LinearSpeed, factor: rat("1")},
	FootPerMinute:  {name: "foot per minute", symbol: "ft/min", ucum: "[ft_i]/min", dimension: LinearSpeed, factor: rat("0.3048", "1/60")},
	FootPerSecond:  {name: "foot per second", symbol: "ft/s", ucum: "[ft_i]/s", dimension: LinearSpeed, factor: rat("0.3048")},

	Celsius:    {name: "degree Celsius", symbol: "°C", ucum: "Cel", dimension: Temperature, factor: rat("1"), offset: rat("0")},
	Fahrenheit: {name: "degree Fahrenheit", symbol: "°F", ucum: "[degF]", dimension: Temperature, factor: rat("5/9"), offset: rat("-32")},
	Kelvin:     {name: "kelvin", symbol: "K", ucum: "K", dimension: Temperature, factor: rat("1"), offset: rat("-273.15")},

	CelsiusDegree:    {name: "Celsius degree of rise", symbol: "°C", ucum: "K", dimension: TemperatureRise, factor: rat("1")},
	FahrenheitDegree: {name: "Fahrenheit degree of rise", symbol: "°F", ucum: "5.K/9", dimension: TemperatureRise, factor: rat("5/9")},

	Module:         {name: "module", symbol: "mm module", ucum: "mm", dimension: Pitch, factor: rat("1")},
	DiametralPitch: {name: "diametral pitch", symbol: "DP", ucum: "/[in_i]", dimension: Pitch, factor: rat(inch), reciprocal: true},

	PerCelsius:    {name: "per degree Celsius", symbol: "/°C", ucum: "/K", dimension: Expansion, factor: rat("1")},
	PerFahrenheit: {name: "per degree Fahrenheit", symbol: "/°F", ucum: "9/5/K", dimension: Expansion, factor: rat("9/5")},
})

const (
	inch       = "25.4"            // mm
	gravity    = "9.80665"         // m/s²
	poundForce = "4.4482216152605" // N: 0.45359237 kg under standard gravity
	mercury    = "0.133322387415"  // kPa for 1 mm: 13595.1 kg/m³ under standard gravity
)

// rat multiplies exact decimals and fractions out of the table above.
func rat(parts ...string) *big.Rat {
	product := big.NewRat(1, 1)
	for _, p := range parts {
		num, den := p, "1"
		for i := range p {
			if p[i] == '/' {
				num, den = p[:i], p[i+1:]
			}
		}
		n, _ := new(big.Rat).SetString(num)
		d, _ := new(big.Rat).SetString(den)
		product.Mul(product, n.Quo(n, d))
	}
	return product
}

// define fills in what follows from the factors.
func define(t [units]definition) *[units]definition {
	for i := range t {
		d := &t[i]
		n, m := d.factor.Num(), d.factor.Denom()
		if d.offset == nil && n.IsInt64() && m.IsInt64() && n.Int64() < smallFactor && m.Int64() < smallFactor {
			d.num, d.den = n.Int64(), m.Int64()
		}
	}
	return &t
}

func (u Unit) definition() *definition {
	if u >= units {
		return &table[One]
	}
	return &table[u]
}

// Name is the unit in words: "inch".
func (u Unit) Name() string { return u.definition().name }

// Symbol is the short form for people: "in". It is empty for plain numbers.
func (u Unit) Symbol() string { return u.definition().symbol }

// String returns the symbol.
func (u Unit) String() string { return u.Symbol() }

// UCUM is the code for machines, as in the Unified Code for Units of Measure
// 2.2 (2024). It has none for the metric horsepower, the Fahrenheit degree of
// rise and the coefficient per degree Fahrenheit: an expression stands there.
func (u Unit) UCUM() string { return u.definition().ucum }

// Dimension is the quantity that the unit measures.
func (u Unit) Dimension() Dimension { return u.definition().dimension }

// Factor is the exact number by which a value of the unit is multiplied to be
// in the working unit of its dimension. For a diametral pitch it is the
// number that is divided by the value; for a temperature the offset is to be
// added to the value first.
func (u Unit) Factor() *big.Rat { return new(big.Rat).Set(u.definition().factor) }
