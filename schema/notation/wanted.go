package notation

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fourmarks.example/convert"
)

// Wanted is the notations that a figure is to be converted to. The zero value
// wants everything that the dimensions allow.
type Wanted struct {
	notations []Notation
	units     []convert.Unit
	parts     int // of an inch, for fractions; 0 where none are wanted
	angles    []convert.Unit
}

// workshopParts are the divisions of an inch on most rules.
const workshopParts = 64

// Wanted reads names of notations and units. Units mean the figure as it stands
// in those units; beside rim or piston they say in which units distances are
// given. The words 64ths, 32nds, 16ths and 8ths are fractions of an inch.
func (f Figure) Wanted(names ...string) (Wanted, error) {
	var w Wanted
	for _, name := range names {
		if err := f.want(&w, name); err != nil {
			return Wanted{}, err
		}
	}
	if slices.Contains(w.notations, everything) {
		w.notations = nil
		return w, nil
	}
	if (len(w.units) > 0 || w.parts > 0) && !slices.ContainsFunc(w.notations, Notation.isDistance) {
		w.notations = append(w.notations, asPrinted)
	}
	return w, nil
}

// isDistance reports whether results of the notation are lengths.
func (n Notation) isDistance() bool { return n == AlongRim || n == StraightRule || n == Piston }

func (f Figure) want(w *Wanted, name string) error {
	for _, n := range append(Notations(), everything) {
		if !same(name, string(n)) && !same(name, alsoCalled[n]) {
			continue
		}
		if n != everything && !f.isCrank() {
			return fmt.Errorf("%q is %s and has no notation in %s; it converts to %s", f.Text, f.Kind, n, f.choices())
		}
		w.notations = append(w.notations, n)
		return nil
	}
	if parts, ok := fractions[plainName(name)]; ok && slices.Contains(f.units(), convert.Length) {
		w.parts = parts
		return nil
	}
	unit, err := convert.ParseUnit(name, f.units()...)
	switch {
	case err == nil && unit == convert.Degree && f.isCrank():
		w.notations = append(w.notations, Degrees)
	case err == nil && f.isCrank() && unit.Dimension() == convert.Angle:
		w.angles = append(w.angles, unit)
		if len(w.angles) == 1 {
			w.notations = append(w.notations, inAngles)
		}
	case err == nil:
		w.units = append(w.units, unit)
	default:
		return f.unknownNotation(name, err)
	}
	return nil
}

// alsoCalled are second names of notations.
var alsoCalled = map[Notation]string{
	FromFiring: "firing", StraightRule: "straight", Piston: "piston travel", Teeth: "ring teeth", AlongRim: "along the rim", Camshaft: "camshaft degrees",
}

var fractions = map[string]int{"fraction": workshopParts, "fractions": workshopParts, "64ths": 64, "32nds": 32, "16ths": 16, "8ths": 8}

// units are the dimensions of the units that a figure may be given in.
func (f Figure) units() []convert.Dimension {
	if f.isCrank() {
		return []convert.Dimension{convert.Length, convert.Angle}
	}
	return []convert.Dimension{f.reading.Unit.Dimension()}
}

// choices lists what a figure converts to.
func (f Figure) choices() string {
	var names []string
	if f.isCrank() {
		for _, n := range Notations() {
			names = append(names, string(n))
		}
	}
	for _, d := range f.units() {
		for _, u := range d.Units() {
			names = append(names, u.Symbol())
		}
		if d == convert.Length {
			names = append(names, string(Fraction))
		}
	}
	return strings.Join(names, ", ")
}

func (f Figure) unknownNotation(name string, err error) error {
	var unknown *convert.UnknownUnitError
	if errors.As(err, &unknown) && unknown.Is != convert.One {
		return fmt.Errorf("%s is %s and %q is %s; it converts to %s", name, unknown.Is.Dimension(), f.Text, f.Kind, f.choices())
	}
	return fmt.Errorf("%q is no notation and no unit known here; %q converts to %s", name, f.Text, f.choices())
}
