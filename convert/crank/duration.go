package crank

import "errors"

// Events holds where the four events of one cylinder lie on its circle.
type Events struct {
	InletOpens, InletCloses, ExhaustOpens, ExhaustCloses float64
}

// CustomaryEvents returns the events printed in the usual way: inlet opens
// BTDC, inlet closes ABDC, exhaust opens BBDC, exhaust closes ATDC. Negative
// degrees lie on the other side: an inlet that opens 15 after TDC is −15.
func CustomaryEvents(inletOpens, inletCloses, exhaustOpens, exhaustCloses float64) (e Events, err error) {
	for _, p := range []struct {
		to      *float64
		event   Event
		degrees float64
		datum   Datum
	}{
		{&e.InletOpens, InletOpens, inletOpens, BTDC},
		{&e.InletCloses, InletCloses, inletCloses, ABDC},
		{&e.ExhaustOpens, ExhaustOpens, exhaustOpens, BBDC},
		{&e.ExhaustCloses, ExhaustCloses, exhaustCloses, ATDC},
	} {
		if *p.to, err = p.event.At(p.degrees, p.datum); err != nil {
			return Events{}, err
		}
	}
	return e, nil
}

// Duration returns for how many crank degrees a valve is open that opens and
// closes at the given angles on the circle. In customary degrees it is 180 +
// opening before + closing after the dead centres of its stroke.
func Duration(opens, closes float64) (float64, error) {
	if err := errors.Join(angle("opening", opens), angle("closing", closes)); err != nil {
		return 0, err
	}
	d := onCircle(closes - opens)
	if d == 0 {
		return 0, errors.New("the valve opens and closes at the same angle: no duration follows")
	}
	return d, nil
}

// Overlap returns for how many crank degrees both valves of a cylinder are open
// about overlap TDC: inlet opens BTDC + exhaust closes ATDC. It is negative when
// the exhaust has closed before the inlet opens.
func Overlap(inletOpens, exhaustCloses float64) (float64, error) {
	if err := errors.Join(angle("inlet opens", inletOpens), angle("exhaust closes", exhaustCloses)); err != nil {
		return 0, err
	}
	return signed(exhaustCloses - inletOpens), nil
}

// LobeCentre returns the angle midway between opening and closing. It is the
// angle of full lift only for a symmetrical cam, or at the one clearance at
// which the two happen to meet.
func LobeCentre(opens, closes float64) (float64, error) {
	d, err := Duration(opens, closes)
	if err != nil {
		return 0, err
	}
	return onCircle(opens + d/2), nil
}

// LobeSeparation returns half the sum of the two lobe centres (the inlet's
// ATDC, the exhaust's BTDC) in camshaft degrees, given their angles on the
// circle.
func LobeSeparation(inletCentre, exhaustCentre float64) (float64, error) {
	if err := errors.Join(angle("inlet lobe centre", inletCentre), angle("exhaust lobe centre", exhaustCentre)); err != nil {
		return 0, err
	}
	return signed(inletCentre-exhaustCentre) / 2, nil
}
