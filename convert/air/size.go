package air

import (
	"errors"
	"math"

	"fourmarks.example/convert/interval"
)

const maxSpeed = 1e6 // rev/min

// SweptVolume returns π/4·D²·S·n, the volume swept by n cylinders, in the cube of
// the unit that bore and stroke are in.
func SweptVolume(bore, stroke float64, n int) (float64, error) {
	if err := errors.Join(number("bore", bore, minSize, maxSize), number("stroke", stroke, minSize, maxSize), checkCylinders(n)); err != nil {
		return 0, err
	}
	return math.Pi / 4 * bore * bore * stroke * float64(n), nil
}

// SweptVolumeInterval is SweptVolume for intervals.
func SweptVolumeInterval(bore, stroke interval.Interval, n int) (interval.Interval, error) {
	if err := errors.Join(members("bore", bore, minSize, maxSize), members("stroke", stroke, minSize, maxSize), checkCylinders(n)); err != nil {
		return interval.Empty(), err
	}
	return interval.Pi().Div(interval.Point(4)).Mul(bore.Sqr()).Mul(stroke).Mul(interval.Point(float64(n))), nil
}

// TaxableHorsepower returns the RAC horsepower, D²n/2.5 with the bore D in
// inches; ALAM and SAE ratings are the same. The formula is published at
// gracesguide.co.uk, RAC Horsepower. The stroke plays no part.
func TaxableHorsepower(boreInches float64, n int) (float64, error) {
	if err := errors.Join(number("bore in inches", boreInches, minBore, maxBore), checkCylinders(n)); err != nil {
		return 0, err
	}
	return boreInches * boreInches * float64(n) / 2.5, nil
}

const minBore, maxBore = 0.01, 1000.0 // inches

// TaxableBore returns the bore in inches that a taxable horsepower implies. It
// undoes TaxableHorsepower.
func TaxableBore(horsepower float64, n int) (float64, error) {
	if err := errors.Join(number("taxable horsepower", horsepower, minBore*minBore/2.5, maxBore*maxBore*maxCylinders/2.5), checkCylinders(n)); err != nil {
		return 0, err
	}
	return math.Sqrt(2.5 * horsepower / float64(n)), nil
}

// TaxableHorsepowerInterval is TaxableHorsepower for intervals.
func TaxableHorsepowerInterval(boreInches interval.Interval, n int) (interval.Interval, error) {
	if err := errors.Join(members("bore in inches", boreInches, minBore, maxBore), checkCylinders(n)); err != nil {
		return interval.Empty(), err
	}
	return boreInches.Sqr().Mul(interval.Point(float64(n))).Div(interval.Point(2.5)), nil
}

// MeanPistonSpeed returns 2·S·N: the distance a piston covers in a minute at N
// rev/min, in the unit of the stroke. The customary units follow: a stroke in
// feet gives ft/min, one in metres m/min (a sixtieth of it m/s).
func MeanPistonSpeed(stroke, revPerMinute float64) (float64, error) {
	if err := errors.Join(number("stroke", stroke, minSize, maxSize), number("speed in rev/min", revPerMinute, 0, maxSpeed)); err != nil {
		return 0, err
	}
	return 2 * stroke * revPerMinute, nil
}
