package air

import (
	"errors"
	"fmt"
	"math"

	"fourmarks.example/convert/crank"
	"fourmarks.example/convert/interval"
)

const (
	minRatio, maxRatio = 1.01, 100.0

	// minPolytropic and maxPolytropic bound the exponent n of p₂ = p₁·rⁿ for a
	// sound engine turned by its starter, r being the trapped ratio.
	//
	// The lower: a diesel of 20:1 (Westerbeke 11A) is published at 33.6 kg/cm²,
	// n = 1.172 on its whole ratio, with n = 1.142 as the least allowed; on the
	// trapped ratio, which is smaller, n is larger than that. The upper: air
	// compressed without losing heat has 1.4, textbooks take about 1.3 for an
	// engine running, and a starter turns more slowly (common practice, no source).
	// Between the two lies the customary 80 psi of an engine of about 5:1 whose
	// inlet closes 45 to 55 degrees ABDC.
	minPolytropic, maxPolytropic = 1.15, 1.35

	minPressure, maxPressure = 1e3, 1e9 // Pa
)

// CompressionRatio returns (swept + chamber)/chamber of one cylinder, both in one
// unit of volume. A ratio outside 1.01 to 100 is an error: one of the two volumes
// is not what it is called.
func CompressionRatio(swept, chamber float64) (float64, error) {
	if err := errors.Join(number("swept volume", swept, minSize, maxSize), number("chamber volume", chamber, minSize, maxSize)); err != nil {
		return 0, err
	}
	ratio := (swept + chamber) / chamber
	if err := checkRatio(ratio); err != nil {
		return 0, err
	}
	return ratio, nil
}

func checkRatio(ratio float64) error {
	return number("compression ratio", ratio, minRatio, maxRatio)
}

// Chamber returns the chamber volume that gives a cylinder its compression ratio,
// in the unit of the swept volume. It undoes CompressionRatio.
func Chamber(swept, ratio float64) (float64, error) {
	if err := errors.Join(number("swept volume", swept, minSize, maxSize), checkRatio(ratio)); err != nil {
		return 0, err
	}
	return swept / (ratio - 1), nil
}

// TrappedRatio returns the compression ratio that is left once the inlet valve
// has closed (also called effective): 1 + (ratio − 1)·s, where s is the part of
// the stroke still before the piston. inletCloses is in degrees from the datum,
// usually ABDC, counted from the piston's dead centre.
func TrappedRatio(ratio float64, l crank.Linkage, inletCloses float64, d crank.Datum) (float64, error) {
	if err := checkRatio(ratio); err != nil {
		return 0, err
	}
	before, err := l.Part(inletCloses, d)
	if err != nil {
		return 0, err
	}
	if !d.Top() {
		before = 1 - before
	}
	return 1 + float64((ratio-1)*before), nil
}

// TrappedRatioInterval is TrappedRatio for intervals.
func TrappedRatioInterval(ratio interval.Interval, l crank.LinkageInterval, inletCloses interval.Interval, d crank.Datum) (interval.Interval, error) {
	if err := members("compression ratio", ratio, minRatio, maxRatio); err != nil {
		return interval.Empty(), err
	}
	before, err := l.Part(inletCloses, d)
	if err != nil {
		return interval.Empty(), err
	}
	one := interval.Point(1)
	if !d.Top() {
		before = one.Sub(before)
	}
	return one.Add(ratio.Sub(one).Mul(before)), nil
}

// CrankingPressure returns the gauge pressure at the end of compression,
// p₁·(rⁿ − 1): ambient pressure p₁ in pascals, trapped ratio r, polytropic
// exponent n from 1 (so slow that no heat stays) to 1.4 (air, no heat lost). The
// formula is from memory of the textbooks of thermodynamics.
func CrankingPressure(ambient, trapped, n float64) (float64, error) {
	if err := errors.Join(checkCranking(ambient, trapped), number("polytropic exponent", n, 1, 1.4)); err != nil {
		return 0, err
	}
	return ambient * (math.Pow(trapped, n) - 1), nil
}

