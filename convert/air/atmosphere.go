package air

import (
	"math"

	"fourmarks.example/convert/interval"
)

// Constants of the U.S. Standard Atmosphere, 1976, which agrees with ISO 2533
// below 11 km.
const (
	SeaLevel = 101325.0 // pressure at altitude 0, Pa

	seaLevelTemperature = 288.15    // K
	lapse               = 0.0065    // K/m of geopotential altitude
	gravity             = 9.80665   // m/s²
	molarMass           = 0.0289644 // kg/mol
	gasConstant         = 8.31432   // J/(mol·K), as the standard has it
	earthRadius         = 6356766.0 // m

	exponent = gravity * molarMass / (gasConstant * lapse) // 5.255876

	minAltitude, maxAltitude = -5000.0, 11000.0
)

// Pressure returns the pressure of the standard atmosphere at a geopotential
// altitude from −5000 to 11000 m: p₀·(1 − L·H/T₀)^(gM/R*L). For a geometric
// altitude, one measured as a length, use Pressure(Geopotential(z)); at 5000 m
// the two differ by 28 Pa.
func Pressure(geopotential float64) (float64, error) {
	if err := number("altitude in metres", geopotential, minAltitude, maxAltitude); err != nil {
		return 0, err
	}
	return pressure(geopotential), nil
}

func pressure(altitude float64) float64 {
	return SeaLevel * math.Pow(1-lapse*altitude/seaLevelTemperature, exponent)
}

// Altitude returns the geopotential altitude at which the standard atmosphere
// has a pressure in pascals. It undoes Pressure, to within a micrometre, and has its
// range.
func Altitude(atPressure float64) (float64, error) {
	if err := number("atmospheric pressure in pascals", atPressure, pressure(maxAltitude), pressure(minAltitude)); err != nil {
		return 0, err
	}
	altitude := -math.Expm1(math.Log(atPressure/SeaLevel)/exponent) * seaLevelTemperature / lapse
	return math.Max(minAltitude, math.Min(altitude, maxAltitude)), nil
}

// Geopotential returns the geopotential altitude of a geometric one between
// −5000 and 11019 m, both in metres: r·Z/(r+Z) with the radius r = 6356766 m.
func Geopotential(geometric float64) (float64, error) {
	if err := number("altitude in metres", geometric, geometricAltitude(minAltitude), geometricAltitude(maxAltitude)); err != nil {
		return 0, err
	}
	geopotential := earthRadius * geometric / (earthRadius + geometric)
	return math.Max(minAltitude, math.Min(geopotential, maxAltitude)), nil
}

// Geometric returns the geometric altitude of a geopotential one, both in
// metres. It undoes Geopotential.
func Geometric(geopotential float64) (float64, error) {
	if err := number("altitude in metres", geopotential, minAltitude, maxAltitude); err != nil {
		return 0, err
	}
	return geometricAltitude(geopotential), nil
}

func geometricAltitude(geopotential float64) float64 {
	return earthRadius * geopotential / (earthRadius - geopotential)
}

// PressureInterval is Pressure for an interval of altitudes.
func PressureInterval(geopotential interval.Interval) (interval.Interval, error) {
	if err := members("altitude in metres", geopotential, minAltitude, maxAltitude); err != nil {
		return interval.Empty(), err
	}
	part := interval.Point(lapse).Mul(geopotential).Div(interval.Point(seaLevelTemperature))
	return interval.Point(SeaLevel).Mul(interval.Point(1).Sub(part).Pow(exponent)), nil
}
