package crank

import (
	"cmp"
	"fmt"
	"slices"
)

// RockSetting is one line of a valve-setting table that goes by the valves on
// the rock: with Fires at firing TDC, its companion is on the rock.
type RockSetting struct {
	Position  float64       // of the engine
	Fires     int           // the cylinder at firing TDC
	OnTheRock []int         // empty when Fires has no companion
	Set       []ValveMargin // every valve that may be set here
}

// RockTable returns for each cylinder in firing order the position at which it
// stands at firing TDC, the cylinders on the rock there, and every valve that may
// be set: those at least need degrees from opening and closing. The clearances of
// a cylinder are customarily set with its companion on the rock; the table shows
// what else may be set without turning further.
func (f Firing) RockTable(e Events, need float64) ([]RockSetting, error) {
	order, err := f.Order()
	if err != nil {
		return nil, err
	}
	table := make([]RockSetting, 0, len(order))
	for _, cylinder := range order {
		position := f[cylinder-1]
		set, err := f.settable(e, position, need)
		if err != nil {
			return nil, err
		}
		table = append(table, RockSetting{position, cylinder, f.onTheRock(position, together), set})
	}
	return table, nil
}

// LiftSetting is one line of a valve-setting table that goes by valves fully
// open.
type LiftSetting struct {
	Position float64 // of the engine
	Open     Valve   // at its lobe centre
	Set      []ValveMargin
}

// LiftTable returns for each valve the position at which it is at its lobe
// centre, and every valve that may be set there: those at least need degrees
// from opening and closing, the safest first.
func (f Firing) LiftTable(e Events, need float64) ([]LiftSetting, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	inlet, err := LobeCentre(e.InletOpens, e.InletCloses)
	if err != nil {
		return nil, fmt.Errorf("inlet: %w", err)
	}
	exhaust, err := LobeCentre(e.ExhaustOpens, e.ExhaustCloses)
	if err != nil {
		return nil, fmt.Errorf("exhaust: %w", err)
	}
	table := make([]LiftSetting, 0, 2*len(f))
	for i, fires := range f {
		for _, open := range []struct {
			Kind
			centre float64
		}{{Inlet, inlet}, {Exhaust, exhaust}} {
			position := onCircle(fires + open.centre)
			set, err := f.settable(e, position, need)
			if err != nil {
				return nil, err
			}
			slices.SortStableFunc(set, func(a, b ValveMargin) int { return cmp.Compare(b.Margin, a.Margin) })
			table = append(table, LiftSetting{position, Valve{i + 1, open.Kind}, set})
		}
	}
	return table, nil
}

// settable returns the valves with at least the margin needed.
func (f Firing) settable(e Events, position, need float64) ([]ValveMargin, error) {
	if err := number("the margin needed", need, 0, cycle/2); err != nil {
		return nil, err
	}
	margins, err := f.Margins(e, position)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(margins, func(m ValveMargin) bool { return m.Margin < need }), nil
}

// CompanionSum returns the sum that the numbers of every pair of companions
// have (5 for a four, 7 for a six in line). ok is false when the pairs differ or
// a cylinder has no companion.
func (f Firing) CompanionSum() (sum int, ok bool, err error) {
	companions, err := f.Companions()
	if err != nil {
		return 0, false, err
	}
	sum = 1 + companions[0]
	for i, companion := range companions {
		if companion == 0 || i+1+companion != sum {
			return 0, false, nil
		}
	}
	return sum, true, nil
}

// SumRule tests the rule of nine of a four in line, the rule of thirteen of a
// six, and their like for any number of cylinders: with the valves numbered along
// the engine, the valve to be set is that whose number makes up the sum, 2n + 1,
// with the number of a valve fully open. valves gives their kinds in order, two
// to a cylinder: E I I E E I I E.
//
// The rule holds for a valve when the two belong to companion cylinders and are
// of one kind, so that one is at the middle of its base circle while the other
// is fully open. against lists the numbers of the valves for which it does not
// hold; the rule is confirmed when there are none.
func (f Firing) SumRule(valves []Kind) (sum int, against []int, err error) {
	companions, err := f.Companions()
	if err != nil {
		return 0, nil, err
	}
	if err := checkValves(valves, len(f)); err != nil {
		return 0, nil, err
	}
	sum = len(valves) + 1
	for number := 1; number < sum; number++ {
		cylinder, partner := (number+1)/2, (sum-number+1)/2
		if companions[cylinder-1] != partner || valves[number-1] != valves[sum-number-1] {
			against = append(against, number)
		}
	}
	return sum, against, nil
}

func checkValves(valves []Kind, cylinders int) error {
	if len(valves) != 2*cylinders {
		return fmt.Errorf("%d valves for %d cylinders: name two a cylinder, in their order along the engine", len(valves), cylinders)
	}
	for i := 0; i < len(valves); i += 2 {
		if valves[i]+valves[i+1] != Inlet+Exhaust || valves[i] != Inlet && valves[i] != Exhaust {
			return fmt.Errorf("cylinder %d must have one inlet and one exhaust valve", i/2+1)
		}
	}
	return nil
}