// CrankingExponent returns the polytropic exponent that a gauge pressure implies.
// It undoes CrankingPressure, but does not bound the exponent: one outside the
// band of CrankingBand is what tells of a leak, oil in the cylinder, or a wrong
// figure.
func CrankingExponent(ambient, trapped, gauge float64) (float64, error) {
	if err := errors.Join(checkCranking(ambient, trapped), number("cranking pressure in pascals", gauge, 0, maxPressure)); err != nil {
		return 0, err
	}
	return math.Log1p(gauge/ambient) / math.Log(trapped), nil
}

func checkCranking(ambient, trapped float64) error {
	return errors.Join(number("ambient pressure in pascals", ambient, minPressure, maxPressure), number("trapped ratio", trapped, minRatio, maxRatio))
}

// CrankingBand returns the gauge pressures, in pascals, that a sound engine may
// show when cranked: CrankingPressure over the exponents 1.15 to 1.35 and every
// member of ambient pressure and trapped ratio. For the ambient pressure at an
// altitude use PressureInterval.
func CrankingBand(ambient, trapped interval.Interval) (interval.Interval, error) {
	if err := errors.Join(
		members("ambient pressure in pascals", ambient, minPressure, maxPressure),
		members("trapped ratio", trapped, minRatio, maxRatio),
	); err != nil {
		return interval.Empty(), err
	}
	raised := trapped.Pow(minPolytropic).Hull(trapped.Pow(maxPolytropic))
	return ambient.Mul(raised.Sub(interval.Point(1))), nil
}

// VacuumAtAltitude returns the manifold vacuum to expect at an altitude, given
// that at sea level: both gauge readings in pascals below the surrounding air,
// altitude geopotential in metres. The manifold's absolute pressure is taken not
// to change, which is common practice, not exact. It is an error when no vacuum
// remains.
func VacuumAtAltitude(seaLevelVacuum, altitude float64) (float64, error) {
	return otherVacuum(seaLevelVacuum, 0, altitude)
}

// VacuumAtSeaLevel returns what a manifold vacuum read at an altitude would be at
// sea level. It undoes VacuumAtAltitude.
func VacuumAtSeaLevel(vacuum, altitude float64) (float64, error) {
	return otherVacuum(vacuum, altitude, 0)
}

// otherVacuum takes a gauge reading from one altitude to another.
func otherVacuum(vacuum, from, to float64) (float64, error) {
	here, err := Pressure(from)
	if err != nil {
		return 0, err
	}
	there, err := Pressure(to)
	if err != nil {
		return 0, err
	}
	if err := number("manifold vacuum in pascals", vacuum, 0, here); err != nil {
		return 0, err
	}
	if vacuum < here-there {
		return 0, fmt.Errorf("a vacuum of %g Pa at %g m leaves none at %g m, where the barometer is %g Pa lower", vacuum, from, to, here-there)
	}
	return vacuum - (here - there), nil
}

// VacuumByRule returns the manifold vacuum in inHg to expect at an altitude in
// feet by the workshop rule of 1 inHg less for every 1000 ft (US Army Ordnance,
// OD1001 lesson 3). It is within 0.11 inHg of VacuumAtAltitude up to 6000 ft and
// asks for 0.66 inHg too little at 10000 ft.
func VacuumByRule(seaLevelVacuum, feet float64) (float64, error) {
	if err := errors.Join(number("manifold vacuum in inHg", seaLevelVacuum, 0, 31), number("altitude in feet", feet, 0, 10000)); err != nil {
		return 0, err
	}
	if seaLevelVacuum < feet/1000 {
		return 0, fmt.Errorf("a vacuum of %g inHg at sea level leaves none at %g ft", seaLevelVacuum, feet)
	}
	return seaLevelVacuum - feet/1000, nil
}
